/** The sheets of the record: holds on the cover, one page to sign, a notice read standing; by the rules of every sheet. */
import { describe, expect, test } from "vitest";
import type { ReadinessSpec, SubstrateTest, TestResult } from "../../src/job/record-model.ts";
import { keepRecord } from "../../src/record/keep-record.ts";
import type { PourRecord } from "../../src/record/model.ts";
import type { Findings, SheetContent } from "../../src/sheets/model.ts";
import type { Block } from "../../src/sheets/page/blocks.ts";
import { recordStops } from "../../src/sheets/record/cover-stops.ts";
import { composeDoorNotice, composeHandover } from "../../src/sheets/record/handover.ts";
import { composeJointSurvey } from "../../src/sheets/record/joint-survey.ts";
import { composeReadiness } from "../../src/sheets/record/readiness-record.ts";
import { composeSubmittals } from "../../src/sheets/record/submittals.ts";
import { DIGIT_HEIGHT } from "../../src/sheets/type/text-metrics.ts";
import { en } from "../../src/sheets/words/en.ts";
import { es } from "../../src/sheets/words/es.ts";
import { findings } from "../sheets/fixtures/small-clinic.ts";

const { job, plan } = findings;
const place = job.source.place([]);

function withReadiness(readiness: ReadinessSpec): Findings {
  const record = keepRecord({ job: { ...job, readiness }, plan });
  if (record.kind !== "ready") throw new Error(record.kind);
  return { ...findings, job: { ...job, readiness }, record };
}

const textOf = (block: Block): string =>
  "lines" in block ? block.lines.join(" ") : block.kind === "table" ? JSON.stringify(block.rows) : "";
const holdsOf = (of: Findings, words = en): string[] => recordStops(of, words, 180).holds.map(textOf);
const allText = (content: SheetContent): string => content.pages.flatMap(({ blocks }) => blocks.map(textOf)).join("\n");

const asked = (
  test: SubstrateTest["test"],
  owedBy: string,
  limit: Partial<TestResult & { least: number; greatest: number }>,
) => ({ test, owedBy, count: 1, limits: [{ ...limit, source: "spec" }], place }) as SubstrateTest;
const found = (of: SubstrateTest["test"], value: number): TestResult => ({
  test: of,
  id: `${of}-1`,
  value,
  date: "2027-02-24",
  by: "me",
  place,
});

const TESTS = [
  ["relative-humidity", { greatest: 0.8 }, 0.75, 0.9],
  ["vapour-emission", { greatest: 15 }, 10, 20],
  ["water-drop", { greatest: 1 }, 0.5, 2],
  ["pull-off", { least: 1.4 }, 2, 1],
  ["surface-profile", { least: 3 }, 3, 2],
  ["slab-temperature", { least: 10, greatest: 30 }, 20, 5],
  ["air-temperature", { least: 10 }, 20, 5],
  ["air-humidity", { greatest: 0.7 }, 0.5, 0.9],
  ["wood-moisture", { greatest: 0.12 }, 0.1, 0.2],
] as const;

describe("a hold on the cover for each test that is missing or failed", () => {
  test.each(TESTS)("%s", (name, limit, good, bad) => {
    const tests = [asked(name, "Marrow Lane Builders", limit)];
    for (const words of [en, es]) {
      const title = words.record.tests[name];
      expect(holdsOf(withReadiness({ tests, results: [] }), words)).toEqual([expect.stringContaining(title)]);
      expect(holdsOf(withReadiness({ tests, results: [] }), words)[0]).toContain("Marrow Lane Builders");
      const failed = holdsOf(withReadiness({ tests, results: [found(name, bad)] }), words);
      expect(failed).toEqual([expect.stringContaining(`${name}-1`)]);
      expect(failed[0]).toContain("Marrow Lane Builders");
      expect(holdsOf(withReadiness({ tests, results: [found(name, good)] }), words)).toEqual([]);
    }
  });

  test("of several each has its own, with who owes it", () => {
    const tests = TESTS.map(([name, limit], k) => asked(name, `party ${k}`, limit));
    const results = TESTS.filter((_, k) => k % 3 > 0).map(([name, , good, bad], k) => found(name, k % 2 ? good : bad));
    const holds = holdsOf(withReadiness({ tests, results }));
    // Three without a result, three of the six others outside.
    expect(holds).toHaveLength(6);
    expect(new Set(holds.map((hold) => /party \d/.exec(hold)?.[0])).size).toBe(6);
  });

  test("a blank verdict is never a pass: with no test named the table's verdicts are to be written in", () => {
    const { record } = withReadiness({ tests: [], results: [] });
    if (record.kind !== "ready") throw new Error(record.kind);
    const sheet = composeReadiness({ job, plan, words: en }, record.value.readiness);
    expect(allText(sheet)).not.toContain(`"${en.record.readiness.verdicts.accept}"`);
  });
});

