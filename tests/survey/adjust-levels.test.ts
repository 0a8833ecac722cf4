import { describe, expect, it } from "vitest";
import { point } from "../../src/geometry/point.ts";
import type { AdjustmentRules, BenchMark, Reading, SetUp } from "../../src/job/model.ts";
import type { Plan } from "../../src/layout/model.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { adjustSurvey, USUAL_RULES } from "../../src/survey/adjust-levels.ts";
import { varianceOfSum } from "../../src/survey/covariance.ts";
import type { AdjustedLevels } from "../../src/survey/model.ts";
import { millimetres } from "../../src/units.ts";
import { gridPlan, LITRES_PER_BAG, placeAt, planOf, reading, setUp, surveyOf, zeroCheck } from "./fixtures.ts";

const run = (plan: Plan, setUps: readonly SetUp[], marks: readonly BenchMark[] = [], rules?: AdjustmentRules) =>
  adjustSurvey(surveyOf(setUps, rules), marks, plan, LITRES_PER_BAG, "the hall is not surveyed yet");

function ready(outcome: ReturnType<typeof run>): AdjustedLevels {
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return outcome.value;
}

const level = (levels: AdjustedLevels, id: string) => levels.points.find((one) => one.id === id)!;

/** A slab dished toward its middle, 0 to −12 mm over 12 m. */
const dish = (x: number, y: number) => -12 + ((x - 6) ** 2 + (y - 6) ** 2) / 6;

/** Reads the named points of a grid plan from a level whose zero stands at `zero`, error of `sd`. */
function readingsOf(plan: Plan, ids: readonly string[], zero: number, sd: number, seed: number): Reading[] {
  const random = randomFrom(seed);
  return ids.map((id, k) => {
    const { at } = plan.points.find((one) => one.id === id)!;
    const value = Math.round(10 * (dish(at.x, at.y) - zero + sd * random.normal())) / 10;
    return reading(id, value, { place: placeAt(10 + Math.floor(k / 6), 6 * (k % 6) + 1) });
  });
}

const grid = gridPlan(6, 6, 2);
const rows = (letters: string) => [...letters].flatMap((letter) => [1, 2, 3, 4, 5, 6].map((n) => `${letter}${n}`));

describe("one set-up", () => {
  it("a point's level is its reading, its sd the instrument's, and nothing is checked", () => {
    const levels = ready(run(grid, [setUp("S1", 1.2, [reading("A2", -7), reading("A1", 0)])]));
    expect(levels.points.map((one) => [one.id, one.level, one.sd, one.timesRead])).toEqual([
      ["A1", 0, 1.2, 1],
      ["A2", -7, 1.2, 1],
    ]);
    expect(levels.unchecked).toBe(true);
    expect(levels.report.global).toEqual({ kind: "no-redundancy" });
    expect(levels.report.datum).toEqual({ kind: "first-set-up", setUpId: "S1" });
    expect(levels.report.readings.map((one) => one.kind === "used" && one.check.kind)).toEqual([
      "unchecked",
      "unchecked",
    ]);
  });

  it("the mean where a point was read twice", () => {
    const levels = ready(run(grid, [setUp("S1", 1, [reading("A1", 4), reading("B1", 9), reading("A1", 6)])]));
    expect(level(levels, "A1")).toMatchObject({ level: 5, timesRead: 2 });
    expect(level(levels, "A1").sd).toBeCloseTo(Math.SQRT1_2, 12);
    expect(levels.unchecked).toBe(false);
  });

  it("not yet, without readings or with none that counts", () => {
    expect(run(grid, [])).toMatchObject({ kind: "not-yet", why: expect.stringContaining("no readings") });
    const struck = reading("A1", 3, { struck: { reason: "hose kicked" } });
    expect(run(grid, [setUp("S1", 1, [struck])])).toMatchObject({ kind: "not-yet" });
  });

  it("refused where the instrument is said to read without error", () => {
    expect(run(grid, [setUp("S1", 0, [reading("A1", 3)])])).toMatchObject({
      kind: "refused",
      problems: [{ code: "instrument-without-error", place: expect.anything() }],
    });
  });

  it("a reading of nobody's point is left out, named, and warned of", () => {
    const outcome = run(grid, [setUp("S1", 1, [reading("Z9", 3), reading("A1", 2)])]);
    expect(outcome.kind === "ready" && outcome.warnings.map((one) => one.code)).toContain("reading-of-unknown-point");
    expect(ready(outcome).report.readings.map((one) => one.kind)).toEqual(["left-out", "used"]);
  });

  it("a struck reading stays in the account with its reason and out of the level", () => {
    const levels = ready(
      run(grid, [
        setUp("S1", 1, [
          reading("A1", 40, { struck: { reason: "read again, first one was a trowel" } }),
          reading("A1", 4),
        ]),
      ]),
    );
    expect(level(levels, "A1")).toMatchObject({ level: 4, timesRead: 1 });
    expect(levels.report.readings[0]).toMatchObject({ kind: "struck", reason: "read again, first one was a trowel" });
    expect(levels.report.setUps[0]).toMatchObject({ readingsUsed: 1, readingsStruck: 1 });
  });
});

