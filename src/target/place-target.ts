import type { Diagnostic, Outcome } from "../diagnostics.ts";
import { ready, refused } from "../diagnostics.ts";
import type { Door, Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Slab } from "../slab/model.ts";
import type { Levels } from "../survey/model.ts";
import type { Millimetres } from "../units.ts";
import type { Target, TargetStep } from "./model.ts";
import { slabAtDoor } from "./slab-at-door.ts";

/**
 * Where the top of the pour goes, by what the job asks for, with the steps that lead there.
 *
 * Refuses a bench mark or door that is not there, a door without a neighbour's finished level, a build-up
 * that leaves no room for the pour at its door, and a top that lies below the slab everywhere.
 */
export function placeTarget(job: Job, plan: Plan, _levels: Levels, slab: Slab): Outcome<Target> {
  const derived = deriveLevel(job, plan, slab);
  if ("problem" in derived) return refused([derived.problem]);
  const { steps } = derived;
  const top: Millimetres = steps.reduce((sum, step) => sum + step.amount, 0);
  const target: Target = {
    zones: [{ roomIndices: plan.floors.map((_, index) => index), top, fallEast: 0, fallNorth: 0 }],
    steps,
  };

  let lowestSlab = Number.POSITIVE_INFINITY;
  for (const level of slab.levelMm) lowestSlab = Math.min(lowestSlab, level);
  if (top <= lowestSlab) {
    return refused([
      at(job, {
        code: "target-below-slab",
        message: `the top of the pour, ${mm(top)}, lies below the slab everywhere; the slab's lowest place is at ${mm(lowestSlab)}`,
        expected: `a top above ${mm(lowestSlab)}`,
        hint: "check on which side of zero the readings are, and where zero was set",
      }),
    ]);
  }
  return ready(target);
}

type Derived = { readonly steps: readonly TargetStep[] } | { readonly problem: Diagnostic };

function deriveLevel(job: Job, plan: Plan, slab: Slab): Derived {
  const spec = job.target;
  switch (spec.kind) {
    case "level":
      return { steps: [{ kind: spec.zeroIsTop ? "zero-is-top" : "given", amount: spec.top }] };

    case "bench-mark": {
      const benchMark = job.benchMarks.find((candidate) => candidate.id === spec.benchMarkId);
      if (!benchMark) {
        return {
          problem: at(job, {
            code: "bench-mark-unknown",
            message: `the target names bench mark ${spec.benchMarkId}, which the job does not have`,
            expected: oneOf(
              job.benchMarks.map(({ id }) => id),
              "bench marks",
            ),
          }),
        };
      }
      return {
        steps: [
          { kind: "bench-mark", name: benchMark.id, amount: benchMark.level },
          { kind: "above", amount: spec.above },
        ],
      };
    }

    case "door": {
      const found = findDoor(plan, spec.doorId);
      if (!found) {
        return {
          problem: at(job, {
            code: "door-unknown",
            message: `the target names door ${spec.doorId}, which no room has`,
            expected: oneOf(
              plan.floors.flatMap(({ doors }) => doors.map(({ id }) => id)),
              "doors",
            ),
          }),
        };
      }
      const { door, roomIndex } = found;
      if (door.neighbourFinish === undefined) {
        return {
          problem: at(job, {
            code: "door-without-finish-level",
            message: `the target comes from door ${door.id}, but no finished level on its other side is given`,
            hint: `read the finished floor beyond door ${door.id} and give its level with the door`,
          }),
        };
      }
      const steps: TargetStep[] = [
        { kind: "neighbour-finish", name: door.id, amount: door.neighbourFinish },
        ...spec.buildUp.map(({ name, thickness }): TargetStep => ({ kind: "layer", name, amount: -thickness })),
      ];
      const buildUp = spec.buildUp.reduce((sum, { thickness }) => sum + thickness, 0);
      const { lowest } = slabAtDoor(slab, roomIndex, door);
      const drop = door.neighbourFinish - lowest;
      if (buildUp >= drop) {
        return {
          problem: at(job, {
            code: "build-up-exceeds-drop",
            message: `the covering at door ${door.id} is ${mm(buildUp)} thick, but the slab lies at most ${mm(drop)} below the neighbour's finish there: nothing is left for the pour`,
            expected: `a build-up thinner than ${mm(drop)}`,
            hint: "check the layers and the neighbour's level; else a thinner covering, or a ramp at this door",
          }),
        };
      }
      return { steps };
    }
  }
}

function findDoor(plan: Plan, id: string): { readonly door: Door; readonly roomIndex: number } | undefined {
  for (const [roomIndex, floor] of plan.floors.entries()) {
    const door = floor.doors.find((candidate) => candidate.id === id);
    if (door) return { door, roomIndex };
  }
  return undefined;
}

const at = (job: Job, problem: Omit<Diagnostic, "severity" | "place">): Diagnostic => ({
  severity: "error",
  ...problem,
  place: job.source.place(["target"]),
});

/** A height in a message: a tenth of a millimetre is as fine as anyone reads. */
const mm = (value: Millimetres): string => `${Number(value.toFixed(1))} mm`;

const oneOf = (ids: readonly string[], what: string): string =>
  ids.length === 0 ? `there are no ${what} in this job` : `one of ${ids.join(", ")}`;
