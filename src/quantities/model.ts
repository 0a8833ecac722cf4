/** What to order and what it weighs. Purchase rounding (whole bags) happens here and nowhere else. */
import type { Kilograms, KilogramsPerSquareMetre, Litres, Millimetres, SquareMetres } from "../units.ts";

export interface Quantities {
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
  /** Absent where the contract allows no number of bags. Positive: more than allowed. */
  readonly againstAllowed?: { readonly allowedBags: number; readonly differenceBags: number };
  /** Reasons for which nobody pours until they are cleared. */
  readonly holds: readonly Hold[];
}

export interface Hold {
  readonly kind: "suspended-floor-not-accepted" | "dead-load-past-allowed";
  readonly valueKgM2?: KilogramsPerSquareMetre;
}

/** Unrounded bags, line by line; `toOrder` is the sum rounded up once. */
export interface BagCount {
  readonly volume: Litres;
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
