/**
 * Names in letters that run from right to left, within sheets that run from left to right. Without help the numbers and
 * punctuation beside such a name are drawn on its other side: “מרתף, 12 pins” would give the 12 to the name. So each
 * text of the job file that holds such letters is put between a directional isolate and its end, which draw nothing
 * [Unicode Standard Annex #9, 2.4]. Texts of the file hold no such characters of their own: reading refuses them.
 */

export const LEFT_TO_RIGHT_ISOLATE = "\u2066";
export const RIGHT_TO_LEFT_ISOLATE = "\u2067";
export const END_OF_ISOLATE = "\u2069";

/** The blocks whose letters run from right to left, assigned or not [Unicode Character Database, DerivedBidiClass]. */
const RIGHT_TO_LEFT = /[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\u{10800}-\u{10fff}\u{1e800}-\u{1efff}]/u;

/** The text, isolated line by line where it holds letters that run from right to left; else as it is. */
export function isolated(text: string): string {
  if (!RIGHT_TO_LEFT.test(text)) return text;
  return text.split("\n").map(isolatedLine).join("\n");
}

function isolatedLine(line: string): string {
  if (!RIGHT_TO_LEFT.test(line)) return line;
  const firstLetter = /\p{L}/u.exec(line)?.[0] ?? "";
  const start = RIGHT_TO_LEFT.test(firstLetter) ? RIGHT_TO_LEFT_ISOLATE : LEFT_TO_RIGHT_ISOLATE;
  return `${start}${line}${END_OF_ISOLATE}`;
}

/** Lines that one text was broken into: an isolate that reaches over a break is ended there and begun again. */
export function isolatedAcross(lines: readonly string[]): string[] {
  let open = "";
  return lines.map((line) => {
    let after = open;
    for (const character of line) {
      if (character === LEFT_TO_RIGHT_ISOLATE || character === RIGHT_TO_LEFT_ISOLATE) after = character;
      else if (character === END_OF_ISOLATE) after = "";
    }
    const whole = `${open}${line}${after === "" ? "" : END_OF_ISOLATE}`;
    open = after;
    return whole;
  });
}

/**
 * A value as it is, or, where any of its texts holds letters that run from right to left, a copy with those texts
 * isolated. What was one object stays one object; numbers' arrays and functions are shared with the original.
 */
export function withIsolatedTexts<T>(value: T, texts: unknown): T {
  return holdsRightToLeft(texts) ? (copyOf(value, new Map()) as T) : value;
}

/** Whether any text within a value of plain data holds such letters; a scan's numbers, a million of them, are not looked at. */
function holdsRightToLeft(value: unknown): boolean {
  if (typeof value === "string") return RIGHT_TO_LEFT.test(value);
  if (typeof value !== "object" || value === null || ArrayBuffer.isView(value)) return false;
  if (value instanceof Map || value instanceof Set) return [...value].some(holdsRightToLeft);
  return Object.values(value).some(holdsRightToLeft);
}

function copyOf(value: unknown, copies: Map<object, unknown>): unknown {
  // An address is for a machine: its letters stay as they are.
  if (typeof value === "string") return value.includes("://") ? value : isolated(value);
  if (typeof value !== "object" || value === null) return value;
  const known = copies.get(value);
  if (known !== undefined) return known;
  if (Array.isArray(value)) {
    const copy: unknown[] = [];
    copies.set(value, copy);
    for (const one of value) copy.push(copyOf(one, copies));
    return copy;
  }
  if (value instanceof Map) {
    const copy = new Map();
    copies.set(value, copy);
    for (const [key, one] of value) copy.set(copyOf(key, copies), copyOf(one, copies));
    return copy;
  }
  if (value instanceof Set) {
    const copy = new Set();
    copies.set(value, copy);
    for (const one of value) copy.add(copyOf(one, copies));
    return copy;
  }
  if (Object.getPrototypeOf(value) !== Object.prototype) return value;
  const copy: Record<string, unknown> = {};
  copies.set(value, copy);
  for (const [key, one] of Object.entries(value)) copy[key] = copyOf(one, copies);
  return copy;
}
