/**
 * The one module that turns numbers into printed text. Every sheet, page and message takes its
 * numbers from here, so a value reads the same wherever it stands, and in every language: digits,
 * decimal point and unit symbols do not depend on the locale.
 *
 * - A value in two units is rounded twice from the same unrounded number, never once from the
 *   other's rounding; so the two agree within half a step of each.
 * - Halves round away from zero. A value that rounds to zero has no sign. Minus is U+2212.
 * - No-break spaces (U+00A0) hold a value together: a line that broke inside `1 3/8 in` would
 *   leave a plain `3/8 in` to be cut.
 * - From five digits on, groups of three are set off by a no-break space, as in ISO 80000-1; a
 *   comma would read as a decimal mark to half of the readers.
 */
import {
  type Celsius,
  G_PER_M2_PER_POUND_PER_1000_SQUARE_FEET,
  type GramsPerSquareMetreAndDay,
  KG_PER_L_PER_POUND_PER_CUBIC_FOOT,
  KG_PER_M2_PER_PSF,
  KG_PER_POUND,
  type Kilograms,
  type KilogramsPerLitre,
  type KilogramsPerSquareMetre,
  type Kilowatts,
  L_PER_CUBIC_FOOT,
  L_PER_US_GALLON,
  L_PER_US_QUART,
  type Litres,
  type LitresPerMinute,
  M_PER_FOOT,
  M2_PER_L_PER_SQUARE_FOOT_PER_GALLON,
  M2_PER_SQUARE_FOOT,
  type Megapascals,
  type Metres,
  type Millimetres,
  type MillimetresPerMetre,
  type Minutes,
  MM_PER_INCH,
  MPA_PER_PSI,
  type Share,
  type SquareMetres,
  type SquareMetresPerLitre,
} from "./units.ts";

/** A printed value: `text` is number and unit together; a table with the unit in its head takes `number`. */
export interface Printed {
  readonly number: string;
  readonly unit: string;
  readonly text: string;
}

/** The unit that leads on this job's sheets stands large, the other small beside it. */
export interface BothUnits {
  readonly large: Printed;
  readonly small: Printed;
}

/** Which unit of height leads. */
export type LeadingHeight = "mm" | "in";
/** Which unit of plan length leads; areas, volumes, weights and loads follow it. */
export type LeadingPlan = "ft-in" | "m";

export const MINUS = "\u2212";
export const NO_BREAK_SPACE = "\u00a0";

/** Standard acceleration of gravity, m/s² (3rd CGPM, 1901): a load in kg/m² is printed in kPa with it. */
const STANDARD_GRAVITY = 9.80665;

/**
 * How far below a half, in steps, still counts as the half: the rounding error of a sum of doubles
 * is far smaller, and a printed step is never finer than this.
 */
const HALF_GUARD_STEPS = 1e-9;

/** Whole steps in the magnitude of a value, halves up. Throws on a value that is not finite. */
function wholeSteps(magnitude: number, stepsPerUnit: number): number {
  const steps = Math.floor(magnitude * stepsPerUnit + 0.5 + HALF_GUARD_STEPS);
  if (!Number.isSafeInteger(steps)) throw new RangeError(`cannot print the number ${magnitude}`);
  return steps;
}

/** Digits of a whole number, grouped in threes from five digits on. */
function grouped(whole: number): string {
  const digits = String(whole);
  return digits.length < 5 ? digits : digits.replace(/\B(?=(\d{3})+$)/g, NO_BREAK_SPACE);
}

const printed = (number: string, unit: string): Printed => ({
  number,
  unit,
  text: unit === "" ? number : `${number}${NO_BREAK_SPACE}${unit}`,
});

/** A decimal number with a fixed count of places, 0 to 6: `−11.5`, `12 000`. */
export function decimal(value: number, places: number): string {
  const scale = 10 ** places;
  const steps = wholeSteps(Math.abs(value), scale);
  const sign = value < 0 && steps > 0 ? MINUS : "";
  const whole = grouped(Math.floor(steps / scale));
  return places === 0 ? `${sign}${whole}` : `${sign}${whole}.${String(steps % scale).padStart(places, "0")}`;
}

