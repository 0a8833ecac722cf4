import type { Material } from "../job/library-model.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Slab } from "../slab/model.ts";
import type { Levels } from "../survey/model.ts";
import type { Millimetres } from "../units.ts";
import type { ZoneFloor } from "./zone-floor.ts";

/** What a top is sought for. */
export interface ZoneQuestion {
  readonly job: Job;
  readonly plan: Plan;
  readonly levels: Levels;
  readonly slab: Slab;
  readonly floor: ZoneFloor;
  readonly roomIndices: readonly number[];
  readonly material: Material;
  readonly leastDepth: Millimetres;
  readonly greatestDepth: Millimetres;
  /** Of the top's keys within the job's target. */
  readonly path: readonly (string | number)[];
}
