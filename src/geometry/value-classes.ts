/** The classes of a value over a mesh, their connected pieces, and the outlines of those. */
import { type Mesh, nextHalfEdge, triangleCount, triangleOf, twinsOf, vertexCount } from "./mesh.ts";
import { type Point, type Polygon, point, type Ring } from "./point.ts";
import { ON_LINE_M, signedArea } from "./polygon.ts";

export const BELOW = 0;
export const WITHIN = 1;
const BEYOND = 2;

/** Levels across a mesh, and on which side of them each vertex is. */
export interface LevelLine {
  readonly mesh: Mesh;
  readonly value: Float64Array;
  readonly from: number | undefined;
  readonly to: number | undefined;
  readonly twin: Int32Array;
  /** Of each vertex: BELOW from, WITHIN, or BEYOND (at or above) to. */
  readonly side: Uint8Array;
}

export interface Classes extends LevelLine {
  /** The connected piece of each triangle; −1 where no part of it is within. */
  readonly pieceOf: Int32Array;
  readonly pieceCount: number;
  readonly apart: boolean;
}

export function sidesOf(value: Float64Array, from: number | undefined, to: number | undefined): Uint8Array {
  const low = from ?? -Infinity;
  const high = to ?? Infinity;
  const side = new Uint8Array(value.length);
  for (let v = 0; v < value.length; v++) side[v] = value[v]! < low ? BELOW : value[v]! >= high ? BEYOND : WITHIN;
  return side;
}

export function classify(
  mesh: Mesh,
  value: Float64Array,
  from: number | undefined,
  to: number | undefined,
  apart: boolean,
): Classes {
  if (value.length !== vertexCount(mesh))
    throw new Error(`${value.length} values for a mesh of ${vertexCount(mesh)} vertices`);
  const side = sidesOf(value, from, to);
  const twin = twinsOf(mesh);
  const { corners, regionOf } = mesh;
  const pieceOf = new Int32Array(triangleCount(mesh)).fill(-1);
  const stack = new Int32Array(triangleCount(mesh));
  let pieceCount = 0;
  for (let start = 0; start < pieceOf.length; start++) {
    if (pieceOf[start]! >= 0 || !reaches(corners, side, start)) continue;
    let height = 0;
    stack[height++] = start;
    pieceOf[start] = pieceCount;
    while (height > 0) {
      const t = stack[--height]!;
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        const across = twin[h]!;
        if (across < 0) continue;
        const neighbour = triangleOf(across);
        if (pieceOf[neighbour]! >= 0) continue;
        // Joined where some part of the edge between them is within.
        const a = side[corners[h]!]!;
        if (a !== WITHIN && a === side[corners[across]!]!) continue;
        if (apart && regionOf[neighbour] !== regionOf[t]) continue;
        pieceOf[neighbour] = pieceCount;
        stack[height++] = neighbour;
      }
    }
    pieceCount++;
  }
  return { mesh, value, from, to, twin, side, pieceOf, pieceCount, apart };
}

/** True where some part of the triangle is within: not all of it below, nor all beyond. */
function reaches(corners: Uint32Array, side: Uint8Array, t: number): boolean {
  const a = side[corners[3 * t]!]!;
  return a === WITHIN || a !== side[corners[3 * t + 1]!]! || a !== side[corners[3 * t + 2]!]!;
}

/** True where some part of the half-edge is within. */
export function hasPortion({ mesh, side }: Classes, h: number): boolean {
  const a = side[mesh.corners[h]!]!;
  return a === WITHIN || a !== side[mesh.corners[nextHalfEdge(h)]!]!;
}

/** True where the piece ends at the half-edge whatever the values. */
function isRim({ mesh, twin, apart }: Classes, h: number): boolean {
  const across = twin[h]!;
  return across < 0 || (apart && mesh.regionOf[triangleOf(h)] !== mesh.regionOf[triangleOf(across)]);
}

/**
 * Corners of pieces are numbered: a vertex by its index; the crossing of an edge with `from` or `to`
 * by the lower of its half-edges, so that both triangles mean the same point.
 */
export function nodeOn({ mesh, twin }: LevelLine, h: number, level: 0 | 1): number {
  const across = twin[h]!;
  return vertexCount(mesh) + 2 * (across >= 0 && across < h ? across : h) + level;
}

export function beginOf(classes: Classes, h: number): number {
  const vertex = classes.mesh.corners[h]!;
  const side = classes.side[vertex]!;
  return side === WITHIN ? vertex : nodeOn(classes, h, side === BELOW ? 0 : 1);
}

export function endOf(classes: Classes, h: number): number {
  const vertex = classes.mesh.corners[nextHalfEdge(h)]!;
  const side = classes.side[vertex]!;
  return side === WITHIN ? vertex : nodeOn(classes, h, side === BELOW ? 0 : 1);
}

export function valueAt({ mesh, value, from, to }: Classes, node: number): number {
  const count = vertexCount(mesh);
  return node < count ? value[node]! : (node - count) % 2 === 0 ? from! : to!;
}

