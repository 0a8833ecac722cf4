/** What to order and what it weighs. Purchase rounding (whole bags) happens here and nowhere else. */
import type { Material } from "../job/library-model.ts";
import type { Kilograms, KilogramsPerSquareMetre, Litres, Millimetres, SquareMetres } from "../units.ts";

export interface Quantities {
  /** Of the job's material, as `water`, `pallets`, `bagWeight` and `lifts`. */
  readonly bags: BagCount;
  readonly water: Litres;
  readonly primer: PrimerQuantity;
  readonly pallets: number;
  /** Dry bags to bring on site. */
  readonly bagWeight: Kilograms;
  /** Mixed material in the floor. */
  readonly wetWeight: Kilograms;
  readonly meanDeadLoad: KilogramsPerSquareMetre;
  readonly greatestDeadLoad: KilogramsPerSquareMetre;
  readonly palletLoad: KilogramsPerSquareMetre;
  readonly lifts: readonly Lift[];
  /** Of all materials; absent where the contract allows no number of bags. Positive: more than allowed. */
  readonly againstAllowed?: { readonly allowedBags: number; readonly differenceBags: number };
  /** Reasons for which nobody pours until they are cleared. */
  readonly holds: readonly Hold[];
  /** What zones, ramps and run-outs in materials of their own take; absent where there are none. */
  readonly otherMaterials?: readonly MaterialOrder[];
}

/** What is ordered of a material that is not the job's. */
export interface MaterialOrder {
  readonly material: Material;
  /** Rooms that it fills, by index in the plan, and doors at which it is laid as a ramp or run-out. */
  readonly roomIndices: readonly number[];
  readonly doorIds: readonly string[];
  readonly bags: BagCount;
  readonly water: Litres;
  readonly bagWeight: Kilograms;
  /** Empty where it fills no room. */
  readonly lifts: readonly Lift[];
}

export interface Hold {
  readonly kind: "suspended-floor-not-accepted" | "dead-load-past-allowed";
  readonly valueKgM2?: KilogramsPerSquareMetre;
}

/** Unrounded bags, line by line; `toOrder` is the sum rounded up once. */
export interface BagCount {
  /** Of the rooms and of the ramps and run-outs at doors. */
  readonly volume: Litres;
  /** The part of `volume` that lies in ramps and run-outs; absent where none is in this material. */
  readonly wedgeVolume?: Litres;
  readonly yieldPerBag: Litres;
  readonly neat: number;
  readonly profileVolume: Litres;
  readonly profile: number;
  readonly loss: number;
  readonly sum: number;
  readonly toOrder: number;
}

export interface PrimerQuantity {
  readonly area: SquareMetres;
  readonly coats: readonly {
    readonly number: number;
    readonly mixed: Litres;
    readonly concentrate: Litres;
    readonly water: Litres;
  }[];
  readonly concentrate: Litres;
}

/** Lift k fills between two depths above the slab; the volumes add up to the volume to order. */
export interface Lift {
  readonly number: number;
  /** Greatest thickness of this lift. */
  readonly thickness: Millimetres;
  /** Top of this lift below the target. */
  readonly topBelowTarget: Millimetres;
  readonly area: SquareMetres;
  readonly volume: Litres;
}