describe("several set-ups", () => {
  const first = setUp("S1", 0.8, readingsOf(grid, rows("ABCD"), 0, 0.8, 1));
  const second = setUp("S2", 0.8, readingsOf(grid, [...rows("EF"), "D1", "D3", "D6"], 57, 0.8, 2));

  it("are brought to one zero by the points that both read", () => {
    const levels = ready(run(grid, [first, second]));
    expect(levels.points).toHaveLength(36);
    const correction = levels.report.setUps[1]!;
    expect(Math.abs(correction.zeroCorrection - 57)).toBeLessThan(4 * correction.zeroSd);
    // Three shared points, each difference of two readings: 0.8·√(2/3).
    expect(correction.zeroSd).toBeCloseTo(0.8 * Math.sqrt(2 / 3), 10);
    for (const { at, level: found, sd } of levels.points)
      expect(Math.abs(found - dish(at.x, at.y))).toBeLessThan(4.5 * sd);
    expect(levels.report.ties).toMatchObject([
      { setUpIds: ["S1", "S2"], pointIds: ["D1", "D3", "D6"], strength: "found" },
    ]);
    expect(levels.report.readAgain).toEqual([]);
  });

  it("tied to nothing: refused, naming the set-up and the nearest points that could tie it", () => {
    const apart = setUp("S2", 0.8, readingsOf(grid, ["F1", "F2", "E1"], 57, 0.8, 2));
    const outcome = run(grid, [first, apart]);
    if (outcome.kind !== "refused") throw new Error("not refused");
    expect(outcome.problems).toHaveLength(1);
    expect(outcome.problems[0]!.message).toContain("set-up S2 is tied to nothing");
    expect(outcome.problems[0]!.hint).toContain("D1, D2");
    expect(outcome.problems[0]!.place).toBeDefined();
  });

  it("two set-ups that hang together but not on the rest are named in one error", () => {
    const apart = [
      setUp("S2", 1, readingsOf(grid, ["E1", "E2"], 5, 1, 3)),
      setUp("S3", 1, readingsOf(grid, ["E2", "F2"], 9, 1, 4)),
    ];
    const outcome = run(grid, [first, ...apart]);
    expect(outcome.kind === "refused" && outcome.problems.map((one) => one.message)).toEqual([
      expect.stringContaining("set-ups S2 and S3 are tied to each other but to nothing else"),
    ]);
  });

  it.each([
    [1, "not-checked", "nothing shows it"],
    [2, "felt-not-found", "cannot be found"],
  ] as const)("tied by %d points: warned of, and said in the tie", (shared, strength, says) => {
    const weak = setUp("S2", 0.8, readingsOf(grid, [...rows("EF"), ...["D1", "D6"].slice(0, shared)], 57, 0.8, 2));
    const outcome = run(grid, [first, weak]);
    const warnings = outcome.kind === "ready" ? outcome.warnings : [];
    expect(warnings.find((one) => one.code === "set-up-weakly-tied")?.message).toContain(says);
    expect(ready(outcome).report.ties[0]!.strength).toBe(strength);
  });

  it("tied by two points: a slip in either reading of either point looks the same, so all four are named", () => {
    const readings = readingsOf(grid, [...rows("EF"), "D1", "D6"], 57, 0.3, 2);
    const slipped = readings.map((one) => (one.pointId === "D6" ? { ...one, level: millimetres(one.level + 9) } : one));
    const levels = ready(run(grid, [first, setUp("S2", 0.8, slipped)]));
    const found = levels.report.readAgain.find((one) => one.found === "by-other-readings")!;
    expect(found.readings.map((ref) => `${ref.setUpId} ${ref.pointId}`).sort()).toEqual([
      "S1 D1",
      "S1 D6",
      "S2 D1",
      "S2 D6",
    ]);
  });

  it("a slip in one of four shared points is pinned to the point, and by the slab to the reading", () => {
    const readings = readingsOf(grid, [...rows("EF"), "D1", "D3", "D4", "D6"], 57, 0.3, 2);
    const slipped = readings.map((one) =>
      one.pointId === "D3" ? { ...one, level: millimetres(one.level + 15) } : one,
    );
    const levels = ready(run(grid, [first, setUp("S2", 0.8, slipped)]));
    const found = levels.report.readAgain[0]!;
    expect(found).toMatchObject({ pointId: "D3", found: "by-other-readings", which: "one-by-the-slab" });
    expect(found.readings[0]).toMatchObject({ setUpId: "S2" });
    const { at } = grid.points.find((one) => one.id === "D3")!;
    expect(Math.abs(found.likely - dish(at.x, at.y))).toBeLessThan(4 * found.likelySd);
    expect(Math.abs(found.slip - 15)).toBeLessThan(4 * 0.8 * Math.SQRT2);
    // The level in use still holds half of the slip: nothing is dropped in silence.
    expect(level(levels, "D3").level - found.likely).toBeGreaterThan(4);
    // Its floor is one grid cell of 2 m by 2 m.
    expect(found.effect).toBeCloseTo((level(levels, "D3").level - found.likely) * 4, 6);
    expect(found.effectBags).toBeCloseTo(found.effect! / LITRES_PER_BAG, 12);
  });
});

