/** A section cut at its inner corners into parts that straight lanes suit, and the directions lanes can take in each. */
import { distance, type Point, type Polygon, type Ring } from "../geometry/point.ts";
import { crossingOf } from "../geometry/polygon.ts";
import type { Metres } from "../units.ts";
import { type Cell, lineThrough, splitCell } from "./cells.ts";
import { isLarge } from "./walking.ts";

/** A jog, pilaster or doorway with an edge shorter than this does not turn the lanes. */
const JOG_M: Metres = 1;
/** More parts than this and the cutting stops: lanes then run through what is left. */
const MOST_PARTS = 24;

/** Cuts at every inner corner, the shortest cut first. A section without one stays whole. */
export function partsOf(section: Cell): Cell[] {
  const parts: Cell[] = [];
  const open: Cell[] = [section];
  for (let cell = open.pop(); cell; cell = open.pop()) {
    const cut = shortestCut(cell.floor);
    const halves = cut && parts.length + open.length < MOST_PARTS ? splitCell(cell, cut) : undefined;
    if (halves && halves.left.length > 0 && halves.right.length > 0) open.push(...halves.left, ...halves.right);
    else parts.push(cell);
  }
  return parts;
}

function shortestCut(floor: Polygon): ReturnType<typeof lineThrough> | undefined {
  const rings = [floor.outline, ...floor.holes.filter(isLarge)];
  let best: { from: Point; to: Point; length: Metres } | undefined;
  for (const ring of rings) {
    for (let k = 0; k < ring.length; k++) {
      const before = ring[(k + ring.length - 1) % ring.length]!;
      const at = ring[k]!;
      const after = ring[(k + 1) % ring.length]!;
      if (!standsOut(before, at, after) || distance(before, at) < JOG_M || distance(at, after) < JOG_M) continue;
      for (const back of [before, after]) {
        const length = carriedOn(rings, back, at);
        // A thousandth of a metre apart counts as even, so that rounding does not choose between them.
        if (length !== undefined && (!best || length < best.length - 1e-3)) best = { from: back, to: at, length };
      }
    }
  }
  return best && lineThrough(best.from, best.to);
}

/** True where the floor turns more than half round: it lies to the left of every ring. */
function standsOut(before: Point, at: Point, after: Point): boolean {
  const ax = at.x - before.x;
  const ay = at.y - before.y;
  const bx = after.x - at.x;
  const by = after.y - at.y;
  // Sine of the turn, below −0.02: a wall that bends back by less than a degree is straight.
  return (ax * by - ay * bx) / (Math.hypot(ax, ay) * Math.hypot(bx, by)) < -0.02;
}

/** How far the line from `back` through the corner `at` runs on over the floor. */
function carriedOn(rings: readonly Ring[], back: Point, at: Point): Metres | undefined {
  const length = distance(back, at);
  const reach = 1e4;
  const far = { x: at.x + ((at.x - back.x) / length) * reach, y: at.y + ((at.y - back.y) / length) * reach };
  let nearest: Metres | undefined;
  for (const ring of rings) {
    for (let k = 0; k < ring.length; k++) {
      const hit = crossingOf(at, far, ring[k]!, ring[(k + 1) % ring.length]!);
      if (!hit) continue;
      const away = distance(at, hit);
      if (away > 1e-3 && (nearest === undefined || away < nearest)) nearest = away;
    }
  }
  return nearest;
}

/** A direction of lanes: `along` the lane, and `across` it to the left, both of length 1. */
export interface LaneDirection {
  readonly along: { readonly x: number; readonly y: number };
  readonly across: { readonly x: number; readonly y: number };
}

/** Walls whose directions differ by less than this run the same way: half a degree. */
const SAME_WAY_RAD = Math.PI / 360;
/** A second pair of directions counts where so much of the outline runs along it. */
const MARKED_SHARE = 0.25;

/** Along the walls that run longest one way, across them, and along other walls where they are much of the outline. */
export function laneDirections({ outline }: Polygon): LaneDirection[] {
  const ways: { angle: number; length: number }[] = [];
  let whole = 0;
  for (const [k, from] of outline.entries()) {
    const to = outline[(k + 1) % outline.length]!;
    const length = distance(from, to);
    const angle = quarter(Math.atan2(to.y - from.y, to.x - from.x));
    whole += length;
    const same = ways.find((way) => {
      const apart = Math.abs(way.angle - angle);
      return Math.min(apart, Math.PI / 2 - apart) < SAME_WAY_RAD;
    });
    if (same) same.length += length;
    else ways.push({ angle, length });
  }
  ways.sort((p, q) => q.length - p.length || p.angle - q.angle);
  return ways
    .filter(({ length }, k) => k === 0 || length > MARKED_SHARE * whole)
    .flatMap(({ angle }) => [angle, angle + Math.PI / 2])
    .map((angle) => {
      const [x, y] = [plain(Math.cos(angle)), plain(Math.sin(angle))];
      return { along: { x, y }, across: { x: 0 - y, y: x } };
    });
}

/** An angle taken into a quarter turn: a wall and one square to it count as one way. */
function quarter(angle: number): number {
  const turned = angle % (Math.PI / 2);
  return turned < 0 ? turned + Math.PI / 2 : turned;
}

/** A direction within rounding of the axes is along them: a few times the spacing of doubles at 1. */
const plain = (value: number): number =>
  Math.abs(value) < 1e-15 ? 0 : Math.abs(Math.abs(value) - 1) < 1e-15 ? Math.sign(value) : value;

/** How far a floor reaches along a direction. */
export function extentAlong(floor: Polygon, { x, y }: { readonly x: number; readonly y: number }): [Metres, Metres] {
  const places = floor.outline.map((p) => x * p.x + y * p.y);
  return [Math.min(...places), Math.max(...places)];
}
