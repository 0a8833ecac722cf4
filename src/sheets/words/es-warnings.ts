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
};

/** A length, time, weight, load, temperature or share as `format` prints it, and ids of pins, doors and set-ups. */
const VALUE =
  /[−+±]?(?:\d[\d\u00a0 ]*' ?\d+(?:[ \u00a0]\d+\/\d+)?"|(?:\d+[ \u00a0])?\d+\/\d+[ \u00a0]in\b|\d+(?:\.\d+)?[ \u00a0](?:mm|m²|m³|m|in|ft²|ft|min|h|kg\/m²|kg|lb|L|qt|gal|kPa|psf|°C|°F)(?![\w²³/])|\d+(?:\.\d+)?[ \u00a0]?%)|\b[A-Z]{1,3}\d+[a-z]{0,2}\d?\b/g;

/** The values of a message: they read the same in every language. */
export const valuesOf = (message: string): string[] => [...new Set(message.match(VALUE) ?? [])];

/** @param message the English one, for its values. */
export function spanishWarning(code: string, message: string): string {
  const sentence = WARNINGS[code] ?? `La oficina recibió la advertencia «${code}»: pregunte antes de empezar.`;
  const values = valuesOf(message);
  return values.length === 0 ? sentence : `${sentence} Valores: ${values.join("; ")}.`;
}

/** The codes that have words of their own. */
export const SPANISH_WARNING_CODES: ReadonlySet<string> = new Set(Object.keys(WARNINGS));
