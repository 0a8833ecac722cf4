/** The stages' warnings in Spanish, by code. The values stand in the office's English message. */

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
  "carried-depth-past-pin": "Fuera de las lecturas el espesor estimado pasa del largo de un pin: léalo antes de colar.",
};

export const spanishWarning = (code: string): string =>
  WARNINGS[code] ?? `La oficina recibió la advertencia «${code}»: pregunte antes de empezar.`;

/** The codes that have words of their own. */
export const SPANISH_WARNING_CODES: ReadonlySet<string> = new Set(Object.keys(WARNINGS));
