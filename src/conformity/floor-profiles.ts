/**
 * Profiles of a floor: the triangulated surface cut by a straight line. Between two mesh edges the
 * cut is straight, so a profile has a sample at every mesh edge that the line crosses, and is exact.
 *
 * A line runs along the direction (cos θ, sin θ) at `offset` metres to its left: the points p with
 * −p.x·sin θ + p.y·cos θ = offset. A vertex counts as left of the line where that value is ≥ offset;
 * the one rule for all triangles makes the cut run through without gap or overlap, also along mesh
 * edges and through vertices.
 */
import { type Mesh, nextHalfEdge, previousHalfEdge, twinsOf } from "../geometry/mesh.ts";
import { type Point, point } from "../geometry/point.ts";
import type { Profile } from "./straightedge.ts";

/** A mesh with its levels and what lies on the other side of its half-edges. */
export interface FloorSurface {
  readonly mesh: Mesh;
  readonly levelMm: Float64Array;
  /** 1 where the vertex was read. */
  readonly wasRead: Uint8Array;
  /** The half-edge on the other side; −1 along the edge of the floor and along a break line. */
  readonly twin: Int32Array;
  /** Half-edges without a twin. */
  readonly rim: Uint32Array;
}

/** A direction on the plan, radians counter-clockwise from east. */
export interface Direction {
  readonly cos: number;
  readonly sin: number;
}

export const directionAt = (radians: number): Direction => ({ cos: Math.cos(radians), sin: Math.sin(radians) });

/** Two stretches of a cut whose ends are this near, in metres, are one: the two sides of a break line, apart by rounding. */
const JOIN_M = 1e-7;

/**
 * A reading this near to the line is under the edge itself, and counts on both its sides; readings
 * this near along it count once. About half the thickness of a straightedge (common practice: 6 mm).
 */
const UNDER_EDGE_M = 0.003;

/** The floor of a mesh with its levels. */
export function floorSurface(mesh: Mesh, levelMm: Float64Array, wasRead: Uint8Array): FloorSurface {
  const twin = twinsOf(mesh);
  const rim: number[] = [];
  for (let h = 0; h < twin.length; h++) if (twin[h] === -1) rim.push(h);
  return { mesh, levelMm, wasRead, twin, rim: Uint32Array.from(rim) };
}

/** One unbroken stretch of a cut. Arrays are buffers: the first `count`, `leftFeet.count` … entries hold. */
export interface Cut extends Profile {
  alongM: Float64Array;
  levelMm: Float64Array;
  /** The mesh edge that each sample lies on: from vertex, to vertex, share of the way. */
  from: Uint32Array;
  to: Uint32Array;
  share: Float64Array;
  /** For each sample, how many of the triangles before it had a corner that nobody read. */
  unreadBefore: Uint32Array;
  count: number;
  /** Feet (metres along the line) of the readings at the corners of the triangles cut, left and right of the line, rising. */
  readonly left: Feet;
  readonly right: Feet;
}

export interface Feet {
  alongM: Float64Array;
  count: number;
}

export function emptyCut(): Cut {
  const size = 256;
  return {
    alongM: new Float64Array(size),
    levelMm: new Float64Array(size),
    from: new Uint32Array(size),
    to: new Uint32Array(size),
    share: new Float64Array(size),
    unreadBefore: new Uint32Array(size),
    count: 0,
    left: { alongM: new Float64Array(size), count: 0 },
    right: { alongM: new Float64Array(size), count: 0 },
  };
}

function doubled<A extends Float64Array | Uint32Array>(array: A): A {
  const larger = new (array.constructor as new (size: number) => A)(2 * array.length);
  larger.set(array);
  return larger;
}

function addFoot(feet: Feet, along: number): void {
  if (feet.count === feet.alongM.length) feet.alongM = doubled(feet.alongM);
  feet.alongM[feet.count++] = along;
}

/** Puts feet in rising order, and those at one place together into one. */
function settleFeet(feet: Feet): void {
  const sorted = feet.alongM.subarray(0, feet.count).sort();
  let kept = 0;
  for (let k = 0; k < sorted.length; k++) {
    if (kept === 0 || sorted[k]! - sorted[kept - 1]! > UNDER_EDGE_M) sorted[kept++] = sorted[k]!;
  }
  feet.count = kept;
}

/**
 * Readings under an edge from `start` to `end` metres along: those next to it on its left and those
 * on its right are counted apart, and the lesser count holds, so that two rows of readings with the
 * edge between them do not count double.
 */
export const readingsUnder = (cut: Cut, start: number, end: number): number =>
  Math.min(feetWithin(cut.left, start, end), feetWithin(cut.right, start, end));

const feetWithin = (feet: Feet, start: number, end: number): number =>
  feetBefore(feet, end + UNDER_EDGE_M) - feetBefore(feet, start - UNDER_EDGE_M);

function feetBefore(feet: Feet, along: number): number {
  let low = 0;
  let high = feet.count;
  while (low < high) {
    const mid = (low + high) >> 1;
    if (feet.alongM[mid]! < along) low = mid + 1;
    else high = mid;
  }
  return low;
}

/** Metres of a vertex along the line and to its left. */
const alongOf = (mesh: Mesh, v: number, d: Direction): number => mesh.xM[v]! * d.cos + mesh.yM[v]! * d.sin;
const leftOf = (mesh: Mesh, v: number, d: Direction): number => mesh.yM[v]! * d.cos - mesh.xM[v]! * d.sin;

