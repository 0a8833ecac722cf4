/** Sets text into blocks: breaks lines by the font's widths and gives every block its height. */
import type { Drawing } from "../drawing.ts";
import { textWidthMm, type Weight, wrapText } from "../type/text-metrics.ts";
import { DESK_MM, HEADING_LEADING, HEADING_MM, KNEELING_MM, LEADING, READING_MM } from "../type/type-sizes.ts";
import type {
  BlanksBlock,
  CheckItem,
  ChecksBlock,
  DrawingBlock,
  Figure,
  FiguresBlock,
  HeadingBlock,
  ListBlock,
  SignalBlock,
  SignalWord,
  TableBlock,
  TableCell,
  TableColumn,
  TableRow,
  TextBlock,
  TextRun,
  Type,
} from "./blocks.ts";

const round = (mm: number): number => Math.round(mm * 100) / 100;

export const type = (sizeMm: number, weight: Weight = 400, leading: number = LEADING): Type => ({
  sizeMm,
  weight,
  leadingMm: round(sizeMm * leading),
});

export const READING = type(READING_MM);
export const DESK = type(DESK_MM);
export const KNEELING = type(KNEELING_MM);

/** Paper between blocks; part of the height of the block above it. */
export const GAP_MM = 3;
const LIST_INDENT_EM = 1.6;
const ITEM_GAP_MM = 1.2;
/** Round the text of a cell. */
export const CELL_PADDING_MM = 1.2;
/** The side of a box that takes a mark of a wet-erase pen. */
export const TICK_BOX_MM = 8.5;

export function heading(content: string, widthMm: number, level: 2 | 3 = 2): HeadingBlock {
  const set = type(level === 2 ? HEADING_MM : READING_MM, 700, HEADING_LEADING);
  const lines = wrapText(content, widthMm, set.sizeMm, 700);
  return { kind: "heading", level, type: set, lines, heightMm: round(lines.length * set.leadingMm + 2) };
}

export function paragraph(content: string, widthMm: number, set: Type): TextBlock {
  const lines = wrapText(content, widthMm, set.sizeMm, set.weight);
  return { kind: "text", type: set, lines, heightMm: round(lines.length * set.leadingMm + GAP_MM) };
}

export function list(items: readonly string[], widthMm: number, set: Type, numbered = false): ListBlock {
  const set2 = items.map((item) => {
    const lines = wrapText(item, widthMm - LIST_INDENT_EM * set.sizeMm, set.sizeMm, set.weight);
    return { lines, heightMm: round(lines.length * set.leadingMm + ITEM_GAP_MM) };
  });
  return {
    kind: "list",
    type: set,
    numbered,
    start: 1,
    items: set2,
    heightMm: round(set2.reduce((sum, item) => sum + item.heightMm, 0) + GAP_MM),
  };
}

const SIGNAL_PADDING_MM = 2;
const SIGNAL_FRAME_MM = 0.7;

export function signal(
  kind: SignalWord,
  word: string,
  content: string,
  widthMm: number,
  set: Type = READING,
): SignalBlock {
  const lines = wrapText(content, widthMm - 2 * (SIGNAL_PADDING_MM + SIGNAL_FRAME_MM) - 1, set.sizeMm, set.weight);
  const height = (lines.length + 1) * set.leadingMm + 2 * (SIGNAL_PADDING_MM + SIGNAL_FRAME_MM);
  return { kind: "signal", signal: kind, type: set, word, lines, heightMm: round(height + GAP_MM) };
}

export interface FigureText {
  readonly label: string;
  readonly value: string;
  readonly second?: string;
}

/** Figures in a grid of `columns`, the value at `valueMm`, its label and the other unit below. */
export function figures(
  items: readonly FigureText[],
  widthMm: number,
  columns: number,
  valueMm: number,
  labelMm: number,
): FiguresBlock {
  const columnWidthMm = Math.floor((widthMm / columns) * 100) / 100;
  const labelType = type(labelMm);
  const valueType = type(valueMm, 700, HEADING_LEADING);
  const secondType = type(labelMm, 700);
  const set: Figure[] = items.map(({ label, value, second }) => ({
    label: wrapText(label, columnWidthMm - 4, labelMm),
    value,
    ...(second === undefined ? {} : { second }),
  }));
  const labelLines = Math.max(...set.map((figure) => figure.label.length));
  const hasSecond = set.some((figure) => figure.second !== undefined);
  const rowHeightMm = round(
    labelLines * labelType.leadingMm + valueType.leadingMm + (hasSecond ? secondType.leadingMm : 0) + 3,
  );
  const rows = Math.ceil(items.length / columns);
  return {
    kind: "figures",
    labelType,
    valueType,
    secondType,
    columnWidthMm,
    rowHeightMm,
    figures: set,
    heightMm: round(rows * rowHeightMm + GAP_MM),
  };
}

