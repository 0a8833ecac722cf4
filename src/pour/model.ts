/**
 * The pour against the clock: who mixes what and when, where it goes, what is dammed, and whether this
 * crew can pour this floor at all. Minutes count from the moment when the first powder meets water.
 */
import type { Point, Polygon } from "../geometry/point.ts";
import type { CrewRole } from "../job/library-model.ts";
import type {
  Celsius,
  KilogramsPerSquareMetre,
  Kilowatts,
  Litres,
  LitresPerMinute,
  Metres,
  Millimetres,
  Minutes,
  SquareMetres,
} from "../units.ts";

/** Batches in time, wherever they go. */
export interface MixingSchedule {
  readonly batches: readonly Batch[];
  /** Time between two batches of the whole crew. */
  readonly interval: Minutes;
  readonly duration: Minutes;
  readonly bagsPerMinute: number;
  /**
   * Floor covered in one flow time, and a lane across the room (its shorter way, as wide as the crew
   * rakes), both for the room in which the crew has least to spare.
   */
  readonly areaInFlowTime: SquareMetres;
  readonly laneArea: SquareMetres;
  readonly tightestRoomIndex: number;
  /** True where such a lane is not covered within the flow time, and no narrower lanes do either. */
  readonly tooSlow: boolean;
}

export interface Batch {
  readonly number: number;
  readonly barrel: number;
  readonly bags: number;
  readonly water: Litres;
  readonly cumulativeBags: number;
  /** Minutes after the first powder meets water: when this batch's powder does, and when it leaves the barrel. */
  readonly powderMeetsWater: Minutes;
  readonly poured: Minutes;
}

/** Can be poured, bay by bay; or cannot, with the reasons and what would help. Either way the packet prints. */
export type PourPlan = PourablePlan | UnpourablePlan;

export interface PourablePlan extends PlanFrame {
  readonly kind: "can-be-poured";
  readonly batches: readonly PlannedBatch[];
  /** In the order in which they are poured. */
  readonly bays: readonly Bay[];
  readonly runs: readonly Run[];
  /** Every edge that is fresh until the next bay is poured beside it. */
  readonly edges: readonly FreshEdge[];
  /** Doors between rooms and joints inside them. */
  readonly joins: readonly Join[];
  /** The crew's way from bay to bay and out, on foot. */
  readonly way: Metres;
}

export interface UnpourablePlan extends PlanFrame {
  readonly kind: "cannot-be-poured";
  readonly reasons: readonly CannotReason[];
  /** What would help, each planned through; cheapest to arrange first. Empty where nothing tried does. */
  readonly remedies: readonly Remedy[];
}

/** What a plan says whether or not the floor can be poured. */
export interface PlanFrame extends MixingSchedule {
  readonly edgeLimit: EdgeLimit;
  readonly pace: Pace;
  readonly station: Station;
  readonly dams: readonly Dam[];
  /** Foam strip along walls and columns. */
  readonly perimeterStrip: Metres;
  readonly plugs: readonly Plug[];
  readonly roles: readonly Role[];
  readonly daysBefore: readonly PrepStep[];
  readonly goNoGo: GoNoGo;
  readonly logistics: Logistics;
  /** Bags mixed but not poured when the floor is full. */
  readonly leftoverBags: number;
  /** Bags to be ordered besides, so that batches can be cut for rests and moves; 0 where the order holds them. Until then they are left out. */
  readonly bagsShortForStops: number;
}

/** How old a fresh edge may grow: from powder meeting water of the oldest batch on it to the placing of the next. */
export interface EdgeLimit {
  /** What the data sheet gives, for the temperature expected where it says so. */
  readonly times: readonly { readonly name: "flow-time" | "healing-time"; readonly time: Minutes }[];
  readonly margin: Minutes;
  /** The least of the times, and that less the margin. Absent where a time is missing: nothing stands in for it. */
  readonly least?: Minutes;
  readonly limit?: Minutes;
  readonly missing: readonly ("healing-time" | "times-at-temperature")[];
}

export interface Pace {
  readonly interval: Minutes;
  readonly bagsPerBatch: number;
  /** Bags a minute that this crew mixes, and the least that would do for these bays. */
  readonly bagsPerMinute: number;
  readonly bagsPerMinuteNeeded: number;
  readonly bottleneck: "mixers" | "pump" | "carrying" | "people";
  readonly litresPerMinute: LitresPerMinute;
  /** What the flow meter of a pump that mixes by itself is set to, while it runs. */
  readonly flowMeter?: LitresPerMinute;
  /** Farthest that a batch can be carried inside the barrel's cycle. */
  readonly farthestCarry: Metres;
}

export interface Station {
  readonly at: Point;
  readonly placed: "by-job" | "by-plan";
  /** The way in and out that it stands at. */
  readonly exitId: string;
  readonly farthestCarry: Metres;
}

