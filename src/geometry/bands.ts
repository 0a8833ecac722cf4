/**
 * Classes of a value over a mesh (depth bands, high spots) as areas with outlines, and contour lines,
 * straight from the triangulation: neighbouring triangles share the very same points, so there is
 * nothing between them.
 *
 * One rule settles values that are exactly on a level: they count as just above it. A class holds
 * from ≤ value < to, a contour runs between vertices at or above its level and vertices below it, and
 * no other case is left over, whatever is flat or exactly on the level.
 */
import { addTo, emptySum, sumSoFar } from "../numeric/sum.ts";
import type { Litres, Millimetres, SquareMetres } from "../units.ts";
import { positiveMean, positiveShare, triangleArea } from "./level.ts";
import { type Mesh, nextHalfEdge, triangleCount, twinsOf, vertexCount } from "./mesh.ts";
import { type Point, type Polygon, point, type Ring } from "./point.ts";
import { ON_LINE_M, signedArea } from "./polygon.ts";

/** The floor on which from ≤ value < to. */
export interface ValueClass {
  readonly area: SquareMetres;
  /** ∫ value over it. */
  readonly integral: Litres;
  /** One a connected piece; pieces reach through doorways from one region into the next. */
  readonly polygons: readonly Polygon[];
}

/** One connected piece of such a floor, within one region. */
export interface ConnectedPiece {
  /** The region of the mesh that it lies in. */
  readonly region: number;
  readonly area: SquareMetres;
  readonly integral: Litres;
  /** Most often one; none where the piece is thinner than ON_LINE_M. */
  readonly polygons: readonly Polygon[];
  readonly least: { readonly at: Point; readonly value: Millimetres };
  readonly greatest: { readonly at: Point; readonly value: Millimetres };
}

/** The floor on which from ≤ value < to; an end left out has no limit. */
export function regionsBetween(mesh: Mesh, value: Float64Array, from?: Millimetres, to?: Millimetres): ValueClass {
  const classes = classify(mesh, value, from, to, false);
  const area = emptySum();
  const integral = emptySum();
  for (let t = 0; t < triangleCount(mesh); t++) {
    if (classes.pieceOf[t]! < 0) continue;
    const part = partOf(classes, t);
    addTo(area, part.area);
    addTo(integral, part.integral);
  }
  return {
    area: sumSoFar(area) as SquareMetres,
    integral: sumSoFar(integral) as Litres,
    polygons: polygonsOf(classes).flat(),
  };
}

/** The connected pieces of the floor on which from ≤ value < to, region by region, in order of their first triangle. */
export function connectedRegions(
  mesh: Mesh,
  value: Float64Array,
  from?: Millimetres,
  to?: Millimetres,
): ConnectedPiece[] {
  const classes = classify(mesh, value, from, to, true);
  const polygons = polygonsOf(classes);
  const sums = polygons.map(() => ({
    region: 0,
    area: emptySum(),
    integral: emptySum(),
    least: { at: point(Number.NaN, Number.NaN), value: Infinity },
    greatest: { at: point(Number.NaN, Number.NaN), value: -Infinity },
  }));
  for (let t = 0; t < triangleCount(mesh); t++) {
    const sum = sums[classes.pieceOf[t]!];
    if (!sum) continue;
    sum.region = mesh.regionOf[t]!;
    const part = partOf(classes, t);
    addTo(sum.area, part.area);
    addTo(sum.integral, part.integral);
    for (let h = 3 * t; h < 3 * t + 3; h++) {
      if (!hasPortion(classes, h)) continue;
      for (const node of [beginOf(classes, h), endOf(classes, h)]) {
        const reached = valueAt(classes, node);
        if (reached < sum.least.value) sum.least = { at: placeOf(classes, node), value: reached };
        if (reached > sum.greatest.value) sum.greatest = { at: placeOf(classes, node), value: reached };
      }
    }
  }
  return sums.map((sum, piece) => ({
    region: sum.region,
    area: sumSoFar(sum.area) as SquareMetres,
    integral: sumSoFar(sum.integral) as Litres,
    polygons: polygons[piece]!,
    least: sum.least as ConnectedPiece["least"],
    greatest: sum.greatest as ConnectedPiece["greatest"],
  }));
}

