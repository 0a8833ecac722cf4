/**
 * Finds a place for every label: beside its point where there is room, else farther off on a leader
 * line. No label covers another, a pin, a wall, a column, a door or a match line.
 */
import { MM_PER_INCH } from "../../units.ts";
import type { PaperPoint } from "../drawing.ts";
import {
  type Box,
  boxAround,
  boxesOverlap,
  boxWithin,
  clipToBox,
  grown,
  type Occupancy,
  segmentsCross,
} from "./occupancy.ts";

export interface LabelWish {
  readonly at: PaperPoint;
  readonly width: number;
  readonly height: number;
  /** Radius of the symbol at the point, which the label keeps clear of. */
  readonly clear: number;
  /** Whether a box lies where the label belongs, such as inside its own room. */
  readonly belongs: (box: Box) => boolean;
  /** Whether a box lies off every floor: a leader may cross the wall to it. */
  readonly isOutside: (box: Box) => boolean;
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
const LEADER_RINGS_MM = [3, 6, 9, 12, 16, 20, 25, 31, 38, 46, 56];
const DIRECTIONS = 24;
/** A label outside its own room misleads: only where nothing nearer is free. */
const NOT_HOME = 60;
/** Labels a square inch beyond which a map is hard to read. */
const MOST_IN_A_SQUARE_INCH = 2;

interface Candidate {
  readonly box: Box;
  /** The box with the paper that it keeps free round it. */
  readonly padded: Box;
  /** Holds all that it takes, leader and padding included: what does not overlap this is out of its way. */
  readonly extent: Box;
  readonly leader?: readonly [PaperPoint, PaperPoint];
  readonly cost: number;
}

/** Every place in the frame that a label might take, what is taken not counted. */
function candidatesFor(wish: LabelWish, frame: Box): Candidate[] {
  const { at, width, height, clear } = wish;
  const made: Candidate[] = [];
  const reach = clear + GAP_MM;
  for (const [index, [sx, sy]] of BESIDE.entries()) {
    const box = boxAround(at.x + sx * (reach + width / 2), at.y + sy * (reach + height / 2), width / 2, height / 2);
    if (!boxWithin(box, frame)) continue;
    const padded = grown(box, BREATHING_MM);
    made.push({ box, padded, extent: padded, cost: index });
  }
  for (const ring of LEADER_RINGS_MM) {
    for (let k = 0; k < DIRECTIONS; k++) {
      const angle = ((k + 0.5) / DIRECTIONS) * 2 * Math.PI;
      const [ux, uy] = [Math.cos(angle), -Math.sin(angle)];
      const nearX = at.x + ux * (reach + ring);
      const nearY = at.y + uy * (reach + ring);
      const x = nearX + (Math.abs(ux) > 0.35 ? (Math.sign(ux) * width) / 2 : 0);
      const y = nearY + (Math.abs(uy) > 0.35 ? (Math.sign(uy) * height) / 2 : 0);
      const box = boxAround(x, y, width / 2, height / 2);
      if (!boxWithin(box, frame)) continue;
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
      const padded = grown(box, BREATHING_MM);
      const extent = {
        minX: Math.min(padded.minX, start.x),
        minY: Math.min(padded.minY, start.y),
        maxX: Math.max(padded.maxX, start.x),
        maxY: Math.max(padded.maxY, start.y),
      };
      made.push({ box, padded, extent, leader: [start, end], cost: 12 + length });
    }
  }
  return made;
}

/** Labels in their places, those that have stood longest first; as columns, since all are gone through for every candidate. */
interface Standings {
  put(index: number, candidate: Candidate): void;
  remove(index: number): void;
  of(index: number): Candidate | undefined;
  /** Those whose extent the box meets, at most so many. */
  conflicting(box: Box, meets: (there: Candidate) => boolean, self: number, most: number): number[];
  /** Centres of those less than a square inch off in x and y. */
  centresNear(at: PaperPoint, self: number, leaving: readonly number[]): PaperPoint[];
  all(): ReadonlyMap<number, Candidate>;
}

function newStandings(count: number): Standings {
  const order: number[] = [];
  const candidates = new Array<Candidate | undefined>(count).fill(undefined);
  const [minX, minY, maxX, maxY] = [0, 1, 2, 3].map(() => new Float64Array(count)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  const [centreX, centreY] = [new Float64Array(count), new Float64Array(count)];
  return {
    put(index, candidate) {
      const { box, extent } = candidate;
      candidates[index] = candidate;
      order.push(index);
      minX[index] = extent.minX;
      minY[index] = extent.minY;
      maxX[index] = extent.maxX;
      maxY[index] = extent.maxY;
      centreX[index] = (box.minX + box.maxX) / 2;
      centreY[index] = (box.minY + box.maxY) / 2;
    },
    remove(index) {
      if (candidates[index] === undefined) return;
      candidates[index] = undefined;
      order.splice(order.indexOf(index), 1);
    },
    of: (index) => candidates[index],
    conflicting(box, meets, self, most) {
      const found: number[] = [];
      // Touching edges count: a leader may lie along one.
      for (const k of order) {
        if (minX[k]! > box.maxX || maxX[k]! < box.minX || minY[k]! > box.maxY || maxY[k]! < box.minY) continue;
        if (k !== self && meets(candidates[k]!)) {
          found.push(k);
          if (found.length > most) break;
        }
      }
      return found;
    },
    centresNear(at, self, leaving) {
      const near: PaperPoint[] = [];
      for (const k of order) {
        if (Math.abs(centreX[k]! - at.x) >= MM_PER_INCH || Math.abs(centreY[k]! - at.y) >= MM_PER_INCH) continue;
        if (k !== self && !leaving.includes(k)) near.push({ x: centreX[k]!, y: centreY[k]! });
      }
      return near;
    },
    all: () => new Map(order.map((index) => [index, candidates[index]!])),
  };
}

/** How often a label without a place may move another one, all in all, before it is given up. */
const MOST_MOVES = 12;
/** How often all is begun anew, with those that found no room first (Joslin and Clements 1999, "Squeaky wheel" optimization). */
const MOST_ROUNDS = 6;
const LAST_PASSES = 3;

/**
 * Places the labels, those with the most neighbours first. One that finds no room may take the room of
 * another, if that one then finds another place.
 * What is placed is added to `taken`.
 * @returns for each wish its place, or undefined where the map has none left.
 */
export function placeLabels(wishes: readonly LabelWish[], taken: Occupancy, frame: Box): (PlacedLabel | undefined)[] {
  const crowd = wishes.map(({ at }) =>
    wishes.reduce((sum, other) => sum + (Math.hypot(other.at.x - at.x, other.at.y - at.y) < 24 ? 1 : 0), 0),
  );
  const order = wishes.map((_, index) => index).sort((p, q) => crowd[q]! - crowd[p]! || p - q);
  // What cannot move: where a candidate meets it, the candidate is out for good.
  const possible = wishes.map((wish) =>
    candidatesFor(wish, frame)
      .filter(
        ({ box, padded, leader }) =>
          taken.boxIsFree(padded) &&
          (leader === undefined ||
            taken.lineIsFree(leader[0], leader[1], false) ||
            (taken.lineIsFree(leader[0], leader[1], true) && wish.isOutside(box))),
      )
      .map((candidate) => ({
        ...candidate,
        cost: candidate.cost + (wish.belongs(candidate.box) ? 0 : NOT_HOME),
      }))
      .sort((p, q) => p.cost - q.cost),
  );
  let best: ReadonlyMap<number, Candidate> = new Map();
  let inOrder: readonly number[] = order;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const standing = settle(inOrder, possible);
    if (standing.size > best.size) best = standing;
    if (standing.size === wishes.length) break;
    // Whoever found no room goes first in the next round.
    const lost = inOrder.filter((index) => !standing.has(index));
    if (lost.every((index) => possible[index]!.length === 0)) break;
    inOrder = [...lost, ...inOrder.filter((index) => standing.has(index))];
  }
  return wishes.map((_, index) => {
    const there = best.get(index);
    if (!there) return undefined;
    const { box, leader } = there;
    taken.addBox(box);
    if (leader) taken.addSegment(leader[0], leader[1], "leader");
    return leader ? { box, leader } : { box };
  });
}

/** One round: places in the given order, then lets those without a place push others aside. */
function settle(order: readonly number[], possible: readonly (readonly Candidate[])[]): ReadonlyMap<number, Candidate> {
  const standing = newStandings(possible.length);

  /** Whether two labels, with their leaders, are in each other's way. */
  const meet = (candidate: Candidate, there: Candidate): boolean =>
    boxesOverlap(candidate.padded, there.box) ||
    (there.leader !== undefined && clipToBox(there.leader[0], there.leader[1], candidate.padded) !== undefined) ||
    (candidate.leader !== undefined &&
      (clipToBox(candidate.leader[0], candidate.leader[1], there.padded) !== undefined ||
        (there.leader !== undefined &&
          segmentsCross(candidate.leader[0], candidate.leader[1], there.leader[0], there.leader[1]))));
  const conflicts = (candidate: Candidate, self: number, most: number): number[] =>
    standing.conflicting(candidate.extent, (there) => meet(candidate, there), self, most);
  /** Whether a square inch with this label in it would have too many, wherever the square lies. */
  const crowds = (box: Box, self: number, leaving: readonly number[]): boolean => {
    const here = { x: (box.minX + box.maxX) / 2, y: (box.minY + box.maxY) / 2 };
    const near = [here, ...standing.centresNear(here, self, leaving)];
    if (near.length <= MOST_IN_A_SQUARE_INCH) return false;
    for (const { x } of near) {
      if (x > here.x || here.x >= x + MM_PER_INCH) continue;
      const strip = near.filter((at) => at.x >= x && at.x < x + MM_PER_INCH);
      for (const { y } of strip) {
        if (y > here.y || here.y >= y + MM_PER_INCH) continue;
        if (strip.filter((at) => at.y >= y && at.y < y + MM_PER_INCH).length > MOST_IN_A_SQUARE_INCH) return true;
      }
    }
    return false;
  };
  /**
   * The cheapest candidate that pushes away at most so many; candidates come cheapest first, so the
   * search ends where their own cost alone is no better.
   */
  const cheapest = (index: number, mostInTheWay: number): { candidate: Candidate; inTheWay: number[] } | undefined => {
    let best: { candidate: Candidate; inTheWay: number[] } | undefined;
    let least = Infinity;
    for (const candidate of possible[index]!) {
      if (candidate.cost >= least) break;
      const inTheWay = conflicts(candidate, index, mostInTheWay);
      if (inTheWay.length > mostInTheWay) continue;
      const pushing = inTheWay.reduce((sum, other) => sum + 15 + 30 * (moves.get(other) ?? 0), 0);
      const cost = candidate.cost + pushing;
      if (cost < least && !crowds(candidate.box, index, inTheWay)) {
        least = cost;
        best = { candidate, inTheWay };
      }
    }
    return best;
  };
  const standFree = (index: number): boolean => {
    const free = cheapest(index, 0);
    if (free) standing.put(index, free.candidate);
    return free !== undefined;
  };

  const moves = new Map<number, number>();
  const waiting: number[] = [];
  for (const index of order) if (!standFree(index)) waiting.push(index);
  while (waiting.length > 0) {
    const index = waiting.shift()!;
    if (standFree(index)) continue;
    const tried = (moves.get(index) ?? 0) + 1;
    moves.set(index, tried);
    if (tried > MOST_MOVES) continue;
    const option = cheapest(index, 2);
    if (!option) continue;
    for (const other of option.inTheWay) standing.remove(other);
    standing.put(index, option.candidate);
    for (const other of option.inTheWay) {
      moves.set(other, (moves.get(other) ?? 0) + 1);
      waiting.push(other);
    }
  }
  // What was given up may fit by now, and what was pushed aside may find a better place.
  for (let pass = 0; pass < LAST_PASSES; pass++) {
    for (const index of order) {
      const before = standing.of(index);
      standing.remove(index);
      if (!standFree(index) && before) standing.put(index, before);
    }
  }
  return standing.all();
}
