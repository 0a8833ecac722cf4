/** A top that falls to a point drain, from what the job gives: level along the walls, height at the drain, least fall. */
import type { Diagnostic } from "../diagnostics.ts";
import { distance } from "../geometry/point.ts";
import { polygonContains } from "../geometry/polygon.ts";
import type { Material } from "../job/library-model.ts";
import type { Job } from "../job/model.ts";
import type { DrainTop } from "../job/target-model.ts";
import type { Plan } from "../layout/model.ts";
import { levelAt } from "../slab/level-at.ts";
import type { Slab } from "../slab/model.ts";
import type { Levels } from "../survey/model.ts";
import type { Millimetres } from "../units.ts";
import { type DrainFalls, type Facet, facetsOf, wallDistances } from "./drain-falls.ts";
import { fallPastMaterial, inFall, inHeight, inLength, problemAt, roomNames } from "./in-words.ts";

export type FoundFalls =
  | { readonly kind: "falls"; readonly drain: DrainFalls; readonly warnings: readonly Diagnostic[] }
  | { readonly kind: "problem"; readonly problem: Diagnostic };

export interface DrainQuestion {
  readonly job: Job;
  readonly plan: Plan;
  readonly levels: Levels;
  readonly slab: Slab;
  readonly roomIndices: readonly number[];
  readonly material: Material;
  readonly leastDepth: Millimetres;
  /** Of the top's keys within the job's target. */
  readonly path: readonly (string | number)[];
}

/** Nearer to a wall's line than this, in metres, a drain has no plane from that wall: a grate is wider. */
const LEAST_FROM_WALL_M = 0.05;
/** Falls that agree to this, in mm/m, are the same: a tenth of a millimetre over a hall. */
const SAME_FALL = 1e-3;

/**
 * Refuses a zone of several rooms, a drain that is on no floor or does not see every wall, no drop at all, planes that
 * fall less than the job asks or more than the material keeps, and too little depth at the drain.
 * @param alongWalls level of the top along the walls
 */
export function fallsToDrain(question: DrainQuestion, spec: DrainTop, alongWalls: Millimetres): FoundFalls {
  const { job, plan, slab, roomIndices, material, leastDepth, path } = question;
  const { units } = job;
  const no = (key: string, problem: Omit<Diagnostic, "severity" | "place">): FoundFalls => ({
    kind: "problem",
    problem: problemAt(job, [...path, key], problem),
  });
  const [room] = roomIndices as [number];
  if (roomIndices.length !== 1) {
    return no("drain", {
      code: "drain-over-several-rooms",
      message: `a top falls to one drain over ${roomNames(plan, roomIndices)}`,
      expected: "one room, whose walls the top falls from",
      hint: "give each room a zone of its own, with its own drain or a level top",
    });
  }
  const { polygon, walls, name } = plan.floors[room]!;
  const outline = walls.map(({ from }) => from);
  if (!polygonContains(polygon, spec.drain)) {
    return no("drain", {
      code: "drain-off-the-floor",
      message: `the drain at (${inLength(spec.drain.x, units)}, ${inLength(spec.drain.y, units)}) is not on the floor of ${name}`,
      expected: "a place on the floor of the room, from the same corner as its walls",
    });
  }
  const distances = wallDistances(spec.drain, outline);
  const hidden = distances.findIndex((distance) => !(distance >= LEAST_FROM_WALL_M));
  if (hidden >= 0) {
    return no("drain", {
      code: "drain-does-not-see-a-wall",
      message: `the drain does not stand clear inside the ${walls[hidden]!.name} of ${name}: no plane runs from that wall down to it`,
      expected: `a drain that sees every wall of its room, ${inLength(LEAST_FROM_WALL_M, units)} at least from the line of each`,
      hint: "make the room two, each falling to a drain or to a line of its own",
    });
  }
  const farthest = Math.max(...distances);
  const drop = spec.drainTop === undefined ? spec.leastFall! * farthest : alongWalls - spec.drainTop;
  if (!(drop > 0)) {
    return no("drain_top", {
      code: "drain-not-below-walls",
      message: `the top is to be at ${inHeight(spec.drainTop ?? alongWalls, units)} at the drain and at ${inHeight(alongWalls, units)} along the walls: it does not fall`,
      expected: "a lower height at the drain than along the walls",
    });
  }
  const drain: DrainFalls = { at: spec.drain, outline, drop };
  const facets = facetsOf(drain).toSorted((a, b) => a.fall - b.fall);
  const [flattest, steepest] = [facets[0]!, facets.at(-1)!];
  const from = ({ wall, distance }: Facet): string => `from the ${walls[wall]!.name}, ${inLength(distance, units)} off`;
  if (spec.leastFall !== undefined && flattest.fall < spec.leastFall - SAME_FALL) {
    const needed = spec.leastFall * farthest;
    return no("fall", {
      code: "drain-fall-too-small",
      message: `the top falls ${inHeight(drop, units)} to the drain, which is ${inFall(flattest.fall, units)} ${from(flattest)}, less than the ${inFall(spec.leastFall, units)} asked for`,
      expected: `${inHeight(needed, units)} between walls and drain at least`,
      hint: `set the drain at ${inHeight(alongWalls - needed, units)} or lower, or the top along the walls at ${inHeight(spec.drainTop! + needed, units)} or higher`,
    });
  }
  if (steepest.fall > material.greatestFall + SAME_FALL) {
    const { message, ...rest } = fallPastMaterial(steepest.fall, material, units);
    return no("drain", {
      ...rest,
      message: `${from(steepest)}, ${message}`,
      hint:
        material.greatestFall > 0
          ? `set the drain higher, ask for less fall, or move it towards the middle: its flattest plane falls ${inFall(flattest.fall, units)}`
          : "make it a zone of its own in a stiff, trowelled material",
    });
  }
  const slabThere = levelAt(slab, spec.drain, room);
  const depth = slabThere === undefined ? undefined : alongWalls - drop - slabThere;
  if (depth !== undefined && depth < leastDepth - 1e-6) {
    return no("drain", {
      code: "drain-too-shallow",
      message: `at the drain the top is at ${inHeight(alongWalls - drop, units)} and the slab at ${inHeight(slabThere!, units)}: ${inHeight(depth, units)} is left for ${material.name}, which needs ${inHeight(leastDepth, units)}`,
      expected: `a top at the drain of ${inHeight(slabThere! + leastDepth, units)} or higher`,
      hint: `raise the top along the walls by ${inHeight(leastDepth - depth, units)}, ask for less fall, or grind or chase the slab about the drain and read it again`,
    });
  }
  return { kind: "falls", drain, warnings: drainNotRead(question, spec) };
}

/** A point this near to the drain, in metres, tells its level: a grate's own width. */
const READ_AT_DRAIN_M = 0.3;

/** The depth at the drain decides; where nobody read the slab there it rests on readings farther off, and no pin stands there. */
function drainNotRead({ job, plan, levels, roomIndices, path }: DrainQuestion, { drain }: DrainTop): Diagnostic[] {
  const isRead = levels.points.some(
    ({ at, roomIndex }) => roomIndices.includes(roomIndex) && distance(at, drain) <= READ_AT_DRAIN_M,
  );
  if (isRead) return [];
  return [
    {
      ...problemAt(job, [...path, "drain"], {
        code: "drain-not-read",
        message: `no reading of ${roomNames(plan, roomIndices)} lies within ${inLength(READ_AT_DRAIN_M, job.units)} of the drain: the depth there is only as good as the surface between readings`,
        hint: "read an extra point at the drain: it gets a pin of its own too",
      }),
      severity: "warning",
    },
  ];
}
