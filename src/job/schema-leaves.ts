/**
 * The single values of a job file: text, ids, numbers, lengths, quantities. Each takes what the
 * office types (always text, for the YAML reader turns nothing into numbers) and gives a value, or an
 * issue that carries a code, what was expected and what to do.
 *
 * `measure` in the metadata names what kind of value it is; the JSON Schema and the reference page show it.
 */
import { z } from "zod";
import { LENGTH_EXAMPLES, type LengthText, NUMBER_FORM, numberValue, parseLength, type Unreadable } from "./lengths.ts";
import { DIMENSIONS, type Dimension, parseMeasure } from "./measures.ts";

/** What a custom issue carries to `problems.ts`. */
export interface IssueParams {
  readonly code: string;
  readonly expected?: string;
  readonly hint?: string;
}

type IssueContext = z.RefinementCtx;

const addIssue = (context: IssueContext, message: string, params: IssueParams): void => {
  context.addIssue({ code: "custom", message, params: { ...params } });
};

const addUnreadable = (context: IssueContext, problem: Unreadable): void =>
  addIssue(context, problem.message, {
    code: problem.code,
    expected: problem.expected,
    ...(problem.hint === undefined ? {} : { hint: problem.hint }),
  });

/** A value that may stand as text or, for an editor, as a number. The error message says what was expected. */
const textOrNumber = (expected: string) => z.union([z.string(), z.number()], { error: () => expected });

const LONGEST_TEXT = 500;

/** Words of the office's own: a title, a name, a note. One line, no control characters. */
export const words = (description: string, example: string) =>
  textOrNumber("text")
    .transform((value, context) => {
      const text = String(value).trim();
      if (text === "") {
        addIssue(context, "The text is empty.", { code: "empty-text", expected: `text such as: ${example}` });
        return z.NEVER;
      }
      if (text.length > LONGEST_TEXT) {
        addIssue(context, `The text has ${text.length} characters.`, {
          code: "text-too-long",
          expected: `at most ${LONGEST_TEXT} characters`,
        });
        return z.NEVER;
      }
      if (/[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069]/.test(text)) {
        addIssue(context, "The text holds a control character.", {
          code: "control-character",
          hint: "Type the text again: something invisible was pasted along with it.",
        });
        return z.NEVER;
      }
      return text;
    })
    .meta({ description, example, measure: "text" });

const LONGEST_ID = 40;

/** Names that a file system or JavaScript keeps for itself. */
const RESERVED = new Set([
  ..."con prn aux nul com1 com2 com3 com4 com5 com6 com7 com8 com9 lpt1 lpt2 lpt3 lpt4 lpt5 lpt6 lpt7 lpt8 lpt9".split(
    " ",
  ),
  "index",
  ...Object.getOwnPropertyNames(Object.prototype).map((name) => name.toLowerCase()),
  "prototype",
]);

/** What is wrong with an id, or undefined. Ids become file names, anchors in pages and labels on sheets. */
export function idProblem(id: string, form: "job" | "part"): { message: string; params: IssueParams } | undefined {
  const expected =
    form === "job"
      ? "small letters, digits and hyphens, such as tern-street-clinic"
      : "letters, digits, hyphens and underscores, such as waiting, D1 or room-101";
  const pattern = form === "job" ? /^[a-z0-9][a-z0-9-]*$/ : /^[A-Za-z0-9][A-Za-z0-9_-]*$/;
  if (id.length > LONGEST_ID) {
    return {
      message: `The id has ${id.length} characters.`,
      params: { code: "bad-id", expected: `at most ${LONGEST_ID} characters` },
    };
  }
  if (!pattern.test(id)) {
    const isPath = /[/\\]|\.\./.test(id);
    return {
      message: isPath ? `The id "${id}" looks like a path.` : `"${id}" cannot be an id.`,
      params: { code: "bad-id", expected },
    };
  }
  if (RESERVED.has(id.toLowerCase())) {
    return {
      message: `"${id}" is a word that file systems or the program keep for themselves.`,
      params: { code: "reserved-id", expected, hint: "Add something to it, such as a number." },
    };
  }
  return undefined;
}

