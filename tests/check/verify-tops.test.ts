/** Tops that fall to a drain or meet in a ramp, checked before printing: they pass as they are, and planted faults are refused. */
import { beforeAll, describe, expect, it } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import type { Evidence } from "../../src/check/evidence.ts";
import { verifyPacket } from "../../src/check/verify-packet.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { composeSheets } from "../../src/sheets/compose-sheets.ts";
import { toPacket } from "../../src/sheets/packet.ts";
import { packetSchema } from "../../src/sheets/packet-schema.ts";

const FILE = "jobs/made.yaml";
/** A hall with a level top and, behind a wall of 100 mm, a wet room with its drain off the middle and a column. Invented. */
const TEXT = `job: made
title: Wet room
units: { plan: m, height: mm }
paper: a4
rooms:
  - id: hall
    name: Hall
    vertices: [[0, 0], [4, 0], [4, 3], [0, 3]]
  - id: wet
    name: Wet room
    vertices: [[4.1, 0], [7.1, 0], [7.4, 3], [4.1, 3]]
    doors: [{ id: D1, wall: 4, from: 1.0, width: 0.9, joins: hall, thickness: 0.1 }]
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [0.5, 0.5], spacing: 1 m }
  set_ups:
    - id: S1
      instrument: reference-level
      numbers_are: below zero
      readings: |
        A 12.0 13.1 11.8 12.9 32 31.2 30.7
        B 11.0 12.1 12.8 12.2 31 32.4 30.1
        C 12.6 11.7 12.4 13.0 30 31.9 32.3
target:
  zones:
    - { rooms: [hall], top: 0 mm }
    - { rooms: [wet], material: stiff-25kg, top: 0 mm, drain: [5.6, 1.4], fall: 10 mm/m }
material: cement-25kg
crew: one-barrel
`;

/** The wet room 8 mm lower than the hall, level, with a ramp down into it: the load is greatest under the ramp's head. */
const RAMP_TEXT = TEXT.replace(
  /target:[\s\S]*?material: cement/,
  `target:
  zones:
    - { rooms: [hall], top: 4 mm }
    - { rooms: [wet], top: -4 mm }
  meets:
    - { door: D1, how: ramp, length: 1 m, material: stiff-25kg }
material: cement`,
)
  .replace(" 32 31.2 30.7", " 16 16.2 15.7")
  .replace(" 31 32.4 30.1", " 16 15.9 16.1")
  .replace(" 30 31.9 32.3", " 16 16.1 15.8");

/** The ramp's floor in a mix that its data sheet lets be stretched with aggregate, from 8 mm of depth on. */
const STRETCHED_TEXT = RAMP_TEXT.replace(
  "material: cement-25kg",
  `material:
  id: deep-25kg
  name: Deep mix
  binder: cement
  data_sheet: { title: Made for this test, example: true }
  bag: 25 kg
  yield: 15.2 L
  water: 5 L
  wet_density: 1970 kg/m³
  flow_time: 20 min
  healing_time: 12 min
  walk_on: 3 h
  depth_on: { concrete: { least: 3 mm, greatest: 50 mm } }
  greatest_lift: 40 mm
  greatest_fall: 0 mm/m
  pin_spacing: 2.5 m
  pin_spacing_at_doors: 1 m
  aggregate: { name: gravel, per_bag: 12 kg, yield: 19.5 L, water: 4.9 L, least_depth: 10 mm, neat_on_top: 3 mm }`,
);

let sound: Evidence;
let stretched: Evidence;
let ramped: Evidence;

async function evidenceOf(text: string): Promise<Evidence> {
  const { job, diagnostics } = readJob(text, FILE, loadLibrary("jobs").library);
  const found = job ? findingsOf(job, await loadSolver()) : undefined;
  if (job === undefined || found?.kind !== "ready") throw new Error(JSON.stringify(found ?? diagnostics));
  const sheets = job.languages.flatMap((language) => composeSheets(found.value, language));
  return { file: FILE, jobText: text, findings: found.value, packet: toPacket(found.value, sheets), sheets };
}

beforeAll(async () => {
  sound = await evidenceOf(TEXT);
  ramped = await evidenceOf(RAMP_TEXT);
  stretched = await evidenceOf(STRETCHED_TEXT);
}, 120_000);

// biome-ignore-start lint/suspicious/noExplicitAny: faults are planted where the types say read-only
/** A copy that can be written into; functions and typed arrays included. */
function writable(value: any): any {
  if (ArrayBuffer.isView(value)) return (value as Float64Array).slice();
  if (Array.isArray(value)) return value.map(writable);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, writable(inner)]));
}

