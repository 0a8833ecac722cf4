/** The notice of acceptance, cure and protection, and the sheet for the door that is read standing. */
import type { Job } from "../../job/model.ts";
import type { HoldOff, PourRecord } from "../../record/model.ts";
import type { SheetContent } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import { flowSheet } from "../page/flow-sheet.ts";
import { BLANK_CELL, blanks, cell, DESK, heading, list, paragraph, table, type } from "../page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { HEADING_LEADING, KEY_VALUE_MM, READING_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";
import { holdOffText, protectionBlocks } from "./protection.ts";

export function composeHandover(job: Job, record: PourRecord, words: Words): SheetContent {
  const { handover: w, protection } = words.record;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const blocks: Block[] = [
    paragraph(w.intro, width, DESK),
    heading(w.state, width),
    ...stateBlocks(job, record, words, width),
    ...protectionBlocks(job, record.holdOffs, words, width),
    heading(w.keep, width),
    list(protection.rules, width, DESK),
    blanks(w.sign, 100, DESK, 12),
  ];
  return flowSheet("handover", words, ["closeout"], paper, blocks);
}

function stateBlocks({ results }: Job, { account, nonConformances }: PourRecord, words: Words, width: number): Block[] {
  const { handover: w } = words.record;
  const acceptance = results?.acceptance;
  const open = nonConformances.filter(({ status }) => status !== "closed").map(({ id }) => id);
  const bold = { ...DESK, weight: 700 } as const;
  return [
    paragraph(
      acceptance === undefined ? w.notYet : w.accepted[acceptance.result](acceptance.by, acceptance.date),
      width,
      bold,
    ),
    ...(acceptance?.remarks === undefined ? [] : [paragraph(acceptance.remarks, width, DESK)]),
    ...(results === undefined
      ? []
      : [paragraph(open.length === 0 ? w.allClosed : w.open(words.listOf(open)), width, DESK)]),
    account === undefined
      ? blanks(w.lastBlank, 90, DESK, 11)
      : paragraph((account.lastPlaced.recorded ? w.lastBatch : w.lastReckoned)(account.lastPlaced.at), width, DESK),
  ];
}

/** Read from where one stands before a door: every line as large as the pour clock's values. */
const DOOR = type(KEY_VALUE_MM, 400, HEADING_LEADING);
const DOOR_BOLD = type(KEY_VALUE_MM, 700, HEADING_LEADING);
const WRITE_IN_ROW_MM = 24;

/** Room for a date and a time, written large with a marker. */
const writeInTable = (labels: readonly string[], { record }: Words, width: number): Block =>
  table(
    record.door.title,
    [
      { heading: record.door.writeIn.what, widthMm: width * 0.5, namesRow: true },
      { heading: record.door.writeIn.when, widthMm: width * 0.5 },
    ],
    labels.map((label) => ({ cells: [cell(label, KEY_VALUE_MM), BLANK_CELL] })),
    READING_MM,
    WRITE_IN_ROW_MM,
  );

export function composeDoorNotice(job: Job, { holdOffs, account }: PourRecord, words: Words): SheetContent {
  const { door: w } = words.record;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const of = (what: HoldOff["what"]) => holdOffs.find((one) => one.what === what);
  const [walk, covering, loads] = [of("walk-on"), of("covering"), of("heavy-loads")];
  const told = (one: HoldOff, until: (at: string) => string, after: (hours: string) => string): string =>
    one.until === undefined ? after(holdOffText(one.after, words)) : until(one.until);
  const blocks: Block[] = [
    paragraph(w.title, width, DOOR_BOLD),
    paragraph(w.keepOff, width, DOOR_BOLD),
    paragraph(walk === undefined ? w.unknown : told(walk, w.before, w.after), width, DOOR_BOLD),
    ...(account === undefined ? [writeInTable([w.lastBatch, w.notBefore], words, width)] : []),
    ...(covering === undefined ? [] : [paragraph(told(covering, w.covering, w.coveringAfter), width, DOOR)]),
    ...(loads === undefined ? [] : [paragraph(told(loads, w.loads, w.loadsAfter), width, DOOR)]),
    paragraph(w.noHeat, width, DOOR),
    ...(job.company.phone === undefined ? [] : [paragraph(w.call(job.company.name, job.company.phone), width, DOOR)]),
  ];
  return flowSheet("door-notice", words, ["crew", "closeout"], paper, blocks);
}
