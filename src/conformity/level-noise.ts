/** What the noise of the readings does to a value worked out from levels, and whether a verdict survives it. */
import { varianceOfSum } from "../survey/covariance.ts";
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
  const { covariance, points } = levels;
  const factors = new Float64Array(points.length);
  for (const [point, weight] of weights) factors[point] = weight;
  // Rounding can leave a hair below zero where a difference is of one reading with itself.
  if (covariance) return Math.sqrt(Math.max(0, varianceOfSum(covariance, factors)));
  return Math.hypot(...[...weights].map(([point, weight]) => weight * points[point]!.sd));
}

/** Whether a verdict with this margin (either sign) would be the same anywhere within the uncertainty. */
export const survivalOf = (margin: number, sd: number | undefined): Survival =>
  sd === undefined ? "uncertainty-not-known" : Math.abs(margin) > COVERAGE * sd ? "survives" : "does-not-survive";
