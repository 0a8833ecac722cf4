import { type Diagnostic, type Outcome, ready, refused } from "../diagnostics.ts";
import { distance } from "../geometry/point.ts";
import type { Material } from "../job/library-model.ts";
import type { Job } from "../job/model.ts";
import { isSameMaterial } from "../job/same-material.ts";
import type { LevelSpec, OneTopSpec, ZoneSpec } from "../job/target-model.ts";
import type { Plan } from "../layout/model.ts";
import type { Slab } from "../slab/model.ts";
import type { Top } from "./drain-falls.ts";
import { fallsToDrain } from "./drain-top.ts";
import type { LevelsWithReport } from "./finish-beyond.ts";
import { givenLevel, sumOfSteps } from "./given-level.ts";
import { fallPastMaterial, inHeight, oneOf, problemAt } from "./in-words.ts";
import { depthsUnder, groundUnder, volumeToOrder } from "./least-plane.ts";
import { meetsOf } from "./meets.ts";
import type { Placement, Target, TargetZone } from "./model.ts";
import { seekTop } from "./sought-top.ts";
import type { Plane } from "./wishes.ts";
import { type ZoneFloor, zoneFloor } from "./zone-floor.ts";

/**
 * Where the top of the pour goes, by what the job asks for, with the steps that lead there.
 *
 * Refuses what names a bench mark, door or room that is not there; a door without a neighbour's finished level; a
 * build-up that leaves no room for the pour at its door; a top below the slab everywhere; a fall that the material does
 * not keep; wishes that contradict each other; zones that do not cover every room once, or that meet at a door with
 * different heights and no word on how.
 */
export function placeTarget(job: Job, plan: Plan, levels: LevelsWithReport, slab: Slab): Outcome<Target> {
  const spec = job.target;
  const everywhere = plan.floors.map((_, index) => index);
  if (spec.kind !== "zones") {
    const placed = placeZone(job, plan, levels, slab, { spec, roomIndices: everywhere, material: undefined, path: [] });
    if (placed.kind === "problems") return refused(placed.problems);
    const { zone, placement, warnings } = placed;
    return ready({ zones: [zone], steps: placement.steps, placements: [placement] }, warnings);
  }

  const rooms = roomsOfZones(job, plan, slab, spec.zones);
  if (rooms.kind === "problems") return refused(rooms.problems);
  const placed = spec.zones.map(({ top, material }, index) =>
    placeZone(job, plan, levels, slab, {
      spec: top,
      roomIndices: rooms.byZone[index]!,
      material,
      path: ["zones", index],
    }),
  );
  const problems = placed.flatMap((zone) => (zone.kind === "problems" ? zone.problems : []));
  if (problems.length > 0) return refused(problems);
  const found = placed.flatMap((zone) => (zone.kind === "placed" ? [zone] : []));
  const zones = found.map(({ zone }) => zone);
  if (zones.every(({ material }) => material !== undefined && !isSameMaterial(material, job.material)))
    return refused([materialPouredNowhere(job)]);
  const meets = meetsOf(job, plan, slab, zones, spec.meets);
  if (meets.problems.length > 0) return refused(meets.problems);
  return ready(
    {
      zones,
      steps: found.flatMap(({ placement }) => placement.steps),
      placements: found.map(({ placement }) => placement),
      meets: meets.meets,
    },
    found.flatMap(({ warnings }) => warnings),
  );
}

const materialPouredNowhere = (job: Job): Diagnostic =>
  problemAt(job, ["zones"], {
    code: "material-poured-nowhere",
    message: `every zone of the target has a material of its own, so ${job.material.name}, the job's material, is poured nowhere`,
    expected: "one zone at least without a material of its own",
    hint: "make the material of one zone the job's",
  });

interface ZoneToPlace {
  readonly spec: OneTopSpec;
  readonly roomIndices: readonly number[];
  /** Absent for the job's. */
  readonly material: Material | undefined;
  /** Of its keys within the job's target. */
  readonly path: readonly (string | number)[];
}

type Placed =
  | {
      readonly kind: "placed";
      readonly zone: TargetZone;
      readonly placement: Placement;
      readonly warnings: readonly Diagnostic[];
    }
  | { readonly kind: "problems"; readonly problems: readonly Diagnostic[] };

function placeZone(
  job: Job,
  plan: Plan,
  levels: LevelsWithReport,
  slab: Slab,
  { spec, roomIndices, material, path }: ZoneToPlace,
): Placed {
  const used = material ?? job.material;
  const range = used.depthOn[job.floor.substrate];
  if (!range) {
    return {
      kind: "problems",
      problems: [
        problemAt(job, path, {
          code: "no-depth-on-substrate",
          message: `the data sheet of ${used.name} gives no least and greatest depth over ${job.floor.substrate}`,
          hint: "take another material, or enter what its data sheet says for this substrate",
        }),
      ],
    };
  }
  const floor = zoneFloor(slab, roomIndices);
  const zoneAt = (plane: Plane): TargetZone => ({ roomIndices, ...plane, ...(material ? { material } : {}) });
  if (spec.kind === "sought") {
    const sought = seekTop(
      {
        job,
        plan,
        levels,
        slab,
        floor,
        roomIndices,
        material: used,
        leastDepth: range.least,
        greatestDepth: range.greatest,
        path,
      },
      spec,
    );
    if (sought.kind === "problems") return sought;
    return { ...sought, zone: zoneAt(sought.plane) };
  }
  const given =
    spec.kind === "sloped"
      ? slopedPlane(job, used, spec, path)
      : levelPlane(job, plan, levels, slab, spec.kind === "falls-to-drain" ? spec.walls : spec, path);
  if (given.kind === "problem") return { kind: "problems", problems: [given.problem] };
  const { plane, steps } = given;
  if (spec.kind === "falls-to-drain") {
    const leastDepth = range.least;
    const falls = fallsToDrain(
      { job, plan, levels, slab, roomIndices, material: used, leastDepth, path },
      spec,
      plane.top,
    );
    if (falls.kind === "problem") return { kind: "problems", problems: [falls.problem] };
    const { drain, warnings } = falls;
    const placement = givenPlacement(zoneFloor(slab, roomIndices, drain), { ...plane, drain }, steps, leastDepth);
    return { kind: "placed", zone: { ...zoneAt(plane), drain }, placement, warnings };
  }
  const deepest = depthsUnder(floor, plane).reduce((most, depth) => Math.max(most, depth));
  if (deepest <= 0) {
    return {
      kind: "problems",
      problems: [
        problemAt(job, path, {
          code: "target-below-slab",
          message: `the top of the pour lies below the slab everywhere, by ${inHeight(-deepest, job.units)} at the least`,
          expected: `a top at least ${inHeight(-deepest, job.units)} higher`,
          hint: "check on which side of zero the readings are, and where zero was set",
        }),
      ],
    };
  }
  return {
    kind: "placed",
    zone: zoneAt(plane),
    placement: givenPlacement(floor, plane, steps, range.least),
    warnings: [],
  };
}

