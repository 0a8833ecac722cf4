/** A floor as a scanner or a total station gave it out: heights already reduced, far more than anyone reads by hand. */
import type { Metres, Millimetres } from "../units.ts";
import type { PlanFit } from "./plan-fit.ts";

export interface ScanSpec {
  /** As the job file names it. */
  readonly file: string;
  /** One a row of the file that has a height, in its order; on the job's plan. */
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  /** Above the job's zero, mm. */
  readonly levelMm: Float64Array;
  /** The line of the file that each stands on, from 1. */
  readonly line: Uint32Array;
  /** Of one height against its neighbours, as the office states it. */
  readonly sd: Millimetres;
  /** How far from a pin the heights may stand that its own is made of; absent for the usual. */
  readonly pinReach?: Metres;
  /** ISO date of the scan, where the job has it. */
  readonly date?: string;
  /** How the file's coordinates were brought onto the plan; absent where they were the plan's already. */
  readonly fit?: PlanFit;
}
