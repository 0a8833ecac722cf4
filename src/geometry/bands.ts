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
import { type Mesh, nextHalfEdge, triangleCount, triangleOf, twinsOf } from "./mesh.ts";
import { type Point, type Polygon, point } from "./point.ts";
import {
  BELOW,
  beginOf,
  type Classes,
  classify,
  endOf,
  hasPortion,
  type LevelLine,
  nodeOn,
  placeOf,
  polygonsOf,
  push,
  sidesOf,
  valueAt,
  WITHIN,
} from "./value-classes.ts";

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

/** Area and integral of the floor on which from ≤ value < to, without its outlines. */
export function measuresBetween(
  mesh: Mesh,
  value: Float64Array,
  from?: Millimetres,
  to?: Millimetres,
): Pick<ValueClass, "area" | "integral"> {
  const area = emptySum();
  const integral = emptySum();
  const across = { mesh, value, from, to };
  for (let t = 0; t < triangleCount(mesh); t++) {
    const share = shareOf(across, t);
    if (share === 0) continue;
    const whole = triangleArea(mesh, t);
    addTo(area, whole * share);
    addTo(integral, whole * meanOf(across, t));
  }
  return { area: sumSoFar(area) as SquareMetres, integral: sumSoFar(integral) as Litres };
}

/** The floor on which from ≤ value < to; an end left out has no limit. */
export function regionsBetween(mesh: Mesh, value: Float64Array, from?: Millimetres, to?: Millimetres): ValueClass {
  const classes = classify(mesh, value, from, to, false);
  const area = emptySum();
  const integral = emptySum();
  const { corners } = mesh;
  const { side } = classes;
  for (let t = 0; t < triangleCount(mesh); t++) {
    if (classes.pieceOf[t]! < 0) continue;
    const whole = triangleArea(mesh, t);
    const a = corners[3 * t]!;
    const b = corners[3 * t + 1]!;
    const c = corners[3 * t + 2]!;
    if (side[a] === WITHIN && side[b] === WITHIN && side[c] === WITHIN) {
      addTo(area, whole);
      addTo(integral, (whole * (value[a]! + value[b]! + value[c]!)) / 3);
      continue;
    }
    addTo(area, whole * shareOf(classes, t));
    addTo(integral, whole * meanOf(classes, t));
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
    const whole = triangleArea(mesh, t);
    addTo(sum.area, whole * shareOf(classes, t));
    addTo(sum.integral, whole * meanOf(classes, t));
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
  const level: LevelLine = {
    mesh,
    value,
    from: at,
    to: undefined,
    twin: twinsOf(mesh),
    side: sidesOf(value, at, undefined),
  };
  const done = new Uint8Array(triangleCount(mesh));
  const lines: Point[][] = [];
  const { corners } = mesh;
  const { side, twin } = level;
  // Those that begin at the rim first: a closed line may begin anywhere.
  const others: number[] = [];
  for (let t = 0; t < triangleCount(mesh); t++) {
    const a = side[corners[3 * t]!]!;
    if (a === side[corners[3 * t + 1]!]! && a === side[corners[3 * t + 2]!]!) continue;
    if (twin[entranceOf(level, t)]! < 0) keepLine(lines, contourFrom(level, done, t));
    else others.push(t);
  }
  for (const t of others) if (done[t] === 0) keepLine(lines, contourFrom(level, done, t));
  return lines;
}

function contourFrom(level: LevelLine, done: Uint8Array, first: number): Point[] {
  const line: Point[] = [];
  let t = first;
  let out = -1;
  while (t >= 0 && done[t] === 0) {
    done[t] = 1;
    push(line, placeOf(level, nodeOn(level, entranceOf(level, t), 0)));
    out = exitOf(level, t);
    t = level.twin[out]! < 0 ? -1 : triangleOf(level.twin[out]!);
  }
  push(line, placeOf(level, nodeOn(level, out, 0)));
  return line;
}

/** A contour round one vertex that is exactly on the level has no length. */
function keepLine(lines: Point[][], line: Point[]): void {
  if (line.length > 1) lines.push(line);
}

type Across = Pick<Classes, "mesh" | "value" | "from" | "to">;

/** Share of a triangle's area that is within. */
function shareOf({ mesh, value, from, to }: Across, t: number): number {
  const a = value[mesh.corners[3 * t]!]!;
  const b = value[mesh.corners[3 * t + 1]!]!;
  const c = value[mesh.corners[3 * t + 2]!]!;
  const lower = from === undefined ? 1 : shareAbove(a, b, c, from);
  return to === undefined ? lower : lower - shareAbove(a, b, c, to);
}

/** ∫ value over the part of a triangle of area 1 that is within. */
function meanOf({ mesh, value, from, to }: Across, t: number): number {
  const a = value[mesh.corners[3 * t]!]!;
  const b = value[mesh.corners[3 * t + 1]!]!;
  const c = value[mesh.corners[3 * t + 2]!]!;
  const lower = from === undefined ? (a + b + c) / 3 : meanAbove(a, b, c, from);
  return to === undefined ? lower : lower - meanAbove(a, b, c, to);
}

/** Flat and exactly on the level counts as above it. */
const shareAbove = (a: number, b: number, c: number, level: number): number =>
  a >= level && b >= level && c >= level ? 1 : positiveShare(a - level, b - level, c - level);

function meanAbove(a: number, b: number, c: number, level: number): number {
  if (a >= level && b >= level && c >= level) return (a + b + c) / 3;
  return positiveMean(a - level, b - level, c - level) + level * positiveShare(a - level, b - level, c - level);
}

/** With higher ground on the left a contour enters over the half-edge that goes down, and leaves over the one that goes up. */
const entranceOf = (level: LevelLine, t: number): number => halfEdgeGoing(level, t, BELOW);
const exitOf = (level: LevelLine, t: number): number => halfEdgeGoing(level, t, WITHIN);

function halfEdgeGoing({ mesh, side }: LevelLine, t: number, to: number): number {
  for (let h = 3 * t; h < 3 * t + 3; h++)
    if (side[mesh.corners[h]!] !== to && side[mesh.corners[nextHalfEdge(h)]!] === to) return h;
  throw new Error(`no level passes through triangle ${t}`);
}
