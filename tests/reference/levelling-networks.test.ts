/** Levelling networks worked in print, run through the adjustment as they stand. */
import { describe, expect, it } from "vitest";
import { point } from "../../src/geometry/point.ts";
import type { AdjustmentRules, BenchMark, SetUp } from "../../src/job/model.ts";
import { adjustSurvey, USUAL_RULES } from "../../src/survey/adjust-levels.ts";
import type { AdjustedLevels } from "../../src/survey/model.ts";
import { millimetres } from "../../src/units.ts";
import { floorOf, LITRES_PER_BAG, levelledLine, planOf, planPoint, rectangle, surveyOf } from "../survey/fixtures.ts";

const MM_PER_FOOT = 304.8;

function adjusted(
  lines: readonly SetUp[],
  marks: Record<string, number>,
  unknowns: readonly string[],
  rules: AdjustmentRules,
) {
  const benchMarks = Object.entries(marks).map(
    ([id, level]): BenchMark => ({ id, at: point(0, 0), level: millimetres(level) }),
  );
  const plan = planOf(
    unknowns.map((id, k) => planPoint(id, point(1 + k, 1))),
    [floorOf(rectangle(0, 0, 10, 10))],
  );
  const outcome = adjustSurvey(surveyOf(lines, rules), benchMarks, plan, LITRES_PER_BAG, "nothing read");
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return outcome.value;
}

const levelOf = (levels: AdjustedLevels, id: string): number => levels.points.find((level) => level.id === id)!.level;
const sdOf = (levels: AdjustedLevels, id: string): number => levels.points.find((level) => level.id === id)!.sd;
/** Adjusted difference of a line, from its two readings. */
function lineOf(levels: AdjustedLevels, line: string): { residual: number; redundancy: number } {
  const both = levels.report.readings.filter(({ ref }) => ref.setUpId === line);
  let residual = 0;
  let redundancy = 0;
  both.forEach((one, k) => {
    if (one.kind !== "used") throw new Error("a reading is missing");
    residual += (k === 0 ? -1 : 1) * one.residual;
    redundancy += one.redundancy;
  });
  return { residual, redundancy };
}

const BY_RESIDUALS: AdjustmentRules = { ...USUAL_RULES, sigma: "residuals" };

// Ghilani & Wolf, Adjustment Computations, Example 12.1.
describe("Ghilani & Wolf, Example 12.1: four lines round, two across, weighted by their standard deviations", () => {
  const lines = [
    levelledLine("AB", "A", "B", 10509, 6),
    levelledLine("BC", "B", "C", 5360, 4),
    levelledLine("CD", "C", "D", -8523, 5),
    levelledLine("DA", "D", "A", -7348, 3),
    levelledLine("BD", "B", "D", -3167, 4),
    levelledLine("AC", "A", "C", 15881, 12),
  ];
  const levels = adjusted(lines, { A: 437596 }, ["B", "C", "D"], USUAL_RULES);

  it("gives the printed elevations to the tenth of a millimetre", () => {
    expect(Math.abs(levelOf(levels, "B") - 448108.7)).toBeLessThan(0.05);
    expect(Math.abs(levelOf(levels, "C") - 453468.5)).toBeLessThan(0.05);
    expect(Math.abs(levelOf(levels, "D") - 444943.6)).toBeLessThan(0.05);
  });

  it("gives the weighted sum of squares and the reference standard deviation", () => {
    // Calculated from the definitions; the book prints 0.6575, taken for a misprint.
    const { global } = levels.report;
    if (global.kind !== "tested") throw new Error("not tested");
    expect(global.redundancy).toBe(3);
    expect(global.sumOfSquares).toBeCloseTo(1.27212, 4);
    expect(global.sigmaZero).toBeCloseTo(0.65118, 4);
    expect(global.verdict).toBe("as-expected");
  });

  it("shares its redundancy of three among the six lines", () => {
    const shares = lines.map((line) => lineOf(levels, line.id).redundancy);
    expect(shares.reduce((sum, one) => sum + one, 0)).toBeCloseTo(3, 9);
    expect(Math.min(...shares)).toBeGreaterThan(0);
  });
});

