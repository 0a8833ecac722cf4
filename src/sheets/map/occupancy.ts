/** What is taken on the paper: boxes and line segments in mm, found by a grid of cells. */
import type { PaperPoint } from "../drawing.ts";

export interface Box {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

interface Segment {
  readonly kind: "wall" | "leader";
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
  // One edge after the other, without arrays: this runs a million times a map.
  for (let edge = 0; edge < 4; edge++) {
    const p = edge === 0 ? -dx : edge === 1 ? dx : edge === 2 ? -dy : dy;
    const q = edge === 0 ? a.x - box.minX : edge === 1 ? box.maxX - a.x : edge === 2 ? a.y - box.minY : box.maxY - a.y;
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

/** Things by the cells of the paper that their bounds touch. */
export interface Cells {
  add(bounds: Box, thing: number): void;
  /** With the bounds with which it was added. */
  remove(bounds: Box, thing: number): void;
  /** Whether any thing near the bounds passes; one that lies in several cells may be asked more than once. */
  someNear(bounds: Box, passes: (thing: number) => boolean): boolean;
  copy(): Cells;
}

export function newCells(from: ReadonlyMap<number, readonly number[]> = new Map()): Cells {
  const cells = new Map([...from].map(([key, things]) => [key, [...things]]));
  const cellOf = (mm: number): number => Math.floor(mm / CELL_MM);
  // Paper is at most a few hundred cells wide: 4096 of them tell every pair of indices apart.
  const keyOf = (i: number, j: number): number => i * 4096 + j;
  return {
    add({ minX, minY, maxX, maxY }, thing) {
      for (let i = cellOf(minX); i <= cellOf(maxX); i++)
        for (let j = cellOf(minY); j <= cellOf(maxY); j++) {
          const there = cells.get(keyOf(i, j));
          if (there) there.push(thing);
          else cells.set(keyOf(i, j), [thing]);
        }
    },
    remove({ minX, minY, maxX, maxY }, thing) {
      for (let i = cellOf(minX); i <= cellOf(maxX); i++)
        for (let j = cellOf(minY); j <= cellOf(maxY); j++) {
          const there = cells.get(keyOf(i, j))!;
          there.splice(there.indexOf(thing), 1);
        }
    },
    someNear({ minX, minY, maxX, maxY }, passes) {
      const [toI, toJ] = [cellOf(maxX), cellOf(maxY)];
      for (let i = cellOf(minX); i <= toI; i++)
        for (let j = cellOf(minY); j <= toJ; j++) {
          const there = cells.get(keyOf(i, j));
          if (there) for (const thing of there) if (passes(thing)) return true;
        }
      return false;
    },
    copy: () => newCells(cells),
  };
}

export interface Occupancy {
  addBox(box: Box): void;
  /** Taken by a symbol: a leader may start inside it. */
  addSymbol(box: Box): void;
  /** A wall may be crossed by a leader, though not by a label. */
  addSegment(a: PaperPoint, b: PaperPoint, kind: "wall" | "leader"): void;
  /** True where nothing taken lies in the box. */
  boxIsFree(box: Box): boolean;
  /** True where a line from a to b crosses no taken box but symbols that hold a, and no leader; walls only where it may. */
  lineIsFree(a: PaperPoint, b: PaperPoint, mayCrossWalls: boolean): boolean;
  boxesIn(box: Box): Box[];
  /** The same is taken; what is added to either is not in the other. */
  copy(): Occupancy;
}

export const newOccupancy = (): Occupancy =>
  occupancyOf({ boxes: [], symbols: new Set(), segments: [], boxCells: newCells(), segmentCells: newCells() });

interface Taken {
  readonly boxes: Box[];
  /** Indices of boxes. */
  readonly symbols: Set<number>;
  readonly segments: Segment[];
  readonly boxCells: Cells;
  readonly segmentCells: Cells;
}

function occupancyOf({ boxes, symbols, segments, boxCells, segmentCells }: Taken): Occupancy {
  const boundsOfLine = (a: PaperPoint, b: PaperPoint): Box => ({
    minX: Math.min(a.x, b.x),
    minY: Math.min(a.y, b.y),
    maxX: Math.max(a.x, b.x),
    maxY: Math.max(a.y, b.y),
  });
  // A leader starts on the edge of its own symbol.
  const holds = (box: Box, at: PaperPoint): boolean =>
    at.x >= box.minX - TOUCH_MM &&
    at.x <= box.maxX + TOUCH_MM &&
    at.y >= box.minY - TOUCH_MM &&
    at.y <= box.maxY + TOUCH_MM;

  function addBox(box: Box): void {
    boxCells.add(box, boxes.length);
    boxes.push(box);
  }

  return {
    addBox,
    addSymbol(box) {
      symbols.add(boxes.length);
      addBox(box);
    },
    addSegment(a, b, kind) {
      segmentCells.add(boundsOfLine(a, b), segments.length);
      segments.push({ a, b, kind });
    },
    boxIsFree: (box) =>
      !boxCells.someNear(box, (other) => boxesOverlap(box, boxes[other]!)) &&
      !segmentCells.someNear(box, (k) => clipToBox(segments[k]!.a, segments[k]!.b, box) !== undefined),
    lineIsFree(a, b, mayCrossWalls) {
      const bounds = boundsOfLine(a, b);
      return (
        !boxCells.someNear(
          bounds,
          (k) => !(symbols.has(k) && holds(boxes[k]!, a)) && clipToBox(a, b, boxes[k]!) !== undefined,
        ) &&
        !segmentCells.someNear(bounds, (k) => {
          const other = segments[k]!;
          return !(mayCrossWalls && other.kind === "wall") && segmentsCross(a, b, other.a, other.b);
        })
      );
    },
    boxesIn(box) {
      const found = new Set<Box>();
      boxCells.someNear(box, (k) => {
        if (boxesOverlap(box, boxes[k]!)) found.add(boxes[k]!);
        return false;
      });
      return [...found];
    },
    copy: () =>
      occupancyOf({
        boxes: [...boxes],
        symbols: new Set(symbols),
        segments: [...segments],
        boxCells: boxCells.copy(),
        segmentCells: segmentCells.copy(),
      }),
  };
}
