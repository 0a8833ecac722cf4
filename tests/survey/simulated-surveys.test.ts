/**
 * Surveys with known truth. Seeds are fixed beforehand; limits stand at four standard errors of what
 * is counted.
 */
import { describe, expect, it } from "vitest";
import type { AdjustmentRules } from "../../src/job/model.ts";
import { normalCdf, normalQuantile } from "../../src/numeric/distributions.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { USUAL_RULES } from "../../src/survey/adjust-levels.ts";
import { type Network, residualCorrelations, solveNetwork } from "../../src/survey/network.ts";
import { globalTest } from "../../src/survey/results.ts";
import {
  LEAST_REDUNDANCY,
  leastDetectableMm,
  normalizedResidual,
  snoop,
  TOLD_APART_BELOW,
  yardstickOf,
} from "../../src/survey/snooping.ts";
import { readOnce, type Shape, simulate, withGivenErrors } from "./networks.ts";

const FREE: Shape = { setUps: 3, points: 21, overlap: 4, drift: false, given: () => "free", sdMm: () => 1 };
const DRIFTING: Shape = { ...FREE, drift: true };
const MARKED: Shape = { ...FREE, given: (p) => (p % 7 === 0 ? "weighted" : "free") };
const SMALL: Shape = { setUps: 2, points: 6, overlap: 2, drift: false, given: () => "free", sdMm: () => 1 };

/** A share counted in `trials` is as expected within four standard errors. */
function expectShare(counted: number, trials: number, expected: number): void {
  const error = Math.sqrt((expected * (1 - expected)) / trials);
  expect(Math.abs(counted / trials - expected)).toBeLessThan(4 * error);
}

describe("adjusted levels", () => {
  it.each([
    ["zero of the first set-up", FREE, 101],
    ["with drift", DRIFTING, 102],
    ["weighted bench marks", MARKED, 103],
  ] as const)("are unbiased and their 95 %% intervals cover: %s", (_, shape, seed) => {
    const runs = 2000;
    const simulated = simulate(shape, seed);
    const random = randomFrom(seed + 1000);
    const points = simulated.trueLevelMm.length;
    const sums = new Float64Array(points);
    const covered = new Int32Array(points);
    const half = normalQuantile(0.975);
    let variances: ArrayLike<number> = [];
    for (let run = 0; run < runs; run++) {
      readOnce(simulated, random, 1);
      const solution = solveNetwork(withGivenErrors(simulated, random));
      variances = solution.levelVarianceMm2;
      for (let p = 0; p < points; p++) {
        const error = solution.levelMm[p]! - simulated.trueLevelMm[p]!;
        sums[p] = sums[p]! + error;
        if (Math.abs(error) <= half * Math.sqrt(variances[p]!)) covered[p] = covered[p]! + 1;
      }
    }
    for (let p = 0; p < points; p++) {
      expect(Math.abs(sums[p]! / runs)).toBeLessThan(4 * Math.sqrt(variances[p]! / runs));
      expectShare(covered[p]!, runs, 0.95);
    }
  });

  it("cover 95 % by Student's t where σ is estimated from three degrees of freedom, the readings twice as bad as stated", () => {
    const runs = 4000;
    const simulated = simulate(SMALL, 104);
    const random = randomFrom(1104);
    const rules: AdjustmentRules = { ...USUAL_RULES, sigma: "residuals" };
    let covered = 0;
    let coveredByNormal = 0;
    for (let run = 0; run < runs; run++) {
      readOnce(simulated, random, 2);
      const solution = solveNetwork(simulated.network);
      const { scale, halfWidth95 } = yardstickOf(solution, rules);
      const p = run % simulated.trueLevelMm.length;
      const error = Math.abs(solution.levelMm[p]! - simulated.trueLevelMm[p]!);
      const sd = Math.sqrt(solution.levelVarianceMm2[p]!) * scale;
      if (error <= halfWidth95 * sd) covered++;
      if (error <= normalQuantile(0.975) * sd) coveredByNormal++;
    }
    expect(solveNetwork(simulated.network).freedom).toBe(3);
    expectShare(covered, runs, 0.95);
    // The check can fail: with the normal's 1.96 the intervals would be far too short.
    expect(coveredByNormal / runs).toBeLessThan(0.92);
  });

  it("drift is recovered, within its own standard deviation", () => {
    const runs = 2000;
    const simulated = simulate(DRIFTING, 105);
    const random = randomFrom(1105);
    const setUps = simulated.trueDriftMm.length;
    const sums = new Float64Array(setUps);
    const covered = new Int32Array(setUps);
    let sds: number[] = [];
    for (let run = 0; run < runs; run++) {
      readOnce(simulated, random, 1);
      const { driftMm, driftColumn, cofactor, columns } = solveNetwork(simulated.network);
      sds = [...driftColumn].map((column) => Math.sqrt(cofactor[column * columns + column]!));
      for (let s = 0; s < setUps; s++) {
        const error = driftMm[s]! - simulated.trueDriftMm[s]!;
        sums[s] = sums[s]! + error;
        if (Math.abs(error) <= normalQuantile(0.975) * sds[s]!) covered[s] = covered[s]! + 1;
      }
    }
    for (let s = 0; s < setUps; s++) {
      expect(Math.abs(sums[s]! / runs)).toBeLessThan((4 * sds[s]!) / Math.sqrt(runs));
      expectShare(covered[s]!, runs, 0.95);
    }
  });
});

