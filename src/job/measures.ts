/**
 * Quantities other than lengths, as bags and data sheets print them: `50 lb`, `0.49 ft³`, `5 qt`,
 * `123 lb/ft³`, `15 min`, `200 ft²/gal`, `5 %`. Each comes out in the unit that the model carries.
 */
import {
  G_PER_M2_PER_POUND_PER_1000_SQUARE_FEET,
  KG_PER_L_PER_POUND_PER_CUBIC_FOOT,
  KG_PER_M2_PER_PSF,
  KG_PER_POUND,
  L_PER_CUBIC_FOOT,
  L_PER_US_GALLON,
  L_PER_US_QUART,
  M_PER_FOOT,
  M2_PER_L_PER_SQUARE_FOOT_PER_GALLON,
  M2_PER_SQUARE_FOOT,
  MPA_PER_PSI,
} from "../units.ts";
import { NUMBER_FORM, numberValue, plainPunctuation, type Unreadable } from "./lengths.ts";

export type Dimension =
  | "mass"
  | "volume"
  | "density"
  | "time"
  | "coverage"
  | "share"
  | "fall"
  | "load"
  | "area"
  | "pace"
  | "rate"
  | "power"
  | "pressure"
  | "emission";

interface DimensionSpec {
  readonly what: string;
  /** The unit that values come out in. */
  readonly unit: string;
  readonly example: string;
  /** Factor to that unit by spelling in lower case, ² and ³ written 2 and 3, no spaces. */
  readonly factors: Readonly<Record<string, number>>;
}

/** kg/m² under standard gravity, 9.80665 m/s² (3rd CGPM, 1901): 1 kPa = 1000/9.80665 kg/m². */
const KG_PER_M2_PER_KILOPASCAL = 1000 / 9.80665;

/** 1 hp = 550 ft·lbf/s, with the foot, the pound and standard gravity exact. */
const KW_PER_HORSEPOWER = (550 * M_PER_FOOT * KG_PER_POUND * 9.80665) / 1000;

export const DIMENSIONS: Readonly<Record<Dimension, DimensionSpec>> = {
  mass: {
    what: "weight",
    unit: "kg",
    example: "50 lb or 25 kg",
    factors: { kg: 1, g: 0.001, lb: KG_PER_POUND, lbs: KG_PER_POUND, pound: KG_PER_POUND, pounds: KG_PER_POUND },
  },
  volume: {
    what: "volume",
    unit: "L",
    example: "0.49 ft³, 5 qt or 4.7 L",
    factors: {
      l: 1,
      litre: 1,
      litres: 1,
      liter: 1,
      liters: 1,
      ml: 0.001,
      m3: 1000,
      ft3: L_PER_CUBIC_FOOT,
      cuft: L_PER_CUBIC_FOOT,
      gal: L_PER_US_GALLON,
      gallon: L_PER_US_GALLON,
      gallons: L_PER_US_GALLON,
      qt: L_PER_US_QUART,
      quart: L_PER_US_QUART,
      quarts: L_PER_US_QUART,
    },
  },
  density: {
    what: "density",
    unit: "kg/L",
    example: "123 lb/ft³ or 1970 kg/m³",
    factors: {
      "kg/l": 1,
      "g/cm3": 1,
      "kg/m3": 0.001,
      "lb/ft3": KG_PER_L_PER_POUND_PER_CUBIC_FOOT,
      "lbs/ft3": KG_PER_L_PER_POUND_PER_CUBIC_FOOT,
      pcf: KG_PER_L_PER_POUND_PER_CUBIC_FOOT,
    },
  },
  time: {
    what: "time",
    unit: "min",
    example: "15 min or 3 h",
    factors: {
      min: 1,
      minute: 1,
      minutes: 1,
      s: 1 / 60,
      sec: 1 / 60,
      h: 60,
      hr: 60,
      hrs: 60,
      hour: 60,
      hours: 60,
      d: 1440,
      day: 1440,
      days: 1440,
    },
  },
  coverage: {
    what: "coverage",
    unit: "m²/L",
    example: "200 ft²/gal or 5 m²/L",
    factors: {
      "m2/l": 1,
      "ft2/gal": M2_PER_L_PER_SQUARE_FOOT_PER_GALLON,
      "sqft/gal": M2_PER_L_PER_SQUARE_FOOT_PER_GALLON,
    },
  },
  share: { what: "share", unit: "%", example: "5 %", factors: { "%": 0.01, percent: 0.01 } },
  fall: {
    what: "fall",
    unit: "mm/m",
    example: "0 mm/m, 1 % or 1/8 in/ft",
    factors: { "mm/m": 1, "%": 10, percent: 10, "in/ft": 1000 / 12 },
  },
  area: {
    what: "area",
    unit: "m²",
    example: "20 ft² or 2 m²",
    factors: { m2: 1, ft2: M2_PER_SQUARE_FOOT, sqft: M2_PER_SQUARE_FOOT },
  },
  pace: {
    what: "pace",
    unit: "m/min",
    example: "60 m/min or 200 ft/min",
    factors: { "m/min": 1, "m/s": 60, "ft/min": M_PER_FOOT, "ft/s": 60 * M_PER_FOOT, fpm: M_PER_FOOT },
  },
  rate: {
    what: "rate of flow",
    unit: "L/min",
    example: "120 L/min or 30 gal/min",
    factors: {
      "l/min": 1,
      "m3/h": 1000 / 60,
      "gal/min": L_PER_US_GALLON,
      gpm: L_PER_US_GALLON,
      "ft3/min": L_PER_CUBIC_FOOT,
    },
  },
  power: {
    what: "power",
    unit: "kW",
    example: "1.8 kW",
    factors: { kw: 1, w: 0.001, hp: KW_PER_HORSEPOWER },
  },
  pressure: {
    what: "strength",
    unit: "MPa",
    example: "200 psi or 1.5 MPa",
    factors: { mpa: 1, "n/mm2": 1, kpa: 0.001, psi: MPA_PER_PSI },
  },
  emission: {
    what: "emission of vapour",
    unit: "g/(m²·24 h)",
    example: "3 lb/1000 ft²/24 h or 15 g/m²/24 h",
    factors: {
      "g/m2/24h": 1,
      "g/m2/d": 1,
      "lb/1000ft2/24h": G_PER_M2_PER_POUND_PER_1000_SQUARE_FEET,
      "lb/1000ft2/d": G_PER_M2_PER_POUND_PER_1000_SQUARE_FEET,
      "lbs/1000ft2/24h": G_PER_M2_PER_POUND_PER_1000_SQUARE_FEET,
    },
  },
  load: {
    what: "load on an area",
    unit: "kg/m²",
    example: "20 lb/ft², 20 psf or 100 kg/m²",
    factors: {
      "kg/m2": 1,
      "lb/ft2": KG_PER_M2_PER_PSF,
      "lbs/ft2": KG_PER_M2_PER_PSF,
      psf: KG_PER_M2_PER_PSF,
      kpa: KG_PER_M2_PER_KILOPASCAL,
      "kn/m2": KG_PER_M2_PER_KILOPASCAL,
    },
  },
};

