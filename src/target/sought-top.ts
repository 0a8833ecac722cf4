/** A top that is to be found: the wishes of the job, solved and explained. */
import type { Diagnostic } from "../diagnostics.ts";
import { pointAlong } from "../geometry/point.ts";
import type { DoorHeight, SoughtTop } from "../job/target-model.ts";
import type { Millimetres } from "../units.ts";
import { areaStep, contradictionsInWords, ruleStep } from "./contradictions.ts";
import { findDoor, finishAtDoor, sumOfSteps, unknownDoor } from "./given-level.ts";
import { grindOrFill, heldBy } from "./grind-or-fill.ts";
import { fallPastMaterial, inHeight, oneOf, problemAt, roomNames } from "./in-words.ts";
import { type Binding, type Contradiction, depthsUnder, groundUnder, leastPlane } from "./least-plane.ts";
import { lowestLevel } from "./lowest-level.ts";
import type { Placement, TargetStep } from "./model.ts";
import { givenUp, grindingTrial } from "./relax.ts";
import type { PlaceHeight, Plane, PlaneWishes, VolumeLimit } from "./wishes.ts";
import type { ZoneFloor } from "./zone-floor.ts";
import type { ZoneQuestion } from "./zone-question.ts";

export type Sought =
  | {
      readonly kind: "placed";
      readonly plane: Plane;
      readonly placement: Placement;
      readonly warnings: readonly Diagnostic[];
    }
  | { readonly kind: "problems"; readonly problems: readonly Diagnostic[] };

/** Grinding and filling are split to within this share of the least cost. */
const COST_GAP = 1e-6;

/**
 * Refuses a fall that the material does not allow, doors and rooms that are not the zone's, and wishes that contradict
 * each other: those are named, with what giving up each would take.
 */
export function seekTop(question: ZoneQuestion, spec: SoughtTop): Sought {
  const { job, floor, path } = question;
  const problems: Diagnostic[] = [];
  const warnings: Diagnostic[] = [];
  const greatestFall = fallAllowed(question, spec, problems, warnings);
  const places = spec.atDoors.flatMap((height, index) => heightAtDoor(question, height, index, problems));
  const grinding = grindingByRoom(question, spec, problems);
  if (spec.shape === "plane" && spec.grinding?.area !== undefined) {
    problems.push(
      problemAt(job, [...path, "grinding", "area"], {
        code: "ground-area-with-plane",
        message: "an area that may be ground in all goes with a level top, not with a plane",
        hint: "give the height that may be ground and the costs of grinding and filling, or seek a level",
      }),
    );
  }
  if (problems.length > 0) return { kind: "problems", problems };

  const wishes: PlaneWishes = {
    leastDepth: question.leastDepth,
    greatestDepth: Math.min(question.greatestDepth, spec.limits.greatestDepth ?? Number.POSITIVE_INFINITY),
    greatestFall,
    places,
    limits: volumeLimits(question, spec),
    grinding,
    ...(spec.grinding?.area === undefined ? {} : { groundArea: { area: spec.grinding.area } }),
  };
  const solved = solve(floor, wishes, spec);
  if (solved.kind === "contradiction") {
    return {
      kind: "problems",
      problems: contradictionsInWords(question, wishes, solved, spec, (on, eased) => solve(on, eased, spec)),
    };
  }
  const { plane, how, volume, cost } = solved;
  const binding = solved.binding.map((one) => areaPriced(question, wishes, spec, volume, one));
  const steps = stepsTo(question, plane, binding);
  return {
    kind: "placed",
    plane,
    placement: {
      how,
      steps,
      volume,
      ground: groundUnder(floor, plane, wishes.leastDepth),
      binding,
      trials: how === "grind-or-fill" || how === "given" ? [] : trialsOf(question, wishes, { plane, volume, binding }),
      ...(cost ? { cost } : {}),
    },
    warnings,
  };
}

/** What a stated step more of ground area saves is found by solving again: volume is not straight in the area. */
function areaPriced(
  { job, floor }: ZoneQuestion,
  wishes: PlaneWishes,
  spec: SoughtTop,
  volume: number,
  binding: Binding,
): Binding {
  const { wish } = binding;
  if (wish.kind !== "ground-area") return binding;
  const step = areaStep(job);
  const eased = solve(floor, givenUp(wishes, wish, step), spec);
  return eased.kind === "contradiction" ? binding : { wish, price: (volume - eased.volume) / step };
}

