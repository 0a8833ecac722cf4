/** Before the pour, again from the job file's own text: tests of the substrate, and everything that holds. */
import type { TestState } from "../record/model.ts";
import type { Disagree, Evidence } from "./evidence.ts";
import type { WrittenJob, WrittenResult, WrittenTest } from "./written-job.ts";

/** What one of a typed unit is, in the unit of the test; a pound-force on a square inch is 4.4482216152605 N on 645.16 mm². */
const UNITS: Readonly<Record<string, number>> = {
  "%": 0.01,
  s: 1 / 60,
  sec: 1 / 60,
  min: 1,
  h: 60,
  psi: 4.4482216152605 / 645.16,
  mpa: 1,
  "n/mm2": 1,
  kpa: 0.001,
  "g/m2/24h": 1,
  "g/m2/d": 1,
  "lb/1000ft2/24h": 453.59237 / 92.90304,
  "lb/1000ft2/d": 453.59237 / 92.90304,
};

/** The typed value in the unit of its test; undefined where this reader does not know how it is written. */
function measured(typed: string | number): number | undefined {
  const text = String(typed).trim().toLowerCase().replaceAll("²", "2").replaceAll("−", "-");
  const profile = /^(?:csp ?)?(\d+(?:\.\d+)?)$/.exec(text);
  if (profile) return Number(profile[1]);
  const degrees = /^(-?[\d.]+) ?(?:°|deg)? ?([cf])$/.exec(text);
  if (degrees) return degrees[2] === "c" ? Number(degrees[1]) : ((Number(degrees[1]) - 32) * 5) / 9;
  const hit = /^(\d+(?:\.\d+)?) ?(.+)$/.exec(text);
  const unit = UNITS[(hit?.[2] ?? "").replace(/\s+/g, "")];
  return hit === null || unit === undefined ? undefined : Number(hit[1]) * unit;
}

/** What each test measures. */
const DIMENSIONS_OF: Readonly<Record<string, string>> = {
  "relative-humidity": "share",
  "vapour-emission": "emission",
  "water-drop": "time",
  "pull-off": "pressure",
  "surface-profile": "profile",
  "slab-temperature": "temperature",
  "air-temperature": "temperature",
  "air-humidity": "share",
  "wood-moisture": "share",
};

/** Places that the standard asks for, counted up one block of floor after the other; undefined where it asks for none. */
function countedUp(test: string, ft2: number): number | undefined {
  if (test !== "relative-humidity" && test !== "vapour-emission" && test !== "water-drop") return undefined;
  const [first, each] = test === "water-drop" ? [2000, 3000] : [1000, 1000];
  let places = 3;
  // A millionth of a square foot is the rounding of feet turned to metres.
  for (let covered = first; ft2 > covered + 1e-6; covered += each) places += 1;
  return places;
}

/** Shoelace over every ring, holes taken off. */
function floorFt2({ findings: { plan } }: Evidence): number {
  let m2 = 0;
  for (const { polygon } of plan.floors) {
    for (const [k, ring] of [polygon.outline, ...polygon.holes].entries()) {
      let twice = 0;
      for (const [i, { x, y }] of ring.entries()) {
        const next = ring[(i + 1) % ring.length]!;
        twice += x * next.y - next.x * y;
      }
      m2 += k === 0 ? Math.abs(twice) / 2 : -Math.abs(twice) / 2;
    }
  }
  return m2 / 0.09290304;
}

