/** Planted wrong numbers: the check before printing refuses each of them, and passes the packet as it is. */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import type { Evidence } from "../../src/check/evidence.ts";
import { verifyPacket } from "../../src/check/verify-packet.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { composeSheets } from "../../src/sheets/compose-sheets.ts";
import { toPacket } from "../../src/sheets/packet.ts";

const FILE = "jobs/maple-loft-bath.yaml";

/** A copy that can be written into; functions and typed arrays included. */
// biome-ignore lint/suspicious/noExplicitAny: faults are planted where the types say read-only
function writable(value: any): any {
  if (ArrayBuffer.isView(value)) return (value as Float64Array).slice();
  if (Array.isArray(value)) return value.map(writable);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, writable(inner)]));
}

let sound: Evidence;
beforeAll(async () => {
  const jobText = readFileSync(FILE, "utf8");
  const { job } = readJob(jobText, FILE, loadLibrary("jobs").library);
  const found = job ? findingsOf(job, await loadSolver()) : undefined;
  if (job === undefined || found?.kind !== "ready") throw new Error("the bathroom does not compute");
  const sheets = job.languages.flatMap((language) => composeSheets(found.value, language));
  sound = { file: FILE, jobText, findings: found.value, packet: toPacket(found.value, sheets), sheets };
});

describe("a sound packet", () => {
  it("passes", () => {
    expect(verifyPacket(sound)).toEqual([]);
  });
});

// biome-ignore lint/suspicious/noExplicitAny: see above
type Plant = (evidence: any) => void;

const FAULTS: readonly (readonly [string, string, Plant])[] = [
  [
    "a reading with its sign turned",
    "reading-differs",
    (e) => (e.findings.job.survey.setUps[0].readings[3].level *= -1),
  ],
  ["a reading taken as mm", "reading-differs", (e) => (e.findings.job.survey.setUps[0].readings[0].level /= 25.4)],
  [
    "a reading given to the next point",
    "reading-differs",
    (e) => (e.findings.job.survey.setUps[0].readings[0].pointId = "A2"),
  ],
  ["a lost reading", "readings-lost", (e) => e.findings.job.survey.setUps[0].readings.pop()],
  ["a level off its reading", "level-off-readings", (e) => (e.findings.levels.value.points[2].level += 1)],
  ["a grid point half a foot away", "pin-out-of-place", (e) => (e.findings.plan.pins[1].at.x += 0.15)],
  [
    "a surface that misses a reading",
    "surface-misses-reading",
    (e) => (e.findings.slab.value.levelMm[e.findings.slab.value.vertexOfPoint[0]] += 2),
  ],
  ["a triangle that is not there", "area-differs", (e) => dropTriangle(e.findings.slab.value)],
  [
    "a triangle turned over",
    "triangle-turned-over",
    (e) => e.findings.slab.value.mesh.corners.subarray(0, 3).reverse(),
  ],
  ["a volume a tenth of a percent off", "volume-differs", (e) => (e.findings.depths.value.volumeToOrder *= 1.001)],
  ["a volume of one room", "volume-differs", (e) => (e.findings.depths.value.rooms[0].volumeToOrder += 0.1)],
  ["a volume as read", "volume-differs", (e) => (e.findings.depths.value.volumeAsRead += 0.1)],
  ["classes that do not add up", "classes-differ", (e) => (e.findings.depths.value.thinArea += 0.01)],
  ["a band counted twice", "bands-differ", (e) => e.findings.depths.value.bands.push(e.findings.depths.value.bands[0])],
  ["a pin depth", "pin-depth-differs", (e) => (e.findings.depths.value.pins[4].depth += 0.5)],
  ["a pin cut without its foot", "pin-cut-differs", (e) => (cutPin(e).cut.length += 3)],
  ["a pin cut where it must be ground", "pin-cut-differs", (e) => (cutPin(e).cut = { kind: "too-short" })],
  ["a lost pin", "pins-lost", (e) => e.findings.depths.value.pins.pop()],
  ["one bag too few", "bags-differ", (e) => (e.findings.quantities.value.bags.toOrder -= 1)],
  ["half a bag", "bags-differ", (e) => (e.findings.quantities.value.bags.toOrder += 0.5)],
  ["a loss not added", "quantity-differs", (e) => (e.findings.quantities.value.bags.loss = 0)],
  ["a row of the trade-off", "trade-off-differs", (e) => (study(e).tradeOff[10].volume += 0.1)],
  ["a row far from the top", "trade-off-differs", (e) => (study(e).tradeOff[15].volume *= 1.001)],
  ["rows in the wrong order", "trade-off-differs", (e) => study(e).tradeOff.reverse()],
  ["a greatest depth under another top", "trade-off-differs", (e) => (study(e).tradeOff[20].greatestDepth -= 1)],
  ["another number ordered on the study", "bags-differ", (e) => (study(e).bags[0].ordered += 1)],
  ["a row with a bag too few", "bags-differ", (e) => (study(e).bags[0].curve[3].toOrder -= 1)],
  ["a covering left out at a door", "transition-differs", (e) => (study(e).transitions[0].finish -= 9.525)],
  ["a step with its sign turned", "transition-differs", (e) => (study(e).transitions[0].neighbourFinish += 4)],
  [
    "a bevel called flush",
    "transition-differs",
    (e) => Object.assign(study(e).transitions[0], { step: 9, neighbourFinish: study(e).transitions[0].finish - 9 }),
  ],
  ["nine in ten below even odds", "odds-out-of-order", (e) => (study(e).sure.nineInTen = study(e).sure.evenOdds - 1)],
  ["bags of nine in ten below those ordered", "odds-out-of-order", (e) => (study(e).bags[0].risk.nineInTen = 3)],
  ["a chance that the bags do not give", "odds-out-of-order", (e) => (study(e).bags[0].risk.chance = 0.2)],
  ["a part of the uncertainty lost", "uncertainty-differs", (e) => (study(e).sure.fromBetweenReadings = 0)],
  [
    "other bags in the trade-off as printed",
    "sheet-differs",
    (e) => (rowAt(e, "top-of-pour", "+1/16\u00a0in").cells[3].lines[0].text = "99"),
  ],
  ["water for another bag", "quantity-differs", (e) => (e.findings.quantities.value.water *= 1.1)],
  ["a pallet too few", "quantity-differs", (e) => (e.findings.quantities.value.pallets = 0)],
  ["a dead load in other units", "quantity-differs", (e) => (e.findings.quantities.value.meanDeadLoad *= 4.88)],
  ["a lift too thick", "lift-too-thick", (e) => (e.findings.quantities.value.lifts[0].thickness = 500)],
  ["lifts that do not hold the volume", "quantity-differs", (e) => (e.findings.quantities.value.lifts[0].volume -= 1)],
  ["a hold taken off", "hold-missing", (e) => (e.findings.quantities.value.holds = [])],
  ["a batch with other water", "quantity-differs", (e) => (e.findings.schedule.value.batches[1].water += 1)],
  ["a batch left out", "quantity-differs", (e) => e.findings.schedule.value.batches.splice(1, 1)],
  ["batches out of order", "batches-out-of-order", (e) => e.findings.schedule.value.batches.reverse()],
  ["a print that rounds away", "print-differs", (e) => (e.packet.quantities.result.waterL.printed[0] = "1.0\u00a0gal")],
  [
    "a least depth printed less than it is",
    "print-differs",
    (e) => (e.packet.depths.result.leastAllowedMm.printed[1] = "19\u00a0mm"),
  ],
  ["inches printed as mm", "print-differs", (e) => (firstCut(e).cutMm.printed = ["23\u00a0mm", "1\u00a0mm"])],
  ["a number that is none", "number-not-finite", (e) => (e.packet.depths.result.extrapolatedVolumeShare = Number.NaN)],
  [
    "another length on the cut table",
    "sheet-differs",
    (e) => (cutRow(e, "cut-table").cells[1].lines[0].text = "3\u00a0in"),
  ],
  ["a pin off the cut table", "sheet-differs", (e) => removeRow(e, "cut-table")],
  [
    "a pin under another length in the cut order",
    "sheet-differs",
    (e) => (cutRow(e, "cut-order").cells[0].lines[0].text = "3\u00a0in"),
  ],
  ["another length on the pin map", "sheet-differs", (e) => misprintMap(e)],
];