/** A decimal number that is a difference: `+` stands before what is more than zero once rounded. */
export function difference(value: number, places: number): string {
  const text = decimal(value, places);
  return value > 0 && wholeSteps(value, 10 ** places) > 0 ? `+${text}` : text;
}

/** A whole number of things. Throws where it is not whole: purchase rounding has been done before. */
export function count(value: number): string {
  if (!Number.isInteger(value)) throw new RangeError(`${value} is not a whole number of things`);
  return decimal(value, 0);
}

/** `3/8`, `1 3/8`, `2`, `0` from a count of parts: reduced, and a full denominator carried to the whole. */
function mixedNumber(parts: number, denominator: number): string {
  const whole = Math.floor(parts / denominator);
  let upper = parts % denominator;
  let lower = denominator;
  if (upper === 0) return grouped(whole);
  while (upper % 2 === 0) {
    upper /= 2;
    lower /= 2;
  }
  return whole === 0 ? `${upper}/${lower}` : `${grouped(whole)}${NO_BREAK_SPACE}${upper}/${lower}`;
}

/** The finest fraction of an inch that is printed; a power of two. */
export type InchDenominator = 8 | 16 | 32;

/** Inches and a reduced fraction: `1 3/8 in`. */
export function inches(height: Millimetres, denominator: InchDenominator): Printed {
  const parts = wholeSteps(Math.abs(height) / MM_PER_INCH, denominator);
  return printed(`${height < 0 && parts > 0 ? MINUS : ""}${mixedNumber(parts, denominator)}`, "in");
}

/**
 * Feet, inches and a reduced fraction: `24' 6 1/2"`. Twelve inches are carried to the foot. Less than an inch has its
 * zero, `82' 0 1/4"`, as on drawings (common practice): a fraction right behind the feet reads as one of a foot.
 */
export function feetInches(length: Metres, denominator: InchDenominator): Printed {
  const partsPerFoot = 12 * denominator;
  const parts = wholeSteps(Math.abs(length) / M_PER_FOOT, partsPerFoot);
  const sign = length < 0 && parts > 0 ? MINUS : "";
  const feet = Math.floor(parts / partsPerFoot);
  const beyond = parts % partsPerFoot;
  const zero = beyond > 0 && beyond < denominator ? `0${NO_BREAK_SPACE}` : "";
  return printed(`${sign}${grouped(feet)}'${NO_BREAK_SPACE}${zero}${mixedNumber(beyond, denominator)}"`, "");
}

const inOrder = (leads: boolean, first: Printed, second: Printed): BothUnits =>
  leads ? { large: first, small: second } : { large: second, small: first };

/** A depth, a cut length, a height to grind: to the millimetre and to 1/16 in. */
export const height = (value: Millimetres, leading: LeadingHeight): BothUnits =>
  inOrder(leading === "mm", printed(decimal(value, 0), "mm"), inches(value, 16));

/** A height that is not to be passed: a `least` is printed no lower than it is, a `greatest` no higher. */
export type LimitKind = "least" | "greatest";

/**
 * A limit of height: to 0.1 mm, whole millimetres without a decimal, and to 1/16 in, each rounded to the safe side, so
 * that who keeps the printed limit keeps the limit.
 */
export const limit = (value: Millimetres, kind: LimitKind, leading: LeadingHeight): BothUnits => {
  const tenths = safeSteps(value * 10, kind) / 10;
  const sixteenths = safeSteps((value / MM_PER_INCH) * 16, kind) / 16;
  return inOrder(
    leading === "mm",
    printed(decimal(tenths, Number.isInteger(tenths) ? 0 : 1), "mm"),
    inches(sixteenths * MM_PER_INCH, 16),
  );
};

/** Whole steps up for a least, down for a greatest; what rounding of doubles moved off a whole number is that number. */
function safeSteps(steps: number, kind: LimitKind): number {
  const near = Math.round(steps);
  if (Math.abs(steps - near) <= LIMIT_GUARD_STEPS) return near;
  return kind === "least" ? Math.ceil(steps) : Math.floor(steps);
}

