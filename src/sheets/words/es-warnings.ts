/** The stages' warnings in Spanish, by code; behind each stand the values of the office's English message. */

const WARNINGS: Readonly<Record<string, string>> = {
  "slower-than-a-lane":
    "En un cuarto la cuadrilla no cubre un carril dentro del tiempo de fluidez: vea el reloj del colado.",
  "points-at-one-place": "Dos puntos leídos están en el mismo lugar: la oficina tomó su promedio.",
  "room-without-own-surface": "Un cuarto tiene muy pocas lecturas propias: su losa se tomó de los cuartos vecinos.",
  "reading-of-unknown-point": "Una lectura es de un punto que el plano no tiene: no se usó.",
  "set-up-weakly-tied": "Una estación del nivel está mal amarrada a las otras: revise sus lecturas.",
  "times-run-backwards": "Las horas de las lecturas van hacia atrás en una estación.",
  "door-pin-blocked": "Junto a una puerta faltan pines que caían en una columna o fuera del cuarto: ponga uno a ojo.",
  "grid-wider-than-pins":
    "La cuadrícula es más ancha que la separación de pines del material: hay pines entre puntos, sin leer; revíselos con el nivel.",
  "room-without-points": "Un cuarto no tiene ningún punto leído: su piso se estimó de los vecinos.",
  "wide-strip-without-points": "Junto a una pared queda una franja ancha sin puntos leídos.",
  "carried-depth-past-material":
    "Fuera de las lecturas el espesor estimado pasa del límite del material: léalo antes de colar.",
  "door-joins-nothing": "Una puerta une con un cuarto cuyo piso no está cerca de ella: revise el plano.",
  "door-joins-unknown-room": "Una puerta une con un cuarto que este trabajo no tiene: se tomó como exterior.",
  "no-way-out": "Un cuarto no tiene puerta de salida: el colado supone que se sale por su pared más larga.",
  "far-from-readings": "Un lugar del piso está lejos de toda lectura: su nivel es un cálculo; léalo antes de colar.",
  "points-out-of-reach": "El levantamiento planeado no alcanza todos los puntos desde ninguna estación.",
  "set-ups-share-too-few-points": "Dos estaciones planeadas comparten muy pocos puntos para amarrarse.",
  "column-in-wall": "Una columna entra en una pared: cuenta solo la parte dentro del cuarto.",
  "closing-error-spread":
    "Las paredes medidas de un cuarto cierran dentro de lo permitido; la diferencia se repartió según su largo.",
  "named-like-grid-point":
    "Algo lleva el mismo nombre que un punto de la cuadrícula: en el plano hay dos con ese nombre.",
  "every-reading-negative":
    "Todas las lecturas de una estación llevan menos además de lo que dice la hoja: revise el signo con la oficina.",
  "unusual-wet-density":
    "La densidad en fresco del material no es usual: compárela con la ficha técnica antes de pedir.",
  "cannot-be-poured": "Esta cuadrilla no puede colar este piso como está planeado: vea el plan del colado.",
  "too-few-people":
    "La cuadrilla tiene menos gente de la que hace falta para mezclar, cargar, extender y alisar a su ritmo.",
  "door-blocked": "Ningún piso llega hasta una puerta: una columna o un ducto la tapa en el plano.",
  "no-bags-for-stops":
    "Los descansos y cambios de cuarto gastan más sacos de los pedidos: el colado está planeado sin pausas.",
  "carried-too-far": "El material se carga más lejos de la mezcladora de lo que alcanza el ciclo del barril.",
  "primer-closes": "El colado dura más que el tiempo abierto del imprimador: imprima por partes.",
  "carried-depth-past-pin": "Fuera de las lecturas el espesor estimado pasa del largo de un pin: léalo antes de colar.",
  "document-not-there":
    "Un documento nombrado en el trabajo no está en su carpeta: la lista no lleva su suma de control.",
  "bags-unaccounted-for": "Faltan sacos en la cuenta: los mezclados, rotos y devueltos no suman los entregados.",
  "used-past-approved": "Se usaron más sacos de los aprobados: la diferencia necesita aprobación por escrito.",
  "accepted-with-open-non-conformances": "El piso está anotado como aceptado, pero hay no conformidades sin cerrar.",
  "drain-not-read": "Cerca de un desagüe no se leyó ningún punto: lea uno allí, el espesor del desagüe depende de él.",
  "plane-is-level": "Se pide un plano, pero el material busca su nivel: la superficie queda a nivel.",
  "line-spacing": "Una línea no se leyó cada 12 in ni cada 300 mm: no da números de planitud ni de nivelación.",
  "line-too-short": "Una línea tiene menos de doce lecturas: no da números de planitud ni de nivelación.",
  "line-across-a-joint": "Una línea cruza una junta: cuenta solo por partes, cada lado en su sección.",
  "line-near-an-edge":
    "Una línea pasa demasiado cerca de un borde o de una junta: cuentan solo las lecturas que guardan la distancia.",
  "floor-not-scanned":
    "Una parte del piso no tiene puntos del escáner: la losa se tomó recta entre lo que la rodea; léala antes de colar.",
  "scan-points-far-off":
    "Unos puntos del escáner están lejos de la altura a su alrededor: vea si había algo en el piso, o un hoyo.",
  "scan-points-off-floor":
    "Unos puntos del escáner no caen en ningún piso sino en paredes, columnas o afuera: no se usaron.",
  "names-of-its-own":
    "Unos puntos de una lista llevan nombre de punto de la cuadrícula y están en otro lugar: en el plano llevan el suyo.",
};

