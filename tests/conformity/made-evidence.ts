/** A finished floor made by hand: one rectangular room or more, levels from a formula at the points of its plan. */
import { judgeFloor } from "../../src/conformity/judge.ts";
import type { Conformity } from "../../src/conformity/model.ts";
import type { Outcome } from "../../src/diagnostics.ts";
import { vertexAt, vertexCount } from "../../src/geometry/mesh.ts";
import { point } from "../../src/geometry/point.ts";
import { triangulateFloor } from "../../src/geometry/triangulate.ts";
import type { ContractRule, MeasuredGap, SampleLine } from "../../src/job/contract-model.ts";
import type { FloorLine, Job, Room } from "../../src/job/model.ts";
import { layOut } from "../../src/layout/lay-out.ts";
import type { Plan } from "../../src/layout/model.ts";
import type { Slab } from "../../src/slab/model.ts";
import type { Levels } from "../../src/survey/model.ts";
import type { Target } from "../../src/target/model.ts";
import { madeJob, madeRoom, madeSurvey, rectangle } from "../layout/made-job.ts";

export const madePlace = (line: number) => ({ file: "made.yaml", line, column: 1, length: 1, lineText: "" });

type WithoutBase<T> = T extends unknown ? Omit<T, "source" | "place"> : never;
export const asked = (rule: WithoutBase<ContractRule>): ContractRule => ({
  ...rule,
  source: "contract, section 7",
  place: madePlace(1),
});

export interface MadeFloor {
  readonly rooms?: readonly Room[];
  readonly spacing?: number;
  readonly origin?: readonly [number, number];
  readonly rules: readonly ContractRule[];
  readonly level?: (x: number, y: number) => number;
  readonly sd?: number;
  readonly lines?: readonly SampleLine[];
  readonly gaps?: readonly MeasuredGap[];
  /** Absent where the job does not say. */
  readonly joints?: readonly FloorLine[];
  /** Null where the job has no date of the pour on record. */
  readonly poured?: string | null;
  readonly date?: string;
  readonly floor?: "raw-slab" | "finished";
  readonly job?: Partial<Job>;
  readonly withoutTarget?: boolean;
  readonly change?: (made: { plan: Plan; levels: Levels; slab: Slab }) => { plan: Plan; levels: Levels; slab: Slab };
}

const flatTarget = (rooms: number): Target => ({
  zones: [{ roomIndices: Array.from({ length: rooms }, (_, k) => k), top: 0, fallEast: 0, fallNorth: 0 }],
  steps: [],
});

export function judged(made: MadeFloor): Outcome<Conformity> {
  const { level = () => 0, sd = 0.2, floor = "finished" } = made;
  const rooms = made.rooms ?? [madeRoom("hall", rectangle(0, 0, 12, 9))];
  const [east, north] = made.origin ?? [0.4, 0.5];
  const spacing = made.spacing ?? 0.4;
  const survey = {
    ...madeSurvey([], { origin: point(east, north), spacingEast: spacing, spacingNorth: spacing }),
    byHand: { lines: made.lines ?? [], gaps: made.gaps ?? [] },
    ...(made.joints && { joints: made.joints }),
  };
  const job = madeJob(rooms, {
    survey,
    units: { plan: "m", height: "mm" },
    contract: { rules: made.rules },
    finished: {
      date: made.date ?? "2027-03-08",
      ...(made.poured !== null && { poured: made.poured ?? "2027-03-04" }),
      survey,
    },
    ...made.job,
  });
  const plan = layOut(job);
  if (plan.kind !== "ready") throw new Error(JSON.stringify(plan));
  const points = plan.value.points.map(({ id, at, roomIndex }) => ({
    id,
    at,
    roomIndex,
    level: level(at.x, at.y),
    sd,
    timesRead: 1,
  }));
  const found = triangulateFloor(
    plan.value.floors.map(({ polygon }) => polygon),
    points.map(({ at }) => at),
  );
  if (found.kind === "failed") throw new Error(found.why);
  const { mesh, vertexOfPoint } = found;
  const wasRead = new Uint8Array(vertexCount(mesh));
  for (const vertex of vertexOfPoint) wasRead[vertex] = 1;
  const slab: Slab = {
    mesh,
    levelMm: Float64Array.from(wasRead, (_, vertex) => level(vertexAt(mesh, vertex).x, vertexAt(mesh, vertex).y)),
    wasRead,
    vertexOfPoint,
    area: 108,
    readHull: [],
    readHulls: [],
    extrapolatedArea: 0.1,
    method: "nearest",
  };
  const all = { plan: plan.value, levels: { points, unchecked: true }, slab };
  const { plan: usedPlan, levels, slab: usedSlab } = made.change ? made.change(all) : all;
  return judgeFloor({
    job,
    floor,
    plan: usedPlan,
    levels,
    slab: usedSlab,
    ...(made.withoutTarget ? {} : { target: flatTarget(rooms.length) }),
  });
}

export function verdictOf(made: MadeFloor): Conformity {
  const outcome = judged(made);
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome, null, 1));
  return outcome.value;
}
