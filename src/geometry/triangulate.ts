/**
 * Constrained Delaunay triangulation of a floor: outlines, holes, points and break lines.
 *
 * The triangulation is made inside a box of four far corners. Without the box, points along a turned
 * wall lie on the hull but for rounding, and both libraries used here fail or never return on such hulls.
 *
 * Rules that hold for every result:
 * - A point nearer than ON_LINE_M (0.01 mm) to another is the same vertex; nearer than that to a wall
 *   or break line it is put on it. A point farther off, however little, keeps its place.
 * - Where four or more vertices lie on one circle (every cell of a grid), the triangulation is not
 *   unique. There the diagonal starts at the vertex that comes first in the caller's order of points,
 *   whatever the coordinates, so that moving or turning the plan changes nothing.
 * - Vertices keep the caller's order: points first, then corners of outlines and break lines.
 */

import Delaunator from "delaunator";
import { orient2d } from "robust-predicates";
import Constrainautor from "#constrainautor";
import { type Arrangement, arrange, type KeptEdge, perimeterOf } from "./arrangement.ts";
import { splitAlongBreaks } from "./break-lines.ts";
import { settleTies } from "./cocircular.ts";
import { areaByRegion } from "./level.ts";
import { type Mesh, triangleOf } from "./mesh.ts";
import { type Point, type Polygon, point } from "./point.ts";
import { ON_LINE_M, polygonArea } from "./polygon.ts";

export type Triangulation =
  | {
      readonly kind: "ready";
      readonly mesh: Mesh;
      /** The vertex of each of the points given, in their order. On a break line: the one on its left. */
      readonly vertexOfPoint: Uint32Array;
      /** For each vertex the one at the same place on the left of a break line; itself elsewhere. */
      readonly leftOfBreak: Uint32Array;
    }
  | { readonly kind: "failed"; readonly why: string; readonly at?: Point };

/**
 * Triangulates regions (they may share edges, or lie apart, but not overlap) with extra points.
 * A region's index is its triangles' `regionOf`. A break line is a polyline whose two sides get
 * vertices of their own. Fails where a coordinate is no number, where outlines or break lines go
 * through each other, where regions overlap or have no area, and where a point lies on no region.
 */
export function triangulateFloor(
  regions: readonly Polygon[],
  points: readonly Point[],
  breakLines: readonly (readonly Point[])[] = [],
): Triangulation {
  if (regions.length === 0) return { kind: "failed", why: "there is no region to triangulate" };
  const notFinite = findNotFinite(regions, points, breakLines);
  if (notFinite) return { kind: "failed", why: "a coordinate is not a finite number", at: notFinite };
  const areas = regions.map(polygonArea);
  const empty = areas.findIndex((area, r) => !(area > ON_LINE_M * perimeterOf(regions[r]!)));
  if (empty >= 0) {
    const at = regions[empty]!.outline[0];
    return { kind: "failed", why: `region ${empty} has no area`, ...(at ? { at } : {}) };
  }
  const arrangement = arrange(regions, points, breakLines);
  // Another box starts the triangulation elsewhere, which helps where rounding spoilt the first.
  let failure: Failure = { why: "", place: undefined };
  for (const boxReach of [4, 7, 23]) {
    const full = triangulateInBox(arrangement, boxReach);
    if (full.kind === "failed") {
      failure = full.failure;
      continue;
    }
    const labels = labelRegions(full, arrangement, areas);
    if (labels.kind === "failed") {
      failure = labels.failure;
      continue;
    }
    return finish(regions, points, arrangement, full, labels.regionOf);
  }
  const { place } = failure;
  return {
    kind: "failed",
    why: failure.why,
    ...(place ? { at: point(place.x + arrangement.origin.x, place.y + arrangement.origin.y) } : {}),
  };
}

/** `place` is counted from the arrangement's origin. */
interface Failure {
  readonly why: string;
  readonly place: { readonly x: number; readonly y: number } | undefined;
}
interface Failed {
  readonly kind: "failed";
  readonly failure: Failure;
}

function findNotFinite(
  regions: readonly Polygon[],
  points: readonly Point[],
  breakLines: readonly (readonly Point[])[],
): Point | undefined {
  const bad = (p: Point) => !(Number.isFinite(p.x) && Number.isFinite(p.y));
  for (const polygon of regions)
    for (const ring of [polygon.outline, ...polygon.holes]) {
      const found = ring.find(bad);
      if (found) return found;
    }
  return points.find(bad) ?? breakLines.flat().find(bad);
}

/** The triangulation with the box still round it. */
interface BoxedTriangulation {
  readonly kind: "boxed";
  readonly triangles: Uint32Array;
  readonly halfedges: Int32Array;
  /** WALL or BREAK where a half-edge is part of one, else 0. */
  readonly kept: Uint8Array;
  /** The half-edge of each kept edge, in its direction. */
  readonly halfEdgeOf: Int32Array;
}