// Mahun, Open Access Surveying Library (jerrymahun.com), Least Squares Lite: chapter D, section 4, all lines weighing
// alike, and chapter E, section 4, weighted by 12 over the number of set-ups. The elevations of the bench marks
// stand in a figure; they follow from the printed elevations of Q and R less the printed adjusted lines. Feet.
// The page carries three decimals: its s₀ of chapter D is 0.028 where its own printed residuals give 0.029, and
// its weighted elevations lie 0.001 ft below exact arithmetic. So those are held to 0.0013 ft.
describe("Mahun, level circuit between four bench marks", () => {
  const marks = { BMA: 806.52, BMB: 818.32, BMC: 820.12, BMD: 824.04 };
  const observed: readonly (readonly [string, string, number, number])[] = [
    ["BMA", "Q", 8.91, 3],
    ["BMB", "Q", -2.92, 2],
    ["BMC", "Q", -4.67, 1],
    ["BMD", "Q", -8.66, 3],
    ["BMA", "R", -3.56, 3],
    ["BMC", "R", -17.12, 4],
    ["BMD", "R", -21.1, 2],
    ["Q", "R", -12.47, 3],
  ];
  const inMm = Object.fromEntries(Object.entries(marks).map(([id, feet]) => [id, feet * MM_PER_FOOT]));
  const run = (sdFeet: (setUps: number) => number) =>
    adjusted(
      observed.map(([from, to, feet, setUps], k) =>
        levelledLine(`${k + 1}`, from, to, feet * MM_PER_FOOT, sdFeet(setUps) * MM_PER_FOOT),
      ),
      inMm,
      ["Q", "R"],
      BY_RESIDUALS,
    );
  const feet = (mm: number) => mm / MM_PER_FOOT;
  const printed = (value: number, expected: number) => expect(Math.abs(value - expected)).toBeLessThan(5.1e-4);
  const nearly = (value: number, expected: number) => expect(Math.abs(value - expected)).toBeLessThan(1.3e-3);

  describe("chapter D, equal weights", () => {
    const levels = run(() => 1);
    it("elevations and their standard deviations", () => {
      printed(feet(levelOf(levels, "Q")), 815.418);
      printed(feet(levelOf(levels, "R")), 802.962);
      printed(feet(sdOf(levels, "Q")), 0.013);
      nearly(feet(sdOf(levels, "R")), 0.014);
    });
    it("standard deviation of unit weight, with six degrees of freedom", () => {
      const { global } = levels.report;
      if (global.kind !== "tested") throw new Error("not tested");
      expect(global.redundancy).toBe(6);
      nearly(global.sigmaZero, 0.028);
      // From the residuals that the page prints: −.012 .018 −.032 .038 .002 −.038 .022 .014.
      printed(global.sigmaZero, 0.02905);
    });
    it("adjusted lines and their standard errors", () => {
      const adjustedLines = [8.898, -2.902, -4.702, -8.622, -3.558, -17.158, -21.078, -12.456];
      const errors = [0.013, 0.013, 0.013, 0.013, 0.014, 0.014, 0.014, 0.017];
      observed.forEach(([, , difference], k) => {
        const { residual, redundancy } = lineOf(levels, `${k + 1}`);
        printed(difference + feet(residual), adjustedLines[k]!);
        // Standard error of the adjusted line = s₀·√(1 − r)·σ, s₀ as estimated and σ = 1 ft as put in.
        const { global } = levels.report;
        if (global.kind !== "tested") throw new Error("not tested");
        nearly(global.sigmaZero * Math.sqrt(1 - redundancy), errors[k]!);
      });
    });
  });

  describe("chapter E, weighted by the number of set-ups", () => {
    const levels = run((setUps) => Math.sqrt(setUps / 12));
    it("elevations, standard deviations and standard deviation of unit weight", () => {
      nearly(feet(levelOf(levels, "Q")), 815.424);
      nearly(feet(levelOf(levels, "R")), 802.958);
      printed(feet(sdOf(levels, "Q")), 0.012);
      printed(feet(sdOf(levels, "R")), 0.016);
      const { global } = levels.report;
      if (global.kind !== "tested") throw new Error("not tested");
      printed(global.sigmaZero, 0.067);
    });
  });
});