type Solved = Pick<Placement, "how" | "binding" | "volume" | "cost"> & {
  readonly kind: "found";
  readonly plane: Plane;
};

function solve(floor: ZoneFloor, wishes: PlaneWishes, { shape, grinding }: SoughtTop): Solved | Contradiction {
  if (grinding?.costs) {
    const { fillPerLitre, grindPerLitre } = grinding.costs;
    const split = grindOrFill(floor, wishes, { fill: fillPerLitre, grind: grindPerLitre }, COST_GAP);
    if (split.kind === "contradiction") return split;
    return {
      ...split,
      how: "grind-or-fill",
      binding: heldBy(floor, wishes, split.plane),
      cost: { total: split.cost, bound: split.costBound },
    };
  }
  if (shape === "plane") {
    const least = leastPlane(floor, wishes);
    return least.kind === "contradiction" ? least : { ...least, how: "least-plane" };
  }
  const lowest = lowestLevel(floor, wishes);
  return lowest.kind === "contradiction" ? lowest : { ...lowest, how: "lowest-level" };
}

function fallAllowed(
  { job, material, path }: ZoneQuestion,
  { shape, greatestFall }: SoughtTop,
  problems: Diagnostic[],
  warnings: Diagnostic[],
): number {
  if (shape === "level") return 0;
  const most = material.greatestFall;
  if (greatestFall !== undefined && greatestFall > most) {
    problems.push(problemAt(job, [...path, "greatest_fall"], fallPastMaterial(greatestFall, material, job.units)));
  }
  if (most === 0 && greatestFall === undefined) {
    warnings.push({
      ...problemAt(job, path, {
        code: "plane-is-level",
        message: `a plane is sought, but ${material.name} seeks level: the top is level`,
        hint: "seek a level, or use a material whose data sheet allows a fall",
      }),
      severity: "warning",
    });
  }
  return greatestFall ?? most;
}

function heightAtDoor(
  { job, plan, levels, slab, roomIndices, path }: ZoneQuestion,
  height: DoorHeight,
  index: number,
  problems: Diagnostic[],
): readonly PlaceHeight[] {
  const here = [...path, "at_doors", index];
  const { doorId } = height;
  const found = findDoor(plan, doorId);
  if (!found) {
    problems.push(unknownDoor(job, plan, doorId, [...here, "door"]).problem);
    return [];
  }
  const { door, roomIndex } = found;
  const joined = plan.floors.findIndex(({ roomId }) => door.joinsRoom && roomId === door.joins);
  if (!roomIndices.includes(roomIndex) && !roomIndices.includes(joined)) {
    problems.push(
      problemAt(job, [...here, "door"], {
        code: "door-of-another-zone",
        message: `door ${doorId} leads neither into nor out of ${roomNames(plan, roomIndices)}`,
        expected: "a door of the rooms that this top covers",
      }),
    );
    return [];
  }
  const middle = [pointAlong(...door.jambs, door.width / 2)];
  switch (height.kind) {
    case "held":
      return [{ name: doorId, at: middle, atLeast: height.top, atMost: height.top }];
    case "flush": {
      const finish = finishAtDoor(job, plan, levels, slab, doorId, height, here);
      if (finish.kind === "problem") {
        problems.push(finish.problem);
        return [];
      }
      const top = sumOfSteps(finish.steps);
      return [{ name: doorId, at: middle, atLeast: top, atMost: top }];
    }
    case "bounded": {
      const { atLeast, atMost } = height;
      if (atLeast !== undefined && atMost !== undefined && atLeast > atMost) {
        problems.push(
          problemAt(job, here, {
            code: "heights-contradict",
            message: `the top at door ${doorId} is wished at ${inHeight(atLeast, job.units)} at least and at ${inHeight(atMost, job.units)} at most`,
            expected: "at_least not above at_most",
          }),
        );
        return [];
      }
      return [
        {
          name: doorId,
          at: door.jambs,
          ...(atLeast === undefined ? {} : { atLeast }),
          ...(atMost === undefined ? {} : { atMost }),
        },
      ];
    }
  }
}