const idOf = (form: "job" | "part") => (description: string, example: string) =>
  textOrNumber("an id")
    .transform((value, context) => {
      const text = String(value);
      const problem = idProblem(text, form);
      if (problem) {
        addIssue(context, problem.message, problem.params);
        return z.NEVER;
      }
      return text;
    })
    .meta({ description, example, measure: "id" });

export const partId = idOf("part");
export const jobId = idOf("job");

export const choice = <const T extends readonly [string, ...string[]]>(
  values: T,
  description: string,
  example: T[number],
) => z.enum(values).meta({ description, example, measure: values.join(" | ") });

export const flag = (description: string, example: boolean) =>
  z.boolean({ error: () => "true or false" }).meta({ description, example, measure: "true | false" });

const PLAIN_NUMBER = new RegExp(`^-?${NUMBER_FORM}$`);

/** A number without a unit, such as a count. */
export const count = (
  description: string,
  example: number,
  range: { readonly least: number; readonly greatest: number; readonly whole: boolean },
) => {
  const expected = `a ${range.whole ? "whole " : ""}number from ${range.least} to ${range.greatest}, such as ${example}`;
  return textOrNumber(expected)
    .transform((typed, context) => {
      const text = String(typed).trim();
      const value = PLAIN_NUMBER.test(text)
        ? (numberValue(text.replace("-", "")) ?? Number.NaN) * (text.startsWith("-") ? -1 : 1)
        : Number.NaN;
      const fits = value >= range.least && value <= range.greatest && (!range.whole || Number.isInteger(value));
      if (!fits) {
        addIssue(context, `"${text}" is not ${range.whole ? "a whole" : "a"} number that fits here.`, {
          code: "bad-number",
          expected,
        });
        return z.NEVER;
      }
      return value;
    })
    .meta({ description, example, measure: range.whole ? "whole number" : "number" });
};

/** Further than any floor reaches (10 km) and higher than any floor is uneven (10 m), in millimetres. */
const FURTHEST_MM = 1e7;
/** Further than any map's coordinates reach from their origin (10 000 km). */
const FURTHEST_ON_A_MAP_MM = 1e10;
const HIGHEST_MM = 1e4;

interface LengthRule {
  readonly measure: string;
  readonly sign: "any" | "positive" | "not-negative";
  readonly furthestMm: number;
}

/** Checks sign and reach. A bare number is measured as if it were in the largest unit that a job can declare. */
function lengthIssue(
  typed: string,
  length: LengthText,
  rule: LengthRule,
): { message: string; params: IssueParams } | undefined {
  const value = length.kind === "bare" ? length.value : length.millimetres;
  const reach =
    length.kind === "bare" ? Math.abs(value) * (rule.furthestMm >= FURTHEST_MM ? 1000 : 1) : Math.abs(value);
  if (reach > rule.furthestMm) {
    return {
      message: `"${typed}" is more than any floor measures.`,
      params: { code: "number-too-large", expected: `a length such as ${LENGTH_EXAMPLES}` },
    };
  }
  if ((rule.sign === "positive" && value <= 0) || (rule.sign === "not-negative" && value < 0)) {
    return {
      message: `"${typed}" has to be ${rule.sign === "positive" ? "more than zero" : "zero or more"}.`,
      params: { code: "length-not-positive", expected: `a length such as ${LENGTH_EXAMPLES}` },
    };
  }
  return undefined;
}

const readLength = (typed: string | number, rule: LengthRule, context: IssueContext): LengthText | undefined => {
  const text = String(typed);
  const length = parseLength(text);
  if (length.kind === "unreadable") {
    addUnreadable(context, length);
    return undefined;
  }
  const issue = lengthIssue(text, length, rule);
  if (issue) {
    addIssue(context, issue.message, issue.params);
    return undefined;
  }
  return length;
};

