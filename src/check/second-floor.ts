/**
 * The floor as the pour sees it, a second time: straight pieces with their depths, how deep it lies along a line, what a
 * ring of floor takes, and what two outlines share. Shares no code with the planner.
 */
import type { Findings } from "../sheets/model.ts";
import type { Place } from "./second-bays.ts";
import { clipped, topAgainMm, visitFloor } from "./second-top.ts";

interface XY {
  readonly x: number;
  readonly y: number;
}

/** More corners than this are not tried against each other. */
const MOST_CORNERS = 60;

/** The least distance between two parallel lines with all corners between them: tried in the direction of every two corners. */
export function narrowestWayM(outline: readonly XY[]): number | undefined {
  if (outline.length > MOST_CORNERS) return undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const [k, a] of outline.entries())
    for (const b of outline.slice(k + 1)) {
      const length = Math.hypot(b.x - a.x, b.y - a.y);
      if (length < 1e-9) continue;
      let [low, high] = [0, 0];
      for (const p of outline) {
        const off = ((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)) / length;
        low = Math.min(low, off);
        high = Math.max(high, off);
      }
      least = Math.min(least, high - low);
    }
  return least;
}

/** A corner of a piece, with what is told of it: a depth, or what a lift fills. */
export interface Valued extends XY {
  readonly mm: number;
}

export interface FloorPiece extends Box {
  readonly room: number;
  /** Counter-clockwise; what is told of them is straight over the piece. */
  readonly corners: readonly Valued[];
}

export interface Box {
  readonly lowX: number;
  readonly highX: number;
  readonly lowY: number;
  readonly highY: number;
}

export function boxOf(places: readonly XY[]): Box {
  let [lowX, highX] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  let [lowY, highY] = [lowX, highX];
  for (const { x, y } of places) {
    lowX = Math.min(lowX, x);
    highX = Math.max(highX, x);
    lowY = Math.min(lowY, y);
    highY = Math.max(highY, y);
  }
  return { lowX, highX, lowY, highY };
}

const apart = (a: Box, b: Box, withinM: number): boolean =>
  a.lowX > b.highX + withinM || b.lowX > a.highX + withinM || a.lowY > b.highY + withinM || b.lowY > a.highY + withinM;

/** Larger floors are scans: their pour is laid out on points that are shown, and their volumes are held room by room. */
const MOST_TRIANGLES = 100_000;

/** Every straight piece of the floor with its depths; undefined where it is not known, or too large to look at twice. */
export function floorPieces({ slab, target, plan }: Findings): FloorPiece[] | undefined {
  if (slab.kind !== "ready" || target.kind !== "ready" || slab.value.mesh.regionOf.length > MOST_TRIANGLES)
    return undefined;
  const pieces: FloorPiece[] = [];
  const whole = visitFloor(slab.value, target.value, plan, ({ room, zone, corners }) => {
    const valued = corners.map((corner) => ({
      x: corner.x,
      y: corner.y,
      mm: topAgainMm(zone, corner) - corner.levelMm,
    }));
    pieces.push({ room, corners: valued, ...boxOf(valued) });
  });
  return whole ? pieces : undefined;
}

/** On a line lies what is nearer to it than this, in metres: a tenth of what a tape tells. */
const ON_LINE_M = 1e-4;

/**
 * The greatest value along a stretch. Straight pieces have it where the stretch begins, ends, or crosses their edges: it
 * is told along the edges. Undefined where the stretch meets no piece.
 */
export function greatestAlongMm(pieces: readonly FloorPiece[], from: XY, to: XY): number | undefined {
  let greatest: number | undefined;
  const take = (mm: number): void => {
    greatest = greatest === undefined ? mm : Math.max(greatest, mm);
  };
  const box = boxOf([from, to]);
  for (const piece of pieces) {
    if (apart(piece, box, ON_LINE_M)) continue;
    const { corners } = piece;
    for (const [k, a] of corners.entries()) {
      const b = corners[(k + 1) % corners.length] as Valued;
      for (const [share] of sharesOnEdge(a, b, from, to)) take(a.mm + share * (b.mm - a.mm));
    }
    for (const end of [from, to]) {
      const mm = valueInside(corners, end);
      if (mm !== undefined) take(mm);
    }
  }
  return greatest;
}

