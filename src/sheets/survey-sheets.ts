/** Sheets to read a floor by: the brief, the plan with a blank box at every point, and the same after the pour. */
import { fineHeight, planLength } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import { floorAreaText } from "./contract-sheets.ts";
import { mapPages } from "./map/map-pages.ts";
import { buildingItems, commonItems, noteItem } from "./map/map-panel.ts";
import { blankItem } from "./map/pin-labels.ts";
import type { Findings, PageContent, SheetContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import { BLANK_CELL, blanks, cell, DESK, heading, list, paragraph, table } from "./page/make-blocks.ts";
import { flowOntoPages } from "./page/page-flow.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { readingPlanPages } from "./reading-plan.ts";
import { plannedMapPages } from "./survey/planned-map.ts";
import { DESK_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

export function composeSurveyBrief(findings: Findings, words: Words, planArea: number): SheetContent {
  const { job, plan } = findings;
  const { survey } = words;
  const width = pageFrame(SMALL_PAPER[job.paper], "portrait").widthMm;
  const both = (value: { large: { text: string }; small: { text: string } }): string =>
    words.both(value.large.text, value.small.text);
  const { grid, setUps } = job.survey;
  const instruments = [...new Set(setUps.map(({ instrument }) => instrument.name))];
  const { tolerance } = job.contract;
  const blocks: Block[] = [
    heading(survey.scope, width),
    paragraph(
      survey.scopeText(floorAreaText(findings, words, planArea), words.listOf(plan.floors.map(({ name }) => name))),
      width,
      DESK,
    ),
    heading(survey.datum, width),
    paragraph(survey.datumText, width, DESK),
    heading(survey.benchMarks, width),
    job.benchMarks.length === 0
      ? paragraph(survey.noBenchMarks, width, DESK)
      : list(
          job.benchMarks.map((mark) =>
            survey.benchMarkRow(mark.id, both(fineHeight(mark.level, job.units.height)), mark.description ?? ""),
          ),
          width,
          DESK,
        ),
    heading(survey.grid, width),
    paragraph(
      survey.gridText(
        both(planLength(grid.spacingEast, job.units.plan)),
        both(planLength(grid.spacingNorth, job.units.plan)),
      ),
      width,
      DESK,
    ),
    heading(survey.tolerance, width),
    paragraph(
      tolerance ? `${tolerance.text}\n${words.acceptance.source(tolerance.source)}` : words.acceptance.none,
      width,
      DESK,
    ),
    heading(survey.instrument, width),
    paragraph(instruments.length === 0 ? survey.instrumentNone : words.listOf(instruments), width, DESK),
    heading(survey.habits, width),
    list(survey.habitsList, width, DESK, true),
    heading(survey.access, width),
    blanks(survey.accessRows, 80, DESK, 11),
  ];
  return flowSheet("survey-brief", words, ["survey"], SMALL_PAPER[job.paper], blocks);
}

/** Boxes to write in are wider than the labels of pins. */
const LEAST_POINT_SPACING_MM = 27;
/** One point in twenty is read a second time (common practice). */
const ONE_IN = 20;
const LEAST_SECOND_READINGS = 3;

/** The plan with its blank boxes, and the lines to record who read it, with what, and how it closed. */
function readingPages(id: string, job: Job, plan: Plan, words: Words, record: readonly string[]): PageContent[] {
  const { survey } = words;
  const map = mapPages({
    id,
    subject: { job, plan, words, items: plan.points.map(blankItem) },
    leastSpacingMm: LEAST_POINT_SPACING_MM,
    title: survey.planTitle(job.title),
    description: (points) => survey.planDescription(points),
    panel: (subject) => [
      ...commonItems(subject),
      noteItem(survey.planHowTo(job.units.height)),
      ...buildingItems(subject),
    ],
  });
  const paper = SMALL_PAPER[job.paper];
  const frame = pageFrame(paper, "portrait");
  const width = frame.widthMm;
  const { closingColumns } = survey;
  const blocks: Block[] = [
    heading(survey.record, width),
    blanks(record, 80, DESK, 12),
    heading(survey.closing, width),
    table(
      survey.closingCaption,
      [
        { heading: closingColumns.check, widthMm: width * 0.28, namesRow: true },
        { heading: closingColumns.time, widthMm: width * 0.2 },
        { heading: closingColumns.reading, widthMm: width * 0.26 },
        { heading: closingColumns.difference, widthMm: width * 0.26 },
      ],
      survey.closingRows.map((row) => ({ cells: [cell(row, DESK_MM), BLANK_CELL, BLANK_CELL, BLANK_CELL] })),
      DESK_MM,
    ),
    heading(survey.tableTitle, width),
    table(
      survey.tableCaption,
      [
        { heading: survey.tableColumns.point, widthMm: width * 0.22, namesRow: true },
        { heading: survey.tableColumns.first, widthMm: width * 0.26 },
        { heading: survey.tableColumns.second, widthMm: width * 0.26 },
        { heading: closingColumns.difference, widthMm: width * 0.26 },
      ],
      Array.from({ length: Math.max(LEAST_SECOND_READINGS, Math.ceil(plan.points.length / ONE_IN)) }, () => ({
        cells: [BLANK_CELL, BLANK_CELL, BLANK_CELL, BLANK_CELL],
      })),
      DESK_MM,
    ),
  ];
  const pages = flowOntoPages(blocks, frame.heightMm);
  return [...map, ...pages.map((content): PageContent => ({ paper, orientation: "portrait", blocks: content }))];
}

/** Where the survey was planned, its plan tells who reads what; forms of their own take the record. */
export function composeSurveyPlan({ job, plan, surveyPlan }: Findings, words: Words): SheetContent {
  const planned = surveyPlan.kind === "ready";
  return {
    id: "survey-plan",
    title: words.titles["survey-plan"],
    sets: ["survey"],
    pages: planned
      ? plannedMapPages({ job, plan, words }, surveyPlan.value)
      : readingPages("survey-plan", job, plan, words, words.survey.recordRows),
  };
}

/** Boxes at the points of the plan, then what the contract's rules need besides. */
export function composeFinishedFloor({ job, plan: before, rawSlab, finished }: Findings, words: Words): SheetContent {
  const after = finished.kind === "ready" ? finished.value : undefined;
  const plan = after?.plan ?? before;
  const conformity = after?.conformity ?? (rawSlab.kind === "ready" ? rawSlab.value : undefined);
  return {
    id: "finished-floor",
    title: words.titles["finished-floor"],
    sets: ["closeout"],
    pages: [
      ...readingPages("finished-floor", job, plan, words, words.survey.finishedRecord),
      ...(conformity ? readingPlanPages({ job, plan, words }, conformity) : []),
    ],
  };
}
