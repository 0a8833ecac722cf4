/** What the readings say of the slab: one level a point, all from the job's zero. */
import type { Point } from "../geometry/point.ts";
import type { Millimetres } from "../units.ts";

export interface Levels {
  readonly points: readonly PointLevel[];
  /** True where no point was read twice and nothing ties back: the levels could not be checked. */
  readonly unchecked: boolean;
}

export interface PointLevel {
  readonly id: string;
  readonly at: Point;
  readonly roomIndex: number;
  readonly level: Millimetres;
  /** Standard deviation of the level. */
  readonly sd: Millimetres;
  readonly timesRead: number;
}
