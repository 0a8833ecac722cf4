/**
 * Lengths as they are written on site: `24' 6"`, `24 ft 6 1/2 in`, `7.47 m`, `18 mm`, `1/4 in`.
 * A bare number is handed back as it is: only the job knows which unit it was meant in.
 * 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
 */
import type { Metres } from "../units.ts";
import { MM_PER_INCH } from "../units.ts";

export type LengthText =
  /** A length that carries its unit. */
  | { readonly kind: "length"; readonly millimetres: number }
  /** A number alone. */
  | { readonly kind: "bare"; readonly value: number };

export interface Unreadable {
  readonly kind: "unreadable";
  readonly code: string;
  readonly message: string;
  readonly expected: string;
  readonly hint?: string;
}

export const LENGTH_EXAMPLES = `24' 6", 24 ft 6 1/2 in, 24.5 ft, 7.47 m, 18 mm, 1/4 in`;

const VULGAR_FRACTIONS: Readonly<Record<string, string>> = {
  "½": "1/2",
  "¼": "1/4",
  "¾": "3/4",
  "⅛": "1/8",
  "⅜": "3/8",
  "⅝": "5/8",
  "⅞": "7/8",
  "⅓": "1/3",
  "⅔": "2/3",
};

/** Typographic quotes, primes, dashes, fractions and spaces as a keyboard would have typed them. */
export function plainPunctuation(text: string): string {
  return text
    .replace(/[½¼¾⅛⅜⅝⅞⅓⅔]/g, (fraction) => ` ${VULGAR_FRACTIONS[fraction]}`)
    .replace(/[‘’′ʹ´]/g, "'")
    .replace(/[“”″ʺ]/g, '"')
    .replace(/''/g, '"')
    .replace(/[−–—‑]/g, "-")
    .replace(/⁄/g, "/")
    .replace(/×/g, "x")
    .replace(/[\s\u00a0\u2000-\u200a\u202f]+/g, " ")
    .trim();
}

/** `12`, `12.5`, `.5`, `3/4`, `6 1/2`, `6-1/2`: the forms in which a number stands on a tape or a sheet. */
export const NUMBER_FORM = String.raw`(?:\d+[ -]\d+/\d+|\d+/\d+|\d+(?:\.\d*)?|\.\d+)`;

/** The value of text in NUMBER_FORM; undefined where the fraction is not one (`1/0`, `6 5/4`). */
export function numberValue(text: string): number | undefined {
  const mixed = /^(?:(\d+)[ -])?(\d+)\/(\d+)$/.exec(text);
  if (!mixed) return Number(text);
  const whole = mixed[1] === undefined ? 0 : Number(mixed[1]);
  const above = Number(mixed[2]);
  const below = Number(mixed[3]);
  if (below === 0 || (mixed[1] !== undefined && above >= below)) return undefined;
  return whole + above / below;
}

const MM_PER_UNIT: Readonly<Record<string, number>> = {
  mm: 1,
  cm: 10,
  m: 1000,
  in: MM_PER_INCH,
  ft: 12 * MM_PER_INCH,
};

/** Spellings of a unit of length, all in lower case. */
const UNIT_SPELLINGS: Readonly<Record<string, keyof typeof MM_PER_UNIT>> = {
  mm: "mm",
  millimetre: "mm",
  millimetres: "mm",
  millimeter: "mm",
  millimeters: "mm",
  cm: "cm",
  centimetres: "cm",
  centimeters: "cm",
  m: "m",
  metre: "m",
  metres: "m",
  meter: "m",
  meters: "m",
  '"': "in",
  in: "in",
  "in.": "in",
  inch: "in",
  inches: "in",
  "'": "ft",
  ft: "ft",
  "ft.": "ft",
  foot: "ft",
  feet: "ft",
};

const FEET_AND_INCHES = new RegExp(
  `^(-?) ?(${NUMBER_FORM}) ?(?:'|ft\\.?|foot|feet) ?-? ?(${NUMBER_FORM}) ?("|in\\.?|inch|inches)?$`,
  "i",
);
const ONE_UNIT = new RegExp(`^(-?) ?(${NUMBER_FORM}) ?(.*)$`);

const unreadable = (code: string, message: string, hint?: string): Unreadable => ({
  kind: "unreadable",
  code,
  message,
  expected: `a length such as ${LENGTH_EXAMPLES}`,
  ...(hint === undefined ? {} : { hint }),
});

/**
 * Reads a length.
 * @param typed as it stands in the file, of any sign
 * @returns millimetres, or the bare number, or what is wrong with it. Never NaN or infinite.
 */
