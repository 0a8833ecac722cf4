/** Where the top of the pour goes. */
import type { Material } from "../job/library-model.ts";
import type { Litres, Metres, Millimetres, MillimetresPerMetre } from "../units.ts";
import type { DrainFalls } from "./drain-falls.ts";
import type { Binding, Ground } from "./least-plane.ts";
import type { GrindingTrial } from "./relax.ts";
import type { Wedge } from "./wedge.ts";

export interface Target {
  readonly zones: readonly TargetZone[];
  /** How the height came about, step by step, for the GC sheet: of all zones in their order. */
  readonly steps: readonly TargetStep[];
  /** What is known of each zone's top, in the order of `zones`. */
  readonly placements?: readonly Placement[];
  /** Where zones meet at a door; absent with one zone. */
  readonly meets?: readonly Meet[];
}

/**
 * A plane over some rooms: top(x, y) = top + fallEast·x + fallNorth·y, x and y in metres: with falls above nothing it
 * rises to the east and north. A level has no fall. `topOfZone` gives its height, falls to a drain included.
 */
export interface TargetZone {
  readonly roomIndices: readonly number[];
  readonly top: Millimetres;
  readonly fallEast: MillimetresPerMetre;
  readonly fallNorth: MillimetresPerMetre;
  /** Falls from all walls to a drain, taken off the plane, which is the level along the walls; the zone has one room. */
  readonly drain?: DrainFalls;
  /** A material of its own; absent for the job's. */
  readonly material?: Material;
}

/** One amount on the way to a zone's `top`; a zone's amounts add up to it. */
export interface TargetStep {
  readonly kind:
    | "given"
    | "zero-is-top"
    | "bench-mark"
    | "above"
    | "neighbour-finish"
    | "neighbour-layer"
    | "layer"
    | "high-place"
    | "least-depth"
    | "ground"
    | "ground-area"
    | "door-bound"
    | "middle-of-plane"
    | "back-to-zero";
  /** The name of the bench mark, door, layer or room. */
  readonly name?: string;
  readonly amount: Millimetres;
}

/** How a zone's top was placed. */
export interface Placement {
  readonly how: "given" | "lowest-level" | "least-plane" | "grind-or-fill";
  readonly steps: readonly TargetStep[];
  /** ∫ max(depth, least depth) over the zone. */
  readonly volume: Litres;
  readonly ground: Ground;
  /** What keeps the top from lying lower, with its price; empty for a given level. */
  readonly binding: readonly Binding[];
  /** What grinding at each binding high place would save, step by step of the tool: see `grindingTrial`. */
  readonly trials: readonly GrindingTrial[];
  /** For a split of grinding and filling: its cost, and the cost that no plane can be under. */
  readonly cost?: { readonly total: number; readonly bound: number };
}

/** The line across a door where two zones meet. */
export interface Meet {
  readonly doorId: string;
  /** Indices into `zones`. */
  readonly higherZone: number;
  readonly lowerZone: number;
  /** Index of the room on the lower side. */
  readonly lowerRoom: number;
  /** Height of the step at the jamb where it is greatest. */
  readonly step: Millimetres;
  readonly how: MeetForm;
}

export type MeetForm =
  /** Both tops agree at both jambs, to a hundredth of a millimetre. */
  | { readonly kind: "level" }
  /** A dam across the opening holds the higher pour; this high above the lower top. */
  | { readonly kind: "step"; readonly dam: Millimetres; readonly length: Metres }
  /** A wedge on the lower top, with its volume. */
  | {
      readonly kind: "ramp" | "feather";
      readonly length: Metres;
      readonly fall: MillimetresPerMetre;
      readonly volume: Litres;
      readonly material: Material;
      readonly wedge: Wedge;
      readonly onto: UnderWedge;
    };

/** What a wedge stands on: the lower zone's material; its depth, and the wedge's own height on it, where both together weigh most. */
export interface UnderWedge {
  readonly material: Material;
  readonly depth: Millimetres;
  readonly rise: Millimetres;
}
