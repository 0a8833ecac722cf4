/**
 * Data snooping: one reading at a time is tested by its normalized residual, the worst is set aside,
 * and the rest is solved again. Baarda, "A testing procedure for use in geodetic networks",
 * Netherlands Geodetic Commission, Publications on Geodesy 2/5 (1968).
 */
import type { AdjustmentRules } from "../job/model.ts";
import { normalQuantile, studentQuantile } from "../numeric/distributions.ts";
import { type Network, type NetworkSolution, residualCorrelations, solveNetwork } from "./network.ts";

/**
 * Below this redundancy a reading counts as unchecked: a slip would have to be more than 40 of its
 * standard deviations (at α = 0.001 and a power of 0.8) before its residual showed it.
 */
export const LEAST_REDUNDANCY = 0.01;

/** Readings whose residuals are correlated at least this much cannot be told apart. */
export const TOLD_APART_BELOW = 0.99;

/** Each round solves the network once more; a survey with so many slips is read again as a whole. */
const MOST_ROUNDS = 50;

export interface Yardstick {
  /** Goes onto standard deviations that follow from the stated ones: 1, or σ₀ as estimated. */
  readonly scale: number;
  /** Two-sided at α for one reading. Infinity where nothing can be tested. */
  readonly critical: number;
  /** Half width of a 95 % interval, in standard deviations. */
  readonly halfWidth95: number;
  /** How many standard deviations of its own a residual has to be pushed off to be found with the stated power. */
  readonly shift: number;
}

/** What residuals are held against: the instrument's own standard deviation, or the one that they show. */
export function yardstickOf(
  solution: Pick<NetworkSolution, "freedom" | "sumOfSquares">,
  rules: AdjustmentRules,
): Yardstick {
  const { freedom, sumOfSquares } = solution;
  const estimated = rules.sigma === "residuals" && freedom > 0;
  const upper = 1 - rules.alpha / 2;
  // With σ₀ estimated the externally studentized residual has one degree of freedom less:
  // Cook & Weisberg, Residuals and Influence in Regression (1982), eq. 2.2.8.
  const critical = !estimated ? normalQuantile(upper) : freedom > 1 ? studentQuantile(upper, freedom - 1) : Infinity;
  return {
    scale: estimated ? Math.sqrt(sumOfSquares / freedom) : 1,
    critical,
    halfWidth95: estimated ? studentQuantile(0.975, freedom) : normalQuantile(0.975),
    // Baarda 1968: Φ(δ − k) = power; the far tail Φ(−δ − k) is below 1e-6 for any power of a half and more.
    shift: critical + normalQuantile(rules.power),
  };
}

/** The normalized residual of a used reading, signed; NaN where it is unchecked. */
export function normalizedResidual(
  network: Network,
  solution: NetworkSolution,
  rules: AdjustmentRules,
  i: number,
): number {
  const redundancy = solution.redundancy[i]!;
  if (redundancy < LEAST_REDUNDANCY) return NaN;
  const byStated = solution.residualMm[i]! / (network.sdMm[i]! * Math.sqrt(redundancy));
  const { freedom, sumOfSquares } = solution;
  if (rules.sigma === "instrument" || freedom < 1) return byStated;
  if (freedom < 2) return NaN;
  // Leaving the reading out takes its own part, byStated², from the sum of squares.
  const rest = (sumOfSquares - byStated ** 2) / (freedom - 1);
  return byStated / Math.sqrt(Math.max(rest, Number.MIN_VALUE));
}

/** The least slip that is found with the stated power, mm; Infinity where the reading is unchecked. */
export const leastDetectableMm = (
  network: Network,
  solution: NetworkSolution,
  yardstick: Yardstick,
  i: number,
): number =>
  solution.redundancy[i]! < LEAST_REDUNDANCY
    ? Infinity
    : (yardstick.shift * yardstick.scale * network.sdMm[i]!) / Math.sqrt(solution.redundancy[i]!);

export interface Suspect {
  /** Readings that cannot be told apart, the worst first. */
  readonly group: readonly number[];
  readonly statistic: number;
  readonly critical: number;
}

export interface Snooping {
  readonly suspects: readonly Suspect[];
  /** The network with the suspects set aside: what the rest says of them. */
  readonly cleaned: Network;
  readonly cleanedSolution: NetworkSolution;
  readonly cutShort: boolean;
}

/** Finds suspect readings, worst first. The network handed in stays as it is. */
export function snoop(network: Network, solution: NetworkSolution, rules: AdjustmentRules): Snooping {
  const suspects: Suspect[] = [];
  const used = network.used.slice();
  const cleaned: Network = { ...network, used };
  let current = solution;
  for (let round = 0; ; round++) {
    const { critical } = yardstickOf(current, rules);
    let worst = -1;
    let statistic = critical;
    for (let i = 0; i < used.length; i++) {
      if (used[i] === 0) continue;
      const size = Math.abs(normalizedResidual(cleaned, current, rules, i));
      if (size > statistic) {
        worst = i;
        statistic = size;
      }
    }
    if (worst < 0) return { suspects, cleaned, cleanedSolution: current, cutShort: false };
    if (round === MOST_ROUNDS) return { suspects, cleaned, cleanedSolution: current, cutShort: true };
    const group = [worst];
    const correlation = residualCorrelations(cleaned, current, worst);
    for (let j = 0; j < used.length; j++) {
      if (j === worst || used[j] === 0 || current.redundancy[j]! < LEAST_REDUNDANCY) continue;
      if (Math.abs(correlation(j)) >= TOLD_APART_BELOW) group.push(j);
    }
    suspects.push({ group, statistic, critical });
    used[worst] = 0;
    current = solveNetwork(cleaned);
  }
}
