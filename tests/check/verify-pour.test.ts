/** Wrong numbers planted in the pour plan: the check before printing refuses each of them, and passes the plan as it is. */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import { checkPour } from "../../src/check/check-pour.ts";
import { type Evidence, gatherDisagreements } from "../../src/check/evidence.ts";
import { agesBetween, baysAt, type SecondBay } from "../../src/check/second-bays.ts";
import { loadLibrary } from "../../src/job/files.ts";
import type { Job, Language } from "../../src/job/model.ts";
import { readJob } from "../../src/job/read-job.ts";
import type { Plan } from "../../src/layout/model.ts";
import type { PourPlan } from "../../src/pour/model.ts";
import { composeSheets, WORDS } from "../../src/sheets/compose-sheets.ts";
import { composePourClock } from "../../src/sheets/mixing-schedule.ts";
import type { Sheet } from "../../src/sheets/model.ts";
import { toPacket } from "../../src/sheets/packet.ts";
import { packetSchema } from "../../src/sheets/packet-schema.ts";

const { library } = loadLibrary("jobs");

/** Of all sheets only the pour clock is composed: the maps of pins take their time, and are not looked at here. */
async function evidenceOf(id: string): Promise<Evidence> {
  const file = `jobs/${id}.yaml`;
  const jobText = readFileSync(file, "utf8");
  const { job } = readJob(jobText, file, library);
  const found = job ? findingsOf(job, await loadSolver()) : undefined;
  if (job === undefined || found?.kind !== "ready") throw new Error(`${id} does not compute`);
  const { plan, schedule } = found.value;
  if (schedule.kind !== "ready") throw new Error(`${id} has no pour`);
  const sheets = job.languages.map((language) => clockOf(job, plan, schedule.value, language));
  return { file, jobText, findings: found.value, packet: toPacket(found.value, []), sheets };
}

function clockOf(job: Job, plan: Plan, pour: PourPlan, language: Language): Sheet {
  const stop = { bags: 500, from: "order" as const, planned: 500 };
  const { id, title, sets, pages } = composePourClock({ job, plan, words: WORDS[language], stop }, pour);
  const standing = { kind: "never-issued" as const };
  const head = { title, job: job.title, owner: "" };
  const framed = pages.map((page) => ({ ...page, number: 1, of: 1, widthMm: 0, heightMm: 0, head, foot: [] }));
  return { id, title, sets, language, hash: "", standing, pages: framed };
}

const found = (evidence: Evidence) => gatherDisagreements((disagree) => checkPour(evidence, disagree));

/** A clinic that a pump pours in ten bays, and a pad that its crew cannot pour. */
let clinic: Evidence;
let pad: Evidence;
beforeAll(async () => {
  [clinic, pad] = await Promise.all([evidenceOf("tern-street-clinic"), evidenceOf("test-pad")]);
}, 60_000);

describe("a sound pour plan", () => {
  it("passes, with bays or with reasons", () => {
    for (const evidence of [clinic, pad]) expect(found(evidence)).toEqual([]);
  });

  it("is what the schema of packet.json says", () => {
    for (const { packet } of [clinic, pad]) expect(packetSchema.parse(packet)).toEqual(packet);
  });

  it("has bays, or reasons and nothing that a crew could mix by", () => {
    const [can, cannot] = [clinic, pad].map(({ packet }) => packet.schedule);
    expect(can).toMatchObject({ kind: "ready", result: { kind: "can-be-poured", reasons: [] } });
    expect(cannot).toMatchObject({ kind: "ready", result: { kind: "cannot-be-poured", bays: [] } });
    const ids = composeSheets(pad.findings, "en").map(({ id }) => id);
    expect(ids).toContain("mixing-schedule");
    expect(ids).toContain("pour-plan");
    for (const id of ["bay-map", "batch-log", "pause-cards"]) expect(ids).not.toContain(id);
  });
});

/** Only what a fault touches is copied: the pour, and the pour clock. */
function planted(evidence: Evidence, plant: Plant): Evidence {
  const { schedule } = evidence.packet;
  if (schedule.kind !== "ready") throw new Error("no pour");
  const copy = structuredClone(schedule);
  const sheets = evidence.sheets.map((one) => (one.id === "mixing-schedule" ? structuredClone(one) : one));
  plant(copy.result, sheets);
  return { ...evidence, packet: { ...evidence.packet, schedule: copy }, sheets };
}

const moved = (ring: readonly { eastM: number; northM: number }[], byM: number) =>
  ring.map(({ eastM, northM }) => ({ eastM: eastM + byM, northM }));