// Ghilani & Wolf, Adjustment Computations, sections 12.3 and 12.4: the seven-line net between two bench marks,
// without weights and with weights 12 over the miles of each line. Observations and results from memory.
describe("Ghilani & Wolf, seven lines between two bench marks (from memory)", () => {
  const observed: readonly (readonly [string, string, number, number])[] = [
    ["BMX", "A", 5.1, 4],
    ["A", "BMY", 2.34, 3],
    ["BMY", "C", -1.25, 2],
    ["C", "BMX", -6.13, 3],
    ["A", "B", -0.68, 2],
    ["BMY", "B", -3.0, 2],
    ["B", "C", 1.7, 2],
  ];
  const marks = { BMX: 100 * MM_PER_FOOT, BMY: 107.5 * MM_PER_FOOT };
  const run = (sdFeet: (miles: number) => number) =>
    adjusted(
      observed.map(([from, to, feet, miles], k) =>
        levelledLine(`${k + 1}`, from, to, feet * MM_PER_FOOT, sdFeet(miles) * MM_PER_FOOT),
      ),
      marks,
      ["A", "B", "C"],
      BY_RESIDUALS,
    );
  const expectFeet = (levels: AdjustedLevels, expected: Record<string, number>) => {
    for (const [id, feet] of Object.entries(expected))
      expect(Math.abs(levelOf(levels, id) / MM_PER_FOOT - feet)).toBeLessThan(5.1e-4);
  };
  it("without weights: 105.141, 104.483, 106.188, s₀ 0.050", () => {
    const levels = run(() => 1);
    expectFeet(levels, { A: 105.141, B: 104.483, C: 106.188 });
    const { global } = levels.report;
    if (global.kind !== "tested") throw new Error("not tested");
    expect(Math.abs(global.sigmaZero - 0.05)).toBeLessThan(5.1e-4);
  });
  it("weighted by distance: 105.150, 104.489, 106.197, s₀ 0.107", () => {
    const levels = run((miles) => Math.sqrt(miles / 12));
    expectFeet(levels, { A: 105.15, B: 104.489, C: 106.197 });
    const { global } = levels.report;
    if (global.kind !== "tested") throw new Error("not tested");
    expect(Math.abs(global.sigmaZero - 0.107)).toBeLessThan(5.1e-4);
  });
});

// Siki, "Level network adjustment and data snooping", Data processing lessons of the Budapest University of
// Technology and Economics (OSGeoLab tutorials), with its printed results: point 4 held, σ = 0.7 mm a kilometre.
describe("Siki, four points with every line between them", () => {
  const observed: readonly (readonly [string, string, number, number])[] = [
    ["1", "2", -749, 1.1],
    ["1", "3", -1274, 1.8],
    ["1", "4", -2890, 1.4],
    ["2", "3", -530, 1.5],
    ["2", "4", -2141, 1.9],
    ["3", "4", -1614, 0.9],
  ];
  const lines = observed.map(([from, to, mm, km], k) => levelledLine(`${k}`, from, to, mm, 0.7 * km));
  const byResiduals = adjusted(lines, { 4: 101345 }, ["1", "2", "3"], BY_RESIDUALS);
  const byInstrument = adjusted(lines, { 4: 101345 }, ["1", "2", "3"], USUAL_RULES);
  const within = (value: number, expected: number, half: number) =>
    expect(Math.abs(value - expected)).toBeLessThan(half * 1.02);

  it("elevations to 0.1 mm and their standard deviations to 0.01 mm", () => {
    within(levelOf(byResiduals, "1"), 104235.0, 0.05);
    within(levelOf(byResiduals, "2"), 103486.8, 0.05);
    within(levelOf(byResiduals, "3"), 102958.8, 0.05);
    within(sdOf(byResiduals, "1"), 1.13, 0.005);
    within(sdOf(byResiduals, "2"), 1.19, 0.005);
    within(sdOf(byResiduals, "3"), 0.91, 0.005);
  });
  it("sum of squares and standard deviation of unit weight", () => {
    const { global } = byResiduals.report;
    if (global.kind !== "tested") throw new Error("not tested");
    within(global.sumOfSquares, 8.217, 5e-4);
    within(global.sigmaZero, 1.65, 5e-3);
  });
  it("correction, redundancy and normalized residual of every line", () => {
    const corrections = [0.81, -2.18, 0.0, 2.01, -0.81, 0.18];
    const redundancies = [0.3, 0.7, 0.5, 0.5, 0.7, 0.2];
    const normalized = [1.9, 2.1, 0.0, 2.6, 0.7, 0.6];
    observed.forEach((_, k) => {
      const line = lineOf(byInstrument, `${k}`);
      within(line.residual, corrections[k]!, 0.005);
      within(line.redundancy, redundancies[k]!, 0.05);
      // Both readings of a line carry the line's normalized residual, with opposite signs.
      const readings = byInstrument.report.readings.filter(({ ref }) => ref.setUpId === `${k}`);
      for (const one of readings) {
        if (one.kind !== "used" || one.check.kind !== "checked") throw new Error("unchecked");
        within(Math.abs(one.check.normalizedResidual), normalized[k]!, 0.05);
      }
    });
  });
});
