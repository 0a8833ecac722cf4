/** The words of the sheet that tells where the top of the pour goes, in Spanish. */
import type { enTarget } from "./en-target.ts";

export const esTarget: typeof enTarget = {
  topOfPour: {
    top: "Nivel final del colado",
    topOf: (rooms) => `Nivel final del colado en ${rooms}`,
    placed: {
      given: "El trabajo da esta altura.",
      "lowest-level": "Es el nivel más bajo que cumple todo lo pedido.",
      "least-plane": "Es el plano con menos material que cumple todo lo pedido.",
      "grind-or-fill": "Es el reparto entre desbastar y rellenar que menos cuesta.",
    },
    placedIn: (rooms, how) => `${rooms}: ${how}`,
    split: (filled, ground, area, height) =>
      `Se rellenan ${filled} y se desbastan ${ground} en ${area}, ${height} como máximo.`,
    cost: (total, bound) =>
      `Desbastar y rellenar cuestan ${total} según las cifras del trabajo; ningún nivel cuesta menos de ${bound}.`,
    falls: (parts) => `baja ${parts}`,
    fallTo: (fall, side) => `${fall} al ${side}`,
    sides: { north: "norte", east: "este", south: "sur", west: "oeste" },

    stepsTitle: "De dónde sale la altura",
    captionSteps: "Pasos hasta el nivel final, desde el cero del trabajo",
    columnsSteps: { step: "Paso", amount: "Cantidad", other: "Otra unidad" },
    steps: {
      given: () => "Nivel dado en el trabajo",
      "zero-is-top": () => "El cero se puso en el nivel final del colado",
      "bench-mark": (name) => `Nivel de la referencia ${name}`,
      "neighbour-finish": (name) => `Nivel terminado en la puerta ${name}`,
      layer: (name) => `Menos la capa: ${name}`,
      above: (name) => `Altura sobre ${name}`,
      "neighbour-layer": (name) => `Recubrimiento que falta del otro lado de la puerta: ${name}`,
      "high-place": (name) => `Losa en el punto alto de ${name} que decide`,
      "least-depth": () => "Espesor mínimo del material sobre él",
      ground: () => "Se desbasta ahí",
      "door-bound": (name) => `Altura pedida en la puerta ${name}`,
      "ground-area": () => "Nivel en que se agota el área que se puede desbastar",
      "middle-of-plane": (name) => `Nivel final en el centro de ${name}`,
      "back-to-zero": () => "De ahí, siguiendo las pendientes, al origen del plano",
    },

    bindingTitle: "Qué impide que quede más bajo",
    nothingBinds: "Nada: la altura está dada. La tabla de niveles más altos y más bajos dice qué costaría otra.",
    binds: (wish) => `No puede quedar más bajo por ${wish}.`,
    price: (unit, bags) => `Cada ${unit} que se ceda ahí ahorra ${bags} sacos.`,
    trial: (height, place, area, volume, bags) =>
      `Desbastar ${height} en ${place}, en ${area} (${volume} de losa), ahorra ${bags} sacos.`,
    place: (east, north, room) => `el punto alto de ${room}, ${east} al este y ${north} al norte del origen`,
    lowPlace: (east, north, room) => `el punto bajo de ${room}, ${east} al este y ${north} al norte del origen`,
    wishes: {
      leastDepth: (depth, place) => `el espesor mínimo de ${depth} sobre ${place}`,
      grinding: (height, place) => `los ${height} como máximo que se pueden desbastar en ${place}`,
      greatestDepth: (depth, place) => `el espesor máximo de ${depth} sobre ${place}`,
      held: (level, door) => `la altura de ${level} pedida en la puerta ${door}`,
      atLeast: (level, door) => `la altura mínima de ${level} en la puerta ${door}`,
      atMost: (level, door) => `la altura máxima de ${level} en la puerta ${door}`,
      level: "tener que quedar a nivel",
      fall: (fall) => `la pendiente máxima de ${fall}`,
      groundArea: (area) => `los ${area} como máximo que se pueden desbastar`,
      bags: (bags) => `el límite de ${bags}`,
      deadLoad: (load) => `el límite de ${load} de carga muerta`,
    },

    alongWalls: (top) => `${top}, a lo largo de las paredes`,
    drainTitle: (room) => `Pendientes al desagüe en ${room}`,
    drainNote: (walls, drop, drain) =>
      `A nivel a lo largo de las paredes, a ${walls}; de cada pared baja un plano ${drop} hasta el desagüe, donde la superficie está a ${drain}. Enrase cada plano recto desde su pared hasta el desagüe.`,
    captionDrain: (room) => `Planos al desagüe en ${room}, pared por pared`,
    columnsDrain: { wall: "Desde", away: "Desagüe a", fall: "Cae" },
    pinToDrain: "en las pendientes al desagüe: cortado a su superficie",

    tradeOffTitle: "Qué costaría un nivel más alto o más bajo",
    tradeOffNote: (step) =>
      `Todas las zonas suben o bajan juntas, de ${step} en ${step}; el renglón en negrita es el de este paquete. Los sacos llevan todo lo añadido. Descubierto: donde la losa alcanza el nivel. Desbaste: lo que se quita para que el espesor mínimo quepa en todas partes.`,
    tooDeepNote: "* más grueso de lo que permite la ficha del material",
    captionTradeOff: "Niveles más altos y más bajos con sus sacos, desbaste y carga",
    columnsTradeOff: {
      lift: "Más alto en",
      other: "Otra unidad",
      top: "Nivel",
      bags: "Sacos",
      bagsOf: (material) => `Sacos, ${material}`,
      bare: "Descubierto",
      ground: "Desbaste",
      deepest: "Más grueso",
      load: "Carga muerta media",
    },
    sensitivity: (bags, unit) => `Aquí cada ${unit} de altura vale ${bags} sacos.`,
    sensitivityOf: (material, bags, unit) => `${material}: aquí cada ${unit} de altura vale ${bags} sacos.`,
    plotTitle: "Sacos según la altura del nivel final",
    plotDescription: (from, to, least, most) =>
      `De ${from} a ${to} contra el nivel de este paquete, los sacos van de ${least} a ${most}. La tabla tiene los mismos números.`,
    plotBags: "Sacos",
    plotGround: (unit) => `Desbaste, ${unit}`,
    plotLift: (unit) => `Más alto que este nivel en, ${unit}`,
    plotHere: "este nivel",

    doorsTitle: "Qué queda en las puertas",
    captionDoors: "Altura que queda en cada puerta contra el acabado del otro lado",
    columnsDoors: {
      door: "Puerta",
      here: "Acabado aquí",
      beyond: "Acabado allá",
      step: "Escalón al salir",
      takes: "Qué requiere",
    },
    doorsNone: "No se conoce el nivel terminado del otro lado de ninguna puerta.",
    stepDown: (height) => `${height} de bajada`,
    stepUp: (height) => `${height} de subida`,
    stepNone: (height) => height,
    takes: {
      flush: "A ras",
      vertical: "Puede quedar como canto recto",
      bevelled: (length) => `Bisel de 1:2, de ${length} de largo`,
      ramp: (length) => `Rampa de 1:12 como máximo, de ${length} de largo o más`,
    },
    otherJamb: (step) => `otra jamba: ${step}`,
    doorsSource:
      "Recto hasta 1/4 in, bisel de 1:2 hasta 1/2 in, más allá una rampa: normas ADA de 2010 para el diseño accesible, 303 y 405.2. Rigen el código local y el contrato. Hasta 1 mm (0.04 in) cuenta como a ras.",
    bareRooms: (rooms) =>
      `Para estos cuartos no se nombra recubrimiento, así que el acabado es el colado desnudo: ${rooms}. Un recubrimiento lo sube.`,

    meetsTitle: "Donde se encuentran las zonas",
    captionMeets: "Cómo se encuentran las zonas en las puertas",
    columnsMeets: { door: "Puerta", how: "Cómo", step: "Escalón", length: "Largo", volume: "Volumen" },
    meets: {
      level: "A nivel",
      step: "Escalón, con tope",
      ramp: (material) => `Rampa de ${material}`,
      feather: (material) => `Rematado a cero con ${material}`,
    },
    pinInRamp: {
      "with-the-room": (door) => `en la rampa de ${door}: cortado a su superficie`,
      "on-top": (door) => `bajo la rampa de ${door}: cortado para el colado de abajo, la rampa se enrasa encima`,
    },

    sureTitle: "Qué tan seguros son el volumen y el pedido",
    captionRisk: "Sacos con su riesgo",
    columnsRisk: { what: "Qué", volume: "Volumen sobre la losa", bags: "Sacos" },
    ordered: "Pedido: la losa como se leyó",
    evenOdds: "Alcanza tantas veces como no",
    nineInTen: "Alcanza nueve de diez veces",
    chance: (ordered, chance) =>
      `El pedido es de ${ordered}, aquí y en todas las hojas. Por lo que se sabe de este piso, alcanza con una probabilidad de ${chance}.`,
    more: (bags) => `Para nueve de diez, pida ${bags} más.`,
    noMore: "Ya cubre nueve de diez.",
    overNinetyNine: "más de 99 %",
    underOne: "menos de 1 %",
    columnsRiskOf: {
      material: "Sacos",
      ordered: "Pedido",
      evenOdds: "Tantas veces como no",
      nineInTen: "Nueve de diez",
    },
    riskOf:
      "Pedido es el número de todas las hojas; al lado, lo que alcanza tantas veces como no, y nueve de diez veces.",
    noRisk: "Hay muy pocas lecturas para decir qué tan seguro es el volumen.",
    captionParts: "Partes de la incertidumbre del volumen, una desviación estándar cada una",
    columnsParts: { part: "Incertidumbre por", volume: "Volumen", bags: "Sacos" },
    parts: {
      reading: "Lectura, cada una por sí",
      datum: "Estaciones y cero, comunes a muchas lecturas",
      between: "La losa entre lecturas",
      yield: "Rendimiento de un saco",
      sum: "Juntas",
    },
    leaveOneOut: (height) =>
      `La losa entre lecturas se juzga por este mismo piso: predicha por sus vecinas, una lectura falló por ${height} (media cuadrática).`,
    yieldUnknown: "Un rendimiento cuya ficha, como se capturó, no da tolerancia cuenta aquí como cierto.",
    study: (floors, least, most) =>
      `Probado en ${floors} pisos hechos a propósito (ondas suaves, ásperos, losas alabeadas), el volumen de nueve de diez alcanzó en ${least} a ${most}.`,

    aggregateTitle: "Extender lo profundo con agregado",
    aggregate: (name, area, volume, below) =>
      `La ficha permite ${name}. Lugares con hondura bastante: ${area}, ${volume} hasta ${below} bajo el nivel final, el resto sin agregado.`,
    aggregateMix: (yieldWith, yieldNeat, waterWith, waterNeat) =>
      `Un saco rinde entonces ${yieldWith} en lugar de ${yieldNeat}, con ${waterWith} de agua en lugar de ${waterNeat}.`,
    aggregateSaves: (bags, aggregate, water) =>
      `Ahorraría ${bags} de los pedidos, y llevaría ${aggregate} de agregado y ${water} de agua en esa capa. El pedido no cuenta con ello.`,

    besideOrder: (evenOdds, nineInTen) =>
      `Del número pedido y su riesgo: alcanza tantas veces como no ${evenOdds}, alcanza nueve de diez veces ${nineInTen}. Vea la hoja del nivel final del colado.`,
    othersTitle: "Otros materiales",
    captionOthers: "Materiales de zonas, rampas y remates",
    columnsOthers: { material: "Material", where: "Dónde", volume: "Volumen", sum: "Sacos, suma", order: "Que pedir" },
    doorsOf: (doors) => `en ${doors}`,
    wedges: (volume) => `Del volumen neto, ${volume} están en rampas y remates en puertas.`,
    othersClock: "El reloj del colado es del material del trabajo; estos se colocan aparte, según sus propias fichas.",
  },
};
