/**
 * Every word that a sheet prints, in Spanish as it is spoken on sites. Numbers and ids come in as
 * printed text and are the same as in English. A practitioner whose language it is has not read it yet.
 */

import type { Wall } from "../../job/model.ts";
import { counted } from "./counted.ts";
import type { Words } from "./en.ts";
import { esFlatness } from "./es-flatness.ts";
import { esOffice } from "./es-office.ts";
import { esPour } from "./es-pour.ts";
import { esRecord } from "./es-record.ts";
import { esRevision } from "./es-revision.ts";
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
    changes: "Hoja de cambios",
    "cut-order": "Orden de corte y tiras a tamaño real",
    "bay-map": "Plano de tramos",
    "mixing-schedule": "Reloj del colado",
    "batch-log": "Registro de tandas",
    "pause-cards": "Tarjetas de pausa",
    safety: "Seguridad",
    quantities: "Cantidades",
    "pour-plan": "Plan del colado",
    "top-of-pour": "Nivel final del colado",
    method: "Procedimiento",
    readiness: "Estado de la base",
    "silica-plan": "Plan de seguridad y sílice",
    "data-sheets": "Lista de fichas técnicas",
    meeting: "Reunión antes del colado",
    acceptance: "Criterios de aceptación",
    "joint-survey": "Acta conjunta del levantamiento",
    submittals: "Lista de entregas a revisión",
    "daily-record": "Registro del día",
    "non-conformances": "No conformidades",
    handover: "Aceptación, curado y protección",
    "door-notice": "Aviso para la puerta",
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
    scope: {
      place: "Lugar",
      client: "Cliente",
      gc: "Contratista general",
      contract: "Contrato",
      section: "Sección",
      start: "Inicio",
    },
  },

  holds: {
    "suspended-floor-not-accepted": (load) =>
      load === ""
        ? "El piso es elevado y no hay ingeniero con nombre que haya aceptado la carga del colado y de las tarimas. Nadie acopia ni cuela hasta que lo haga."
        : `El piso es elevado y no hay ingeniero con nombre que haya aceptado ${load} del colado y las tarimas. Nadie acopia ni cuela hasta que lo haga.`,
    "dead-load-past-allowed": (load) =>
      `La carga muerta añadida de ${load} pasa de lo que permite el contrato. Nadie acopia ni cuela hasta aclararlo.`,
  },

  warning: ({ code, message }, names) => spanishWarning(code, message, names),

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
    findPin:
      "Para hallar un pin: la letra de su nombre da la fila de secciones, y su número, la columna. Cada sección lleva su nombre y, debajo, su página de este plano.",
    elsewhere: "Pines que están en otra parte",
    pinsOfTile: (tile, page, pins) => `Sección ${tile}, página ${page}: ${pins}`,
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
    onThisPage: (first, last) => `Esta página: de ${first} a ${last}`,
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
  ...esRevision,
  ...esFlatness,
  ...esPour,
  ...esRecord,
  ...esSurvey,
  ...esTarget,
};
