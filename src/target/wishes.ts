/** What the top of one zone has to keep, in the office's terms, and as the program of a plane. */

import { vertexAt } from "../geometry/mesh.ts";
import type { Point } from "../geometry/point.ts";
import type { Litres, Millimetres, MillimetresPerMetre, SquareMetres } from "../units.ts";
import { type ConstraintRef, type PlaneProgram, slackFor } from "./plane-program.ts";
import { type HalfSpace, linearObjective, type Objective, type Vector } from "./small-program.ts";
import type { ZoneFloor } from "./zone-floor.ts";

export interface PlaneWishes {
  readonly leastDepth: Millimetres;
  readonly greatestDepth?: Millimetres;
  /** 0 for material that seeks level. */
  readonly greatestFall: MillimetresPerMetre;
  readonly places: readonly PlaceHeight[];
  readonly limits: readonly VolumeLimit[];
  /** The most that may be ground off, by room index; nothing in rooms that are not there. */
  readonly grinding: ReadonlyMap<number, Millimetres>;
  /**
   * For a level top: the most area that may be ground. `lowestLevel` finds the height of the top under which it would be
   * more; before that the area binds nothing.
   */
  readonly groundArea?: { readonly area: SquareMetres; readonly top?: Millimetres };
}

/** The height of the top at a named place, held where both bounds are the same. */
export interface PlaceHeight {
  /** The door, or what else the office calls it. */
  readonly name: string;
  /** One point for a height that is held; both ends of the opening for bounds. */
  readonly at: readonly Point[];
  readonly atLeast?: Millimetres;
  readonly atMost?: Millimetres;
}

/** The most that may be poured, in place, over the whole zone or in one room. */
export interface VolumeLimit {
  readonly reason: "bags" | "dead-load";
  readonly roomIndex?: number;
  readonly greatest: Litres;
  /** The limit as the office gave it: bags, or kg/m². */
  readonly stated: number;
}

/** One of the wishes, as it binds or contradicts others. */
export type Wish =
  | {
      readonly kind: "least-depth" | "greatest-depth";
      readonly at: Point;
      /** The rooms that meet there: one, or two in a doorway. */
      readonly roomIndices: readonly number[];
      /** Vertex of the zone's floor. */
      readonly vertex: number;
      readonly slabLevel: Millimetres;
      /** The least depth less what may be ground here, or the greatest depth. */
      readonly depth: Millimetres;
      readonly grinding: Millimetres;
    }
  | {
      readonly kind: "place-held" | "place-at-least" | "place-at-most";
      readonly place: string;
      readonly at: Point;
      readonly level: Millimetres;
    }
  | { readonly kind: "greatest-fall"; readonly fall: MillimetresPerMetre }
  | { readonly kind: "volume"; readonly limit: VolumeLimit }
  | { readonly kind: "ground-area"; readonly area: SquareMetres };

/** The plane of a zone's top, as `TargetZone` has it. */
export interface Plane {
  readonly top: Millimetres;
  readonly fallEast: MillimetresPerMetre;
  readonly fallNorth: MillimetresPerMetre;
}

/**
 * The program whose unknowns are the height at the zone's centre above its mean slab level and the rises over one
 * radius east and north, all in mm; the objective (volume over area) is the first of them.
 */
export interface ZoneProgram {
  readonly program: PlaneProgram;
  /** The wish behind each of `program.more`. */
  readonly moreWishes: readonly Wish[];
}

/** Planes whose mean depths differ by less than this tie; the one with the least fall is taken. */
export const TIE_MM = 1e-8;