export function parseLength(typed: string): LengthText | Unreadable {
  const text = plainPunctuation(typed);
  if (text === "") return unreadable("unreadable-length", "The length is empty.");
  if (/\d,\d/.test(text)) {
    return unreadable(
      "decimal-comma",
      `"${typed}" has a comma inside a number.`,
      `Write the decimals with a point (${text.replace(/(\d),(\d)/g, "$1.$2")}) and thousands without a mark.`,
    );
  }
  const both = FEET_AND_INCHES.exec(text);
  if (both) return feetAndInches(typed, both);

  const single = ONE_UNIT.exec(text);
  if (!single) return unreadable("unreadable-length", `"${typed}" is not a length.`);
  const [, sign, numberText, unitText] = single as unknown as [string, string, string, string];
  const value = numberValue(numberText);
  if (value === undefined) return badFraction(typed, numberText);
  const signed = sign === "-" ? -value : value;
  if (!Number.isFinite(signed)) return unreadable("number-too-large", `"${typed}" is too large a number.`);
  if (unitText === "") return { kind: "bare", value: signed };
  const unit = Object.hasOwn(UNIT_SPELLINGS, unitText.toLowerCase())
    ? UNIT_SPELLINGS[unitText.toLowerCase()]
    : undefined;
  if (unit === undefined) {
    return unreadable("unreadable-length", `"${typed}" has no unit that can be read: "${unitText}" is not one.`);
  }
  return { kind: "length", millimetres: signed * MM_PER_UNIT[unit]! };
}

function feetAndInches(typed: string, match: RegExpExecArray): LengthText | Unreadable {
  const [, sign, feetText, inchText, mark] = match as unknown as [string, string, string, string, string | undefined];
  if (mark === undefined) {
    return unreadable(
      "unreadable-length",
      `"${typed}" has a number after the feet that says no unit.`,
      `Did you mean ${feetText}' ${inchText}"?`,
    );
  }
  if (!/^\d+$/.test(feetText)) {
    return unreadable(
      "unreadable-length",
      `"${typed}" has a fraction of a foot and inches besides.`,
      "Write whole feet with inches, or decimal feet alone.",
    );
  }
  const inches = numberValue(inchText);
  if (inches === undefined) return badFraction(typed, inchText);
  if (inches >= 12) {
    return unreadable(
      "unreadable-length",
      `"${typed}" has 12 inches or more after the feet.`,
      "Check the tape: inches after feet go up to 11 15/16.",
    );
  }
  const total = (Number(feetText) * 12 + inches) * MM_PER_INCH;
  if (!Number.isFinite(total)) return unreadable("number-too-large", `"${typed}" is too large a number.`);
  return { kind: "length", millimetres: sign === "-" ? -total : total };
}

const badFraction = (typed: string, fraction: string): Unreadable =>
  unreadable(
    "unreadable-length",
    `"${typed}" has a fraction that cannot be: ${fraction}.`,
    "Write a fraction below one, such as 6 1/2.",
  );

const whole = (value: number): string => (Object.is(value, -0) ? "0" : String(value));

/**
 * A plan length as it may be typed in a job file: feet, inches and sixteenths, or metres to the millimetre.
 * Read back by `parseLength` to within half of that step.
 */
export function spellPlanLength(length: Metres | number, unit: "ft-in" | "m"): string {
  const sign = length < 0 ? "-" : "";
  if (unit === "m") {
    const millimetres = Math.round(Math.abs(length) * 1000);
    return `${millimetres === 0 ? "" : sign}${whole(millimetres / 1000)} m`;
  }
  const sixteenths = Math.round((Math.abs(length) * 1000 * 16) / MM_PER_INCH);
  if (sixteenths === 0) return `0"`;
  const feet = Math.floor(sixteenths / 192);
  const inches = spellInches(sixteenths % 192);
  if (feet === 0) return `${sign}${inches}"`;
  return inches === "0" ? `${sign}${feet}'` : `${sign}${feet}' ${inches}"`;
}

/** Sixteenths of an inch as whole inches and a reduced fraction: 22 → `1 3/8`. */
function spellInches(sixteenths: number): string {
  const inches = Math.floor(sixteenths / 16);
  let above = sixteenths % 16;
  let below = 16;
  if (above === 0) return String(inches);
  while (above % 2 === 0) {
    above /= 2;
    below /= 2;
  }
  return inches === 0 ? `${above}/${below}` : `${inches} ${above}/${below}`;
}

/** A height as it may be typed: millimetres to the hundredth, or decimal inches to the thousandth. */
export function spellHeight(millimetres: number, unit: "mm" | "in"): string {
  const value =
    unit === "mm" ? Math.round(millimetres * 100) / 100 : Math.round((millimetres / MM_PER_INCH) * 1000) / 1000;
  return `${whole(value)} ${unit}`;
}
