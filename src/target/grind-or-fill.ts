/**
 * Where high spots may be ground: how much to grind and how much to fill, at the least cost for both together.
 *
 * Both volumes, clipped at the plane, are convex in the plane, so the cost lies above each of its tangents. The least
 * over all tangents found so far bounds the cost from below, the tangent there is the next one, and so on until bound
 * and cost are as near as asked (Kelley, "The cutting-plane method for solving convex programs", SIAM J. 8, 1960).
 */

import type { Litres, Share } from "../units.ts";
import { type PositivePart, positiveParts } from "./clipped-moments.ts";
import {
  type Binding,
  type Contradiction,
  depthsUnder,
  distinct,
  type Ground,
  groundUnder,
  leastPlane,
  together,
} from "./least-plane.ts";
import { type ConstraintRef, type PlaneProgram, sameConstraint, solvePlane } from "./plane-program.ts";
import { type HalfSpace, linearObjective, type Vector } from "./small-program.ts";
import { type Plane, type PlaneWishes, planeOf, TIE_MM, unknownsOf, type Wish, wishOf, zoneProgram } from "./wishes.ts";
import type { ZoneFloor } from "./zone-floor.ts";

/** In any one currency, or hours: only their ratio decides. One mm ground off one m² is a litre. */
export interface CostPerLitre {
  /** Above nothing. */
  readonly fill: number;
  readonly grind: number;
}

export interface GrindOrFill {
  readonly kind: "found";
  readonly plane: Plane;
  /** ∫ max(depth, least depth). */
  readonly volume: Litres;
  readonly ground: Ground;
  readonly cost: number;
  /** The cost of no plane that keeps the wishes is less than this. */
  readonly costBound: number;
  readonly tangents: number;
}

/** Tangents before giving up on the gap. A floor takes some twenty to a hundred. */
const MOST_TANGENTS = 400;

/**
 * @param wishes with the room's heights that may be ground; limits on volume hold for what is to be filled
 * @param gap share of the cost by which the result may lie above the least, such as 1e-6; not under 1e-8. A limit on
 *   volume is kept to the same share
 * @throws where the gap is not reached, with the one that is
 */
export function grindOrFill(
  floor: ZoneFloor,
  wishes: PlaneWishes,
  cost: CostPerLitre,
  gap: Share,
): GrindOrFill | Contradiction {
  const lowest = leastPlane(floor, wishes);
  if (lowest.kind === "contradiction") return lowest;
  const zone = zoneProgram(floor, wishes);
  const { leastDepth } = wishes;
  const { area } = floor.whole;
  const more: HalfSpace[] = zone.program.more.map(({ normal, atLeast }) => ({ normal: [...normal, 0], atLeast }));
  const moreWishes: (Wish | undefined)[] = [...zone.moreWishes];
  const add = (halfSpace: HalfSpace, wish?: Wish): void => {
    more.push(halfSpace);
    moreWishes.push(wish);
  };

  const first = evaluate(floor, zone.program, lowest.plane, leastDepth, cost);
  // Filling alone costs less than everything together, which bounds the height; and no place lies lower than its bound.
  const bounds: ConstraintRef[] = [0, 1].map((k) => ({ family: "more", index: more.length + k }));
  add({ normal: [-1, 0, 0, 0], atLeast: -first.cost });
  add({ normal: [1, 0, 0, 0], atLeast: zone.program.lower.reduce((least, value) => Math.min(least, value)) });
  // A constraint missed by a tenth of what the gap leaves cannot spoil it.
  const slack = Math.min(zone.program.slack, (gap * first.cost) / 10);
  let best: Evaluation | undefined;
  let at: Evaluation = first;
  let carried: readonly ConstraintRef[] = [];
  for (let tangents = 1; tangents <= MOST_TANGENTS; tangents++) {
    const newest: ConstraintRef = { family: "more", index: more.length };
    add(tangentOf(at));
    const exceeded = wishes.limits.filter(
      ({ roomIndex, greatest }) => filled(at, roomIndex, floor, leastDepth) > greatest * (1 + gap),
    );
    for (const limit of exceeded) add(limitTangent(at, limit, floor, leastDepth), { kind: "volume", limit });
    if (exceeded.length === 0 && (!best || at.cost < best.cost)) best = at;

    const program: PlaneProgram = { ...zone.program, more, slack };
    // From where the tangents before had their least; any tangent together with the bounds has one.
    const start: ConstraintRef[] = [...bounds, ...carried, newest];
    const result = solvePlane(program, linearObjective([0, 0, 0, 1], tieCurvature(program.rim)), distinctRefs(start));
    if (result.kind === "infeasible") {
      const contradicting = result.conflict.flatMap((constraint) => {
        const wish =
          constraint.family === "more" ? moreWishes[constraint.index] : wishOf(floor, wishes, zone, constraint);
        return wish ? [wish] : [];
      });
      return { kind: "contradiction", wishes: distinct(contradicting) };
    }
    const bound = result.p[3]!;
    carried = result.carried.map(({ constraint }) => constraint);
    if (best && best.cost - bound <= gap * best.cost) {
      const plane = best.plane;
      return {
        kind: "found",
        plane,
        volume: filled(best, undefined, floor, leastDepth),
        ground: groundUnder(floor, plane, leastDepth),
        cost: best.cost * cost.fill * area,
        costBound: bound * cost.fill * area,
        tangents,
      };
    }
    at = evaluate(floor, zone.program, planeOf(floor, result.p), leastDepth, cost);
  }
  throw new Error(
    `the split of grinding and filling is not within ${gap} of the least after ${MOST_TANGENTS} tangents`,
  );
}