export interface ColumnText {
  readonly heading: string;
  readonly widthMm: number;
  readonly align?: TableColumn["align"];
  readonly namesRow?: boolean;
}

export interface CellText {
  readonly runs: readonly { readonly text: string; readonly sizeMm: number; readonly weight?: Weight }[];
  readonly blank?: boolean;
}

export const cell = (content: string, sizeMm: number, weight: Weight = 400): CellText => ({
  runs: [{ text: content, sizeMm, weight }],
});
/** A cell to write in. */
export const BLANK_CELL: CellText = { runs: [], blank: true };

/** Sets a table: wraps every cell into its column and makes each row as high as its highest cell needs. */
export function table(
  caption: string,
  columnTexts: readonly ColumnText[],
  rowTexts: readonly { readonly cells: readonly CellText[]; readonly sum?: boolean }[],
  headMm: number,
  leastRowMm = 0,
): TableBlock {
  const headType = type(headMm, 700, HEADING_LEADING);
  const columns: TableColumn[] = columnTexts.map((column) => ({
    heading: wrapText(column.heading, column.widthMm - 2 * CELL_PADDING_MM, headMm, 700),
    widthMm: round(column.widthMm),
    align: column.align ?? "start",
    namesRow: column.namesRow ?? false,
  }));
  const rows: TableRow[] = rowTexts.map((row) => {
    const cells: TableCell[] = row.cells.map((content, index) => {
      const width = (columns[index] as TableColumn).widthMm - 2 * CELL_PADDING_MM;
      const lines = content.runs.flatMap((run): TextRun[] => {
        const weight = run.weight ?? 400;
        return wrapText(run.text, width, run.sizeMm, weight).map((lineText) => ({
          text: lineText,
          ...type(run.sizeMm, weight, HEADING_LEADING),
        }));
      });
      return { lines, blank: content.blank ?? false };
    });
    const textHeight = Math.max(0, ...cells.map((one) => one.lines.reduce((sum, run) => sum + run.leadingMm, 0)));
    const blankHeight = cells.some((one) => one.blank) ? TICK_BOX_MM : 0;
    return {
      cells,
      sum: row.sum ?? false,
      heightMm: round(Math.max(leastRowMm, blankHeight, textHeight + 2 * CELL_PADDING_MM)),
    };
  });
  const headLines = Math.max(...columns.map((column) => column.heading.length));
  const headHeightMm = round(headLines * headType.leadingMm + 2 * CELL_PADDING_MM);
  return withRows({ kind: "table", caption, columns, headHeightMm, headType, rows, heightMm: 0 }, rows);
}

/** The same table with other rows, its height made to fit. */
export function withRows(block: TableBlock, rows: readonly TableRow[]): TableBlock {
  const height = rows.reduce((sum, row) => sum + row.heightMm, block.headHeightMm);
  return { ...block, rows, heightMm: round(height + GAP_MM) };
}

export interface CheckText {
  readonly text: string;
  /** The value wanted; empty where it is only measured. */
  readonly wanted: string;
  readonly unit: string;
}

/**
 * Numbered checks, each with what is wanted and a framed blank for the value found.
 * @param leastAnswerMm width kept for the answers; more where a value that is wanted is wider.
 */
export function checks(items: readonly CheckText[], widthMm: number, set: Type, leastAnswerMm: number): ChecksBlock {
  const numberWidth = 2.2 * set.sizeMm;
  const widestMm = Math.max(...items.map(({ wanted }) => textWidthMm(wanted, set.sizeMm, 700)));
  const answerWidthMm = Math.max(leastAnswerMm, Math.ceil(widestMm));
  const made: CheckItem[] = items.map((item, index) => {
    const lines = wrapText(item.text, widthMm - numberWidth - answerWidthMm - 3, set.sizeMm, set.weight);
    const answerLines = item.wanted === "" ? 0 : 1;
    const height = Math.max(lines.length * set.leadingMm, answerLines * set.leadingMm + TICK_BOX_MM + 1);
    return { number: String(index + 1), lines, wanted: item.wanted, unit: item.unit, heightMm: round(height + 3) };
  });
  return {
    kind: "checks",
    type: set,
    answerWidthMm,
    items: made,
    heightMm: round(made.reduce((sum, item) => sum + item.heightMm, 0) + GAP_MM),
  };
}

export function blanks(labels: readonly string[], labelWidthMm: number, set: Type, rowHeightMm = 10): BlanksBlock {
  const longest = Math.max(...labels.map((label) => textWidthMm(label, set.sizeMm, set.weight)));
  return {
    kind: "blanks",
    type: set,
    labelWidthMm: round(Math.max(labelWidthMm, longest + 0.5)),
    rowHeightMm,
    labels,
    heightMm: round(labels.length * rowHeightMm + GAP_MM),
  };
}

export const drawingBlock = (drawing: Drawing): DrawingBlock => ({
  kind: "drawing",
  drawing,
  heightMm: drawing.heightMm,
});