describe("bench marks", () => {
  const mark = (id: string, levelMm: number, sd?: number): BenchMark => ({
    id,
    at: point(0, 0),
    level: millimetres(levelMm),
    ...(sd !== undefined && { sd: millimetres(sd) }),
  });
  const readings = [reading("BM1", -40), reading("A1", -47), reading("A2", -51)];

  it("held: readings hang on its level, and it is the datum", () => {
    const levels = ready(run(grid, [setUp("S1", 1, readings)], [mark("BM1", 10)]));
    expect(levels.report.datum).toEqual({ kind: "bench-marks", benchMarkIds: ["BM1"] });
    expect(level(levels, "A1").level).toBeCloseTo(3, 12);
    // Two readings stand between the mark and the point.
    expect(level(levels, "A1").sd).toBeCloseTo(Math.SQRT2, 12);
    expect(levels.report.benchMarks).toMatchObject([{ benchMarkId: "BM1", held: true, level: 10, sd: 0 }]);
    expect(levels.unchecked).toBe(true);
  });

  it("held at 0: zero is a height, not an absence", () => {
    const levels = ready(run(grid, [setUp("S1", 1, readings)], [mark("BM1", 0)]));
    expect(level(levels, "A1").level).toBeCloseTo(-7, 12);
  });

  it("weighted: two marks share their disagreement by their weights", () => {
    const both = [...readings, reading("BM2", -20)];
    const levels = ready(run(grid, [setUp("S1", 1, both)], [mark("BM1", 10, 1), mark("BM2", 33, 2)]));
    // Zero by BM1 is 50 with variance 2, by BM2 53 with variance 5: weighted mean 50 + 3·(1/5)/(1/2 + 1/5).
    const zero = 50 + (3 * 0.2) / 0.7;
    expect(levels.report.setUps[0]!.zeroCorrection).toBeCloseTo(zero, 10);
    expect(level(levels, "A1").level).toBeCloseTo(zero - 47, 10);
    expect(levels.report.benchMarks.map((one) => one.normalizedResidual !== undefined)).toEqual([true, true]);
    // Both contradict each other by 3 with variance 7, seen from either side.
    expect(levels.report.benchMarks[0]!.normalizedResidual!).toBeCloseTo(3 / Math.sqrt(7), 10);
  });

  it("nobody read: they set no datum", () => {
    const levels = ready(run(grid, [setUp("S1", 1, [reading("A1", 2)])], [mark("BM1", 10)]));
    expect(levels.report.datum.kind).toBe("first-set-up");
  });
});

