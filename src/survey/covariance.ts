/** What the standard deviation of a sum over many levels is: they share the zeros of their set-ups. */
import type { LevelCovariance } from "./model.ts";

/**
 * Variance, mm² times the factors squared, of Σ factor·level over the points of `Levels`, in their
 * order. With each point's area (m²) as its factor the root is the ± of the volume in litres.
 * Law of propagation of variances (Ghilani & Wolf, Adjustment Computations, ch. 6).
 */
export function varianceOfSum(covariance: LevelCovariance, factors: ArrayLike<number>): number {
  const { ownMm2, common, setUpsMm2, columns } = covariance;
  if (factors.length !== ownMm2.length) throw new RangeError(`${factors.length} factors for ${ownMm2.length} levels`);
  let variance = 0;
  const sums = new Float64Array(columns);
  for (let p = 0; p < ownMm2.length; p++) {
    const factor = factors[p]!;
    variance += factor * factor * ownMm2[p]!;
    for (let c = 0; c < columns; c++) sums[c] = sums[c]! + factor * common[p * columns + c]!;
  }
  for (let r = 0; r < columns; r++)
    for (let c = 0; c < columns; c++) variance += sums[r]! * setUpsMm2[r * columns + c]! * sums[c]!;
  return variance;
}
