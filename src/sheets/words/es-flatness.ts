/** The words of the flatness reports and of what the finished floor's blank sheet asks for, in Spanish. */
import type { enFlatness, RemarkText } from "./en-flatness.ts";

function remark(said: RemarkText): string {
  switch (said.kind) {
    case "edge-fits-nowhere":
      return `Ninguna regla de ${said.edge} cabe en el piso.`;
    case "too-few-under-edge":
      return said.where === "nowhere"
        ? `En ningún lugar quedan cinco lecturas bajo una regla de ${said.edge}: con estas lecturas no se puede decidir.`
        : `Solo en parte del piso quedan cinco lecturas bajo una regla de ${said.edge}; el resto no está decidido.`;
    case "no-line-under-edge":
      return `Ninguna línea tiene cinco lecturas bajo una regla de ${said.edge}.`;
    case "line-place-not-recorded":
      return `No consta dónde está la línea ${said.line}.`;
    case "not-to-the-method":
      return `No conforme al método: ${said.condition}.`;
    case "condition-not-known":
      return `No se sabe si se cumple: ${said.condition}.`;
    case "method-does-not-reach":
      return `${said.room}: ninguna línea de ${said.line} queda a ${said.edge} de sus bordes; el método no lo alcanza.`;
    case "fewer-than-asked":
      return `Líneas cada ${said.apart} dan ${said.readings} lecturas de las ${said.asked} que pide el contrato.`;
    case "grid-too-fine-by-hand":
      return `Habría que leer niveles cada ${said.spacing}: ponga la regla misma y anote las luces.`;
    case "grid-puts-five":
      return `Una cuadrícula de ${said.spacing} pone cinco lecturas bajo una regla de ${said.edge} como sea que se ponga.`;
    case "search-not-settled":
      return "La luz mayor todavía cambiaba cuando la búsqueda llegó a su número de posiciones.";
    case "carried-levels-left-out":
      return "Los niveles llevados hasta las paredes no cuentan: solo se juzga el piso entre lecturas.";
    case "some-lines-too-short":
      return "Algunas líneas son cortas para la regla, o tienen menos de cinco lecturas bajo ella.";
    case "line-says-nothing-beside":
      return "Una línea no dice nada del piso a su lado.";
    case "gap-as-typed":
      return "Como lo midió y escribió la oficina; aquí no se sabe cómo se puso la regla.";
    case "no-three-in-a-row":
      return "No hay tres lecturas a distancias iguales en fila en un mismo piso.";
    case "between-grid-not-seen":
      return "El piso entre las lecturas de la cuadrícula no se miró.";
    case "no-two-high-points":
      return "Ninguna línea tiene dos puntos altos con una lectura entre ellos.";
    case "no-target":
      return "El nivel del colado aún no está fijado: no hay con qué comparar.";
    case "levels-from-zero":
      return "Los niveles cuentan desde el cero del trabajo: lo que un banco esté mal entra igual en todos.";
    case "no-sample-line":
      return "Ninguna línea tiene doce lecturas seguidas, cada 12 in o 300 mm, lejos de las juntas.";
    case "noise-keeps-number-low":
      return "El ruido de estas lecturas ya deja bajo el número: lea otra vez con un instrumento más fino antes de reparar.";
    case "decides-in-part":
      return "Las lecturas que hay deciden solo en parte del piso.";
  }
}