export function placeOf({ mesh, value, from, to }: LevelLine, node: number): Point {
  const count = vertexCount(mesh);
  if (node < count) return point(mesh.xM[node]!, mesh.yM[node]!);
  const h = Math.floor((node - count) / 2);
  const level = (node - count) % 2 === 0 ? from! : to!;
  const u = mesh.corners[h]!;
  const v = mesh.corners[nextHalfEdge(h)]!;
  const t = (level - value[u]!) / (value[v]! - value[u]!);
  // Exactly on the level means exactly on the vertex.
  if (t === 1) return point(mesh.xM[v]!, mesh.yM[v]!);
  return point(mesh.xM[u]! + t * (mesh.xM[v]! - mesh.xM[u]!), mesh.yM[u]! + t * (mesh.yM[v]! - mesh.yM[u]!));
}

/** The outlines and holes of every piece. */
export function polygonsOf(classes: Classes): Polygon[][] {
  const { mesh, pieceOf, pieceCount } = classes;
  const walk: Walk = {
    rimDone: new Uint8Array(mesh.corners.length),
    levelDone: new Uint8Array(triangleCount(mesh)),
  };
  const ringsOf: Ring[][] = Array.from({ length: pieceCount }, () => []);
  for (let t = 0; t < pieceOf.length; t++) {
    const rings = ringsOf[pieceOf[t]!];
    if (!rings) continue;
    // Most triangles lie inside a piece, away from its outline.
    if (isWhole(classes, t)) continue;
    for (let h = 3 * t; h < 3 * t + 3; h++) {
      if (!hasPortion(classes, h)) continue;
      if (isRim(classes, h) && walk.rimDone[h] === 0) keep(rings, ringFrom(classes, walk, h, "rim"));
      const level = levelAfter(classes, h);
      if (level !== undefined && (walk.levelDone[t]! & (1 << level)) === 0)
        keep(rings, ringFrom(classes, walk, h, "level"));
    }
  }
  return ringsOf.map(assemble);
}

/** True where all of the triangle is within and each of its neighbours belongs to the same floor. */
function isWhole(classes: Classes, t: number): boolean {
  const { mesh, side } = classes;
  for (let h = 3 * t; h < 3 * t + 3; h++) if (side[mesh.corners[h]!] !== WITHIN || isRim(classes, h)) return false;
  return true;
}

interface Walk {
  readonly rimDone: Uint8Array;
  /** Bit 0: the line along `from` in this triangle; bit 1: along `to`. */
  readonly levelDone: Uint8Array;
}

/** Along which level the outline leaves half-edge h into the triangle; undefined where it ends in a vertex within. */
function levelAfter({ mesh, side }: Classes, h: number): 0 | 1 | undefined {
  const end = side[mesh.corners[nextHalfEdge(h)]!]!;
  return end === WITHIN ? undefined : end === BELOW ? 0 : 1;
}

/** Follows an outline with the piece on its left, from half-edge h or from the level line after it. */
function ringFrom(classes: Classes, walk: Walk, h: number, kind: "rim" | "level"): Point[] {
  const ring: Point[] = [];
  let edge = h;
  let part = kind;
  for (;;) {
    if (part === "rim") {
      if (walk.rimDone[edge] === 1) break;
      walk.rimDone[edge] = 1;
      push(ring, placeOf(classes, beginOf(classes, edge)));
      if (levelAfter(classes, edge) !== undefined) {
        part = "level";
        continue;
      }
      // Ends in a vertex within: turn round it, through the piece, to the next rim.
      edge = nextHalfEdge(edge);
      while (!isRim(classes, edge)) edge = nextHalfEdge(classes.twin[edge]!);
      continue;
    }
    const t = triangleOf(edge);
    const level = levelAfter(classes, edge)!;
    if ((walk.levelDone[t]! & (1 << level)) !== 0) break;
    walk.levelDone[t]! |= 1 << level;
    push(ring, placeOf(classes, endOf(classes, edge)));
    // The level line ends on the next half-edge of this triangle that has a portion.
    let out = nextHalfEdge(edge);
    if (!hasPortion(classes, out)) out = nextHalfEdge(out);
    if (isRim(classes, out)) {
      edge = out;
      part = "rim";
    } else edge = classes.twin[out]!;
  }
  return ring;
}

/** Leaves out a point that is the one before again, as where a level passes exactly through a vertex. */
export function push(line: Point[], p: Point): void {
  const last = line[line.length - 1];
  if (!last || last.x !== p.x || last.y !== p.y) line.push(p);
}

function keep(rings: Ring[], ring: Point[]): void {
  const first = ring[0];
  const last = ring[ring.length - 1];
  if (first && last && ring.length > 1 && first.x === last.x && first.y === last.y) ring.pop();
  if (ring.length < 3) return;
  let length = 0;
  ring.forEach((p, k) => {
    const q = ring[(k + 1) % ring.length]!;
    length += Math.hypot(q.x - p.x, q.y - p.y);
  });
  if (Math.abs(signedArea(ring)) > (ON_LINE_M * length) / 2) rings.push(ring);
}

/** A connected piece has one outline; the rest are holes. */
function assemble(rings: readonly Ring[]): Polygon[] {
  const holes = rings.filter((ring) => signedArea(ring) < 0);
  const outlines = rings.filter((ring) => signedArea(ring) > 0);
  return outlines.map((outline, k) => ({ outline, holes: k === 0 ? holes : [] }));
}
