/** Depth = target − slab, everywhere: positive where material goes. */
import type { Mesh } from "../geometry/mesh.ts";
import type { Point, Polygon } from "../geometry/point.ts";
import type { Material } from "../job/library-model.ts";
import type { PlanPin } from "../layout/model.ts";
import type { Litres, Millimetres, Share, SquareMetres } from "../units.ts";

/** Depths over a mesh. */
export interface DepthSurface {
  readonly mesh: Mesh;
  /** One a vertex of `mesh`. */
  readonly depthMm: Float64Array;
}

export interface Depths {
  /**
   * The slab's mesh. Where zones of the target meet at different heights, the vertices between them are
   * doubled, one a zone; those of the slab keep their index and the doubles follow.
   */
  readonly mesh: Mesh;
  /** One a vertex of `mesh`. */
  readonly depthMm: Float64Array;
  /** Of a scan whose points are not all shown: the depths over those that are, for what is drawn and laid out. */
  readonly drawn?: DepthSurface;
  /** Over the whole floor; below zero where the slab stands above the target. */
  readonly least: Millimetres;
  /** Of the job's material, as `leastAllowed`; a room in another material has its own, in `parts`. */
  readonly greatestAllowed: Millimetres;
  /** Least depth that the material needs here. */
  readonly leastAllowed: Millimetres;
  readonly greatest: Millimetres;
  /** Of the pour as ordered: `volumeToOrder` over `area`. */
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
  /** By material, where zones have materials of their own: the job's first. Absent where the job's fills the floor. */
  readonly parts?: readonly FilledPart[];
}

/** The part of the floor that one material fills: its triangles alone, with their depths. */
export interface FilledPart {
  readonly material: Material;
  readonly roomIndices: readonly number[];
  readonly mesh: Mesh;
  readonly depthMm: Float64Array;
  readonly drawn?: DepthSurface;
  readonly least: Millimetres;
  readonly greatest: Millimetres;
  readonly leastAllowed: Millimetres;
  readonly greatestAllowed: Millimetres;
  readonly area: SquareMetres;
  readonly volumeToOrder: Litres;
}

export interface RoomDepth {
  readonly roomIndex: number;
  readonly area: SquareMetres;
  readonly volumeToOrder: Litres;
  readonly least: Millimetres;
  readonly greatest: Millimetres;
}

/**
 * A class of depth: from ≤ depth < to; the last holds its upper limit too. Together they cover the
 * floor. The first has no `from` where it holds the places above the target.
 */
export interface DepthBand {
  /** Counts from 1, shallowest first. */
  readonly number: number;
  readonly from?: Millimetres;
  readonly to?: Millimetres;
  readonly area: SquareMetres;
  /** What is ordered for it: places below the least depth count as ground down to it. */
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
  /** Standard deviation of the depth from the survey alone; absent where the pin's place was not read. */
  readonly sd?: Millimetres;
  readonly from: "read" | "interpolated";
  /**
   * Where it stands in a ramp or a feathered edge. Laid with the room, in the same material, the pin is cut to its
   * surface; laid on top, the pin is cut for the pour below and the ramp is screeded over it.
   */
  readonly ramp?: { readonly doorId: string; readonly laid: "with-the-room" | "on-top" };
  /** True where it stands under falls to a drain: its neighbours are of other heights. */
  readonly toDrain?: boolean;
  readonly cut: PinCut;
  /** The lead reads this pin again on the day: every interpolated one, one in ten others, and those to be ground. */
  readonly checkOnTheDay: boolean;
}

export type PinCut =
  /** Cut to this length on the pin's own scale: unrounded; `format` rounds for print. */
  | { readonly kind: "cut"; readonly length: Millimetres }
  /** On a place to be ground: blank until read again. */
  | { readonly kind: "after-grinding" }
  /** Shorter than a pin can be cut: no pin, grind. */
  | { readonly kind: "too-short" };