export const esFlatness: typeof enFlatness = {
  flatness: {
    rules: {
      "resilient-covering": "Base de un revestimiento flexible",
      "wood-flooring": "Base de un piso de madera",
      "tile-under-15-in": "Base de loseta, todos los lados de menos de 15 in",
      "tile-15-in-and-over": "Base de loseta, algún lado de 15 in o más",
      "bs-8204-sr1": "Regularidad de superficie SR1",
      "bs-8204-sr2": "Regularidad de superficie SR2",
      "bs-8204-sr3": "Regularidad de superficie SR3",
      "two-limits-conventional": "Dos límites, convencional",
      "two-limits-moderately-flat": "Dos límites, medianamente plano",
      "two-limits-flat": "Dos límites, plano",
      straightedge: "Regla, cifras del propio contrato",
      "f-numbers": "Números de planitud y nivelación",
      "din-18202": "DIN 18202, tabla 3",
      level: "Nivel contra lo previsto",
    },
    methods: {
      "edge-on-surface": "Regla puesta en toda la superficie leída",
      "edge-on-line": "Regla puesta a lo largo de las líneas",
      "gap-by-hand": "Luces medidas a mano en la obra",
      "f-number-composite": "Todas las líneas juntas",
      "f-number-section": "Sección",
      grid: "Cuadrícula: cada punto contra el promedio de sus vecinos",
      "between-high-points": "Líneas: luz entre dos puntos altos",
      "level-at-points": "Nivel en los puntos leídos",
    },
    conditions: {
      spacing: () => "Leída cada 12 in o cada 300 mm",
      "readings-in-line": (wanted) => `Al menos ${wanted} lecturas por línea`,
      "line-length": (wanted) => `Líneas de al menos ${wanted}`,
      "one-method": () => "Todas las líneas con una misma forma del método",
      "on-the-floor": () => "Líneas enteras sobre el piso",
      "edge-distance": (wanted) => `Ninguna lectura a menos de ${wanted} de un borde`,
      "joint-distance": (wanted) => `Ninguna lectura a menos de ${wanted} de una junta`,
      "lines-apart": (wanted) => `Líneas paralelas separadas al menos ${wanted}`,
      "joint-in-section": () => "Ninguna sección cruza una junta de construcción",
      "readings-in-all": (wanted) =>
        wanted === "" ? "Lecturas suficientes para el área" : `Al menos ${wanted} lecturas en total`,
      "time-since-pour": (wanted) => `Leído dentro de ${wanted} días del colado`,
    },
    notKnown: {
      spacing: "no consta",
      "readings-in-line": "no consta",
      "line-length": "no consta",
      "one-method": "no consta",
      "on-the-floor": "no consta dónde están las líneas",
      "edge-distance": "no consta dónde están las líneas",
      "joint-distance": "no consta dónde están las juntas o las líneas",
      "lines-apart": "no consta dónde están las líneas",
      "joint-in-section": "no consta dónde están las juntas o las líneas",
      "readings-in-all": "el contrato no indica un número",
      "time-since-pour": "no constan las fechas",
    },
    standings: {
      published: "publicado",
      "second-hand": "citado de la prensa del ramo, no de la norma misma",
      "from-memory": "de memoria: compare con su copia de la norma",
      contract: "del propio contrato",
    },
    results: { within: "dentro", outside: "fuera", "not-decidable": "no se puede decidir" },
    survivals: {
      survives: "se mantiene",
      "does-not-survive": "no se mantiene",
      "uncertainty-not-known": "no se sabe",
    },
    formulas: {
      symbols: "Símbolos de ASTM E1155-96",
      flatness: "Planitud de una línea",
      levelness: "Nivelación de una línea",
      spread: "Dispersión S",
      "lines-together": "Líneas juntas",
    },
    rows: {
      unfinished: "pisos sin terminar",
      "for-screed-or-tile-bed": "pisos que reciben firme o loseta en mortero",
      finished: "pisos terminados o que reciben revestimiento",
      "finished-increased": "pisos terminados, exigencia mayor",
    },
    remark,
    ofFloor: {
      "raw-slab": "La losa como se recibió, antes del colado.",
      finished: "El piso terminado, después del colado.",
    },
    sections: {
      read: "Qué se leyó",
      verdicts: "Veredictos",
      rules: "Regla por regla",
      conditions: "Condiciones del método de líneas",
      cuts: "Líneas de las que cuentan solo partes",
      numbers: "Planitud y nivelación, línea por línea",
      formulas: "Fórmulas usadas",
      places: "Lugares para desbastar o rellenar",
      levels: "Nivel contra lo previsto, punto por punto",
      readings: "Lecturas como se anotaron",
      lines: "Líneas como se leyeron",
    },
    facts: {
      floor: "Piso",
      date: "Leído el",
      poured: "Colado el",
      days: "Días del colado a la lectura",
      points: "Puntos leídos",
      lines: "Líneas, con lecturas",
      linesText: (lines, readings) => `${lines}, con ${readings}`,
      gaps: "Luces bajo la regla medidas a mano",
      instruments: "Instrumentos",
      surface: "Superficie entre lecturas",
      surfaceText: "recta de lectura a lectura",
    },
    captionFacts: "Qué se leyó, cuándo y con qué",
    factColumns: { what: "Qué", value: "Valor" },
    verdictColumns: { rule: "Regla del contrato", asked: "La pide", verdict: "Veredicto", survives: "Con ± 2 s" },
    captionVerdicts: "Cada regla del contrato con su veredicto",
    coverage: (factor) =>
      `«Se mantiene»: el mismo veredicto vale a ${factor} desviaciones estándar a cada lado, cerca de 95 %. Un veredicto habla de lo que se midió, donde se midió.`,
    findingColumns: {
      how: "Cómo se midió",
      limit: "Límite",
      worst: "Peor",
      margin: "Margen",
      uncertainty: "± 2 s",
      verdict: "Veredicto",
    },
    captionFindings: (rule) => `Resultados de ${rule}`,
    ruleHeading: (number, rule, verdict) => `${number}  ${rule}: ${verdict}`,
    askedBy: (source) => `La pide: ${source}.`,
    figuresFrom: (source, standing) => (source === "" ? `Cifras: ${standing}.` : `Cifras: ${source} (${standing}).`),
    anyPart: "Basta con que una de las partes esté dentro.",
    part: {
      straightedge: (edge, gap) => `Regla de ${edge}, luz hasta ${gap}`,
      most: (share, gap) => `${share} de los lugares hasta ${gap}`,
      contact: {
        "between-contacts": "la luz cuenta entre los dos apoyos",
        "whole-edge": "la luz cuenta en toda la regla",
      },
      contactTakenHere: "tomado así aquí: la fuente no lo dice",
      fNumber: {
        flatness: (overall, section) => `FF ${overall} en total, ${section} en cada sección`,
        levelness: (overall, section) => `FL ${overall} en total, ${section} en cada sección`,
      },
      din: (row) => `fila para ${row}`,
      level: (plusMinus) => `dentro de ${plusMinus} arriba o abajo`,
    },
    readings: (count) => `${count} ${count === "1" ? "lectura" : "lecturas"}`,
    gaps: (count) => `${count} ${count === "1" ? "luz" : "luces"}`,
    decided: (share) => `${share} de los lugares decididos`,
    placings: (directions, step) => `${directions} direcciones, puesta cada ${step}`,
    settled: "afinado hasta que la peor luz cambió menos de 0.05 mm (0.002 in)",
    shareWithin: (share) => `${share} dentro`,
    over: (distance) => `en ${distance}`,
    unbounded: "sin límite",
    none: "–",
    worstPlace: (id, value, where) => `${id}: ${value}, ${where}.`,
    numberBend: "donde más se doblan o difieren las líneas",
    named: (name) => `en ${name}`,
    fromWalls: (first, second) => `${first} y ${second}`,
    fromWall: (distance, wall) => `a ${distance} de la ${wall}`,
    inDoorway: (door) => `en el vano de ${door}`,
    conditionColumns: { condition: "Condición", standing: "Se cumple", found: "Qué se encontró" },
    captionConditions: "Condiciones del método y si se cumplen",
    conditionStanding: { holds: "sí", fails: "no", "not-known": "no se sabe" },
    ofLine: (line, value) => (value === "" ? `línea ${line}` : `línea ${line}: ${value}`),
    taken: (readings) => `se tomaron ${readings}`,
    days: (count) => `${count} ${count === "1" ? "día" : "días"}`,
    toTheMethod: "Consta que todas las condiciones se cumplen: los números son conformes al método.",
    notToTheMethod:
      "No consta que todas las condiciones se cumplan: los números son los que dan estas líneas, y no se afirma que sean conformes al método.",
    cutColumns: { line: "Línea", readings: "Lecturas", becomes: "Qué pasa con ellas" },
    captionCuts: "Qué lecturas de una línea cuentan, y por qué se dejan fuera las demás",
    fromReading: (first, last) => (first === last ? first : `${first} a ${last}`),
    counts: "cuentan",
    countsAs: (line) => `cuentan como línea ${line}`,
    leftOut: {
      "near-joint": (joint) => `fuera: demasiado cerca de la junta ${joint}`,
      "near-edge": () => "fuera: demasiado cerca de una pared, una columna o una jamba",
      "too-short": () => "fuera: muy pocas seguidas para una línea",
    },
    numberColumns: { lines: "Líneas", readings: "Lecturas", flatness: "FF", levelness: "FL", plusMinus: "± 2 s" },
    captionNumbers: "Números de planitud y nivelación de líneas, secciones y todas juntas",
    section: (name) => `Sección ${name}`,
    together: "Todas juntas",
    formulaColumns: { what: "Qué", formula: "Fórmula", standing: "De dónde viene" },
    captionFormulas: "Fórmulas con las que se calcularon los números",
    placeColumns: {
      id: "Lugar",
      work: "Trabajo",
      least: "Al menos",
      whole: "Hasta recto",
      where: "Dónde",
      rules: "Reglas",
    },
    captionPlaces: "Lugares para desbastar o rellenar, con espesor y dos distancias",
    work: { grind: "desbastar", fill: "rellenar" },
    instead: (work, depth, where) => `o ${work} al menos ${depth} ${where}`,
    rawLevel: "Antes del colado la losa está bajo lo previsto: para eso es el colado.",
    noPlaces: "Ninguno: ninguna regla queda fuera en un lugar que se pueda nombrar.",
    placesNote:
      "Desbastar levanta polvo de sílice: guarda y aspirador, como en la hoja de seguridad. Lea otra vez el lugar después de repararlo; solo entonces se cubre.",
    rawPlacesNote:
      "Para el contratista general: lo que se recibió. El colado cubre la mayor parte; desbaste solo lo que piden los puntos altos del mapa de pines.",
    levelColumns: { point: "Punto", level: "Nivel", target: "Previsto", off: "Dif.", plusMinus: "± 2 s" },
    captionLevels: "Nivel, nivel previsto y diferencia en cada punto",
    levelSummary: (mean, spread, lowest, lowestAt, highest, highestAt) =>
      `Sobre lo previsto es más. Promedio ${mean}, dispersión (una desviación estándar) ${spread}; más bajo ${lowest} en ${lowestAt}, más alto ${highest} en ${highestAt}.`,
    levelUnit: (unit) => `En ${unit}. Fuera de la regla de nivel: en negrita.`,
    readingColumns: { point: "Punto", reading: "Lectura" },
    captionReadings: (setUp) => `Lecturas de la estación ${setUp}`,
    setUp: (id, instrument, date) => `Estación ${id}: ${instrument}${date === "" ? "" : `, ${date}`}`,
    readingUnit: (unit, side) => `En ${unit}, ${side}. Entre paréntesis: anulada por la oficina.`,
    side: { above: "sobre el cero", below: "bajo el cero" },
    tooMany: (count) =>
      `${count} lecturas son más de las que se leen en una hoja: están en el archivo del trabajo y en packet.json.`,
    lineColumns: { line: "Línea", where: "Primera y última lectura", levels: "Niveles" },
    lineUnit: (unit) => `En ${unit}, sobre un cero cualquiera de cada línea.`,
    everySpacing: (spacing) => `cada ${spacing}`,
    captionLines: "Líneas con sus lecturas",
    fromTo: (from, to) => `desde ${from} hasta ${to}`,
    whereUnknown: "no consta",
    mapTitle: (job) => `Peores lugares de ${job}`,
    mapDescription: (places, scale) =>
      `Plano con ${places} peores lugares, lugares por reparar y líneas, a escala ${scale}. Las tablas los dan como texto.`,
    mapWorst: "W: peor lugar según una regla, con su valor; la línea gruesa es la regla o el tramo donde se encontró",
    mapCorrection: "G: desbastar, F: rellenar, con el espesor mínimo",
    mapLine: "Línea leída, la primera lectura junto a su nombre",
    mapJoint: "Junta: ninguna línea y ninguna sección la cruza",
    levelMapTitle: (job) => `Nivel contra lo previsto, ${job}`,
    levelMapDescription: (points, scale) =>
      `Plano con la diferencia contra lo previsto en ${points} puntos, a escala ${scale}. La tabla los da como texto.`,
    levelMapHint: (unit) => `Nivel menos lo previsto en ${unit}: más es alto, menos es bajo.`,
    levelMapSome: (from) =>
      `Los puntos con menos de ${from} de diferencia no llevan etiqueta: la tabla los tiene todos.`,
    levelBand: {
      within: (limit) => `dentro de ${limit} de lo previsto`,
      low: (limit) => `más de ${limit} bajo lo previsto`,
      high: (limit) => `más de ${limit} sobre lo previsto`,
    },
    plan: {
      title: "Qué piden leer las reglas del contrato",
      intro:
        "La cuadrícula de casillas del mapa decide solo hasta donde alcanza su finura. Esto es lo que cada regla pide además.",
      enough: "Los puntos del mapa de esta hoja bastan para decidirla.",
      notEnough: "Los puntos del mapa de esta hoja solos no bastan para decidirla.",
      grid: (points, spacing) => `Niveles en ${points} puntos, una cuadrícula de ${spacing} en cada cuarto.`,
      layings: (count, edge) =>
        `O ponga a mano una regla de ${edge} en ${count} lugares repartidos por el piso, en distintas direcciones, y anote las luces abajo.`,
      lines: (lines, readings) => `${lines} líneas con ${readings} lecturas; vea la tabla de líneas.`,
      byHand: (count, gridPoints) =>
        `Una regla puesta a mano en ${count} lugares; leído como niveles serían unos ${gridPoints} puntos.`,
      points: (count) => `Niveles en los ${count} puntos de esta hoja.`,
      linesTitle: "Líneas por leer",
      lineColumns: {
        line: "Línea",
        from: "Primera lectura",
        to: "Última lectura",
        readings: "Lecturas",
        spacing: "Cada",
      },
      captionLines: "Líneas por leer, con dos distancias para cada extremo",
      lineBoxes: (line) => `Línea ${line}: niveles sobre o bajo un cero cualquiera, desde la primera lectura`,
      firstInRow: "Desde",
      captionBoxes: (line) => `Casillas de la línea ${line}`,
      gapsTitle: "Luces bajo la regla, puesta a mano",
      gapColumns: {
        number: "N.º",
        edge: "Regla",
        at: "Dónde: dos distancias a paredes",
        direction: "Dirección",
        gap: "Luz",
      },
      captionGaps: "Luces medidas a mano",
    },
    page: {
      title: "Contra el contrato",
      floors: { "raw-slab": "Losa como se recibió", finished: "Piso terminado" },
    },
  },
};