/** Tests of the substrate as typed: places, limits and verdicts. */
export function checkReadiness(evidence: Evidence, written: WrittenJob, disagree: Disagree): void {
  const { record, job, plan } = evidence.findings;
  if (record.kind !== "ready") return;
  const { tests, testsNamed, places } = record.value.readiness;
  const asked = written.readiness?.tests ?? [];
  if (testsNamed !== asked.length > 0) disagree("readiness-differs", "tests are said to be named, and are not");
  const ft2 = floorFt2(evidence);
  for (const state of tests) {
    const test = asked.find((one) => one.test === state.test);
    const required =
      test?.places === undefined ? (countedUp(state.test, ft2) ?? plan.floors.length) : Number(test.places);
    if (required !== state.required) {
      disagree(
        "test-count-differs",
        `${state.test} needs ${required} places on ${ft2} ft², ${state.required} in the packet`,
      );
    }
    const by =
      test?.places !== undefined ? "contract" : countedUp(state.test, ft2) === undefined ? "practice" : "standard";
    if (state.requiredBy !== by)
      disagree("readiness-differs", `${state.test} needs its places by ${by}, by ${state.requiredBy} in the packet`);
    if (state.dimension !== DIMENSIONS_OF[state.test])
      disagree("readiness-differs", `${state.test} is said to measure ${state.dimension}`);
    if ((test === undefined) === testsNamed) {
      disagree(
        "readiness-differs",
        `${state.test} is ${testsNamed ? "no test" : "one of the tests"} that the job names`,
      );
      continue;
    }
    const ranges = rangesOf(test, ofMaterial(state, job.material.slabTemperatures));
    if (!ranges.flat().includes(undefined)) checkStrictest(state, ranges as readonly Range[], disagree);
    if (test === undefined) continue;
    const results = latestOf(test, written.readiness?.results ?? []);
    if (state.placesTested !== results.length)
      disagree(
        "readiness-differs",
        `${state.test} counts ${results.length} places, ${state.placesTested} in the packet`,
      );
    checkJudged(state, results, ranges, disagree);
    const mine = verdictAgain(results, required, ranges);
    if (mine !== undefined && mine !== state.verdict) {
      disagree("verdict-differs", `${state.test} is ${mine} by the results typed, ${state.verdict} in the packet`);
    }
  }
  for (const { test } of asked)
    if (!tests.some((state) => state.test === test))
      disagree("readiness-differs", `${test} is asked for, and not shown`);
  const verdict = wholeAgain(tests, written);
  if (record.value.readiness.verdict !== verdict)
    disagree(
      "verdict-differs",
      `the floor is ${record.value.readiness.verdict} in the packet, ${verdict} by its tests`,
    );
  for (const { id, found } of places) {
    if (found.roomIndex < 0 || found.roomIndex >= plan.floors.length)
      disagree("place-off-floor", `${id} lies in no room`);
  }
}

const ofMaterial = (
  { test }: TestState,
  range: { readonly least: number; readonly greatest: number } | undefined,
): readonly (readonly [number, number])[] =>
  test === "slab-temperature" && range !== undefined ? [[range.least, range.greatest]] : [];

type Range = readonly [number, number];
/** Limits as typed and of the data sheet; undefined where this reader does not know how one is written. */
type ReadRange = readonly [number | undefined, number | undefined];

const rangesOf = (test: WrittenTest | undefined, more: readonly Range[]): readonly ReadRange[] => [
  ...(test?.limits ?? []).map(
    ({ at_least, at_most }): ReadRange => [
      at_least === undefined ? Number.NEGATIVE_INFINITY : measured(at_least),
      at_most === undefined ? Number.POSITIVE_INFINITY : measured(at_most),
    ],
  ),
  ...more,
];

/** The results that were not replaced by a later one of the same place. */
function latestOf(test: WrittenTest, results: readonly WrittenResult[]): WrittenResult[] {
  const latest = new Map<string, WrittenResult>();
  for (const result of results) {
    if (result.test !== test.test) continue;
    const before = latest.get(String(result.id));
    if (before === undefined || String(result.date) > String(before.date)) latest.set(String(result.id), result);
  }
  return [...latest.values()];
}

const isOutside = (value: number, [least, greatest]: Range): boolean => value < least - 1e-8 || value > greatest + 1e-8;

/** The limits that are printed are the strictest: any stricter one refuses what they let pass, any other lets them pass. */
function checkStrictest(
  { test, least = Number.NEGATIVE_INFINITY, greatest = Number.POSITIVE_INFINITY }: TestState,
  ranges: readonly Range[],
  disagree: Disagree,
): void {
  const isHeld = (limit: number, side: 0 | 1) =>
    Number.isFinite(limit) ? ranges.some((range) => Math.abs(range[side] - limit) <= 1e-8) : true;
  const isStrictest = ranges.every((range) => least >= range[0] - 1e-8 && greatest <= range[1] + 1e-8);
  if (!isHeld(least, 0) || !isHeld(greatest, 1) || !isStrictest)
    disagree("readiness-differs", `${test} is to be from ${least} to ${greatest}, which is not what its limits say`);
}

/** What is said of each result: as many of each judgement as the typed values give. */
function checkJudged(
  { test, results }: TestState,
  latest: readonly WrittenResult[],
  ranges: readonly ReadRange[],
  disagree: Disagree,
): void {
  const values = latest.map(({ value }) => measured(value));
  if (values.includes(undefined) || ranges.flat().includes(undefined)) return;
  const outside = values.filter((value) => ranges.some((range) => isOutside(value as number, range as Range))).length;
  const mine = {
    outside,
    within: ranges.length === 0 ? 0 : values.length - outside,
    "not-judged": ranges.length === 0 ? values.length : 0,
  };
  for (const judgement of ["within", "outside", "not-judged"] as const) {
    const theirs = results.filter(({ judged }) => judged === judgement).length;
    if (theirs !== mine[judgement])
      disagree("verdict-differs", `${mine[judgement]} results of ${test} are ${judgement}, ${theirs} in the packet`);
  }
}

