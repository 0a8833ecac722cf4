/** Plots of what an archive says: ranges on one axis, and values over a quantity. Drawn narrow, for a phone's width. */
import { decimal } from "../format.ts";
import { box, circle, type Drawing, line, type Mark, onPaper, pathThrough, text } from "../sheets/drawing.ts";
import { roundAxis } from "../sheets/trade-off-plot.ts";

/** Of the drawing; a page scales it to its own width, and its letters with it. */
const WIDTH_MM = 100;
const LETTER_MM = 3.6;
const SMALL_MM = 3.2;
const MARGIN_MM = 3;
const ROW_MM = 13;
const DOT_MM = 1.1;

export interface RangeRow {
  readonly label: string;
  /** Beside the label, such as `5.1 % ± 0.4 %, 23 jobs`. */
  readonly text: string;
  readonly value: number;
  readonly from: number;
  readonly to: number;
  /** Another value on the same line, such as that of the data sheet: a hollow box. */
  readonly other?: number;
}

export interface RangePlot {
  readonly id: string;
  readonly title: string;
  readonly description: string;
  readonly rows: readonly RangeRow[];
  /** A line through all rows, such as at 1. */
  readonly reference?: number;
  /** Text of a tick. */
  readonly tick: (value: number) => string;
  readonly axisTitle: string;
}

/** One line a row: its name above, a dot with a bar from end to end. */
export function rangePlot({ id, title, description, rows, reference, tick, axisTitle }: RangePlot): Drawing {
  const all = rows.flatMap(({ value, from, to, other }) => [value, from, to, ...(other === undefined ? [] : [other])]);
  const ends = reference === undefined ? all : [...all, reference];
  const axis = roundAxis(Math.min(...ends), Math.max(...ends));
  const x = scaleOf(axis.least, axis.greatest, MARGIN_MM + 4, WIDTH_MM - MARGIN_MM - 6);
  const bottom = rows.length * ROW_MM + 2;
  const marks: Mark[] = [];
  const labels: Mark[] = [];
  for (const value of axis.ticks) {
    marks.push(line({ x: x(value), y: 0 }, { x: x(value), y: bottom }, "contour"));
    labels.push(text(x(value), bottom + LETTER_MM, tick(value), SMALL_MM, "middle"));
  }
  if (reference !== undefined) marks.push(line({ x: x(reference), y: 0 }, { x: x(reference), y: bottom }, "grid-line"));
  for (const [k, row] of rows.entries()) {
    const y = k * ROW_MM + 9.5;
    labels.push(text(MARGIN_MM, k * ROW_MM + LETTER_MM + 1, row.label, LETTER_MM, "start", 700));
    labels.push(text(WIDTH_MM - MARGIN_MM, k * ROW_MM + LETTER_MM + 1, row.text, SMALL_MM, "end"));
    marks.push(line({ x: x(row.from), y }, { x: x(row.to), y }, "outline"));
    for (const end of [row.from, row.to])
      marks.push(line({ x: x(end), y: y - 1.2 }, { x: x(end), y: y + 1.2 }, "outline"));
    if (row.other !== undefined) marks.push(box(x(row.other) - 1.3, y - 1.3, 2.6, 2.6, "hollow"));
    marks.push(circle(x(row.value), y, DOT_MM, "solid"));
  }
  labels.push(text(WIDTH_MM / 2, bottom + 2.6 * LETTER_MM, axisTitle, SMALL_MM, "middle"));
  return {
    id,
    widthMm: WIDTH_MM,
    heightMm: onPaper(bottom + 3.2 * LETTER_MM),
    title,
    description,
    layers: [
      { name: "axis and ranges", marks },
      { name: "labels", marks: labels },
    ],
  };
}

export interface ScatterPoint {
  readonly x: number;
  readonly value: number;
  readonly sd: number;
  /** Index of its series. */
  readonly series: number;
}

export interface ScatterPlot {
  readonly id: string;
  readonly title: string;
  readonly description: string;
  readonly points: readonly ScatterPoint[];
  /** Straight lines of the fit, one a series, over its own x. */
  readonly lines: readonly {
    readonly series: number;
    readonly from: [number, number];
    readonly to: [number, number];
  }[];
  readonly seriesNames: readonly string[];
  readonly xTitle: string;
  readonly yTitle: string;
  readonly yTick: (value: number) => string;
}