/** Batches one after the other without a stop. */
export interface Run {
  readonly number: number;
  /** Index into the lifts of the quantities. */
  readonly lift: number;
  readonly starts: Minutes;
  readonly ends: Minutes;
  readonly bags: number;
  readonly before: RunGap;
  /** Pump and hose are flushed before it, for the standstill is longer than the pump may stand. */
  readonly flushBefore: boolean;
}

export type RunGap =
  | { readonly kind: "start" }
  | { readonly kind: "rest" | "changeover" | "lift"; readonly minutes: Minutes };

export interface PlannedBatch extends Batch {
  readonly run: number;
  /** On the floor. */
  readonly placed: Minutes;
  /** Where it goes, in order; it can end one bay and begin the next. */
  readonly pours: readonly BatchPour[];
}

export interface BatchPour {
  readonly bayNumber: number;
  readonly volume: Litres;
  /** The line that it must reach: running distance from where the bay begins, and its ends on the floor. */
  readonly reaches: Metres;
  readonly line: readonly [Point, Point];
}

export interface Bay {
  /** Counts from 1, as poured. */
  readonly number: number;
  readonly lift: number;
  readonly roomIndex: number;
  readonly floor: Polygon;
  readonly area: SquareMetres;
  /** Across and along the lane. */
  readonly width: Metres;
  readonly length: Metres;
  /** What goes into the floor, the surface's profile included. */
  readonly volume: Litres;
  readonly meanDepth: Millimetres;
  readonly greatestDepth: Millimetres;
  /** Poured from the middle of one end to the middle of the other. */
  readonly from: Point;
  readonly to: Point;
  /** The way along the lane in which it is poured, of length 1: what `length` and the batches' lines are measured along. */
  readonly along: { readonly x: number; readonly y: number };
  readonly firstBatch: number;
  readonly lastBatch: number;
  /** First and last placing. */
  readonly begins: Minutes;
  readonly ends: Minutes;
  /** Latest first placing at which every edge that it renews is still within its limit; absent where it renews none. */
  readonly latestBegin?: Minutes;
  /** Greatest age of the front inside the bay; absent where one batch fills it. */
  readonly frontAge?: Minutes;
  /** From the station to the farther end over open floor. */
  readonly carry: Metres;
  readonly carryWay: readonly Point[];
  readonly stop: StopLine;
  readonly bagCheck: BagCheck;
  readonly mixerFails: MixerFailure;
}

export interface Segment {
  readonly from: Point;
  readonly to: Point;
}

/** Where dams go if mixing stops after this bay; no segments where nothing open is left beside it. */
export interface StopLine {
  readonly segments: readonly Segment[];
  readonly length: Metres;
  readonly height: Millimetres;
  /** What setting takes one person, and what is left for it once the next batch has failed to come. */
  readonly settingTime: Minutes;
  readonly timeLeft?: Minutes;
  /** The fewest who set it in the time that is left; absent where none is, or nothing is to be set. */
  readonly people?: number;
}

/** Bags used when the bay is full, and the count at which to stop: the floor is deeper than read. */
export interface BagCheck {
  readonly planned: number;
  readonly stopAt: number;
}

/** One mixer fails at the batch of this bay at which it costs most. */
export interface MixerFailure {
  readonly worstBatch: number;
  /** Of the worst edge when the rest of the bay is mixed without it; below zero it is late. Absent with one mixer. */
  readonly margin?: Minutes;
  /** True where the bay can still be finished to its stop line; else the dam goes to the last batch's line. */
  readonly reachesStopLine: boolean;
}

export interface FreshEdge {
  readonly earlier: number;
  readonly later: number;
  readonly segments: readonly Segment[];
  readonly length: Metres;
  /** At the place of greatest age. */
  readonly at: Point;
  readonly oldestPowder: Minutes;
  readonly renewed: Minutes;
  readonly age: Minutes;
  /** Limit less age. */
  readonly margin: Minutes;
}

export type Join = {
  readonly length: Metres;
  readonly bays: readonly [number, number];
} & (
  | { readonly kind: "door"; readonly doorId: string; readonly how: "poured-through" | "dam" | "floors-apart" }
  | { readonly kind: "moving-joint" | "dam"; readonly id: string; readonly how: "dam" }
);

export interface Dam {
  readonly why: "door-out" | "door-between" | "moving-joint" | "planned" | "opening" | "open-edge";
  /** The door, joint, opening or place. */
  readonly id: string;
  readonly roomIndex: number;
  readonly segments: readonly Segment[];
  readonly length: Metres;
  /** Greatest depth of the pour along it. */
  readonly height: Millimetres;
}

export interface Plug {
  readonly id: string;
  readonly at: Point;
  readonly kind: "drain" | "opening";
  readonly depth: Millimetres;
}

export interface Role {
  readonly role: CrewRole;
  readonly people: number;
}

