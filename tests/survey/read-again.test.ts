/** Slips planted in surveys of points read once, found by the slab around them. */
import { describe, expect, it } from "vitest";
import { point } from "../../src/geometry/point.ts";
import type { Reading } from "../../src/job/model.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { adjustSurvey } from "../../src/survey/adjust-levels.ts";
import type { AdjustedLevels } from "../../src/survey/model.ts";
import { nearestFloor } from "../../src/survey/nearest-floor.ts";
import { typicalSlipOf } from "../../src/survey/typical-slips.ts";
import { millimetres } from "../../src/units.ts";
import { floorOf, gridPlan, LITRES_PER_BAG, placeAt, reading, rectangle, setUp, surveyOf } from "./fixtures.ts";

const ROWS = 8;
const COLUMNS = 10;
const plan = gridPlan(ROWS, COLUMNS, 2);

/** Depths below zero of a slab that falls, dishes and waves by some millimetres over 20 m, as integers on the sheet. */
function depths(seed: number, noise: number): number[][] {
  const random = randomFrom(seed);
  const [phaseX, phaseY] = [6 * random.uniform(), 6 * random.uniform()];
  return Array.from({ length: ROWS }, (_, r) =>
    Array.from({ length: COLUMNS }, (_, c) => {
      const smooth = 24 + 0.9 * c - 0.6 * r + 5 * Math.sin(phaseX + c / 2.2) + 4 * Math.cos(phaseY + r / 2);
      return Math.round(smooth + noise * random.normal());
    }),
  );
}

/** The sheet typed row by row: one line of the file a lettered row, below zero, in millimetres. */
function typed(sheet: readonly (readonly number[])[], change: (reading: Reading) => Reading = (one) => one): Reading[] {
  return sheet.flatMap((row, r) =>
    row.map((depth, c) =>
      change(
        reading(plan.points[r * COLUMNS + c]!.id, -depth, {
          typed: { text: String(depth), unit: "mm", side: "below" },
          place: placeAt(20 + r, 4 * c + 5),
        }),
      ),
    ),
  );
}

function adjusted(readings: readonly Reading[]): AdjustedLevels {
  const outcome = adjustSurvey(surveyOf([setUp("S1", 0.7, readings)]), [], plan, LITRES_PER_BAG, "not surveyed");
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return outcome.value;
}

/** The reading typed otherwise, and the level that follows. */
const retyped = (one: Reading, text: string): Reading => ({
  ...one,
  level: millimetres(-Number(text)),
  typed: { ...one.typed, text },
});

const at = (id: string, change: (one: Reading) => Reading) => (one: Reading) =>
  one.pointId === id ? change(one) : one;

describe("a slip in a point read once", () => {
  it.each([
    ["sign turned", "D5", (one: Reading) => ({ ...one, level: millimetres(-one.level) }), { kind: "sign-turned" }],
    [
      "inches typed as millimetres",
      "E6",
      (one: Reading) => retyped(one, (-one.level / 25.4).toFixed(2)),
      { kind: "inches-as-millimetres" },
    ],
    ["a decimal point lost", "C4", (one: Reading) => retyped(one, `${-one.level}0`), { kind: "decimal-point" }],
  ] as const)("%s is found, with the likely level and the name of the slip", (_, id, slip, name) => {
    const sheet = depths(7, 0.7);
    const clean = adjusted(typed(sheet));
    expect(clean.report.readAgain).toEqual([]);
    const levels = adjusted(typed(sheet, at(id, slip)));
    expect(levels.report.readAgain).toHaveLength(1);
    const found = levels.report.readAgain[0]!;
    expect(found).toMatchObject({ pointId: id, found: "by-the-slab-around", which: "only-one", typicalSlip: name });
    const before = clean.points.find((one) => one.id === id)!.level;
    expect(Math.abs(found.likely - before)).toBeLessThan(3 * found.likelySd);
    // A grid point in the midst of the floor stands for 2 m by 2 m.
    expect(found.effect).toBeCloseTo(found.slip * 4, 6);
    expect(found.at).toEqual(plan.points.find((one) => one.id === id)!.at);
  });

  it("digits swapped: 41 for 14", () => {
    // A flat slab 14 mm down.
    const flat = Array.from({ length: ROWS }, (_, r) => Array.from({ length: COLUMNS }, (_, c) => 14 + ((r + c) % 2)));
    const levels = adjusted(
      typed(
        flat,
        at("D5", (one) => retyped(one, "41")),
      ),
    );
    expect(levels.report.readAgain).toHaveLength(1);
    expect(levels.report.readAgain[0]).toMatchObject({
      pointId: "D5",
      typicalSlip: { kind: "digits-swapped", text: "14" },
    });
  });

  it("a slip of no kind has no name", () => {
    const levels = adjusted(
      typed(
        depths(7, 0.7),
        at("D5", (one) => retyped(one, String(-one.level + 33))),
      ),
    );
    expect(levels.report.readAgain[0]).toMatchObject({ pointId: "D5" });
    expect(levels.report.readAgain[0]!.typicalSlip).toBeUndefined();
  });

  it("two slips side by side are both found, the worse first", () => {
    const change = (one: Reading) =>
      one.pointId === "D5"
        ? retyped(one, String(-one.level + 60))
        : one.pointId === "D6"
          ? retyped(one, String(-one.level - 40))
          : one;
    const { readAgain } = adjusted(typed(depths(9, 0.7), change)).report;
    expect(readAgain.map((one) => one.pointId)).toEqual(["D5", "D6"]);
    expect(readAgain[0]!.statistic).toBeGreaterThan(readAgain[1]!.statistic);
  });
});

