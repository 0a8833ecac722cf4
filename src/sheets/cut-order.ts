/** All pins of one length together, and each length drawn at true size to cut against. */
import type { PinDepth } from "../depths/model.ts";
import { count, fineHeight, height } from "../format.ts";
import type { HeightUnit } from "../job/model.ts";
import { MM_PER_INCH } from "../units.ts";
import { type CutSubject, footNote } from "./cut-table.ts";
import { type Drawing, line, type Mark, text } from "./drawing.ts";
import { CHECK_LENGTH_MM, checkBar } from "./map/map-panel.ts";
import type { SheetContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { needsOf } from "./page/column-widths.ts";
import { cell, drawingBlock, heading, KNEELING, paragraph, table } from "./page/make-blocks.ts";
import { flowOntoPages } from "./page/page-flow.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { textWidthMm } from "./type/text-metrics.ts";
import { CUT_MM, DEPTH_MM, KNEELING_MM } from "./type/type-sizes.ts";

interface LengthGroup {
  readonly large: string;
  readonly small: string;
  /** The length as printed in the governing unit, in mm. */
  readonly lengthMm: number;
  readonly pins: readonly PinDepth[];
}

/** What is cut: the printed length, a whole millimetre or sixteenth of an inch. */
const asPrinted = (lengthMm: number, unit: HeightUnit): number =>
  unit === "mm" ? Math.round(lengthMm) : (Math.round((lengthMm / MM_PER_INCH) * 16) / 16) * MM_PER_INCH;

/** Pins grouped by the cut length printed for them, shortest first. */
export function lengthGroups(pins: readonly PinDepth[], unit: HeightUnit): LengthGroup[] {
  const groups = new Map<string, PinDepth[]>();
  const cuts = pins.flatMap((pin) => (pin.cut.kind === "cut" ? [{ pin, length: pin.cut.length }] : []));
  cuts.sort((p, q) => p.length - q.length);
  for (const { pin, length } of cuts) {
    const name = height(length, unit).large.text;
    const group = groups.get(name);
    if (group) group.push(pin);
    else groups.set(name, [pin]);
  }
  return [...groups].map(([large, members]) => {
    const first = members[0]!.cut;
    const lengthMm = asPrinted(first.kind === "cut" ? first.length : 0, unit);
    return { large, small: height(lengthMm, unit).small.text, lengthMm, pins: members };
  });
}

/** A row is not parted over pages, and is ticked off as one: more pins of a length than this take another row. */
const MOST_PINS_IN_A_ROW = 40;
const LEAST_COLUMNS_MM = [32, 32, 20] as const;

const inRows = (pins: readonly PinDepth[]): (readonly PinDepth[])[] =>
  Array.from({ length: Math.ceil(pins.length / MOST_PINS_IN_A_ROW) }, (_, k) =>
    pins.slice(k * MOST_PINS_IN_A_ROW, (k + 1) * MOST_PINS_IN_A_ROW),
  );

export function composeCutOrder(subject: CutSubject): SheetContent {
  const { job, depths, words } = subject;
  const paper = SMALL_PAPER[job.paper];
  const frame = pageFrame(paper, "portrait");
  const width = frame.widthMm;
  const unit = job.units.height;
  const groups = lengthGroups(depths.pins, unit);
  const { columns: names } = words.cut;
  const blocks: Block[] = [paragraph(footNote(job, words), width, KNEELING), heading(words.cut.cutOrder, width)];
  const rows = groups.flatMap((group) =>
    inRows(group.pins).map((pins) => [
      cell(group.large, CUT_MM, 700),
      cell(group.small, DEPTH_MM),
      cell(count(pins.length), DEPTH_MM),
      cell(words.listOf(pins.map(({ pin }) => pin.id)), KNEELING_MM),
    ]),
  );
  const others = depths.pins.filter(({ cut }) => cut.kind !== "cut");
  if (rows.length > 0) {
    const headings = [names.cut, names.other, names.count].map((name) => ({ heading: name }));
    // A fraction of an inch is never broken over two lines; the list of pins takes what is left.
    const [cutMm, otherMm, countMm] = needsOf(headings, rows, KNEELING_MM).map((need, k) =>
      Math.max(LEAST_COLUMNS_MM[k] as number, Math.ceil(need)),
    ) as [number, number, number];
    blocks.push(
      table(
        words.cut.captionCut,
        [
          { heading: names.cut, widthMm: cutMm, align: "end", namesRow: true },
          { heading: names.other, widthMm: otherMm, align: "end" },
          { heading: names.count, widthMm: countMm, align: "end" },
          { heading: names.which, widthMm: width - cutMm - otherMm - countMm },
        ],
        rows.map((cells) => ({ cells })),
        KNEELING_MM,
      ),
    );
  }
  if (others.length > 0) {
    blocks.push(
      heading(words.cut.noCuts, width),
      paragraph(words.listOf(others.map(({ pin }) => pin.id)), width, KNEELING),
    );
  }
  const listPages = flowOntoPages(blocks, frame.heightMm);
  const stripPages = stripDrawings(subject, groups, width, frame.heightMm);
  const pages = [...listPages, ...stripPages].map((content) => ({
    paper,
    orientation: "portrait" as const,
    blocks: content,
  }));
  return { id: "cut-order", title: words.titles["cut-order"], sets: ["crew"], pages };
}

const LEAST_STRIP_COLUMN_MM = 30;
/** From the left of its column to a strip and what is printed below it. */
const STRIP_INDENT_MM = 3;
const STRIP_LABEL_MM = 20;

/** Pages of strips that stand side by side on a heavy base line, longest last. */
function stripDrawings(
  { job, words }: CutSubject,
  groups: readonly LengthGroup[],
  width: number,
  pageHeight: number,
): Block[][] {
  if (groups.length === 0) return [];
  const unit = job.units.height;
  const checkMm = CHECK_LENGTH_MM[job.paper];
  const checkText = fineHeight(checkMm, job.paper === "letter" ? "in" : "mm");
  const intro: Block[] = [heading(words.cut.strips, width), paragraph(words.cut.stripsHowTo, width, KNEELING)];
  const introMm = intro.reduce((sum, block) => sum + block.heightMm, 0);
  const roomMm = pageHeight - introMm;
  const checkMarks: Mark[] = [
    ...checkBar(0, 1, checkMm),
    text(checkMm + 3, 5.5, words.cut.stripCheck(words.both(checkText.large.text, checkText.small.text)), KNEELING_MM),
  ];
  const widest = Math.max(...groups.map(({ large }) => textWidthMm(large, CUT_MM, 700)));
  const columnMm = Math.max(LEAST_STRIP_COLUMN_MM, STRIP_INDENT_MM + Math.ceil(widest) + 1);
  const perRow = Math.floor(width / columnMm);
  const longest = roomMm - 12 - STRIP_LABEL_MM;
  const fitting = groups.filter(({ lengthMm }) => lengthMm <= longest);
  const rows: LengthGroup[][] = [];
  for (let k = 0; k < fitting.length; k += perRow) rows.push(fitting.slice(k, k + perRow));
  const pages: { marks: Mark[]; used: number; count: number }[] = [];
  for (const row of rows) {
    const tallest = Math.max(...row.map(({ lengthMm }) => lengthMm));
    const rowMm = tallest + STRIP_LABEL_MM + 5;
    let page = pages.at(-1);
    if (!page || page.used + rowMm > roomMm) {
      page = { marks: [...checkMarks], used: 12, count: 0 };
      pages.push(page);
    }
    const base = page.used + tallest + 4;
    row.forEach((group, index) => {
      page.marks.push(...strip(group, index * columnMm, base, unit, words.pins(count(group.pins.length))));
    });
    page.marks.push(line({ x: 0, y: base }, { x: row.length * columnMm, y: base }, "outline"));
    page.used += rowMm;
    page.count += row.length;
  }
  const made = pages.map((page, index): Block[] => {
    const drawing: Drawing = {
      id: `strips-${index + 1}`,
      widthMm: width,
      heightMm: Math.round(page.used * 100) / 100,
      title: words.cut.stripTitle,
      description: words.cut.stripDescription(count(page.count)),
      layers: [{ name: "strips", marks: page.marks }],
    };
    return [...intro, drawingBlock(drawing)];
  });
  if (fitting.length < groups.length) {
    const limit = height(longest, unit);
    made.push([
      heading(words.cut.strips, width),
      paragraph(words.cut.stripTooLong(words.both(limit.large.text, limit.small.text)), width, KNEELING),
    ]);
  }
  return made;
}

/** One strip from the base line up: marks every 5 mm, or 1/4 in, and a heavy top at its length. */
function strip(group: LengthGroup, x: number, base: number, unit: HeightUnit, pins: string): Mark[] {
  const [left, right] = [x + STRIP_INDENT_MM, x + STRIP_INDENT_MM + 12];
  const top = base - group.lengthMm;
  const marks: Mark[] = [
    line({ x: left, y: top }, { x: right, y: top }, "bar"),
    line({ x: left, y: base }, { x: left, y: top }, "fine"),
    line({ x: right, y: base }, { x: right, y: top }, "fine"),
  ];
  const step = unit === "mm" ? 5 : MM_PER_INCH / 4;
  for (let k = 1; k * step < group.lengthMm - 0.3; k++) {
    const long = unit === "mm" ? k % 2 === 0 : k % 4 === 0;
    marks.push(line({ x: left, y: base - k * step }, { x: left + (long ? 4.5 : 2.5), y: base - k * step }, "fine"));
  }
  marks.push(
    text(left, base + 7, group.large, CUT_MM, "start", 700),
    text(left, base + 13.4, group.small, DEPTH_MM),
    text(left, base + 19, pins, KNEELING_MM),
  );
  return marks;
}