describe("zero checks", () => {
  it("a steady drift is taken out by the count of readings, the setting of the zero counting as a check", () => {
    const readings = [1, 2, 3, 4].map((n) => reading(`A${n}`, -10 + 0.5 * (n - 0.5)));
    const levels = ready(run(grid, [setUp("S1", 0.5, readings, { zeroChecks: [zeroCheck(2, 1), zeroCheck(4, 2)] })]));
    for (const one of levels.points) expect(one.level).toBeCloseTo(-10, 9);
    const { drift } = levels.report.setUps[0]!;
    expect(drift).toMatchObject({ clock: "readings" });
    expect(drift!.whole).toBeCloseTo(2, 9);
    expect(drift!.rateMm).toBeCloseTo(0.5, 9);
    expect(levels.report.closures).toMatchObject([
      { kind: "set-up", setUpIds: ["S1"], error: 2, verdict: "not-judged" },
    ]);
  });

  it("by the clock where times were written, readings between them spread evenly", () => {
    const readings = [reading("A1", 5, { time: 480 }), reading("A2", 8, { time: 510 }), reading("A3", 11)];
    const checks = [zeroCheck(0, 0, { time: 480 }), zeroCheck(3, 6, { time: 540 })];
    const levels = ready(run(grid, [setUp("S1", 0.5, readings, { zeroChecks: checks })]));
    // 6 mm an hour. A2 at half past eight reads 3 high; A3 stands two thirds of the way from A2 to the check: ten to nine, 5 high.
    expect(level(levels, "A1").level).toBeCloseTo(5, 9);
    expect(level(levels, "A2").level).toBeCloseTo(5, 9);
    expect(level(levels, "A3").level).toBeCloseTo(6, 9);
    expect(levels.report.setUps[0]!.drift).toMatchObject({ clock: "minutes" });
    expect(levels.report.setUps[0]!.drift!.rateMm).toBeCloseTo(0.1, 9);
  });

  it("no drift is solved for where the rules say none, and the closing error is judged by the job's rule", () => {
    const rules: AdjustmentRules = {
      ...USUAL_RULES,
      drift: "none",
      closing: { per: "root-set-up", k: millimetres(1.5), source: "the job's specification" },
    };
    const readings = [reading("A1", 5), reading("A2", 6)];
    const levels = ready(run(grid, [setUp("S1", 0.5, readings, { zeroChecks: [zeroCheck(2, 2)] })], [], rules));
    expect(level(levels, "A1").level).toBe(5);
    expect(levels.report.setUps[0]!.drift).toBeUndefined();
    expect(levels.report.closures).toMatchObject([{ error: 2, allowed: 1.5, verdict: "beyond" }]);
  });

  it("times that run backwards are said, and the count of readings is the clock", () => {
    const checks = [zeroCheck(0, 0, { time: 540 }), zeroCheck(2, 1, { time: 480 })];
    const outcome = run(grid, [setUp("S1", 0.5, [reading("A1", 1), reading("A2", 2)], { zeroChecks: checks })]);
    expect(outcome.kind === "ready" && outcome.warnings.map((one) => one.code)).toEqual(["times-run-backwards"]);
    expect(ready(outcome).report.setUps[0]!.drift).toMatchObject({ clock: "readings" });
  });
});

