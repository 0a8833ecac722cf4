/**
 * Makes of outlines, holes, break lines and points one set of vertices and the edges that the
 * triangulation must keep: places that coincide become one vertex, a place on a wall is put on the
 * wall, and the wall is split there. What counts as coinciding is ON_LINE_M; nearer than that to a
 * wall but not on it is the case that makes triangulations fail.
 */
import type { Metres } from "../units.ts";
import { distance, type Point, type Polygon, type Ring } from "./point.ts";
import { type Bounds, boundsOf, ON_LINE_M, signedArea } from "./polygon.ts";

/** Part of a wall or break line between two vertices, with nothing on it in between. */
export interface KeptEdge {
  readonly from: number;
  readonly to: number;
  /** The region to the left of it, or undefined for a break line. */
  readonly region: number | undefined;
}

export interface Arrangement {
  /** Coordinates from `origin`, in metres: small numbers, so that differences keep their digits. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly count: number;
  readonly origin: Point;
  /** Half of the longer side of the box round all, in metres. */
  readonly reach: Metres;
  readonly vertexOfPoint: Uint32Array;
  readonly edges: readonly KeptEdge[];
}

export function arrange(
  regions: readonly Polygon[],
  points: readonly Point[],
  breakLines: readonly (readonly Point[])[],
): Arrangement {
  const rings = regions.flatMap((polygon, region) => [
    { ring: turned(polygon.outline, 1), region },
    ...polygon.holes.map((hole) => ({ ring: turned(hole, -1), region })),
  ]);
  const cornerCount = rings.reduce((n, { ring }) => n + ring.length, 0);
  const lineCount = breakLines.reduce((n, line) => n + line.length, 0);
  const bounds = boundsOf(regions.flatMap((polygon) => polygon.outline));
  const places = new Places(bounds, points, cornerCount + lineCount);

  // Points come first, so that vertex order is the caller's order of points.
  const placeOfPoint = new Uint32Array(points.length);
  for (let k = 0; k < points.length; k++) placeOfPoint[k] = places.add(points[k]!, false);
  const cornersOf = rings.map(({ ring }) => ring.map((p) => places.add(p, true)));
  const lineCorners = breakLines.map((line) => line.map((p) => places.add(p, false)));

  const chains: { chain: number[]; region: number | undefined }[] = [];
  rings.forEach(({ region }, r) => {
    const corners = cornersOf[r]!;
    corners.forEach((from, k) => {
      const to = corners[(k + 1) % corners.length]!;
      if (from !== to) chains.push({ chain: places.splitAlong(from, to), region });
    });
  });
  for (const corners of lineCorners)
    for (let k = 0; k + 1 < corners.length; k++)
      if (corners[k] !== corners[k + 1])
        chains.push({ chain: places.splitAlong(corners[k]!, corners[k + 1]!), region: undefined });

  const { x, y, count, vertexOf } = places.compact();
  const edges: KeptEdge[] = [];
  for (const { chain, region } of chains)
    for (let k = 0; k + 1 < chain.length; k++) {
      const from = vertexOf[chain[k]!]!;
      const to = vertexOf[chain[k + 1]!]!;
      if (from !== to) edges.push({ from, to, region });
    }
  const vertexOfPoint = new Uint32Array(points.length);
  for (let k = 0; k < points.length; k++) vertexOfPoint[k] = vertexOf[placeOfPoint[k]!]!;
  return {
    x,
    y,
    count,
    origin: places.origin,
    reach: places.reach,
    vertexOfPoint,
    edges,
  };
}

function turned(ring: Ring, turn: 1 | -1): Ring {
  return signedArea(ring) * turn < 0 ? ring.toReversed() : ring;
}

/** Distinct places, found again through square cells of about one place each. */
class Places {
  readonly origin: Point;
  readonly reach: Metres;
  private readonly x: Float64Array;
  private readonly y: Float64Array;
  private readonly isCorner: Uint8Array;
  /** A place that was put together with another names it; else itself. */
  private readonly standsFor: Uint32Array;
  private count = 0;
  private readonly cell: number;
  private readonly columns: number;
  private readonly rows: number;
  private readonly head: Int32Array;
  private readonly next: Int32Array;

  constructor(bounds: Bounds, points: readonly Point[], corners: number) {
    const capacity = points.length + corners;
    const width = bounds.maxX - bounds.minX;
    const height = bounds.maxY - bounds.minY;
    this.origin = { x: ((bounds.minX + bounds.maxX) / 2) as Metres, y: ((bounds.minY + bounds.maxY) / 2) as Metres };
    this.reach = (Math.max(width, height) / 2) as Metres;
    // Not narrower than 64 ON_LINE_M, so that one place has few neighbouring cells to look into.
    this.cell = Math.max(Math.sqrt((width * height) / capacity), this.reach / 2048, 64 * ON_LINE_M);
    this.columns = Math.ceil(width / this.cell) + 3;
    this.rows = Math.ceil(height / this.cell) + 3;
    this.x = new Float64Array(capacity);
    this.y = new Float64Array(capacity);
    this.isCorner = new Uint8Array(capacity);
    this.standsFor = new Uint32Array(capacity);
    this.head = new Int32Array(this.columns * this.rows).fill(-1);
    this.next = new Int32Array(capacity);
  }

  /** Points beyond the floor fall into the rim cells; they are refused after the triangulation. */
  private column(x: number): number {
    return Math.min(this.columns - 1, Math.max(0, Math.floor(x / this.cell + this.columns / 2)));
  }

