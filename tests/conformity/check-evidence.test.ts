import { describe, expect, it } from "vitest";
import { daysBetween } from "../../src/conformity/dates.ts";
import type { Diagnostic } from "../../src/diagnostics.ts";
import { point } from "../../src/geometry/point.ts";
import type { SampleLine } from "../../src/job/contract-model.ts";
import { asked, judged, type MadeFloor, madePlace } from "./made-evidence.ts";

const rules = [asked({ kind: "level", plusMinus: 3 })];
const line = (more: Partial<SampleLine>): SampleLine => ({
  id: "L1",
  section: "hall",
  spacing: 0.3,
  ends: [point(1, 2), point(4.3, 2)],
  levelsMm: Array(12).fill(0),
  place: madePlace(41),
  ...more,
});
const problemsOf = (made: Omit<MadeFloor, "rules">): readonly Diagnostic[] => {
  const outcome = judged({ rules, spacing: 2, ...made });
  if (outcome.kind === "not-yet") throw new Error(outcome.why);
  return outcome.kind === "ready" ? outcome.warnings : outcome.problems;
};
const only = (made: Omit<MadeFloor, "rules">): Diagnostic => {
  const problems = problemsOf(made);
  expect(problems.map(({ code }) => code)).toHaveLength(1);
  return problems[0]!;
};

describe("bad input is named at its line", () => {
  it("nothing to say of a good line", () => {
    expect(problemsOf({ lines: [line({})] })).toEqual([]);
  });
  it("spacing that is neither 12 in nor 300 mm", () => {
    const half = line({ spacing: 0.5, ends: [point(1, 2), point(6.5, 2)] });
    expect(only({ lines: [half] })).toMatchObject({ code: "line-spacing", severity: "warning", place: { line: 41 } });
    expect(problemsOf({ lines: [line({ spacing: 0.3048, ends: [point(1, 2), point(4.353, 2)] })] })).toEqual([]);
  });
  it("a line too short", () => {
    const short = line({ levelsMm: Array(9).fill(0), ends: [point(1, 2), point(3.4, 2)] });
    expect(only({ lines: [short] })).toMatchObject({ code: "line-too-short", severity: "warning" });
  });
  it("a line too near an edge: how near, and what is wanted", () => {
    const near = only({ lines: [line({ ends: [point(1, 0.4), point(4.3, 0.4)] })] });
    expect(near).toMatchObject({ code: "line-near-an-edge", severity: "warning", place: { line: 41 } });
    expect(near.message).toMatch(/0\.400\sm/);
    expect(problemsOf({ lines: [line({ ends: [point(0.6, 2), point(3.9, 2)] })] })).toEqual([]);
  });
  it("ends that do not fit the number of readings: one was left out", () => {
    const missing = only({ lines: [line({ levelsMm: Array(12).fill(0), ends: [point(1, 2), point(4.6, 2)] })] });
    expect(missing).toMatchObject({ code: "line-ends-do-not-fit", severity: "error" });
    expect(missing.expected).toMatch(/^13 readings/);
  });
  it("a line, a gap and readings from another plan", () => {
    expect(only({ lines: [line({ ends: [point(10, 2), point(13.3, 2)] })] })).toMatchObject({
      code: "line-off-the-plan",
      severity: "error",
      place: { line: 41 },
    });
    const gap = { id: "W1", edge: 2, gap: 3, at: point(20, 3), place: madePlace(50) };
    expect(only({ gaps: [gap] })).toMatchObject({ code: "gap-off-the-plan", severity: "error", place: { line: 50 } });
    const moved = only({
      change: (made) => ({
        ...made,
        levels: {
          ...made.levels,
          points: made.levels.points.map((p, k) => (k === 4 ? { ...p, at: point(p.at.x + 0.1, p.at.y) } : p)),
        },
      }),
    });
    expect(moved).toMatchObject({ code: "read-on-another-plan", severity: "error" });
    expect(moved.message).toMatch(/^A5 /);
  });
  it("dates before the pour: of the floor, a line, a gap", () => {
    const gap = { id: "W1", edge: 2, gap: 3, date: "2027-03-02", place: madePlace(50) };
    const problems = problemsOf({ lines: [line({ date: "2027-03-03" })], gaps: [gap], date: "2027-03-01" });
    expect(problems.map(({ code }) => code)).toEqual(Array(3).fill("read-before-the-pour"));
    expect(problems.map(({ message }) => message.split(" is dated")[0])).toEqual([
      "the finished floor",
      "line L1",
      "gap W1",
    ]);
    expect(problemsOf({ date: "2027-03-04" })).toEqual([]);
    // The raw slab is read before the pour: that is no fault.
    expect(problemsOf({ floor: "raw-slab", date: "2027-03-01" })).toEqual([]);
  });
  it("the day of the pour counts from its start where no other is on record", () => {
    const pour = {
      start: "2027-03-04 07:30",
      lossAllowance: 0,
      profileAllowance: 0,
      bagsPerPallet: 56,
      palletLength: 1.2,
      palletWidth: 1,
      palletTare: 0,
    };
    const early = only({ job: { pour }, date: "2027-03-03", poured: null });
    expect(early).toMatchObject({ code: "read-before-the-pour", severity: "error" });
    expect(problemsOf({ job: { pour }, date: "2027-03-04", poured: null })).toEqual([]);
    expect(problemsOf({ date: "2027-03-03", poured: null })).toEqual([]);
  });
  it("two lines of one name", () => {
    const twice = problemsOf({ lines: [line({}), line({ ends: [point(1, 4), point(4.3, 4)] })] });
    expect(twice).toMatchObject([{ code: "line-named-twice", severity: "error" }]);
  });
});

describe("calendar days", () => {
  it("over a month, a leap day and a typed time; no date, no days", () => {
    expect(daysBetween("2027-02-27", "2027-03-01")).toBe(2);
    expect(daysBetween("2028-02-27 07:30", "2028-03-01")).toBe(3);
    expect(daysBetween("2027-03-04", "2027-03-01")).toBe(-3);
    expect(daysBetween("2027-02-30", "2027-03-01")).toBeUndefined();
    expect(daysBetween("soon", "2027-03-01")).toBeUndefined();
  });
});