type GivenPlane =
  | { readonly kind: "plane"; readonly plane: Plane; readonly steps: Placement["steps"] }
  | { readonly kind: "problem"; readonly problem: Diagnostic };

function levelPlane(
  job: Job,
  plan: Plan,
  levels: LevelsWithReport,
  slab: Slab,
  spec: LevelSpec,
  path: readonly (string | number)[],
): GivenPlane {
  const given = givenLevel(job, plan, levels, slab, spec, path);
  if (given.kind === "problem") return given;
  return { kind: "plane", plane: { top: sumOfSteps(given.steps), fallEast: 0, fallNorth: 0 }, steps: given.steps };
}

function slopedPlane(
  job: Job,
  material: Material,
  { at, top, fall, towards }: Extract<OneTopSpec, { kind: "sloped" }>,
  path: readonly (string | number)[],
): GivenPlane {
  const run = distance(at, towards);
  const problem = (what: Parameters<typeof problemAt>[2]): GivenPlane => ({
    kind: "problem",
    problem: problemAt(job, path, what),
  });
  if (!(run > 0)) {
    return problem({
      code: "fall-without-direction",
      message: "the top is to fall towards the very place where its height is given",
      expected: "two places: one with the height, one that it falls towards",
    });
  }
  if (fall > material.greatestFall) return problem(fallPastMaterial(fall, material, job.units));
  const fallEast = (-fall * (towards.x - at.x)) / run;
  const fallNorth = (-fall * (towards.y - at.y)) / run;
  const atOrigin = top - fallEast * at.x - fallNorth * at.y;
  return {
    kind: "plane",
    plane: { top: atOrigin, fallEast, fallNorth },
    steps: [
      { kind: "given", amount: top },
      { kind: "back-to-zero", amount: atOrigin - top },
    ],
  };
}

const givenPlacement = (floor: ZoneFloor, plane: Top, steps: Placement["steps"], leastDepth: number): Placement => ({
  how: "given",
  steps,
  volume: volumeToOrder(floor, plane, leastDepth),
  ground: groundUnder(floor, plane, leastDepth),
  binding: [],
  trials: [],
});

function roomsOfZones(
  job: Job,
  plan: Plan,
  slab: Slab,
  zones: readonly ZoneSpec[],
):
  | { readonly kind: "rooms"; readonly byZone: readonly (readonly number[])[] }
  | { readonly kind: "problems"; readonly problems: readonly Diagnostic[] } {
  const problems: Diagnostic[] = [];
  const zoneOfRoom = new Map<number, number>();
  const withFloor = new Set(slab.mesh.regionOf);
  const byZone = zones.map(({ roomIds }, zone) =>
    roomIds.flatMap((id, index) => {
      const path = ["zones", zone, "rooms", index];
      const room = plan.floors.findIndex(({ roomId }) => roomId === id);
      const before = zoneOfRoom.get(room);
      if (room < 0) {
        problems.push(
          problemAt(job, path, {
            code: "room-unknown",
            message: `a zone of the target names room ${id}, which the job does not have`,
            expected: oneOf(
              plan.floors.map(({ roomId }) => roomId),
              "rooms",
            ),
          }),
        );
        return [];
      }
      if (before !== undefined) {
        problems.push(
          problemAt(job, path, {
            code: "room-in-two-zones",
            message: `room ${id} is in zone ${before + 1} and again in zone ${zone + 1} of the target`,
            expected: "every room in one zone",
          }),
        );
        return [];
      }
      zoneOfRoom.set(room, zone);
      return [room];
    }),
  );
  for (const [zone, rooms] of byZone.entries()) {
    if (rooms.some((room) => withFloor.has(room))) continue;
    problems.push(
      problemAt(job, ["zones", zone], {
        code: "zone-without-area",
        message: `zone ${zone + 1} of the target has no floor`,
        expected: "a zone over one room at least",
      }),
    );
  }
  const left = plan.floors.filter((_, index) => !zoneOfRoom.has(index));
  if (left.length > 0) {
    problems.push(
      problemAt(job, ["zones"], {
        code: "room-without-zone",
        message: `no zone of the target covers ${left.map(({ roomId }) => roomId).join(", ")}`,
        expected: "every room in one zone",
      }),
    );
  }
  return problems.length > 0 ? { kind: "problems", problems } : { kind: "rooms", byZone };
}
