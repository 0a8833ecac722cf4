/** What fuzzing found, each as the smallest job that showed it. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { findingsOf } from "../../src/build.ts";
import { readJob } from "../../src/job/read-job.ts";
import { detailPages, detailsFor } from "../../src/sheets/map/map-details.ts";
import { scalesFor } from "../../src/sheets/map/map-scale.ts";
import { pinItem } from "../../src/sheets/map/pin-labels.ts";
import { en } from "../../src/sheets/words/en.ts";
import { smallJobText } from "../build/small-job.ts";
import { FILE, JOB_ID, judgePacket, judgeStages, library, solve } from "./judge.ts";

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

test("a lower lift that fills one deep corner of its bay is printed: it wets less than the bay's outline holds", () => {
  const text = `job: ${JOB_ID}
title: One deep corner
units: { plan: m, height: mm }
rooms:
  - id: hall
    walls: E 4 m, N 3 m, W 4 m, S 3 m
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [0.4, 0.4], spacing: 1 m }
  set_ups:
    - id: S1
      instrument: total-station
      numbers_are: below zero
      readings: |
        A  0 0 0 0
        B  0 0 0 0
        C  30.48 11.887 0 0
target: { top: 0 mm }
material: cement-25kg
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

test.each([
  ["past a wall", ""],
  ["within a column", "\n    columns: [{ id: COL1, center: [7', 6.9'], size: 80 mm x 70 mm }]"],
])("a grid point a few millimetres %s is read at its face, and passes the check before printing", (_, column) => {
  const walls = `E 11.99', N 12', W 11.99', S 12'${column}`;
  const text = smallJobText(JOB_ID).replace("E 14', N 12', W 14', S 12'", walls);
  const { job } = readJob(text, FILE, library);
  const found = job && findingsOf(job, solve);
  if (found?.kind !== "ready") throw new Error("no findings");
  const moved = found.value.plan.pins.filter(({ id, at }) => /^A3|^B2/.test(id) && (at.x * 1000) % 0.3048 > 1e-6);
  expect(moved.length).toBeGreaterThan(0);
  expect(judgePacket(text)).toMatchObject({ kind: "made" });
});

test("a cell NaN of a file beside the job is named in the message that refuses it", () => {
  const text = smallJobText(JOB_ID)
    .replace(/readings: \|\n(?: {8}.*\n)+/, "readings_file: points.csv\n")
    .replace("numbers_are: below zero", "numbers_are: above zero, minus is below");
  const beside = [
    { file: `jobs/${JOB_ID}/points.csv`, name: "points.csv", text: "point,height (mm)\nA1,-9\nA2,NaN\nA3,-9\n" },
  ];
  expect(judgePacket(text, beside).codes).toContain("unreadable-reading");
});

test("a quote that is opened in a file beside the job is told where it opens, whatever begins the file and ends its lines", () => {
  const text = smallJobText(JOB_ID)
    .replace(/readings: \|\n(?: {8}.*\n)+/, "readings_file: points.csv\n")
    .replace("numbers_are: below zero", "numbers_are: above zero, minus is below");
  const rows = '\ufeffpoint,height (mm)\r\nA1,-9\r\n"A2,-9\r\nA3,-9\r\n"A4,-9\nB1,-9\n';
  const beside = [{ file: `jobs/${JOB_ID}/points.csv`, name: "points.csv", text: rows }];
  const { diagnostics } = readJob(text, FILE, library, beside);
  expect(diagnostics.map(({ code, place }) => [code, place?.line, place?.column, place?.lineText])).toEqual([
    ["unreadable-table", 3, 1, '"A2,-9'],
  ]);
  const [header] = readJob(text, FILE, library, [
    { ...beside[0]!, text: "\ufeffpoint,depth (mm)\nA1,-9\n" },
  ]).diagnostics;
  expect([header?.place?.column, header?.place?.lineText]).toEqual([1, "point,depth (mm)"]);
});

test("a detail shows the pin that it is drawn for, though its neighbours leave no room for its label", () => {
  const row = "40 40 40 40 40 40 40 40 40 40 40 40 40 40 40 40 40 40";
  const { job } = readJob(
    `job: ${JOB_ID}
title: Crowded
units: { plan: ft-in, height: mm }
rooms:
  - id: hall
    walls: "E 23 ft 0 in, N 411.48 cm, W 23', S 4114.8 mm"
    doors: [{ id: DR1, wall: 2, from: 10.4987, width: 0.6 m, joins: store }]
  - id: store
    vertices: [[23.4921', 0 ft], [27.4921, 0], [27.4921', 4.1148 m], [7.1604 m, 4114.8 mm]]
    doors: [{ id: DR2, wall: 2, from: 0.4 m, width: 0.9 m, joins: bath }]
  - id: bath
    start: [27.9843', 0 m]
    walls: "E 3.81 m, N 4114.8 mm, W 12.5 ft, S 13 ft 6 in"
    columns: [{ id: COL21, center: [854 cm, 7 cm], size: 0 ft 5.512 in }]
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [0.4 m, 0.4 m], spacing: 700 mm }
  set_ups:
    - id: S1
      instrument: total-station
      numbers_are: below zero
      readings: |
${["A", "B", "C", "D", "E", "F"].map((letter) => `        ${letter} ${row}`).join("\n")}
target: { top: 0.1142 in }
material: gypsum-50lb
`,
    FILE,
    library,
  );
  const found = job && findingsOf(job, solve);
  if (job === undefined || found?.kind !== "ready" || found.value.depths.kind !== "ready") throw new Error("no depths");
  const depths = found.value.depths.value;
  const items = depths.pins.map((pin) => pinItem(pin, job.units.height, en));
  const own = items.filter(({ id }) => id === "F10");
  const subject = { job, plan: found.value.plan, words: en, depths, items };
  const details = detailsFor(subject, own, scalesFor(job.units.plan).at(-1)!);
  const marks = detailPages("pin-map", subject, details, "Details").flatMap(({ blocks }) =>
    blocks.flatMap((block) => (block.kind === "drawing" ? block.drawing.layers.flatMap((layer) => layer.marks) : [])),
  );
  expect(marks.some((mark) => mark.kind === "text" && mark.role === "pin-id" && mark.text === "F10")).toBe(true);
});

test("a pin a tenth of a millimetre short of the least depth, where grinding begins, passes the check before printing", () => {
  // 3 mm is the least depth; the readings leave a tenth of a millimetre less under three pins.
  const readings = ["A  9  2.9  8", "B  2.9  12  9", "C  10  11  2.9"];
  const text = smallJobText(JOB_ID, { readings }).replace("cement-50lb", "cement-25kg");
  expect(judgePacket(text)).toMatchObject({ kind: "made" });
});

test("a start typed within braces is the start: the clock of the check reads it too", () => {
  const text = `${smallJobText(JOB_ID, { readings: level })}\npour: { start: "2027-03-04 07:30" }\n`;
  expect(judgePacket(text)).toMatchObject({ kind: "made" });
});

test("a corner typed in metres where millimetres were meant is told, and takes no memory for its pins", () => {
  const text = smallJobText(JOB_ID, { readings: level }).replace(
    /walls: .*/,
    "walls: E 8329.6 m, N 19 m, W 8329.6 m, S 19 m",
  );
  expect(judgeStages(text).codes).toContain("too-many-pins");
});