  private row(y: number): number {
    return Math.min(this.rows - 1, Math.max(0, Math.floor(y / this.cell + this.rows / 2)));
  }

  /** The place at p; one within ON_LINE_M is taken for it. A wall's corner keeps its own coordinates. */
  add(p: Point, isCorner: boolean): number {
    const x = p.x - this.origin.x;
    const y = p.y - this.origin.y;
    const reach = 2 * ON_LINE_M;
    const firstColumn = this.column(x - reach);
    const lastColumn = this.column(x + reach);
    const firstRow = this.row(y - reach);
    const lastRow = this.row(y + reach);
    for (let row = firstRow; row <= lastRow; row++)
      for (let column = firstColumn; column <= lastColumn; column++)
        for (let k = this.head[row * this.columns + column]!; k !== -1; k = this.next[k]!) {
          const dx = this.x[k]! - x;
          const dy = this.y[k]! - y;
          if (dx * dx + dy * dy > ON_LINE_M * ON_LINE_M) continue;
          if (isCorner && !this.isCorner[k]) {
            this.x[k] = x;
            this.y[k] = y;
            this.isCorner[k] = 1;
          }
          return k;
        }
    const k = this.count++;
    this.x[k] = x;
    this.y[k] = y;
    this.isCorner[k] = isCorner ? 1 : 0;
    this.standsFor[k] = k;
    const home = this.row(y) * this.columns + this.column(x);
    this.next[k] = this.head[home]!;
    this.head[home] = k;
    return k;
  }

  /** The places on the straight line between two, from one to the other; those near it are put on it. */
  splitAlong(from: number, to: number): number[] {
    const ax = this.x[from]!;
    const ay = this.y[from]!;
    const dx = this.x[to]! - ax;
    const dy = this.y[to]! - ay;
    const length = Math.hypot(dx, dy);
    const met: { place: number; along: number }[] = [];
    const look = (k: number) => {
      if (k === from || k === to) return;
      const px = this.x[k]! - ax;
      const py = this.y[k]! - ay;
      const along = (px * dx + py * dy) / length;
      if (along <= 0 || along >= length) return;
      if (Math.abs(px * dy - py * dx) > ON_LINE_M * length) return;
      met.push({ place: this.root(k), along });
    };
    const margin = 2 * ON_LINE_M;
    const lastColumn = this.column(Math.max(ax, ax + dx) + margin);
    for (let column = this.column(Math.min(ax, ax + dx) - margin); column <= lastColumn; column++) {
      // The rows that the line passes in this column of cells.
      const left = (column - this.columns / 2) * this.cell - margin;
      const right = left + this.cell + 2 * margin;
      let t0 = 0;
      let t1 = 1;
      if (dx !== 0) {
        t0 = Math.min(1, Math.max(0, Math.min((left - ax) / dx, (right - ax) / dx)));
        t1 = Math.max(0, Math.min(1, Math.max((left - ax) / dx, (right - ax) / dx)));
      }
      const lastRow = this.row(Math.max(ay + t0 * dy, ay + t1 * dy) + margin);
      for (let row = this.row(Math.min(ay + t0 * dy, ay + t1 * dy) - margin); row <= lastRow; row++)
        for (let k = this.head[row * this.columns + column]!; k !== -1; k = this.next[k]!) look(k);
    }
    met.sort((a, b) => a.along - b.along || a.place - b.place);
    for (const { place, along } of met) {
      if (this.isCorner[place]) continue;
      this.x[place] = ax + (dx * along) / length;
      this.y[place] = ay + (dy * along) / length;
    }
    const chain = [from];
    for (const { place } of [...met, { place: to }]) {
      const before = chain[chain.length - 1]!;
      if (place === before) continue;
      // Two places either side of the wall can have been put on the same spot of it.
      if (Math.hypot(this.x[place]! - this.x[before]!, this.y[place]! - this.y[before]!) <= ON_LINE_M) {
        const keepBefore = this.isCorner[before] || !this.isCorner[place];
        this.standsFor[keepBefore ? place : before] = keepBefore ? before : place;
        if (!keepBefore) chain[chain.length - 1] = place;
      } else chain.push(place);
    }
    return chain;
  }

  private root(k: number): number {
    let place = k;
    while (this.standsFor[place] !== place) place = this.standsFor[place]!;
    return place;
  }

  /** Coordinates of the places that stand for themselves, and where each place went. */
  compact(): { x: Float64Array; y: Float64Array; count: number; vertexOf: Uint32Array } {
    const vertexOf = new Uint32Array(this.count);
    let count = 0;
    for (let k = 0; k < this.count; k++)
      if (this.standsFor[k] === k) {
        this.x[count] = this.x[k]!;
        this.y[count] = this.y[k]!;
        vertexOf[k] = count++;
      }
    for (let k = 0; k < this.count; k++) vertexOf[k] = vertexOf[this.root(k)]!;
    return { x: this.x.subarray(0, count), y: this.y.subarray(0, count), count, vertexOf };
  }
}

/** Length of all outlines and holes, for the tolerance of an area check. */
export const perimeterOf = (polygon: Polygon): Metres =>
  [polygon.outline, ...polygon.holes].reduce(
    (sum, ring) => sum + ring.reduce((part, p, k) => part + distance(p, ring[(k + 1) % ring.length]!), 0),
    0,
  ) as Metres;
