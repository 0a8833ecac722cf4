/** The forms of a planned survey: for each set-up where it stands, what it reaches, and its readings in order. */
import { count, planLength } from "../../format.ts";
import type { PlannedReading, PlannedSetUp, SurveyPlan } from "../../survey/model.ts";
import type { PageContent, SheetContent } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import { BLANK_CELL, blanks, type CellText, cell, DESK, heading, list, paragraph, table } from "../page/make-blocks.ts";
import { flowOntoPages } from "../page/page-flow.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { DESK_MM, KNEELING_MM } from "../type/type-sizes.ts";
import { bothText, type PlaceSubject } from "./point-place.ts";

export function composeSurveyForm(subject: PlaceSubject, surveyPlan: SurveyPlan): SheetContent {
  const { job, words } = subject;
  // Forms of set-ups whose readings stand in the job already are done with.
  const read = new Set(job.survey.setUps.filter(({ readings }) => readings.length > 0).map(({ id }) => id));
  return {
    id: "survey-form",
    title: words.titles["survey-form"],
    sets: ["survey"],
    pages: surveyPlan.positions.flatMap(({ id }, index) =>
      read.has(id) ? [] : setUpPages(subject, surveyPlan, index, SMALL_PAPER[job.paper]),
    ),
  };
}

function setUpPages(
  subject: PlaceSubject,
  surveyPlan: SurveyPlan,
  index: number,
  paper: PageContent["paper"],
): PageContent[] {
  const frame = pageFrame(paper, "portrait");
  const one = surveyPlan.positions[index]!;
  const first = [
    ...placeBlocks(subject, surveyPlan, one, index, frame.widthMm),
    ...zeroBlocks(subject, one, frame.widthMm),
  ];
  const readings = orderPages(subject, one, frame.widthMm, frame.heightMm);
  return [...flowOntoPages(first, frame.heightMm), ...readings].map((blocks) => ({
    paper,
    orientation: "portrait",
    blocks,
  }));
}

function placeBlocks(
  { job, plan, words }: PlaceSubject,
  { positions, neighbours, outOfReach, leastPositions, provedFewest }: SurveyPlan,
  one: PlannedSetUp,
  index: number,
  width: number,
): Block[] {
  const w = words.surveyForm;
  const length = (metres: number): string => bothText(planLength(metres, job.units.plan), words);
  const hoses = new Map(one.order.map(({ pointId, hose }) => [pointId, hose]));
  const farthest = [...hoses].reduce((most, next) => (next[1] > most[1] ? next : most));
  const inReach = new Set(one.reach.map(({ pointId }) => pointId));
  const beyond = plan.points.filter(({ id }) => !inReach.has(id)).map(({ id }) => id);
  const ties = neighbours
    .filter((tie) => tie.positions.includes(index))
    .map((tie) => {
      const other = tie.positions[0] === index ? tie.positions[1] : tie.positions[0];
      return w.ties(positions[other]!.id, words.listOf(tie.pointIds));
    });
  const told = [
    w.stands(words.surveyReport.at(length(one.at.x), length(one.at.y))),
    w.reach(count(one.reach.length), count(plan.points.length), count(one.order.length)),
    w.farthest(farthest[0], length(farthest[1])),
    ...(beyond.length === 0 ? [] : [w.beyond(words.listOf(beyond))]),
    ...(ties.length > 0 ? ties : [w.noTies]),
    ...(index > 0
      ? []
      : [
          provedFewest
            ? w.fewest(count(positions.length))
            : w.notProved(count(positions.length), count(leastPositions)),
          ...(outOfReach.length === 0 ? [] : [w.outOfReach(words.listOf(outOfReach))]),
          job.survey.setUps.length > 0 ? w.laidOut : w.typeIn(`npm start -- new <job-id> --from ${job.id}`),
        ]),
  ];
  return [
    heading(w.setUp(one.id, plan.floors[one.roomIndex]!.name), width),
    list(told, width, DESK),
    blanks(w.record, 92, DESK, 10),
  ];
}