const WALL = 1;
const BREAK = 2;

function triangulateInBox(arrangement: Arrangement, boxReach: number): BoxedTriangulation | Failed {
  const { x, y, count, edges } = arrangement;
  // Both libraries take y as pointing down: with y negated, their turning sense is ours.
  const coords = new Float64Array(2 * (count + 4));
  for (let k = 0; k < count; k++) {
    coords[2 * k] = x[k]!;
    coords[2 * k + 1] = -y[k]!;
  }
  const far = boxReach * arrangement.reach;
  coords.set([-far, -far, far, -far, far, far, -far, far], 2 * count);
  const delaunay = new Delaunator(coords);
  const upsideDown = findTurnedOver(coords, delaunay.triangles);
  if (upsideDown !== undefined) return failedAt(arrangement, "the triangulation turned over", upsideDown);

  const constrained = new Constrainautor(delaunay);
  const at = (edge: KeptEdge) => ({ x: (x[edge.from]! + x[edge.to]!) / 2, y: (y[edge.from]! + y[edge.to]!) / 2 });
  for (const edge of edges) {
    try {
      constrained.constrainOne(edge.from, edge.to);
    } catch (error) {
      const why = edge.region === undefined ? "a break line crosses a wall or another break line" : "walls cross";
      return { kind: "failed", failure: { why: `${why} (${(error as Error).message})`, place: at(edge) } };
    }
  }
  const kept = new Uint8Array(delaunay.triangles.length);
  const halfEdgeOf = new Int32Array(edges.length);
  for (let k = 0; k < edges.length; k++) {
    const edge = edges[k]!;
    const h = constrained.findEdge(edge.from, edge.to) ?? -1;
    if (h < 0 || !Number.isFinite(h))
      return { kind: "failed", failure: { why: "a wall was lost in the triangulation", place: at(edge) } };
    const twin = delaunay.halfedges[h]!;
    const mark = edge.region === undefined ? BREAK : WALL;
    halfEdgeOf[k] = h;
    if (kept[h] !== WALL) kept[h] = mark;
    if (twin >= 0 && kept[twin] !== WALL) kept[twin] = mark;
  }
  return { kind: "boxed", triangles: delaunay.triangles, halfedges: delaunay.halfedges, kept, halfEdgeOf };
}

function failedAt(arrangement: Arrangement, why: string, vertex: number): Failed {
  const place = vertex < arrangement.count ? { x: arrangement.x[vertex]!, y: arrangement.y[vertex]! } : undefined;
  return { kind: "failed", failure: { why, place } };
}

/** A corner of a triangle that does not run counter-clockwise; undefined where all do. */
function findTurnedOver(coords: Float64Array, triangles: Uint32Array): number | undefined {
  for (let h = 0; h < triangles.length; h += 3) {
    const a = 2 * triangles[h]!;
    const b = 2 * triangles[h + 1]!;
    const c = 2 * triangles[h + 2]!;
    const turn = orient2d(coords[a]!, coords[a + 1]!, coords[b]!, coords[b + 1]!, coords[c]!, coords[c + 1]!);
    if (!(turn > 0)) return triangles[h]!;
  }
  return undefined;
}

const OUTSIDE = 0xffffffff;
const UNKNOWN = 0xfffffffe;

/**
 * The region of each triangle, spread from the left sides of the walls; OUTSIDE beyond them. What is left in
 * the end belongs to the region with the greatest area, which saves spreading over most of the floor.
 */
function labelRegions(
  full: BoxedTriangulation,
  { x, y, edges }: Arrangement,
  areas: readonly number[],
): { readonly kind: "labelled"; readonly regionOf: Uint32Array } | Failed {
  const { halfedges, kept, halfEdgeOf } = full;
  const regionOf = new Uint32Array(kept.length / 3).fill(UNKNOWN);
  const stack = new Int32Array(regionOf.length);
  const spread = (start: number, label: number) => {
    let height = 0;
    stack[height++] = start;
    regionOf[start] = label;
    while (height > 0) {
      const t = stack[--height]!;
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        const across = halfedges[h]!;
        if (kept[h] === WALL || across < 0) continue;
        const neighbour = triangleOf(across);
        if (regionOf[neighbour] !== UNKNOWN) continue;
        regionOf[neighbour] = label;
        stack[height++] = neighbour;
      }
    }
  };
  // The rim of the box is outside, and with it all that no wall parts from it.
  spread(triangleOf(halfedges.indexOf(-1)), OUTSIDE);
  const greatest = areas.indexOf(Math.max(...areas));
  const isLeft = new Set(edges.flatMap(({ region }, k) => (region === undefined ? [] : [halfEdgeOf[k]!])));
  for (let k = 0; k < edges.length; k++) {
    const { region } = edges[k]!;
    if (region === undefined) continue;
    const left = halfEdgeOf[k]!;
    const right = halfedges[left]!;
    if (region !== greatest && regionOf[triangleOf(left)] === UNKNOWN) spread(triangleOf(left), region);
    if (right >= 0 && !isLeft.has(right) && regionOf[triangleOf(right)] === UNKNOWN) spread(triangleOf(right), OUTSIDE);
  }
  for (let t = 0; t < regionOf.length; t++) if (regionOf[t] === UNKNOWN) regionOf[t] = greatest;
  for (let k = 0; k < edges.length; k++) {
    const { region, from, to } = edges[k]!;
    if (region === undefined || regionOf[triangleOf(halfEdgeOf[k]!)] === region) continue;
    const place = { x: (x[from]! + x[to]!) / 2, y: (y[from]! + y[to]!) / 2 };
    return { kind: "failed", failure: { why: "two regions overlap", place } };
  }
  return { kind: "labelled", regionOf };
}

