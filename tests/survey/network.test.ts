import { describe, expect, it } from "vitest";
import { residualCorrelations, solveNetwork, withoutReading } from "../../src/survey/network.ts";
import { type Shape, simulate, solveDense } from "./networks.ts";

const sdMm = (i: number) => 0.5 + ((i * 7) % 5) / 4;
const SHAPES: readonly (readonly [string, Shape])[] = [
  ["one set-up", { setUps: 1, points: 9, overlap: 3, drift: false, given: () => "free", sdMm }],
  [
    "three set-ups, the first zero held",
    { setUps: 3, points: 30, overlap: 4, drift: false, given: () => "free", sdMm },
  ],
  ["five set-ups with drift", { setUps: 5, points: 40, overlap: 4, drift: true, given: () => "free", sdMm }],
  [
    "held bench marks",
    { setUps: 4, points: 24, overlap: 3, drift: false, given: (p) => (p === 0 || p === 13 ? "held" : "free"), sdMm },
  ],
  [
    "weighted bench marks and drift",
    { setUps: 4, points: 24, overlap: 3, drift: true, given: (p) => (p % 9 === 0 ? "weighted" : "free"), sdMm },
  ],
  [
    "held and weighted together",
    {
      setUps: 6,
      points: 36,
      overlap: 2,
      drift: false,
      given: (p) => (p === 5 ? "held" : p % 11 === 0 ? "weighted" : "free"),
      sdMm,
    },
  ],
];

describe("a reading taken out of a solved network", () => {
  it.each(SHAPES)("leaves what solving without it gives: %s", (_, shape) => {
    const { network } = simulate(shape, 14);
    const whole = solveNetwork(network);
    const checked = [...whole.redundancy.keys()].filter((i) => whole.redundancy[i]! > 0.02);
    expect(shape.setUps === 1 || checked.length > 0).toBe(true);
    for (const i of checked) {
      const used = network.used.slice();
      used[i] = 0;
      const without = solveDense({ ...network, used });
      const updated = withoutReading(network, whole, i);
      const p = network.pointOf[i]!;
      expect(updated.levelMm).toBeCloseTo(without.levelMm[p]!, 7);
      expect(updated.levelVarianceMm2).toBeCloseTo(without.levelVariance[p]!, 8);
      expect(updated.sumOfSquares).toBeCloseTo(without.sumOfSquares, 6);
      expect(updated.freedom).toBe(without.freedom);
    }
  });
});

describe("reduced normal equations against dense ones", () => {
  it.each(SHAPES)("%s", (_, shape) => {
    for (const seed of [11, 12, 13]) {
      const { network } = simulate(shape, seed);
      const reduced = solveNetwork(network);
      const dense = solveDense(network);
      const near = (actual: ArrayLike<number>, expected: readonly number[], tolerance: number) => {
        expect(actual.length).toBe(expected.length);
        for (let k = 0; k < expected.length; k++) expect(Math.abs(actual[k]! - expected[k]!)).toBeLessThan(tolerance);
      };
      near(reduced.levelMm, dense.levelMm, 1e-8);
      near(reduced.levelVarianceMm2, dense.levelVariance, 1e-9);
      near(reduced.zeroMm, dense.zeroMm, 1e-8);
      near(reduced.driftMm, dense.driftMm, 1e-8);
      near(reduced.residualMm, dense.residualMm, 1e-8);
      near(reduced.redundancy, dense.redundancy, 1e-9);
      expect(reduced.freedom).toBe(dense.freedom);
      expect(reduced.sumOfSquares).toBeCloseTo(dense.sumOfSquares, 7);
      const checked = [...reduced.redundancy.keys()].filter((i) => reduced.redundancy[i]! > 0.05);
      for (let k = 0; k + 3 < checked.length; k += 3) {
        const [i, j] = [checked[k]!, checked[k + 3]!];
        expect(residualCorrelations(network, reduced, i)(j)).toBeCloseTo(dense.correlation(i, j), 7);
        expect(residualCorrelations(network, reduced, i)(i)).toBeCloseTo(1, 9);
      }
    }
  });

  it("with a reading set aside", () => {
    const { network } = simulate(SHAPES[2]![1], 21);
    const aside = solveNetwork(network).redundancy.findIndex((redundancy) => redundancy > 0.2);
    network.used[aside] = 0;
    const reduced = solveNetwork(network);
    const dense = solveDense(network);
    reduced.levelMm.forEach((level, p) => {
      expect(level).toBeCloseTo(dense.levelMm[p]!, 8);
    });
    expect(reduced.redundancy[aside]).toBe(0);
    expect(reduced.freedom).toBe(dense.freedom);
  });
});

it("redundancies add up to the degrees of freedom where no bench mark is weighted", () => {
  for (const [, shape] of SHAPES.slice(0, 4)) {
    const solution = solveNetwork(simulate(shape, 31).network);
    expect(solution.redundancy.reduce((sum, one) => sum + one, 0)).toBeCloseTo(solution.freedom, 9);
  }
});

it("a mean of two readings: half the variance, residuals alike and opposite", () => {
  const solution = solveNetwork({
    setUpCount: 1,
    given: [{ kind: "free" }],
    zeroHeld: [true],
    withDrift: [false],
    pointOf: Int32Array.of(0, 0),
    setUpOf: Int32Array.of(0, 0),
    clock: Float64Array.of(0, 0),
    readMm: Float64Array.of(10, 13),
    sdMm: Float64Array.of(1, 1),
    used: Uint8Array.of(1, 1),
  });
  expect([...solution.levelMm]).toEqual([11.5]);
  expect(solution.levelVarianceMm2[0]).toBe(0.5);
  expect([...solution.residualMm]).toEqual([1.5, -1.5]);
  expect([...solution.redundancy]).toEqual([0.5, 0.5]);
});

it("says which set-up the readings do not determine", () => {
  expect(() =>
    solveNetwork({
      setUpCount: 2,
      given: [{ kind: "free" }, { kind: "free" }],
      zeroHeld: [true, false],
      withDrift: [false, false],
      pointOf: Int32Array.of(0, 1),
      setUpOf: Int32Array.of(0, 1),
      clock: Float64Array.of(0, 0),
      readMm: Float64Array.of(1, 2),
      sdMm: Float64Array.of(1, 1),
      used: Uint8Array.of(1, 1),
    }),
  ).toThrow(/set-up number 2/);
});
