/** The plan that `layout` makes of the rooms: grid, points, pins, and how each is found on the floor. */
import type { Point, Polygon } from "../geometry/point.ts";
import type { Door, Obstacle, Wall } from "../job/model.ts";
import type { Metres } from "../units.ts";

export interface Plan {
  /** In the order of the job; a mesh region's index is an index into this. */
  readonly floors: readonly RoomFloor[];
  readonly gridLines: readonly GridLine[];
  readonly points: readonly PlanPoint[];
  readonly pins: readonly PlanPin[];
}

/** The floor of one room: its outline with its doorways joined on, less its columns and openings. */
export interface RoomFloor {
  readonly roomId: string;
  readonly name: string;
  readonly polygon: Polygon;
  readonly walls: readonly Wall[];
  readonly obstacles: readonly Obstacle[];
  readonly doors: readonly Door[];
}

/** A chalk line. Lettered lines have a constant y, numbered lines a constant x. */
export interface GridLine {
  readonly name: string;
  readonly axis: "lettered" | "numbered";
  readonly at: Metres;
  /** One for each stretch of a room that the line crosses and that has a wall to measure it from. */
  readonly offsets: readonly LineOffset[];
  /** Stretches in rooms that have no wall along the line: nothing is snapped there, their pins carry two offsets each. */
  readonly unsquared: readonly LineStretch[];
}

/** Where a grid line runs through a room, from outline to outline. */
export interface LineStretch {
  readonly roomIndex: number;
  /** Where the line enters and leaves the room's outline, in the direction of its axis. */
  readonly ends: readonly [Point, Point];
}

/** The running offset of a grid line in one room: square from one wall, never chained from line to line. */
export interface LineOffset extends LineStretch {
  readonly wallIndex: number;
  readonly distance: Metres;
}

/** A place where the level is read. */
export interface PlanPoint {
  readonly id: string;
  readonly at: Point;
  readonly roomIndex: number;
  readonly kind: "grid" | "door" | "extra";
}

/**
 * A place where a height pin stands. Every point is one; a pin may stand where nothing was read.
 * `between` pins stand where the grid is wider than the material's pins may be: `A1n` is north of A1,
 * `A1ne` north and east, `A1e2` the second one east.
 */
export interface PlanPin {
  readonly id: string;
  readonly at: Point;
  readonly roomIndex: number;
  readonly kind: "grid" | "between" | "door" | "extra";
  /** The door that the pin guards. */
  readonly doorId?: string;
  /** Two offsets square from two walls that are not parallel; absent on the grid where the lines say it. */
  readonly offsets?: readonly [WallOffset, WallOffset];
}

export interface WallOffset {
  readonly roomIndex: number;
  readonly wallIndex: number;
  /** Square from the wall's inside face (or its line carried on). */
  readonly distance: Metres;
}