/** Every limit is held against every result that counts. */
function verdictAgain(
  results: readonly WrittenResult[],
  required: number,
  ranges: readonly ReadRange[],
): TestState["verdict"] | undefined {
  const values = results.map(({ value }) => measured(value));
  if (values.includes(undefined) || ranges.flat().includes(undefined)) return undefined;
  if (values.some((value) => ranges.some((range) => isOutside(value as number, range as Range)))) return "refuse";
  return ranges.length === 0 || values.length < required ? "missing" : "accept";
}

/** No better than the worst of its tests, and nothing by default. */
function wholeAgain(tests: readonly TestState[], { readiness }: WrittenJob): string {
  const verdicts = new Set<string>(tests.map(({ verdict }) => verdict));
  if ((readiness?.tests ?? []).length === 0) return readiness?.not_required === undefined ? "missing" : "not-required";
  return ["refuse", "missing", "accept"].find((verdict) => verdicts.has(verdict)) ?? "missing";
}

/** Nothing that is refused or missing goes without a hold, in the packet and on every cover. */
export function checkHolds({ findings, packet, sheets }: Evidence, written: WrittenJob, disagree: Disagree): void {
  const { record } = findings;
  if (record.kind !== "ready" || packet.record.kind !== "ready") return;
  const { holds, readiness, stop } = record.value;
  const named = (written.readiness?.tests ?? []).length > 0;
  if (
    !named &&
    written.readiness?.not_required === undefined &&
    !holds.some(({ kind }) => kind === "tests-not-named")
  ) {
    disagree("hold-missing", "no test of the substrate is named, and nothing holds");
  }
  for (const { test, verdict } of named ? readiness.tests : []) {
    const held = holds.some((hold) => "test" in hold && hold.test.test === test);
    if ((verdict !== "accept") !== held) {
      disagree("hold-missing", `${test} is ${verdict}, and ${held ? "holds" : "does not hold"}`);
    }
  }
  if (stop !== undefined && stop.planned > stop.bags !== holds.some(({ kind }) => kind === "bags-past-approved")) {
    disagree(
      "hold-missing",
      `${stop.planned} bags are planned and ${stop.bags} approved, and the hold does not say so`,
    );
  }
  const joint = jointAgain(written, stop?.planned);
  for (const kind of ["joint-survey-unsigned", "joint-survey-outdated"] as const) {
    if (holds.some((hold) => hold.kind === kind) !== (joint?.kind === kind)) {
      disagree("hold-missing", `${kind} ${joint?.kind === kind ? "must hold" : "holds, and nothing is owed"}`);
    }
  }
  const unsigned = holds.find((hold) => hold.kind === "joint-survey-unsigned");
  if (unsigned !== undefined && [...unsigned.missing].sort().join() !== joint?.owed.join()) {
    disagree("hold-missing", `${joint?.owed.join(" and ")} must sign, the hold says ${unsigned.missing.join(" and ")}`);
  }
  if (packet.record.result.holds.length !== holds.length) disagree("hold-missing", "packet.json has other holds");
  const ofFloor = findings.quantities.kind === "ready" ? findings.quantities.value.holds.length : 0;
  for (const cover of sheets.filter(({ id }) => id === "cover")) {
    const printed = cover.pages
      .flatMap(({ blocks }) => blocks)
      .filter((block) => block.kind === "signal" && block.signal === "danger");
    if (printed.length !== ofFloor + holds.length) {
      disagree(
        "sheet-differs",
        `the cover in ${cover.language} has ${printed.length} holds, there are ${ofFloor + holds.length}`,
      );
    }
  }
}

/** What the joint survey as typed still lacks, once there are bags to agree on. */
function jointAgain(
  { joint_survey: joint, contract }: WrittenJob,
  planned: number | undefined,
): { readonly kind: "joint-survey-unsigned" | "joint-survey-outdated"; readonly owed: readonly string[] } | undefined {
  if (planned === undefined || joint?.not_required !== undefined) return undefined;
  const signed = new Set((joint?.signatures ?? []).map((one) => one.for));
  const owed = ["contractor", "general-contractor"].filter((party) => !signed.has(party));
  if (owed.length > 0) return { kind: "joint-survey-unsigned", owed };
  const most = Math.max(Number(joint?.bags ?? Number.POSITIVE_INFINITY), Number(contract?.approved_bags?.bags ?? 0));
  return planned > most ? { kind: "joint-survey-outdated", owed } : undefined;
}
