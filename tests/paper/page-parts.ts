/** What the rules look at: the parts of a page, heights of drawn glyphs, printed values read back. */
import type { Language, PaperFamily } from "../../src/job/model.ts";
import type { Plan } from "../../src/layout/model.ts";
import type { Extent, Paper, PaperPage, TextMark } from "./read-paper.ts";

/** What is known of the job besides its paper: from packet.json and from the job file. */
export interface Expected {
  readonly jobId: string;
  readonly family: PaperFamily;
  readonly language: Language;
  /** Printed title of a sheet → its id. */
  readonly sheetIds: ReadonlyMap<string, string>;
  readonly pins: readonly ExpectedPin[];
  readonly waterPerBag: string | undefined;
  /** Where the walls stand, to redraw from printed offsets. */
  readonly plan: Plan | undefined;
  /** Ids and texts of the job file and its library: what may stand on a sheet in any language and in capitals. */
  readonly ownText: string;
}

export interface ExpectedPin {
  readonly id: string;
  readonly room: string;
  readonly at: { readonly eastM: number; readonly northM: number };
  /** Cut length in both units as printed; undefined where there is nothing to cut yet. */
  readonly printed: readonly [string, string] | undefined;
}

export interface Finding {
  readonly rule: string;
  /** File and page. */
  readonly page: string;
  /** The text, or what kind of mark. */
  readonly what: string;
  /** Place on the paper, mm from its upper left corner. */
  readonly at: string;
  readonly why: string;
}

export interface PageParts {
  readonly page: PaperPage;
  /** Where findings say that they are. */
  readonly name: string;
  readonly sheetId: string;
  readonly head: readonly TextMark[];
  readonly body: readonly TextMark[];
  readonly foot: readonly TextMark[];
}

/** No-break and thin spaces read as spaces. */
export const plain = (text: string): string => text.replace(/[\u00a0\u2007\u2009\u202f]/g, " ").trim();
export const textOf = (mark: TextMark): string => plain(mark.text);
export const placeOf = ({ minX, minY }: Extent): string => `${minX.toFixed(1)}, ${minY.toFixed(1)} mm`;
export const found = (rule: string, parts: PageParts, extent: Extent, what: string, why: string): Finding => ({
  rule,
  page: parts.name,
  what,
  at: placeOf(extent),
  why,
});

/** The title block ends so far below the upper edge, the identity line begins so far above the lower one. */
export const HEAD_MM = 30;
export const FOOT_MM = 16;

export const isText = (mark: { readonly kind: string }): mark is TextMark => mark.kind === "text";

export function partsOf(paper: Paper, page: PaperPage, expected: Expected): PageParts {
  const texts = page.marks.filter(isText);
  const head = texts.filter(({ extent }) => extent.maxY < HEAD_MM);
  const foot = texts.filter(({ extent, emMm }) => extent.minY > page.heightMm - FOOT_MM && emMm < 3.2);
  const body = texts.filter((mark) => !head.includes(mark) && !foot.includes(mark));
  const sheetId = foot.flatMap((mark) => expected.sheetIds.get(textOf(mark)) ?? [])[0] ?? "";
  return { page, name: `${paper.fileName} page ${page.number} (${sheetId})`, sheetId, head, body, foot };
}

const isUpright = ({ turned }: TextMark): boolean => Math.abs(turned) === 0;
/** Height of a drawn glyph across its line. */
const heightOf = (mark: TextMark, extent: Extent): number =>
  isUpright(mark) ? extent.maxY - extent.minY : extent.maxX - extent.minX;

/** The lowest glyph of a class in a text: flat letters and digits are as high as their class, round ones a little higher. */
export function lowestGlyph(mark: TextMark, letters: RegExp): number | undefined {
  const heights = mark.glyphs.flatMap(({ text, extent }) =>
    letters.test(text) && extent ? [heightOf(mark, extent)] : [],
  );
  return heights.length > 0 ? Math.min(...heights) : undefined;
}
export const CAPITALS = /^[ABCDEFGHIKLMNOPRSTUVWXYZ0-9]$/;
export const DIGITS = /^\d$/;
export const SMALL_LETTERS = /^[acemnorsuvwxz]$/;

