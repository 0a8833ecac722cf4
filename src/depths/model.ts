/** Depth = target − slab, everywhere: positive where material goes. */
import type { Point, Polygon } from "../geometry/point.ts";
import type { PlanPin } from "../layout/model.ts";
import type { Litres, Millimetres, Share, SquareMetres } from "../units.ts";

export interface Depths {
  /** One a vertex of the slab's mesh. Along a step between zones a vertex belongs to the zone of its triangle, see `cornerDepthMm`. */
  readonly depthMm: Float64Array;
  readonly least: Millimetres;
  readonly greatestAllowed: Millimetres;
  /** Least depth that the material needs here. */
  readonly leastAllowed: Millimetres;
  readonly greatest: Millimetres;
  readonly mean: Millimetres;
  readonly area: SquareMetres;
  /** Above the target, less than the least depth, and the rest. They add up to `area`. */
  readonly proudArea: SquareMetres;
  readonly thinArea: SquareMetres;
  readonly pouredArea: SquareMetres;
  /** ∫ max(depth, 0): the slab as it lies. */
  readonly volumeAsRead: Litres;
  /** ∫ max(depth, least allowed): places ground down are filled to the least depth. Bags come from this. */
  readonly volumeToOrder: Litres;
  readonly extrapolatedVolume: Share;
  readonly rooms: readonly RoomDepth[];
  readonly bands: readonly DepthBand[];
  readonly contours: readonly Contour[];
  readonly highSpots: readonly HighSpot[];
  readonly pins: readonly PinDepth[];
}

export interface RoomDepth {
  readonly roomIndex: number;
  readonly area: SquareMetres;
  readonly volumeToOrder: Litres;
  readonly least: Millimetres;
  readonly greatest: Millimetres;
}

/** A class of depth: from ≤ depth < to. The first may reach below zero without bound. */
export interface DepthBand {
  /** Counts from 1, shallowest first. */
  readonly number: number;
  readonly from?: Millimetres;
  readonly to?: Millimetres;
  readonly area: SquareMetres;
  readonly volume: Litres;
  readonly regions: readonly Polygon[];
}

export interface Contour {
  readonly depth: Millimetres;
  /** Every fifth is drawn heavier. */
  readonly index: boolean;
  readonly lines: readonly (readonly Point[])[];
}

/** A connected place where less than the least depth would lie. */
export interface HighSpot {
  /** H1, H2 …, highest first. */
  readonly id: string;
  readonly roomIndex: number;
  readonly regions: readonly Polygon[];
  readonly area: SquareMetres;
  /** Where most has to go, and how much must be ground off there to make room for the least depth. */
  readonly worst: Point;
  readonly grind: Millimetres;
  /** ∫ (least − depth) over the spot: what the grinder takes. */
  readonly groundVolume: Litres;
  /** True where any of it stands above the target. */
  readonly proud: boolean;
}

export interface PinDepth {
  readonly pin: PlanPin;
  readonly depth: Millimetres;
  /** Standard deviation of the depth from survey alone. */
  readonly sd?: Millimetres;
  readonly from: "read" | "interpolated";
  readonly cut: PinCut;
  /** The lead reads this pin again on the day: every interpolated one and one in ten others. */
  readonly checkOnTheDay: boolean;
}

export type PinCut =
  /** Cut to this length on the pin's own scale: unrounded; `format` rounds for print. */
  | { readonly kind: "cut"; readonly length: Millimetres }
  /** On a place to be ground: blank until read again. */
  | { readonly kind: "after-grinding" }
  /** Shorter than a pin can be cut: no pin, grind. */
  | { readonly kind: "too-short" };
