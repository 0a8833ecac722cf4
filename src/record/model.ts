/** What is proved before the pour, and what is accounted for after it. */

import type { FoundPlace } from "../conformity/model.ts";
import type { Point } from "../geometry/point.ts";
import type { Material } from "../job/library-model.ts";
import type {
  JointParty,
  NonConformance,
  SubstrateTestName,
  TestDimension,
  TestLimit,
  TestResult,
} from "../job/record-model.ts";
import type { Litres, Millimetres, Minutes, Share, SquareMetres } from "../units.ts";

export interface PourRecord {
  readonly readiness: Readiness;
  /** Where bags stop; absent until they are counted. */
  readonly stop?: BagStop;
  /** Why the order is not what the price includes; absent where the contract allows no number, or nothing is counted. */
  readonly difference?: BagDifference;
  /** Reasons for which nobody pours until they are cleared, in the order of harm. */
  readonly holds: readonly RecordHold[];
  /** How long the floor is kept free, from the last batch. */
  readonly holdOffs: readonly HoldOff[];
  /** Planned against used; absent until the pour is in the job file. */
  readonly account?: PourAccount;
  readonly nonConformances: readonly NonConformanceState[];
}

/** Never accepted by default: a test without enough results is missing. */
export type TestVerdict = "accept" | "refuse" | "missing";

export interface Readiness {
  /** Of the whole: the worst of its tests; `not-required` only where that is settled in writing. */
  readonly verdict: TestVerdict | "not-required";
  /** False where the job names no test: the usual ones are then shown. */
  readonly testsNamed: boolean;
  readonly tests: readonly TestState[];
  /** Proposed places, spread over the floor; a test that needs k of them takes the first k. */
  readonly places: readonly TestPlace[];
}

export interface TestPlace {
  /** T1, T2 … */
  readonly id: string;
  readonly found: FoundPlace;
}

export interface TestState {
  readonly test: SubstrateTestName;
  readonly dimension: TestDimension;
  /** Absent for a test that the job does not name. */
  readonly owedBy?: string;
  /** Places to test, and what says so many: a standard, the contract, or practice (one a room). */
  readonly required: number;
  readonly requiredBy: "standard" | "contract" | "practice";
  readonly limits: readonly TestLimit[];
  /** The strictest of them. */
  readonly least?: number;
  readonly greatest?: number;
  /** In the order of the file; of each place the latest counts. */
  readonly results: readonly JudgedResult[];
  /** Places with a result that counts. */
  readonly placesTested: number;
  readonly verdict: TestVerdict;
  /** Where tests are still to be made: proposed places that no result stands for yet. */
  readonly toTest: readonly string[];
}

export interface JudgedResult {
  readonly result: TestResult;
  /** `replaced`: tested again there later. `not-judged`: there is no limit. */
  readonly judged: "within" | "outside" | "replaced" | "not-judged";
  readonly found?: FoundPlace;
}

/** The bag count past which nobody goes on without written approval. */
export interface BagStop {
  readonly bags: number;
  /** The last written approval, else what the price includes, else what is planned. */
  readonly from: "approval" | "allowance" | "order";
  readonly planned: number;
}

/** Bags ordered less bags allowed, told by where they come from; the reasons add up to `bags`. */
export interface BagDifference {
  readonly planned: number;
  readonly allowed: number;
  readonly bags: number;
  /** Where the depth that the bid assumed comes from. */
  readonly assumed: "bid" | "allowed-depth" | "allowed-bags";
  readonly rooms: readonly RoomDifference[];
  /** Of floor that the bid did not measure; 0 where it states no area. */
  readonly areaBags: number;
  readonly bidArea?: SquareMetres;
  /** In ramps and run-outs at doors. */
  readonly wedgeBags: number;
  /** Of ordering whole bags. */
  readonly roundingBags: number;
  /** What the bid's own depths and area do not explain of its number of bags. */
  readonly unexplainedBags: number;
}

export interface RoomDifference {
  readonly roomIndex: number;
  readonly area: SquareMetres;
  readonly plannedDepth: Millimetres;
  readonly bidDepth: Millimetres;
  readonly bags: number;
  /** The part of the room that is deeper than the bid's depth, and the bags that lie below it there. */
  readonly deeperArea: SquareMetres;
  readonly deeperBags: number;
}

