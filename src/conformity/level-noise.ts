/** What the noise of the readings does to a value worked out from levels, and whether a verdict survives it. */
import type { LevelCovariance, Levels } from "../survey/model.ts";
import type { Millimetres } from "../units.ts";
import type { Survival } from "./model.ts";

/** Levels with or without the covariance that an adjustment gives. */
export type NoisyLevels = Levels & { readonly covariance?: LevelCovariance };

/**
 * A verdict survives where it holds at two standard deviations to either side: about 95 % for
 * normal noise (common practice, coverage factor 2).
 */
export const COVERAGE = 2;

/**
 * Standard deviation, mm, of Σ weight × level; keys are indices of `levels.points`. With a covariance
 * what is common to a set-up falls out of a difference of its levels; without one the levels are
 * taken as independent, which makes a gap look a little less sure than it is.
 */
export function sdOfSum(levels: NoisyLevels, weights: ReadonlyMap<number, number>): Millimetres {
  const { covariance } = levels;
  let variance = 0;
  if (!covariance) {
    for (const [point, weight] of weights) variance += (weight * levels.points[point]!.sd) ** 2;
    return Math.sqrt(variance);
  }
  const { ownMm2, common, setUpsMm2, columns } = covariance;
  const along = new Float64Array(columns);
  for (const [point, weight] of weights) {
    variance += weight ** 2 * ownMm2[point]!;
    for (let c = 0; c < columns; c++) along[c]! += weight * common[point * columns + c]!;
  }
  for (let r = 0; r < columns; r++) {
    for (let c = 0; c < columns; c++) variance += along[r]! * setUpsMm2[r * columns + c]! * along[c]!;
  }
  return Math.sqrt(Math.max(0, variance));
}

/** Whether a verdict with this margin (either sign) would be the same anywhere within the uncertainty. */
export const survivalOf = (margin: number, sd: number | undefined): Survival =>
  sd === undefined ? "uncertainty-not-known" : Math.abs(margin) > COVERAGE * sd ? "survives" : "does-not-survive";