export function zoneProgram(floor: ZoneFloor, wishes: PlaneWishes): ZoneProgram {
  const { mesh, levelMm, whole, radius } = floor;
  const { leastDepth, greatestDepth, greatestFall } = wishes;
  const u = mesh.xM.map((x) => (x - whole.centroid.x) / radius);
  const v = mesh.yM.map((y) => (y - whole.centroid.y) / radius);
  const grinding = grindingMm(floor, wishes.grinding);
  const lower = levelMm.map((level, i) => level - whole.meanLevel + leastDepth - grinding[i]!);
  const more: HalfSpace[] = [];
  const moreWishes: Wish[] = [];
  const add = (sign: 1 | -1, at: Point, level: Millimetres, wish: Wish): void => {
    const east = (at.x - whole.centroid.x) / radius;
    const north = (at.y - whole.centroid.y) / radius;
    // Adding 0 turns a -0 that the sign makes into 0.
    more.push({ normal: [sign, sign * east + 0, sign * north + 0], atLeast: sign * (level - whole.meanLevel) });
    moreWishes.push(wish);
  };
  for (const { name, at, atLeast, atMost } of wishes.places) {
    const held = atLeast !== undefined && atLeast === atMost;
    for (const place of at) {
      if (atLeast !== undefined) {
        add(1, place, atLeast, {
          kind: held ? "place-held" : "place-at-least",
          place: name,
          at: place,
          level: atLeast,
        });
      }
      if (atMost !== undefined) {
        add(-1, place, atMost, { kind: held ? "place-held" : "place-at-most", place: name, at: place, level: atMost });
      }
    }
  }
  for (const limit of wishes.limits) {
    const part = limit.roomIndex === undefined ? whole : floor.rooms.get(limit.roomIndex);
    if (!part) throw new Error(`a limit names room index ${limit.roomIndex}, which is not in the zone`);
    // With the least depth kept the volume is area × (height at the centre of area − mean slab level).
    add(-1, part.centroid, limit.greatest / part.area + part.meanLevel, { kind: "volume", limit });
  }
  if (wishes.groundArea?.top !== undefined) {
    const { area, top } = wishes.groundArea;
    add(1, whole.centroid, top, { kind: "ground-area", area });
  }
  let size = greatestFall * radius;
  for (const value of lower) size = Math.max(size, Math.abs(value));
  for (const { atLeast } of more) size = Math.max(size, Math.abs(atLeast));
  return {
    program: {
      u,
      v,
      lower,
      ...(greatestDepth === undefined
        ? {}
        : { upper: levelMm.map((level) => level - whole.meanLevel + greatestDepth) }),
      more,
      rim: greatestFall * radius,
      slack: slackFor(size),
    },
    moreWishes,
  };
}

/** What may be ground at each vertex: where rooms meet, what may be ground in both. */
export function grindingMm({ mesh, levelMm }: ZoneFloor, byRoom: PlaneWishes["grinding"]): Float64Array {
  const most = new Float64Array(levelMm.length);
  if (byRoom.size === 0) return most;
  most.fill(Number.POSITIVE_INFINITY);
  for (let triangle = 0; triangle < mesh.regionOf.length; triangle++) {
    const here = byRoom.get(mesh.regionOf[triangle]!) ?? 0;
    for (let k = 0; k < 3; k++) {
      const vertex = mesh.corners[3 * triangle + k]!;
      most[vertex] = Math.min(most[vertex]!, here);
    }
  }
  return most;
}

/** Volume over area, ties settled by the least fall. */
export function leastVolume(rim: number): Objective {
  const curvature = rim > 0 ? (2 * TIE_MM) / rim ** 2 : 0;
  return linearObjective([1, 0, 0], curvature);
}

/** The constraint that asks for most at the centre when the top is level: with the cone it bounds the volume from below. */
export function firstConstraint({ lower }: PlaneProgram): ConstraintRef {
  let highest = 0;
  for (let i = 1; i < lower.length; i++) if (lower[i]! > lower[highest]!) highest = i;
  return { family: "lower", point: highest };
}

export function planeOf(floor: ZoneFloor, p: Vector): Plane {
  const [p0, p1, p2] = p as readonly [number, number, number];
  const { whole, radius } = floor;
  const fallEast = p1 / radius;
  const fallNorth = p2 / radius;
  return {
    top: whole.meanLevel + p0 - fallEast * whole.centroid.x - fallNorth * whole.centroid.y,
    fallEast,
    fallNorth,
  };
}

export function unknownsOf(floor: ZoneFloor, plane: Plane): Vector {
  const { whole, radius } = floor;
  return [
    plane.top + plane.fallEast * whole.centroid.x + plane.fallNorth * whole.centroid.y - whole.meanLevel,
    plane.fallEast * radius,
    plane.fallNorth * radius,
  ];
}

export function wishOf(
  floor: ZoneFloor,
  wishes: PlaneWishes,
  { moreWishes }: ZoneProgram,
  constraint: ConstraintRef,
): Wish {
  switch (constraint.family) {
    case "rim":
      return { kind: "greatest-fall", fall: wishes.greatestFall };
    case "more":
      return moreWishes[constraint.index]!;
    case "lower":
    case "upper": {
      const vertex = constraint.point;
      const grinding = constraint.family === "lower" ? grindingMm(floor, wishes.grinding)[vertex]! : 0;
      return {
        kind: constraint.family === "lower" ? "least-depth" : "greatest-depth",
        at: vertexAt(floor.mesh, vertex),
        roomIndices: roomsOfVertex(floor, vertex),
        vertex,
        slabLevel: floor.levelMm[vertex]!,
        depth: constraint.family === "lower" ? wishes.leastDepth - grinding : wishes.greatestDepth!,
        grinding,
      };
    }
  }
}

function roomsOfVertex({ mesh }: ZoneFloor, vertex: number): readonly number[] {
  const rooms = new Set<number>();
  for (let corner = mesh.corners.indexOf(vertex); corner >= 0; corner = mesh.corners.indexOf(vertex, corner + 1)) {
    rooms.add(mesh.regionOf[Math.floor(corner / 3)]!);
  }
  return [...rooms].sort((a, b) => a - b);
}
