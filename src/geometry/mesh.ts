/**
 * A triangle mesh of a floor plan. Vertices are shared between triangles, except along a break
 * line, where each side has its own vertex at the same place, so that a step can have two heights.
 */
import type { Point } from "./point.ts";

export interface Mesh {
  /** Vertex coordinates in metres. */
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  /** Corner indices, three a triangle, counter-clockwise. */
  readonly corners: Uint32Array;
  /** For each triangle the index of the region (a room of the floor) that it lies in. */
  readonly regionOf: Uint32Array;
}

export const vertexCount = (mesh: Mesh): number => mesh.xM.length;
export const triangleCount = (mesh: Mesh): number => mesh.regionOf.length;

export const vertexAt = (mesh: Mesh, vertex: number): Point => ({
  x: mesh.xM[vertex] as number,
  y: mesh.yM[vertex] as number,
});
