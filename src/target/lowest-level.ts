/** The lowest level top that keeps every wish, with high spots ground to a stated height over a stated area in all. */
import { areaAbove } from "../geometry/level.ts";
import type { Litres, Millimetres } from "../units.ts";
import {
  type Binding,
  type Contradiction,
  type Ground,
  groundUnder,
  leastPlane,
  volumeToOrder,
} from "./least-plane.ts";
import type { Plane, PlaneWishes } from "./wishes.ts";
import type { ZoneFloor } from "./zone-floor.ts";

export interface LowestLevel {
  readonly kind: "found";
  readonly plane: Plane;
  readonly volume: Litres;
  readonly ground: Ground;
  /** What keeps it from lying lower. */
  readonly binding: readonly Binding[];
}

/** A level is found to this many halvings of the height that may be ground: past what a double tells apart. */
const HALVINGS = 60;

/**
 * @param wishes the greatest fall is taken for 0; `grinding` says how high may be ground and where, `groundArea` how much
 *   area in all
 */
export function lowestLevel(floor: ZoneFloor, wishes: PlaneWishes): LowestLevel | Contradiction {
  const level: PlaneWishes = { ...wishes, greatestFall: 0 };
  const mostGround = wishes.groundArea?.area;
  const lowest = leastPlane(floor, level);
  if (lowest.kind === "contradiction") return lowest;
  const { leastDepth } = wishes;
  const tooMuch = (top: Millimetres): boolean =>
    mostGround !== undefined && areaAbove(floor.mesh, floor.levelMm, top - leastDepth) > mostGround;

  if (!tooMuch(lowest.plane.top)) return settled(floor, level, lowest.plane, lowest.binding);
  // The higher the top, the less is ground: nothing at all where the least depth lies on the highest place.
  let low = lowest.plane.top;
  let high = floor.levelMm.reduce((most, value) => Math.max(most, value)) + leastDepth;
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) break;
    if (tooMuch(middle)) low = middle;
    else high = middle;
  }
  // The wishes that bound the top from above may forbid it.
  const raised = leastPlane(floor, { ...level, groundArea: { area: mostGround!, top: high } });
  if (raised.kind === "contradiction") return raised;
  return settled(floor, level, raised.plane, raised.binding);
}

function settled(
  floor: ZoneFloor,
  { leastDepth }: PlaneWishes,
  plane: Plane,
  binding: readonly Binding[],
): LowestLevel {
  return {
    kind: "found",
    plane,
    volume: volumeToOrder(floor, plane, leastDepth),
    ground: groundUnder(floor, plane, leastDepth),
    binding,
  };
}