describe("tests", () => {
  it("call out good surveys at 5 %, and good readings at α", () => {
    const runs = 10_000;
    const simulated = simulate(FREE, 106);
    const random = randomFrom(1106);
    const rules: AdjustmentRules = { ...USUAL_RULES, alpha: 0.01 };
    let called = 0;
    let alarms = 0;
    const tested = checkedReadings(simulated.network);
    for (let run = 0; run < runs; run++) {
      readOnce(simulated, random, 1);
      const solution = solveNetwork(simulated.network);
      const global = globalTest(solution);
      if (global.kind === "tested" && global.verdict !== "as-expected") called++;
      // One reading a run, so that the counts are independent.
      const i = tested[run % tested.length]!;
      if (Math.abs(normalizedResidual(simulated.network, solution, rules, i)) > yardstickOf(solution, rules).critical)
        alarms++;
    }
    expectShare(called, runs, 0.05);
    expectShare(alarms, runs, 0.01);
  });

  it("good readings at α too where σ is estimated", () => {
    const runs = 10_000;
    const simulated = simulate(SMALL, 107);
    const random = randomFrom(1107);
    const rules: AdjustmentRules = { ...USUAL_RULES, alpha: 0.05, sigma: "residuals" };
    let alarms = 0;
    const tested = checkedReadings(simulated.network);
    for (let run = 0; run < runs; run++) {
      readOnce(simulated, random, 3);
      const solution = solveNetwork(simulated.network);
      const i = tested[run % tested.length]!;
      if (Math.abs(normalizedResidual(simulated.network, solution, rules, i)) > yardstickOf(solution, rules).critical)
        alarms++;
    }
    expectShare(alarms, runs, 0.05);
  });

  describe("one slip of 3 to 10 σ", () => {
    const runs = 2000;
    const simulated = simulate(FREE, 108);
    const tested = checkedReadings(simulated.network);
    const rules = USUAL_RULES;
    const k = normalQuantile(1 - rules.alpha / 2);
    // Readings with the least and the most redundancy, and one between.
    const { redundancy } = solveNetwork(simulated.network);
    const byRedundancy = [...tested].sort((a, b) => redundancy[a]! - redundancy[b]!);
    const chosen = [byRedundancy[0]!, byRedundancy[byRedundancy.length >> 1]!, byRedundancy[byRedundancy.length - 1]!];
    it.each([3, 4, 5, 7, 10])("of %d σ is detected at the rate Φ(δ − k) + Φ(−δ − k)", (size) => {
      for (const i of chosen) {
        const random = randomFrom(1108 + 100 * size + i);
        const sign = i % 2 === 0 ? 1 : -1;
        const clean = solveNetwork(simulated.network);
        const correlation = residualCorrelations(simulated.network, clean, i);
        const apart = tested.filter((j) => Math.abs(correlation(j)) < TOLD_APART_BELOW);
        let detected = 0;
        let identified = 0;
        for (let run = 0; run < runs; run++) {
          readOnce(simulated, random, 1);
          simulated.network.readMm[i] = simulated.network.readMm[i]! + sign * size;
          const solution = solveNetwork(simulated.network);
          const own = Math.abs(normalizedResidual(simulated.network, solution, rules, i));
          if (own > k) detected++;
          // Identification is another thing than detection: no reading that can be told apart has a greater residual.
          if (own > k && apart.every((j) => Math.abs(normalizedResidual(simulated.network, solution, rules, j)) <= own))
            identified++;
        }
        const delta = size * Math.sqrt(redundancy[i]!);
        expectShare(detected, runs, normalCdf(delta - k) + normalCdf(-delta - k));
        expect(identified).toBeLessThanOrEqual(detected);
        if (size === 10) expect(identified / runs).toBeGreaterThan(0.9);
      }
    });

    it("of the least detectable size is detected with the stated power", () => {
      const i = chosen[1]!;
      const random = randomFrom(1109);
      const solution = solveNetwork(simulated.network);
      const slip = leastDetectableMm(simulated.network, solution, yardstickOf(solution, rules), i);
      // Baarda 1968: 4.13 σ for α = 0.001 and a power of 80 %.
      expect(slip * Math.sqrt(redundancy[i]!)).toBeCloseTo(4.13, 2);
      let detected = 0;
      for (let run = 0; run < runs; run++) {
        readOnce(simulated, random, 1);
        simulated.network.readMm[i] = simulated.network.readMm[i]! - slip;
        if (Math.abs(normalizedResidual(simulated.network, solveNetwork(simulated.network), rules, i)) > k) detected++;
      }
      expectShare(detected, runs, 0.8);
    });
  });

  it("two slips of 12 σ are found one after the other", () => {
    const simulated = simulate(FREE, 110);
    const tested = checkedReadings(simulated.network);
    // Of two points: the same slip in both readings of one point would hide itself.
    const planted = [tested[2]!, tested.find((i) => simulated.network.pointOf[i] === 9)!];
    const random = randomFrom(1110);
    let found = 0;
    const runs = 300;
    for (let run = 0; run < runs; run++) {
      readOnce(simulated, random, 1);
      for (const i of planted) simulated.network.readMm[i] = simulated.network.readMm[i]! + 12;
      const { suspects, cutShort } = snoop(simulated.network, solveNetwork(simulated.network), USUAL_RULES);
      expect(cutShort).toBe(false);
      const named = suspects.flatMap((suspect) => suspect.group);
      if (planted.every((i) => named.includes(i))) found++;
    }
    expect(found / runs).toBeGreaterThan(0.95);
  });
});

function checkedReadings(network: Network): number[] {
  const { redundancy } = solveNetwork(network);
  return [...redundancy.keys()].filter((i) => redundancy[i]! >= LEAST_REDUNDANCY);
}
