/** Pours for tests: made floors planned through depths and quantities. */
import type { Depths } from "../../src/depths/model.ts";
import type { Diagnostic, Outcome } from "../../src/diagnostics.ts";
import type { Point } from "../../src/geometry/point.ts";
import { point } from "../../src/geometry/point.ts";
import type { Crew, Material } from "../../src/job/library-model.ts";
import type { Door, Job, PourSpec, Room } from "../../src/job/model.ts";
import type { Plan } from "../../src/layout/model.ts";
import type { PourablePlan, PourPlan, UnpourablePlan } from "../../src/pour/model.ts";
import { planPour } from "../../src/pour/plan-pour.ts";
import { countQuantities } from "../../src/quantities/count-quantities.ts";
import type { Quantities } from "../../src/quantities/model.ts";
import { depthsOf } from "../depths/made-slab.ts";
import { madeDoor, madeJob, madeSurvey } from "../layout/made-job.ts";

export interface PlannedPour {
  readonly plan: PourPlan;
  readonly layout: Plan;
  readonly depths: Depths;
  readonly quantities: Quantities;
  readonly warnings: readonly Diagnostic[];
}

export function outcomeOf(
  job: Job,
  depthAt: (p: Point) => number,
): { outcome: Outcome<PourPlan>; layout: Plan; depths: Depths; quantities: Quantities } {
  const { depths, plan } = depthsOf(job, (p) => -depthAt(p));
  const counted = countQuantities(job, depths);
  if (counted.kind !== "ready") throw new Error("no quantities");
  return { outcome: planPour(job, plan, depths, counted.value), layout: plan, depths, quantities: counted.value };
}

export function planned(job: Job, depthAt: (p: Point) => number): PlannedPour {
  const { outcome, ...rest } = outcomeOf(job, depthAt);
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return { plan: outcome.value, warnings: outcome.warnings, ...rest };
}

export function pourable(job: Job, depthAt: (p: Point) => number): PlannedPour & { plan: PourablePlan } {
  const made = planned(job, depthAt);
  if (made.plan.kind !== "can-be-poured") throw new Error(made.warnings.map(({ message }) => message).join("\n"));
  return { ...made, plan: made.plan };
}

export function unpourable(job: Job, depthAt: (p: Point) => number): PlannedPour & { plan: UnpourablePlan } {
  const made = planned(job, depthAt);
  if (made.plan.kind !== "cannot-be-poured") throw new Error(`can be poured, in ${made.plan.bays.length} bays`);
  return { ...made, plan: made.plan };
}

interface Changes {
  readonly crew?: Partial<Crew>;
  readonly material?: Partial<Material>;
  readonly pour?: Partial<PourSpec>;
  readonly spacing?: number;
  readonly rest?: Partial<Job>;
}

/** A job over these rooms with times on the data sheet, a crew that keeps up with most rooms, and pins a metre or two apart. */
export function pourJob(rooms: readonly Room[], { crew, material, pour, spacing = 1.5, rest }: Changes = {}): Job {
  const base = madeJob(rooms, {
    survey: madeSurvey([], { origin: point(0.5, 0.5), spacingEast: spacing, spacingNorth: spacing }),
    ...rest,
  });
  return {
    ...base,
    material: { ...base.material, flowTime: 20, healingTime: 13, ...material },
    crew: { ...base.crew, people: 8, barrels: 4, ...crew },
    pour: { ...base.pour, ...pour },
  };
}

/** A door out of the room, the crew's way in and out unless said otherwise. */
export const doorOut = (room: Room, wall: number, from: number, width = 0.9, thick = 0, id = "OUT"): Door =>
  madeDoor(room, id, wall, from, width, thick);

/** A door into another room. */
export const doorTo = (
  room: Room,
  joins: string,
  wall: number,
  from: number,
  width = 0.9,
  thick = 0,
  id = joins,
): Door => ({
  ...madeDoor(room, id, wall, from, width, thick),
  joins,
  joinsRoom: true,
  entrance: false,
});

export const withDoors = (room: Room, ...doors: Door[]): Room => ({ ...room, doors });