/** A length; a bare number is in the unit that the job declares, and is turned where that is known. */
const lengthOf = (rule: LengthRule) => (description: string, example: string) =>
  textOrNumber(`a length such as ${LENGTH_EXAMPLES}`)
    .transform((typed, context): LengthText => readLength(typed, rule, context) ?? z.NEVER)
    .meta({ description, example, measure: rule.measure });

const PLAN_SIZE: LengthRule = { measure: "plan length", sign: "positive", furthestMm: FURTHEST_MM };

export const planLength = lengthOf({ measure: "plan length", sign: "any", furthestMm: FURTHEST_MM });
export const planOffset = lengthOf({ measure: "plan length", sign: "not-negative", furthestMm: FURTHEST_MM });
export const planSize = lengthOf(PLAN_SIZE);
export const height = lengthOf({ measure: "height", sign: "any", furthestMm: HIGHEST_MM });
export const thickness = lengthOf({ measure: "height", sign: "not-negative", furthestMm: HIGHEST_MM });

/** East and north from the plan's origin. */
export const planPoint = (description: string, example: string) =>
  z
    .tuple([planLength("Distance east.", "12'"), planLength("Distance north.", "9'")], {
      error: () => `two lengths, east and north, such as ${example}`,
    })
    .meta({ description, example, measure: "[east, north]" });

const fileLength = lengthOf({ measure: "plan length", sign: "any", furthestMm: FURTHEST_ON_A_MAP_MM });

/** East and north in the coordinates of a file, which may be those of a map. */
export const filePoint = (description: string, example: string) =>
  z
    .tuple([fileLength("Distance east.", "1012.345"), fileLength("Distance north.", "2013.456")], {
      error: () => `two lengths, east and north, such as ${example}`,
    })
    .meta({ description, example, measure: "[east, north]" });

/** `16" x 16"`, or one length for a square: east–west, then north–south. */
export const planRectangle = (description: string, example: string) =>
  textOrNumber(`two lengths, such as ${example}`)
    .transform((typed, context): readonly [LengthText, LengthText] => {
      const parts = String(typed).split(/\s*[x×]\s*/i);
      if (parts.length > 2) {
        addIssue(context, `"${typed}" is not a size.`, {
          code: "unreadable-length",
          expected: `two lengths, such as ${example}`,
        });
        return z.NEVER;
      }
      const [east, north] = parts.map((part) => readLength(part, PLAN_SIZE, context));
      if (east === undefined || (parts.length === 2 && north === undefined)) return z.NEVER;
      return [east, north ?? east];
    })
    .meta({ description, example, measure: "plan size" });

/** A length with its unit in the text: library files declare none. Gives millimetres. */
export const libraryLength = (description: string, example: string, sign: LengthRule["sign"] = "positive") =>
  textOrNumber(`a length such as ${LENGTH_EXAMPLES}`)
    .transform((typed, context): number => {
      const length = readLength(typed, { measure: "length", sign, furthestMm: FURTHEST_MM }, context);
      if (length === undefined) return z.NEVER;
      if (length.kind === "bare") {
        addIssue(context, `"${typed}" says no unit.`, {
          code: "missing-unit",
          expected: `a length with its unit, such as ${example}`,
        });
        return z.NEVER;
      }
      return length.millimetres;
    })
    .meta({ description, example, measure: "length with its unit" });

