/** The record again from the job file's own text: tests and holds, where bags stop, reasons that add up, times after the pour. */
import { CORE_SCHEMA, load } from "js-yaml";
import type { TestState } from "../record/model.ts";
import type { Sheet } from "../sheets/model.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";

interface WrittenLimit {
  readonly at_least?: string | number;
  readonly at_most?: string | number;
}

interface WrittenTest {
  readonly test: string;
  readonly places?: number;
  readonly limits?: readonly WrittenLimit[];
}

interface WrittenResult {
  readonly test: string;
  readonly id: string | number;
  readonly value: string | number;
  readonly date: string;
}

interface WrittenBatch {
  readonly bags: number | string;
  readonly lot?: string | number;
  readonly material?: string;
  readonly water?: string | number;
  readonly density?: string | number;
  readonly mixed: string;
  readonly placed?: string;
  readonly date?: string;
}

interface WrittenJob {
  readonly contract?: {
    readonly allowed_bags?: number | string;
    readonly approved_bags?: { readonly bags: number | string };
  };
  readonly joint_survey?: {
    readonly signatures?: readonly { readonly for: string }[];
    readonly bags?: number | string;
    readonly not_required?: unknown;
  };
  readonly readiness?: {
    readonly tests?: readonly WrittenTest[];
    readonly results?: readonly WrittenResult[];
    readonly not_required?: unknown;
  };
  readonly results?: {
    readonly poured: string;
    readonly lots: readonly {
      readonly lot: string | number;
      readonly bags: number | string;
      readonly material?: string;
    }[];
    readonly batches: readonly WrittenBatch[];
    readonly burst_bags?: number | string;
    readonly thrown_bags?: number | string;
  };
}

export function checkRecord(evidence: Evidence, disagree: Disagree): void {
  const written = load(evidence.jobText, { schema: CORE_SCHEMA }) as WrittenJob;
  checkReadiness(evidence, written, disagree);
  checkHolds(evidence, written, disagree);
  checkStop(evidence, written, disagree);
  checkDifference(evidence, disagree);
  checkAccount(evidence, written, disagree);
  checkHoldOffs(evidence, written, disagree);
  checkDocuments(evidence, disagree);
}

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

function checkReadiness(evidence: Evidence, written: WrittenJob, disagree: Disagree): void {
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
    if (test === undefined) continue;
    const mine = verdictAgain(
      test,
      written.readiness?.results ?? [],
      required,
      ofMaterial(state, job.material.slabTemperatures),
    );
    if (mine !== undefined && mine !== state.verdict) {
      disagree("verdict-differs", `${state.test} is ${mine} by the results typed, ${state.verdict} in the packet`);
    }
  }
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

/** Every limit is held against every result that was not replaced by a later one of the same place. */
function verdictAgain(
  test: WrittenTest,
  results: readonly WrittenResult[],
  required: number,
  more: readonly (readonly [number, number])[],
): TestState["verdict"] | undefined {
  const latest = new Map<string, WrittenResult>();
  for (const result of results) {
    if (result.test !== test.test) continue;
    const before = latest.get(String(result.id));
    if (before === undefined || String(result.date) > String(before.date)) latest.set(String(result.id), result);
  }
  const values = [...latest.values()].map(({ value }) => measured(value));
  const ranges = [
    ...(test.limits ?? []).map(
      ({ at_least, at_most }) =>
        [
          at_least === undefined ? Number.NEGATIVE_INFINITY : measured(at_least),
          at_most === undefined ? Number.POSITIVE_INFINITY : measured(at_most),
        ] as const,
    ),
    ...more,
  ];
  if (values.includes(undefined) || ranges.some((range) => range.includes(undefined))) return undefined;
  const outside = (value: number) =>
    ranges.some(([least, greatest]) => value < (least as number) - 1e-8 || value > (greatest as number) + 1e-8);
  if (values.some((value) => outside(value as number))) return "refuse";
  return ranges.length === 0 || values.length < required ? "missing" : "accept";
}

