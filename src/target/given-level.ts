/** A level that the job gives: as such, from a bench mark, or from the finish beyond a door. */
import type { Diagnostic } from "../diagnostics.ts";
import type { Door, Job } from "../job/model.ts";
import type { Coverings, LevelSpec } from "../job/target-model.ts";
import type { Plan } from "../layout/model.ts";
import type { Slab } from "../slab/model.ts";
import type { Millimetres } from "../units.ts";
import { finishBeyond, type LevelsWithReport } from "./finish-beyond.ts";
import { inHeight, oneOf, problemAt } from "./in-words.ts";
import type { TargetStep } from "./model.ts";
import { slabAtDoor } from "./slab-at-door.ts";

export type Steps =
  | { readonly kind: "steps"; readonly steps: readonly TargetStep[] }
  | { readonly kind: "problem"; readonly problem: Diagnostic };

export const sumOfSteps = (steps: readonly TargetStep[]): Millimetres =>
  steps.reduce((sum, { amount }) => sum + amount, 0);

/** @param path of the top's keys within the job's target */
export function givenLevel(
  job: Job,
  plan: Plan,
  levels: LevelsWithReport,
  slab: Slab,
  spec: LevelSpec,
  path: readonly (string | number)[],
): Steps {
  switch (spec.kind) {
    case "level":
      return { kind: "steps", steps: [{ kind: spec.zeroIsTop ? "zero-is-top" : "given", amount: spec.top }] };
    case "bench-mark": {
      const benchMark = job.benchMarks.find(({ id }) => id === spec.benchMarkId);
      if (!benchMark) {
        return problem(job, [...path, "bench_mark"], {
          code: "bench-mark-unknown",
          message: `the target names bench mark ${spec.benchMarkId}, which the job does not have`,
          expected: oneOf(
            job.benchMarks.map(({ id }) => id),
            "bench marks",
          ),
        });
      }
      return {
        kind: "steps",
        steps: [
          { kind: "bench-mark", name: benchMark.id, amount: benchMark.level },
          { kind: "above", name: benchMark.id, amount: spec.above },
        ],
      };
    }
    case "door":
      return finishAtDoor(job, plan, levels, slab, spec.doorId, spec, [...path, "door"]);
  }
}

/** The top that makes the finish here meet the finish beyond a door: less the new covering here. */
export function finishAtDoor(
  job: Job,
  plan: Plan,
  levels: LevelsWithReport,
  slab: Slab,
  doorId: string,
  { buildUp, neighbourBuildUp }: Coverings,
  path: readonly (string | number)[],
): Steps {
  const found = findDoor(plan, doorId);
  if (!found) return unknownDoor(job, plan, doorId, path);
  const { door, roomIndex } = found;
  const beyond = finishBeyond(door, levels);
  if (beyond === undefined) {
    return problem(job, path, {
      code: "door-without-finish-level",
      message: `the target comes from door ${doorId}, but no finished level on its other side is given`,
      hint: `read the floor beyond door ${doorId} and give its level with the door`,
    });
  }
  const steps: TargetStep[] = [
    { kind: "neighbour-finish", name: doorId, amount: beyond },
    ...(neighbourBuildUp ?? []).map(
      ({ name, thickness }): TargetStep => ({ kind: "neighbour-layer", name, amount: thickness }),
    ),
  ];
  const finish = sumOfSteps(steps);
  const covering = buildUp.reduce((sum, { thickness }) => sum + thickness, 0);
  const drop = finish - slabAtDoor(slab, roomIndex, door).lowest;
  if (covering >= drop) {
    return problem(job, path, {
      code: "build-up-exceeds-drop",
      message: `the covering at door ${doorId} is ${inHeight(covering, job.units)} thick, but the slab lies ${inHeight(drop, job.units)} at most below the neighbour's finish there: nothing is left for the pour`,
      expected: `a build-up thinner than ${inHeight(drop, job.units)}`,
      hint: "check the layers and the neighbour's level; else a thinner covering, or a ramp at this door",
    });
  }
  return {
    kind: "steps",
    steps: [
      ...steps,
      ...buildUp.map(({ name, thickness }): TargetStep => ({ kind: "layer", name, amount: -thickness })),
    ],
  };
}

export function findDoor(plan: Plan, id: string): { readonly door: Door; readonly roomIndex: number } | undefined {
  for (const [roomIndex, floor] of plan.floors.entries()) {
    const door = floor.doors.find((candidate) => candidate.id === id);
    if (door) return { door, roomIndex };
  }
  return undefined;
}

export const unknownDoor = (
  job: Job,
  plan: Plan,
  doorId: string,
  path: readonly (string | number)[],
): { readonly kind: "problem"; readonly problem: Diagnostic } =>
  problem(job, path, {
    code: "door-unknown",
    message: `the target names door ${doorId}, which no room has`,
    expected: oneOf(
      plan.floors.flatMap(({ doors }) => doors.map(({ id }) => id)),
      "doors",
    ),
  });

const problem = (
  job: Job,
  path: readonly (string | number)[],
  what: Omit<Diagnostic, "severity" | "place">,
): { readonly kind: "problem"; readonly problem: Diagnostic } => ({
  kind: "problem",
  problem: problemAt(job, path, what),
});