describe("closing errors of loops", () => {
  const chain = [
    setUp("S1", 1, [reading("A1", 0), reading("A2", 0), reading("B1", 10)], { reservoir: point(0, 0) }),
    setUp("S2", 1, [reading("A2", 5), reading("A3", 7)], { reservoir: point(30, 0) }),
    setUp("S3", 1, [reading("A3", 1), reading("B1", 5)], { reservoir: point(30, 40) }),
  ];
  it("add the differences round the loop", () => {
    // S1→S2 at A2: −5; S2→S3 at A3: 6; S3→S1 at B1: −5. Together −4, or 4 the other way round.
    const { closures } = ready(run(grid, chain)).report;
    expect(closures).toHaveLength(1);
    expect(Math.abs(closures[0]!.error)).toBeCloseTo(4, 9);
    // Six readings of 1 mm.
    expect(closures[0]!.sd).toBeCloseTo(Math.sqrt(6), 9);
    expect([...closures[0]!.setUpIds].sort()).toEqual(["S1", "S2", "S3"]);
    expect(closures[0]!.length).toBeCloseTo(120, 9);
    expect(closures[0]!.verdict).toBe("not-judged");
  });
  it.each([
    [{ per: "root-set-up", k: millimetres(2.2), source: "job" }, 2.2 * Math.sqrt(3), "beyond"],
    [{ per: "root-set-up", k: millimetres(2.4), source: "job" }, 2.4 * Math.sqrt(3), "within"],
    [{ per: "root-km", k: millimetres(12), source: "job" }, 12 * Math.sqrt(0.12), "within"],
    [{ per: "root-km", k: millimetres(8.4), source: "job" }, 8.4 * Math.sqrt(0.12), "beyond"],
  ] as const)("against %o", (closing, allowed, verdict) => {
    const { closures } = ready(run(grid, chain, [], { ...USUAL_RULES, closing })).report;
    expect(closures[0]!.allowed).toBeCloseTo(allowed, 9);
    expect(closures[0]!.verdict).toBe(verdict);
  });
  it("between two bench marks, through two set-ups", () => {
    const marks: BenchMark[] = [
      { id: "BM1", at: point(0, 0), level: millimetres(0) },
      { id: "BM2", at: point(9, 9), level: millimetres(20) },
    ];
    const line = [
      setUp("S1", 1, [reading("BM1", 3), reading("A1", 8)]),
      setUp("S2", 1, [reading("A1", -1), reading("BM2", 17)]),
    ];
    // BM1 to A1 5 up, A1 to BM2 18 up: 23 where the marks say 20.
    const { closures } = ready(run(grid, line, marks)).report;
    expect(closures).toHaveLength(1);
    expect(closures[0]).toMatchObject({ kind: "bench-marks" });
    expect(Math.abs(closures[0]!.error)).toBeCloseTo(3, 9);
    expect(closures[0]!.sd).toBeCloseTo(2, 9);
  });
});

describe("a bench mark with a standard deviation", () => {
  const marks = (given: number): BenchMark[] => [
    { id: "BM1", at: point(0, 0), level: millimetres(0) },
    { id: "BM2", at: point(9, 9), level: millimetres(given), sd: millimetres(0.6) },
  ];
  /** BM1 at 0 and BM2 at 20 above it, each read twice to 0.5 mm and with no error. */
  const readTwice = ["BM1", "BM2", "BM1", "BM2"].map((id) => reading(id, id === "BM1" ? -4 : 16));
  const report = (given: number) =>
    ready(run(grid, [setUp("S1", 0.5, [...readTwice, reading("A1", 0)])], marks(given))).report;

  it("whose given level the readings bear out is not suspect", () => {
    expect(report(20.5).benchMarks.map(({ suspect }) => suspect)).toEqual([false, false]);
  });

  it("is suspect where they do not: (20 − 26)/√(0.6² + 2·0.5²/2) = −7.7", () => {
    const found = report(26);
    expect(found.benchMarks[1]!.suspect).toBe(true);
    expect(found.benchMarks[1]!.normalizedResidual).toBeCloseTo(-6 / Math.sqrt(0.36 + 0.25), 9);
    // Two readings of it agree with each other: neither of them alone is off.
    expect(found.readAgain).toEqual([]);
  });

  it("read once, it is named beside the reading, which is as likely to be off", () => {
    const once = [setUp("S1", 0.5, [reading("BM1", -4), reading("BM1", -4), reading("BM2", 16)])];
    const { readAgain } = ready(run(grid, once, marks(30))).report;
    expect(readAgain.find(({ pointId }) => pointId === "BM2")).toMatchObject({ orGivenLevel: true });
  });
});