describe("the joint survey", () => {
  const { depths, quantities } = findings;
  if (depths.kind !== "ready" || quantities.kind !== "ready") throw new Error("the clinic has its numbers");
  const stop = { bags: 120, from: "allowance", planned: 158 } as const;
  const subject = { job, plan, words: en, depths: depths.value, quantities: quantities.value, stop };

  test.each([
    ["letter", en],
    ["a4", es],
  ] as const)("is one page on %s", (paper, words) => {
    const contract = { ...job.contract, allowedBags: 120, unitRate: { amount: 48.5, currency: "USD" } };
    const present = [...Array(6).keys()].map((k) => ({ name: `Person ${k}`, company: "Marrow Lane Builders" }));
    const jointSurvey = {
      date: "2027-02-26",
      measuredBy: "T. Okafor",
      present,
      signatures: [{ party: "contractor", by: "T. Okafor", date: "2027-03-02" }] as const,
    };
    const sheet = composeJointSurvey({ ...subject, words, job: { ...job, paper, contract, jointSurvey } });
    expect(sheet.pages).toHaveLength(1);
    expect(allText(sheet)).toContain("120");
    expect(allText(sheet)).toContain("T. Okafor");
    // 158 ordered, 120 allowed: 38 at 48.50.
    expect(allText(sheet)).toContain("1843.00\u00a0USD");
  });

  test("is one page for many rooms, which are then counted", () => {
    const floors = [...Array(60).keys()].map((k) => ({ ...plan.floors[0]!, name: `A room with a long name ${k}` }));
    expect(composeJointSurvey({ ...subject, plan: { ...plan, floors } }).pages).toHaveLength(1);
  });
});

describe("the door notice", () => {
  const record: PourRecord = {
    readiness: { verdict: "missing", testsNamed: false, tests: [], places: [] },
    holds: [],
    nonConformances: [],
    holdOffs: [
      { what: "walk-on", after: 180, until: "2027-03-04 11:27" },
      { what: "covering", after: 1440, until: "2027-03-05 08:27" },
    ],
    account: { lastPlaced: { at: "2027-03-04 08:27", recorded: true } } as unknown as NonNullable<
      PourRecord["account"]
    >,
  };
  const sizes = (blocks: readonly Block[]): number[] =>
    blocks.flatMap((block) => {
      if (block.kind === "text") return [block.type.sizeMm];
      return block.kind === "table"
        ? block.rows.flatMap(({ cells }) => cells.flatMap(({ lines }) => lines.map(({ sizeMm }) => sizeMm)))
        : [];
    });

  test.each([
    ["after the pour", record],
    [
      "before it",
      { ...record, account: undefined, holdOffs: record.holdOffs.map(({ what, after }) => ({ what, after })) },
    ],
    ["without a walk-on time", { ...record, holdOffs: [] }],
  ] as const)("%s: one page, every digit 9.3 mm or more", (_, of) => {
    for (const words of [en, es]) {
      const sheet = composeDoorNotice(job, of as PourRecord, words);
      expect(sheet.pages).toHaveLength(1);
      const small = sizes(sheet.pages[0]!.blocks).filter((sizeMm) => sizeMm * DIGIT_HEIGHT < 9.3);
      expect(small).toEqual([]);
    }
  });

  test("says until when", () => {
    expect(allText(composeDoorNotice(job, record, en))).toContain("2027-03-04 11:27");
  });

  test("the handover says what is open and accepts nothing by itself", () => {
    const open = { id: "NC7", status: "open", from: { kind: "past-use-by", lot: "L", useBy: "2027-01-01" } } as const;
    const results = { nonConformances: [] } as unknown as NonNullable<typeof job.results>;
    const sheet = composeHandover({ ...job, results }, { ...record, nonConformances: [open] }, en);
    expect(allText(sheet)).toContain("NC7");
    expect(allText(sheet)).toContain(en.record.handover.notYet);
  });
});

test("submittals that the job does not list are the usual ones, blank", () => {
  expect(allText(composeSubmittals(job, en))).toContain("Product data of the underlayment");
  const listed = { ...job, submittals: [{ number: "S-1", item: "data", status: "approved" as const }] };
  expect(allText(composeSubmittals(listed, en))).not.toContain("Product data of the underlayment");
});