export type RecordHold =
  | { readonly kind: "tests-not-named" }
  | { readonly kind: "test-refused"; readonly test: TestState; readonly places: readonly string[] }
  | { readonly kind: "test-missing"; readonly test: TestState }
  | { readonly kind: "test-without-limit"; readonly test: TestState }
  | { readonly kind: "joint-survey-unsigned"; readonly missing: readonly JointParty[] }
  /** Signed for fewer bags than are planned now. */
  | { readonly kind: "joint-survey-outdated"; readonly signedFor: number; readonly planned: number }
  | { readonly kind: "bags-past-approved"; readonly stop: BagStop };

export interface HoldOff {
  readonly what: "walk-on" | "light-trades" | "covering" | "heavy-loads" | "heating";
  readonly after: Minutes;
  /** Local date and time, such as `2027-03-04 14:12`; absent until the last batch is in the job file. */
  readonly until?: string;
}

export interface PourAccount {
  readonly batches: { readonly planned: number; readonly poured: number };
  readonly bags: {
    readonly planned: number;
    readonly delivered: number;
    readonly mixed: number;
    readonly burst: number;
    /** Of the mixed ones. */
    readonly thrown: number;
    /** Mixed and burst. */
    readonly used: number;
    readonly returned?: number;
    /** Used less planned. */
    readonly difference: number;
  };
  /** From the first powder to the last placing. */
  readonly time: { readonly planned: Minutes; readonly taken: Minutes };
  readonly volume: FillAccount["volume"];
  readonly yieldPerBag: FillAccount["yieldPerBag"];
  readonly loss: FillAccount["loss"];
  /** Zones and ramps in materials of their own; bags, batches and time above are of the job's. */
  readonly otherMaterials: readonly FillAccount[];
  /** Adds up to the difference of bags. */
  readonly reasons: readonly AccountReason[];
  /** When the last batch was in the floor, and whether that is read or reckoned with the flow time. */
  readonly lastPlaced: { readonly at: string; readonly recorded: boolean };
}

/** What one material was planned to fill, and what it filled. */
export interface FillAccount {
  readonly material: Material;
  /** `inFloor`: mixed and not thrown away. */
  readonly bags: { readonly planned: number; readonly delivered: number; readonly inFloor: number };
  /** `placed`: by the readings of slab and finished floor. */
  readonly volume: { readonly planned: Litres; readonly placed?: { readonly volume: Litres; readonly sd: Litres } };
  /** `found`: if the loss was as planned; `weighed`: by the density of the fresh mix, whatever the loss was. */
  readonly yieldPerBag: { readonly planned: Litres; readonly found?: Litres; readonly weighed?: WeighedYield };
  /**
   * Of what is in the floor; burst and thrown bags are told apart. `found`: if the yield was as on the data sheet;
   * `byWeighedYield`: with the yield as weighed, and only so a loss apart from the yield.
   */
  readonly loss: { readonly planned: Share; readonly found?: Share; readonly byWeighedYield?: Share };
}

export interface WeighedYield {
  readonly litres: Litres;
  /** Batches that were weighed. */
  readonly batches: number;
  /** Of the mean; absent with one batch. */
  readonly sd?: Litres;
}

export interface AccountReason {
  /** `not-told-apart`: the finished floor was not read, so volume and loss stand together. */
  readonly kind: "volume" | "loss-and-yield" | "not-told-apart" | "thrown" | "burst" | "rounding";
  readonly bags: number;
}

export interface NonConformanceState {
  readonly id: string;
  readonly status: "open" | "reworked" | "closed" | "refused";
  readonly from:
    | { readonly kind: "by-hand"; readonly entry: NonConformance }
    | {
        readonly kind: "flatness";
        readonly place: string;
        readonly work: "grind" | "fill";
        readonly whole: Millimetres;
        /** The entry that answers for it. */
        readonly entry?: NonConformance;
      }
    | { readonly kind: "flow-ring"; readonly batch: number; readonly spread: Millimetres }
    | { readonly kind: "past-flow-time"; readonly batch: number; readonly taken: Minutes; readonly flowTime: Minutes }
    | { readonly kind: "past-use-by"; readonly lot: string; readonly useBy: string };
  readonly at?: Point;
  readonly found?: FoundPlace;
}