/** Without the cone, which is always there, and without what stands twice. */
const distinctRefs = (refs: readonly ConstraintRef[]): readonly ConstraintRef[] =>
  refs.filter((ref, i) => ref.family !== "rim" && i === refs.findIndex((other) => sameConstraint(ref, other)));

const tieCurvature = (rim: number): number => (rim > 0 ? (2 * TIE_MM) / rim ** 2 : 0);

/** A wish that leaves less than this much play, in mm, holds the split where it is. */
const HELD_MM = 1e-3;

/**
 * The wishes that the split's plane only just keeps: of the heights that may be ground the one that is used up, and
 * bounds at doors. Without a price: where costs are weighed against each other, giving one up may save nothing.
 */
export function heldBy(floor: ZoneFloor, wishes: PlaneWishes, plane: Plane): readonly Binding[] {
  const zone = zoneProgram(floor, wishes);
  const { u, v, lower, more } = zone.program;
  const [p0, p1, p2] = unknownsOf(floor, plane) as readonly [number, number, number];
  const refs: ConstraintRef[] = [];
  let lowest = 0;
  const playAt = (i: number): number => p0 + p1 * u[i]! + p2 * v[i]! - lower[i]!;
  for (let i = 1; i < lower.length; i++) if (playAt(i) < playAt(lowest)) lowest = i;
  if (playAt(lowest) <= HELD_MM) refs.push({ family: "lower", point: lowest });
  for (const [index, { normal, atLeast }] of more.entries()) {
    const [n0, n1, n2] = normal as readonly [number, number, number];
    if (n0 * p0 + n1 * p1 + n2 * p2 - atLeast <= HELD_MM && zone.moreWishes[index]!.kind !== "volume")
      refs.push({ family: "more", index });
  }
  const held = distinct(refs.map((ref) => wishOf(floor, wishes, zone, ref)));
  return together(held.map((wish) => ({ wish, price: 0 })));
}

interface Evaluation {
  readonly plane: Plane;
  readonly p: Vector;
  /** In mm: the cost over (area × the cost of filling a litre). */
  readonly cost: number;
  /** By p₀, p₁, p₂. */
  readonly slope: Vector;
  /** Of depth less the least depth, by room index; rooms outside the zone are empty. */
  readonly byRoom: readonly PositivePart[];
}

function evaluate(
  floor: ZoneFloor,
  { u, v }: PlaneProgram,
  plane: Plane,
  leastDepth: number,
  cost: CostPerLitre,
): Evaluation {
  const { area } = floor.whole;
  const spare = depthsUnder(floor, plane).map((depth) => depth - leastDepth);
  const byRoom = positiveParts(floor.mesh, spare, u, v, 1 + Math.max(...floor.rooms.keys()));
  const above = byRoom.reduce(added, NOTHING);
  const p = unknownsOf(floor, plane);
  const ratio = cost.grind / cost.fill;
  // ∫ max(−spare, 0) = ∫ max(spare, 0) − ∫ spare, and ∫ spare = area × (p₀ − least depth) about the centre of area.
  const below = above.volume / area - (p[0]! - leastDepth);
  return {
    plane,
    p,
    cost: leastDepth + above.volume / area + ratio * below,
    slope: [
      (1 + ratio) * (above.area / area) - ratio,
      (1 + ratio) * (above.momentU / area),
      (1 + ratio) * (above.momentV / area),
    ],
    byRoom,
  };
}

const NOTHING: PositivePart = { volume: 0, area: 0, momentU: 0, momentV: 0 };
const added = (a: PositivePart, b: PositivePart): PositivePart => ({
  volume: a.volume + b.volume,
  area: a.area + b.area,
  momentU: a.momentU + b.momentU,
  momentV: a.momentV + b.momentV,
});

const partOf = ({ byRoom }: Evaluation, roomIndex: number | undefined): PositivePart =>
  roomIndex === undefined ? byRoom.reduce(added, NOTHING) : byRoom[roomIndex]!;

/** ∫ max(depth, least depth) over the zone or one room. */
function filled(at: Evaluation, roomIndex: number | undefined, floor: ZoneFloor, leastDepth: number): Litres {
  const { area } = roomIndex === undefined ? floor.whole : floor.rooms.get(roomIndex)!;
  return leastDepth * area + partOf(at, roomIndex).volume;
}

/** cost ≥ cost there + slope · (p − p there). */
const tangentOf = ({ p, cost, slope }: Evaluation): HalfSpace => ({
  normal: [-slope[0]!, -slope[1]!, -slope[2]!, 1],
  atLeast: cost - (slope[0]! * p[0]! + slope[1]! * p[1]! + slope[2]! * p[2]!),
});

/** The volume's tangent kept under its limit, in mm over the area. */
function limitTangent(
  at: Evaluation,
  { roomIndex, greatest }: { readonly roomIndex?: number; readonly greatest: Litres },
  floor: ZoneFloor,
  leastDepth: number,
): HalfSpace {
  const { area } = roomIndex === undefined ? floor.whole : floor.rooms.get(roomIndex)!;
  const part = partOf(at, roomIndex);
  const slope = [part.area / area, part.momentU / area, part.momentV / area] as const;
  const [p0, p1, p2] = at.p as readonly [number, number, number];
  return {
    normal: [-slope[0], -slope[1], -slope[2], 0],
    atLeast:
      filled(at, roomIndex, floor, leastDepth) / area -
      greatest / area -
      (slope[0] * p0 + slope[1] * p1 + slope[2] * p2),
  };
}
