/** Uncertainties against what many noisy repetitions of the same readings give. */
import { describe, expect, it } from "vitest";
import { combine, lineNumbers } from "../../src/conformity/f-numbers.ts";
import { COVERAGE, sdOfSum, survivalOf } from "../../src/conformity/level-noise.ts";
import type { FNumber } from "../../src/conformity/model.ts";
import { point } from "../../src/geometry/point.ts";
import type { SampleLine } from "../../src/job/contract-model.ts";
import { randomFrom } from "../../src/numeric/random.ts";

const random = randomFrom(23);
const NOISE = 0.1;
const line = (levelsMm: readonly number[]): SampleLine => ({
  id: "1",
  section: "a",
  spacing: 0.3,
  readingSd: NOISE,
  levelsMm,
  place: { file: "made.yaml", line: 1, column: 1, length: 1, lineText: "" },
});
const valueIn = (number: FNumber | undefined): number => (number?.kind === "value" ? number.value : Number.NaN);
const meanAndSd = (values: readonly number[]) => {
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  return { mean, sd: Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / (values.length - 1)) };
};

describe("flatness and levelness numbers under noise", () => {
  const truth = Array.from({ length: 30 }, (_, k) => 3 * Math.sin(k * 1.1) + 0.4 * k + 2 * Math.cos(k * 0.35));
  const noisy = () => lineNumbers(line(truth.map((level) => level + NOISE * random.normal())));
  const trials = Array.from({ length: 3000 }, noisy);
  const exact = lineNumbers(line(truth));

  it.each(["flatness", "levelness"] as const)("%s: the stated deviation is the one that repetition shows", (number) => {
    const shown = meanAndSd(trials.map((one) => valueIn(one[number].number))).sd;
    expect(exact[number].sd! / shown).toBeGreaterThan(0.93);
    expect(exact[number].sd! / shown).toBeLessThan(1.07);
  });
  it("taking the noise's own variance out brings the flatness back to that of the floor", () => {
    const rougher = Array.from({ length: 3000 }, () => {
      const levels = truth.map((level) => level + 5 * NOISE * random.normal());
      return lineNumbers({ ...line(levels), readingSd: 5 * NOISE }).flatness;
    });
    const floors = valueIn(exact.flatness.number);
    const raw = meanAndSd(rougher.map((one) => valueIn(one.number))).mean;
    const calm = meanAndSd(rougher.map((one) => valueIn(one.lessNoise))).mean;
    expect(raw).toBeLessThan(floors * 0.97);
    expect(Math.abs(calm - floors)).toBeLessThan(Math.abs(raw - floors) / 3);
  });
  it("a perfect floor gets about what noise alone allows", () => {
    const flat = Array.from({ length: 2000 }, () =>
      lineNumbers(line(Array.from({ length: 30 }, () => NOISE * random.normal()))),
    );
    const shown = meanAndSd(flat.map(({ flatness }) => valueIn(flatness.number))).mean;
    expect(shown / flat[0]!.flatness.noiseAlone!).toBeGreaterThan(0.85);
    expect(shown / flat[0]!.flatness.noiseAlone!).toBeLessThan(1.1);
  });
  it("lines together: the deviation of the composite", () => {
    const other = truth.map((level, k) => level + Math.sin(k * 2.3));
    const both = (a: readonly number[], b: readonly number[]) =>
      combine([lineNumbers(line(a)).flatness, lineNumbers(line(b)).flatness]);
    const again = (levels: readonly number[]) => levels.map((level) => level + NOISE * random.normal());
    const shown = meanAndSd(Array.from({ length: 2000 }, () => valueIn(both(again(truth), again(other)).number))).sd;
    const { sd } = both(truth, other);
    expect(sd! / shown).toBeGreaterThan(0.92);
    expect(sd! / shown).toBeLessThan(1.08);
  });
  it("of lines without bound only the count goes in", () => {
    const flat = lineNumbers(line(Array(30).fill(0)));
    const alone = valueIn(exact.flatness.number);
    expect(valueIn(combine([exact.flatness, flat.flatness]).number)).toBeCloseTo(alone * Math.SQRT2, 9);
    expect(combine([flat.flatness]).number.kind).toBe("unbounded");
    expect(() => combine([])).toThrow(/no line/);
  });
});

describe("the deviation of a gap", () => {
  const points = [0, 1, 2].map((k) => ({ id: `A${k}`, at: point(k, 0), roomIndex: 0, level: 0, sd: 2, timesRead: 1 }));
  const gap = new Map([
    [0, 0.5],
    [1, -1],
    [2, 0.5],
  ]);
  it("adds up independent levels", () => {
    expect(sdOfSum({ points, unchecked: true }, gap)).toBeCloseTo(2 * Math.sqrt(1.5), 12);
  });
  it("loses what is common to all levels of a set-up", () => {
    // σ² = 4 mm² each, of which 3.75 are the zero of the one set-up that read them all.
    const covariance = {
      ownMm2: Float64Array.from([0.25, 0.25, 0.25]),
      common: Float64Array.from([1, 1, 1]),
      setUpsMm2: Float64Array.from([3.75]),
      columns: 1,
    };
    expect(sdOfSum({ points, unchecked: true, covariance }, gap)).toBeCloseTo(0.5 * Math.sqrt(1.5), 12);
  });
  it("a verdict survives at two deviations, either way", () => {
    expect(COVERAGE).toBe(2);
    expect(survivalOf(1, 0.49)).toBe("survives");
    expect(survivalOf(-1, 0.51)).toBe("does-not-survive");
    expect(survivalOf(1, undefined)).toBe("uncertainty-not-known");
  });
});