/** Where an edge meets a stretch, as shares of the edge: at its own ends, at those of the stretch, and where they cross. */
function sharesOnEdge(a: Valued, b: Valued, from: XY, to: XY): (readonly [number])[] {
  const found: (readonly [number])[] = [];
  const edge = { x: b.x - a.x, y: b.y - a.y };
  const way = { x: to.x - from.x, y: to.y - from.y };
  const [edgeM, wayM] = [Math.hypot(edge.x, edge.y), Math.hypot(way.x, way.y)];
  if (edgeM === 0 || wayM === 0) return found;
  const along = (p: XY, start: XY, v: XY, length: number): number =>
    ((p.x - start.x) * v.x + (p.y - start.y) * v.y) / length;
  const aside = (p: XY, start: XY, v: XY, length: number): number =>
    ((p.x - start.x) * v.y - (p.y - start.y) * v.x) / length;
  for (const [share, p] of [
    [0, a],
    [1, b],
  ] as const) {
    const at = along(p, from, way, wayM);
    if (Math.abs(aside(p, from, way, wayM)) <= ON_LINE_M && at >= -ON_LINE_M && at <= wayM + ON_LINE_M)
      found.push([share]);
  }
  for (const p of [from, to]) {
    const at = along(p, a, edge, edgeM);
    if (Math.abs(aside(p, a, edge, edgeM)) <= ON_LINE_M && at >= 0 && at <= edgeM) found.push([at / edgeM]);
  }
  const [offA, offB] = [aside(a, from, way, wayM), aside(b, from, way, wayM)];
  if (offA > 0 !== offB > 0) {
    const share = offA / (offA - offB);
    const at = along({ x: a.x + share * edge.x, y: a.y + share * edge.y }, from, way, wayM);
    if (at >= 0 && at <= wayM) found.push([share]);
  }
  return found;
}

/** The value at a place inside a piece, by the areas of the parts that it makes of its first three corners. */
export function valueInside(corners: readonly Valued[], at: XY): number | undefined {
  for (let k = 1; k + 1 < corners.length; k++) {
    const [a, b, c] = [corners[0], corners[k], corners[k + 1]] as [Valued, Valued, Valued];
    const twice = (p: XY, q: XY, r: XY): number => (q.x - p.x) * (r.y - p.y) - (r.x - p.x) * (q.y - p.y);
    const [u, v, w] = [twice(at, b, c), twice(a, at, c), twice(a, b, at)];
    const whole = u + v + w;
    if (whole > 0 && u >= 0 && v >= 0 && w >= 0) return (u * a.mm + v * b.mm + w * c.mm) / whole;
  }
  return undefined;
}

export type Stretch = readonly [Place, Place];

export const stretchesOf = (ring: readonly Place[]): Stretch[] =>
  ring.map((from, k) => [from, ring[(k + 1) % ring.length] as Place]);

export const lengthM = ([from, to]: Stretch): number => Math.hypot(to.eastM - from.eastM, to.northM - from.northM);

/** How much of a stretch lies on another: both ends of the second within a tenth of a millimetre of the first's line. */
export function sharedM([a, b]: Stretch, [p, q]: Stretch, withinM = ON_LINE_M): number {
  const length = lengthM([a, b]);
  if (length === 0) return 0;
  const [ex, ey] = [(b.eastM - a.eastM) / length, (b.northM - a.northM) / length];
  const ends = [p, q].map(({ eastM, northM }) => ({
    along: (eastM - a.eastM) * ex + (northM - a.northM) * ey,
    aside: Math.abs((eastM - a.eastM) * ey - (northM - a.northM) * ex),
  }));
  const [first, second] = ends as [(typeof ends)[0], (typeof ends)[0]];
  if (first.aside > withinM || second.aside > withinM) return 0;
  return Math.max(
    0,
    Math.min(length, Math.max(first.along, second.along)) - Math.max(0, Math.min(first.along, second.along)),
  );
}

/** An edge shorter than this, in metres, has no direction that a floor could be cut along. */
const NO_EDGE_M = 1e-7;

const withoutDoubles = (corners: readonly Valued[]): readonly Valued[] =>
  corners.filter((a, k) => {
    const before = corners.at(k - 1) as Valued;
    return Math.hypot(a.x - before.x, a.y - before.y) > NO_EDGE_M;
  });

/** The part of a piece on which more than a value is told, or less. */
function partOf(corners: readonly Valued[], mm: number, side: 1 | -1): Valued[] {
  return corners.flatMap((a, k): Valued[] => {
    const b = corners[(k + 1) % corners.length] as Valued;
    const [p, q] = [side * (a.mm - mm), side * (b.mm - mm)];
    const kept = p >= 0 ? [a] : [];
    if (p >= 0 === q >= 0 || p === 0 || q === 0) return kept;
    const share = p / (p - q);
    return [...kept, { x: a.x + share * (b.x - a.x), y: a.y + share * (b.y - a.y), mm }];
  });
}

export interface LiftFill {
  /** Least depth to which places are ground. */
  readonly leastMm: number;
  /** Below the target, of every lift but the last. */
  readonly topsMm: readonly number[];
  /** What the surface's roughness swallows of the first material that a place gets. */
  readonly profileMm: number;
}