// biome-ignore lint/suspicious/noExplicitAny: faults are planted where the types say read-only
type Plant = (pour: any, sheets: any) => void;

const FAULTS: readonly (readonly [string, string, Plant])[] = [
  ["a bay that takes a tenth of a litre more", "bay-volumes-differ", (p) => (p.bays[3].volumeL.value += 0.1)],
  [
    "a flow meter where barrels are measured",
    "flow-meter-differs",
    (p) => (p.flowMeterLMin = { value: 9, printed: ["540 L/h", "2.4 gal/min"] }),
  ],
  [
    "a lift that is not there",
    "lift-differs",
    (p) => (p.logistics.goodsLift = { palletsATrip: 0, bagsATrip: 5, trips: 20, timeMin: 100, wayM: null }),
  ],
  ["a lost bay", "bay-volumes-differ", (p) => p.bays.pop()],
  ["a batch that brings less than its bay takes", "bay-volumes-differ", (p) => (p.batches[4].pours[0].volumeL -= 1)],
  ["a batch of more than its bags give", "batch-too-large", (p) => (p.batches[4].pours[0].volumeL *= 2)],
  ["a bay cut short", "bay-areas-differ", (p) => (p.bays[0].outline[0].northM += 0.5)],
  ["two bays over each other", "point-in-two-bays", (p) => (p.bays[1].outline = p.bays[0].outline)],
  ["a bay somewhere else", "point-in-no-bay", (p) => (p.bays[0].outline = moved(p.bays[0].outline, 40))],
  ["a limit longer than the data sheet's time", "edge-limit-differs", (p) => (p.edgeLimit.limitMin += 2)],
  ["a limit without a healing time", "edge-limit-differs", (p) => (p.edgeLimit.limitMin = 15)],
  [
    "a batch that is placed too late beside a fresh edge",
    "edge-too-old",
    (p) => {
      for (const one of p.batches.slice(20)) one.placedMin += 3;
    },
  ],
  [
    "a bay poured in another bay's place",
    "edge-too-old",
    (p) => {
      // The last bay's batches go where the first lane of the waiting room lies.
      for (const one of p.batches)
        for (const pour of one.pours) pour.bay = pour.bay === 7 ? 10 : pour.bay === 10 ? 7 : pour.bay;
    },
  ],
  ["an edge said to be younger than its limit when it is not", "edge-too-old", (p) => (p.edges[0].ageMin = 12)],
  ["bags when full, a batch too few", "bag-check-differs", (p) => (p.bays[2].bagsWhenFull -= 4)],
  ["a stop a batch too late", "bag-check-differs", (p) => (p.bays[2].stopAtBags += 4)],
  ["no stop where there is one", "bag-check-differs", (p) => (p.bays[2].stopAtBags = null)],
  ["a bay that begins with another batch", "bay-batches-differ", (p) => (p.bays[4].firstBatch -= 1)],
  ["a line a foot too far", "line-out-of-place", (p) => (p.bays[6].line.distanceM.value += 0.3048)],
  ["the line of a batch from the wrong wall", "line-out-of-place", (p) => (p.batches[16].line.wall = "east wall")],
  ["the line of a batch in another bay", "line-out-of-place", (p) => (p.batches[16].line.bay = 1)],
  ["a side of a bay a hand off", "line-out-of-place", (p) => (p.bays[7].sides.fromM.value += 0.1)],
  ["a start later than planned", "start-differs", (p) => (p.bays[5].start.minutes += 1)],
  ["a latest start past the edge's limit", "start-differs", (p) => (p.bays[5].latest.minutes += 2)],
  ["a clock an hour off", "start-differs", (p) => (p.bays[5].start.said = "08:47")],
  ["no latest start where an edge is renewed", "start-differs", (p) => (p.bays[5].latest = null)],
  ["a bay that begins before its batch is there", "start-differs", (p) => (p.bays[4].beginsMin -= 3)],
  ["bags printed for another bay", "sheet-differs", (_, sheets) => (bayRow(sheets, 3).cells[4].lines[0].text = "31")],
  [
    "a start printed for another bay",
    "sheet-differs",
    (_, sheets) => (bayRow(sheets, 3).cells[1].lines[0].text = "07:39"),
  ],
  [
    "a line printed for another bay",
    "sheet-differs",
    (_, sheets) => (bayRow(sheets, 5).cells[7].lines[0].text = "3' 0\""),
  ],
  [
    "a batch printed with the bags of the next",
    "sheet-differs",
    (_, sheets) => (batchRow(sheets, 2).cells[2].lines[0].text = "16"),
  ],
];

