/** Readings that stand in rows, with nothing but floor between them; and the sample lines among such rows. */
import type { SourcePlace } from "../diagnostics.ts";
import type { Point } from "../geometry/point.ts";
import type { SampleLine } from "../job/contract-model.ts";
import type { Plan, RoomFloor } from "../layout/model.ts";
import { FEWEST_ON_LINE, INCH_METHOD, METRIC_METHOD } from "./f-numbers.ts";
import type { NoisyLevels } from "./level-noise.ts";
import { edgesOf, onFloor } from "./line-conditions.ts";

/** Places along the row, metres, rising, and the index of each reading. */
export interface ReadingRow {
  readonly alongM: readonly number[];
  readonly indices: readonly number[];
}

/** Readings this near to one chalk line, in metres, are in one row. */
const ROW_M = 0.01;
/** Steps from reading to reading may differ from 12 in or 300 mm by this: less than what lies between the two. */
const STEP_M = 0.002;

/** The rows that run east, or north. A row ends at a wall, a column or an opening, and begins again past it. */
export function rowsOf(
  points: readonly { readonly at: Point }[],
  floors: readonly RoomFloor[],
  direction: "east" | "north",
): ReadingRow[] {
  const along = (index: number): number => (direction === "east" ? points[index]!.at.x : points[index]!.at.y);
  const across = (index: number): number => (direction === "east" ? points[index]!.at.y : points[index]!.at.x);
  const edges = edgesOf(floors);
  const joined = (a: number, b: number): boolean => onFloor([points[a]!.at, points[b]!.at], floors, edges);
  const order = points.map((_, index) => index).sort((a, b) => across(a) - across(b) || along(a) - along(b));
  const rows: ReadingRow[] = [];
  for (let begin = 0; begin < order.length; ) {
    let end = begin + 1;
    while (end < order.length && across(order[end]!) - across(order[begin]!) <= ROW_M) end++;
    const inRow = order.slice(begin, end).sort((a, b) => along(a) - along(b));
    for (const indices of brokenWhere(inRow, (a, b) => !joined(a, b))) {
      rows.push({ alongM: indices.map(along), indices });
    }
    begin = end;
  }
  return rows;
}

function brokenWhere(indices: readonly number[], breaks: (a: number, b: number) => boolean): number[][] {
  const pieces: number[][] = [];
  for (const index of indices) {
    const piece = pieces.at(-1);
    const last = piece?.at(-1);
    if (piece === undefined || last === undefined || breaks(last, index)) pieces.push([index]);
    else piece.push(index);
  }
  return pieces;
}

/**
 * Rows of the grid that were read every 12 in or 300 mm are sample lines: their levels come from the
 * adjusted survey. The noise is each reading's own, without what its set-up shares.
 */
export function linesAmongRows(levels: NoisyLevels, plan: Plan, place: SourcePlace): SampleLine[] {
  const { points, covariance } = levels;
  const rows = [...rowsOf(points, plan.floors, "east"), ...rowsOf(points, plan.floors, "north")];
  return [INCH_METHOD, METRIC_METHOD].flatMap(({ spacing }) =>
    rows.flatMap(({ alongM, indices }) => {
      const alongOf = new Map(indices.map((index, k) => [index, alongM[k]!]));
      const uneven = (a: number, b: number) => Math.abs(alongOf.get(b)! - alongOf.get(a)! - spacing) > STEP_M;
      return brokenWhere(indices, uneven)
        .filter((run) => run.length >= FEWEST_ON_LINE)
        .map((run): SampleLine => {
          const read = run.map((index) => points[index]!);
          const [first, last] = [read[0]!, read.at(-1)!];
          const variances = run.map((index) => covariance?.ownMm2[index] ?? points[index]!.sd ** 2);
          return {
            id: `${first.id}–${last.id}`,
            section: plan.floors[first.roomIndex]!.roomId,
            ends: [first.at, last.at],
            spacing,
            levelsMm: read.map(({ level }) => level),
            readingSd: Math.sqrt(variances.reduce((sum, one) => sum + one, 0) / variances.length),
            place,
          };
        });
    }),
  );
}
