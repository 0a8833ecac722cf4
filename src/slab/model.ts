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
  /** The convex hull of all readings, counter-clockwise. */
  readonly readHull: Ring;
  /** The convex hull of each room's own readings, counter-clockwise, empty where it has no area: beyond it the room's levels are extrapolated. */
  readonly readHulls: readonly Ring[];
  /** Share of the floor beyond `readHulls`. */
  readonly extrapolatedArea: Share;
  /** How levels were carried to walls, columns and doors; the name of the method for the sheet. */
  readonly method: "thin-plate-spline" | "plane" | "nearest";
  /** How far a spline was smoothed, in squares of the usual distance between readings: 0 passes through all. */
  readonly smoothing?: number;
  /**
   * Of a scan whose points are not all shown: the surface through those that are, for what is drawn and laid out. Areas
   * and volumes are of the slab itself, which has every point.
   */
  readonly thinned?: Slab;
  /** Of a scan: the mesh vertex of each of its points. */
  readonly vertexOfScan?: Uint32Array;
  /** Root mean square of (predicted − read) when each reading in turn is left out; absent with fewer than 6 readings. */
  readonly leaveOneOutSd?: Millimetres;
}