/** A quantity with its unit; gives the value in the unit of its dimension. */
export const measure = (
  dimension: Dimension,
  description: string,
  example: string,
  range: { readonly least: number; readonly greatest: number; readonly above?: boolean },
) => {
  const { what, unit } = DIMENSIONS[dimension];
  return textOrNumber(`a ${what} with its unit, such as ${example}`)
    .transform((typed, context): number => {
      const text = String(typed);
      const quantity = parseMeasure(text, dimension);
      if (quantity.kind === "unreadable") {
        addUnreadable(context, { ...quantity, expected: `a ${what} with its unit, such as ${example}` });
        return z.NEVER;
      }
      const tooSmall = range.above === true ? quantity.value <= range.least : quantity.value < range.least;
      if (tooSmall || quantity.value > range.greatest) {
        addIssue(context, `"${text}" is not a ${what} that can be.`, {
          code: "out-of-range",
          expected: `a ${what} such as ${example}`,
        });
        return z.NEVER;
      }
      return quantity.value;
    })
    .meta({ description, example, measure: `${what} with its unit`, unit });
};

const isCalendarDay = (text: string): boolean => {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  if (!match) return false;
  const [year, month, day] = match.slice(1).map(Number) as [number, number, number];
  // Day 0 of the next month is the last of this one (proleptic Gregorian calendar, ISO 8601).
  return month >= 1 && month <= 12 && day >= 1 && day <= new Date(Date.UTC(year, month, 0)).getUTCDate();
};

const dated = (form: "date" | "date and time") => (description: string, example: string) =>
  textOrNumber(`a ${form} such as ${example}`)
    .transform((typed, context) => {
      const text = String(typed).trim();
      const [day, clock, ...rest] = text.split(/[ T]/);
      const clockFits =
        form === "date" ? clock === undefined : clock !== undefined && /^([01]\d|2[0-3]):[0-5]\d$/.test(clock);
      if (!isCalendarDay(day ?? "") || !clockFits || rest.length > 0) {
        addIssue(context, `"${text}" is not a ${form}.`, {
          code: "bad-date",
          expected: `year-month-day${form === "date" ? "" : " and hours:minutes"}, such as ${example}`,
        });
        return z.NEVER;
      }
      return form === "date" ? text : `${day} ${clock}`;
    })
    .meta({ description, example, measure: form });

export const date = dated("date");
export const dateAndTime = dated("date and time");

/** Hours and minutes of a day; gives minutes after midnight. */
export const clock = (description: string, example: string) =>
  textOrNumber(`a time such as ${example}`)
    .transform((typed, context): number => {
      const match = /^([01]?\d|2[0-3]):([0-5]\d)$/.exec(String(typed).trim());
      if (!match) {
        addIssue(context, `"${typed}" is not a time of day.`, {
          code: "bad-time",
          expected: `hours:minutes of 24 hours, such as ${example}`,
        });
        return z.NEVER;
      }
      return Number(match[1]) * 60 + Number(match[2]);
    })
    .meta({ description, example, measure: "time of day" });

/** In degrees Celsius or Fahrenheit; gives Celsius. °F = °C × 9/5 + 32. */
export const temperature = (description: string, example: string) =>
  textOrNumber(`a temperature such as ${example}`)
    .transform((typed, context): number => {
      const match = /^(-?\d+(?:\.\d+)?) ?(?:°|deg)? ?([CF])$/i.exec(String(typed).trim().replace(/[−–]/g, "-"));
      const number = Number(match?.[1]);
      const celsius = match?.[2]?.toUpperCase() === "F" ? ((number - 32) * 5) / 9 : number;
      // Hoses freeze below and nobody levels above this.
      if (!match || celsius < -40 || celsius > 80) {
        addIssue(context, `"${typed}" is not a temperature on a building site.`, {
          code: "bad-temperature",
          expected: `degrees with C or F, such as ${example} or 61 °F`,
        });
        return z.NEVER;
      }
      return celsius;
    })
    .meta({ description, example, measure: "temperature" });

/** Something that stands in the library and is named by its id, or is written out in its place. */
export const idOrEntry = <T extends z.ZodType>(what: string, example: string, entry: T) =>
  z
    .union([partId(`The ${what} by its id in the library.`, example), entry])
    .meta({ description: `The ${what}: by its id in the library, or written out.`, example, measure: "id or entry" });