/**
 * Cuts the floor by a line and hands each unbroken stretch to `visit`, in the order along the line.
 * `cut` is the buffer that it is written into; it holds until `visit` returns.
 * Where two floors meet along a break line the stretch runs on, with a vertical step in it.
 */
export function cutFloor(
  floor: FloorSurface,
  direction: Direction,
  offset: number,
  cut: Cut,
  visit: (cut: Cut) => void,
): void {
  const { mesh, rim } = floor;
  const { corners } = mesh;
  const entries: { edge: number; along: number }[] = [];
  for (const e of rim) {
    const a = corners[e]!;
    const b = corners[nextHalfEdge(e)]!;
    const la = leftOf(mesh, a, direction) - offset;
    const lb = leftOf(mesh, b, direction) - offset;
    // Counter-clockwise triangles: the line enters over an edge that comes from its left to its right.
    if (la < 0 || lb >= 0) continue;
    const from = alongOf(mesh, a, direction);
    entries.push({ edge: e, along: from + (la / (la - lb)) * (alongOf(mesh, b, direction) - from) });
  }
  entries.sort((a, b) => a.along - b.along || a.edge - b.edge);
  clear(cut);
  for (const entry of entries) {
    if (cut.count > 0 && entry.along - cut.alongM[cut.count - 1]! > JOIN_M) {
      finish(cut, visit);
      clear(cut);
    }
    walk(floor, direction, offset, entry.edge, cut);
  }
  if (cut.count > 0) finish(cut, visit);
}

function clear(cut: Cut): void {
  cut.count = 0;
  cut.left.count = 0;
  cut.right.count = 0;
}

function finish(cut: Cut, visit: (cut: Cut) => void): void {
  settleFeet(cut.left);
  settleFeet(cut.right);
  visit(cut);
}

/** Adds the samples from one rim edge to the next across the floor. */
function walk(floor: FloorSurface, direction: Direction, offset: number, entry: number, cut: Cut): void {
  const { mesh, levelMm, wasRead, twin } = floor;
  const { corners } = mesh;
  let edge = entry;
  let a = corners[edge]!;
  let b = corners[nextHalfEdge(edge)]!;
  let alongA = alongOf(mesh, a, direction);
  let alongB = alongOf(mesh, b, direction);
  let leftA = leftOf(mesh, a, direction) - offset;
  let leftB = leftOf(mesh, b, direction) - offset;
  let unread = cut.count > 0 ? cut.unreadBefore[cut.count - 1]! : 0;
  noteFoot(cut, wasRead[a]!, alongA, leftA);
  noteFoot(cut, wasRead[b]!, alongB, leftB);
  for (;;) {
    // a is left of the line, b right of it: here the line crosses a–b.
    const share = leftA / (leftA - leftB);
    const k = roomForSample(cut);
    const along = alongA + share * (alongB - alongA);
    // Rounding may put a crossing a hair before the last one; a profile never falls back.
    cut.alongM[k] = k > 0 ? Math.max(cut.alongM[k - 1]!, along) : along;
    cut.levelMm[k] = levelMm[a]! + share * (levelMm[b]! - levelMm[a]!);
    cut.from[k] = a;
    cut.to[k] = b;
    cut.share[k] = share;
    cut.unreadBefore[k] = unread;
    cut.count++;
    if (edge === -1) return;
    const w = corners[previousHalfEdge(edge)]!;
    const alongW = alongOf(mesh, w, direction);
    const leftW = leftOf(mesh, w, direction) - offset;
    noteFoot(cut, wasRead[w]!, alongW, leftW);
    if (wasRead[a] === 0 || wasRead[b] === 0 || wasRead[w] === 0) unread++;
    if (leftW >= 0) {
      edge = twin[nextHalfEdge(edge)]!;
      a = w;
      alongA = alongW;
      leftA = leftW;
    } else {
      edge = twin[previousHalfEdge(edge)]!;
      b = w;
      alongB = alongW;
      leftB = leftW;
    }
  }
}

function noteFoot(cut: Cut, read: number, along: number, left: number): void {
  if (read === 0) return;
  if (left > -UNDER_EDGE_M) addFoot(cut.left, along);
  if (left < UNDER_EDGE_M) addFoot(cut.right, along);
}

function roomForSample(cut: Cut): number {
  if (cut.count === cut.alongM.length) {
    cut.alongM = doubled(cut.alongM);
    cut.levelMm = doubled(cut.levelMm);
    cut.from = doubled(cut.from);
    cut.to = doubled(cut.to);
    cut.share = doubled(cut.share);
    cut.unreadBefore = doubled(cut.unreadBefore);
  }
  return cut.count;
}

/** The plan point `along` metres along a line. */
export const pointOnLine = (direction: Direction, offset: number, along: number): Point =>
  point(direction.cos * along - direction.sin * offset, direction.sin * along + direction.cos * offset);

/** How far the floor reaches to the left of lines in a direction: least and greatest offset. */
export function offsetsOfFloor(floor: FloorSurface, direction: Direction): { least: number; greatest: number } {
  let least = Number.POSITIVE_INFINITY;
  let greatest = Number.NEGATIVE_INFINITY;
  const { mesh } = floor;
  for (const e of floor.rim) {
    const left = leftOf(mesh, mesh.corners[e]!, direction);
    if (left < least) least = left;
    if (left > greatest) greatest = left;
  }
  return { least, greatest };
}