/**
 * The lines along which the value is `at`, higher ground on the left. A closed line ends with its first
 * point again; an open one ends at the rim of the mesh or at a break line.
 */
export function contourLines(mesh: Mesh, value: Float64Array, at: Millimetres): Point[][] {
  const classes = classify(mesh, value, at, undefined, false);
  const { twin } = classes;
  const done = new Uint8Array(triangleCount(mesh));
  const lines: Point[][] = [];
  const follow = (first: number) => {
    const line: Point[] = [];
    let t = first;
    let out = -1;
    while (t >= 0 && done[t] === 0) {
      done[t] = 1;
      push(line, placeOf(classes, nodeOn(classes, entranceOf(classes, t), 0)));
      out = exitOf(classes, t);
      t = twin[out]! < 0 ? -1 : Math.floor(twin[out]! / 3);
    }
    push(line, placeOf(classes, nodeOn(classes, out, 0)));
    if (line.length > 1) lines.push(line);
  };
  for (let t = 0; t < triangleCount(mesh); t++) if (crosses(classes, t) && twin[entranceOf(classes, t)]! < 0) follow(t);
  for (let t = 0; t < triangleCount(mesh); t++) if (crosses(classes, t) && done[t] === 0) follow(t);
  return lines;
}

const BELOW = 0;
const WITHIN = 1;
const BEYOND = 2;

interface Classes {
  readonly mesh: Mesh;
  readonly value: Float64Array;
  readonly from: number | undefined;
  readonly to: number | undefined;
  readonly twin: Int32Array;
  /** Of each vertex: BELOW from, WITHIN, or BEYOND (at or above) to. */
  readonly side: Uint8Array;
  /** The connected piece of each triangle; −1 where no part of it is within. */
  readonly pieceOf: Int32Array;
  readonly pieceCount: number;
  readonly apart: boolean;
}

function classify(
  mesh: Mesh,
  value: Float64Array,
  from: number | undefined,
  to: number | undefined,
  apart: boolean,
): Classes {
  if (value.length !== vertexCount(mesh))
    throw new Error(`${value.length} values for a mesh of ${vertexCount(mesh)} vertices`);
  const side = new Uint8Array(value.length).fill(WITHIN);
  for (let v = 0; v < value.length; v++) {
    if (from !== undefined && value[v]! < from) side[v] = BELOW;
    else if (to !== undefined && value[v]! >= to) side[v] = BEYOND;
  }
  const pieceOf = new Int32Array(triangleCount(mesh)).fill(-1);
  const classes = { mesh, value, from, to, twin: twinsOf(mesh), side, pieceOf, pieceCount: 0, apart };
  const stack: number[] = [];
  for (let start = 0; start < pieceOf.length; start++) {
    if (pieceOf[start]! >= 0 || !reaches(classes, start)) continue;
    const piece = classes.pieceCount++;
    pieceOf[start] = piece;
    stack.push(start);
    while (stack.length > 0) {
      const t = stack.pop()!;
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        if (!hasPortion(classes, h) || isRim(classes, h)) continue;
        const neighbour = Math.floor(classes.twin[h]! / 3);
        if (pieceOf[neighbour]! >= 0) continue;
        pieceOf[neighbour] = piece;
        stack.push(neighbour);
      }
    }
  }
  return classes;
}

/** True where some part of the triangle is within: not all of it below, nor all beyond. */
function reaches({ mesh, side }: Classes, t: number): boolean {
  const a = side[mesh.corners[3 * t]!]!;
  const b = side[mesh.corners[3 * t + 1]!]!;
  const c = side[mesh.corners[3 * t + 2]!]!;
  return a !== b || b !== c || a === WITHIN;
}

/** True where some part of the half-edge is within. */
function hasPortion({ mesh, side }: Classes, h: number): boolean {
  const a = side[mesh.corners[h]!]!;
  return a === WITHIN || a !== side[mesh.corners[nextHalfEdge(h)]!]!;
}

