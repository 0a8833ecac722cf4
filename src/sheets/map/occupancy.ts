/** What is taken on the paper: boxes and line segments in mm, found by a grid of cells. */
import type { PaperPoint } from "../drawing.ts";

export interface Box {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

interface Segment {
  readonly a: PaperPoint;
  readonly b: PaperPoint;
}

/** About the height of a label: a box then touches few cells. */
const CELL_MM = 12;

/** Nearer than the printer's dot. */
const TOUCH_MM = 0.01;

export const boxAround = (x: number, y: number, halfWidth: number, halfHeight: number): Box => ({
  minX: x - halfWidth,
  minY: y - halfHeight,
  maxX: x + halfWidth,
  maxY: y + halfHeight,
});

export const grown = (box: Box, by: number): Box => ({
  minX: box.minX - by,
  minY: box.minY - by,
  maxX: box.maxX + by,
  maxY: box.maxY + by,
});

export const boxesOverlap = (p: Box, q: Box): boolean =>
  p.minX < q.maxX && q.minX < p.maxX && p.minY < q.maxY && q.minY < p.maxY;

export const boxWithin = (inner: Box, outer: Box): boolean =>
  inner.minX >= outer.minX && inner.maxX <= outer.maxX && inner.minY >= outer.minY && inner.maxY <= outer.maxY;

/**
 * The part of a segment inside a box as a range of its parameter, or undefined where it misses
 * (Liang and Barsky, "A new concept and method for line clipping", ACM TOG 3(1), 1984).
 */
export function clipToBox(a: PaperPoint, b: PaperPoint, box: Box): readonly [number, number] | undefined {
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  let from = 0;
  let to = 1;
  for (const [p, q] of [
    [-dx, a.x - box.minX],
    [dx, box.maxX - a.x],
    [-dy, a.y - box.minY],
    [dy, box.maxY - a.y],
  ] as const) {
    if (p === 0) {
      if (q < 0) return undefined;
      continue;
    }
    const t = q / p;
    if (p < 0) from = Math.max(from, t);
    else to = Math.min(to, t);
    if (from >= to) return undefined;
  }
  return [from, to];
}

const turn = (a: PaperPoint, b: PaperPoint, c: PaperPoint): number =>
  (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);

/** True where two segments cross inside both; touching at an end does not count. */
export const segmentsCross = (a: PaperPoint, b: PaperPoint, c: PaperPoint, d: PaperPoint): boolean =>
  turn(a, b, c) > 0 !== turn(a, b, d) > 0 && turn(c, d, a) > 0 !== turn(c, d, b) > 0;

export interface Occupancy {
  addBox(box: Box): void;
  addSegment(a: PaperPoint, b: PaperPoint): void;
  /** True where nothing taken lies in the box. */
  boxIsFree(box: Box): boolean;
  /** True where a line from a to b crosses no taken segment and no taken box but those that hold a. */
  lineIsFree(a: PaperPoint, b: PaperPoint): boolean;
  boxesIn(box: Box): Box[];
}

export function newOccupancy(): Occupancy {
  const boxes = new Map<number, Set<Box>>();
  const segments = new Map<number, Set<Segment>>();

  function* cellsOf(box: Box): Generator<number> {
    // Paper is at most a few hundred cells wide: 4096 of them tell every pair of indices apart.
    for (let i = Math.floor(box.minX / CELL_MM); i <= Math.floor(box.maxX / CELL_MM); i++) {
      for (let j = Math.floor(box.minY / CELL_MM); j <= Math.floor(box.maxY / CELL_MM); j++) yield i * 4096 + j;
    }
  }
  function put<T>(index: Map<number, Set<T>>, bounds: Box, thing: T): void {
    for (const cell of cellsOf(bounds)) {
      const there = index.get(cell);
      if (there) there.add(thing);
      else index.set(cell, new Set([thing]));
    }
  }
  function near<T>(index: Map<number, Set<T>>, bounds: Box): Set<T> {
    const found = new Set<T>();
    for (const cell of cellsOf(bounds)) for (const thing of index.get(cell) ?? []) found.add(thing);
    return found;
  }
  const boundsOfLine = (a: PaperPoint, b: PaperPoint): Box => ({
    minX: Math.min(a.x, b.x),
    minY: Math.min(a.y, b.y),
    maxX: Math.max(a.x, b.x),
    maxY: Math.max(a.y, b.y),
  });

  return {
    addBox: (box) => put(boxes, box, box),
    addSegment: (a, b) => put(segments, boundsOfLine(a, b), { a, b }),
    boxIsFree(box) {
      for (const other of near(boxes, box)) if (boxesOverlap(box, other)) return false;
      for (const { a, b } of near(segments, box)) if (clipToBox(a, b, box)) return false;
      return true;
    },
    lineIsFree(a, b) {
      const bounds = boundsOfLine(a, b);
      for (const box of near(boxes, bounds)) {
        // A leader starts on the edge of its own symbol.
        const holdsStart =
          a.x >= box.minX - TOUCH_MM &&
          a.x <= box.maxX + TOUCH_MM &&
          a.y >= box.minY - TOUCH_MM &&
          a.y <= box.maxY + TOUCH_MM;
        if (!holdsStart && clipToBox(a, b, box)) return false;
      }
      for (const other of near(segments, bounds)) if (segmentsCross(a, b, other.a, other.b)) return false;
      return true;
    },
    boxesIn: (box) => [...near(boxes, box)].filter((other) => boxesOverlap(box, other)),
  };
}