/** A length, time, weight, load, temperature or share as `format` prints it, and ids of pins, doors and set-ups. */
const VALUE =
  /[−+±]?(?:\d[\d\u00a0 ]*' ?\d+(?:[ \u00a0]\d+\/\d+)?"|(?:\d+[ \u00a0])?\d+\/\d+[ \u00a0]in\b|\d+(?:\.\d+)?[ \u00a0](?:mm|m²|m³|m|in|ft²|ft|min|h|kg\/m²|kg|lb|L|qt|gal|kPa|psf|°C|°F)(?![\w²³/])|\d+(?:\.\d+)?[ \u00a0]?%)|\b[A-Z]{1,3}\d+[a-z]{0,2}\d?\b/g;

/** What is counted without a unit, as the office's messages name it. */
const COUNTED: Readonly<Record<string, string>> = {
  bag: "saco",
  bags: "sacos",
  batch: "tanda",
  batches: "tandas",
  door: "puerta",
  doors: "puertas",
  pallet: "tarima",
  pallets: "tarimas",
  people: "personas",
  pin: "pin",
  pins: "pines",
  point: "punto",
  points: "puntos",
  reading: "lectura",
  readings: "lecturas",
  room: "cuarto",
  rooms: "cuartos",
  "set-up": "estación",
  "set-ups": "estaciones",
};
const COUNT = new RegExp(`\\b(\\d[\\d\u00a0]*)[ \u00a0](${Object.keys(COUNTED).sort().reverse().join("|")})\\b`, "g");

/** Where each of these names stands in a message as whole words; a name within a longer one does not count. */
function namesIn(message: string, names: readonly string[]): { readonly text: string; readonly at: number }[] {
  const isLetter = (character: string | undefined): boolean =>
    character !== undefined && /[\p{L}\p{N}]/u.test(character);
  const found: { text: string; at: number }[] = [];
  for (const text of [...new Set(names)].sort((p, q) => q.length - p.length)) {
    const at = text === "" ? -1 : message.indexOf(text);
    if (at < 0 || isLetter(message[at - 1]) || isLetter(message[at + text.length])) continue;
    if (found.some((longer) => longer.text.includes(text))) continue;
    found.push({ text, at });
  }
  return found;
}

/**
 * What a message says besides its sentence, in its order: the job's names, values with their units, ids, counts with
 * what is counted. They read the same in every language, but for what is counted.
 * @param names of the job's rooms, doors, columns and set-ups.
 */
export function valuesOf(message: string, names: readonly string[] = []): string[] {
  const named = namesIn(message, names);
  const inName = (at: number): boolean => named.some(({ text, at: from }) => at >= from && at < from + text.length);
  const values = [...message.matchAll(VALUE)].flatMap(({ 0: text, index }) =>
    inName(index) ? [] : [{ text, at: index }],
  );
  const counts = [...message.matchAll(COUNT)].flatMap(({ 1: number, 2: what, index }) =>
    inName(index) ? [] : [{ text: `${number}\u00a0${COUNTED[what as string]}`, at: index }],
  );
  const all = [...named, ...values, ...counts].sort((p, q) => p.at - q.at).map(({ text }) => text);
  return [...new Set(all)];
}

/**
 * @param message the English one, for its values.
 * @param names of the job's rooms, doors, columns and set-ups.
 */
export function spanishWarning(code: string, message: string, names: readonly string[] = []): string {
  const sentence = WARNINGS[code] ?? `La oficina recibió la advertencia «${code}»: pregunte antes de empezar.`;
  const values = valuesOf(message, names);
  return values.length === 0 ? sentence : `${sentence} Valores: ${values.join("; ")}.`;
}

/** The codes that have words of their own. */
export const SPANISH_WARNING_CODES: ReadonlySet<string> = new Set(Object.keys(WARNINGS));