/** Depths are kept to a millionth of a millimetre, which moves a limit of whole sixteenths by this many steps at most. */
const LIMIT_GUARD_STEPS = 1e-5;

/**
 * An interval between heights that is whole millimetres or whole sixteenths of an inch: exact in the unit that it is
 * whole in, the other to 0.1 mm or 0.01 in, so that the pair is true: `1 mm`, `0.04 in`.
 */
export function interval(value: Millimetres, leading: LeadingHeight): BothUnits {
  const isWhole = (steps: number): boolean => Math.abs(steps - Math.round(steps)) <= LIMIT_GUARD_STEPS;
  const inch = isWhole((value / MM_PER_INCH) * 16) ? inches(value, 16) : printed(decimal(value / MM_PER_INCH, 2), "in");
  return inOrder(leading === "mm", printed(decimal(value, isWhole(value) ? 0 : 1), "mm"), inch);
}

/** How much higher one height is than another, as an interval with its sign: `+3 mm`, `+0.12 in`, `−1/16 in`. */
export function heightDifference(value: Millimetres, leading: LeadingHeight): BothUnits {
  const { large, small } = interval(Math.abs(value), leading);
  const sign = value > 0 ? "+" : value < 0 ? MINUS : "";
  const signed = ({ number, unit }: Printed): Printed => printed(`${sign}${number}`, unit);
  return { large: signed(large), small: signed(small) };
}

/** A level, a reading or a spread: to 0.1 mm and to 0.01 in. */
export const fineHeight = (value: Millimetres, leading: LeadingHeight): BothUnits =>
  inOrder(leading === "mm", printed(decimal(value, 1), "mm"), printed(decimal(value / MM_PER_INCH, 2), "in"));

/** A length on the floor: to the millimetre, as metres, and to 1/8 in. */
export const planLength = (value: Metres, leading: LeadingPlan): BothUnits =>
  inOrder(leading === "m", printed(decimal(value, 3), "m"), feetInches(value, 8));

/** A line that a front has reached: to the centimetre, as metres, and to 1/8 in. */
export const frontLength = (value: Metres, leading: LeadingPlan): BothUnits =>
  inOrder(leading === "m", printed(decimal(value, 2), "m"), feetInches(value, 8));

/** An area of floor: to 0.1 m² and to 1 ft². */
export const area = (value: SquareMetres, leading: LeadingPlan): BothUnits =>
  inOrder(leading === "m", printed(decimal(value, 1), "m²"), printed(decimal(value / M2_PER_SQUARE_FOOT, 0), "ft²"));

/** An area as small as a high spot: to 0.01 m² and to 0.1 ft². */
export const smallArea = (value: SquareMetres, leading: LeadingPlan): BothUnits =>
  inOrder(leading === "m", printed(decimal(value, 2), "m²"), printed(decimal(value / M2_PER_SQUARE_FOOT, 1), "ft²"));

/** A volume of mixed material or of ground concrete: to 0.1 L and to 0.01 ft³. */
export const volume = (value: Litres, leading: LeadingPlan): BothUnits =>
  inOrder(leading === "m", printed(decimal(value, 1), "L"), printed(decimal(value / L_PER_CUBIC_FOOT, 2), "ft³"));

/** Water for a bag or a batch: to 0.1 L and to 0.1 qt. */
export const batchWater = (value: Litres, leading: LeadingPlan): BothUnits =>
  inOrder(leading === "m", printed(decimal(value, 1), "L"), printed(decimal(value / L_PER_US_QUART, 1), "qt"));

/** Water or primer for the whole job: to 0.1 L and to 0.1 gal. */
export const bulkLiquid = (value: Litres, leading: LeadingPlan): BothUnits =>
  inOrder(leading === "m", printed(decimal(value, 1), "L"), printed(decimal(value / L_PER_US_GALLON, 1), "gal"));

/** What a water flow meter is set to: to 1 L/h and to 0.1 gal/min, as such meters are marked (common practice). */
export const meteredWater = (value: LitresPerMinute, leading: LeadingPlan): BothUnits =>
  inOrder(
    leading === "m",
    printed(decimal(value * 60, 0), "L/h"),
    printed(decimal(value / L_PER_US_GALLON, 1), "gal/min"),
  );

