/**
 * Cuts a mesh along the outlines of zones, or along a line, so that every triangle lies in one zone
 * only. The surface does not change: new vertices lie on old triangles and take the values there, so
 * areas and volumes of the parts add up to those of the whole.
 *
 * A vertex within ON_LINE_M (0.01 mm) of a cut counts as on it, so a zone's edge can be off by that much.
 */
import Flatbush from "flatbush";
import { GrowingMesh } from "./growing-mesh.ts";
import { type Mesh, triangleCount, triangleOf, twinsOf, vertexCount } from "./mesh.ts";
import { type Point, type Polygon, point } from "./point.ts";
import { type Bounds, boundsOf, nearestOnSegment, ON_LINE_M, placeAgainstRing, polygonContains } from "./polygon.ts";

export interface CutMesh {
  readonly mesh: Mesh;
  /** The values given, one array each, carried to the vertices of the new mesh. */
  readonly values: readonly Float64Array[];
  /** The zone of each triangle, by index; −1 in none. Where zones overlap the first counts. */
  readonly zoneOf: Int32Array;
  /** The triangle of the mesh given that each triangle is part of. */
  readonly parentOf: Uint32Array;
}

/** Cuts a mesh along the outlines and holes of zones. Zones may reach beyond the mesh, and share edges. */
export function cutMesh(mesh: Mesh, values: readonly Float64Array[], zones: readonly Polygon[]): CutMesh {
  const lines = zones.flatMap((zone) => [zone.outline, ...zone.holes].map((ring) => [...ring, ring[0]!]));
  const growing = cutAlong(mesh, values, lines);
  const boxes = zones.map((zone) => boundsOf(zone.outline));
  return growing.result((p) => zones.findIndex((zone, k) => inBox(boxes[k]!, p) && polygonContains(zone, p)));
}

/** Cuts along an open polyline, which need not reach from wall to wall. Every triangle has zone −1. */
export const cutMeshAlong = (mesh: Mesh, values: readonly Float64Array[], line: readonly Point[]): CutMesh =>
  cutAlong(mesh, values, [line]).result(() => -1);

/** Cuts along the straight line through a and b, without ends: zone 0 on its left, 1 on its right. */
export function cutMeshByLine(mesh: Mesh, values: readonly Float64Array[], a: Point, b: Point): CutMesh {
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  if (!(length > 0)) throw new Error("a cutting line through one place twice has no direction");
  let reach = 0;
  for (let v = 0; v < vertexCount(mesh); v++) reach = Math.max(reach, Math.hypot(mesh.xM[v]! - a.x, mesh.yM[v]! - a.y));
  const ux = (b.x - a.x) / length;
  const uy = (b.y - a.y) / length;
  const far = reach + 1;
  const line = [point(a.x - far * ux, a.y - far * uy), point(a.x + far * ux, a.y + far * uy)];
  return cutAlong(mesh, values, [line]).result((p) => ((p.y - a.y) * ux - (p.x - a.x) * uy >= 0 ? 0 : 1));
}

/** The triangles that are wanted, as a mesh of their own, and the values at its vertices. */
export function takeTriangles(
  mesh: Mesh,
  values: readonly Float64Array[],
  wanted: (triangle: number) => boolean,
): { readonly mesh: Mesh; readonly values: readonly Float64Array[]; readonly triangles: Uint32Array } {
  const twin = twinsOf(mesh);
  const triangles: number[] = [];
  const newTriangle = new Int32Array(triangleCount(mesh)).fill(-1);
  for (let t = 0; t < triangleCount(mesh); t++) if (wanted(t)) newTriangle[t] = triangles.push(t) - 1;
  const newVertex = new Int32Array(vertexCount(mesh)).fill(-1);
  const vertices: number[] = [];
  const corners = new Uint32Array(3 * triangles.length);
  const newTwin = new Int32Array(corners.length);
  triangles.forEach((t, s) => {
    for (let k = 0; k < 3; k++) {
      const v = mesh.corners[3 * t + k]!;
      if (newVertex[v] === -1) newVertex[v] = vertices.push(v) - 1;
      corners[3 * s + k] = newVertex[v]!;
      const across = twin[3 * t + k]!;
      const neighbour = across < 0 ? -1 : newTriangle[triangleOf(across)]!;
      newTwin[3 * s + k] = neighbour < 0 ? -1 : 3 * neighbour + (across % 3);
    }
  });
  const pick = (from: Float64Array) => Float64Array.from(vertices, (v) => from[v]!);
  return {
    mesh: {
      xM: pick(mesh.xM),
      yM: pick(mesh.yM),
      corners,
      regionOf: Uint32Array.from(triangles, (t) => mesh.regionOf[t]!),
      twin: newTwin,
    },
    values: values.map(pick),
    triangles: Uint32Array.from(triangles),
  };
}

