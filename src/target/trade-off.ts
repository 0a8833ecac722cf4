/** What a higher or lower top would cost, for every step around the one that was chosen. */
import { above, aboveByRegion, areaAbove } from "../geometry/level.ts";
import type { KilogramsPerLitre, KilogramsPerSquareMetre, Litres, Millimetres, SquareMetres } from "../units.ts";
import type { Top } from "./drain-falls.ts";
import { depthsUnder, type Ground } from "./least-plane.ts";
import type { ZoneFloor } from "./zone-floor.ts";

export interface PlacedZone {
  readonly floor: ZoneFloor;
  readonly plane: Top;
  readonly leastDepth: Millimetres;
  readonly wetDensity: KilogramsPerLitre;
  /** Mean depth that the roughness of the prepared slab swallows: it weighs, too. */
  readonly profile: Millimetres;
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
  /** `volume` and `litresPerMm` of each zone, in the order of the zones. */
  readonly byZone: readonly { readonly volume: Litres; readonly litresPerMm: SquareMetres }[];
}

/** Lifts from so many steps below to so many above, such as every mm or every 1/16 in. */
export const liftsAround = (step: Millimetres, countEachWay: number): readonly Millimetres[] =>
  Array.from({ length: 2 * countEachWay + 1 }, (_, i) => (i - countEachWay) * step);

export function tradeOff(zones: readonly PlacedZone[], lifts: readonly Millimetres[]): readonly TradeOffRow[] {
  const depths = zones.map(depthsOf);
  return lifts.map((lift) => zones.map((zone, index) => rowOf(zone, depths[index]!, lift)).reduce(together));
}

interface Depths {
  readonly mm: Float64Array;
  /** For areas and volumes of what lies under a threshold. */
  readonly negatedMm: Float64Array;
  readonly least: Millimetres;
  readonly greatest: Millimetres;
}

function depthsOf({ floor, plane }: PlacedZone): Depths {
  const mm = depthsUnder(floor, plane);
  let [least, greatest] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const depth of mm) {
    least = Math.min(least, depth);
    greatest = Math.max(greatest, depth);
  }
  return { mm, negatedMm: mm.map((depth) => -depth), least, greatest };
}

/** Values of one zone, with the weights that are needed to add zones up. */
type ZoneRow = TradeOffRow & { readonly area: SquareMetres };

function rowOf({ floor, leastDepth, wetDensity, profile }: PlacedZone, depths: Depths, lift: Millimetres): ZoneRow {
  const { mesh, whole, rooms } = floor;
  const threshold = leastDepth - lift;
  const filled = aboveByRegion(mesh, depths.mm, threshold, 1 + Math.max(...rooms.keys()));
  let heaviestRoom: TradeOffRow["heaviestRoom"] = { roomIndex: -1, deadLoad: Number.NEGATIVE_INFINITY };
  let [volume, litresPerMm] = [0, 0];
  for (const [roomIndex, { area }] of rooms) {
    const room = filled[roomIndex]!;
    volume += leastDepth * area + room.integral;
    litresPerMm += room.area;
    // 1 mm of a mix of d kg/L weighs d kg on a square metre.
    const deadLoad = (leastDepth + room.integral / area + profile) * wetDensity;
    if (deadLoad > heaviestRoom.deadLoad) heaviestRoom = { roomIndex, deadLoad };
  }
  const height = Math.max(0, threshold - depths.least);
  const missing = height > 0 ? above(mesh, depths.negatedMm, -threshold) : { area: 0, integral: 0 };
  return {
    lift,
    volume,
    bareArea: depths.least + lift > 0 ? 0 : whole.area - areaAbove(mesh, depths.mm, -lift),
    ground: { area: missing.area, volume: missing.integral, height },
    greatestDepth: depths.greatest + lift,
    deadLoad: (volume / whole.area + profile) * wetDensity,
    heaviestRoom,
    litresPerMm,
    byZone: [{ volume, litresPerMm }],
    area: whole.area,
  };
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
    byZone: [...a.byZone, ...b.byZone],
    area,
  };
}