/** A weight on a truck or a floor: to the kilogram and to the pound. */
export const weight = (value: Kilograms, leading: LeadingPlan): BothUnits =>
  inOrder(leading === "m", printed(decimal(value, 0), "kg"), printed(decimal(value / KG_PER_POUND, 0), "lb"));

/** The weight of one bag: to 0.1 kg and to 0.1 lb. */
export const bagWeight = (value: Kilograms, leading: LeadingPlan): BothUnits =>
  inOrder(leading === "m", printed(decimal(value, 1), "kg"), printed(decimal(value / KG_PER_POUND, 1), "lb"));

/** A load spread over a floor: to 0.01 kPa and to 0.1 lb/ft². */
export const floorLoad = (value: KilogramsPerSquareMetre, leading: LeadingPlan): BothUnits =>
  inOrder(
    leading === "m",
    printed(decimal((value * STANDARD_GRAVITY) / 1000, 2), "kPa"),
    printed(decimal(value / KG_PER_M2_PER_PSF, 1), "psf"),
  );

/** A density: to 0.01 kg/L and to 0.1 lb/ft³. */
export const density = (value: KilogramsPerLitre, leading: LeadingPlan): BothUnits =>
  inOrder(
    leading === "m",
    printed(decimal(value, 2), "kg/L"),
    printed(decimal(value / KG_PER_L_PER_POUND_PER_CUBIC_FOOT, 1), "lb/ft³"),
  );

/** What a litre or a gallon covers: to 0.1 m²/L and to 1 ft²/gal. */
export const coverage = (value: SquareMetresPerLitre, leading: LeadingPlan): BothUnits =>
  inOrder(
    leading === "m",
    printed(decimal(value, 1), "m²/L"),
    printed(decimal(value / M2_PER_L_PER_SQUARE_FOOT_PER_GALLON, 0), "ft²/gal"),
  );

/** A fall: to 0.1 mm in a metre and to 1/32 in. in a foot; to 0.01 in. where that would make nothing of it. */
export function fall(value: MillimetresPerMetre, leading: LeadingPlan): BothUnits {
  const inAFoot = value * M_PER_FOOT;
  const fraction = inches(inAFoot, 32).number;
  const gentle = fraction === "0" && decimal(value, 1) !== "0.0";
  return inOrder(
    leading === "m",
    printed(decimal(value, 1), "mm/m"),
    printed(gentle ? decimal(inAFoot / MM_PER_INCH, 2) : fraction, "in/ft"),
  );
}

/** A temperature: to 1 °C and to 1 °F. */
export const temperature = (value: Celsius, leading: LeadingPlan): BothUnits =>
  inOrder(leading === "m", printed(decimal(value, 0), "°C"), printed(decimal(value * 1.8 + 32, 0), "°F"));

/** A strength of a surface: to 0.01 MPa and to 1 psi. */
export const strength = (value: Megapascals, leading: LeadingPlan): BothUnits =>
  inOrder(leading === "m", printed(decimal(value, 2), "MPa"), printed(decimal(value / MPA_PER_PSI, 0), "psi"));

/** Vapour given off in 24 hours: to 0.1 g/m² and to 0.1 lb/1000 ft². */
export const emission = (value: GramsPerSquareMetreAndDay, leading: LeadingPlan): BothUnits =>
  inOrder(
    leading === "m",
    printed(decimal(value, 1), "g/m²/24 h"),
    printed(decimal(value / G_PER_M2_PER_POUND_PER_1000_SQUARE_FEET, 1), "lb/1000 ft²/24 h"),
  );

/** A time as short as a drop needs to be taken up: `45 s`. */
export const seconds = (value: Minutes): Printed => printed(decimal(value * 60, 0), "s");

/** A time as long as a floor is kept free: `3`, `7.5`; the word for hours stands with the sheets. */
export const hours = (value: Minutes): string => decimal(value / 60, Number.isInteger(value / 60) ? 0 : 1);