/** Rows of the pour clock's tables that have so many columns. */
function rowsOf(sheets: Evidence["sheets"], columns: number) {
  const clock = sheets.find(({ id }) => id === "mixing-schedule");
  return (clock?.pages ?? []).flatMap(({ blocks }) =>
    blocks.flatMap((one) => (one.kind === "table" && one.columns.length === columns ? one.rows : [])),
  );
}
// biome-ignore lint/suspicious/noExplicitAny: see above
const bayRow = (sheets: Evidence["sheets"], number: number): any => rowsOf(sheets, 8)[number - 1];
// biome-ignore lint/suspicious/noExplicitAny: see above
const batchRow = (sheets: Evidence["sheets"], number: number): any => rowsOf(sheets, 12)[number - 1];

describe("planted faults are refused", () => {
  it.each(FAULTS)("%s", (_, code, plant) => {
    expect(found(planted(clinic, plant)).map((one) => one.code)).toContain(code);
  });

  it("a dam at a door taken away makes the edge along it too old", () => {
    const { schedule } = clinic.findings;
    if (schedule.kind !== "ready") throw new Error("no pour");
    const dams = schedule.value.dams.filter(({ id }) => id !== "DR4");
    const without = {
      ...clinic,
      findings: { ...clinic.findings, schedule: { ...schedule, value: { ...schedule.value, dams } } },
    };
    expect(found(without).map(({ code }) => code)).toContain("edge-too-old");
  });

  it("bays, a batch log or a clock to mix by, of a floor that cannot be poured", () => {
    const withBays = planted(pad, (p) => (p.bays = [{}]));
    expect(found(withBays).map(({ code }) => code)).toContain("bays-of-no-pour");
    const [clock] = clinic.sheets as [Sheet];
    const log = { ...clock, id: "batch-log" };
    expect(found({ ...pad, sheets: [...pad.sheets, log] }).map(({ code }) => code)).toContain("sheet-differs");
    expect(found({ ...pad, sheets: [clock] }).map(({ code }) => code)).toContain("sheet-differs");
    expect(found(planted(pad, (p) => (p.reasons = []))).map(({ code }) => code)).toContain("no-reason");
  });
});

describe("bays gone over again", () => {
  const at = (eastM: number, northM: number) => ({ eastM, northM });
  const lane = (number: number, west: number): SecondBay => ({
    number,
    lift: 1,
    outline: [at(west, 0), at(west + 2, 0), at(west + 2, 6), at(west, 6)],
    holes: [],
    from: at(west + 1, 0),
    along: at(0, 1),
  });
  const lanes = [lane(1, 0), lane(2, 2)];
  const pour = (bay: number, reachesM: number, powderMin: number) => ({
    bay,
    reachesM,
    powderMin,
    placedMin: powderMin + 3,
  });
  /** Two batches a lane, five minutes apart: by hand, 10 + 3 − 0 and 15 + 3 − 5 minutes along the edge. */
  const pours = [pour(1, 3, 0), pour(1, 6, 5), pour(2, 3, 10), pour(2, 6, 15)];

  it("ages an edge by the batches on both sides of it", () => {
    expect(agesBetween(lanes, pours, [])).toEqual([{ earlier: 1, later: 2, ageMin: 13 }]);
  });

  it("ages an edge by the oldest place where lanes run against each other", () => {
    // The second lane comes back: beside the first batch of the first lane it is poured last, 15 + 3 − 0.
    const back = { ...lanes[1]!, from: at(3, 6), along: at(0, -1) };
    expect(agesBetween([lanes[0]!, back], pours, [])).toEqual([{ earlier: 1, later: 2, ageMin: 18 }]);
  });

  it("counts no age across a dam, and none between lifts", () => {
    expect(agesBetween(lanes, pours, [[at(2, 0), at(2, 6)]])).toEqual([]);
    expect(agesBetween([lanes[0]!, { ...lanes[1]!, lift: 2 }], pours, [])).toEqual([]);
  });

  it("counts bays over a place: one inside, two on the edge between them, none beside", () => {
    expect(baysAt(lanes, at(1, 1))).toEqual({ inside: 1, touching: 1 });
    expect(baysAt(lanes, at(2, 1))).toEqual({ inside: 0, touching: 2 });
    expect(baysAt(lanes, at(5, 1))).toEqual({ inside: 0, touching: 0 });
  });
});
