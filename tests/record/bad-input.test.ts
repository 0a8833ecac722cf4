/** What can be mistyped in the record, each beside the input that causes it: the code, and where the caret stands. */
import { describe, expect, test } from "vitest";
import { changed, GOOD, printed, read, summary } from "../job/job-text.ts";

const RECORD = `${GOOD}pour: { start: 2027-03-04 07:30 }
contract:
  allowed_bags: 20
  approved_bags: { bags: 24, by: R. Amsel, date: 2027-03-01 }
  bid: { rooms: [{ room: hall, depth: 9 mm }], source: bid }
joint_survey: { date: 2027-02-26, measured_by: T. Okafor, signatures: [{ for: contractor, by: T. Okafor, date: 2027-03-02 }] }
readiness:
  tests:
    - { test: pull-off, owed_by: GC, limits: [{ at_least: 200 psi, source: spec }] }
  results:
    - { test: pull-off, id: P1, at: [4', 6'], value: 210 psi, date: 2027-02-24, by: me }
submittals:
  - { number: S-1, item: data, submitted: 2027-01-20, returned: 2027-02-03, status: approved }
results:
  poured: 2027-03-04
  lots: [{ lot: L1, bags: 4 }]
  batches:
    - { batch: 1, bags: 2, mixed: 07:31, placed: 07:38, lot: L1 }
    - { batch: 2, bags: 1, mixed: 07:35, placed: 07:41, lot: L1 }
  burst_bags: 1
  returned_bags: 0
  non_conformances:
    - { id: NC1, found: 2027-03-05, what: low, reworked: 2027-03-06, recheck: { date: 2027-03-07, result: accepted, by: me } }
  acceptance: { date: 2027-03-08, result: accepted, by: me }
`;

/** Line of the first line that holds `text`. */
const lineOf = (job: string, text: string): number => job.slice(0, job.indexOf(text)).split("\n").length;

test("the record itself is right", () => {
  const { job, diagnostics } = read(RECORD);
  expect(printed(diagnostics)).toBe("");
  expect(job?.results?.batches).toHaveLength(2);
});

type Row = readonly [from: string, to: string, code: string, at: string, said: string];

