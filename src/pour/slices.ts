/** Which batch lies where in a bay, and how old edges between bays grow. */
import { distance, type Point, point } from "../geometry/point.ts";
import type { Litres, Metres, Minutes } from "../units.ts";
import type { BayShape } from "./bay-graph.ts";
import type { Segment } from "./model.ts";
import { placeAfter } from "./volume-profile.ts";

/** When the batches of a run meet water, and how much each puts on the floor. */
export interface RunClock {
  readonly starts: Minutes;
  readonly interval: Minutes;
  readonly floorPerBatch: Litres;
  readonly batches: number;
  /** One mixer fails with this batch in it: the next barrel mixes it again, and the rest come at a longer interval. */
  readonly slowedFrom?: { readonly batch: number; readonly interval: Minutes };
}

export function powderOf({ starts, interval, slowedFrom }: RunClock, batch: number): Minutes {
  if (slowedFrom === undefined || batch < slowedFrom.batch) return starts + batch * interval;
  return starts + (slowedFrom.batch + 1) * interval + (batch - slowedFrom.batch) * slowedFrom.interval;
}

/** The part of a bay that one batch fills. */
export interface Slice {
  /** Index within the run. */
  readonly batch: number;
  readonly volume: Litres;
  /** Where it ends, along the lane. */
  readonly end: Metres;
}

export interface PouredBay {
  readonly bay: BayShape;
  /** Poured against the direction of its lane. */
  readonly backward: boolean;
  readonly slices: readonly Slice[];
  readonly clock: RunClock;
  /** From powder meeting water to placing. */
  readonly toPlacing: Minutes;
}

/** Less of a batch than this is no slice of its own: a cupful of a barrel. */
const CUPFUL = 1e-3;

/** The slices of a bay that begins when the run has put `before` litres on the floor. */
export function slicesOf(bay: BayShape, backward: boolean, before: Litres, clock: RunClock): Slice[] {
  const whole = bay.volume;
  const { floorPerBatch } = clock;
  const slices: Slice[] = [];
  let batch = Math.min(clock.batches - 1, Math.floor(before / floorPerBatch + CUPFUL));
  let poured = 0;
  for (;;) {
    const until = (batch + 1) * floorPerBatch - before;
    const last = until >= whole - CUPFUL * floorPerBatch || batch >= clock.batches - 1;
    const upTo = last ? whole : until;
    // A crumb of a piece can lie past the floor that lanes were cut from.
    const place = Math.min(bay.to, Math.max(bay.from, placeAfter(bay.profile(), backward ? whole - upTo : upTo)));
    const end = last ? (backward ? bay.from : bay.to) : place;
    slices.push({ batch, volume: upTo - poured, end });
    if (last) return slices;
    poured = upTo;
    batch++;
  }
}

export interface EdgeAge {
  readonly age: Minutes;
  readonly at: Point;
  readonly oldestPowder: Minutes;
  readonly renewed: Minutes;
}

/** Two slices that meet along less than this do not make an edge: the finest mark of a tape. */
const MEETING_M = 1e-3;

/**
 * The age of the edge between two bays at its oldest place: from powder meeting water of the batch on it
 * to the placing of the batch beside it.
 */
export function edgeAge(stretches: readonly Segment[], earlier: PouredBay, later: PouredBay): EdgeAge | undefined {
  let worst: EdgeAge | undefined;
  for (const { from, to } of stretches) {
    const length = distance(from, to);
    const shares = [0, 1, ...sharesAt(earlier, from, to), ...sharesAt(later, from, to)].sort((p, q) => p - q);
    for (let k = 0; k + 1 < shares.length; k++) {
      const [s, t] = [shares[k]!, shares[k + 1]!];
      if ((t - s) * length < MEETING_M) continue;
      const middle = (s + t) / 2;
      const at = point(from.x + middle * (to.x - from.x), from.y + middle * (to.y - from.y));
      const oldestPowder = powderOf(earlier.clock, batchAt(earlier, at, "oldest"));
      const renewed = powderOf(later.clock, batchAt(later, at, "newest")) + later.toPlacing;
      const age = renewed - oldestPowder;
      if (!worst || age > worst.age) worst = { age, at, oldestPowder, renewed };
    }
  }
  return worst;
}

/** Shares of a stretch at which it goes from one slice to the next. */
function sharesAt({ bay, slices }: PouredBay, from: Point, to: Point): number[] {
  const { x, y } = bay.direction.along;
  const s = x * from.x + y * from.y;
  const t = x * to.x + y * to.y;
  if (Math.abs(t - s) < MEETING_M) return [];
  const shares: number[] = [];
  for (const { end } of slices) {
    const share = (end - s) / (t - s);
    if (share > 0 && share < 1) shares.push(share);
  }
  return shares;
}

/** A strip thinner than this at the end of a bay shields no edge: the batch behind it counts as well. */
const STRIP_M: Metres = 0.02;

/** The oldest or the newest of the batches that count at a place on a bay's rim. */
function batchAt(poured: PouredBay, p: Point, which: "oldest" | "newest"): number {
  const { bay } = poured;
  const { x, y } = bay.direction.along;
  const at = x * p.x + y * p.y;
  const strip = Math.min(STRIP_M, (bay.to - bay.from) / 2);
  const here = batchAlong(poured, at);
  const behind = batchAlong(poured, Math.min(bay.to - strip, Math.max(bay.from + strip, at)));
  return which === "oldest" ? Math.min(here, behind) : Math.max(here, behind);
}

function batchAlong({ backward, slices }: PouredBay, at: Metres): number {
  for (const { batch, end } of slices) if (backward ? at >= end : at <= end) return batch;
  return slices[slices.length - 1]!.batch;
}

/** The powder of the oldest batch anywhere along an edge. */
export function oldestAlong(stretches: readonly Segment[], poured: PouredBay): Minutes {
  let oldest = Number.POSITIVE_INFINITY;
  for (const { from, to } of stretches)
    for (const p of [from, to]) oldest = Math.min(oldest, powderOf(poured.clock, batchAt(poured, p, "oldest")));
  return oldest;
}

/** The greatest age of the front inside a bay: from one batch's powder to the placing of the next. Absent with one. */
export function frontAge({ slices, clock, toPlacing }: PouredBay): Minutes | undefined {
  let greatest: Minutes | undefined;
  for (let k = 1; k < slices.length; k++) {
    const age = powderOf(clock, slices[k]!.batch) + toPlacing - powderOf(clock, slices[k - 1]!.batch);
    if (greatest === undefined || age > greatest) greatest = age;
  }
  return greatest;
}