describe("after grinding", () => {
  const before = [setUp("S1", 0.8, readingsOf(grid, rows("ABCDEF"), 0, 0.8, 5))];
  const again = (ties: readonly string[], zero: number): SetUp =>
    setUp(
      "S9",
      0.8,
      [...ties.map((id) => reading(id, level(ready(run(grid, before)), id).level - zero)), reading("C3", -15 - zero)],
      { afterWork: { work: "grinding", ties } },
    );

  it("only the places that were worked on change", () => {
    const old = ready(run(grid, before));
    const levels = ready(run(grid, [...before, again(["A1", "A6", "F1"], 33)]));
    expect(level(levels, "C3")).toMatchObject({ afterWork: "grinding", timesRead: 1 });
    expect(level(levels, "C3").level).toBeCloseTo(-15, 9);
    // The three ties carry their own error and that of their new readings: √(0.64 + (0.64 + 0.64)/3).
    expect(level(levels, "C3").sd).toBeCloseTo(Math.sqrt(0.64 + (2 * 0.64) / 3), 9);
    for (const one of levels.points) if (one.id !== "C3") expect(one).toEqual(level(old, one.id));
    expect(levels.report.setUps.map((one) => one.setUpId)).toEqual(["S1", "S9"]);
    expect(levels.report.readings).toHaveLength(40);
    const only = levels.points.map((one) => (one.id === "C3" ? 1 : 0));
    expect(varianceOfSum(levels.covariance, only)).toBeCloseTo(level(levels, "C3").sd ** 2, 9);
  });

  it("a slip among the readings after work is found like any other, and what cannot be told apart is named", () => {
    const clean = again(["A1", "A6", "F1", "F6", "D4"], 33);
    const withSlip: SetUp = {
      ...clean,
      readings: clean.readings.map((one) =>
        one.pointId === "F1" ? { ...one, level: millimetres(one.level + 12) } : one,
      ),
    };
    expect(ready(run(grid, [...before, clean])).report.readAgain).toEqual([]);
    const { readAgain } = ready(run(grid, [...before, withSlip])).report;
    expect(readAgain).toMatchObject([
      { pointId: "F1", which: "only-one", found: "by-other-readings", readings: [{ setUpId: "S9" }] },
    ]);
    // Twelve of it is the slip; the tie's own level and four others say so to about a millimetre.
    expect(Math.abs(readAgain[0]!.slip - 12)).toBeLessThan(3 * Math.hypot(0.8, readAgain[0]!.likelySd));
    const twice: SetUp = { ...clean, readings: [...clean.readings, reading("C3", -15 - 33 + 9)] };
    expect(ready(run(grid, [...before, twice])).report.readAgain).toMatchObject([
      { pointId: "C3", which: "any-of-them", readings: [{ setUpId: "S9" }, { setUpId: "S9" }] },
    ]);
  });

  it("without a tie that was surveyed it is refused", () => {
    expect(
      run(grid, [...before, setUp("S9", 1, [reading("C3", 1)], { afterWork: { work: "grinding", ties: [] } })]),
    ).toMatchObject({
      kind: "refused",
      problems: [{ code: "set-up-tied-to-nothing" }],
    });
    const few = [setUp("S1", 1, [reading("A1", 0), reading("C3", 2)])];
    const unknown = setUp("S9", 1, [reading("A1", 0), reading("B2", 0), reading("C3", 1)], {
      afterWork: { work: "grinding", ties: ["A1", "B2"] },
    });
    expect(run(grid, [...few, unknown])).toMatchObject({ kind: "refused", problems: [{ code: "tie-not-surveyed" }] });
  });
});

describe("covariance of levels", () => {
  it("of one level is its variance, of a sum the shared zero counts once for all", () => {
    const shared = ["D1", "D3", "D6"];
    const levels = ready(
      run(grid, [
        setUp("S1", 0.8, readingsOf(grid, rows("ABCD"), 0, 0.8, 1)),
        setUp("S2", 0.8, readingsOf(grid, [...rows("EF"), ...shared], 57, 0.8, 2)),
      ]),
    );
    levels.points.forEach((one, k) => {
      const only = levels.points.map((_, j) => (j === k ? 1 : 0));
      expect(varianceOfSum(levels.covariance, only)).toBeCloseTo(one.sd ** 2, 10);
    });
    // The twelve points of E and F: twelve readings of 0.64, and twelve times the zero, of variance 0.64·2/3.
    const twelve = levels.points.map((one) => (/^[EF]/.test(one.id) ? 1 : 0));
    expect(varianceOfSum(levels.covariance, twelve)).toBeCloseTo(12 * 0.64 + 144 * ((2 * 0.64) / 3), 9);
    expect(() => varianceOfSum(levels.covariance, [1])).toThrow(/1 factors for 36 levels/);
  });
});

it("gives the same, whatever the order of plan points", () => {
  const setUps = [setUp("S1", 0.8, readingsOf(grid, rows("ABC"), 0, 0.8, 1))];
  const levels = ready(run(grid, setUps));
  const turned = ready(run(planOf([...grid.points].reverse(), grid.floors), setUps));
  expect([...turned.points].reverse()).toEqual(levels.points);
});