const wet = (e: any) => e.findings.target.value.zones[1];
const FAULTS: readonly (readonly [string, string, (e: any) => void])[] = [
  ["falls left out of the target", "drain-differs", (e) => delete wet(e).drain],
  ["a drain a millimetre deeper", "drain-differs", (e) => (wet(e).drain.drop += 1)],
  ["falls of another room", "drain-differs", (e) => (wet(e).drain.outline[1].x += 0.2)],
  ["a volume that takes the floor of the wet room for level", "volume-differs", (e) => asIfLevel(e)],
  ["a pin cut as if the top were level", "pin-depth-differs", (e) => (pinInWetRoom(e).depth += 9)],
  ["a trade-off without the falls", "trade-off-differs", (e) => (row(e).volume += 30)],
];

function asIfLevel(e: any): void {
  const { depths } = e.findings;
  depths.value.rooms[1].volumeToOrder += 40;
}
const pinInWetRoom = (e: any) =>
  e.findings.depths.value.pins.find(({ pin, from }: any) => pin.roomIndex === 1 && from === "read");
const row = (e: any) => e.findings.targetStudy.value.tradeOff[0];

const quantities = (e: any) => e.findings.quantities.value;
const rampOf = (e: any) => e.findings.target.value.meets[0].how;
const RAMP_FAULTS: readonly (readonly [string, string, (e: any) => void])[] = [
  [
    "a dead load that forgets the ramp",
    "dead-load-differs",
    (e) => (quantities(e).greatestDeadLoad -= rampOf(e).onto.rise * 2.1),
  ],
  [
    "a dead load that forgets the pour under the ramp",
    "dead-load-differs",
    (e) => (quantities(e).greatestDeadLoad = rampOf(e).onto.rise * 2.1),
  ],
  ["a ramp longer than its wedge", "quantity-differs", (e) => (rampOf(e).length += 0.5)],
];

const mix = (e: any) => e.findings.targetStudy.value.bags[0].withAggregate;
const AGGREGATE_FAULTS: readonly (readonly [string, string, (e: any) => void])[] = [
  ["more of the floor called deep", "aggregate-differs", (e) => (mix(e).area += 0.1)],
  ["aggregate for another yield", "aggregate-differs", (e) => (mix(e).aggregate *= 1.01)],
  ["water of the neat mix", "aggregate-differs", (e) => (mix(e).water *= 5 / 4.9)],
  ["a saving that is not there", "aggregate-differs", (e) => (mix(e).wholeBagsSaved += 3)],
  [
    "a stretched lift that is not told",
    "aggregate-differs",
    (e) => delete e.findings.targetStudy.value.bags[0].withAggregate,
  ],
];
// biome-ignore-end lint/suspicious/noExplicitAny: see above

describe("a room that falls to its drain", () => {
  it("passes, and fits its schema", () => {
    expect(verifyPacket(sound)).toEqual([]);
    expect(packetSchema.safeParse(JSON.parse(JSON.stringify(sound.packet))).error).toBeUndefined();
  });

  it.each(FAULTS)("%s is refused as %s", (_, code, plant) => {
    const wrong = writable(sound);
    plant(wrong);
    expect(verifyPacket(wrong).map((diagnostic) => diagnostic.code)).toContain(code);
  });
});

describe("a floor with a ramp", () => {
  it("passes; the load is greatest under the head, where the ramp stands on the pour", () => {
    expect(verifyPacket(ramped)).toEqual([]);
    const { target, quantities: counted } = ramped.findings;
    const how = target.kind === "ready" ? target.value.meets?.[0]?.how : undefined;
    if (how?.kind !== "ramp" || counted.kind !== "ready") throw new Error("the floor has no ramp");
    expect(how.onto.rise).toBeCloseTo(8, 9);
    // 8 mm of ramp at 2.1 kg/L on 12 mm of pour, more or less, and half a millimetre of profile at 1.97.
    expect(counted.value.greatestDeadLoad).toBeCloseTo((how.onto.depth + 0.5) * 1.97 + 8 * 2.1, 9);
    expect(how.onto.depth).toBeGreaterThan(11);
  });

  it.each(RAMP_FAULTS)("%s is refused as %s", (_, code, plant) => {
    const wrong = writable(ramped);
    plant(wrong);
    expect(verifyPacket(wrong).map((diagnostic) => diagnostic.code)).toContain(code);
  });
});

describe("a floor whose deep places are stretched with aggregate", () => {
  it("passes", () => {
    expect(verifyPacket(stretched)).toEqual([]);
  });

  it.each(AGGREGATE_FAULTS)("%s is refused as %s", (_, code, plant) => {
    const wrong = writable(stretched);
    plant(wrong);
    expect(verifyPacket(wrong).map((diagnostic) => diagnostic.code)).toContain(code);
  });
});
