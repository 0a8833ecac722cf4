/** Faults planted in the record: the check before printing refuses each of them, and passes the packets as they are. */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import { checkRecord } from "../../src/check/check-record.ts";
import { type Evidence, gatherDisagreements } from "../../src/check/evidence.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { composeSheets } from "../../src/sheets/compose-sheets.ts";
import { toPacket } from "../../src/sheets/packet.ts";

// biome-ignore lint/suspicious/noExplicitAny: faults are planted where the types say read-only
type Any = any;

function writable(value: Any): Any {
  if (ArrayBuffer.isView(value)) return (value as Float64Array).slice();
  if (Array.isArray(value)) return value.map(writable);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, writable(inner)]));
}

const FILE = "jobs/maple-loft-bath.yaml";
/** The bathroom before its pour: one test accepted, one short of a result. */
const BEFORE = `${readFileSync(FILE, "utf8").replace(/^joint_survey:[\s\S]*/m, "")}  rules: [{ kind: straightedge, edge: 10 ft, gap: 1/4 in, contact: between-contacts, source: order }]
readiness:
  tests:
    - { test: wood-moisture, owed_by: Fell Street Joinery, places: 3, limits: [{ at_most: 12 %, source: covering }] }
    - { test: water-drop, owed_by: us, limits: [{ at_most: 60 s, source: order }] }
  results:
    - { test: wood-moisture, id: W1, value: 9 %, date: 2027-04-11, by: me }
    - { test: wood-moisture, id: W2, value: 10 %, date: 2027-04-11, by: me }
    - { test: water-drop, id: D1, value: 20 s, date: 2027-04-11, by: me }
    - { test: water-drop, id: D2, value: 25 s, date: 2027-04-11, by: me }
    - { test: water-drop, id: D3, value: 1 min, date: 2027-04-11, by: me }
documents:
  - { what: gypsum-50lb, kind: safety-data-sheet, title: Safety data sheet, file: safety.pdf }
`;
const BESIDE = [{ name: "safety.pdf", file: "jobs/maple-loft-bath/safety.pdf", text: "", sha256: "ab".repeat(32) }];
/** And after it, read again. */
const AFTER = `${BEFORE}results:
  poured: 2027-04-14
  lots: [{ lot: L1, bags: 16 }]
  batches:
${[1, 2, 3, 4, 5, 6, 7].map((k) => `    - { batch: ${k}, bags: 2, mixed: 23:${30 + 3 * k}, placed: 23:${35 + 3 * k}${k === 2 ? ", density: 115 lb/ft³" : ""} }`).join("\n")}
  burst_bags: 1
  thrown_bags: 1
  returned_bags: 1
finished:
  poured: 2027-04-14
  date: 2027-04-16
  set_ups:
    - id: F1
      instrument: hose-level
      reservoir: [5', 1']
      numbers_are: below zero
      unit: in
      readings: |
        A  1/8 1/8 1/8 1/8 1/8
        B  1/8 1/8 1/8 1/8 1/8
        C  1/8 1/8 1/8 - -
        D  1/8 1/8 1/8 - -
`;

async function evidenceOf(jobText: string): Promise<Evidence> {
  const { job, diagnostics } = readJob(jobText, FILE, loadLibrary("jobs").library, BESIDE);
  if (job === undefined) throw new Error(JSON.stringify(diagnostics));
  const found = findingsOf(job, await loadSolver());
  if (found.kind !== "ready") throw new Error(JSON.stringify(found));
  const sheets = composeSheets(found.value, "en");
  return { file: FILE, jobText, beside: BESIDE, findings: found.value, packet: toPacket(found.value, sheets), sheets };
}

const SHEETS = new Set(["cover", "mixing-schedule", "joint-survey"]);

/** A copy whose record can be written into; what the check of the record does not look at is shared. */
const copyOf = ({ findings, packet, sheets, ...rest }: Evidence): Any => ({
  ...rest,
  findings: { ...findings, record: writable(findings.record) },
  packet: { ...packet, record: writable(packet.record) },
  sheets: writable(sheets.filter(({ id }) => SHEETS.has(id))),
});

const told = (evidence: Evidence): string[] =>
  gatherDisagreements((disagree) => checkRecord(evidence, disagree)).map(({ code }) => code);

let poured: Evidence;
let planned: Evidence;
beforeAll(async () => {
  poured = await evidenceOf(AFTER);
  planned = await evidenceOf(BEFORE);
}, 240_000);

const record = (e: Any) => e.findings.record.value;
const sheetOf = (e: Any, id: string) => e.sheets.find((sheet: Any) => sheet.id === id);
const boldOf = (e: Any, id: string): Any =>
  sheetOf(e, id)
    .pages.flatMap(({ blocks }: Any) => blocks)
    .find((block: Any) => block.kind === "text" && block.type.weight === 700 && /\b14\b/.test(block.lines.join(" ")));

