/**
 * Widths and heights of printed text, from the metrics of the embedded font, so that pages are
 * made up here and not by the browser.
 */
import { NO_BREAK_SPACE } from "../../format.ts";
import { END_OF_ISOLATE, isolatedAcross, LEFT_TO_RIGHT_ISOLATE, RIGHT_TO_LEFT_ISOLATE } from "./isolate.ts";
import { NOTO_SANS_400, NOTO_SANS_700 } from "./noto-sans.ts";
import { ARABIC_400, ARABIC_700 } from "./noto-sans-arabic.ts";

export type Weight = 400 | 700;

interface Face {
  readonly unitsPerEm: number;
  readonly widths: ReadonlyMap<number, number>;
  /** Of letters that join: alone, joined to the one before, to the one after, to both; fewer for those that join less. */
  readonly forms: ReadonlyMap<number, readonly number[]>;
}

type Runs<T> = readonly (readonly [number, readonly T[]])[];
const unrolled = <T>(runs: Runs<T>): [number, T][] =>
  runs.flatMap(([first, values]) => values.map((value, offset): [number, T] => [first + offset, value]));

/** They are drawn by no font: they only set the direction of what stands between them. */
const DRAW_NOTHING = [LEFT_TO_RIGHT_ISOLATE, RIGHT_TO_LEFT_ISOLATE, END_OF_ISOLATE];

const faceOf = (metrics: typeof NOTO_SANS_400 | typeof NOTO_SANS_700, forms: Runs<readonly number[]>): Face => ({
  unitsPerEm: metrics.unitsPerEm,
  widths: new Map([
    ...unrolled(metrics.runs as Runs<number>),
    ...DRAW_NOTHING.map((character): [number, number] => [character.codePointAt(0) as number, 0]),
  ]),
  forms: new Map(unrolled(forms)),
});

const FACES: Readonly<Record<Weight, Face>> = {
  400: faceOf(NOTO_SANS_400, ARABIC_400 as Runs<readonly number[]>),
  700: faceOf(NOTO_SANS_700, ARABIC_700 as Runs<readonly number[]>),
};

/** Heights as shares of the type size; both weights agree in them but for the x-height, of which the smaller counts. */
export const CAP_HEIGHT = NOTO_SANS_400.capHeight / NOTO_SANS_400.unitsPerEm;
export const DIGIT_HEIGHT = NOTO_SANS_400.digitHeight / NOTO_SANS_400.unitsPerEm;
export const X_HEIGHT = NOTO_SANS_400.xHeight / NOTO_SANS_400.unitsPerEm;
export const DESCENT = -NOTO_SANS_400.descent / NOTO_SANS_400.unitsPerEm;

/** A character that the font lacks comes from another font of unknown width: as wide as a wide letter. */
const UNKNOWN_WIDTH_EM = 1;

/**
 * Width in mm of one line of text set at `sizeMm`, without kerning, which shortens it as a rule and lengthens it by
 * 0.2 mm at most. Arabic letters count in their joined forms; a ligature of two of them may make the line shorter.
 */
export function textWidthMm(text: string, sizeMm: number, weight: Weight = 400): number {
  const face = FACES[weight];
  let units = JOINS.test(text) ? joinedUnits(text, face) : 0;
  for (const character of text) {
    const codePoint = character.codePointAt(0) as number;
    units += face.widths.get(codePoint) ?? (face.forms.has(codePoint) ? 0 : UNKNOWN_WIDTH_EM * face.unitsPerEm);
  }
  return (units / face.unitsPerEm) * sizeMm;
}

/** The blocks of the letters that join. */
const JOINS = /[\u0600-\u06ff\u0750-\u077f\u0870-\u08ff]/;

/** What the letters that join take of a line, in font units. A mark over a letter does not part it from the next. */
function joinedUnits(text: string, { forms }: Face): number {
  const letters = [...text].flatMap((character) => {
    const widths = forms.get(character.codePointAt(0) as number) ?? NOT_JOINING;
    return widths.length === 0 ? [] : [widths];
  });
  let units = 0;
  letters.forEach((widths, k) => {
    const toBefore = widths.length > 1 && (letters[k - 1]?.length ?? 0) > 2;
    const toNext = widths.length > 2 && (letters[k + 1]?.length ?? 0) > 1;
    units += widths[(toBefore ? 1 : 0) + (toNext ? 2 : 0)] ?? 0;
  });
  return units;
}

/** Any other character stands alone, and has its width from elsewhere. */
const NOT_JOINING: readonly number[] = [0];

/** The text, or as much of its beginning as fits into `widthMm` with an ellipsis after it. */
export function fitText(text: string, widthMm: number, sizeMm: number, weight: Weight = 400): string {
  if (textWidthMm(text, sizeMm, weight) <= widthMm) return text;
  const characters = [...text];
  while (characters.length > 1 && textWidthMm(`${characters.join("")}…`, sizeMm, weight) > widthMm) characters.pop();
  return isolatedAcross([`${characters.join("").trimEnd()}…`])[0] ?? "";
}

/** The characters of a text that the embedded fonts do not have. */
export function uncoveredCharacters(text: string): string[] {
  const { widths, forms } = FACES[400];
  return [...new Set(text)].filter((character) => {
    const codePoint = character.codePointAt(0) as number;
    return !widths.has(codePoint) && !forms.has(codePoint);
  });
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
  return isolatedAcross(lines);
}

/** Lines of more than 70 characters are hard to follow back to the next line's start [NASA CR-177605]. */
export const MOST_CHARACTERS_A_LINE = 70;
