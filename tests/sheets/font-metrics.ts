/**
 * Reads the embedded fonts and gives their metrics as the generated modules src/sheets/type/noto-sans.ts and
 * noto-sans-arabic.ts hold them. Run it to write those again after a font package has changed:
 *
 *     node --import tsx tests/sheets/font-metrics.ts
 */
import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import { create, type Font } from "fontkit";

const require = createRequire(import.meta.url);
/** Later subsets only add characters: the first that has one is the one that a browser uses. */
const SUBSETS = ["latin", "latin-ext", "greek", "cyrillic", "cyrillic-ext", "greek-ext", "vietnamese"].map(
  (subset) => `noto-sans/files/noto-sans-${subset}`,
);
const HEBREW = "noto-sans-hebrew/files/noto-sans-hebrew-hebrew";
const ARABIC = "noto-sans-arabic/files/noto-sans-arabic-arabic";
/** The blocks taken of those two: presentation forms, which no keyboard writes, are left out. */
const HEBREW_BLOCK = [0x0590, 0x05ff] as const;
const ARABIC_BLOCKS = [
  [0x0600, 0x06ff],
  [0x0750, 0x077f],
  [0x0870, 0x08ff],
] as const;
export const WEIGHTS = [400, 700] as const;

export interface FaceMetrics {
  readonly unitsPerEm: number;
  readonly ascent: number;
  readonly descent: number;
  readonly capHeight: number;
  readonly xHeight: number;
  /** Height of the digit 1, which has a flat top and no overshoot. */
  readonly digitHeight: number;
  /** Runs of consecutive code points: the first, and the advance width of each in font units. */
  readonly runs: readonly (readonly [number, readonly number[]])[];
}

export const FONT_FILES = { hebrew: HEBREW, arabic: ARABIC } as const;

/** A face of the font packages, by its file's name up to the weight. */
export const openFont = (file: string, weight: number): Font =>
  create(readFileSync(require.resolve(`@fontsource/${file}-${weight}-normal.woff2`)));

/** Widths without placing dots that are glyphs of their own, which fails for some letters. */
const shaped = (font: Font, text: string) => font.layout(text, { mark: false, mkmk: false });

const LAMS = "\u0644\u06b5\u06b6\u06b7\u06b8";

/**
 * The advances of a letter's forms, in font units: alone, joined to the letter before it, to the one after it, to both.
 * Two for a letter that never joins the one after it, one for a letter that joins none, none for a mark over a letter.
 * A form is measured beside tatweels, which join whatever joins; that it does shows in the form of a hah beside it.
 */
function formWidths(font: Font, codePoint: number): number[] {
  const [tatweel, hah] = ["\u0640", "\u062d"];
  const letter = String.fromCodePoint(codePoint);
  if (/\p{Mn}/u.test(letter)) return [];
  // Glyphs come as they are drawn, from the left: the text's last letter first.
  const glyphs = (text: string) => shaped(font, text).glyphs;
  const sum = (ofGlyphs: readonly { readonly advanceWidth: number }[]): number =>
    ofGlyphs.reduce((total, { advanceWidth }) => total + advanceWidth, 0);
  const hahAlone = glyphs(hah)[0]?.id;
  const forms = [sum(glyphs(letter))];
  if (glyphs(hah + letter).at(-1)?.id === hahAlone) return forms;
  forms.push(sum(glyphs(tatweel + letter).slice(0, -1)));
  if (glyphs(letter + hah)[0]?.id === hahAlone) return forms;
  const initial = sum(glyphs(letter + tatweel).slice(1));
  const medial = sum(glyphs(tatweel + letter + tatweel).slice(1, -1));
  if (!LAMS.includes(letter)) return [...forms, initial, medial];
  // Lam and the alef after it are one glyph, wider than both: what it is wider by is given to the lam.
  const alef = sum(glyphs(`${tatweel}\u0627`).slice(0, -1));
  const ligature = sum(glyphs(`${letter}\u0627`)) - alef;
  const joinedLigature = sum(glyphs(`${tatweel}${letter}\u0627`).slice(0, -1)) - alef;
  return [...forms, Math.max(initial, ligature), Math.max(medial, joinedLigature)];
}

/** Runs of consecutive code points: the first, and the advances of the forms of each. */
export function deriveJoinedForms(weight: number): [number, number[][]][] {
  const font = openFont(ARABIC, weight);
  const taken = font.characterSet.filter((codePoint) =>
    ARABIC_BLOCKS.some(([first, last]) => codePoint >= first && codePoint <= last),
  );
  const runs: [number, number[][]][] = [];
  for (const codePoint of taken.sort((a, b) => a - b)) {
    const widths = formWidths(font, codePoint).map(Math.round);
    const last = runs.at(-1);
    if (last && codePoint === last[0] + last[1].length) last[1].push(widths);
    else runs.push([codePoint, [widths]]);
  }
  return runs;
}

/** The metrics of one weight over all embedded subsets, in font units. */
export function deriveMetrics(weight: number): FaceMetrics {
  const fonts = SUBSETS.map((file) => openFont(file, weight));
  const latin = fonts[0] as Font;
  const widths = new Map<number, number>();
  for (const font of fonts) {
    for (const codePoint of font.characterSet) {
      const printable = codePoint >= 0x20 && codePoint < 0xfff0 && !(codePoint >= 0x7f && codePoint < 0xa0);
      if (printable && !widths.has(codePoint)) widths.set(codePoint, font.glyphForCodePoint(codePoint).advanceWidth);
    }
  }
  const hebrew = openFont(HEBREW, weight);
  for (const codePoint of hebrew.characterSet) {
    if (codePoint < HEBREW_BLOCK[0] || codePoint > HEBREW_BLOCK[1]) continue;
    widths.set(codePoint, shaped(hebrew, String.fromCodePoint(codePoint)).advanceWidth);
  }
  const runs: [number, number[]][] = [];
  for (const codePoint of [...widths.keys()].sort((a, b) => a - b)) {
    const last = runs.at(-1);
    const width = widths.get(codePoint) as number;
    if (last && codePoint === last[0] + last[1].length) last[1].push(width);
    else runs.push([codePoint, [width]]);
  }
  return {
    unitsPerEm: latin.unitsPerEm,
    ascent: latin.ascent,
    descent: latin.descent,
    capHeight: latin.capHeight,
    xHeight: latin.xHeight,
    digitHeight: latin.glyphForCodePoint(0x31).bbox.maxY,
    runs,
  };
}

function write(module: string, origin: string, values: Readonly<Record<string, string>>): void {
  const text = [
    `/** Generated by tests/sheets/font-metrics.ts from ${origin}: do not edit. All in font units. */`,
    ...Object.entries(values).map(([name, value]) => `export const ${name} = ${value};`),
  ].join("\n");
  writeFileSync(new URL(`../../src/sheets/type/${module}.ts`, import.meta.url), `${text}\n`);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const metrics = (weight: number): string =>
    `${JSON.stringify(deriveMetrics(weight))} satisfies { runs: [number, number[]][] } & Record<string, unknown>`;
  const forms = (weight: number): string =>
    `${JSON.stringify(deriveJoinedForms(weight))} satisfies readonly (readonly [number, readonly (readonly number[])[]])[]`;
  write("noto-sans", "@fontsource/noto-sans and noto-sans-hebrew", {
    NOTO_SANS_400: metrics(400),
    NOTO_SANS_700: metrics(700),
  });
  write("noto-sans-arabic", "@fontsource/noto-sans-arabic", { ARABIC_400: forms(400), ARABIC_700: forms(700) });
}
