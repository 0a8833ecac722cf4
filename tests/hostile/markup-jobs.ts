/** Jobs with words of the office's own in every place where they may stand. Invented. */
import type { Tree, Value } from "../fuzz/written.ts";

/** Gives the words for the next place. */
export type Say = () => string;

const source = (say: Say) => say();

const material = (say: Say, id: string): Tree => ({
  id,
  name: say(),
  binder: "cement",
  data_sheet: { title: say() },
  bag: "25 kg",
  yield: "15.2 L",
  water: "5 L",
  wet_density: "1970 kg/m³",
  flow_time: "20 min",
  healing_time: "12 min",
  walk_on: "3 h",
  depth_on: { concrete: { least: "2 mm", greatest: "50 mm" } },
  greatest_lift: "40 mm",
  wait_between_lifts: "16 h",
  greatest_fall: "20 mm/m",
  pin_spacing: "2.5 m",
  pin_spacing_at_doors: "1 m",
  aggregate: {
    name: say(),
    per_bag: "12 kg",
    yield: "20 L",
    water: "5.2 L",
    least_depth: "38 mm",
    neat_on_top: "6 mm",
  },
});

const instrument = (say: Say, id: string): Tree => ({
  id,
  name: say(),
  kind: "hose",
  reading_sd: "0.5 mm",
  hose_length: "30 m",
  fluid: { name: say(), expansion: 0.0005 },
});

const layers = (say: Say): Value => [{ name: say(), thickness: "2 mm" }];

const readings = (around: number): string =>
  ["A", "B", "C"].map((row, k) => [row, ...[0, 1, 2, 3].map((n) => around + ((k + n) % 3))].join(" ")).join("\n");

const knownPoints = (say: Say): Value => [
  { point: say(), in_file: [100, 200], on_plan: [0, 0] },
  { point: say(), in_file: [104, 200], on_plan: [4, 0] },
];

/** Files beside the jobs, by the job's id. */
export const SECOND_FILE = "second.csv";
export const BESIDE: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  "hostile-zones": { [SECOND_FILE]: "point,rod (mm)\nA1,12\nA2,13\nB3,11\n" },
  "hostile-door": {
    "scan.csv": `east (m),north (m),height (mm)\n${Array.from({ length: 300 }, (_, k) => `${100.1 + 0.19 * (k % 20)},${200.1 + 0.19 * Math.floor(k / 20)},${-12 - (k % 3)}`).join("\n")}\n`,
  },
};

const surveyParts = (say: Say, prefix: string): Tree => ({
  points: [{ id: `${prefix}drain`, at: [2, 2.2], note: say() }],
  set_ups: [
    {
      id: `${prefix}1`,
      instrument: instrument(say, `${prefix}-level`),
      numbers_are: "below zero",
      date: prefix === "F" ? "2027-03-09" : "2027-02-26",
      readings: `${readings(12)}\n${prefix}drain 13`,
      repeats: "A1 40",
      struck: [{ point: "A1", which: "repeat", reason: say() }],
      stood_on: [{ points: ["B1"], thickness: "1 mm", what: say() }],
    },
    {
      id: `${prefix}2`,
      instrument: "hose-level",
      numbers_are: "below zero",
      readings_file: SECOND_FILE,
      known_points: knownPoints(say),
      after_work: { work: say(), ties: ["A1", "A2"] },
    },
  ],
  adjustment: {
    alpha: "0.1 %",
    power: "80 %",
    sigma: "instrument",
    drift: "none",
    closing: { k: "5 mm", per: "root-set-up", source: say() },
  },
  lines: [
    {
      id: "L1",
      section: say(),
      from: [0.5, 0.5],
      to: [2.9, 0.5],
      spacing: "300 mm",
      numbers_are: "above zero",
      readings: "1 1 2 1 1 2 1 1 2",
    },
  ],
});

const head = (say: Say, id: string): Tree => ({
  job: id,
  title: say(),
  place: say(),
  client: say(),
  general_contractor: say(),
  contract_reference: say(),
  dated: "2027-03-01",
  company: { name: say(), address: say(), phone: say(), site: say() },
  units: { plan: "m", height: "mm" },
});

const hall = (say: Say): Tree => ({
  id: "hall",
  name: say(),
  walls: "E 4 m, N 3 m, W 4 m, S 3 m",
  doors: [
    { id: "DR1", wall: 1, from: 1, width: 0.9, joins: say(), finish_level: "12 mm", entrance: true },
    { id: "DR2", wall: 2, from: 1, width: 0.9, joins: "store" },
  ],
});

const store = (say: Say): Tree => ({
  id: "store",
  name: say(),
  start: [4.1, 0],
  walls: "E 3 m, N 3 m, W 3 m, S 3 m",
  doors: [{ id: "DR3", wall: 1, from: 1, width: 0.9, joins: say(), finish_level: "14 mm" }],
});

const floor = (say: Say): Tree => ({
  support: "suspended",
  substrate: "concrete",
  absorbency: "porous",
  accepted_by: { name: say(), date: "2027-02-20" },
});

const grid = { origin: [0.5, 0.5], spacing: 1 };

