/**
 * What stands on a page. Text comes broken into lines and every block has its height in mm, gap
 * below included, so that a browser has nothing left to lay out.
 */
import type { Drawing } from "../drawing.ts";
import type { Weight } from "../type/text-metrics.ts";

export type SignalWord = "danger" | "warning" | "caution" | "notice";

export interface Type {
  readonly sizeMm: number;
  readonly weight: Weight;
  /** Height of a line. */
  readonly leadingMm: number;
}

export interface TextRun extends Type {
  readonly text: string;
}

interface Height {
  readonly heightMm: number;
}

export interface HeadingBlock extends Height {
  readonly kind: "heading";
  readonly level: 2 | 3;
  readonly type: Type;
  readonly lines: readonly string[];
}

export interface TextBlock extends Height {
  readonly kind: "text";
  readonly type: Type;
  readonly lines: readonly string[];
}

export interface ListBlock extends Height {
  readonly kind: "list";
  readonly type: Type;
  readonly numbered: boolean;
  /** Number of the first item, where a list goes on from the page before. */
  readonly start: number;
  readonly items: readonly ListItem[];
}

export interface ListItem extends Height {
  readonly lines: readonly string[];
}

export interface SignalBlock extends Height {
  readonly kind: "signal";
  readonly signal: SignalWord;
  readonly type: Type;
  readonly word: string;
  readonly lines: readonly string[];
}

/** Values large, each with what it is. */
export interface FiguresBlock extends Height {
  readonly kind: "figures";
  readonly labelType: Type;
  readonly valueType: Type;
  readonly secondType: Type;
  readonly columnWidthMm: number;
  readonly rowHeightMm: number;
  readonly figures: readonly Figure[];
}

export interface Figure {
  readonly label: readonly string[];
  readonly value: string;
  readonly second?: string;
}

export interface TableBlock extends Height {
  readonly kind: "table";
  /** Said by a screen reader; not printed. */
  readonly caption: string;
  readonly columns: readonly TableColumn[];
  readonly headHeightMm: number;
  readonly headType: Type;
  readonly rows: readonly TableRow[];
}

export interface TableColumn {
  readonly heading: readonly string[];
  readonly widthMm: number;
  readonly align: "start" | "end" | "middle";
  /** The cells of this column name their rows. */
  readonly namesRow: boolean;
}

export interface TableRow extends Height {
  /** A row of sums is set off by a heavier line. */
  readonly sum: boolean;
  readonly cells: readonly TableCell[];
}

export interface TableCell {
  readonly lines: readonly TextRun[];
  /** A place to write in, at least 8 mm high: it has a frame. */
  readonly blank: boolean;
}

/** Questions answered with a value and a tick: pause cards, readiness. */
export interface ChecksBlock extends Height {
  readonly kind: "checks";
  readonly type: Type;
  readonly answerWidthMm: number;
  readonly items: readonly CheckItem[];
}

export interface CheckItem extends Height {
  readonly number: string;
  readonly lines: readonly string[];
  /** What stands behind the blank, such as a unit; the blank starts empty. */
  readonly unit: string;
  /** The value that is wanted, printed before the blank. */
  readonly wanted: string;
}

/** Lines to write on, each after its label. */
export interface BlanksBlock extends Height {
  readonly kind: "blanks";
  readonly type: Type;
  readonly labelWidthMm: number;
  readonly rowHeightMm: number;
  readonly labels: readonly string[];
}

export interface DrawingBlock extends Height {
  readonly kind: "drawing";
  readonly drawing: Drawing;
}

/** A code that a phone reads, as an SVG path over a square grid of `modules`. */
export interface CodeBlock extends Height {
  readonly kind: "code";
  readonly path: string;
  readonly modules: number;
  readonly sizeMm: number;
  readonly caption: readonly string[];
  readonly type: Type;
}

export type Block =
  | HeadingBlock
  | TextBlock
  | ListBlock
  | SignalBlock
  | FiguresBlock
  | TableBlock
  | ChecksBlock
  | BlanksBlock
  | DrawingBlock
  | CodeBlock;