export type CannotReason =
  /** In the room with least to spare, the least lane, and how old its edge would grow. */
  | {
      readonly kind: "edge-late";
      readonly roomIndex: number;
      readonly laneLength: Metres;
      readonly laneWidth: Metres;
      readonly age: Minutes;
      readonly limit: Minutes;
    }
  /** Lanes are short enough, yet no order keeps every edge in time and everybody's way out open. */
  | { readonly kind: "no-order"; readonly roomIndex: number }
  | { readonly kind: "longer-than-a-day"; readonly duration: Minutes; readonly longest: Minutes }
  | { readonly kind: "time-missing"; readonly what: "healing-time" | "times-at-temperature" | "wait-between-lifts" }
  | { readonly kind: "hose-too-short"; readonly needed: Metres; readonly hose: Metres }
  /** A lift for which no bag is left: bags are mixed whole, and the lift below had the rest of its last one. */
  | { readonly kind: "bag-over-lifts"; readonly lifts: number; readonly bags: number };

export interface Remedy {
  readonly measures: readonly Measure[];
  /** From the first powder to the last placing, nights not counted. */
  readonly duration: Minutes;
  /** As tried; a plan made for it can do with fewer. */
  readonly bays: number;
}

export type Measure =
  /** Doors that lead out and are not yet meant for the crew. */
  | { readonly kind: "ways-out"; readonly doorIds: readonly string[] }
  | { readonly kind: "mixers"; readonly mixers: number }
  /** A pump with continuous feed, in lanes as wide as a pump's hose is worked. */
  | { readonly kind: "pump"; readonly rate: LitresPerMinute; readonly laneWidth: Metres }
  | { readonly kind: "dams"; readonly dams: readonly PlannedDam[] }
  | { readonly kind: "days"; readonly days: number };

export interface PlannedDam extends Segment {
  readonly roomIndex: number;
}

export type PrepStepKind =
  | "asbestos-and-lead"
  | "conditioning-on"
  | "structure-accepted"
  | "moisture-tests"
  | "adhesive-removed"
  | "tiles-sounded"
  | "tiles-abraded"
  | "boards-fastened"
  | "gaps-sealed"
  | "grind"
  | "profile"
  | "cracks-filled"
  | "joints-located"
  | "clean"
  | "vacuum"
  | "prime"
  | "second-coat"
  | "pinholes"
  | "perimeter-strip"
  | "dams"
  | "plugs"
  | "pins-placed"
  | "pins-checked"
  | "material-staged"
  | "material-to-temperature"
  | "spare-mixer";

export interface PrepStep {
  readonly step: PrepStepKind;
  readonly who: "office" | "contractor" | "lead" | "crew" | "electrician" | "licensed";
  /** Done by: minutes before the first powder. */
  readonly doneBefore: Minutes;
  /** Where it must not be done earlier than this before the first powder, such as primer inside its open time. */
  readonly notBefore?: Minutes;
  /** True where the time hangs on a value that the data sheet was not read for. */
  readonly timeUnknown: boolean;
}

export interface GoNoGo {
  readonly slabTemperatures?: { readonly least: Celsius; readonly greatest: Celsius };
  readonly waterTemperatures?: { readonly least: Celsius; readonly greatest: Celsius };
  /** Slab surface at least this much above the dew point. */
  readonly aboveDewPointC: number;
  /** From the last coat: earliest first batch, and latest last batch; absent where the data sheet was not read for it. */
  readonly primerDry?: Minutes;
  readonly primerOpen?: Minutes;
  /** Latest age of the primer at the first batch so that the last batch still falls inside the open time. */
  readonly primerLatestStart?: Minutes;
  readonly bags: number;
  readonly flowRing?: {
    readonly least: Millimetres;
    readonly greatest: Millimetres;
    readonly batches: readonly number[];
  };
}

/** How the ordered bags come up by the building's lift. */
export interface LiftTrips {
  /** Whole pallets at a time; 0 where a full one is too heavy and is broken down. */
  readonly palletsATrip: number;
  readonly bagsATrip: number;
  readonly trips: number;
  readonly time: Minutes;
  /** From the lift to the mixing station. */
  readonly way?: Metres;
}

export interface Logistics {
  readonly pallets: readonly {
    readonly number: number;
    readonly at?: Point;
    readonly firstBag: number;
    readonly lastBag: number;
  }[];
  readonly palletLoad: KilogramsPerSquareMetre;
  /** True on a suspended floor that nobody has accepted for staging. */
  readonly holdStaging: boolean;
  readonly waterTotal: Litres;
  readonly waterRate: LitresPerMinute;
  readonly mixersRunning: number;
  readonly power?: Kilowatts;
  /** Slurry and material run to waste, for the washout. */
  readonly startingWaste?: Litres;
  readonly longestCarry: Metres;
  readonly hoseNeeded?: Metres;
  readonly goodsLift?: LiftTrips;
}
