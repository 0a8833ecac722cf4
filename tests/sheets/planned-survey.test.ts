/** Sheets of a survey that is planned but not read, and the page of it that the crew gets afterwards. */
import { beforeAll, describe, expect, test } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { plannedSetUpsText } from "../../src/cli/planned-readings.ts";
import { notYet } from "../../src/diagnostics.ts";
import { polygonArea } from "../../src/geometry/polygon.ts";
import type { Job } from "../../src/job/model.ts";
import { readSheet } from "../../src/job/reading-sheet.ts";
import { countQuantities } from "../../src/quantities/count-quantities.ts";
import { composeSheets } from "../../src/sheets/compose-sheets.ts";
import type { Findings, Sheet } from "../../src/sheets/model.ts";
import { tallyRows } from "../../src/sheets/survey/same-day.ts";
import type { SurveyPlan } from "../../src/survey/model.ts";
import { planSurvey } from "../../src/survey/plan-survey.ts";
import { job as clinic, findings, findingsFor, rectangle, room } from "./fixtures/small-clinic.ts";
import { ALL_RULES, textMarksOf } from "./sheet-rules.ts";

const why = "not read yet";
/** A corridor of 72 ft by 12 ft, longer than a hose of 10 m reaches from its middle. */
const corridor = findingsFor({
  ...clinic,
  rooms: [
    room("corridor", "Corridor", rectangle(0, 0, 72, 12), [
      { id: "D1", wallIndex: 0, from: 1, joins: "outside", joinsRoom: false, entrance: true },
    ]),
  ],
  benchMarks: [],
  survey: { ...clinic.survey, extraPoints: [] },
});
const job: Job = {
  ...corridor.job,
  survey: {
    ...corridor.job.survey,
    setUps: [],
    planning: {
      instrument: { id: "hose", name: "Hose", kind: "hose", readingSd: 0.5, hoseLength: 10 },
      slack: 1,
      expected: [],
      positions: [],
      tieSpread: 1.5,
    },
  },
};

let plan: SurveyPlan;
let sheets: Sheet[];
let spanish: Sheet[];

beforeAll(async () => {
  const planned = planSurvey(corridor.plan, job.survey.planning!, await loadSolver());
  if (planned.kind !== "ready") throw new Error("the clinic's survey cannot be planned");
  plan = planned.value;
  const blank: Findings = {
    ...corridor,
    job,
    surveyPlan: planned,
    levels: notYet(why),
    slab: notYet(why),
    target: notYet(why),
    depths: notYet(why),
    quantities: notYet(why),
    schedule: notYet(why),
  };
  sheets = composeSheets(blank, "en");
  spanish = composeSheets(blank, "es");
}, 60_000);

const sheetOf = (id: string): Sheet => sheets.find((sheet) => sheet.id === id)!;

/** Tables of a sheet, page by page: cells as texts, blank ones as null. */
const tablesOf = (sheet: Sheet) =>
  sheet.pages.flatMap(({ blocks }) =>
    blocks.flatMap((block) =>
      block.kind === "table"
        ? [
            block.rows.map(({ cells }) =>
              cells.map((cell) => (cell.blank ? null : cell.lines.map(({ text }) => text).join(" "))),
            ),
          ]
        : [],
    ),
  );

/** Point ids on the forms in the order of reading, those read a second time apart; zero checks as "zero". */
const ofForms = () => {
  const lines = tablesOf(sheetOf("survey-form"))
    .filter((rows) => rows[0]?.length === 9)
    .flatMap((rows) =>
      [0, 3, 6].flatMap((from) => rows.map((cells) => cells.slice(from, from + 3)).filter((cells) => cells[1] !== "")),
    );
  return lines.map(([number, name, blank]) => ({ number, name: String(name), blank }));
};

describe("a planned survey", () => {
  test.each(Object.entries(ALL_RULES))("%s", (_, breachesOf) => {
    expect([...sheets, ...spanish].flatMap(breachesOf)).toEqual([]);
  });

  test("takes several positions, each named on the map; every point has its blank box there", () => {
    expect(plan.positions.length).toBeGreaterThan(1);
    const map = sheetOf("survey-plan");
    const texts = map.pages.flatMap(textMarksOf).map(({ text }) => text);
    for (const { id } of plan.positions) expect(texts).toContain(id);
    const boxes = map.pages
      .flatMap(({ blocks }) => blocks)
      .flatMap((block) => (block.kind === "drawing" ? block.drawing.layers.flatMap(({ marks }) => marks) : []))
      .filter((mark) => mark.kind === "box" && mark.style === "blank-box");
    expect(boxes).toHaveLength(corridor.plan.points.length);
    // A shared point names the set-ups that both read it.
    const [a, b] = plan.neighbours[0]!.positions;
    expect(texts).toContain(`${plan.positions[Math.min(a, b)]!.id} ${plan.positions[Math.max(a, b)]!.id}`);
  });

  test("forms have a blank for every planned reading in order, and the zero checks where they come", () => {
    const readings = ofForms().filter(({ number }) => number !== "");
    expect(readings.every(({ blank }) => blank === null)).toBe(true);
    const asPlanned = plan.positions.flatMap(({ order }) =>
      order.map(({ pointId, why: reason }) =>
        reason === "tie" ? `${pointId} *` : reason === "second-time" ? `${pointId} again` : pointId,
      ),
    );
    expect(readings.map(({ name }) => name)).toEqual(asPlanned);
    const checks = ofForms().filter(({ number }) => number === "");
    expect(checks).toHaveLength(plan.positions.reduce((sum, one) => sum + one.zeroChecksAfter.length, 0));
  });

  test("the blocks of a new job file are those of the forms", () => {
    const text = plannedSetUpsText(job, plan, "hose-level");
    const blocks = [...text.matchAll(/(?:readings|repeats): \|\n((?: {8}.*\n)+)/g)].map(([, block]) => block!);
    const ids = blocks.flatMap((block) => [...block.matchAll(/^\s*(\S+)\s+-$/gm)].map(([, id]) => id));
    expect(ids).toEqual(
      ofForms()
        .filter(({ number }) => number !== "")
        .map(({ name }) => name.replace(/ (?:\*|again)$/, "")),
    );
    // They can be read: blanks are no readings, and no label is unknown.
    const labels = new Set(corridor.plan.points.map(({ id }) => id));
    for (const block of blocks) expect(readSheet(block, "mm", labels)).toEqual({ readings: [], problems: [] });
  });
});