function grindingByRoom(
  { job, plan, roomIndices, path }: ZoneQuestion,
  { grinding }: SoughtTop,
  problems: Diagnostic[],
): ReadonlyMap<number, Millimetres> {
  if (!grinding) return new Map();
  const { height, roomIds } = grinding;
  if (!roomIds) return new Map(roomIndices.map((room) => [room, height]));
  return new Map(
    roomIds.flatMap((id, index): [number, Millimetres][] => {
      const room = plan.floors.findIndex(({ roomId }) => roomId === id);
      if (roomIndices.includes(room)) return [[room, height]];
      problems.push(
        problemAt(job, [...path, "grinding", "rooms", index], {
          code: "room-unknown",
          message: `grinding is allowed in room ${id}, which this top does not cover`,
          expected: oneOf(
            roomIndices.map((roomIndex) => plan.floors[roomIndex]!.roomId),
            "rooms",
          ),
        }),
      );
      return [];
    }),
  );
}

/** Limits as the most that may lie in place above the prepared slab: what its roughness swallows is taken off. */
function volumeLimits({ job, floor, material }: ZoneQuestion, { limits }: SoughtTop): readonly VolumeLimit[] {
  const { lossAllowance, profileAllowance } = job.pour;
  const found: VolumeLimit[] = [];
  if (limits.bags !== undefined) {
    // Bags × yield = (volume + profile) × (1 + loss), as the bags are counted.
    const mixed = (limits.bags * material.yieldPerBag) / (1 + lossAllowance);
    found.push({ reason: "bags", greatest: mixed - profileAllowance * floor.whole.area, stated: limits.bags });
  }
  // 1 mm of a mix of d kg/L weighs d kg on a square metre.
  const litresUnder = (deadLoad: number, area: number): number =>
    (deadLoad / material.wetDensity - profileAllowance) * area;
  if (limits.deadLoad !== undefined) {
    found.push({
      reason: "dead-load",
      greatest: litresUnder(limits.deadLoad, floor.whole.area),
      stated: limits.deadLoad,
    });
  }
  if (limits.roomDeadLoad !== undefined) {
    for (const [roomIndex, { area }] of floor.rooms) {
      found.push({
        reason: "dead-load",
        roomIndex,
        greatest: litresUnder(limits.roomDeadLoad, area),
        stated: limits.roomDeadLoad,
      });
    }
  }
  return found;
}

/** Adds up to the plane's `top`, which is its height at the plan's origin. */
function stepsTo({ plan, floor, roomIndices, leastDepth }: ZoneQuestion, plane: Plane, binding: readonly Binding[]) {
  const isLevel = plane.fallEast === 0 && plane.fallNorth === 0;
  const wish = isLevel ? binding.find(({ wish: { kind } }) => kind !== "greatest-fall")?.wish : undefined;
  const steps: TargetStep[] = [];
  if (wish?.kind === "least-depth") {
    const ground = leastDepth - depthsUnder(floor, plane)[wish.vertex]!;
    steps.push(
      { kind: "high-place", name: roomNames(plan, wish.roomIndices), amount: wish.slabLevel },
      { kind: "least-depth", amount: leastDepth },
    );
    if (wish.grinding > 0) steps.push({ kind: "ground", amount: -ground });
  } else if (wish?.kind === "place-held" || wish?.kind === "place-at-least") {
    steps.push({ kind: "door-bound", name: wish.place, amount: wish.level });
  } else if (wish?.kind === "ground-area") {
    steps.push({ kind: "ground-area", amount: plane.top });
  } else {
    const { centroid } = floor.whole;
    const middle = plane.top + plane.fallEast * centroid.x + plane.fallNorth * centroid.y;
    steps.push({ kind: "middle-of-plane", name: roomNames(plan, roomIndices), amount: middle });
    if (!isLevel) steps.push({ kind: "back-to-zero", amount: plane.top - middle });
  }
  return steps;
}

/** Grinding is tried one and three steps of the rule deep. */
const TRIAL_STEPS = [1, 3] as const;

function trialsOf(
  { job, floor }: ZoneQuestion,
  wishes: PlaneWishes,
  found: { readonly plane: Plane; readonly volume: number; readonly binding: readonly Binding[] },
) {
  return found.binding.flatMap(({ wish }) =>
    wish.kind === "least-depth"
      ? TRIAL_STEPS.map((count) => grindingTrial(floor, wishes, found, wish, count * ruleStep(job)))
      : [],
  );
}