const PLOT_MM = 62;

export function scatterPlot(plot: ScatterPlot): Drawing {
  const { id, title, description, points, lines, seriesNames, xTitle, yTitle, yTick } = plot;
  const xs = points.map((point) => point.x);
  const ends = points.flatMap(({ value, sd }) => [value - sd, value + sd]);
  const [across, up] = [roundAxis(Math.min(...xs), Math.max(...xs)), roundAxis(Math.min(...ends), Math.max(...ends))];
  const top = LETTER_MM + 3;
  const x = scaleOf(across.least, across.greatest, 16, WIDTH_MM - MARGIN_MM - 2);
  const y = scaleOf(up.least, up.greatest, top + PLOT_MM, top);
  const marks: Mark[] = [];
  const labels: Mark[] = [text(MARGIN_MM, LETTER_MM, yTitle, SMALL_MM, "start", 700)];
  for (const value of up.ticks) {
    marks.push(line({ x: x(across.least), y: y(value) }, { x: x(across.greatest), y: y(value) }, "contour"));
    labels.push(text(14.5, y(value) + SMALL_MM * 0.35, yTick(value), SMALL_MM, "end"));
  }
  for (const value of across.ticks)
    labels.push(
      text(
        x(value),
        top + PLOT_MM + LETTER_MM + 0.6,
        decimal(value, Number.isInteger(value) ? 0 : 1),
        SMALL_MM,
        "middle",
      ),
    );
  marks.push(box(x(across.least), top, x(across.greatest) - x(across.least), PLOT_MM, "frame"));
  for (const { from, to, series } of lines)
    marks.push({
      kind: "path",
      d: pathThrough(
        [from, to].map(([at, value]) => ({ x: x(at), y: y(value) })),
        false,
      ),
      // Told apart as the points are, without colour.
      style: series % 2 === 0 ? "outline" : "dash",
    });
  for (const point of points) {
    marks.push(
      line({ x: x(point.x), y: y(point.value - point.sd) }, { x: x(point.x), y: y(point.value + point.sd) }, "fine"),
    );
    marks.push(...symbol(x(point.x), y(point.value), point.series));
  }
  const legendTop = top + PLOT_MM + 2.9 * LETTER_MM;
  labels.push(
    text((x(across.least) + x(across.greatest)) / 2, legendTop - 0.4 * LETTER_MM, xTitle, SMALL_MM, "middle"),
  );
  for (const [k, name] of seriesNames.entries()) {
    const at = legendTop + 1.5 * LETTER_MM * (k + 0.5);
    marks.push(...symbol(MARGIN_MM + 2, at, k));
    labels.push(text(MARGIN_MM + 6, at + SMALL_MM * 0.35, name, SMALL_MM));
  }
  return {
    id,
    widthMm: WIDTH_MM,
    heightMm: onPaper(legendTop + 1.5 * LETTER_MM * seriesNames.length + 2),
    title,
    description,
    layers: [
      { name: "axes and values", marks },
      { name: "labels", marks: labels },
    ],
  };
}

/** Told apart without colour: filled and hollow dots, filled and hollow boxes, a cross; then round again. */
function symbol(x: number, y: number, series: number): Mark[] {
  switch (series % 5) {
    case 0:
      return [circle(x, y, DOT_MM, "solid")];
    case 1:
      return [circle(x, y, DOT_MM, "hollow")];
    case 2:
      return [box(x - DOT_MM, y - DOT_MM, 2 * DOT_MM, 2 * DOT_MM, "solid")];
    case 3:
      return [box(x - DOT_MM, y - DOT_MM, 2 * DOT_MM, 2 * DOT_MM, "hollow")];
    default:
      return [
        line({ x: x - DOT_MM, y: y - DOT_MM }, { x: x + DOT_MM, y: y + DOT_MM }, "outline"),
        line({ x: x - DOT_MM, y: y + DOT_MM }, { x: x + DOT_MM, y: y - DOT_MM }, "outline"),
      ];
  }
}

const scaleOf =
  (least: number, greatest: number, from: number, to: number) =>
  (value: number): number =>
    onPaper(from + ((to - from) * (value - least)) / (greatest - least));
