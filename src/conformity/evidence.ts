/** Everything that a verdict can rest on. */
import type { Point } from "../geometry/point.ts";
import type { MeasuredGap, SampleLine } from "../job/contract-model.ts";
import type { Job, PlanUnit } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Slab } from "../slab/model.ts";
import type { Millimetres } from "../units.ts";
import type { FloorSurface } from "./floor-profiles.ts";
import type { FloorJoints } from "./joints.ts";
import type { NoisyLevels } from "./level-noise.ts";

export interface Evidence {
  readonly job: Job;
  readonly plan: Plan;
  readonly levels: NoisyLevels;
  readonly slab: Slab;
  /** The slab, or the finished floor, made ready to be cut. */
  readonly surface: FloorSurface;
  readonly lines: readonly SampleLine[];
  readonly gaps: readonly MeasuredGap[];
  /** Construction joints, moving joints, and dams at which the pour hardened. */
  readonly joints: FloorJoints;
  /** ISO dates of the readings and of the pour, where they are on record. */
  readonly date?: string;
  readonly poured?: string;
  readonly planUnit: PlanUnit;
}

/** A place to correct before it has its id and its offsets. */
export interface Correction {
  readonly work: "grind" | "fill";
  readonly at: Point;
  readonly least?: Millimetres;
  readonly whole: Millimetres;
  readonly instead?: { readonly work: "grind" | "fill"; readonly at: Point; readonly least: Millimetres };
  readonly ends?: readonly [Point, Point];
  readonly area?: number;
  readonly name?: string;
}
