/** The flatness report: of the slab as handed over for the general contractor, of the finished floor for closeout. */
import type { Conformity } from "../conformity/model.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import { levelMapPages } from "./flatness-level-map.ts";
import { placeMapPages } from "./flatness-map.ts";
import { factBlocks, levelBlocks, lineBlocks, rawReadingBlocks } from "./flatness-readings.ts";
import type { FloorText } from "./flatness-text.ts";
import { correctionBlocks, numberBlocks, ruleBlocks, verdictBlocks, worstPlaces } from "./flatness-verdicts.ts";
import type { SheetContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import { DESK, paragraph } from "./page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import type { Words } from "./words/en.ts";

export interface JudgedFloor {
  readonly job: Job;
  /** The plan that the floor was read by. */
  readonly plan: Plan;
  readonly conformity: Conformity;
  readonly words: Words;
}

/** Verdicts, conditions and places first; then the maps; then what it all rests on. */
export function composeFlatnessReport({ job, plan, conformity, words }: JudgedFloor): SheetContent {
  const finished = conformity.floor === "finished";
  const id = finished ? "flatness" : "flatness-raw-slab";
  const floor: FloorText = { job, plan, words };
  const survey = finished && job.finished ? job.finished.survey : job.survey;
  const typed = survey.byHand?.lines ?? [];
  const counted = conformity.fNumbers?.lines.map((report) => report.line) ?? [];
  // A line of which parts count is drawn by its parts.
  const drawn = new Set([
    ...counted.map((line) => line.id),
    ...conformity.lineCuts.filter(({ parts }) => parts.some((part) => part.becomes)).map((cut) => cut.line),
  ]);
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const worst = worstPlaces(floor, conformity);
  const flow = (blocks: readonly Block[]) => flowSheet(id, words, finished ? ["closeout"] : ["gc"], paper, blocks);
  const verdicts = flow([
    ...factBlocks(floor, conformity, survey, width),
    ...verdictBlocks(floor, conformity, width),
    ...correctionBlocks(floor, conformity, width),
    ...ruleBlocks(floor, conformity, worst, width),
    ...numberBlocks(floor, conformity, width),
  ]);
  const evidence = flow([
    // Before the pour the depths of the pin map say how far the slab lies below the target.
    ...(finished ? levelBlocks(floor, conformity, width) : []),
    ...lineBlocks(floor, typed.length > 0 ? typed : counted, width),
    ...rawReadingBlocks(floor, survey, width),
    paragraph(words.planningAid, width, DESK),
  ]);
  return {
    ...verdicts,
    pages: [
      ...verdicts.pages,
      ...placeMapPages(id, floor, conformity, worst, [...counted, ...typed.filter((line) => !drawn.has(line.id))]),
      // Before the pour the pin map shows how far the slab lies below the target.
      ...(finished ? levelMapPages(id, floor, conformity) : []),
      ...evidence.pages,
    ],
  };
}