describe("a packet with a planted fault", () => {
  it.each(FAULTS)("%s is refused as %s", (_, code, plant) => {
    const wrong = writable(sound);
    plant(wrong);
    expect(verifyPacket(wrong).map((diagnostic) => diagnostic.code)).toContain(code);
  });
});

// biome-ignore-start lint/suspicious/noExplicitAny: see above
const study = (e: any) => e.findings.targetStudy.value;
const rowAt = (e: any, sheet: string, first: string): any =>
  tablesOf(e, sheet)
    .flatMap((table) => table.rows)
    .find((row: any) => row.cells[0].lines[0]?.text === first);
const cutPin = (e: any) => e.findings.depths.value.pins.find((pin: any) => pin.cut.kind === "cut");
const firstCut = (e: any) => e.packet.depths.result.pins.find((pin: any) => pin.cut === "cut");

function dropTriangle({ mesh }: any): void {
  mesh.corners = mesh.corners.slice(3);
  mesh.regionOf = mesh.regionOf.slice(1);
}

const tablesOf = (e: any, id: string): any[] =>
  e.sheets
    .find((sheet: any) => sheet.id === id)
    .pages.flatMap((page: any) => page.blocks.filter((block: any) => block.kind === "table"));

/** The table of a sheet that has cut lengths, and its first row that has one. */
function tableWithCuts(e: any, id: string): { table: any; index: number } {
  const length = firstCut(e).cutMm.printed[0];
  for (const table of tablesOf(e, id)) {
    const index = table.rows.findIndex((row: any) => row.cells.some((cell: any) => cell.lines[0]?.text === length));
    if (index >= 0) return { table, index };
  }
  throw new Error(`no cut length on ${id}`);
}

function cutRow(e: any, id: string): any {
  const { table, index } = tableWithCuts(e, id);
  return table.rows[index];
}

function removeRow(e: any, id: string): void {
  const { table, index } = tableWithCuts(e, id);
  table.rows.splice(index, 1);
}

function misprintMap(e: any): void {
  const id = firstCut(e).id;
  const marks = e.sheets
    .find((sheet: any) => sheet.id === "pin-map")
    .pages.flatMap((page: any) => page.blocks)
    .filter((block: any) => block.kind === "drawing")
    .flatMap((block: any) => block.drawing.layers.flatMap((layer: any) => layer.marks));
  const at = marks.findIndex((mark: any) => mark.text === id);
  marks[at + 2].text = "3\u00a0in";
}
// biome-ignore-end lint/suspicious/noExplicitAny: see above
