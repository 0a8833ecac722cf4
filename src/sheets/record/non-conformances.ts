/** Non-conformances with rework and recheck; those that nobody answered for have blanks. */
import { count, duration, fineHeight, height } from "../../format.ts";
import type { Job } from "../../job/model.ts";
import type { NonConformance } from "../../job/record-model.ts";
import type { Plan } from "../../layout/model.ts";
import type { NonConformanceState } from "../../record/model.ts";
import { placeText } from "../flatness-text.ts";
import type { SheetContent } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import { flowSheet } from "../page/flow-sheet.ts";
import { BLANK_CELL, blanks, type CellText, cell, DESK, paragraph, table } from "../page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { DESK_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";

interface NonConformanceSubject {
  readonly job: Job;
  /** Of the finished floor where it was read, else of the slab. */
  readonly plan: Plan;
  readonly words: Words;
  readonly floorRead: boolean;
}

const strong = (content: string): CellText => cell(content, DESK_MM, 700);
const lines = (contents: readonly string[]): CellText => ({
  runs: contents.map((content) => ({ text: content, sizeMm: DESK_MM })),
});
/** Empty rows for what is found on the floor. */
const SPARE_ROWS = 4;

export function composeNonConformances(
  subject: NonConformanceSubject,
  states: readonly NonConformanceState[],
): SheetContent {
  const { job, words, floorRead } = subject;
  const { nonConformances: w } = words.record;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const { columns } = w;
  const blocks: Block[] = [
    paragraph(w.intro, width, DESK),
    ...(states.length === 0 ? [paragraph(floorRead ? w.none : w.notRead, width, { ...DESK, weight: 700 })] : []),
    table(
      w.caption,
      [
        { heading: columns.id, widthMm: width * 0.1, namesRow: true },
        { heading: columns.what, widthMm: width * 0.34 },
        { heading: columns.rework, widthMm: width * 0.21 },
        { heading: columns.recheck, widthMm: width * 0.21 },
        { heading: columns.status, widthMm: width * 0.14 },
      ],
      [
        ...states.map((state) => ({ cells: rowOf(subject, state) })),
        ...Array.from({ length: SPARE_ROWS }, () => ({ cells: [1, 2, 3, 4, 5].map(() => BLANK_CELL) })),
      ],
      DESK_MM,
      11,
    ),
    blanks(w.sign, 90, DESK, 12),
  ];
  return flowSheet("non-conformances", words, ["closeout"], paper, blocks);
}

function rowOf(subject: NonConformanceSubject, state: NonConformanceState): CellText[] {
  const { words } = subject;
  const { nonConformances: w } = words.record;
  const entry = "entry" in state.from ? state.from.entry : undefined;
  const where = state.found === undefined ? [] : [placeText(subject, state.found)];
  return [
    strong(state.id),
    lines([...whatText(subject, state), ...where]),
    entry?.rework === undefined
      ? BLANK_CELL
      : lines([entry.rework, ...(entry.reworked === undefined ? [] : [entry.reworked])]),
    recheckCell(entry, words),
    strong(w.status[state.status]),
  ];
}

function recheckCell(entry: NonConformance | undefined, words: Words): CellText {
  if (entry?.recheck === undefined) return BLANK_CELL;
  const { result, date, by } = entry.recheck;
  return lines([words.record.nonConformances.recheck[result], date, by]);
}

function whatText({ job, words }: NonConformanceSubject, { from }: NonConformanceState): string[] {
  const { nonConformances: w } = words.record;
  switch (from.kind) {
    case "by-hand":
      return [w.found(from.entry.what, from.entry.found)];
    case "flatness": {
      const { large, small } = fineHeight(from.whole, job.units.height);
      const place = w.flatness[from.work](from.place, words.both(large.text, small.text));
      return [place, ...(from.entry === undefined ? [] : [w.found(from.entry.what, from.entry.found)])];
    }
    case "flow-ring": {
      const { large, small } = height(from.spread, job.units.height);
      return [w.flowRing(count(from.batch), words.both(large.text, small.text))];
    }
    case "past-flow-time":
      return [w.pastFlow(count(from.batch), duration(from.taken).text, duration(from.flowTime).text)];
    case "past-use-by":
      return [w.useBy(from.lot, from.useBy)];
  }
}
