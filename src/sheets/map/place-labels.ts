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
  newCells,
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

/** A place beside the point, if it is in the frame; what is taken not counted. */
function besideCandidate({ at, width, height, clear }: LabelWish, index: number, frame: Box): Candidate | undefined {
  const [sx, sy] = BESIDE[index]!;
  const reach = clear + GAP_MM;
  const box = boxAround(at.x + sx * (reach + width / 2), at.y + sy * (reach + height / 2), width / 2, height / 2);
  if (!boxWithin(box, frame)) return undefined;
  const padded = grown(box, BREATHING_MM);
  return { box, padded, extent: padded, cost: index };
}

/** What a leader costs at least: more than any place beside the point. */
const LEADER_COST = 12;

/** Places in the frame on a leader line; what is taken not counted. */
function leaderCandidates({ at, width, height, clear }: LabelWish, frame: Box): Candidate[] {
  const made: Candidate[] = [];
  const reach = clear + GAP_MM;
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
      made.push({ box, padded, extent, leader: [start, end], cost: LEADER_COST + length });
    }
  }
  return made;
}

/**
 * The places that a label can take among what cannot move, cheapest first. Nearly every label stands in the first place
 * beside its point: the others, and the hundreds on leaders, are worked out for those that ask for more.
 */
function possiblePlaces(wish: LabelWish, taken: Occupancy, frame: Box): Iterable<Candidate> {
  const isFree = ({ box, padded, leader }: Candidate): boolean =>
    taken.boxIsFree(padded) &&
    (leader === undefined ||
      taken.lineIsFree(leader[0], leader[1], false) ||
      (taken.lineIsFree(leader[0], leader[1], true) && wish.isOutside(box)));
  const near: Candidate[] = [];
  const awayFromHome: Candidate[] = [];
  let looked = 0;
  let rest: readonly Candidate[] | undefined;
  const costed = (candidate: Candidate): Candidate =>
    wish.belongs(candidate.box) ? candidate : { ...candidate, cost: candidate.cost + NOT_HOME };
  /** The next place beside the point, in the order of their costs. */
  const lookFurther = (): void => {
    const candidate = besideCandidate(wish, looked, frame);
    looked += 1;
    if (candidate === undefined || !isFree(candidate)) return;
    const one = costed(candidate);
    (one === candidate ? near : awayFromHome).push(one);
  };
  return {
    *[Symbol.iterator]() {
      for (let k = 0; ; k++) {
        while (k >= near.length && looked < BESIDE.length) lookFurther();
        if (k >= near.length) break;
        yield near[k]!;
      }
      rest ??= [...awayFromHome, ...leaderCandidates(wish, frame).filter(isFree).map(costed)].sort(
        (p, q) => p.cost - q.cost,
      );
      yield* rest;
    },
  };
}

/** Labels in their places, found by a grid of cells. */
interface Standings {
  put(index: number, candidate: Candidate): void;
  remove(index: number): void;
  of(index: number): Candidate | undefined;
  /** Those that a candidate meets, the one that has stood longest first; where they are more than `most`, some of them. */
  conflicting(box: Box, meets: (there: Candidate) => boolean, self: number, most: number): number[];
  /** Centres of those less than a square inch off in x and y. */
  centresNear(at: PaperPoint, self: number, leaving: readonly number[]): PaperPoint[];
  all(): ReadonlyMap<number, Candidate>;
}

function newStandings(count: number): Standings {
  const candidates = new Array<Candidate | undefined>(count).fill(undefined);
  /** When each was put: higher is later. */
  const since = new Float64Array(count);
  let puts = 0;
  const extents = newCells();
  const centres = newCells();
  const centreX = new Float64Array(count);
  const centreY = new Float64Array(count);
  /** The question at which a label was last looked at: one that lies in several cells is looked at once. */
  const askedAt = new Uint32Array(count);
  let asked = 0;
  const centreOf = (index: number): Box => boxAround(centreX[index]!, centreY[index]!, 0, 0);
  return {
    put(index, candidate) {
      const { box, extent } = candidate;
      candidates[index] = candidate;
      since[index] = puts++;
      centreX[index] = (box.minX + box.maxX) / 2;
      centreY[index] = (box.minY + box.maxY) / 2;
      extents.add(extent, index);
      centres.add(centreOf(index), index);
    },
    remove(index) {
      const candidate = candidates[index];
      if (candidate === undefined) return;
      candidates[index] = undefined;
      extents.remove(candidate.extent, index);
      centres.remove(centreOf(index), index);
    },
    of: (index) => candidates[index],
    conflicting(box, meets, self, most) {
      const found: number[] = [];
      asked += 1;
      extents.someNear(box, (k) => {
        if (askedAt[k] === asked || k === self) return false;
        askedAt[k] = asked;
        const there = candidates[k]!;
        const { extent } = there;
        // Touching edges count: a leader may lie along one.
        if (extent.minX > box.maxX || extent.maxX < box.minX || extent.minY > box.maxY || extent.maxY < box.minY)
          return false;
        if (meets(there)) found.push(k);
        return found.length > most;
      });
      return found.sort((p, q) => since[p]! - since[q]!);
    },
    centresNear(at, self, leaving) {
      const near: PaperPoint[] = [];
      centres.someNear(boxAround(at.x, at.y, MM_PER_INCH, MM_PER_INCH), (k) => {
        if (Math.abs(centreX[k]! - at.x) >= MM_PER_INCH || Math.abs(centreY[k]! - at.y) >= MM_PER_INCH) return false;
        if (k !== self && !leaving.includes(k)) near.push({ x: centreX[k]!, y: centreY[k]! });
        return false;
      });
      return near;
    },
    all() {
      const standing = candidates.flatMap((candidate, index) => (candidate ? [{ index, candidate }] : []));
      standing.sort((p, q) => since[p.index]! - since[q.index]!);
      return new Map(standing.map(({ index, candidate }) => [index, candidate]));
    },
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
  // What cannot move is taken until all labels stand: where a candidate meets it, it is out for good.
  const possible = wishes.map((wish) => possiblePlaces(wish, taken, frame));
  let best: ReadonlyMap<number, Candidate> = new Map();
  let inOrder: readonly number[] = order;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const standing = settle(inOrder, possible);
    if (standing.size > best.size) best = standing;
    if (standing.size === wishes.length) break;
    // Whoever found no room goes first in the next round.
    const lost = inOrder.filter((index) => !standing.has(index));
    if (lost.every((index) => firstOf(possible[index]!) === undefined)) break;
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

const firstOf = <T>(items: Iterable<T>): T | undefined => {
  for (const item of items) return item;
  return undefined;
};

/** One round: places in the given order, then lets those without a place push others aside. */
function settle(order: readonly number[], possible: readonly Iterable<Candidate>[]): ReadonlyMap<number, Candidate> {
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
    let hasMoved = false;
    for (const index of order) {
      const before = standing.of(index);
      // In its first place it can only stay.
      if (before !== undefined && before === firstOf(possible[index]!)) continue;
      standing.remove(index);
      if (!standFree(index) && before) standing.put(index, before);
      hasMoved ||= standing.of(index) !== before;
    }
    if (!hasMoved) break;
  }
  return standing.all();
}
