/**
 * Every word that a sheet prints, in Spanish as it is spoken on sites. Numbers and ids come in as
 * printed text and are the same as in English. A practitioner whose language it is has not read it yet.
 */
import type { Wall } from "../../job/model.ts";
import type { Words } from "./en.ts";
import { esFlatness } from "./es-flatness.ts";
import { esOffice } from "./es-office.ts";
import { esSurvey } from "./es-survey.ts";
import { esTarget } from "./es-target.ts";
import { spanishWarning } from "./es-warnings.ts";

const SIDES: Readonly<Record<Wall["side"], string>> = {
  north: "norte",
  east: "este",
  south: "sur",
  west: "oeste",
  "north-east": "noreste",
  "south-east": "sureste",
  "south-west": "suroeste",
  "north-west": "noroeste",
};

const wall = (side: Wall["side"], ordinal: number, onlyOne: boolean): string =>
  onlyOne ? `pared ${SIDES[side]}` : `pared ${SIDES[side]} ${ordinal}`;

const counted = (count: string, one: string, many: string): string => `${count} ${count === "1" ? one : many}`;

export const es: Words = {
  language: "Español",
  wall,
  bags: (count) => counted(count, "saco", "sacos"),
  pins: (count) => counted(count, "pin", "pines"),
  batches: (count) => counted(count, "tanda", "tandas"),
  people: (count) => counted(count, "persona", "personas"),
  both: (large, small) => `${large} (${small})`,
  listOf: (items) => items.join(", "),
  yes: "sí",
  no: "no",
  notStated: "sin indicar",
  north: "N",

  signal: { danger: "PELIGRO", warning: "ADVERTENCIA", caution: "PRECAUCIÓN", notice: "AVISO" },
  hold: "ALTO",
  status: { draft: "BORRADOR" },
  revision: (name) => `Revisión ${name}`,
  notDated: "sin fecha",
  page: (number, of) => `Página ${number} de ${of}`,

  setNames: {
    survey: "Juego de levantamiento",
    crew: "Juego de la cuadrilla",
    gc: "Juego del contratista general",
    closeout: "Juego de entrega",
  },
  titles: {
    cover: "Portada",
    "pin-map": "Plano de pines",
    "cut-table": "Tabla de cortes, en orden de colocación",
    "cut-order": "Orden de corte y tiras a tamaño real",
    "mixing-schedule": "Reloj del colado",
    "batch-log": "Registro de tandas",
    "pause-cards": "Tarjetas de pausa",
    safety: "Seguridad",
    quantities: "Cantidades",
    "top-of-pour": "Nivel final del colado",
    method: "Procedimiento",
    readiness: "Estado de la base",
    "silica-plan": "Plan de seguridad y sílice",
    "data-sheets": "Lista de fichas técnicas",
    meeting: "Reunión antes del colado",
    acceptance: "Criterios de aceptación",
    "survey-brief": "Instrucciones del levantamiento",
    "survey-plan": "Plano y lecturas del levantamiento",
    "survey-form": "Lecturas en orden",
    "same-day": "Regla y cuenta del mismo día",
    "survey-report": "Informe del levantamiento",
    "survey-summary": "Levantamiento: leer de nuevo",
    "finished-floor": "Lecturas del piso terminado",
    flatness: "Informe de planitud, piso terminado",
    "flatness-raw-slab": "Informe de planitud, losa recibida",
  },

  notYet: () => "faltan datos anteriores.",
  refused: "el archivo del trabajo tiene errores",

  planningAid:
    "Solo ayuda de planeación. Mandan el saco, las fichas técnicas, el reglamento local, el contrato y los profesionales con licencia donde digan otra cosa.",
  exampleMaterial: (name) =>
    `Los valores de «${name}» vienen de ejemplo. Compare cada uno con el saco y su ficha técnica antes de mezclar.`,

  cover: {
    stops: "Qué puede parar el colado",
    nothingStops: "Nada que este paquete conozca. Aun así hay que contestar las tarjetas de pausa.",
    warnings: "Advertencias",
    unprintable: (characters) =>
      `A la letra impresa le faltan estos signos del archivo del trabajo, pueden verse mal: ${characters}`,
    keyFigures: "Datos principales",
    sheets: "Hojas de este paquete",
    packetHash: (hash) => `Código del paquete, hecho con los códigos de abajo: ${hash}`,
    columns: { sheet: "Hoja", pages: "Páginas", sets: "Juegos", hash: "Código" },
    setLetters: { survey: "Levant.", crew: "Cuadrilla", gc: "CG", closeout: "Entrega" },
    notYet: "Hojas que todavía no están",
    cautions: "Precauciones",
    compareHash: "Una hoja es de este paquete si el código de su pie está en esta lista.",
    codeCaption: "Este trabajo en la dirección de la oficina. Los códigos sirven sin red.",
    figures: {
      floor: "Piso",
      mean: "Espesor medio",
      greatest: "Espesor mayor",
      bags: "Sacos que pedir",
      waterPerBag: "Agua por saco",
      pins: "Pines de altura",
      highSpots: "Puntos altos que desbastar",
      batches: "Tandas",
      duration: "La mezcla dura, h:min",
    },
    scope: { place: "Lugar", client: "Cliente", gc: "Contratista general", contract: "Contrato", start: "Inicio" },
  },

  holds: {
    "suspended-floor-not-accepted": (load) =>
      load === ""
        ? "El piso es elevado y no hay ingeniero con nombre que haya aceptado la carga del colado y de las tarimas. Nadie acopia ni cuela hasta que lo haga."
        : `El piso es elevado y no hay ingeniero con nombre que haya aceptado ${load} del colado y las tarimas. Nadie acopia ni cuela hasta que lo haga.`,
    "dead-load-past-allowed": (load) =>
      `La carga muerta añadida de ${load} pasa de lo que permite el contrato. Nadie acopia ni cuela hasta aclararlo.`,
  },

  warning: ({ code }) => spanishWarning(code),

  map: {
    title: (name) => `Plano de pines de ${name}`,
    description: (pins, scale) =>
      `Planta con ${pins} a escala ${scale}. La tabla de cortes da los mismos pines como texto.`,
    scale: "Escala",
    checkLength: (length) => `Control: esta barra mide ${length}.`,
    bandDepth: (from, to) => `${from} a ${to}`,
    bandProud: "Sobre el nivel final: desbaste",
    bandBelow: (to) => `menos de ${to}`,
    bandAbove: (from) => `${from} y más`,
    pin: "Pin, leído",
    pinInterpolated: "Pin sin leer: revíselo",
    highSpot: "Punto alto: desbaste, luego pin",
    noPin: "desbastar",
    column: "Columna",
    opening: "Hueco, no se cuela",
    door: "Puerta",
    entrance: "Entrada",
    contour: (interval) => `Curva cada ${interval}`,
    gridLine: "Línea, distancia a la pared 0",
    matchLine: "Línea de empalme",
    continues: (tile) => `sigue en ${tile}`,
    tile: (name) => `Sección ${name}`,
    keyMap: "Plano clave",
    detail: (name) => `Detalle ${name}`,
    zeroWalls: "Mida a escuadra desde la pared 0, nunca de línea a línea.",
    labelHint: (unit, other) => `Grande: corte, ${unit}. Abajo: ${other}.`,
    benchMark: "Banco de nivel",
  },

  cut: {
    howTo: (difference) =>
      `Corte al largo grande. Lea de nuevo con el nivel los pines marcados antes del colado. Corte otra vez el pin si la lectura difiere en ${difference} o más.`,
    footCounted: "Los largos cuentan desde la losa; el pie del pin está incluido.",
    footNotCounted: (foot) => `Los largos van en la escala del pin, que empieza sobre su pie de ${foot}.`,
    route: (room, count) => `${room}: ${count}`,
    columns: {
      pin: "Pin",
      cut: "Corte",
      other: "Otra unidad",
      otherShort: "Otra",
      where: "Dónde",
      check: "Revisión",
      placed: "Puesto",
      count: "Pines",
      which: "Cuáles",
      line: "Línea",
      distance: "Distancia",
      fromWall: "A escuadra desde",
    },
    onGrid: "en sus líneas",
    offWall: (name, large, small) => `${name} ${large} (${small})`,
    lines: "Trace primero estas líneas",
    captionLines: (room) => `Líneas de ${room} con su distancia a una pared`,
    interpolated: "sin leer: revise con el nivel",
    afterGrinding: "en blanco",
    afterGrindingNote: "desbaste y lea otra vez",
    tooShort: "sin pin",
    tooShortNote: "desbastar",
    checkThis: "revisar",
    noCheck: "–",
    captionPlace: (room) => `Pines de ${room} en orden de colocación`,
    captionCut: "Pines agrupados por largo de corte",
    cutOrder: "Orden de corte: todos los pines de un largo a la vez",
    strips: "Tiras a tamaño real",
    stripsHowTo:
      "Ponga el pin sobre una tira: el pie en la línea gruesa, la punta al final de la tira. Mida antes el largo de control; una copia «ajustada» no sirve.",
    stripCheck: (length) => `Largo de control ${length}`,
    stripTitle: "Largos de corte a tamaño real",
    stripDescription: (count) => `${count} tiras, cada una del largo al que se corta un pin.`,
    stripTooLong: (length) => `Los pines de más de ${length} no caben en este papel: córtelos con cinta métrica.`,
    noCuts: "Pines sin largo de corte",
  },

  clock: {
    perBatch: "Sacos por tanda",
    water: "Agua por tanda",
    waterPerBag: "Agua por saco",
    every: "Una tanda cada",
    mix: "Mezcle durante",
    within: "Límite: vertida y extendida en",
    of: "desde que el polvo toca el agua",
    starts: (start) => `El primer polvo toca el agua: ${start}.`,
    noStart: "Inicio sin fijar: escriba aquí la hora de la primera tanda.",
    total: (batches, bags, time) => `${batches}, ${bags}, última tanda vertida a las ${time} de empezar.`,
    tooSlow: (covers, lane) =>
      `En un tiempo de fluidez esta cuadrilla cubre ${covers}, menos que un cuadro del carril, ${lane}. Se perderá el borde húmedo: más barriles, más gente, carriles más angostos o tramos más chicos.`,
    lastBatch: (number, bags, water) => `La tanda ${number} es menor: ${bags}, ${water} de agua.`,
    columns: { batch: "Tanda", at: "Polvo toca agua, h:min", clock: "Hora", bags: "Sacos en total" },
    caption: "Tandas con tiempo transcurrido y sacos en total",
    wetEdge: "Renueve el borde húmedo antes de diez minutos. Primero lo más hondo.",
    measured: "El agua se mide, nunca se echa al tanteo.",
  },

  log: {
    paper: "Se escribe en papel común con bolígrafo: una hoja laminada no es constancia.",
    columns: {
      batch: "Tanda",
      bags: "Sacos",
      water: "Agua",
      waterAt: "Polvo toca agua, hora",
      poured: "Vertida, hora",
      spread: "Anillo de fluidez",
      temperature: "Mezcla °F o °C",
      initials: "Iniciales",
    },
    environment: "Condiciones",
    environmentRows: [
      "Temperatura y humedad relativa del aire",
      "Temperatura de la superficie de la losa",
      "Punto de rocío",
      "Temperatura del agua",
      "Lote y fecha de caducidad de los sacos",
      "Extensión aceptada del anillo, de la ficha técnica",
    ],
    columnsEnvironment: { what: "Qué", before: "Antes", during: "Durante", after: "Después" },
    signed: ["Encargado, nombre", "Firma", "Fecha y hora"],
    captionBatches: "Tandas como se mezclaron",
    captionEnvironment: "Condiciones como se midieron",
  },

  cards: {
    note: "Alto. Se lee en voz alta, cada punto se contesta con un valor, escribe uno.",
    beforeMixing: "1 Antes de mezclar",
    beforePour: "2 Antes del primer vertido",
    beforeLeaving: "3 Antes de irse",
    wanted: (value) => `debe ser ${value}`,
    crewReady: "Con respirador, gafas, guantes y botas: personas",
    engines: "Motores y calentadores sin salida, adentro",
    gfci: "GFCI probado en cada cable: cables",
    bag: (material) => `El saco dice «${material}»: caducidad`,
    waterPerBag: "Agua por saco, medida",
    waterTemperature: "Temperatura del agua",
    slabTemperature: "Losa sobre el punto de rocío",
    primer: "Imprimador seco y a tiempo: aplicado a las",
    eyewash: "Lavaojos probado y cerca: pasos",
    complete: "Tarjeta completa: hora e iniciales",
    pinsChecked: "Pines marcados leídos de nuevo",
    dams: "Puertas tapadas, drenajes y grietas sellados: puertas",
    joints: "Espuma en paredes; juntas vivas continuadas: juntas",
    flow: "Anillo de fluidez dentro de la ficha técnica",
    waterBatch: "Agua por tanda, medida",
    mixTime: "Mezclado con reloj",
    fans: "Ventiladores y aire acondicionado andando",
    spare: "Mezclador, agua y luz de repuesto: mezcladores",
    lastPoured: "Última tanda vertida a las",
    bagsUsed: "Sacos usados",
    pinsAbove: "Pines que salen de la superficie",
    walkOn: "No pisar antes de",
    walkOnUnknown: "Tiempo para pisar, de la ficha técnica",
    barricades: "Puertas cerradas con barrera",
    drying: "Ventiladores o calor que fuerzan el secado",
    washout: "Agua de lavado echada al drenaje",
    logged: "Tandas en el registro, firmado",
    minutes: "min",
    kelvin: "3 °C o más",
    fahrenheit: "5 °F o más",
    afterLast: (time) => `última + ${time}`,
  },

  safety: {
    intro: "Se lee en voz alta antes del turno. Mandan la hoja de seguridad del saco y el programa del patrón.",
    carbonMonoxide:
      "El monóxido de carbono mata sin olor. Adentro, ningún esmeril de motor, generador, bomba de motor ni calentador sin salida.",
    structure:
      "El material mojado y las tarimas cargan el piso. En un piso elevado nadie acopia ni cuela antes de que un ingeniero con nombre haya aceptado las dos cosas.",
    silica:
      "El polvo de los sacos y del concreto desbastado lleva sílice cristalina y destruye los pulmones. Desbaste solo con guarda y colector de polvo. Vacíe los sacos despacio, con succión. No barra en seco, no sople con aire comprimido.",
    caustic:
      "La mezcla fresca es muy alcalina. Las quemaduras llegan tarde y sin aviso. Gafas, guantes, mangas largas, botas. Lave la piel de inmediato; los ojos, 15 minutos, y busque atención médica.",
    electricity:
      "El agua y los cables están juntos. Un GFCI en cada contacto de 120 V, probado hoy. Los mezcladores y bombas de 240 V son cosa de un electricista.",
    oldFloors: "Los pisos viejos pueden tener asbesto o plomo. No se desbasta nada antes de analizarlo.",
    lifting: (bag) =>
      `Un saco de ${bag} es más de lo que una persona debe levantar todo el día. Levántelo entre dos o desde una mesa a la altura de la cadera; túrnense.`,
    slips: "El material mojado y las suelas mojadas resbalan. Use suelas con púas; no corra; cables junto a la pared.",
    washout:
      "El agua de lavado nunca va al drenaje ni a la tierra. Júntela, deje que fragüe y tírela como pide la obra.",
    wrongPin: "Un pin mal cortado hace un piso malo. Si hay duda, pare y lea otra vez.",
    emergency: "En una emergencia",
    emergencyRows: [
      "Número de emergencia y dirección de la obra",
      "Hospital más cercano",
      "Quien da primeros auxilios",
      "Lavaojos y botiquín en",
      "Corte de la electricidad en",
      "Responsable de seguridad de la obra",
    ],
  },

  ...esOffice,
  ...esFlatness,
  ...esSurvey,
  ...esTarget,
};
