/**
 * Finds a place for every label: beside its point where there is room, else farther off on a leader
 * line. No label covers another, a pin, a wall, a column, a door or a match line.
 */
import type { PaperPoint } from "../drawing.ts";
import { type Box, boxAround, boxWithin, grown, type Occupancy } from "./occupancy.ts";

export interface LabelWish {
  readonly at: PaperPoint;
  readonly width: number;
  readonly height: number;
  /** Radius of the symbol at the point, which the label keeps clear of. */
  readonly clear: number;
  /** Whether a box lies where the label belongs, such as inside its own room. */
  readonly belongs: (box: Box) => boolean;
}

export interface PlacedLabel {
  readonly box: Box;
  /** From the symbol's edge to the label, where the label does not stand beside its point. */
  readonly leader?: readonly [PaperPoint, PaperPoint];
}

const GAP_MM = 0.7;
/** Paper kept free around every label, so that two never touch. */
const BREATHING_MM = 0.5;
/** Beside the point: first to the upper right, where the eye looks for it (Imhof 1975, "Positioning names on maps"). */
const BESIDE: readonly (readonly [number, number])[] = [
  [1, -1],
  [1, 0],
  [1, 1],
  [-1, -1],
  [-1, 0],
  [-1, 1],
  [0, -1],
  [0, 1],
];
const LEADER_RINGS_MM = [5, 9, 14, 20, 27, 35, 45, 56];
const DIRECTIONS = 24;
/** A label outside its own room misleads: only where nothing nearer is free. */
const NOT_HOME = 60;
/** Labels a square inch beyond which a map is hard to read. */
const MOST_IN_A_SQUARE_INCH = 2;
const SQUARE_INCH_HALF_MM = 12.7;
const CROWDED = 25;

interface Candidate {
  readonly box: Box;
  readonly leader?: readonly [PaperPoint, PaperPoint];
  readonly cost: number;
}

function candidatesFor(wish: LabelWish): Candidate[] {
  const { at, width, height, clear } = wish;
  const made: Candidate[] = [];
  const reach = clear + GAP_MM;
  for (const [index, [sx, sy]] of BESIDE.entries()) {
    // At the corners the box may come nearer along the diagonal than it does straight on.
    const shift = sx !== 0 && sy !== 0 ? reach * Math.SQRT1_2 : reach;
    const box = boxAround(at.x + sx * (shift + width / 2), at.y + sy * (shift + height / 2), width / 2, height / 2);
    made.push({ box, cost: index });
  }
  for (const ring of LEADER_RINGS_MM) {
    for (let k = 0; k < DIRECTIONS; k++) {
      const angle = ((k + 0.5) / DIRECTIONS) * 2 * Math.PI;
      const [ux, uy] = [Math.cos(angle), -Math.sin(angle)];
      const nearX = at.x + ux * (reach + ring);
      const nearY = at.y + uy * (reach + ring);
      const x = nearX + Math.sign(ux) * (Math.abs(ux) > 0.35 ? width / 2 : 0);
      const y = nearY + Math.sign(uy) * (Math.abs(uy) > 0.35 ? height / 2 : 0);
      const box = boxAround(x, y, width / 2, height / 2);
      const end = {
        x: Math.min(Math.max(at.x, box.minX), box.maxX),
        y: Math.min(Math.max(at.y, box.minY), box.maxY),
      };
      const length = Math.hypot(end.x - at.x, end.y - at.y);
      if (length <= clear) continue;
      const start = {
        x: at.x + ((end.x - at.x) / length) * clear,
        y: at.y + ((end.y - at.y) / length) * clear,
      };
      made.push({ box, leader: [start, end], cost: 12 + length });
    }
  }
  return made;
}

/**
 * Places the labels, those with the most neighbours first, and takes their room in `taken`.
 * @returns for each wish its place, or undefined where the map has none left.
 */
export function placeLabels(wishes: readonly LabelWish[], taken: Occupancy, frame: Box): (PlacedLabel | undefined)[] {
  const crowd = wishes.map(({ at }) =>
    wishes.reduce((sum, other) => sum + (Math.hypot(other.at.x - at.x, other.at.y - at.y) < 24 ? 1 : 0), 0),
  );
  const order = wishes.map((_, index) => index).sort((p, q) => crowd[q]! - crowd[p]! || p - q);
  const placed: (PlacedLabel | undefined)[] = wishes.map(() => undefined);
  const centres: PaperPoint[] = [];
  for (const index of order) {
    const wish = wishes[index]!;
    const nearby = centres.filter(({ x, y }) => Math.abs(x - wish.at.x) < 110 && Math.abs(y - wish.at.y) < 110);
    const crowding = (box: Box): number => {
      const x = (box.minX + box.maxX) / 2;
      const y = (box.minY + box.maxY) / 2;
      const count = nearby.filter(
        (other) => Math.abs(other.x - x) < SQUARE_INCH_HALF_MM && Math.abs(other.y - y) < SQUARE_INCH_HALF_MM,
      ).length;
      return Math.max(0, count + 1 - MOST_IN_A_SQUARE_INCH) * CROWDED;
    };
    const candidates = candidatesFor(wish)
      .map((candidate) => ({
        ...candidate,
        cost: candidate.cost + crowding(candidate.box) + (wish.belongs(candidate.box) ? 0 : NOT_HOME),
      }))
      .sort((p, q) => p.cost - q.cost);
    const best = candidates.find(
      ({ box, leader }) =>
        boxWithin(box, frame) &&
        taken.boxIsFree(grown(box, BREATHING_MM)) &&
        (leader === undefined || taken.lineIsFree(leader[0], leader[1])),
    );
    if (!best) continue;
    taken.addBox(best.box);
    if (best.leader) taken.addSegment(best.leader[0], best.leader[1]);
    centres.push({ x: (best.box.minX + best.box.maxX) / 2, y: (best.box.minY + best.box.maxY) / 2 });
    placed[index] = best.leader ? { box: best.box, leader: best.leader } : { box: best.box };
  }
  return placed;
}