/** Drops what is outside, settles ties, opens break lines, and checks the result. */
function finish(
  regions: readonly Polygon[],
  points: readonly Point[],
  arrangement: Arrangement,
  full: BoxedTriangulation,
  label: Uint32Array,
): Triangulation {
  const count = dropOutside(full, label);
  const corners = full.triangles.subarray(0, 3 * count);
  const twin = full.halfedges.subarray(0, 3 * count);
  const fixed = full.kept.subarray(0, 3 * count);
  const regionOf = label.subarray(0, count);

  const used = new Uint8Array(arrangement.count);
  for (let h = 0; h < corners.length; h++) used[corners[h]!] = 1;
  for (let k = 0; k < points.length; k++)
    if (used[arrangement.vertexOfPoint[k]!] === 0)
      return { kind: "failed", why: "a point lies on no region", at: points[k]! };
  if (used.includes(0)) return { kind: "failed", why: "a wall or break line has a corner on no region" };

  const { x, y } = arrangement;
  settleTies({ xM: x, yM: y, corners, twin, fixed });
  const opened = splitAlongBreaks({ xM: x, yM: y, corners, twin, fixed }, arrangement.edges);

  // Back from the local origin only now: all tests above had the small numbers.
  for (let v = 0; v < opened.xM.length; v++) {
    opened.xM[v]! += arrangement.origin.x;
    opened.yM[v]! += arrangement.origin.y;
  }
  const mesh: Mesh = { xM: opened.xM, yM: opened.yM, corners, regionOf, twin };
  const wrong = findWrongArea(regions, mesh);
  if (wrong) return { kind: "failed", ...wrong };
  return { kind: "ready", mesh, vertexOfPoint: arrangement.vertexOfPoint, leftOfBreak: opened.leftOfBreak };
}

/**
 * Takes the triangles outside out of all arrays, in place: each makes room for the last one kept. They are few,
 * next to the walls. Gives the number of triangles that stay.
 */
function dropOutside({ triangles, halfedges, kept }: BoxedTriangulation, label: Uint32Array): number {
  let count = label.length;
  for (let t = 0; t < count; t++) {
    if (label[t] !== OUTSIDE) continue;
    for (let h = 3 * t; h < 3 * t + 3; h++) if (halfedges[h]! >= 0) halfedges[halfedges[h]!] = -1;
    do {
      count--;
      if (label[count] === OUTSIDE && count > t)
        for (let h = 3 * count; h < 3 * count + 3; h++) if (halfedges[h]! >= 0) halfedges[halfedges[h]!] = -1;
    } while (count > t && label[count] === OUTSIDE);
    if (count === t) break;
    label[t] = label[count]!;
    for (let k = 0; k < 3; k++) {
      const across = halfedges[3 * count + k]!;
      triangles[3 * t + k] = triangles[3 * count + k]!;
      kept[3 * t + k] = kept[3 * count + k]!;
      halfedges[3 * t + k] = across;
      if (across >= 0) halfedges[across] = 3 * t + k;
    }
  }
  return count;
}

/** Each region's triangles must have its polygon's area; else it overlaps another or crosses itself. */
function findWrongArea(regions: readonly Polygon[], mesh: Mesh): { why: string; at: Point } | undefined {
  const areas = areaByRegion(mesh, regions.length);
  for (let r = 0; r < regions.length; r++) {
    const polygon = regions[r]!;
    const due = polygonArea(polygon);
    // Walls bend by ON_LINE_M at most, where a corner of a neighbour lies on them.
    const allowed = perimeterOf(polygon) * ON_LINE_M + 1e-9 * due;
    if (!(Math.abs(areas[r]! - due) <= allowed))
      return {
        why: `region ${r} has ${due} m², but its triangles have ${areas[r]} m²: it overlaps another or crosses itself`,
        at: polygon.outline[0]!,
      };
  }
  return undefined;
}