it("sound packets pass", () => {
  expect(told(poured)).toEqual([]);
  expect(told(planned)).toEqual([]);
});

describe("before the pour", () => {
  const FAULTS: readonly (readonly [string, string, (e: Any) => void])[] = [
    ["a place too few", "test-count-differs", (e) => (record(e).readiness.tests[0].required -= 1)],
    ["a missing test accepted", "verdict-differs", (e) => (record(e).readiness.tests[0].verdict = "accept")],
    ["an accepted test refused", "verdict-differs", (e) => (record(e).readiness.tests[1].verdict = "refuse")],
    ["a hold taken off", "hold-missing", (e) => (record(e).holds = [])],
    ["a hold that packet.json lacks", "hold-missing", (e) => (e.packet.record.result.holds = [])],
    ["a hold that the cover lacks", "sheet-differs", (e) => dropHold(sheetOf(e, "cover"))],
    ["another stop", "stop-differs", (e) => (record(e).stop.bags = 13)],
    ["another stop in packet.json", "stop-differs", (e) => (e.packet.record.result.stop.bags = 12)],
    ["another stop on the cover", "sheet-differs", (e) => (boldOf(e, "cover").lines = ["STOP at 15 bags"])],
    ["another stop on the clock", "sheet-differs", (e) => (boldOf(e, "mixing-schedule").lines = ["STOP at 16 bags"])],
    ["another stop in the joint survey", "sheet-differs", (e) => (boldOf(e, "joint-survey").lines = ["past 17 bags"])],
    ["bags of a room", "difference-differs", (e) => (record(e).difference.rooms[0].bags += 0.5)],
    ["a reason too large", "difference-differs", (e) => (record(e).difference.roundingBags += 1)],
    ["no reasons", "difference-differs", (e) => delete record(e).difference],
    ["the joint survey's hold taken off", "hold-missing", (e) => dropKind(e, "joint-survey-unsigned")],
    ["one party forgotten", "hold-missing", (e) => record(e).holds.find(isUnsigned).missing.pop()],
    ["signed for too few bags", "hold-missing", (e) => (e.jobText += `joint_survey: ${signedFor(13)}`)],
    ["a checksum", "checksum-differs", (e) => (e.packet.record.result.documents[0].sha256 = "0".repeat(64))],
  ];
  it.each(FAULTS)("%s is refused as %s", (_, code, plant) => {
    const wrong = copyOf(planned);
    plant(wrong);
    expect(told(wrong)).toContain(code);
  });
});

describe("after the pour", () => {
  const account = (e: Any) => record(e).account;
  const FAULTS: readonly (readonly [string, string, (e: Any) => void])[] = [
    ["a bag not counted", "account-differs", (e) => (account(e).bags.mixed -= 1)],
    ["bags delivered", "account-differs", (e) => (account(e).bags.delivered += 1)],
    ["a difference with its sign turned", "account-differs", (e) => (account(e).bags.difference *= -1)],
    ["a reason doubled", "account-differs", (e) => account(e).reasons.push(account(e).reasons[0])],
    ["a yield that was not weighed so", "account-differs", (e) => (account(e).yieldPerBag.weighed.litres *= 1.01)],
    ["another yield", "account-differs", (e) => (account(e).yieldPerBag.found *= 1.01)],
    ["the pour left out", "account-differs", (e) => delete record(e).account],
    ["walked on an hour too early", "hold-off-differs", (e) => (record(e).holdOffs[0].until = "2027-04-15 04:56")],
    ["walked on the day before", "hold-off-differs", (e) => (record(e).holdOffs[0].until = "2027-04-14 23:56")],
    ["a time of another sheet", "hold-off-differs", (e) => (record(e).holdOffs[0].after = 60)],
    ["a refused test accepted", "verdict-differs", (e) => (e.jobText = e.jobText.replace("value: 9 %", "value: 19 %"))],
  ];
  it.each(FAULTS)("%s is refused as %s", (_, code, plant) => {
    const wrong = copyOf(poured);
    plant(wrong);
    expect(told(wrong)).toContain(code);
  });
});

const isUnsigned = ({ kind }: Any) => kind === "joint-survey-unsigned";
const dropKind = (e: Any, kind: string) => {
  record(e).holds = record(e).holds.filter((hold: Any) => hold.kind !== kind);
};
const signedFor = (bags: number) =>
  `{ date: 2027-04-10, measured_by: me, bags: ${bags}, signatures: [{ for: contractor, by: me, date: 2027-04-11 }, { for: general-contractor, by: you, date: 2027-04-11 }] }\n`;

function dropHold(cover: Any): void {
  for (const page of cover.pages) page.blocks = page.blocks.filter((block: Any) => block.kind !== "signal");
}