/** Longer ones have files of their own in found/. */
test.each([
  ["a test result in the sliver between a column and a wall is a place of its room", "result-in-a-sliver"],
  ["a floor in two lifts for which one bag is ordered says that a lift is left without", "one-bag-for-two-lifts"],
  ["a floor whose closing wall is half a millimetre askew has one area, slab and pour", "wall-askew"],
  ["a front that stands in the doorway where its bay begins is told to the wall", "front-in-a-doorway"],
  ["a wall some thousandths of a millimetre out of line costs no triangle its area", "sliver-along-a-wall"],
  ["a cut of one inch and eleven sixteenths keeps its fraction and its unit on one line", "fraction-of-an-inch"],
  ["an edge over two readings closer than a hand finds the same gap twice", "two-near-readings"],
  [
    "with one reading to spare and its own residuals as yardstick no reading can be called suspect, and the report says so",
    "one-reading-to-spare",
  ],
  ["where all but one reading stand on a line, leaving that one out predicts nothing", "reading-beside-a-line"],
  ["corners of a piece of floor that fall together cut nothing off in the second look at bays", "doubled-corners"],
  ["a pin between columns gets its label at whatever scale has room for it", "pin-between-columns"],
  ["work on the floor is adjusted on its own, and so is what the check counts", "account-after-work"],
  ["two crowded pins for which one detail has no room get a detail each", "two-pins-in-one-detail"],
  ["a drain on a wall a hair outside of the floor is plugged as deep as the floor beside it", "drain-on-a-wall"],
  ["rooms that cannot be poured on end each end with a barrel that is not full", "batches-of-two-rooms"],
  ["a shaft before the middle of a door leaves the rest of the doorway to be poured through", "shaft-before-a-door"],
  ["a side of a bay that goes on into a doorway is told where it meets the wall", "side-into-a-doorway"],
  ["a barrel more than the bays take ends no run", "barrel-left-over"],
  ["an edge that ends in a doorway is dammed as high as its own room is deep", "edge-to-a-deeper-room"],
  ["a strip beside a cut, a fifth of a millimetre wide, is in no bay and no fault", "strip-beside-a-cut"],
  ["a narrow bay that goes on into a doorway is held by the sides that are told", "narrow-bay-into-a-doorway"],
  ["a wedge over a place that is ground down weighs what it weighs", "wedge-over-a-high-spot"],
  ["a lower lift that takes five millilitres more than its barrel gives is no fault", "barrel-to-the-last-drop"],
  ["a clock of sixteen hours on A4 keeps each time on one line", "clock-of-sixteen-hours"],
])("%s", (_, name) => {
  const text = readFileSync(new URL(`found/${name}.yaml`, import.meta.url), "utf8");
  expect(judgePacket(text)).toMatchObject({ kind: "made" });
});
