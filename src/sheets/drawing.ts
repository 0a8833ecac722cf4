/**
 * A drawing: layers of marks in mm of paper, x to the right, y down, in the order of drawing.
 * It is plain data; a macro turns it into SVG mark by mark.
 */
import type { Weight } from "./type/text-metrics.ts";

/** How a mark looks. The stylesheet gives line weights and greys by these names. */
export type MarkStyle =
  | "outline"
  | "wall-line"
  | "column"
  | "opening"
  | "door"
  | "door-swing"
  | "entrance"
  | "grid-line"
  | "match-line"
  | "hose"
  | "hose-end"
  | "contour"
  | "contour-index"
  | "tint-1"
  | "tint-2"
  | "tint-3"
  | "hatch"
  | "high-spot"
  | "high-spot-hatch"
  | "pin"
  | "pin-interpolated"
  | "reading-point"
  | "blank-box"
  | "bench-mark"
  | "leader"
  | "label-box"
  | "frame"
  | "fine"
  | "hollow"
  | "dash"
  | "solid"
  | "bar"
  | "bay-edge"
  | "bay-arrow"
  | "dam";

export type Mark =
  | {
      readonly kind: "path";
      readonly d: string;
      readonly style: MarkStyle;
      /** How far the whole path is moved. */
      readonly shift?: PaperPoint;
    }
  | { readonly kind: "circle"; readonly x: number; readonly y: number; readonly r: number; readonly style: MarkStyle }
  | {
      readonly kind: "box";
      readonly x: number;
      readonly y: number;
      readonly width: number;
      readonly height: number;
      readonly style: MarkStyle;
    }
  | TextMark;

export interface TextMark {
  readonly kind: "text";
  /** Of the baseline, at the anchor. */
  readonly x: number;
  readonly y: number;
  readonly text: string;
  readonly sizeMm: number;
  readonly weight: Weight;
  readonly anchor: "start" | "middle" | "end";
  /** Degrees counter-clockwise about (x, y): 0, or 90 for uphill text. */
  readonly turned: 0 | 90;
  /** Set on the id of a pin: its cut length and the other unit, or what is to be done first, are the next texts. */
  readonly role?: "pin-id";
}

export interface Layer {
  readonly name: string;
  readonly marks: readonly Mark[];
}

export interface Drawing {
  /** Unique among the drawings of a job. */
  readonly id: string;
  readonly widthMm: number;
  readonly heightMm: number;
  /** What a screen reader says of it. */
  readonly title: string;
  readonly description: string;
  readonly layers: readonly Layer[];
}

/** Coordinates are printed to a hundredth of a millimetre: well under a printer's dot. */
export const onPaper = (value: number): number => {
  const rounded = Math.round(value * 100) / 100;
  return rounded === 0 ? 0 : rounded;
};

export interface PaperPoint {
  readonly x: number;
  readonly y: number;
}

/** An SVG path through points; closed for a ring. */
export function pathThrough(points: readonly PaperPoint[], closed: boolean): string {
  if (points.length === 0) return "";
  const steps = points.map(({ x, y }, index) => `${index === 0 ? "M" : "L"}${onPaper(x)} ${onPaper(y)}`);
  return `${steps.join("")}${closed ? "Z" : ""}`;
}

export const text = (
  x: number,
  y: number,
  content: string,
  sizeMm: number,
  anchor: TextMark["anchor"] = "start",
  weight: Weight = 400,
  turned: TextMark["turned"] = 0,
): TextMark => ({
  kind: "text",
  x: onPaper(x),
  y: onPaper(y),
  text: content,
  sizeMm,
  weight,
  anchor,
  turned,
});

export const line = (from: PaperPoint, to: PaperPoint, style: MarkStyle): Mark => ({
  kind: "path",
  d: pathThrough([from, to], false),
  style,
});

export const box = (x: number, y: number, width: number, height: number, style: MarkStyle): Mark => ({
  kind: "box",
  x: onPaper(x),
  y: onPaper(y),
  width: onPaper(width),
  height: onPaper(height),
  style,
});

export const circle = (x: number, y: number, r: number, style: MarkStyle): Mark => ({
  kind: "circle",
  x: onPaper(x),
  y: onPaper(y),
  r: onPaper(r),
  style,
});

/** The mark moved by (x, y). */
export function shifted(mark: Mark, x: number, y: number): Mark {
  if (mark.kind === "path") {
    const before = mark.shift ?? { x: 0, y: 0 };
    return { ...mark, shift: { x: onPaper(before.x + x), y: onPaper(before.y + y) } };
  }
  return { ...mark, x: onPaper(mark.x + x), y: onPaper(mark.y + y) };
}
