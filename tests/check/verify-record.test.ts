/** Faults planted in the record: the check before printing refuses each of them, and passes the shipped packets as they are. */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import { checkRecord } from "../../src/check/check-record.ts";
import { type Evidence, gatherDisagreements } from "../../src/check/evidence.ts";
import { loadLibrary, readBesideFiles } from "../../src/job/files.ts";
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

async function evidenceOf(id: string): Promise<Evidence> {
  const file = `jobs/${id}.yaml`;
  const jobText = readFileSync(file, "utf8");
  const beside = readBesideFiles({ path: file, file }, jobText).files;
  const { job } = readJob(jobText, file, loadLibrary("jobs").library, beside);
  const found = job ? findingsOf(job, await loadSolver()) : undefined;
  if (job === undefined || found?.kind !== "ready") throw new Error(`${id} does not compute`);
  const sheets = composeSheets(found.value, "en");
  return { file, jobText, beside, findings: found.value, packet: toPacket(found.value, sheets), sheets };
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
  poured = await evidenceOf("larch-yard-studio");
  planned = await evidenceOf("tern-street-clinic");
}, 240_000);

const record = (e: Any) => e.findings.record.value;
const sheetOf = (e: Any, id: string) => e.sheets.find((sheet: Any) => sheet.id === id);
const boldOf = (e: Any, id: string): Any =>
  sheetOf(e, id)
    .pages.flatMap(({ blocks }: Any) => blocks)
    .find((block: Any) => block.kind === "text" && block.type.weight === 700 && /120/.test(block.lines.join(" ")));

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
    ["another stop", "stop-differs", (e) => (record(e).stop.bags = 121)],
    ["another stop in packet.json", "stop-differs", (e) => (e.packet.record.result.stop.bags = 110)],
    ["another stop on the cover", "sheet-differs", (e) => (boldOf(e, "cover").lines = ["STOP at 130 bags"])],
    ["another stop on the clock", "sheet-differs", (e) => (boldOf(e, "mixing-schedule").lines = ["STOP at 103 bags"])],
    ["another stop in the joint survey", "sheet-differs", (e) => (boldOf(e, "joint-survey").lines = ["past 102 bags"])],
    ["bags of a room", "difference-differs", (e) => (record(e).difference.rooms[2].bags += 0.5)],
    ["a reason lost", "difference-differs", (e) => (record(e).difference.areaBags = 0)],
    ["no reasons", "difference-differs", (e) => delete record(e).difference],
    ["a checksum", "checksum-differs", (e) => (e.packet.record.result.documents[1].sha256 = "0".repeat(64))],
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
    ["another yield", "account-differs", (e) => (account(e).yieldPerBag.found *= 1.01)],
    ["the pour left out", "account-differs", (e) => delete record(e).account],
    ["walked on an hour too early", "hold-off-differs", (e) => (record(e).holdOffs[0].until = "2027-06-14 10:14")],
    ["covered a day too early", "hold-off-differs", (e) => (record(e).holdOffs[2].until = "2027-06-14 08:14")],
    ["a time of another sheet", "hold-off-differs", (e) => (record(e).holdOffs[0].after = 60)],
    [
      "a refused test accepted",
      "verdict-differs",
      (e) => (e.jobText = e.jobText.replace("value: 72 %", "value: 92 %")),
    ],
  ];
  it.each(FAULTS)("%s is refused as %s", (_, code, plant) => {
    const wrong = copyOf(poured);
    plant(wrong);
    expect(told(wrong)).toContain(code);
  });
});

function dropHold(cover: Any): void {
  for (const page of cover.pages) page.blocks = page.blocks.filter((block: Any) => block.kind !== "signal");
}
