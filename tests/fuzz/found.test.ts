/** What fuzzing found, each as the smallest job that showed it. */
import { expect, test } from "vitest";
import { smallJobText } from "../build/small-job.ts";
import { JOB_ID, judgePacket, judgeStages } from "./judge.ts";

const level = ["A  12  12  12", "B  12  12  12", "C  12  12  12"];

test("a level floor under a sought top lies at the least depth exactly, and is poured once", () => {
  const text = smallJobText(JOB_ID, { readings: level }).replace("top: 0 mm", "seek: level");
  expect(judgePacket(text)).toMatchObject({ kind: "made" });
});

test("a deep little floor in two lifts is printed: what the lower got beyond its need counts, and 16:05 fits its column", () => {
  const text = `job: ${JOB_ID}
title: Deep
units: { plan: ft-in, height: mm }
rooms:
  - id: hall
    walls: E 4', N 4', W 4', S 4'
    doors: [{ id: DR1, wall: 1, from: 6", width: 3', joins: outside, entrance: true }]
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [6", 6"], spacing: 3' }
  set_ups:
    - id: S1
      instrument: hose-level
      numbers_are: below zero
      readings: |
        A  40 40
        B  40 40
target: { top: 0 mm }
material: cement-50lb
crew: one-barrel
`;
  expect(judgePacket(text)).toMatchObject({ kind: "made" });
});

/** A hall whose one door a column stands before. */
const blocked = (column: string) => `job: ${JOB_ID}
title: Blocked
units: { plan: m, height: mm }
rooms:
  - id: hall
    walls: E 2.6, N 3, W 2.6, S 3
    columns:
      - { id: COL1, ${column} }
    doors:
      - { id: DR1, wall: 1, from: 1.4, width: 1.2, joins: street, entrance: true }
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [0.3, 0.6], spacing: 1 m }
  set_ups:
    - id: S1
      instrument: hose-level
      numbers_are: below zero
      readings: |
        A  12  13  12
        B  11  12  14
        C  12  12  11
target: { top: 0 mm }
material: cement-25kg
`;

test("a column before the only door leaves a pour that cannot be planned, and no endless age", () => {
  expect(judgeStages(blocked("center: [2, 0.25], size: 1190 mm x 490 mm")).kind).toBe("made");
});

test("a column over a jamb is objected to at the door", () => {
  expect(judgeStages(blocked("center: [1.9, 0.1], size: 1400 mm x 500 mm")).codes).toEqual(["column-in-doorway"]);
});

test.each([
  ["too few", ["A  -  12  -"], "too-few-readings"],
  ["on one line", ["A  12  12  13"], "readings-on-a-line"],
])("readings that are %s are objected to where they begin", (_, readings, code) => {
  expect(judgeStages(smallJobText(JOB_ID, { readings })).codes).toEqual([code]);
});

test("a column between the jambs of a door from which the top is taken", () => {
  const text = blocked("center: [2, 0], size: 300 mm x 300 mm")
    .replace("joins: street", "joins: street, finish_level: 30 mm")
    .replace("target: { top: 0 mm }", "target: { door: DR1, build_up: [] }");
  expect(() => judgeStages(text)).not.toThrow();
});