/** Values in one unit, so that both printed units can be compared. */
export interface Quantity {
  readonly kind: "length" | "area" | "volume" | "mass" | "temperature" | "load";
  /** mm, m², L, kg, °C, kg/m². */
  readonly value: number;
  /** One step of what is printed, in the same unit. */
  readonly step: number;
}

/** Exact by definition: NIST SP 811 (2008), appendix B. */
const UNITS: Readonly<Record<string, readonly [Quantity["kind"], number]>> = {
  mm: ["length", 1],
  in: ["length", 25.4],
  m: ["length", 1000],
  ft: ["length", 304.8],
  "m²": ["area", 1],
  "ft²": ["area", 0.09290304],
  L: ["volume", 1],
  "m³": ["volume", 1000],
  "ft³": ["volume", 28.316846592],
  qt: ["volume", 0.946352946],
  gal: ["volume", 3.785411784],
  kg: ["mass", 1],
  lb: ["mass", 0.45359237],
  "kg/m²": ["load", 1],
  psf: ["load", 0.45359237 / 0.09290304],
  kPa: ["load", 1000 / 9.80665],
};
const GROUPED = String.raw`\d{1,3}(?:[ ,]\d{3})+(?:\.\d+)?`;
const NUMBER = String.raw`[−-]?(?:\d+ \d+/\d+|\d+/\d+|${GROUPED}|\d+(?:\.\d+)?)`;
/** A fraction has whole inches before it, if they are none. */
const FEET_AND_INCHES = String.raw`[−-]?\d+' \d+(?: \d+/\d+)?"`;
const UNIT = Object.keys(UNITS)
  .sort((p, q) => q.length - p.length)
  .join("|");
export const VALUE = String.raw`(?:${FEET_AND_INCHES}|${NUMBER} (?:${UNIT}|°C|°F))(?![\w²³/])`;

/** A number as printed and the step to which it is printed; fractions of an inch go by sixteenths. */
function readNumber(text: string): readonly [number, number] {
  const sign = /^[−-]/.test(text) ? -1 : 1;
  const [, whole, over, under] = /^[−-]?(?:(\d+) )?(\d+)\/(\d+)$/.exec(text) ?? [];
  if (over !== undefined)
    return [sign * (Number(whole ?? 0) + Number(over) / Number(under)), 1 / Math.max(16, Number(under))];
  const places = /\.(\d+)$/.exec(text)?.[1]?.length ?? 0;
  return [sign * Number(text.replace(/^[−-]|[ ,]/g, "")), 10 ** -places];
}

/** Reads a printed value; undefined where the text is none. Feet and inches are printed to an eighth. */
export function readQuantity(text: string): Quantity | undefined {
  const feet = /^([−-]?)(\d+)' (.+)"$/.exec(text);
  if (feet) {
    const [inches] = readNumber(feet[3]!);
    return {
      kind: "length",
      value: (feet[1] === "" ? 1 : -1) * (Number(feet[2]) * 12 + inches) * 25.4,
      step: 25.4 / 8,
    };
  }
  const match = new RegExp(`^(${NUMBER}) (${UNIT}|°C|°F)$`).exec(text);
  if (!match) return undefined;
  const [number, step] = readNumber(match[1]!);
  const unit = match[2]!;
  if (unit === "°C") return { kind: "temperature", value: number, step };
  if (unit === "°F") return { kind: "temperature", value: (number - 32) / 1.8, step: step / 1.8 };
  const [kind, factor] = UNITS[unit]!;
  // Whole inches stand among sixteenths.
  const printedStep = unit === "in" && step === 1 ? 1 / 16 : step;
  return { kind, value: number * factor, step: printedStep * factor };
}

/** Words of three letters and more, in small letters. */
export const wordsOf = (text: string): string[] => (text.match(/\p{L}{3,}/gu) ?? []).map((word) => word.toLowerCase());