function zeroBlocks({ words }: PlaceSubject, { zeroChecksAfter }: PlannedSetUp, width: number): Block[] {
  const w = words.surveyForm;
  const { columnsZero: names } = w;
  return [
    heading(w.zeroChecks, width),
    paragraph(w.stop, width, DESK),
    table(
      w.captionZeroChecks,
      [
        { heading: names.check, widthMm: width * 0.14, namesRow: true },
        { heading: names.after, widthMm: width * 0.2, align: "end" },
        { heading: names.time, widthMm: width * 0.2 },
        { heading: names.reading, widthMm: width * 0.23 },
        { heading: names.difference, widthMm: width * 0.23 },
      ],
      zeroChecksAfter.map((after, k) => ({
        cells: [
          cell(count(k + 1), KNEELING_MM, 700),
          cell(count(after), KNEELING_MM),
          BLANK_CELL,
          BLANK_CELL,
          BLANK_CELL,
        ],
      })),
      DESK_MM,
    ),
  ];
}

/** Columns of the form side by side; each is read downwards. */
const ABREAST = 3;
const ROW_MM = 9.5;

type Line =
  | { readonly kind: "reading"; readonly number: number; readonly reading: PlannedReading }
  | { readonly kind: "zero"; readonly check: number };

/** The readings in order, with the zero checks where they come. */
function linesOf({ order, zeroChecksAfter }: PlannedSetUp): Line[] {
  const lines: Line[] = [];
  for (let k = 0; k <= order.length; k++) {
    const check = zeroChecksAfter.indexOf(k);
    if (check >= 0) lines.push({ kind: "zero", check: check + 1 });
    const reading = order[k];
    if (reading) lines.push({ kind: "reading", number: k + 1, reading });
  }
  return lines;
}

function orderPages(subject: PlaceSubject, one: PlannedSetUp, width: number, heightMm: number): Block[][] {
  const { job, words } = subject;
  const w = words.surveyForm;
  const head = [heading(`${w.setUp(one.id, subject.plan.floors[one.roomIndex]!.name)}: ${w.order}`, width)];
  const legend = paragraph(w.legend(job.units.height), width, DESK);
  const used = head[0]!.heightMm + legend.heightMm;
  const lines = linesOf(one);
  const most = Math.floor((heightMm - used - ROW_MM) / ROW_MM) - 1;
  const pages = Math.ceil(lines.length / (ABREAST * most));
  return Array.from({ length: pages }, (_, page): Block[] => {
    const here = lines.slice(page * ABREAST * most, (page + 1) * ABREAST * most);
    const rows = Math.ceil(here.length / ABREAST);
    const columns = Array.from({ length: ABREAST }, (__, j) => [
      { heading: w.columnsOrder.number, widthMm: width * 0.06, align: "end" as const, namesRow: j === 0 },
      { heading: w.columnsOrder.point, widthMm: width * 0.145 },
      { heading: w.columnsOrder.reading, widthMm: width * 0.128 },
    ]).flat();
    return [
      ...head,
      legend,
      table(
        w.captionOrder(count(page + 1)),
        columns,
        Array.from({ length: rows }, (__, k) => ({
          cells: Array.from({ length: ABREAST }, (___, j) => lineCells(here[j * rows + k], words)).flat(),
        })),
        DESK_MM,
        ROW_MM,
      ),
    ];
  });
}

function lineCells(line: Line | undefined, words: PlaceSubject["words"]): CellText[] {
  const w = words.surveyForm;
  if (line === undefined) return [cell("", DESK_MM), cell("", DESK_MM), cell("", DESK_MM)];
  if (line.kind === "zero") {
    return [cell("", DESK_MM), cell(w.zeroHere(count(line.check)), DESK_MM, 700), cell("", DESK_MM)];
  }
  const { pointId, why } = line.reading;
  const name = why === "tie" ? w.tie(pointId) : why === "second-time" ? w.again(pointId) : pointId;
  return [cell(count(line.number), DESK_MM), cell(name, KNEELING_MM, 700), BLANK_CELL];
}
