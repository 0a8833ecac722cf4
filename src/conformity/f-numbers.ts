/**
 * Flatness and levelness numbers from sample lines.
 *
 * Symbols of ASTM E1155-96: levels h, d_i = h_i − h_{i−1}, curvature q_i = d_i − d_{i−1}, difference
 * over ten steps z_i = h_i − h_{i−10}; S is the standard deviation with n − 1. The constants and the
 * rule of combination are from memory: a report prints the formula used.
 */

import type { SampleLine } from "../job/contract-model.ts";
import { sumOf } from "../numeric/sum.ts";
import { type Metres, MM_PER_INCH } from "../units.ts";
import type {
  CombinedNumber,
  FMethod,
  FNumber,
  FNumberReport,
  Formula,
  LineNumber,
  LineReport,
  SectionReport,
} from "./model.ts";

/** 4.57 × 25.4 is 116.08, not 115.8: both forms of the method keep their own constants (from memory). */
export const INCH_METHOD: FMethod = {
  name: "12-in",
  spacing: 0.3048,
  unit: "in",
  mmPerUnit: MM_PER_INCH,
  flatness: 4.57,
  levelness: 12.5,
};
export const METRIC_METHOD: FMethod = {
  name: "300-mm",
  spacing: 0.3,
  unit: "mm",
  mmPerUnit: 1,
  flatness: 115.8,
  levelness: 317.5,
};

/** ASTM E1155: n ≥ 12 readings on a line. */
export const FEWEST_ON_LINE = 12;

/** How far a typed spacing may be from 12 in or 300 mm: less than half of what lies between the two. */
const SPACING_SLACK_M = 0.002;

/**
 * Below this many rounding errors of the highest level a denominator is nothing but rounding:
 * a curvature adds four levels, a sum three spreads, and levels may have been converted twice.
 */
const ROUNDING_ERRORS = 64;

/** The form of the method that a spacing belongs to; undefined where it is neither 12 in nor 300 mm. */
export const methodFor = (spacing: Metres): FMethod | undefined =>
  [INCH_METHOD, METRIC_METHOD].find((method) => Math.abs(method.spacing - spacing) <= SPACING_SLACK_M);

/** A value is a weighted sum of levels: weights by how many places before the level stands. */
type Stencil = readonly { readonly back: number; readonly weight: number }[];
const CURVATURE: Stencil = [
  { back: 0, weight: 1 },
  { back: 1, weight: -2 },
  { back: 2, weight: 1 },
];
const OVER_TEN: Stencil = [
  { back: 0, weight: 1 },
  { back: 10, weight: -1 },
];
const reach = (stencil: Stencil): number => stencil.at(-1)!.back;

const apply = (stencil: Stencil, levels: readonly number[]): number[] =>
  levels
    .slice(reach(stencil))
    .map((_, k) => sumOf(stencil.map(({ back, weight }) => weight * levels[k + reach(stencil) - back]!)));

/** The sum over values of factor × value, as weights of the levels: the transpose of `apply`. */
function spreadBack(stencil: Stencil, factors: readonly number[]): number[] {
  const weights = new Array<number>(factors.length + reach(stencil)).fill(0);
  factors.forEach((factor, k) => {
    for (const { back, weight } of stencil) weights[k + reach(stencil) - back]! += factor * weight;
  });
  return weights;
}

const norm = (values: readonly number[]): number => Math.hypot(...values);

const overOrUnbounded = (constant: number, denominator: number, levels: readonly number[]): FNumber => {
  const highest = Math.max(...levels.map(Math.abs));
  return denominator <= ROUNDING_ERRORS * Number.EPSILON * highest
    ? { kind: "unbounded" }
    : { kind: "value", value: constant / denominator };
};

/**
 * One number of one line: F = constant / (3·S + |mean|). Levels and noise in the method's unit.
 * The uncertainty is first order in the noise, readings taken as independent.
 */
function numberOf(constant: number, stencil: Stencil, levels: readonly number[], noise?: number): LineNumber {
  const values = apply(stencil, levels);
  const count = values.length;
  const mean = sumOf(values) / count;
  const spread = Math.sqrt(sumOf(values.map((value) => (value - mean) ** 2)) / (count - 1));
  const denominator = 3 * spread + Math.abs(mean);
  const number = overOrUnbounded(constant, denominator, levels);
  if (noise === undefined) return { count, mean, spread, number };
  // E[S²] from noise alone: σ²·(‖A‖² − ‖Aᵀ1‖²/m)/(m − 1), A the matrix of the stencil.
  const ones = spreadBack(
    stencil,
    values.map(() => 1),
  );
  const squares = sumOf(stencil.map(({ weight }) => weight ** 2)) * count;
  const noiseVariance = (noise ** 2 * (squares - norm(ones) ** 2 / count)) / (count - 1);
  const calmSpread = Math.sqrt(Math.max(0, spread ** 2 - noiseVariance));
  const lessNoise = overOrUnbounded(constant, 3 * calmSpread + Math.abs(mean), levels);
  const noiseAlone = noiseVariance > 0 ? { noiseAlone: constant / (3 * Math.sqrt(noiseVariance)) } : {};
  if (number.kind === "unbounded" || spread === 0) return { count, mean, spread, number, lessNoise, ...noiseAlone };
  const factors = values.map((value) => (3 * (value - mean)) / ((count - 1) * spread) + Math.sign(mean) / count);
  const sd = (number.value / denominator) * noise * norm(spreadBack(stencil, factors));
  return { count, mean, spread, number, sd, lessNoise, ...noiseAlone };
}

