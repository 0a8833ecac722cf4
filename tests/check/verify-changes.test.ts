/** Planted faults on the change sheet: the check before printing refuses each, and passes the sheet as it is. */
import { readFileSync } from "node:fs";
import { beforeAll, expect, test } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import { checkChanges } from "../../src/check/check-changes.ts";
import { type Evidence, gatherDisagreements } from "../../src/check/evidence.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { changesBetween } from "../../src/revision/changes.ts";
import { issuedNumbersSchema } from "../../src/revision/issued-numbers.ts";
import { composeSheets } from "../../src/sheets/compose-sheets.ts";
import { toPacket, withSheets } from "../../src/sheets/packet.ts";

const FILE = "jobs/maple-loft-bath.yaml";
let sound: Evidence;

beforeAll(async () => {
  const jobText = readFileSync(FILE, "utf8");
  const { job } = readJob(jobText, FILE, loadLibrary("jobs").library);
  const found = job ? findingsOf(job, await loadSolver()) : undefined;
  if (job === undefined || found?.kind !== "ready") throw new Error("the bathroom does not compute");
  const packet = toPacket(found.value, []);
  // What was issued: one pin was shorter, one was not there, one stood that is gone.
  const numbers = issuedNumbersSchema.parse(structuredClone(packet));
  const pins = numbers.depths.kind === "ready" ? numbers.depths.result.pins : [];
  const cut = pins.filter((pin) => pin.cut === "cut");
  (cut[0] as (typeof pins)[number]).cutMm = { value: 5, printed: ["3/16 in", "5 mm"] };
  (cut[1] as (typeof pins)[number]).id = "Z9";
  const issued = {
    folder: "revision-1",
    number: 1,
    date: "2027-03-01",
    reason: "x",
    program: { version: "1", hash: "h" },
    inputHash: "i",
    sheets: [],
    numbers,
    digest: "d",
  };
  const findings = {
    ...found.value,
    revisions: { issued: [issued], changesSince: [changesBetween(issued, packet)], inputAsIssued: false },
  };
  const sheets = composeSheets(findings, "en");
  sound = { file: FILE, jobText, findings, packet: withSheets(packet, findings, sheets), sheets };
});

const codesOf = (evidence: Evidence) =>
  gatherDisagreements((disagree) => checkChanges(evidence, disagree)).map(({ message }) => message);
// biome-ignore lint/suspicious/noExplicitAny: faults are planted where the types say read-only
type Loose = any;

/** The rows of pins on the change sheet, to be written into. */
const planted = (plant: (rows: Loose[]) => void): Evidence => {
  const copy = structuredClone(sound.sheets);
  for (const sheet of copy.filter(({ id }) => id === "changes"))
    for (const block of sheet.pages.flatMap(({ blocks }) => blocks))
      if (block.kind === "table" && block.columns.length === 6) plant(block.rows as Loose[]);
  return { ...sound, sheets: copy };
};

test("the sheet as it is agrees, and has the three pins on it", () => {
  expect(codesOf(sound)).toEqual([]);
  let rows = 0;
  planted((found) => {
    rows += found.length;
  });
  expect(rows).toBe(3);
});

test("a wrong new length, a wrong old one, a lost pin and a pin that does not change are each refused", () => {
  const lengthAt = (column: number) => planted((rows) => (rows[0].cells[column].lines[0].text = "2 in"));
  expect(codesOf(lengthAt(2))).toHaveLength(1);
  expect(codesOf(lengthAt(1))).toHaveLength(1);
  expect(codesOf(planted((rows) => rows.pop()))[0]).toMatch(/lacks pin/);
  expect(codesOf(planted((rows) => (rows[0].cells[0].lines[0].text = "Q1")))).toHaveLength(2);
});
