/** Slabs for tests: the plan's floors triangulated over the points that were read, with levels from a function of place. */

import { measureDepths } from "../../src/depths/measure-depths.ts";
import type { Depths } from "../../src/depths/model.ts";
import type { Diagnostic, Outcome } from "../../src/diagnostics.ts";
import { meshArea } from "../../src/geometry/level.ts";
import type { Point } from "../../src/geometry/point.ts";
import { convexHull } from "../../src/geometry/polygon.ts";
import { triangulateFloor } from "../../src/geometry/triangulate.ts";
import type { Job } from "../../src/job/model.ts";
import { layOut } from "../../src/layout/lay-out.ts";
import type { Plan } from "../../src/layout/model.ts";
import type { Slab } from "../../src/slab/model.ts";
import type { Levels } from "../../src/survey/model.ts";
import type { Target } from "../../src/target/model.ts";
import { madeReading, madeSurvey } from "../layout/made-job.ts";

export function madeSlab(plan: Plan, levels: Levels, levelAt: (p: Point) => number): Slab {
  const made = triangulateFloor(
    plan.floors.map(({ polygon }) => polygon),
    levels.points.map(({ at }) => at),
  );
  if (made.kind === "failed") throw new Error(made.why);
  const { mesh, vertexOfPoint } = made;
  const wasRead = new Uint8Array(mesh.xM.length);
  for (const vertex of vertexOfPoint) wasRead[vertex] = 1;
  return {
    mesh,
    levelMm: mesh.xM.map((x, vertex) => levelAt({ x, y: mesh.yM[vertex]! })),
    wasRead,
    vertexOfPoint,
    area: meshArea(mesh),
    readHull: convexHull(levels.points.map(({ at }) => at)),
    readHulls: plan.floors.map((_, room) =>
      convexHull(levels.points.filter(({ roomIndex }) => roomIndex === room).map(({ at }) => at)),
    ),
    extrapolatedArea: 0,
    method: "plane",
  };
}

export const levelTarget = (top: number, rooms = 1): Target => ({
  zones: [{ roomIndices: Array.from({ length: rooms }, (_, k) => k), top, fallEast: 0, fallNorth: 0 }],
  steps: [],
});

/** A job laid out, every point but those at doors read at the level of the function, and its depths under a target. */
export function depthsOf(
  job: Job,
  levelAt: (p: Point) => number,
  target: Target = levelTarget(0, job.rooms.length),
): { depths: Depths; plan: Plan; slab: Slab; warnings: readonly Diagnostic[] } {
  const { outcome, plan, slab } = measured(job, levelAt, target);
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return { depths: outcome.value, plan, slab, warnings: outcome.warnings };
}

/** The same, whatever comes of it. */
export function measured(
  job: Job,
  levelAt: (p: Point) => number,
  target: Target = levelTarget(0, job.rooms.length),
): { outcome: Outcome<Depths>; plan: Plan; slab: Slab } {
  const planned = layOut(job);
  if (planned.kind !== "ready") throw new Error(JSON.stringify(planned));
  const plan = planned.value;
  const levels: Levels = {
    points: plan.points
      .filter(({ kind }) => kind !== "door")
      .map(({ id, at, roomIndex }) => ({ id, at, roomIndex, level: levelAt(at), sd: 0.5, timesRead: 1 })),
    unchecked: true,
  };
  const readings = levels.points.map(({ id, level }, k) => madeReading(id, level, k + 1));
  const slab = madeSlab(plan, levels, levelAt);
  const { grid, extraPoints } = job.survey;
  const read: Job = { ...job, survey: { ...madeSurvey(readings, grid), extraPoints } };
  return { outcome: measureDepths(read, plan, levels, slab, target), plan, slab };
}
