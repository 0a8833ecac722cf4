/** Where the top of the pour goes. */
import type { Millimetres, MillimetresPerMetre } from "../units.ts";

export interface Target {
  readonly zones: readonly TargetZone[];
  /** How the height came about, step by step, for the GC sheet. */
  readonly steps: readonly TargetStep[];
}

/** A plane over some rooms: top(x, y) = top + fallEast·x + fallNorth·y, x and y in metres. A level has no fall. */
export interface TargetZone {
  readonly roomIndices: readonly number[];
  readonly top: Millimetres;
  readonly fallEast: MillimetresPerMetre;
  readonly fallNorth: MillimetresPerMetre;
}

export interface TargetStep {
  readonly kind: "given" | "zero-is-top" | "bench-mark" | "neighbour-finish" | "layer" | "above";
  /** The name of the bench mark, door or layer. */
  readonly name?: string;
  readonly amount: Millimetres;
}