describe("a row shifted by one place", () => {
  // The slab falls along the rows, so that a shift shows.
  const sheet = Array.from({ length: ROWS }, (_, r) =>
    Array.from({ length: COLUMNS }, (_, c) => 10 + 4 * c + r + Math.round(9 * Math.sin(c * 1.3))),
  );
  it.each([
    ["one place late", 1, (row: readonly number[]) => [...row.slice(1), row[COLUMNS - 1]! + 4]],
    ["one place early", -1, (row: readonly number[]) => [row[0]! - 4, ...row.slice(0, -1)]],
  ] as const)("%s: named as a row", (_, by, shift) => {
    const moved = sheet.map((row, r) => (r === 3 ? shift(row) : row));
    const { readAgain } = adjusted(typed(moved)).report;
    const row = readAgain.filter((one) => one.found === "by-the-shift-of-a-row");
    expect(row).toHaveLength(1);
    expect(row[0]).toMatchObject({ which: "whole-row", typicalSlip: { kind: "row-shifted", by } });
    expect(row[0]!.readings.map((ref) => ref.pointId)).toEqual(Array.from({ length: COLUMNS }, (_, c) => `D${c + 1}`));
  });
  it("not where nothing is shifted", () => {
    expect(adjusted(typed(sheet)).report.readAgain).toEqual([]);
  });
});

it("clean slabs raise next to no alarms, in the midst of the floor or at its edge", () => {
  let alarms = 0;
  const surveys = 60;
  for (let seed = 0; seed < surveys; seed++) alarms += adjusted(typed(depths(500 + seed, 0.8))).report.readAgain.length;
  // 4,800 points at α = 0.001. The roughness of a slab is no normal noise: twice α is allowed, and four standard errors.
  expect(alarms).toBeLessThan(9.6 + 4 * Math.sqrt(9.6));
});

it("a slip of 10 spreads is found nearly always", () => {
  let found = 0;
  const surveys = 60;
  for (let seed = 0; seed < surveys; seed++) {
    const id = plan.points[(seed * 7) % plan.points.length]!.id;
    const sheet = depths(800 + seed, 0.8);
    const spread = adjusted(typed(sheet)).report.slabSpread!;
    const off = Math.ceil(10 * spread);
    const { readAgain } = adjusted(
      typed(
        sheet,
        at(id, (one) => retyped(one, String(-one.level + off))),
      ),
    ).report;
    if (readAgain[0]?.pointId === id) found++;
  }
  expect(found / surveys).toBeGreaterThan(0.9);
});

describe("names of slips", () => {
  const one = (text: string, unit: "mm" | "in", levelMm: number, more: Partial<Reading> = {}): Reading =>
    reading("A1", levelMm, { typed: { text, unit, side: "below" }, ...more });
  it("millimetres typed as inches", () => {
    expect(typicalSlipOf(one("18", "in", -18 * 25.4), -18.2, 1)).toEqual({ kind: "millimetres-as-inches" });
  });
  it("with a covering taken off: the slip was in what was typed, not in the level", () => {
    // 12 typed above zero for 12 below, on a sheet of 5 mm: typed +12 − 5 = 7, true −12 − 5 = −17.
    expect(typicalSlipOf(one("12", "mm", 7, { reducedBy: millimetres(5) }), -17, 0.5)).toEqual({ kind: "sign-turned" });
  });
  it("fractions have no digits to swap, and a reading of 0 has no slip of a factor", () => {
    expect(typicalSlipOf(one("1 1/4", "in", -31.75), -40, 1)).toBeUndefined();
    expect(typicalSlipOf(one("0", "mm", 0), -40, 1)).toBeUndefined();
  });
  it("nothing fits loosely", () => {
    expect(typicalSlipOf(one("20", "mm", -20), -26, 3)).toBeUndefined();
  });
});

describe("the floor nearest to a reading", () => {
  it("is a quarter of a square for each of four readings, less the column in it", () => {
    const floor = floorOf({
      ...rectangle(0, 0, 8, 8),
      holes: [[point(1, 1), point(1, 2), point(2, 2), point(2, 1)]],
    });
    const four = [point(2, 2), point(6, 2), point(6, 6), point(2, 6)];
    expect(four.map((p) => nearestFloor(floor, p, four))).toEqual([15, 16, 16, 16]);
  });
  it("adds up to the floor, whatever the room and the readings", () => {
    const random = randomFrom(3);
    const ell = floorOf({
      outline: [point(0, 0), point(10, 0), point(10, 4), point(5, 4), point(5, 9), point(0, 9)],
      holes: [],
    });
    const places = Array.from({ length: 40 }, () => point(10 * random.uniform(), 4 * random.uniform()));
    const sum = places.reduce((total, p) => total + nearestFloor(ell, p, places), 0);
    expect(sum).toBeCloseTo(65, 9);
  });
});
