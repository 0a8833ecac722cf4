/**
 * Compensated summation: a sum of n numbers with an error that does not grow with n.
 * Neumaier, "Rundungsfehleranalyse einiger Verfahren zur Summation endlicher Summen",
 * ZAMM 54 (1974), algorithm IV.
 */
export interface RunningSum {
  /** The sum so far, without the correction. */
  total: number;
  /** What rounding has cut off so far. */
  correction: number;
}

export const emptySum = (): RunningSum => ({ total: 0, correction: 0 });

export function addTo(sum: RunningSum, value: number): void {
  const next = sum.total + value;
  sum.correction += Math.abs(sum.total) >= Math.abs(value) ? sum.total - next + value : value - next + sum.total;
  sum.total = next;
}

export const sumSoFar = (sum: RunningSum): number => sum.total + sum.correction;

/** The compensated sum of all values; 0 for none. */
export function sumOf(values: ArrayLike<number>): number {
  const sum = emptySum();
  for (let k = 0; k < values.length; k++) addTo(sum, values[k] as number);
  return sumSoFar(sum);
}
