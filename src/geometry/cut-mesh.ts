/** A mesh cut along straight lines, so that what bends along them is straight within every triangle. */
import type { Mesh } from "./mesh.ts";
import type { Point } from "./point.ts";

/** A mesh with more vertices than it had: vertex `count + k` lies `share[k]` of the way from vertex `from[k]` to `to[k]`, both before it. */
export interface CutMesh {
  readonly mesh: Mesh;
  readonly from: readonly number[];
  readonly to: readonly number[];
  readonly share: readonly number[];
}

/** A vertex this near to a line, in metres, lies on it. */
const ON_LINE_M = 1e-9;

/** Cuts the triangles of one region along whole lines, each through two points; the others stay as they are. */
export function cutMesh(mesh: Mesh, region: number, lines: readonly (readonly [Point, Point])[]): CutMesh {
  const xM = [...mesh.xM];
  const yM = [...mesh.yM];
  const made: { from: number[]; to: number[]; share: number[] } = { from: [], to: [], share: [] };
  let corners: number[] = [];
  const others: number[] = [];
  const regionOf: number[] = [];
  for (const [triangle, of] of mesh.regionOf.entries()) {
    const three = mesh.corners.subarray(3 * triangle, 3 * triangle + 3);
    if (of === region) corners.push(...three);
    else {
      others.push(...three);
      regionOf.push(of);
    }
  }
  for (const [a, b] of lines) {
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    const [nx, ny] = [-(b.y - a.y) / length, (b.x - a.x) / length];
    const beside = new Map<number, number>();
    const sideOf = (vertex: number): number => {
      const known = beside.get(vertex);
      if (known !== undefined) return known;
      const side = (xM[vertex]! - a.x) * nx + (yM[vertex]! - a.y) * ny;
      const settled = Math.abs(side) <= ON_LINE_M ? 0 : side;
      beside.set(vertex, settled);
      return settled;
    };
    /** By the edge, lesser vertex first: both of its triangles share the new one. */
    const crossings = new Map<string, number>();
    const crossing = (u: number, v: number): number => {
      const [from, to] = u < v ? [u, v] : [v, u];
      const key = `${from} ${to}`;
      const known = crossings.get(key);
      if (known !== undefined) return known;
      const share = sideOf(from) / (sideOf(from) - sideOf(to));
      xM.push(xM[from]! + share * (xM[to]! - xM[from]!));
      yM.push(yM[from]! + share * (yM[to]! - yM[from]!));
      made.from.push(from);
      made.to.push(to);
      made.share.push(share);
      const vertex = xM.length - 1;
      beside.set(vertex, 0);
      crossings.set(key, vertex);
      return vertex;
    };
    const cut: number[] = [];
    for (let h = 0; h < corners.length; h += 3) cut.push(...cutTriangle(corners.slice(h, h + 3), sideOf, crossing));
    corners = cut;
  }
  return {
    mesh: {
      xM: Float64Array.from(xM),
      yM: Float64Array.from(yM),
      corners: Uint32Array.from([...others, ...corners]),
      regionOf: Uint32Array.from([...regionOf, ...new Array<number>(corners.length / 3).fill(region)]),
    },
    ...made,
  };
}

/** Values at the vertices of a cut mesh, straight along the edges that were cut. */
export function valuesOnCut(values: ArrayLike<number>, { mesh, from, to, share }: CutMesh): Float64Array {
  const all = new Float64Array(mesh.xM.length);
  all.set(Array.from(values));
  for (const [k, end] of from.entries()) all[values.length + k] = all[end]! + share[k]! * (all[to[k]!]! - all[end]!);
  return all;
}

/** The corners of the parts of a triangle, three each. */
function cutTriangle(
  corners: readonly number[],
  sideOf: (vertex: number) => number,
  crossing: (u: number, v: number) => number,
): readonly number[] {
  const sides = corners.map(sideOf);
  if (sides.every((side) => side >= 0) || sides.every((side) => side <= 0)) return corners;
  // Turned so that the line passes through the first corner, or cuts the first corner off.
  const onLine = sides.indexOf(0);
  const apart = sides.findIndex((side, k) => side * sides[(k + 1) % 3]! < 0 && side * sides[(k + 2) % 3]! < 0);
  const first = onLine >= 0 ? onLine : apart;
  const [a, b, c] = [0, 1, 2].map((k) => corners[(first + k) % 3]!) as [number, number, number];
  if (onLine >= 0) {
    const middle = crossing(b, c);
    return [a, b, middle, a, middle, c];
  }
  const [ab, ca] = [crossing(a, b), crossing(c, a)];
  return [a, ab, ca, ab, b, c, ab, c, ca];
}
