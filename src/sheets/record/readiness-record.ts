/** Readiness of the substrate: tests with limits and verdicts, results as they came in, and what is still to be tested, where. */

import type { FoundPlace } from "../../conformity/model.ts";
import { count } from "../../format.ts";
import type { Job } from "../../job/model.ts";
import type { Plan } from "../../layout/model.ts";
import type { Readiness, TestState } from "../../record/model.ts";
import { circle, type Mark, text as textMark } from "../drawing.ts";
import { placeText as foundText } from "../flatness-text.ts";
import { mapPages } from "../map/map-pages.ts";
import { commonItems, noteItem, SAMPLE_MIDDLE, sampleItem } from "../map/map-panel.ts";
import { type MapItem, PIN_RADIUS_MM } from "../map/pin-labels.ts";
import type { PageContent, SheetContent } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import { BLANK_CELL, blanks, type CellText, cell, DESK, heading, list, paragraph, table } from "../page/make-blocks.ts";
import { flowOntoPages } from "../page/page-flow.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { CAP_HEIGHT, textWidthMm } from "../type/text-metrics.ts";
import { DESK_MM, KNEELING_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";
import { limitText, testValueText } from "./test-text.ts";

interface ReadinessSubject {
  readonly job: Job;
  readonly plan: Plan;
  readonly words: Words;
}

const text = (content: string): CellText => cell(content, DESK_MM);
const strong = (content: string): CellText => cell(content, DESK_MM, 700);

export function composeReadiness(subject: ReadinessSubject, readiness: Readiness): SheetContent {
  const { job, words } = subject;
  const paper = SMALL_PAPER[job.paper];
  const frame = pageFrame(paper, "portrait");
  const width = frame.widthMm;
  const blocks: Block[] = [
    paragraph(words.record.readiness.intro, width, DESK),
    ...verdictBlocks(subject, readiness, width),
    ...testBlocks(subject, readiness, width),
    ...resultBlocks(subject, readiness, width),
    ...toTestBlocks(subject, readiness, width),
    ...conditionBlocks(subject, width),
  ];
  const pages = flowOntoPages(blocks, frame.heightMm);
  return {
    id: "readiness",
    title: words.titles.readiness,
    sets: ["survey", "gc"],
    pages: [
      ...pages.map((content): PageContent => ({ paper, orientation: "portrait", blocks: content })),
      ...placePages(subject, readiness),
    ],
  };
}

function verdictBlocks({ job, words }: ReadinessSubject, readiness: Readiness, width: number): Block[] {
  const w = words.record.readiness;
  const settled = job.readiness?.notRequired;
  const bold = { ...DESK, weight: 700 } as const;
  if (readiness.verdict === "not-required" && settled !== undefined) {
    return [
      paragraph(w.verdict["not-required"], width, bold),
      paragraph(w.notRequired(settled.by, settled.date, settled.reason), width, DESK),
    ];
  }
  return [paragraph(readiness.testsNamed ? w.verdict[readiness.verdict] : w.notNamed, width, bold)];
}

function testBlocks({ job, words }: ReadinessSubject, { tests, testsNamed }: Readiness, width: number): Block[] {
  const w = words.record.readiness;
  const rows = tests.map((test) => ({
    cells: [
      text(words.record.tests[test.test]),
      {
        runs: [
          { text: w.places(count(test.placesTested), count(test.required)), sizeMm: DESK_MM },
          { text: w.requiredBy[test.requiredBy], sizeMm: DESK_MM },
        ],
      },
      testsNamed ? text(limitText(test, test.dimension, job, words)) : BLANK_CELL,
      test.owedBy === undefined ? BLANK_CELL : text(test.owedBy),
      testsNamed ? strong(w.verdicts[test.verdict]) : BLANK_CELL,
    ],
  }));
  const limits = tests.flatMap((test) =>
    test.limits.map((limit) =>
      w.limit(words.record.tests[test.test], limitText(limit, test.dimension, job, words), limit.source),
    ),
  );
  return [
    heading(w.tests, width),
    table(
      w.caption,
      [
        { heading: w.columns.test, widthMm: width * 0.28, namesRow: true },
        { heading: w.columns.places, widthMm: width * 0.18 },
        { heading: w.columns.limit, widthMm: width * 0.2 },
        { heading: w.columns.owed, widthMm: width * 0.18 },
        { heading: w.columns.verdict, widthMm: width * 0.16 },
      ],
      job.floor.substrate === "wood"
        ? [...rows, { cells: [text(words.readiness.deflection), ...[1, 2, 3, 4].map(() => BLANK_CELL)] }]
        : rows,
      DESK_MM,
    ),
    ...(tests.some(({ test }) => test === "vapour-emission")
      ? [paragraph(words.readiness.notOnGypsum, width, DESK)]
      : []),
    ...(limits.length === 0
      ? []
      : [heading(w.limits, width), list(limits, width, DESK), paragraph(w.strictest, width, DESK)]),
  ];
}

const whereText = (subject: ReadinessSubject, found: FoundPlace | undefined): string =>
  found === undefined ? subject.words.notStated : foundText(subject, found);

function resultBlocks(subject: ReadinessSubject, { tests }: Readiness, width: number): Block[] {
  const { job, words } = subject;
  const w = words.record.readiness;
  const rows = tests.flatMap((test) =>
    test.results.map(({ result, judged, found }) => ({
      cells: [
        strong(result.id),
        text(words.record.shortTests[test.test]),
        text(whereText(subject, found)),
        text(testValueText(result.value, test.dimension, job, words)),
        judged === "outside" ? strong(w.judged[judged]) : text(w.judged[judged]),
        {
          runs: [
            { text: w.byOn(result.by, result.date), sizeMm: DESK_MM },
            ...(result.note === undefined ? [] : [{ text: result.note, sizeMm: DESK_MM }]),
          ],
        },
      ],
    })),
  );
  if (rows.length === 0) return [];
  const { columnsResults: columns } = w;
  return [
    heading(w.results, width),
    table(
      w.captionResults,
      [
        { heading: columns.place, widthMm: width * 0.09, namesRow: true },
        { heading: columns.test, widthMm: width * 0.14 },
        { heading: columns.where, widthMm: width * 0.27 },
        { heading: columns.value, widthMm: width * 0.17 },
        { heading: columns.judged, widthMm: width * 0.13 },
        { heading: columns.by, widthMm: width * 0.2 },
      ],
      rows,
      DESK_MM,
    ),
  ];
}

/** One row a place, with the tests that are owed there and room for their results. */
function toTestBlocks(
  subject: ReadinessSubject,
  { tests, places, testsNamed, verdict }: Readiness,
  width: number,
): Block[] {
  const { words } = subject;
  const w = words.record.readiness;
  if (verdict === "not-required") return [];
  const owed = (id: string): TestState[] => tests.filter(({ toTest }) => toTest.includes(id));
  const open = places.filter(({ id }) => owed(id).length > 0);
  if (open.length === 0) return [];
  const { columnsToTest: columns } = w;
  return [
    heading(w.toTest, width),
    paragraph(testsNamed ? w.toTestNote : `${w.notNamed} ${w.toTestNote}`, width, DESK),
    table(
      w.captionToTest,
      [
        { heading: columns.place, widthMm: width * 0.09, namesRow: true },
        { heading: columns.where, widthMm: width * 0.27 },
        { heading: columns.tests, widthMm: width * 0.2 },
        { heading: columns.result, widthMm: width * 0.26 },
        { heading: columns.by, widthMm: width * 0.18 },
      ],
      open.map(({ id, found }) => ({
        cells: [
          strong(id),
          text(whereText(subject, found)),
          text(words.listOf(owed(id).map(({ test }) => words.record.shortTests[test]))),
          BLANK_CELL,
          BLANK_CELL,
        ],
      })),
      DESK_MM,
      11,
    ),
  ];
}

function conditionBlocks({ words: { readiness } }: ReadinessSubject, width: number): Block[] {
  return [
    heading(readiness.conditions, width),
    table(
      readiness.captionConditions,
      [
        { heading: readiness.conditionsColumns.what, widthMm: width * 0.44, namesRow: true },
        { heading: readiness.conditionsColumns.found, widthMm: width * 0.34 },
        { heading: readiness.conditionsColumns.by, widthMm: width * 0.22 },
      ],
      readiness.conditionsRows.map((what) => ({ cells: [text(what), BLANK_CELL, BLANK_CELL] })),
      DESK_MM,
      11,
    ),
    blanks(readiness.signed, 60, DESK, 11),
  ];
}

const PADDING_MM = 0.6;

/** A place on the plan: open where a test is owed, filled where there is a result. */
function placeItem(id: string, { at, roomIndex }: FoundPlace, tested: boolean): MapItem {
  return {
    id,
    at,
    roomIndex,
    kind: "extra",
    labelWidth: textWidthMm(id, KNEELING_MM, 700) + 2 * PADDING_MM,
    labelHeight: KNEELING_MM * CAP_HEIGHT + 2 * PADDING_MM,
    symbol: (place) => symbolAt(place.x, place.y, tested),
    label: (place) => [textMark(place.minX + PADDING_MM, place.maxY - PADDING_MM, id, KNEELING_MM, "start", 700)],
  };
}

const symbolAt = (x: number, y: number, tested: boolean): Mark[] =>
  tested
    ? [circle(x, y, PIN_RADIUS_MM, "pin"), circle(x, y, PIN_RADIUS_MM / 2, "solid")]
    : [circle(x, y, PIN_RADIUS_MM, "pin")];

/** The plan with the places; none where nothing is owed and no result has a place. */
function placePages({ job, plan, words }: ReadinessSubject, { tests, places, verdict }: Readiness): PageContent[] {
  if (verdict === "not-required") return [];
  const owed = new Set(tests.flatMap(({ toTest }) => toTest));
  const tested = new Map(
    tests.flatMap(({ results }) =>
      results.flatMap(({ result, found }) => (found ? [[result.id, found] as const] : [])),
    ),
  );
  const items = [
    ...places.filter(({ id }) => owed.has(id)).map(({ id, found }) => placeItem(id, found, false)),
    ...[...tested].map(([id, found]) => placeItem(id, found, true)),
  ];
  if (items.length === 0) return [];
  const w = words.record.readiness;
  return mapPages({
    id: "test-places",
    // Places are found by two offsets from walls: grid lines and pins would only crowd the plan.
    subject: { job, plan: { ...plan, gridLines: [], pins: [] }, words, items },
    leastSpacingMm: 12,
    title: w.mapTitle(job.title),
    description: w.mapDescription,
    panel: (subject) => [
      ...commonItems(subject),
      ...(owed.size > 0
        ? [sampleItem(w.mapProposed, (x, y) => symbolAt(x + SAMPLE_MIDDLE.x, y + SAMPLE_MIDDLE.y, false))]
        : []),
      ...(tested.size > 0
        ? [sampleItem(w.mapTested, (x, y) => symbolAt(x + SAMPLE_MIDDLE.x, y + SAMPLE_MIDDLE.y, true))]
        : []),
      noteItem(w.toTestNote),
    ],
  });
}
