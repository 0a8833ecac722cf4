/**
 * Flatness by DIN 18202 Table 3: the greatest gap by the distance between measuring points.
 *
 * By grid: the middle of three evenly spaced readings against the mean of its two neighbours; the
 * measuring distance is twice the spacing. By line: the gap under the straight line between two high
 * points of a profile; the measuring distance is that between them.
 * Read in the published tables of two test houses and of a trade handbook (Handbuch für das Estrich-
 * und Belaggewerbe), not in the standard itself.
 */
import type { FloorRow } from "../job/contract-model.ts";
import type { Metres, Millimetres } from "../units.ts";
import type { Profile } from "./straightedge.ts";

/** The columns that the standard gives; the ones between are interpolated. */
export const DIN_DISTANCES_M = [0.1, 1, 4, 10, 15] as const;

export const DIN_FLOOR_ROWS: Record<FloorRow, { readonly title: string; readonly limitsMm: readonly number[] }> = {
  unfinished: { title: "unfinished floors", limitsMm: [10, 15, 20, 25, 30] },
  "for-screed-or-tile-bed": { title: "floors to receive screed or tile in bed", limitsMm: [5, 8, 12, 15, 20] },
  finished: { title: "finished floors, or floors to receive a covering", limitsMm: [2, 4, 10, 12, 15] },
  "finished-increased": { title: "finished floors, increased requirement", limitsMm: [1, 3, 9, 12, 15] },
};

/** Whole millimetres come out of tenths and halves: a half reached but for rounding is a half. */
const HALF_SLACK = 1e-9;

/**
 * The gap allowed over a distance between measuring points: linear between the columns, rounded to
 * whole millimetres, halves up. Nearer than the first column its value holds (so do test houses),
 * past 15 m the last (from memory: a footnote of the table).
 */
export function dinLimit(row: FloorRow, distance: Metres): Millimetres {
  const { limitsMm } = DIN_FLOOR_ROWS[row];
  const after = DIN_DISTANCES_M.findIndex((column) => distance <= column);
  if (after === 0) return limitsMm[0]!;
  if (after === -1) return limitsMm.at(-1)!;
  const [from, to] = [DIN_DISTANCES_M[after - 1]!, DIN_DISTANCES_M[after]!];
  const [low, high] = [limitsMm[after - 1]!, limitsMm[after]!];
  return Math.floor(low + ((distance - from) / (to - from)) * (high - low) + 0.5 + HALF_SLACK);
}

/** Three readings in a row, evenly spaced: indices into the readings, neighbours first and last. */
export interface GridTriple {
  readonly before: number;
  readonly middle: number;
  readonly after: number;
  /** Twice the spacing. */
  readonly distance: Metres;
}

/** How far the middle of a triple stands above the mean of its neighbours, mm; below zero in a dip. */
export const aboveNeighbours = (triple: GridTriple, levelsMm: ArrayLike<number>): Millimetres =>
  levelsMm[triple.middle]! - (levelsMm[triple.before]! + levelsMm[triple.after]!) / 2;

/** Two spacings this near, in metres, are the same: a chalk line's width and the tape. */
const EVEN_M = 0.01;

/**
 * All triples of one row: `alongM` the rising places of its readings (indices given beside them).
 * Every pair of neighbours at equal distance to either side of a reading counts, near ones and far,
 * up to the longest measuring distance, in metres.
 */
export function triplesOfRow(alongM: readonly number[], indices: readonly number[], longest: Metres): GridTriple[] {
  const triples: GridTriple[] = [];
  for (let middle = 1; middle + 1 < alongM.length; middle++) {
    let before = middle - 1;
    let after = middle + 1;
    while (before >= 0 && after < alongM.length) {
      const back = alongM[middle]! - alongM[before]!;
      const ahead = alongM[after]! - alongM[middle]!;
      if (back + ahead > longest + EVEN_M) break;
      if (Math.abs(back - ahead) <= EVEN_M) {
        triples.push({
          before: indices[before]!,
          middle: indices[middle]!,
          after: indices[after]!,
          distance: back + ahead,
        });
        before--;
        after++;
      } else if (back < ahead) before--;
      else after++;
    }
  }
  return triples;
}

/** The deepest place under the straight line between two high points; sample indices. */
export interface HighPointGap {
  readonly from: number;
  readonly to: number;
  readonly low: number;
  readonly distance: Metres;
  readonly gap: Millimetres;
}

/**
 * Every pair of high points of a profile that a straight line joins without cutting into the floor,
 * no farther apart than the longest measuring distance, with the deepest place between them. Pairs with nothing between them say nothing and are left out.
 */
export function gapsBetweenHighPoints(profile: Profile, longest: Metres): HighPointGap[] {
  const { alongM, levelMm, count } = profile;
  const gaps: HighPointGap[] = [];
  for (let from = 0; from + 2 < count; from++) {
    let steepest = Number.NEGATIVE_INFINITY;
    for (let to = from + 1; to < count; to++) {
      const distance = alongM[to]! - alongM[from]!;
      if (distance > longest + EVEN_M) break;
      const slope = (levelMm[to]! - levelMm[from]!) / distance;
      if (slope < steepest) continue;
      steepest = slope;
      if (to === from + 1) continue;
      let low = from + 1;
      let gap = Number.NEGATIVE_INFINITY;
      for (let k = from + 1; k < to; k++) {
        const under = levelMm[from]! + slope * (alongM[k]! - alongM[from]!) - levelMm[k]!;
        if (under > gap) {
          gap = under;
          low = k;
        }
      }
      gaps.push({ from, to, low, distance, gap });
    }
  }
  return gaps;
}