const COATS: Value = [{ water_to_one: 3, coverage: "7 m²/L" }];

/** Everything but what goes with one top alone. */
export const zonedJob = (say: Say): Tree => ({
  ...head(say, "hostile-zones"),
  rooms: [hall(say), store(say)],
  bench_marks: [{ id: "BM1", at: [0, 1], level: "12 mm", description: say() }],
  floor: floor(say),
  survey: { grid, ...surveyParts(say, "S") },
  target: {
    zones: [
      { rooms: ["hall"], door: "DR1", build_up: layers(say), neighbour_build_up: layers(say) },
      {
        rooms: ["store"],
        material: material(say, "own-zone"),
        seek: "level",
        at_doors: [{ door: "DR3", build_up: layers(say), neighbour_build_up: layers(say) }],
      },
    ],
    meets: [{ door: "DR2", how: "ramp", length: 0.6, material: material(say, "own-ramp") }],
  },
  material: material(say, "own-material"),
  primer: {
    id: "own-primer",
    name: say(),
    data_sheet: { title: say() },
    coats_on: { porous: COATS, dense: COATS },
  },
  pins: {
    id: "own-pins",
    name: say(),
    foot: "1.5 mm",
    scale_counts_foot: true,
    least_cut: "3 mm",
    greatest_cut: "75 mm",
    recut_at: "1.5 mm",
  },
  crew: {
    id: "own-crew",
    name: say(),
    people: 5,
    barrels: 2,
    bags_per_barrel: 2,
    barrel_cycle: "6 min",
    mix_time: "2.5 min",
    lane_width: "3 m",
  },
  pour: { start: "2027-03-04 07:30" },
  contract: {
    tolerance: { text: say(), source: source(say) },
    rules: [
      { kind: "straightedge", edge: "2 m", gap: "3 mm", contact: "between-contacts", source: source(say) },
      { kind: "f-numbers", flatness: 35, levelness: 25, source: source(say) },
      { kind: "din-18202", row: "finished", source: source(say) },
      { kind: "level", plus_minus: "3 mm", source: source(say) },
      { kind: "trade-rule", name: "resilient-covering", source: source(say) },
    ],
    section: say(),
    unit_rate: { amount: 48.5, currency: say() },
    allowed_bags: 10,
    approved_bags: { bags: 40, by: say(), date: "2027-02-20", reference: say() },
    bid: { rooms: [{ room: "hall", depth: "6 mm" }], source: source(say) },
  },
  joint_survey: {
    date: "2027-02-26",
    measured_by: say(),
    present: [{ name: say(), company: say() }],
    signatures: [{ for: "contractor", by: say(), date: "2027-03-01" }],
    not_required: { by: say(), date: "2027-02-20", reason: say() },
  },
  readiness: {
    tests: [
      { test: "relative-humidity", owed_by: say(), limits: [{ at_most: "80 %", source: source(say) }], places: 1 },
    ],
    results: [
      { test: "relative-humidity", id: "RH1", at: [1, 1], value: "71 %", date: "2027-02-24", by: say(), note: say() },
    ],
  },
  documents: [{ what: say(), kind: "safety-data-sheet", title: say(), file: say() }],
  submittals: [{ number: say(), item: say(), submitted: "2027-01-20" }],
  results: {
    poured: "2027-03-04",
    lead: say(),
    lots: [{ lot: "{{ 7*7 }}<b>lot</b>", bags: 44 }],
    batches: [{ batch: 1, bags: 2, mixed: "07:31", lot: "{{ 7*7 }}<b>lot</b>" }],
    reasons: [{ bags: 2, reason: say() }],
    non_conformances: [
      {
        id: "NC1",
        found: "2027-03-09",
        what: say(),
        rework: say(),
        reworked: "2027-03-10",
        recheck: { date: "2027-03-12", result: "accepted", by: say() },
      },
    ],
    acceptance: { date: "2027-03-12", result: "accepted", by: say(), remarks: say() },
  },
  finished: { poured: "2027-03-04", date: "2027-03-09", ...surveyParts(say, "F") },
  notes: [say()],
});

/** A top that is sought, over a floor that is planned and not read; nobody owes a test. */
export const soughtJob = (say: Say): Tree => ({
  ...head(say, "hostile-sought"),
  rooms: [hall(say), store(say)],
  floor: floor(say),
  survey: { grid, planning: { instrument: instrument(say, "own-level"), slack: "1 m", tie_spread: "1 m" } },
  target: {
    seek: "level",
    at_doors: [{ door: "DR1", build_up: layers(say), neighbour_build_up: layers(say) }],
  },
  material: "cement-25kg",
  readiness: { not_required: { by: say(), date: "2027-02-20", reason: say() } },
});

/** A top that is taken from a door, over a floor that was scanned. */
export const doorJob = (say: Say): Tree => ({
  ...head(say, "hostile-door"),
  rooms: [hall(say)],
  floor: floor(say),
  survey: {
    grid,
    scan: { file: "scan.csv", sd: "1 mm", known_points: knownPoints(say) },
  },
  target: { door: "DR1", build_up: layers(say), neighbour_build_up: layers(say) },
  material: "cement-25kg",
});
