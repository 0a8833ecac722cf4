/**
 * A triangle mesh of a floor plan. Vertices are shared between triangles, except along a break
 * line, where each side has its own vertex at the same place, so that a step can have two heights.
 */
import { type Point, point } from "./point.ts";

export interface Mesh {
  /** Vertex coordinates in metres. */
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  /** Corner indices, three a triangle, counter-clockwise. */
  readonly corners: Uint32Array;
  /** For each triangle the index of the region (a room of the floor) that it lies in. */
  readonly regionOf: Uint32Array;
  /**
   * Half-edge h runs from corner h to the next corner of its triangle; twin[h] is the half-edge of the
   * neighbour that runs back along it, or −1 at the rim of the mesh and along a break line.
   * The triangulation fills it in; `twinsOf` works it out for a mesh made another way.
   */
  readonly twin?: Int32Array;
}

export const vertexCount = (mesh: Mesh): number => mesh.xM.length;
export const triangleCount = (mesh: Mesh): number => mesh.regionOf.length;

export const vertexAt = (mesh: Mesh, vertex: number): Point => point(mesh.xM[vertex]!, mesh.yM[vertex]!);

/** The triangle of a half-edge. */
export const triangleOf = (h: number): number => (h / 3) | 0;

/** The half-edge after h, and the one before, round its triangle. */
export const nextHalfEdge = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1);
export const previousHalfEdge = (h: number): number => (h % 3 === 0 ? h + 2 : h - 1);

/** The twin of every half-edge, −1 at the rim. Throws where two triangles run the same way along an edge. */
export function twinsOf(mesh: Mesh): Int32Array {
  if (mesh.twin) return mesh.twin;
  const { corners } = mesh;
  const twin = new Int32Array(corners.length).fill(-1);
  const open = new Map<number, number>();
  const n = vertexCount(mesh);
  for (let h = 0; h < corners.length; h++) {
    const u = corners[h]!;
    const v = corners[nextHalfEdge(h)]!;
    const back = open.get(v * n + u);
    if (back !== undefined) {
      twin[h] = back;
      twin[back] = h;
      open.delete(v * n + u);
      continue;
    }
    if (open.has(u * n + v)) throw new Error(`two triangles run the same way from vertex ${u} to vertex ${v}`);
    open.set(u * n + v, h);
  }
  return twin;
}