/** What a lift, counted from 0, fills of every piece of depths: cut where the fill bends. */
export function filledPieces(pieces: readonly FloorPiece[], lift: number, { leastMm, topsMm, profileMm }: LiftFill) {
  const bends = [leastMm, ...topsMm].toSorted((p, q) => p - q);
  const fillMm = (depthMm: number, first: boolean): number => {
    const upTo = lift === topsMm.length ? Math.max(depthMm, leastMm) : Math.max(0, depthMm - (topsMm[lift] as number));
    const under = lift === 0 ? 0 : Math.max(0, depthMm - (topsMm[lift - 1] as number));
    return upTo - under + (first ? profileMm : 0);
  };
  return pieces.flatMap(({ room, corners }): FloorPiece[] => {
    let parts: (readonly Valued[])[] = [corners];
    for (const bend of bends) {
      if (corners.every(({ mm }) => mm >= bend) || corners.every(({ mm }) => mm <= bend)) continue;
      parts = parts.flatMap((part) => [partOf(part, bend, 1), partOf(part, bend, -1)]);
    }
    return parts.map(withoutDoubles).flatMap((part): FloorPiece[] => {
      if (part.length < 3) return [];
      const middleMm = part.reduce((sum, { mm }) => sum + mm, 0) / part.length;
      const wet = topsMm.findIndex((top) => middleMm > top);
      const isFirst = lift === (wet < 0 ? topsMm.length : wet);
      const filled = part.map(({ x, y, mm }) => ({ x, y, mm: fillMm(mm, isFirst) }));
      return [{ room, corners: filled, ...boxOf(filled) }];
    });
  });
}

/** Area and litres of a ring, each triangle of its fan with its sign: what is gone round twice the other way takes itself off. */
function fanOf(ring: readonly Valued[]): { areaM2: number; litres: number } {
  let [areaM2, litres] = [0, 0];
  const [a] = ring;
  for (let k = 1; a !== undefined && k + 1 < ring.length; k++) {
    const [b, c] = [ring[k], ring[k + 1]] as [Valued, Valued];
    const half = ((b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y)) / 2;
    areaM2 += half;
    litres += (half * (a.mm + b.mm + c.mm)) / 3;
  }
  return { areaM2, litres };
}

/** What lies within rings of floor, outlines counter-clockwise and holes clockwise. */
export class FilledFloor {
  readonly areaM2: number;
  readonly litres: number;
  readonly #parts: readonly { readonly ring: readonly Valued[]; readonly areaM2: number; readonly litres: number }[];

  constructor(pieces: readonly FloorPiece[], rings: readonly (readonly Place[])[]) {
    const subjects = rings.map((ring) => {
      const places = ring.map(({ eastM, northM }) => ({ x: eastM, y: northM }));
      return { places, box: boxOf(places) };
    });
    const parts: { ring: Valued[]; areaM2: number; litres: number }[] = [];
    for (const piece of pieces) {
      const valueAt = straightOver(piece.corners);
      for (const { places, box } of valueAt === undefined ? [] : subjects) {
        if (apart(piece, box, 0)) continue;
        // Clipping a ring that is not convex leaves ways along the window that are gone both ways: they hold nothing.
        const ring = clipped(places, piece.corners).map(({ x, y }) => ({ x, y, mm: valueAt?.(x, y) ?? 0 }));
        if (ring.length >= 3) parts.push({ ring, ...fanOf(ring) });
      }
    }
    this.#parts = parts;
    this.areaM2 = parts.reduce((sum, part) => sum + part.areaM2, 0);
    this.litres = parts.reduce((sum, part) => sum + part.litres, 0);
  }

  /** Litres on this side of a line square to a direction of length 1, so far along it. */
  litresUpTo({ eastM, northM }: Place, alongM: number): number {
    let litres = 0;
    for (const part of this.#parts) {
      const offs = part.ring.map(({ x, y }) => alongM - (x * eastM + y * northM));
      if (offs.every((off) => off <= 0)) continue;
      if (offs.every((off) => off >= 0)) {
        litres += part.litres;
        continue;
      }
      const kept = part.ring.flatMap((a, k): Valued[] => {
        const next = (k + 1) % part.ring.length;
        const [p, q, b] = [offs[k], offs[next], part.ring[next]] as [number, number, Valued];
        const here = p >= 0 ? [a] : [];
        if (p >= 0 === q >= 0) return here;
        const share = p / (p - q);
        return [
          ...here,
          { x: a.x + share * (b.x - a.x), y: a.y + share * (b.y - a.y), mm: a.mm + share * (b.mm - a.mm) },
        ];
      });
      litres += fanOf(kept).litres;
    }
    return litres;
  }
}

/** The value anywhere on the plane through the corners of a piece; undefined where they lie on one line. */
function straightOver(corners: readonly Valued[]): ((x: number, y: number) => number) | undefined {
  // Of all corners the three that span most.
  let best: readonly [Valued, Valued, Valued, number] | undefined;
  const [a] = corners as [Valued];
  for (let k = 1; k + 1 < corners.length; k++) {
    const [b, c] = [corners[k], corners[k + 1]] as [Valued, Valued];
    const twice = (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y);
    if (best === undefined || twice > best[3]) best = [a, b, c, twice];
  }
  // A piece of a thousandth of a square millimetre holds nothing.
  if (best === undefined || best[3] < 1e-9) return undefined;
  const [p, q, r, twice] = best;
  const east = ((q.mm - p.mm) * (r.y - p.y) - (r.mm - p.mm) * (q.y - p.y)) / twice;
  const north = ((q.x - p.x) * (r.mm - p.mm) - (r.x - p.x) * (q.mm - p.mm)) / twice;
  return (x, y) => p.mm + east * (x - p.x) + north * (y - p.y);
}