const inBox = (box: Bounds, p: Point): boolean =>
  p.x >= box.minX - ON_LINE_M &&
  p.x <= box.maxX + ON_LINE_M &&
  p.y >= box.minY - ON_LINE_M &&
  p.y <= box.maxY + ON_LINE_M;

function cutAlong(mesh: Mesh, values: readonly Float64Array[], lines: readonly (readonly Point[])[]): GrowingMesh {
  const growing = new GrowingMesh(mesh, values);
  const index = new Flatbush(Math.max(1, triangleCount(mesh)));
  for (let t = 0; t < triangleCount(mesh); t++) {
    const box = growing.boxOf(t);
    index.add(box.minX, box.minY, box.maxX, box.maxY);
  }
  if (triangleCount(mesh) === 0) return growing;
  index.finish();
  const near = (points: readonly Point[]) => {
    const box = boundsOf(points);
    return index
      .search(box.minX - ON_LINE_M, box.minY - ON_LINE_M, box.maxX + ON_LINE_M, box.maxY + ON_LINE_M)
      .sort((s, t) => s - t)
      .flatMap((t) => growing.partsOf(t));
  };
  for (const line of lines) {
    for (const p of line) insert(growing, near([p]), p);
    for (let k = 0; k + 1 < line.length; k++)
      cutBySegment(growing, near([line[k]!, line[k + 1]!]), line[k]!, line[k + 1]!);
  }
  return growing;
}

/** Puts a vertex at p in every one of the triangles that holds p (two, where p lies on a break line). */
function insert(growing: GrowingMesh, candidates: readonly number[], p: Point): void {
  const open = [...candidates];
  while (open.length > 0) {
    const t = open.pop()!;
    const ring = growing.cornersOf(t);
    if (placeAgainstRing(ring, p) === "outside") continue;
    if (ring.some((q) => Math.hypot(q.x - p.x, q.y - p.y) <= ON_LINE_M)) continue;
    const edge = ring.findIndex((q, k) => distanceToLine(p, q, ring[(k + 1) % 3]!) <= ON_LINE_M);
    open.push(
      t,
      ...(edge < 0
        ? growing.splitTriangle(t, p)
        : growing.splitEdge(3 * t + edge, nearestOnSegment(p, ring[edge]!, ring[(edge + 1) % 3]!))),
    );
  }
}

/** Splits every edge of the triangles that the segment from a to b goes through, where it does. */
function cutBySegment(growing: GrowingMesh, candidates: readonly number[], a: Point, b: Point): void {
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  if (length <= ON_LINE_M) return;
  const ux = (b.x - a.x) / length;
  const uy = (b.y - a.y) / length;
  const off = (p: Point) => (p.y - a.y) * ux - (p.x - a.x) * uy;
  const along = (p: Point) => (p.x - a.x) * ux + (p.y - a.y) * uy;
  const open = [...candidates];
  while (open.length > 0) {
    const t = open.pop()!;
    const ring = growing.cornersOf(t);
    const offs = ring.map(off);
    for (let k = 0; k < 3; k++) {
      const u = ring[k]!;
      const v = ring[(k + 1) % 3]!;
      const du = offs[k]!;
      const dv = offs[(k + 1) % 3]!;
      if (Math.abs(du) <= ON_LINE_M || Math.abs(dv) <= ON_LINE_M || du > 0 === dv > 0) continue;
      const s = du / (du - dv);
      const at = point(u.x + s * (v.x - u.x), u.y + s * (v.y - u.y));
      if (along(at) <= ON_LINE_M || along(at) >= length - ON_LINE_M) continue;
      open.push(t, ...growing.splitEdge(3 * t + k, at));
      break;
    }
  }
}

const distanceToLine = (p: Point, a: Point, b: Point): number =>
  Math.abs((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)) / Math.hypot(b.x - a.x, b.y - a.y);