/** An amount of money with its currency, to two decimals: `1 212.50 USD`. */
export const money = (amount: number, currency: string): string => printed(decimal(amount, 2), currency).text;

/** A share of one, as per cent. */
export const percent = (value: Share, places: number): Printed => printed(decimal(value * 100, places), "%");

/** Parts of water to one part of concentrate: `3:1`, `2.5:1`. */
export const waterToOne = (parts: number): string =>
  `${Number.isInteger(parts) ? decimal(parts, 0) : decimal(parts, 1)}:1`;

/** Electric power: to 0.1 kW. */
export const power = (value: Kilowatts): Printed => printed(decimal(value, 1), "kW");

/** A length of time on a data sheet: `15 min`, `2.5 min`. */
export const duration = (value: Minutes): Printed =>
  printed(Number.isInteger(value) ? decimal(value, 0) : decimal(value, 1), "min");

/** A time of a part of a day: `45 min`, `2 h 44 min`, `16 h`; to the minute. */
export function longDuration(value: Minutes): string {
  const total = wholeSteps(value, 1);
  const [whole, rest] = [Math.floor(total / 60), total % 60];
  const said = [
    ...(whole > 0 ? [printed(decimal(whole, 0), "h").text] : []),
    ...(rest > 0 || whole === 0 ? [printed(decimal(rest, 0), "min").text] : []),
  ];
  return said.join(NO_BREAK_SPACE);
}

/** A short time as minutes and seconds: `1:15`, `0:40`. */
export function minutesAndSeconds(value: Minutes): string {
  const total = wholeSteps(value, 60);
  return `${Math.floor(total / 60)}:${String(total % 60).padStart(2, "0")}`;
}

/** Time since the first powder met water, hours and minutes: `0:05`, `1:05`. Throws on a time before it. */
export function elapsed(value: Minutes): string {
  if (value < 0) throw new RangeError(`elapsed time ${value} min is negative`);
  const total = wholeSteps(value, 1);
  return `${Math.floor(total / 60)}:${String(total % 60).padStart(2, "0")}`;
}

/** A time of day on 24 hours, and how many days after the start's day it falls. */
export interface ClockTime {
  readonly text: string;
  readonly daysLater: number;
}

/**
 * The time of day a number of minutes after a start such as `2027-03-04 07:30` (a `T` may stand for
 * the space). The start is local time as typed: no time zone is known or used. Throws on a start
 * that has no time of day.
 */
export function clockTime(start: string, after: Minutes): ClockTime {
  const typed = /^\d{4}-\d{2}-\d{2}[T ](\d{1,2}):(\d{2})$/.exec(start);
  if (!typed) throw new RangeError(`"${start}" is not a date and time such as 2027-03-04 07:30`);
  const total = Number(typed[1]) * 60 + Number(typed[2]) + Math.sign(after) * wholeSteps(Math.abs(after), 1);
  const minuteOfDay = ((total % 1440) + 1440) % 1440;
  const hour = String(Math.floor(minuteOfDay / 60)).padStart(2, "0");
  return {
    text: `${hour}:${String(minuteOfDay % 60).padStart(2, "0")}`,
    daysLater: Math.floor(total / 1440),
  };
}

/** Date and time of day a number of minutes after a start, or before it where they are negative: `2027-03-02 07:30`. */
export function clockDay(start: string, after: Minutes): string {
  const { text, daysLater } = clockTime(start, after);
  const [year, month, day] = start.slice(0, 10).split("-").map(Number) as [number, number, number];
  // Days of the proleptic Gregorian calendar; nothing here looks at a clock or a time zone.
  const date = new Date(Date.UTC(year, month - 1, day + daysLater));
  return `${date.toISOString().slice(0, 10)} ${text}`;
}

/**
 * A number as packet.json and the tables over all jobs have it, with twelve digits: in the last ones of a double,
 * exponential and logarithm differ from one version of Node to the next, and the files must not.
 */
export const twelveDigits = (value: number): number =>
  Number.isInteger(value) ? value : Number(value.toPrecision(12));
