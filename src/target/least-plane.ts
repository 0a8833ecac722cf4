/** The plane with the least material that keeps every wish, and what each wish costs. */
import { above } from "../geometry/level.ts";
import { point } from "../geometry/point.ts";
import type { Litres, Millimetres, MillimetresPerMetre, SquareMetres } from "../units.ts";
import { dropAt, type Top } from "./drain-falls.ts";
import { solvePlane } from "./plane-program.ts";
import {
  firstConstraint,
  leastVolume,
  type Plane,
  type PlaneWishes,
  planeOf,
  type Wish,
  wishOf,
  zoneProgram,
} from "./wishes.ts";
import type { ZoneFloor } from "./zone-floor.ts";

export interface LeastPlane {
  readonly kind: "found";
  readonly plane: Plane;
  /** ∫ max(depth, least depth): places to be ground are filled to the least depth. */
  readonly volume: Litres;
  /** The wishes that keep the plane from lying lower: at most three. */
  readonly binding: readonly Binding[];
}

export interface Binding {
  readonly wish: Wish;
  /**
   * What the volume falls by for each unit that the wish is given up: litres per mm of height, litres per mm/m for
   * the greatest fall, litres per litre for a limit on volume, litres per m² for the area that may be ground.
   */
  readonly price: number;
}

/** Wishes that contradict each other; any fewer of them could be kept. */
export interface Contradiction {
  readonly kind: "contradiction";
  readonly wishes: readonly Wish[];
}

/**
 * With the least depth kept everywhere the volume is linear in the plane, and the result is its exact least
 * value; ties go to the least fall. Where grinding is allowed, each place may be ground as far as the plane
 * then needs, and the plane is the lowest; what grinding costs is weighed in `grindOrFill`.
 */
export function leastPlane(floor: ZoneFloor, wishes: PlaneWishes): LeastPlane | Contradiction {
  const zone = zoneProgram(floor, wishes);
  const { program } = zone;
  const result = solvePlane(program, leastVolume(program.rim), [firstConstraint(program)]);
  if (result.kind === "infeasible") {
    return {
      kind: "contradiction",
      wishes: distinct(result.conflict.map((constraint) => wishOf(floor, wishes, zone, constraint))),
    };
  }
  const plane = planeOf(floor, result.p);
  const { area } = floor.whole;
  return {
    kind: "found",
    plane,
    volume: volumeToOrder(floor, plane, wishes.leastDepth),
    binding: together(
      result.carried.map(({ constraint, price }) => {
        const wish = wishOf(floor, wishes, zone, constraint);
        return { wish, price: pricePerUnit(floor, wish, price * area) };
      }),
    ),
  };
}

/** A bound at a door holds at both of its jambs and is one wish: given up, it gives way at both. */
export function together(binding: readonly Binding[]): readonly Binding[] {
  const isSame = (a: Wish, b: Wish): boolean =>
    a.kind === b.kind && "place" in a && "place" in b && a.place === b.place;
  return binding.flatMap(({ wish, price }, index) =>
    binding.slice(0, index).some((earlier) => isSame(earlier.wish, wish))
      ? []
      : [{ wish, price: price + sumOver(binding.slice(index + 1).filter((later) => isSame(later.wish, wish))) }],
  );
}

const sumOver = (binding: readonly Binding[]): number => binding.reduce((sum, { price }) => sum + price, 0);

/** From litres per mm of a constraint of the program to litres per unit of the wish. */
function pricePerUnit(floor: ZoneFloor, wish: Wish, litresPerMm: number): number {
  if (wish.kind === "greatest-fall") return litresPerMm * floor.radius;
  if (wish.kind !== "volume") return litresPerMm;
  const { roomIndex } = wish.limit;
  return litresPerMm / (roomIndex === undefined ? floor.whole : floor.rooms.get(roomIndex)!).area;
}

/** A height that is held makes two constraints and is one wish. */
export function distinct(wishes: readonly Wish[]): readonly Wish[] {
  return wishes.filter(
    (wish, index) =>
      wish.kind !== "place-held" ||
      index === wishes.findIndex((other) => other.kind === "place-held" && other.place === wish.place),
  );
}

/** Depth of the pour at every vertex of the zone's floor; below nothing where the slab stands above the plane. */
export function depthsUnder(
  { mesh: { xM, yM }, levelMm }: ZoneFloor,
  { top, fallEast, fallNorth, drain }: Top,
): Float64Array {
  const depths = levelMm.map((level, i) => top + fallEast * xM[i]! + fallNorth * yM[i]! - level);
  if (drain) for (let i = 0; i < depths.length; i++) depths[i]! -= dropAt(drain, point(xM[i]!, yM[i]!));
  return depths;
}

/** ∫ max(depth, least depth) = least depth × area + ∫ max(depth − least depth, 0). */
export function volumeToOrder(floor: ZoneFloor, plane: Top, leastDepth: Millimetres): Litres {
  return leastDepth * floor.whole.area + above(floor.mesh, depthsUnder(floor, plane), leastDepth).integral;
}

/** What the grinder takes so that the least depth is kept everywhere. */
export interface Ground {
  readonly area: SquareMetres;
  readonly volume: Litres;
  readonly height: Millimetres;
}

export function groundUnder(floor: ZoneFloor, plane: Top, leastDepth: Millimetres): Ground {
  const missing = depthsUnder(floor, plane).map((depth) => leastDepth - depth);
  const { area, integral } = above(floor.mesh, missing, 0);
  return { area, volume: integral, height: missing.reduce((most, by) => Math.max(most, by), 0) };
}

export const fallOf = ({ fallEast, fallNorth }: Plane): MillimetresPerMetre => Math.hypot(fallEast, fallNorth);