/** Nothing that is refused or missing goes without a hold, in the packet and on every cover. */
function checkHolds({ findings, packet, sheets }: Evidence, written: WrittenJob, disagree: Disagree): void {
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

/** The same count on the cover, the pour clock and the joint survey, in every language. */
function checkStop({ findings, packet, sheets }: Evidence, { contract }: WrittenJob, disagree: Disagree): void {
  const { record, quantities } = findings;
  if (record.kind !== "ready" || quantities.kind !== "ready") return;
  const count = Number(contract?.approved_bags?.bags ?? contract?.allowed_bags ?? quantities.value.bags.toOrder);
  if (record.value.stop?.bags !== count) {
    disagree("stop-differs", `bags stop at ${count} by the job file, at ${record.value.stop?.bags} in the record`);
  }
  if (packet.record.kind === "ready" && packet.record.result.stop?.bags !== count) {
    disagree(
      "stop-differs",
      `bags stop at ${count} by the job file, at ${packet.record.result.stop?.bags} in packet.json`,
    );
  }
  for (const sheet of sheets.filter(({ id }) => id === "cover" || id === "joint-survey" || id === "mixing-schedule")) {
    // A clock that says not to mix has no count to stop at.
    if (
      sheet.id === "mixing-schedule" &&
      findings.schedule.kind === "ready" &&
      findings.schedule.value.kind !== "can-be-poured"
    )
      continue;
    if (!boldCounts(sheet).includes(count)) {
      disagree("sheet-differs", `${sheet.id} in ${sheet.language} does not say that bags stop at ${count}`);
    }
  }
}

/** Of each bold paragraph that holds just one whole number, that number. */
function boldCounts(sheet: Sheet): number[] {
  return sheet.pages
    .flatMap(({ blocks }) => blocks)
    .flatMap((block) => {
      if (block.kind !== "text" || block.type.weight !== 700) return [];
      const numbers =
        block.lines
          .join(" ")
          .replace(/(\d)\u00a0(?=\d)/g, "$1")
          .match(/\d+/g) ?? [];
      return numbers.length === 1 ? [Number(numbers[0])] : [];
    });
}

/** Reasons of the difference add up, and each room's is what its depth and area make. */
function checkDifference({ findings }: Evidence, disagree: Disagree): void {
  const { record, job, depths, quantities } = findings;
  if (record.kind !== "ready" || depths.kind !== "ready" || quantities.kind !== "ready") return;
  const { difference } = record.value;
  if (difference === undefined) {
    if (job.contract.allowedBags !== undefined)
      disagree("difference-differs", "the reasons of a difference are missing");
    return;
  }
  const { rooms, areaBags, wedgeBags, roundingBags, unexplainedBags, bags } = difference;
  const sum = rooms.reduce((all, room) => all + room.bags, areaBags + wedgeBags + roundingBags + unexplainedBags);
  const wanted = quantities.value.bags.toOrder - (job.contract.allowedBags ?? Number.NaN);
  if (!agrees(sum, wanted, 1e-6) || bags !== wanted) {
    disagree("difference-differs", `the reasons make ${sum} bags, ordered less allowed is ${wanted}`);
  }
  const { yieldPerBag } = quantities.value.bags;
  for (const { roomIndex, area, plannedDepth, bidDepth, bags: told } of rooms) {
    const room = depths.value.rooms.find((one) => one.roomIndex === roomIndex);
    const again =
      (((plannedDepth - bidDepth) * (room?.area ?? Number.NaN)) / yieldPerBag) * (1 + job.pour.lossAllowance);
    if (!agrees(again, told, 1e-6) || !agrees(plannedDepth * area, room?.volumeToOrder ?? Number.NaN, 1e-5)) {
      disagree("difference-differs", `room ${roomIndex} takes ${again} bags more than assumed, ${told} in the packet`);
    }
  }
}

function checkAccount({ findings }: Evidence, { results }: WrittenJob, disagree: Disagree): void {
  const { record, quantities } = findings;
  if (record.kind !== "ready" || quantities.kind !== "ready") return;
  const { account } = record.value;
  if (account === undefined || results === undefined) {
    if (results !== undefined) disagree("account-differs", "the pour is in the job file and not accounted for");
    return;
  }
  const compare = (what: string, mine: number, theirs: number) => {
    if (!agrees(mine, theirs, 1e-6))
      disagree("account-differs", `${what}: ${mine} by the job file, ${theirs} in the packet`);
  };
  const own = findings.job.material.id;
  /** A batch is of what it says, else of what its lot says, else the job's. */
  const materialOf = ({ lot, material }: WrittenBatch): string =>
    material ?? results.lots.find((one) => lot !== undefined && `${one.lot}` === `${lot}`)?.material ?? own;
  const mixedOf = new Map<string, number>();
  for (const batch of results.batches)
    mixedOf.set(materialOf(batch), (mixedOf.get(materialOf(batch)) ?? 0) + Number(batch.bags));
  const mixed = mixedOf.get(own) ?? 0;
  const burst = Number(results.burst_bags ?? 0);
  const ordered = quantities.value.bags.toOrder;
  compare("bags mixed", mixed, account.bags.mixed);
  compare("bags used", mixed + burst, account.bags.used);
  compare("used less planned", mixed + burst - ordered, account.bags.difference);
  let delivered = 0;
  for (const { bags, material } of results.lots) if ((material ?? own) === own) delivered += Number(bags);
  compare("bags delivered", delivered, account.bags.delivered);
  let reasons = 0;
  for (const { bags } of account.reasons) reasons += bags;
  compare("the reasons together", mixed + burst - ordered, reasons);
  const { placed } = account.volume;
  if (placed !== undefined && account.yieldPerBag.found !== undefined) {
    // What is in the floor must come out of the barrels again.
    const inFloor = mixed - Number(results.thrown_bags ?? 0);
    const made = (inFloor * account.yieldPerBag.found) / (1 + findings.job.pour.lossAllowance);
    compare("litres in the floor", placed.volume + quantities.value.bags.profileVolume, made);
  }
  for (const { material, bags, volume, loss } of account.otherMaterials) {
    compare(`bags of ${material.id}`, mixedOf.get(material.id) ?? 0, bags.inFloor);
    const order = quantities.value.otherMaterials?.find((one) => one.material.id === material.id);
    if (volume.placed === undefined || loss.found === undefined || order === undefined) continue;
    const filled = volume.placed.volume + order.bags.profileVolume;
    compare(`litres of ${material.id}`, filled * (1 + loss.found), bags.inFloor * material.yieldPerBag);
  }
  const ownBatches = results.batches.filter((batch) => materialOf(batch) === own);
  checkWeighed(findings.job.material, ownBatches, account.yieldPerBag.weighed?.litres, disagree);
}

/** kg/L, litres and kilograms again as typed, for units that the office uses; undefined where this reader knows none. */
const KG_PER_L: Readonly<Record<string, number>> = { "kg/m3": 0.001, "kg/l": 1, "lb/ft3": 0.45359237 / 28.316846592 };
const LITRES: Readonly<Record<string, number>> = { l: 1, ml: 0.001, qt: 0.946352946, gal: 3.785411784 };

function inUnits(typed: string | number, units: Readonly<Record<string, number>>): number | undefined {
  const hit = /^([\d.]+) ?(.+)$/.exec(String(typed).trim().toLowerCase().replaceAll("³", "3"));
  const unit = units[(hit?.[2] ?? "").replace(/\s+/g, "")];
  return unit === undefined ? undefined : Number(hit?.[1]) * unit;
}

/** Mass over density, batch by batch. */
function checkWeighed(
  { bag, waterPerBag }: { readonly bag: number; readonly waterPerBag: number },
  batches: readonly WrittenBatch[],
  theirs: number | undefined,
  disagree: Disagree,
): void {
  const weighed = batches.filter(({ density }) => density !== undefined);
  let sum = 0;
  for (const { bags, water, density } of weighed) {
    const litres = water === undefined ? waterPerBag * Number(bags) : inUnits(water, LITRES);
    const heavy = inUnits(density ?? "", KG_PER_L);
    if (litres === undefined || heavy === undefined) return;
    sum += (Number(bags) * bag + litres) / heavy / Number(bags);
  }
  const mine = weighed.length === 0 ? undefined : sum / weighed.length;
  if ((mine === undefined) !== (theirs === undefined) || (mine !== undefined && !agrees(mine, theirs as number, 1e-6)))
    disagree("account-differs", `a bag made ${mine} L by its weight, ${theirs} L in the packet`);
}

/** Minutes since the year 2000 of a date and a time of day, leap years counted one by one. */
function minutesOf(date: string, time: string): number {
  const [year, month, day] = date.split("-").map(Number) as [number, number, number];
  const leap = (of: number) => (of % 4 === 0 && of % 100 !== 0) || of % 400 === 0;
  let days = day - 1;
  for (let past = 2000; past < year; past++) days += leap(past) ? 366 : 365;
  const months = [31, leap(year) ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
  for (let past = 1; past < month; past++) days += months[past - 1] as number;
  const [hour, minute] = time.split(":").map(Number) as [number, number];
  return days * 1440 + hour * 60 + minute;
}

/** The floor is kept free so long after its last batch, and not a minute less. */
function checkHoldOffs({ findings }: Evidence, { results }: WrittenJob, disagree: Disagree): void {
  const { record, job } = findings;
  if (record.kind !== "ready") return;
  const { holdOffs, account } = record.value;
  const walk = holdOffs.find(({ what }) => what === "walk-on");
  if (walk?.after !== job.material.walkOn) {
    disagree(
      "hold-off-differs",
      `walked on after ${job.material.walkOn} min by the data sheet, ${walk?.after} min here`,
    );
  }
  if (account === undefined || results === undefined) return;
  let last = Number.NEGATIVE_INFINITY;
  for (const { date, mixed, placed } of results.batches) {
    const began = minutesOf(date ?? results.poured, mixed);
    last = Math.max(
      last,
      placed === undefined ? began + job.material.flowTime : minutesOf(date ?? results.poured, placed),
    );
  }
  for (const { what, after, until } of holdOffs) {
    const [date, time] = (until ?? "").split(" ");
    const at = date === undefined || time === undefined ? Number.NaN : minutesOf(date, time);
    if (!(at >= last + after - 0.5 && at < last + after + 1.5)) {
      disagree("hold-off-differs", `${what}: ${until} is not ${after} min after the last batch`);
    }
  }
}

/** A checksum in the packet is that of the file as it was read. */
function checkDocuments({ packet, beside = [] }: Evidence, disagree: Disagree): void {
  if (packet.record.kind !== "ready") return;
  for (const { file, sha256 } of packet.record.result.documents) {
    if (file === null) continue;
    const there = beside.find(({ name }) => name === file)?.sha256 ?? null;
    if (there !== sha256) disagree("checksum-differs", `${file} has the checksum ${there}, ${sha256} in the packet`);
  }
}