describe("the same-day sheet", () => {
  test("turns readings between least and greatest depth into sixteenths of an inch", () => {
    const strip = tablesOf(sheetOf("same-day"))
      .filter((rows) => rows[0]?.length === 8)
      .flat();
    const cuts = new Map(strip.flatMap((cells) => [0, 2, 4, 6].map((k) => [cells[k], cells[k + 1]] as const)));
    // By hand: 10 mm is 6.3 sixteenths, 19 mm 11.97, 25 mm 15.7, 38 mm 23.9.
    expect(cuts.get("10")).toBe("3/8");
    expect(cuts.get("19")).toBe("3/4");
    expect(cuts.get("25")).toBe("1");
    expect(cuts.get("38")?.replace(/\s/g, " ")).toBe("1 1/2");
    // A pin of 5 mm is the shortest that stands; the material ends at 50 mm.
    expect(cuts.has("4")).toBe(false);
    expect(cuts.has("5")).toBe(true);
    expect(cuts.has("50")).toBe(true);
    expect(cuts.has("51")).toBe(false);
  });

  test("its tally comes to the bags that are ordered for a floor of one depth", () => {
    const area = corridor.plan.floors.reduce((sum, { polygon }) => sum + polygonArea(polygon), 0);
    const rows = tallyRows(job, corridor.plan);
    const byHand = rows.reduce((sum, { bagsEach, fixedBags }) => sum + 12 * bagsEach + fixedBags, 0);
    const depths = { ...(corridor.depths as never as { value: object }).value, volumeToOrder: 12 * area, area };
    const ordered = countQuantities(job, depths as never);
    expect(ordered.kind === "ready" && ordered.value.bags.sum).toBeCloseTo(byHand, 6);
    // In inches the depths are counted in sixteenths.
    const inches = tallyRows({ ...job, units: { ...job.units, height: "in" } }, corridor.plan);
    expect(inches[0]!.bagsEach / rows[0]!.bagsEach).toBeCloseTo(25.4 / 16, 9);
  });

  test("has no result printed: sums, means and bags are blank", () => {
    const tally = tablesOf(sheetOf("same-day")).find((rows) => rows[0]?.length === 7)!;
    for (const cells of tally.slice(0, -1)) expect([cells[1], cells[3], cells[6]]).toEqual([null, null, null]);
  });

  test("is not there where the reading is not the depth", () => {
    const raised: Findings = {
      ...corridor,
      job: { ...job, target: { kind: "level", top: 5, zeroIsTop: false } },
      levels: notYet(why),
    };
    expect(composeSheets(raised, "en").some(({ id }) => id === "same-day")).toBe(false);
  });
});

describe("after the survey", () => {
  const read = composeSheets(findings, "en");
  test("the crew's page is one page, with each place, its two offsets, and a blank for the new reading", () => {
    const summary = read.find(({ id }) => id === "survey-summary")!;
    expect(summary.pages).toHaveLength(1);
    const [rows] = tablesOf(summary);
    const report = findings.levels.kind === "ready" ? findings.levels.value.report : undefined;
    expect(report!.readAgain.length).toBeGreaterThan(0);
    expect(rows!.map(([point]) => point)).toEqual(report!.readAgain.slice(0, 5).map(({ pointId }) => pointId));
    for (const [, where, , , now] of rows!) {
      expect(where!.match(/wall/g)).toHaveLength(2);
      expect(now).toBeNull();
    }
  });

  test("the report gives the reason of a struck reading, and what is sure of the volume", () => {
    const report = read.find(({ id }) => id === "survey-report")!;
    expect(tablesOf(report).flat().flat()).toContain("hose was kicked");
    const said = report.pages
      .flatMap(({ blocks }) => blocks)
      .flatMap((block) => (block.kind === "text" ? [block.lines.join(" ")] : []))
      .join(" ");
    expect(said).toMatch(/the volume is sure to ± [\d.]+\sft³ \([\d.]+\sL\), [\d.]+ bags/);
  });
});
