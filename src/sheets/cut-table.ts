/** The cut table: every pin in the order of placing, with its length in both units and where it goes. */
import type { Depths, PinDepth } from "../depths/model.ts";
import { count, height, planLength } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { Plan, WallOffset } from "../layout/model.ts";
import type { SheetContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import {
  BLANK_CELL,
  CELL_PADDING_MM,
  type CellText,
  type ColumnText,
  cell,
  heading,
  KNEELING,
  paragraph,
  TICK_BOX_MM,
  table,
} from "./page/make-blocks.ts";
import { flowOntoPages } from "./page/page-flow.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { placeOrder } from "./place-order.ts";
import { textWidthMm, type Weight } from "./type/text-metrics.ts";
import { CUT_MM, DEPTH_MM, KNEELING_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

export interface CutSubject {
  readonly job: Job;
  readonly plan: Plan;
  readonly depths: Depths;
  readonly words: Words;
}

export function composeCutTable(subject: CutSubject): SheetContent {
  const { job, plan, depths, words } = subject;
  const paper = SMALL_PAPER[job.paper];
  const frame = pageFrame(paper, "portrait");
  const width = frame.widthMm;
  const recut = height(job.pins.recutAt, job.units.height);
  const blocks: Block[] = [
    paragraph(words.cut.howTo(words.both(recut.large.text, recut.small.text)), width, KNEELING),
    paragraph(footNote(job, words), width, KNEELING),
    heading(words.cut.lines, width),
    ...lineTables(subject, width),
  ];
  for (const { roomIndex, pins } of placeOrder(plan, depths.pins)) {
    const room = plan.floors[roomIndex]!.name;
    blocks.push(
      heading(words.cut.route(room, words.pins(count(pins.length))), width),
      table(
        words.cut.captionPlace(room),
        columns(subject, width),
        pins.map((pin) => ({ cells: row(pin, subject) })),
        KNEELING_MM,
        TICK_BOX_MM + 1.2,
      ),
    );
  }
  const pages = withGuides(blocks, width, frame.heightMm, words).map((content) => ({
    paper,
    orientation: "portrait" as const,
    blocks: content,
  }));
  return { id: "cut-table", title: words.titles["cut-table"], sets: ["crew"], pages };
}

/** Of so few pages every one is soon seen. */
const FEW_PAGES = 4;

/** The blocks on pages; where there are many, each begins with the first and the last pin that stand on it. */
function withGuides(blocks: readonly Block[], widthMm: number, heightMm: number, words: Words): Block[][] {
  const pages = flowOntoPages(blocks, heightMm);
  if (pages.length <= FEW_PAGES) return pages;
  const guide = (first: string, last: string): Block =>
    paragraph(words.cut.onThisPage(first, last), widthMm, { ...KNEELING, weight: 700 });
  return flowOntoPages(blocks, heightMm - guide("", "").heightMm).map((content) => {
    const ids = content.flatMap((block) =>
      block.kind === "table" && block.columns.length === PIN_COLUMNS
        ? block.rows.map(({ cells }) => cells[0]?.lines[0]?.text ?? "")
        : [],
    );
    return ids.length === 0 ? content : [guide(ids[0] ?? "", ids.at(-1) ?? ""), ...content];
  });
}

export function footNote(job: Job, words: Words): string {
  const foot = height(job.pins.foot, job.units.height);
  return job.pins.scaleCountsFoot
    ? words.cut.footCounted
    : words.cut.footNotCounted(words.both(foot.large.text, foot.small.text));
}

/** Where every grid line is snapped, room by room. */
function lineTables({ job, plan, words }: CutSubject, width: number): Block[] {
  return plan.floors.flatMap((floor, roomIndex): Block[] => {
    const rows = plan.gridLines.flatMap((line) =>
      line.offsets
        .filter((offset) => offset.roomIndex === roomIndex)
        .map((offset) => {
          const printed = planLength(offset.distance, job.units.plan);
          const wall = floor.walls[offset.wallIndex]!;
          return {
            cells: [
              cell(line.name, DEPTH_MM, 700),
              cell(printed.large.text, DEPTH_MM, 700),
              cell(printed.small.text, DEPTH_MM),
              cell(words.wall(wall.side, wall.ordinal, wall.onlyOne), KNEELING_MM),
            ],
          };
        }),
    );
    if (rows.length === 0) return [];
    const { columns: names } = words.cut;
    return [
      heading(floor.name, width, 3),
      table(
        words.cut.captionLines(floor.name),
        [
          { heading: names.line, widthMm: width * 0.14, namesRow: true },
          { heading: names.distance, widthMm: width * 0.26, align: "end" },
          { heading: names.other, widthMm: width * 0.24, align: "end" },
          { heading: names.fromWall, widthMm: width * 0.36 },
        ],
        rows,
        KNEELING_MM,
      ),
    ];
  });
}

/** Pin, length in two units, place, and two boxes: no other table here has as many. */
const PIN_COLUMNS = 6;

/** Columns as wide as their longest id and length, so that no length is broken; the rest tells where the pin goes. */
function columns({ job, depths, words }: CutSubject, width: number): ColumnText[] {
  const { columns: names } = words.cut;
  const lengths = depths.pins.flatMap(({ cut }) => (cut.kind === "cut" ? [height(cut.length, job.units.height)] : []));
  const widest = (least: number, texts: readonly string[], sizeMm: number, weight: Weight): number =>
    Math.max(least, ...texts.map((text) => Math.ceil(textWidthMm(text, sizeMm, weight) + 2 * CELL_PADDING_MM)));
  const ids = depths.pins.map(({ pin }) => pin.id);
  const fixed = {
    pin: widest(14, ids, DEPTH_MM, 700),
    cut: widest(
      24,
      lengths.map(({ large }) => large.text),
      CUT_MM,
      700,
    ),
    other: widest(
      22,
      lengths.map(({ small }) => small.text),
      DEPTH_MM,
      400,
    ),
    check: widest(24, [names.check], KNEELING_MM, 700),
    placed: widest(16, [names.placed], KNEELING_MM, 700),
  };
  const where = width - Object.values(fixed).reduce((sum, one) => sum + one, 0);
  return [
    { heading: names.pin, widthMm: fixed.pin, namesRow: true },
    { heading: names.cut, widthMm: fixed.cut, align: "end" },
    { heading: names.otherShort, widthMm: fixed.other, align: "end" },
    { heading: names.where, widthMm: where },
    { heading: names.check, widthMm: fixed.check },
    { heading: names.placed, widthMm: fixed.placed },
  ];
}

function row(pin: PinDepth, subject: CutSubject): CellText[] {
  const { words } = subject;
  const [cut, other] = cutCells(pin, subject);
  return [
    cell(pin.pin.id, DEPTH_MM, 700),
    cut,
    other,
    { runs: where(pin, subject).map((text) => ({ text, sizeMm: KNEELING_MM })) },
    pin.checkOnTheDay ? BLANK_CELL : cell(words.cut.noCheck, KNEELING_MM),
    BLANK_CELL,
  ];
}

function cutCells(pin: PinDepth, { job, words }: CutSubject): [CellText, CellText] {
  switch (pin.cut.kind) {
    case "cut": {
      const printed = height(pin.cut.length, job.units.height);
      return [cell(printed.large.text, CUT_MM, 700), cell(printed.small.text, DEPTH_MM)];
    }
    case "after-grinding":
      return [BLANK_CELL, cell(words.cut.afterGrindingNote, KNEELING_MM)];
    case "too-short":
      return [cell(words.cut.tooShort, KNEELING_MM, 700), cell(words.cut.tooShortNote, KNEELING_MM)];
  }
}

/** How a pin is found: by its two lines, or by two offsets from walls. */
function where({ pin, from, ramp, toDrain }: PinDepth, { job, plan, words }: CutSubject): string[] {
  const found = pin.offsets
    ? pin.offsets.map((offset: WallOffset) => {
        const wall = plan.floors[offset.roomIndex]!.walls[offset.wallIndex]!;
        const printed = planLength(offset.distance, job.units.plan);
        return words.cut.offWall(
          words.wall(wall.side, wall.ordinal, wall.onlyOne),
          printed.large.text,
          printed.small.text,
        );
      })
    : [words.cut.onGrid];
  return [
    ...found,
    ...(ramp === undefined ? [] : [words.topOfPour.pinInRamp[ramp.laid](ramp.doorId)]),
    ...(toDrain ? [words.topOfPour.pinToDrain] : []),
    ...(from === "interpolated" ? [words.cut.interpolated] : []),
  ];
}
