/** Where the top of the pour goes, as the office asks for it. */
import type { Point } from "../geometry/point.ts";
import type { KilogramsPerSquareMetre, Metres, Millimetres, MillimetresPerMetre, SquareMetres } from "../units.ts";
import type { Material } from "./library-model.ts";

/** One thickness that goes on top of the pour, such as tile or its adhesive. */
export interface BuildUpLayer {
  readonly name: string;
  readonly thickness: Millimetres;
}

export type TargetSpec =
  | OneTopSpec
  /** Several tops, each over rooms of its own; together they cover every room once. */
  | { readonly kind: "zones"; readonly zones: readonly ZoneSpec[]; readonly meets: readonly MeetSpec[] };

/** A level that the job gives: as such, from a bench mark, or from the finish beyond a door. */
export type LevelSpec =
  | { readonly kind: "level"; readonly top: Millimetres; readonly zeroIsTop: boolean }
  | { readonly kind: "bench-mark"; readonly benchMarkId: string; readonly above: Millimetres }
  | ({ readonly kind: "door"; readonly doorId: string } & Coverings);

/** One top over rooms that share it. */
export type OneTopSpec =
  | LevelSpec
  /** A plane at this height at a place, from where it falls so much towards another place, such as a drain channel. */
  | {
      readonly kind: "sloped";
      readonly at: Point;
      readonly top: Millimetres;
      readonly fall: MillimetresPerMetre;
      readonly towards: Point;
    }
  | DrainTop
  | SoughtTop;

/** Level along the walls of one room, and from every wall a plane down to a point drain. One of the last two is there at least. */
export interface DrainTop {
  readonly kind: "falls-to-drain";
  readonly walls: LevelSpec;
  readonly drain: Point;
  /** Height of the top at the drain. */
  readonly drainTop?: Millimetres;
  /** What every plane falls at least; where no height at the drain is given, what the flattest falls. */
  readonly leastFall?: MillimetresPerMetre;
}

/** What goes on top at a door. */
export interface Coverings {
  /** The new covering here. */
  readonly buildUp: readonly BuildUpLayer[];
  /** What is still to be laid beyond, where the neighbour was read bare; absent where the reading is of the finish. */
  readonly neighbourBuildUp?: readonly BuildUpLayer[];
}

/** The top is to be found: the lowest level, or the plane with the least material, that keeps everything asked for. */
export interface SoughtTop {
  readonly kind: "sought";
  readonly shape: "level" | "plane";
  /** Greatest fall that the office allows a plane; absent where the material's own limit is all. */
  readonly greatestFall?: MillimetresPerMetre;
  readonly atDoors: readonly DoorHeight[];
  readonly grinding?: GrindingSpec;
  readonly limits: TargetLimits;
}

/** The height of the top at a door, from the job's zero: held in the middle of the opening, or bounded over its width. */
export type DoorHeight =
  | { readonly kind: "held"; readonly doorId: string; readonly top: Millimetres }
  /** Held so that the finish here meets the finish beyond. */
  | ({ readonly kind: "flush"; readonly doorId: string } & Coverings)
  | {
      readonly kind: "bounded";
      readonly doorId: string;
      readonly atLeast?: Millimetres;
      readonly atMost?: Millimetres;
    };

export interface GrindingSpec {
  /** The most that may be ground off anywhere. */
  readonly height: Millimetres;
  /** The most area that may be ground in all; only with a level top. */
  readonly area?: SquareMetres;
  /** Rooms where grinding is allowed; absent for all. */
  readonly roomIds?: readonly string[];
  /**
   * Cost of a litre filled and of a litre ground off, in any one currency; with them the split at the least cost is
   * sought, without them the lowest top.
   */
  readonly costs?: { readonly fillPerLitre: number; readonly grindPerLitre: number };
}

/** Limits that the top has to keep. All absent where there are none. */
export interface TargetLimits {
  /** Whole bags, allowances for profile and loss included. */
  readonly bags?: number;
  readonly greatestDepth?: Millimetres;
  /** Of the pour, over the area of all rooms, and of any one room. */
  readonly deadLoad?: KilogramsPerSquareMetre;
  readonly roomDeadLoad?: KilogramsPerSquareMetre;
}

export interface ZoneSpec {
  readonly roomIds: readonly string[];
  readonly top: OneTopSpec;
  /** A material of its own, such as a stiff, trowelled one that can be laid to a fall; absent for the job's. */
  readonly material?: Material;
}

/** How two zones meet at a door between them. */
export interface MeetSpec {
  readonly doorId: string;
  readonly how:
    | { readonly kind: "step" }
    /** In a stiff, trowelled material, laid on the lower zone from the door into it. */
    | { readonly kind: "ramp"; readonly length: Metres; readonly material: Material }
    /** In the material of the higher zone, run out to nothing on the lower one. */
    | { readonly kind: "feather"; readonly length: Metres };
}