const NUMBER_AND_UNIT = new RegExp(`^(-?) ?(${NUMBER_FORM}) ?(.*)$`);

/** ASCII, lower case, `sq ft` as ft2, no spaces. */
const plainUnit = (text: string): string =>
  text
    .replaceAll("²", "2")
    .replaceAll("³", "3")
    .replace(/\^/g, "")
    .toLowerCase()
    .replace(/\bsq\.? ?(ft|m)\b/g, "$12")
    .replace(/\bcu\.? ?(ft|m)\b/g, "$13")
    .replace(/\bper\b/g, "/")
    .replace(/\s+/g, "")
    .replace(/\.$/, "");

/**
 * Reads a quantity with its unit.
 * @returns the value in the unit of its dimension (see DIMENSIONS; a share is a fraction of one), or what is wrong
 */
export function parseMeasure(
  typed: string,
  dimension: Dimension,
): { readonly kind: "measure"; readonly value: number } | Unreadable {
  const spec = DIMENSIONS[dimension];
  const unreadable = (code: string, message: string, hint?: string): Unreadable => ({
    kind: "unreadable",
    code,
    message,
    expected: `a ${spec.what} with its unit, such as ${spec.example}`,
    ...(hint === undefined ? {} : { hint }),
  });
  const text = plainPunctuation(typed);
  if (/\d,\d/.test(text)) {
    return unreadable(
      "decimal-comma",
      `"${typed}" has a comma inside a number.`,
      `Write the decimals with a point (${text.replace(/(\d),(\d)/g, "$1.$2")}) and thousands without a mark.`,
    );
  }
  const match = NUMBER_AND_UNIT.exec(text);
  if (!match) return unreadable("unreadable-quantity", `"${typed}" is not a ${spec.what}.`);
  const [, sign, numberText, unitText] = match as unknown as [string, string, string, string];
  const magnitude = numberValue(numberText);
  if (magnitude === undefined || !Number.isFinite(magnitude)) {
    return unreadable("unreadable-quantity", `"${typed}" has a number that cannot be read: ${numberText}.`);
  }
  const unit = plainUnit(unitText);
  if (unit === "") return unreadable("missing-unit", `"${typed}" says no unit.`);
  const factor = Object.hasOwn(spec.factors, unit) ? spec.factors[unit] : undefined;
  if (factor === undefined) {
    return unreadable("unreadable-quantity", `"${unitText}" is not a unit of ${spec.what}.`);
  }
  return { kind: "measure", value: (sign === "-" ? -magnitude : magnitude) * factor };
}