const ROWS: readonly Row[] = [
  ["test: pull-off, id", "test: vapour-emission, id", "result-without-test", "vapour-emission, id", "does not ask for"],
  ["test: pull-off, owed", "test: pul-off, owed", "unknown-value", "pul-off", 'Did you mean "pull-off"?'],
  ["210 psi", "-210 psi", "bad-test-value", "-210 psi", ""],
  ["210 psi", "210 %", "bad-test-value", "210 %", "not a unit"],
  ["210 psi", "210", "bad-test-value", "210,", "says no unit"],
  ["date: 2027-02-24", "date: 2027-03-05", "test-after-pour", "2027-03-05, by", "after the pour of 2027-03-04"],
  ["[4', 6']", "[400', 6']", "place-off-floor", "at: [400'", ""],
  ["limits: [{ at_least: 200 psi, source", "limits: [{ source", "limit-without-value", "source: spec", ""],
  ["at_least: 200 psi", "at_least: 200 psi, at_most: 100 psi", "range-turned-round", "200 psi, at_most", ""],
  ["burst_bags: 1", "burst_bags: -1", "bad-number", "-1\n", ""],
  ["burst_bags: 1", "burst_bags: 2", "more-bags-than-delivered", "lots:", "5, but 4 were delivered"],
  ["bags: 4 }", "bags: 2 }", "more-bags-than-delivered", "lots:", "4, but 2 were delivered"],
  ["bags: 4 }]", "bags: 2 }, { lot: L2, bags: 2 }]", "more-bags-than-delivered", "L1, bags", "3 bags of lot L1"],
  ["mixed: 07:35", "mixed: 07:30", "batches-run-backwards", "07:30, placed", "before the one above"],
  ["placed: 07:41", "placed: 07:34", "placed-before-mixed", "07:34, lot", ""],
  ["batch: 2,", "batch: 1,", "batch-given-twice", "1, bags: 1", "first on line"],
  ["batch: 2, bags: 1", "batch: 2, date: 2027-03-03, bags: 1", "dates-out-of-order", "2027-03-03", ""],
  ["07:41, lot: L1", "07:41, lot: Lot1", "unknown-lot", "Lot1", "No bags of lot Lot1"],
  ["placed: 07:41, lot: L1", "placed: 07:41, material: gypsum", "unknown-material", "gypsum", "Nothing of this job"],
  ["placed: 07:41, lot: L1", "placed: 07:41, density: 9 kg/L, lot: L1", "out-of-range", "9 kg/L", ""],
  ["found: 2027-03-05", "found: 2027-03-03", "dates-out-of-order", "2027-03-03", "before it was poured"],
  ["reworked: 2027-03-06", "reworked: 2027-03-04", "dates-out-of-order", "2027-03-04, recheck", "before it was found"],
  ["date: 2027-03-07", "date: 2027-03-05", "dates-out-of-order", "2027-03-05, result", "before it was reworked"],
  ["date: 2027-03-08", "date: 2027-03-01", "dates-out-of-order", "2027-03-01, result", "accepted on 2027-03-01"],
  ["date: 2027-03-02 }]", "date: 2027-03-05 }]", "dates-out-of-order", "2027-03-05 }", "before the pour"],
  ["date: 2027-03-02 }]", "date: 2027-02-20 }]", "dates-out-of-order", "2027-02-20 }", "before the slab was measured"],
  ["for: contractor", "for: contracter", "unknown-value", "contracter", 'Did you mean "contractor"?'],
  [
    "date: 2027-03-02 }]",
    "date: 2027-03-02 }, { for: contractor, by: me, date: 2027-03-02 }]",
    "signed-twice",
    "contractor, by: me",
    "",
  ],
  ["measured_by: T. Okafor, ", "", "missing-key", "joint_survey", "measured_by"],
  ["returned: 2027-02-03", "returned: 2027-01-03", "dates-out-of-order", "2027-01-03", "before it went out"],
  ["bags: 24,", "bags: 19,", "approval-below-allowance", "19, by", ""],
  ["room: hall,", "room: hal,", "unknown-room", "hal,", "Did you mean hall?"],
];

describe("each is named at its line, and nothing else is said", () => {
  test.each(ROWS)("%s → %s", (from, to, code, at, said) => {
    const text = changed(from, to, RECORD);
    const { job, diagnostics } = read(text);
    expect(job).toBeUndefined();
    expect(diagnostics.map((diagnostic) => [diagnostic.code, diagnostic.place?.line])).toContainEqual([
      code,
      lineOf(text, at),
    ]);
    expect(printed(diagnostics)).toContain(said);
    // One slip may break a sum besides; no third thing is said.
    expect(diagnostics.length).toBeLessThanOrEqual(2);
  });

  test("a test after the actual pour is told by the results, not by the plan", () => {
    const late = changed("date: 2027-02-24", "date: 2027-03-04", RECORD);
    expect(read(late).diagnostics).toEqual([]);
  });

  test("bags that nobody accounts for are a warning", () => {
    const { job, diagnostics } = read(changed("bags: 4 }", "bags: 9 }", RECORD));
    expect(summary(diagnostics)).toEqual([expect.stringMatching(/^warning bags-unaccounted-for/)]);
    expect(job).toBeDefined();
  });

  test("a place with two results of one day", () => {
    const twice = RECORD.replace(/( {4}- \{ test: pull-off, id: P1.*\n)/, "$1$1");
    expect(read(twice).diagnostics.map(({ code }) => code)).toEqual(["result-given-twice"]);
  });

  test("a document that is not there is a warning, and one that is has its checksum", () => {
    const text = `${RECORD}documents: [{ what: primer, kind: data-sheet, title: Sheet, file: sheet.pdf }]\n`;
    expect(summary(read(text).diagnostics)).toEqual([expect.stringMatching(/^warning document-not-there/)]);
  });
});
