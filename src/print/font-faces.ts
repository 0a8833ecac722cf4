/**
 * The embedded font, as CSS. A page carries the subsets that its own characters need and no others:
 * the Latin one is 17 kB, the one with the rarer Latin letters four times as much.
 * Noto Sans, SIL Open Font License 1.1, from the packages @fontsource/noto-sans, -hebrew and -arabic.
 */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

/** Stands in the templates where the fonts go. Autoescaping turns the quotes of any copy in a job's text. */
export const FONT_FACES_MARK = '/*"font faces"*/';

const WEIGHTS = [400, 700] as const;

interface Subset {
  readonly family: string;
  readonly name: string;
  /** As the package's unicode.json has it: `U+0100-02BA,U+02BD`. */
  readonly unicodeRange: string;
  readonly ranges: readonly (readonly [number, number])[];
  css?: string;
}

const require = createRequire(import.meta.url);
let subsets: Subset[] | undefined;

/** In this order of preference. Devanagari is left out: its letters join, which the sheets' measures do not know. */
const SUBSETS = [
  ...["latin", "latin-ext", "greek", "cyrillic", "cyrillic-ext", "greek-ext", "vietnamese"].map(
    (name) => ["noto-sans", name] as const,
  ),
  ["noto-sans-hebrew", "hebrew"] as const,
  ["noto-sans-arabic", "arabic"] as const,
];

function loadSubsets(): Subset[] {
  subsets ??= SUBSETS.map(([family, name]) => {
    const published = JSON.parse(readFileSync(require.resolve(`@fontsource/${family}/unicode.json`), "utf8")) as Record<
      string,
      string
    >;
    const unicodeRange = published[name];
    if (unicodeRange === undefined) throw new Error(`The font package ${family} has no subset named ${name}.`);
    return { family, name, unicodeRange, ranges: unicodeRange.split(",").map(parseRange) };
  });
  return subsets;
}

function parseRange(text: string): [number, number] {
  const [from, to] = text.replace("U+", "").split("-");
  const first = Number.parseInt(from ?? "", 16);
  return [first, to === undefined ? first : Number.parseInt(to, 16)];
}

function cssOf(subset: Subset): string {
  subset.css ??= WEIGHTS.map((weight) => {
    const { family, name } = subset;
    const file = require.resolve(`@fontsource/${family}/files/${family}-${name}-${weight}-normal.woff2`);
    const bytes = readFileSync(file).toString("base64");
    return `@font-face{font-family:"Noto Sans";font-style:normal;font-weight:${weight};src:url(data:font/woff2;base64,${bytes}) format("woff2");unicode-range:${subset.unicodeRange}}`;
  }).join("\n");
  return subset.css;
}

/**
 * Each character of a text once; all printable ones of ASCII, which lie in one subset, as the one letter. An index over
 * ten thousand jobs has millions of them.
 */
function charactersOf(text: string): Set<string> {
  const found = new Set(text.match(/[^\x20-\x7e]/gu));
  if (/[\x20-\x7e]/.test(text)) found.add("a");
  return found;
}

/** The `@font-face` rules that a text needs. */
export function fontFacesFor(text: string): string {
  const wanted = new Set<Subset>();
  const all = loadSubsets();
  for (const character of charactersOf(text)) {
    const code = character.codePointAt(0) as number;
    const subset = all.find(({ ranges }) => ranges.some(([from, to]) => code >= from && code <= to));
    if (subset) wanted.add(subset);
  }
  return all
    .filter((subset) => wanted.has(subset))
    .map(cssOf)
    .join("\n");
}

/** The page with the fonts that it needs where its mark stands. */
export function embedFonts(html: string): string {
  return html.split(FONT_FACES_MARK).join(fontFacesFor(html));
}
