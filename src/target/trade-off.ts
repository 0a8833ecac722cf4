/** What a higher or lower top would cost, for every step around the one that was chosen. */
import { above, aboveByRegion, areaAbove } from "../geometry/level.ts";
import type { KilogramsPerLitre, KilogramsPerSquareMetre, Litres, Millimetres, SquareMetres } from "../units.ts";
import { depthsUnder, type Ground } from "./least-plane.ts";
import type { Plane } from "./wishes.ts";
import type { ZoneFloor } from "./zone-floor.ts";

export interface PlacedZone {
  readonly floor: ZoneFloor;
  readonly plane: Plane;
  readonly leastDepth: Millimetres;
  readonly wetDensity: KilogramsPerLitre;
}

/** All zones lifted (or, below nothing, lowered) together by the same height. */
export interface TradeOffRow {
  readonly lift: Millimetres;
  /** ∫ max(depth, least depth): places to be ground are filled to the least depth. */
  readonly volume: Litres;
  /** Where the slab stands at or above the top. */
  readonly bareArea: SquareMetres;
  /** What must be ground so that the least depth is kept everywhere, bare places included. */
  readonly ground: Ground;
  readonly greatestDepth: Millimetres;
  /** The pour's own weight over the area that it lies on. */
  readonly deadLoad: KilogramsPerSquareMetre;
  /** The room with the greatest dead load, by index in the plan. */
  readonly heaviestRoom: { readonly roomIndex: number; readonly deadLoad: KilogramsPerSquareMetre };
  /**
   * By how much the volume rises with each mm that the top is lifted from here: the area where more than the least depth
   * lies, since 1 mm over 1 m² is 1 L.
   */
  readonly litresPerMm: SquareMetres;
}

/** Lifts from so many steps below to so many above, such as every mm or every 1/16 in. */
export const liftsAround = (step: Millimetres, countEachWay: number): readonly Millimetres[] =>
  Array.from({ length: 2 * countEachWay + 1 }, (_, i) => (i - countEachWay) * step);

export function tradeOff(zones: readonly PlacedZone[], lifts: readonly Millimetres[]): readonly TradeOffRow[] {
  const depths = zones.map(({ floor, plane }) => depthsUnder(floor, plane));
  return lifts.map((lift) => zones.map((zone, index) => rowOf(zone, depths[index]!, lift)).reduce(together));
}

/** Values of one zone, with the weights that are needed to add zones up. */
type ZoneRow = TradeOffRow & { readonly area: SquareMetres };

function rowOf({ floor, leastDepth, wetDensity }: PlacedZone, depths: Float64Array, lift: Millimetres): ZoneRow {
  const { mesh, whole } = floor;
  const filled = above(mesh, depths, leastDepth - lift);
  const missing = above(
    mesh,
    depths.map((depth) => leastDepth - lift - depth),
    0,
  );
  let [least, greatest] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const depth of depths) {
    least = Math.min(least, depth);
    greatest = Math.max(greatest, depth);
  }
  const volume = leastDepth * whole.area + filled.integral;
  return {
    lift,
    volume,
    bareArea: whole.area - areaAbove(mesh, depths, -lift),
    ground: { area: missing.area, volume: missing.integral, height: Math.max(0, leastDepth - lift - least) },
    greatestDepth: greatest + lift,
    deadLoad: (volume * wetDensity) / whole.area,
    heaviestRoom: heaviestRoom(floor, depths, leastDepth, wetDensity, lift),
    litresPerMm: filled.area,
    area: whole.area,
  };
}

function heaviestRoom(
  floor: ZoneFloor,
  depths: Float64Array,
  leastDepth: Millimetres,
  wetDensity: KilogramsPerLitre,
  lift: Millimetres,
): TradeOffRow["heaviestRoom"] {
  const byRoom = aboveByRegion(floor.mesh, depths, leastDepth - lift, 1 + Math.max(...floor.rooms.keys()));
  let heaviest: TradeOffRow["heaviestRoom"] = { roomIndex: -1, deadLoad: Number.NEGATIVE_INFINITY };
  for (const [roomIndex, { area }] of floor.rooms) {
    const deadLoad = (leastDepth + byRoom[roomIndex]!.integral / area) * wetDensity;
    if (deadLoad > heaviest.deadLoad) heaviest = { roomIndex, deadLoad };
  }
  return heaviest;
}

function together(a: ZoneRow, b: ZoneRow): ZoneRow {
  const area = a.area + b.area;
  return {
    lift: a.lift,
    volume: a.volume + b.volume,
    bareArea: a.bareArea + b.bareArea,
    ground: {
      area: a.ground.area + b.ground.area,
      volume: a.ground.volume + b.ground.volume,
      height: Math.max(a.ground.height, b.ground.height),
    },
    greatestDepth: Math.max(a.greatestDepth, b.greatestDepth),
    deadLoad: (a.deadLoad * a.area + b.deadLoad * b.area) / area,
    heaviestRoom: b.heaviestRoom.deadLoad > a.heaviestRoom.deadLoad ? b.heaviestRoom : a.heaviestRoom,
    litresPerMm: a.litresPerMm + b.litresPerMm,
    area,
  };
}