/**
 * Both numbers of a sample line. Throws where its spacing is neither 12 in nor 300 mm or it has
 * fewer than twelve readings: `checkLines` names those to the office first.
 */
export function lineNumbers(line: SampleLine): LineReport {
  const method = methodFor(line.spacing);
  if (!method) throw new Error(`line ${line.id} is read every ${line.spacing} m, which is neither 12 in nor 300 mm`);
  if (line.levelsMm.length < FEWEST_ON_LINE) {
    throw new Error(`line ${line.id} has ${line.levelsMm.length} readings, fewer than ${FEWEST_ON_LINE}`);
  }
  const levels = line.levelsMm.map((level) => level / method.mmPerUnit);
  const noise = line.readingSd === undefined ? undefined : line.readingSd / method.mmPerUnit;
  return {
    line,
    method,
    levels,
    curvatures: apply(CURVATURE, levels),
    differences: apply(OVER_TEN, levels),
    flatness: numberOf(method.flatness, CURVATURE, levels, noise),
    levelness: numberOf(method.levelness, OVER_TEN, levels, noise),
  };
}

/**
 * Lines taken together by their readings: F = √(Σr / Σ(r/F²)), r the count of each (from memory).
 * A line without bound adds to Σr and nothing to the sum below. Throws for no line.
 */
export function combine(numbers: readonly LineNumber[]): CombinedNumber {
  const count = sumOf(numbers.map((one) => one.count));
  if (!(count > 0)) throw new Error("flatness or levelness of no line");
  const inverseSquare = (number: FNumber): number => (number.kind === "unbounded" ? 0 : 1 / number.value ** 2);
  const rootOver = (all: readonly { count: number; number: FNumber }[]): FNumber => {
    const sum = sumOf(all.map((one) => one.count * inverseSquare(one.number)));
    return sum === 0 ? { kind: "unbounded" } : { kind: "value", value: Math.sqrt(count / sum) };
  };
  const number = rootOver(numbers);
  const calm = numbers.map((one) => one.lessNoise && { count: one.count, number: one.lessNoise });
  const lessNoise = calm.every((one) => one !== undefined) ? { lessNoise: rootOver(calm) } : {};
  if (number.kind === "unbounded") return { count, number, ...lessNoise };
  // dF/dF_i = r_i·F³ / (Σr·F_i³), from the formula above.
  const shares = numbers.map((one) =>
    one.number.kind === "unbounded"
      ? 0
      : one.sd === undefined
        ? Number.NaN
        : (one.sd * one.count * (number.value / one.number.value) ** 3) / count,
  );
  const sd = norm(shares);
  return { count, number, ...(!Number.isNaN(sd) && { sd }), ...lessNoise };
}

/** The lines by section, in the order in which sections first stand in the job. */
export function sectionsOf(lines: readonly LineReport[]): SectionReport[] {
  const names = [...new Set(lines.map(({ line }) => line.section))];
  return names.map((section) => ({
    section,
    ...together(lines.filter(({ line }) => line.section === section)),
  }));
}

/** Lines taken together: a section, or the whole. */
export const together = (lines: readonly LineReport[]): FNumberReport["composite"] => ({
  lines: lines.map(({ line }) => line.id),
  readings: sumOf(lines.map(({ levels }) => levels.length)),
  flatness: combine(lines.map(({ flatness }) => flatness)),
  levelness: combine(lines.map(({ levelness }) => levelness)),
});

/** The formulas that were used for lines read by these forms of the method. */
export function formulasUsed(methods: readonly FMethod[]): Formula[] {
  const used = [INCH_METHOD, METRIC_METHOD].filter((method) => methods.includes(method));
  return [
    // Symbols of ASTM E1155-96.
    { of: "symbols", text: "d(i) = h(i) − h(i−1); q(i) = d(i) − d(i−1); z(i) = h(i) − h(i−10)", standing: "published" },
    ...used.flatMap((method): Formula[] => [
      {
        of: "flatness",
        text: `FF = ${method.flatness} / (3·S(q) + |M(q)|), q [${method.unit}]`,
        standing: "from-memory",
      },
      {
        of: "levelness",
        text: `FL = ${method.levelness} / (3·S(z) + |M(z)|), z [${method.unit}]`,
        standing: "from-memory",
      },
    ]),
    { of: "spread", text: "M(x) = Σx / n; S(x)² = Σ(x − M(x))² / (n − 1)", standing: "from-memory" },
    { of: "lines-together", text: "F² = Σr / Σ(r / Fi²), r = n − 2 (FF), n − 10 (FL)", standing: "from-memory" },
  ];
}