/** True where the piece ends at the half-edge whatever the values. */
function isRim({ mesh, twin, apart }: Classes, h: number): boolean {
  const across = twin[h]!;
  return across < 0 || (apart && mesh.regionOf[Math.floor(h / 3)] !== mesh.regionOf[Math.floor(across / 3)]);
}

/**
 * Corners of pieces are numbered: a vertex by its index; the crossing of an edge with `from` or `to`
 * by the lower of its half-edges, so that both triangles mean the same point.
 */
function nodeOn({ mesh, twin }: Classes, h: number, level: 0 | 1): number {
  const across = twin[h]!;
  return vertexCount(mesh) + 2 * (across >= 0 && across < h ? across : h) + level;
}

function beginOf(classes: Classes, h: number): number {
  const vertex = classes.mesh.corners[h]!;
  const side = classes.side[vertex]!;
  return side === WITHIN ? vertex : nodeOn(classes, h, side === BELOW ? 0 : 1);
}

function endOf(classes: Classes, h: number): number {
  const vertex = classes.mesh.corners[nextHalfEdge(h)]!;
  const side = classes.side[vertex]!;
  return side === WITHIN ? vertex : nodeOn(classes, h, side === BELOW ? 0 : 1);
}

function valueAt({ mesh, value, from, to }: Classes, node: number): number {
  const count = vertexCount(mesh);
  return node < count ? value[node]! : (node - count) % 2 === 0 ? from! : to!;
}

function placeOf({ mesh, value, from, to }: Classes, node: number): Point {
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

/** Area and ∫ value over the part of a triangle that is within. */
function partOf({ mesh, value, from, to }: Classes, t: number): { area: number; integral: number } {
  const a = value[mesh.corners[3 * t]!]!;
  const b = value[mesh.corners[3 * t + 1]!]!;
  const c = value[mesh.corners[3 * t + 2]!]!;
  const aboveLevel = (level: number) => {
    // Flat and exactly on the level counts as above it.
    if (a >= level && b >= level && c >= level) return { share: 1, mean: (a + b + c) / 3 };
    const share = positiveShare(a - level, b - level, c - level);
    return { share, mean: positiveMean(a - level, b - level, c - level) + level * share };
  };
  const lower = from === undefined ? { share: 1, mean: (a + b + c) / 3 } : aboveLevel(from);
  const upper = to === undefined ? { share: 0, mean: 0 } : aboveLevel(to);
  const whole = triangleArea(mesh, t);
  return { area: whole * (lower.share - upper.share), integral: whole * (lower.mean - upper.mean) };
}

/** The outlines and holes of every piece. */
function polygonsOf(classes: Classes): Polygon[][] {
  const { mesh, pieceOf, pieceCount } = classes;
  const walk: Walk = {
    rimDone: new Uint8Array(mesh.corners.length),
    levelDone: new Uint8Array(triangleCount(mesh)),
  };
  const ringsOf: Ring[][] = Array.from({ length: pieceCount }, () => []);
  for (let t = 0; t < pieceOf.length; t++) {
    const rings = ringsOf[pieceOf[t]!];
    if (!rings) continue;
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
    const t = Math.floor(edge / 3);
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
function push(line: Point[], p: Point): void {
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

/** True where the contour at `from` passes through the triangle. */
function crosses({ mesh, side }: Classes, t: number): boolean {
  const a = side[mesh.corners[3 * t]!]!;
  return a !== side[mesh.corners[3 * t + 1]!]! || a !== side[mesh.corners[3 * t + 2]!]!;
}

/** With higher ground on the left a contour enters over the half-edge that goes down, and leaves over the one that goes up. */
const entranceOf = (classes: Classes, t: number): number => halfEdgeGoing(classes, t, BELOW);
const exitOf = (classes: Classes, t: number): number => halfEdgeGoing(classes, t, WITHIN);

function halfEdgeGoing({ mesh, side }: Classes, t: number, to: number): number {
  for (let h = 3 * t; h < 3 * t + 3; h++)
    if (side[mesh.corners[h]!] !== to && side[mesh.corners[nextHalfEdge(h)]!] === to) return h;
  throw new Error(`no level passes through triangle ${t}`);
}
