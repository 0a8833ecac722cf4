/** Finds the triangle of a mesh at a place, through a spatial index. */
import Flatbush from "flatbush";
import { type Mesh, triangleCount } from "./mesh.ts";
import type { Point } from "./point.ts";
import { ON_LINE_M } from "./polygon.ts";

export interface PlaceInMesh {
  readonly triangle: number;
  /** Weights of the triangle's three corners; they add up to 1. */
  readonly weights: readonly [number, number, number];
}

/** Finds places on a mesh; with `region` only triangles of that region count. Undefined beyond the mesh. */
export type TriangleFinder = (p: Point, region?: number) => PlaceInMesh | undefined;

/**
 * Indexes the triangles once, for many look-ups. A place within ON_LINE_M outside the mesh belongs to
 * the nearest triangle; a place on an edge belongs to the triangle with the lower index.
 */
export function triangleFinder(mesh: Mesh): TriangleFinder {
  const { xM, yM, corners } = mesh;
  if (triangleCount(mesh) === 0) return () => undefined;
  const index = new Flatbush(triangleCount(mesh));
  for (let h = 0; h < corners.length; h += 3) {
    const [a, b, c] = [corners[h]!, corners[h + 1]!, corners[h + 2]!];
    index.add(
      Math.min(xM[a]!, xM[b]!, xM[c]!),
      Math.min(yM[a]!, yM[b]!, yM[c]!),
      Math.max(xM[a]!, xM[b]!, xM[c]!),
      Math.max(yM[a]!, yM[b]!, yM[c]!),
    );
  }
  index.finish();
  return (p, region) => {
    const near = index.search(p.x - ON_LINE_M, p.y - ON_LINE_M, p.x + ON_LINE_M, p.y + ON_LINE_M);
    near.sort((s, t) => s - t);
    let best: { triangle: number; outside: number; heights: readonly [number, number, number] } | undefined;
    for (const triangle of near) {
      if (region !== undefined && mesh.regionOf[triangle] !== region) continue;
      const heights = heightsOver(mesh, triangle, p);
      const outside = Math.max(0, -Math.min(...heights));
      if (outside > ON_LINE_M || (best && outside >= best.outside)) continue;
      best = { triangle, outside, heights };
    }
    return best && { triangle: best.triangle, weights: weightsOf(mesh, best.triangle, p) };
  };
}

/** How far p lies inside each side of the triangle, in metres; negative outside. */
function heightsOver({ xM, yM, corners }: Mesh, triangle: number, p: Point): [number, number, number] {
  const height = (k: number) => {
    const u = corners[3 * triangle + k]!;
    const v = corners[3 * triangle + ((k + 1) % 3)]!;
    const dx = xM[v]! - xM[u]!;
    const dy = yM[v]! - yM[u]!;
    return (dx * (p.y - yM[u]!) - dy * (p.x - xM[u]!)) / Math.hypot(dx, dy);
  };
  return [height(0), height(1), height(2)];
}

/** Barycentric weights, kept within the triangle for a place a little outside it. */
function weightsOf({ xM, yM, corners }: Mesh, triangle: number, p: Point): [number, number, number] {
  const [a, b, c] = [corners[3 * triangle]!, corners[3 * triangle + 1]!, corners[3 * triangle + 2]!];
  const cross = (ix: number, iy: number, jx: number, jy: number) => (ix - p.x) * (jy - p.y) - (jx - p.x) * (iy - p.y);
  const wa = Math.max(0, cross(xM[b]!, yM[b]!, xM[c]!, yM[c]!));
  const wb = Math.max(0, cross(xM[c]!, yM[c]!, xM[a]!, yM[a]!));
  const wc = Math.max(0, cross(xM[a]!, yM[a]!, xM[b]!, yM[b]!));
  const sum = wa + wb + wc;
  return [wa / sum, wb / sum, wc / sum];
}

/** The value at a place found, from the values at the vertices. */
export function valueAt(mesh: Mesh, value: Float64Array, { triangle, weights }: PlaceInMesh): number {
  const { corners } = mesh;
  return (
    weights[0] * value[corners[3 * triangle]!]! +
    weights[1] * value[corners[3 * triangle + 1]!]! +
    weights[2] * value[corners[3 * triangle + 2]!]!
  );
}
