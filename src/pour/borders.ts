/** Where two parts of the floor share an edge, and how much of it. */
import { distance, type Point, type Polygon, point } from "../geometry/point.ts";
import type { Metres } from "../units.ts";
import type { Segment } from "./model.ts";

/** Edges this close run along each other: a tenth of a millimetre, a hundred times the grid of the polygon operations. */
const ALONG_M = 1e-4;
/** A shared edge shorter than the finest mark of a tape is a corner. */
const CORNER_M = 1e-3;

/** Width that someone with a barrel or a hose goes through (common practice). */
export const PASSABLE_M = 0.6;

export const edgesOf = ({ outline, holes }: Polygon): Segment[] =>
  [outline, ...holes].flatMap((ring) => ring.map((from, k) => ({ from, to: ring[(k + 1) % ring.length]! })));

export const lengthOf = (segments: readonly Segment[]): Metres =>
  segments.reduce((sum, { from, to }) => sum + distance(from, to), 0);

/** The stretches that both sets of edges share, those end to end on a line made one. */
export function sharedStretches(a: readonly Segment[], b: readonly Segment[]): Segment[] {
  const shared: Segment[] = [];
  for (const e of a) {
    for (const f of b) {
      const stretch = overlap(e, f);
      if (stretch) shared.push(stretch);
    }
  }
  return joined(shared);
}

function overlap(e: Segment, f: Segment): Segment | undefined {
  if (
    Math.max(e.from.x, e.to.x) + ALONG_M < Math.min(f.from.x, f.to.x) ||
    Math.max(f.from.x, f.to.x) + ALONG_M < Math.min(e.from.x, e.to.x) ||
    Math.max(e.from.y, e.to.y) + ALONG_M < Math.min(f.from.y, f.to.y) ||
    Math.max(f.from.y, f.to.y) + ALONG_M < Math.min(e.from.y, e.to.y)
  )
    return undefined;
  // Offsets from the longer edge: those from a short one would be stretched.
  const [long, short] = distance(e.from, e.to) >= distance(f.from, f.to) ? [e, f] : [f, e];
  const length = distance(long.from, long.to);
  if (length === 0) return undefined;
  const ux = (long.to.x - long.from.x) / length;
  const uy = (long.to.y - long.from.y) / length;
  const off = (p: Point): number => Math.abs(ux * (p.y - long.from.y) - uy * (p.x - long.from.x));
  if (off(short.from) > ALONG_M || off(short.to) > ALONG_M) return undefined;
  const along = (p: Point): number => ux * (p.x - long.from.x) + uy * (p.y - long.from.y);
  const [s, t] = [along(short.from), along(short.to)];
  const from = Math.max(0, Math.min(s, t));
  const to = Math.min(length, Math.max(s, t));
  if (to - from <= CORNER_M) return undefined;
  return {
    from: point(long.from.x + from * ux, long.from.y + from * uy),
    to: point(long.from.x + to * ux, long.from.y + to * uy),
  };
}

/** Joins stretches that lie end to end on one line; those that overlap become one. */
function joined(stretches: readonly Segment[]): Segment[] {
  const done: Segment[] = [];
  for (const stretch of stretches) {
    let grown = stretch;
    for (let k = done.length - 1; k >= 0; k--) {
      const both = together(done[k]!, grown);
      if (!both) continue;
      grown = both;
      done.splice(k, 1);
    }
    done.push(grown);
  }
  return done;
}

function together(e: Segment, f: Segment): Segment | undefined {
  const [long, short] = distance(e.from, e.to) >= distance(f.from, f.to) ? [e, f] : [f, e];
  const length = distance(long.from, long.to);
  const ux = (long.to.x - long.from.x) / length;
  const uy = (long.to.y - long.from.y) / length;
  const off = (p: Point): number => Math.abs(ux * (p.y - long.from.y) - uy * (p.x - long.from.x));
  if (off(short.from) > ALONG_M || off(short.to) > ALONG_M) return undefined;
  const along = (p: Point): number => ux * (p.x - long.from.x) + uy * (p.y - long.from.y);
  const [s, t] = [along(short.from), along(short.to)].sort((p, q) => p - q) as [number, number];
  if (s > length + CORNER_M || t < -CORNER_M) return undefined;
  const from = Math.min(0, s);
  const to = Math.max(length, t);
  return {
    from: point(long.from.x + from * ux, long.from.y + from * uy),
    to: point(long.from.x + to * ux, long.from.y + to * uy),
  };
}

export const longestOf = (segments: readonly Segment[]): Segment | undefined =>
  segments.reduce<Segment | undefined>(
    (best, one) => (best && distance(best.from, best.to) >= distance(one.from, one.to) ? best : one),
    undefined,
  );

export const middleOf = ({ from, to }: Segment): Point => point((from.x + to.x) / 2, (from.y + to.y) / 2);

/** True where one stretch is wide enough to walk through; an opening narrower than that counts whole. */
export const isPassable = (segments: readonly Segment[], opening: Metres = PASSABLE_M): boolean =>
  segments.some(({ from, to }) => distance(from, to) >= Math.min(PASSABLE_M, opening) - ALONG_M);
