/** The words of the sheets that plan a survey and tell how good it is, in Spanish. */
import type { enSurvey } from "./en-survey.ts";

export const esSurvey: typeof enSurvey = {
  surveyReport: {
    summary: "En breve",
    summaryText: (readings, points, setUps, struck) =>
      `Cuentan ${readings} lecturas de ${points} puntos desde ${setUps} estaciones; la oficina tachó ${struck}.`,
    datumBenchMarks: (ids) => `Los niveles se cuentan desde los bancos ${ids}.`,
    datumFirst: (setUp) => `Los niveles se cuentan desde el cero de la estación ${setUp}: no se leyó ningún banco.`,
    datumScan: (file) => `Los niveles se cuentan desde el cero que el trabajo da a ${file}: ningún banco lo comprueba.`,
    scanText: (points, file) =>
      `Cuentan ${points} puntos del escaneo ${file}, cada uno medido una vez; no se ajustó nada.`,
    scan: {
      title: "Escaneo",
      counts: (onFloor, rows, file) =>
        `${onFloor} de los ${rows} puntos de ${file} están sobre un piso. Cada uno de ellos está en la superficie de la losa, y así en áreas, volúmenes y sacos; los demás se dejaron fuera.`,
      allShown: "Los planos los muestran todos.",
      thinned: (shown, side) =>
        `Los planos, las curvas, la lista de puntos altos y el trazo del vaciado están aclarados: muestran ${shown} de ellos, de cada cuadro de ${side} el punto de altura media, tal como está en el archivo. Un lomo o un hueco más angosto puede faltar ahí; las áreas sobre la meta y las demasiado delgadas lo cuentan.`,
      pins: (read, all, reach) =>
        `${read} de los ${all} puntos del plano tienen nivel: en el pin, el del plano de mínimos cuadrados por todos los puntos del escaneo a no más de ${reach}. Un pin sin tres de ellos alrededor cuenta como no leído.`,
      empty: (area, any) =>
        any
          ? `Unos ${area} del piso no tienen ningún punto; la losa se lleva derecha de lado a lado.`
          : "Ningún cuadro del piso está sin punto.",
      farthest: (by, high, line, at) =>
        `El más lejos de la altura media de su cuadro: ${by} demasiado ${high ? "alto" : "bajo"}, línea ${line} del archivo, ${at}. Vaya a verlo: lo que estaba sobre el piso cuenta como piso hasta que se quite del archivo.`,
      noise: (sd) =>
        `Una altura es buena a ${sd} (desviación estándar, según la oficina). Lo que un escáner se desvía en áreas anchas, nada aquí lo puede mostrar: lea algunos pines con un nivel.`,
    },
    fit: {
      title: (of) => `Llevado al plano: ${of}`,
      text: (degrees, east, north, greatest) =>
        `Girado ${degrees}° (contra el reloj), su origen a ${east} este y ${north} norte del origen del trabajo; sin estirar. Mínimos cuadrados con los puntos conocidos; el mayor residuo es ${greatest}.`,
      caption: (of) => `Puntos conocidos de ${of}`,
      columns: { point: "Punto", inFile: "En el archivo, m", onPlan: "En el plano, m", residual: "Se desvía" },
    },
    method:
      "Mínimos cuadrados ponderados con todas las lecturas, un cero por estación. Residuo: ajustado menos leído. Redundancia: la parte de un error de esta lectura que muestra su residuo, de 0 a 1.",
    unchecked:
      "No se comprobó nada: ningún punto se leyó dos veces y ninguna estación está amarrada a otra por más de lo necesario. Un error en cualquier lectura está en los niveles, y nada en este informe lo puede mostrar.",
    global: {
      "as-expected": (sigma) =>
        `Prueba global, ji cuadrada al 5 %: las lecturas concuerdan tan bien como promete el instrumento (${sigma} veces su desviación estándar).`,
      "worse-than-stated": (sigma) =>
        `Prueba global, ji cuadrada al 5 %: las lecturas concuerdan peor de lo que promete el instrumento (${sigma} veces su desviación estándar). Vea primero la lista para leer de nuevo.`,
      "better-than-stated": (sigma) =>
        `Prueba global, ji cuadrada al 5 %: las lecturas concuerdan mejor de lo que promete el instrumento (${sigma} veces su desviación estándar). Pregunte si se copiaron lecturas, o si la desviación estándar indicada es demasiado grande.`,
    },
    noRedundancy: "Prueba global: nada que probar, cada nivel descansa justo en las lecturas que necesita.",
    rules: (critical, alpha, power) =>
      `Una lectura es dudosa cuando su residuo normalizado pasa de ${critical} (dos lados, ${alpha}). «Menor error hallado»: el más pequeño que se halla con una probabilidad de ${power}.`,
    oneToSpare:
      "Ninguna lectura puede llamarse dudosa: hay una más de las que los niveles necesitan, y la desviación estándar se toma de lo que muestran las lecturas; no queda nada con qué juzgar a una sola.",
    searchCutShort:
      "La búsqueda de dudosas paró en su límite de vueltas: puede haber más de las que están en la lista.",
    readAgain: "Leer de nuevo, lo peor primero",
    captionReadAgain: "Lugares para leer de nuevo",
    nothingToReadAgain: "Ninguna lectura es dudosa.",
    officeDecides:
      "Nada se quitó ni se corrigió: la oficina tacha una lectura en el archivo del trabajo, y dice por qué.",
    columnsReadAgain: {
      point: "Punto",
      where: "Dónde",
      read: "Nivel leído",
      likely: "Nivel probable",
      why: "Por qué, y qué cambia",
    },
    found: {
      "by-other-readings": (setUp, size, critical) =>
        `estación ${setUp}: residuo normalizado ${size}, límite ${critical}`,
      "by-the-slab-around": (setUp, size, critical) =>
        `estación ${setUp}: leída una vez, y fuera de la losa de alrededor por ${size} de sus desviaciones estándar, límite ${critical}`,
      "by-the-shift-of-a-row": (setUp, size, critical) =>
        `estación ${setUp}: la fila cuadra si se corre un lugar, ${size}, límite ${critical}`,
    },
    anyOf: (readings) => `no se pueden distinguir: ${readings}`,
    readingOf: (point, setUp, typed) => (typed === "" ? `${point} en ${setUp}` : `${point} en ${setUp} (${typed})`),
    slips: {
      "sign-turned": "¿signo cambiado?",
      "inches-as-millimetres": "¿pulgadas tomadas como milímetros?",
      "millimetres-as-inches": "¿milímetros tomados como pulgadas?",
      "decimal-point": "¿falta el punto decimal?",
      "digits-swapped": (text) => `¿cifras cambiadas, por ${text}?`,
      "row-shifted": (points) => `¿fila corrida un lugar: ${points}?`,
    },
    effect: (volume, bags) => `con el nivel probable: ${volume}, ${bags} sacos`,
    plusMinus: (level, sd) => `${level} ± ${sd}`,
    at: (east, north) => `este ${east}, norte ${north} del origen del trabajo`,
    struck: "Tachadas por la oficina",
    captionStruck: "Lecturas que no cuentan",
    columnsStruck: { setUp: "Estación", point: "Punto", typed: "Como se anotó", reason: "Razón" },
    typed: (text, unit, side) => `${text} ${unit} ${side === "below" ? "bajo" : "sobre"} cero`,
    leftOut: "de un punto que el plano no tiene: no se usó",
    noneStruck: "No se tachó ninguna lectura.",
    setUps: "Estaciones",
    captionSetUps: "Estaciones con sus correcciones",
    columnsSetUps: {
      setUp: "Estación",
      used: "Usa- das",
      struck: "Tacha- das",
      correction: "Corrección de su cero",
      sd: "± (desv.)",
      drift: "Deriva en la estación",
    },
    drift: (whole, sd, significant) => `${whole} ± ${sd}${significant ? ", real" : ", dentro del ruido"}`,
    noDrift: "no se calculó",
    closures: "Errores de cierre",
    captionClosures: "Errores de cierre contra la regla del trabajo",
    columnsClosures: {
      what: "Qué",
      error: "Error",
      sd: "Esperado (desv.)",
      allowed: "Permitido",
      verdict: "Dictamen",
    },
    noClosures:
      "Nada cierra: no se leyó ningún cero de nuevo, y ninguna vuelta de estaciones ni par de bancos regresa a su inicio.",
    closure: {
      "set-up": (names) => `Cero de ${names}`,
      loop: (names) => `Vuelta ${names}`,
      "bench-marks": (names) => `Bancos por ${names}`,
    },
    verdict: { within: "dentro", beyond: "fuera", "not-judged": "sin juzgar" },
    noRule: "sin regla",
    rule: {
      "root-set-up": (k, source) => `Permitido: ${k} por la raíz de las estaciones. Fuente: ${source}`,
      "root-km": (k, source) => `Permitido: ${k} por la raíz de los kilómetros. Fuente: ${source}`,
    },
    noRuleStated: "El archivo del trabajo no indica regla para errores de cierre: se dan, no se juzgan.",
    ties: "Puntos compartidos por estaciones",
    captionTies: "Cómo concuerdan las estaciones donde se traslapan",
    columnsTies: {
      setUps: "Estaciones",
      points: "Puntos compartidos",
      spread: "Mayor dispersión",
      strength: "Un error aquí",
    },
    benchMarksName: "bancos",
    strength: {
      found: "se halla",
      "felt-not-found": "se nota, no se halla",
      "not-checked": "no se ve",
    },
    oneSetUp: "Una estación, ningún banco leído: no hay nada que amarrar.",
    marks: "Bancos de nivel",
    captionMarks: "Bancos como se dieron y como se leyeron",
    columnsMarks: {
      mark: "Banco",
      given: "Dado",
      adjusted: "Ajustado",
      times: "Leído",
      residual: "Residuo normalizado",
    },
    held: "fijo",
    markSuspect: (marks, critical) =>
      `${marks}: la cota dada y las lecturas no concuerdan (más de ${critical}). O una lectura está mal, o la cota no es la que se da: hágala revisar antes de tomar de ella el nivel superior del colado.`,
    markUnchecked: (marks) => `Nada revisa aquí la cota dada de ${marks}.`,
    orMark: (mark) => `o la cota dada de ${mark} está mal`,
    temperatures: "Temperatura de la manguera",
    temperature: (setUp, perMetre, bound) =>
      `${setUp}: ramas a temperaturas distintas corren una lectura hasta ${bound} (${perMetre} por metro de rama).`,
    temperatureAgainst: (tolerance) => `una cuarta parte de la tolerancia más estricta, ${tolerance}`,
    temperatureAgainstReading: "el error de una lectura",
    temperatureMatters: (setUps, measure) =>
      `${setUps}: eso es más que ${measure}. Deje la manguera en el suelo hasta que ambos extremos estén iguales y vuelva a leer algunos puntos de la estación.`,
    mapTitle: (job) => `Residuos de ${job}`,
    mapDescription: (points) => `Plano con el mayor residuo en cada uno de ${points} puntos.`,
    mapUnit: (unit) =>
      `Bajo cada nombre: el residuo más grande en ese punto, en ${unit}; donde hay que leer de nuevo, cuánto parece errar.`,
    mapSuspect: "Leer de nuevo",
    mapChecked: "Comprobado por otras lecturas",
    mapOnce: "Sin comprobar: un error no se vería",
    uncheckedOnMap: "una",
    readings: "Todas las lecturas",
    captionReadings: "Lecturas con residuo, redundancia y menor error hallado",
    columnsReadings: {
      setUp: "Esta- ción",
      point: "Punto",
      level: "Nivel",
      residual: "Residuo",
      redundancy: "Redun- dancia",
      normalized: "Residuo normal.",
      least: "Menor error hallado",
    },
    worstOf: (count, all) =>
      `Las ${count} lecturas con los residuos normalizados más grandes, de ${all}; packet.json las tiene todas.`,
    uncheckedCell: "sin comprobar",
    zeroMark: "marca de cero",
    uncheckedTitle: "Lecturas sin comprobar",
    uncheckedText: (count, all) =>
      `${count} de ${all} lecturas están sin comprobar: un error en ellas cambia el nivel y ninguna otra lectura lo dice.`,
    uncheckedPoints: (points) => `Puntos: ${points}`,
    allChecked: "Cada lectura está comprobada por otras.",
    leastSlips: (least, greatest) => `En las comprobadas, el menor error que se halla va de ${least} a ${greatest}.`,
    sure: "Qué tan seguros son los niveles",
    sureText: (factor) =>
      `± es la mitad del intervalo del 95 % del nivel contra el origen, solo por la lectura: ${factor} desviaciones estándar.`,
    captionSure: "Mitad del intervalo del 95 % del nivel en cada pin leído",
    columnsSure: { pin: "Pin", plusMinus: "±" },
    notRead: (pins) => `Pines donde no se leyó, sin ± por lectura: ${pins}`,
    volume: (volume, bags) =>
      `Solo por la lectura el volumen es seguro a ± ${volume}, ${bags} sacos (95 %), con cada lectura por una parte igual de su cuarto. Lo que hay entre lecturas, y el rendimiento del saco, se suman.`,
  },

  surveySummary: {
    verdictUnchecked: "El levantamiento no se pudo comprobar. Lea de nuevo un punto de cada veinte antes de mezclar.",
    verdictMark: (marks) =>
      `La cota dada de ${marks} no concuerda con las lecturas. Avise a la oficina antes de cortar nada.`,
    verdictClean: "El levantamiento se comprobó y vale. No hay que leer nada de nuevo.",
    verdictReadAgain: (count) =>
      count === "1"
        ? "Hay que leer de nuevo un lugar antes de cortar algo ahí."
        : `Hay que leer de nuevo ${count} lugares antes de cortar algo ahí.`,
    caption: "Lugares para leer de nuevo",
    columns: { point: "Punto", where: "Dónde", was: "Se leyó", likely: "Probable", again: "Ahora" },
    more: (count) => `${count} lugares más están en el informe de la oficina.`,
    closedBadly: (setUps) => `Cerraron fuera de la regla, avise a la oficina antes de mezclar: ${setUps}.`,
    zeroes: "Cómo cerraron los ceros",
    zero: (what, error) => `${what}: ${error}`,
    uncheckedPoints: (points) => `Leídos una vez y sin comprobar: ${points}.`,
    uncheckedMany: (count, all) => `Leídas una vez y sin comprobar: ${count} de ${all} lecturas.`,
    warmHose: (setUps) =>
      `La manguera de ${setUps} estaba más caliente en un extremo. Déjela en el suelo hasta que ambos extremos estén iguales antes de volver a leer.`,
    signed: ["Leyó de nuevo, fecha", "Se avisó a la oficina, hora"],
  },

  surveyForm: {
    setUp: (id, room) => `Estación ${id}, ${room}`,
    stands: (where) => `El depósito está en ${where}.`,
    reach: (reached, all, read) =>
      `Desde aquí se pueden leer ${reached} de ${all} puntos; se planean ${read} lecturas.`,
    farthest: (point, hose) => `El más lejano es ${point}: ${hose} de manguera por el piso, pasando por las puertas.`,
    ties: (other, points) => `Compartidos con ${other}: ${points}. Léalos con cuidado: amarran las dos.`,
    beyond: (points) => `Desde aquí no se alcanza: ${points}.`,
    noTies: "Ninguna otra estación: nada que amarrar.",
    record: [
      "Quien lee, fecha",
      "Instrumento, número",
      "El cero está en",
      "Los números son bajo / sobre cero",
      "Temperatura en el depósito, inicio y fin",
      "Temperatura en la pieza de mano, mayor y menor",
      "Altura del líquido sobre la manguera en el piso",
    ],
    zeroChecks: "Revisiones del cero",
    captionZeroChecks: "Lecturas de la marca de cero",
    columnsZero: {
      check: "Revisión",
      after: "Tras lectura",
      time: "Hora",
      reading: "Lectura",
      difference: "Diferencia",
    },
    stop: "Una diferencia mayor que el límite del trabajo: pare, busque la causa, lea de nuevo desde la última buena.",
    order: "Lecturas en orden",
    captionOrder: (part) => `Lecturas en el orden de andar, parte ${part}`,
    columnsOrder: { number: "No.", point: "Punto", reading: "Lectura" },
    zeroHere: (check) => `Cero ${check}`,
    tie: (id) => `${id} *`,
    again: (id) => `${id} otra vez`,
    legend: (unit) =>
      `En ${unit}. * compartido con otra estación. «otra vez»: se lee por segunda vez, sin mirar la primera. Un punto que no se puede leer lleva una raya.`,
    laidOut: "El archivo de obra tiene estas lecturas en blanco, en este orden.",
    typeIn: (command) =>
      `La oficina escribe estas lecturas en este orden; ${command} hace un archivo de trabajo con estos bloques en blanco.`,
    outOfReach: (points) =>
      `Ninguna posición alcanza ${points}: manguera más larga, otra posición, o un banco propio para ellos.`,
    fewest: (count) => `${count} estaciones, y con menos no se puede.`,
    notProved: (count, least) =>
      `${count} estaciones; hacen falta al menos ${least}. La búsqueda paró en su límite antes de saber si bastan menos.`,
    mapPosition: "Posición del depósito",
    mapWay: "La manguera hasta el punto más lejano que lee una estación",
    mapEnd: "Aquí termina la manguera de la estación nombrada",
    endOf: (setUp) => `manguera de ${setUp}`,
    mapTie: "Punto compartido: lo lee cada estación nombrada",
    mapTwice: "Se lee por segunda vez al final",
    mapReaders: "Bajo el nombre: las estaciones que leen el punto.",
  },

  sameDay: {
    intro:
      "Para colar el día del levantamiento, con el cero en el nivel final: la lectura bajo cero es el espesor. Nada aquí es de este piso; se calcula a mano.",
    strip: "De la lectura al corte",
    captionStrip: "Lectura bajo cero y largo de corte en la otra unidad",
    columnsStrip: { reading: (unit) => `Lee, ${unit}`, cut: (unit) => `Corte, ${unit}` },
    least: (least) => `Pare: menos de ${least} es muy delgado. Desbaste, y lea de nuevo.`,
    greatest: (greatest) => `Pare: más de ${greatest} es más de lo que permite el material. Pregunte a la oficina.`,
    leastCut: (least) => `Ningún pin se para con menos de ${least}: desbaste.`,
    longer: (most) => `Lecturas de más de ${most}: mida el pin con cinta.`,
    tally: "¿Alcanzan los sacos de la obra?",
    tallyHow: (unit, least) =>
      `Cuarto por cuarto, solo en los puntos de la cuadrícula. Línea 1: sume los espesores en ${unit}, cada uno por lo menos ${least}, y divida entre cuántos son. Línea 2: por los sacos de cada ${unit}, más lo que toma la rugosidad.`,
    captionTally: "Sacos por cuarto",
    columnsTally: {
      room: "Cuarto",
      sum: "Suma de espesores",
      points: "÷ puntos",
      mean: "= media",
      factor: "× sacos cada",
      fixed: "+ rugoso",
      bags: "= sacos",
    },
    allRooms: "Todos los cuartos",
    onSite: ["Sacos en la obra, contados", "Sacos necesarios, de la última columna", "¿Alcanza? Si no, nadie mezcla"],
    sixteenth: "1/16 in",
    tallyNote: (loss) =>
      `Los factores llevan el área del piso, el rendimiento del saco y ${loss} por lo que queda en barriles y mangueras.`,
  },
};
