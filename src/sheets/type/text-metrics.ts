/**
 * Widths and heights of printed text, from the metrics of the embedded font, so that pages are
 * made up here and not by the browser.
 */
import { NO_BREAK_SPACE } from "../../format.ts";
import { NOTO_SANS_400, NOTO_SANS_700 } from "./noto-sans.ts";

export type Weight = 400 | 700;

interface Face {
  readonly unitsPerEm: number;
  readonly widths: ReadonlyMap<number, number>;
}

const faceOf = (metrics: typeof NOTO_SANS_400 | typeof NOTO_SANS_700): Face => ({
  unitsPerEm: metrics.unitsPerEm,
  widths: new Map(
    metrics.runs.flatMap(([first, widths]) =>
      (widths as number[]).map((width, offset): [number, number] => [(first as number) + offset, width]),
    ),
  ),
});

const FACES: Readonly<Record<Weight, Face>> = { 400: faceOf(NOTO_SANS_400), 700: faceOf(NOTO_SANS_700) };

/** Heights as shares of the type size; both weights agree in them but for the x-height, of which the smaller counts. */
export const CAP_HEIGHT = NOTO_SANS_400.capHeight / NOTO_SANS_400.unitsPerEm;
export const DIGIT_HEIGHT = NOTO_SANS_400.digitHeight / NOTO_SANS_400.unitsPerEm;
export const X_HEIGHT = NOTO_SANS_400.xHeight / NOTO_SANS_400.unitsPerEm;
export const DESCENT = -NOTO_SANS_400.descent / NOTO_SANS_400.unitsPerEm;

/** A character that the font lacks comes from another font of unknown width: as wide as a wide letter. */
const UNKNOWN_WIDTH_EM = 1;

/** Width in mm of one line of text set at `sizeMm`, without kerning, which shortens it as a rule and lengthens it by 0.2 mm at most. */
export function textWidthMm(text: string, sizeMm: number, weight: Weight = 400): number {
  const face = FACES[weight];
  let units = 0;
  for (const character of text) {
    units += face.widths.get(character.codePointAt(0) as number) ?? UNKNOWN_WIDTH_EM * face.unitsPerEm;
  }
  return (units / face.unitsPerEm) * sizeMm;
}

/** The text, or as much of its beginning as fits into `widthMm` with an ellipsis after it. */
export function fitText(text: string, widthMm: number, sizeMm: number, weight: Weight = 400): string {
  if (textWidthMm(text, sizeMm, weight) <= widthMm) return text;
  const characters = [...text];
  while (characters.length > 1 && textWidthMm(`${characters.join("")}…`, sizeMm, weight) > widthMm) characters.pop();
  return `${characters.join("").trimEnd()}…`;
}

/** The characters of a text that the embedded fonts do not have. */
export function uncoveredCharacters(text: string): string[] {
  const { widths } = FACES[400];
  return [...new Set(text)].filter((character) => !widths.has(character.codePointAt(0) as number));
}

/**
 * Breaks text into lines no wider than `widthMm` and no longer than `mostCharacters`. It breaks at
 * spaces. A no-break space holds what it joins together while that fits; a single word that does
 * not fit is broken inside, after as many letters as fit. A line feed always breaks.
 */
export function wrapText(
  text: string,
  widthMm: number,
  sizeMm: number,
  weight: Weight = 400,
  mostCharacters: number = MOST_CHARACTERS_A_LINE,
): string[] {
  const fits = (line: string): boolean => line.length <= mostCharacters && textWidthMm(line, sizeMm, weight) <= widthMm;
  const lines: string[] = [];
  for (const paragraph of text.split("\n")) {
    let line = "";
    const joined = paragraph.split(" ").filter((part) => part !== "");
    for (const word of joined.flatMap((part) => (fits(part) ? [part] : part.split(NO_BREAK_SPACE)))) {
      const longer = line === "" ? word : `${line} ${word}`;
      if (fits(longer)) {
        line = longer;
        continue;
      }
      if (line !== "") lines.push(line);
      line = word;
      while (!fits(line)) {
        const characters = [...line];
        let count = characters.length - 1;
        while (count > 1 && !fits(characters.slice(0, count).join(""))) count -= 1;
        if (count < 1) break;
        lines.push(characters.slice(0, count).join(""));
        line = characters.slice(count).join("");
      }
    }
    lines.push(line);
  }
  return lines;
}

/** Lines of more than 70 characters are hard to follow back to the next line's start [NASA CR-177605]. */
export const MOST_CHARACTERS_A_LINE = 70;
