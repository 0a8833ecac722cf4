/** The slab as a triangulated surface over the whole floor, walls included. */
import type { Mesh } from "../geometry/mesh.ts";
import type { Ring } from "../geometry/point.ts";
import type { Millimetres, Share, SquareMetres } from "../units.ts";

export interface Slab {
  /** Regions are the rooms of the plan, by index. */
  readonly mesh: Mesh;
  /** Level of each vertex above the job's zero. */
  readonly levelMm: Float64Array;
  /** 1 where the vertex was read, 0 where its level was carried to it. */
  readonly wasRead: Uint8Array;
  /** Index of the mesh vertex of each point of `Levels`, in that order. */
  readonly vertexOfPoint: Uint32Array;
  readonly area: SquareMetres;
  /** The convex hull of the readings, counter-clockwise: beyond it levels are extrapolated. */
  readonly readHull: Ring;
  readonly extrapolatedArea: Share;
  /** How levels were carried to walls, columns and doors; the name of the method for the sheet. */
  readonly method: "thin-plate-spline" | "plane" | "nearest";
  /** Spread of (predicted − read) when each reading in turn is left out; absent with fewer than 6 readings. */
  readonly leaveOneOutSd?: Millimetres;
}
