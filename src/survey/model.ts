/**
 * What the readings say of the slab: one level a point, all from the job's zero, and what is known
 * of how good they are.
 */
import type { SourcePlace } from "../diagnostics.ts";
import type { Point } from "../geometry/point.ts";
import type { AdjustmentRules, ClosingRule } from "../job/model.ts";
import type { PlanFit } from "../job/plan-fit.ts";
import type { Litres, Metres, Millimetres, Share, SquareMetres } from "../units.ts";

export interface Levels {
  /** Of a scan those at the plan's points, then those that maps show. */
  readonly points: readonly PointLevel[];
  /** The whole of a scan, where the floor was scanned. */
  readonly scan?: ScanLevels;
  /** True where no point was read twice and nothing ties back: the levels could not be checked. */
  readonly unchecked: boolean;
}

export interface PointLevel {
  readonly id: string;
  readonly at: Point;
  readonly roomIndex: number;
  readonly level: Millimetres;
  /** Standard deviation of the level, from reading alone, against the datum. */
  readonly sd: Millimetres;
  /** Readings that the level rests on; struck ones do not count. */
  readonly timesRead: number;
  /** Where the place was worked on and read again: what was done. The level is the new one. */
  readonly afterWork?: string;
  /** Of a point that maps show of a scan: its place among the scan's points. */
  readonly ofScan?: number;
}

/** A scanned floor: the points that lie on it, and which of them stand for the rest on maps. */
export interface ScanLevels {
  readonly file: string;
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  readonly levelMm: Float64Array;
  readonly roomOf: Uint32Array;
  /** The line of the file that each stands on. */
  readonly line: Uint32Array;
  readonly sd: Millimetres;
  readonly pinReach: Metres;
  /** How many the file holds; what is not on a floor was left out. */
  readonly rows: number;
  /** Points of the plan that have a level by the scan. */
  readonly pinsRead: number;
  /** Indices of the points that are shown, rising. */
  readonly shown: Uint32Array;
  /** One point of each square of this side is shown; absent where all are. */
  readonly squareSide?: Metres;
  /** Floor whose squares hold no point, about. */
  readonly emptyArea?: SquareMetres;
  /** The point farthest off the middle height of its square, and how far above it that is. */
  readonly farthestOff?: { readonly at: Point; readonly line: number; readonly by: Millimetres };
  /** Points that are more than 10 mm off. */
  readonly farOff: number;
  readonly fit?: PlanFit;
}

/** Levels with the whole account of the adjustment: what `adjustLevels` gives. */
export interface AdjustedLevels extends Levels {
  readonly report: SurveyReport;
  readonly covariance: LevelCovariance;
}

/**
 * Covariance of the levels, in mm², in the order of `points`:
 * cov(i, j) = [i = j]·own(i) + common(i)·Q·common(j)ᵀ, as `varianceOfSum` sums it up.
 */
export interface LevelCovariance {
  readonly ownMm2: Float64Array;
  /** Row-major, `columns` a point: how the point's level follows the unknowns of the set-ups. */
  readonly common: Float64Array;
  /** Cofactors of the set-ups' unknowns, scaled to mm², row-major, `columns` × `columns`. */
  readonly setUpsMm2: Float64Array;
  readonly columns: number;
}

export interface SurveyReport {
  readonly rules: AdjustmentRules;
  readonly datum: Datum;
  readonly setUps: readonly SetUpResult[];
  readonly benchMarks: readonly BenchMarkResult[];
  /** In the order of the job, struck ones too. */
  readonly readings: readonly ReadingResult[];
  readonly global: GlobalTest;
  /** Normalized residuals beyond this are suspect: two-sided at `rules.alpha` for one reading. */
  readonly critical: number;
  /** A level's 95 % half width is this many of its standard deviations: normal, or Student's t where σ is estimated. */
  readonly halfWidth95: number;
  readonly closures: readonly Closure[];
  readonly ties: readonly Tie[];
  readonly readAgain: readonly ReadAgain[];
  /** True where the search for suspects stopped at its limit of rounds before it ran out of them. */
  readonly searchCutShort: boolean;
  /** Spread of (predicted from the slab around − read) over all points; absent with too few points. */
  readonly slabSpread?: Millimetres;
  readonly temperatures: readonly TemperatureBound[];
}

export type Datum =
  | { readonly kind: "bench-marks"; readonly benchMarkIds: readonly string[] }
  | { readonly kind: "first-set-up"; readonly setUpId: string }
  | { readonly kind: "scan"; readonly file: string };

export interface SetUpResult {
  readonly setUpId: string;
  readonly readingsUsed: number;
  readonly readingsStruck: number;
  /** Goes onto the set-up's readings to make them levels; 0 for the datum. */
  readonly zeroCorrection: Millimetres;
  readonly zeroSd: Millimetres;
  /** Absent where no drift was solved for. */
  readonly drift?: Drift;
}

/** How fast a set-up's readings ran away from its zero: positive where they came out too high as time went on. */
export interface Drift {
  /** Clock minutes where the sheet has times, else readings at an even pace. */
  readonly clock: "minutes" | "readings";
  /** Millimetres in a minute, or a reading. */
  readonly rateMm: number;
  readonly rateSdMm: number;
  /** Over the whole set-up, and its standard deviation. */
  readonly whole: Millimetres;
  readonly wholeSd: Millimetres;
  /** Whether the drift is beyond the critical value at the stated alpha. */
  readonly significant: boolean;
}

export interface BenchMarkResult {
  readonly benchMarkId: string;
  readonly given: Millimetres;
  readonly held: boolean;
  /** As adjusted; equal to `given` where held. */
  readonly level: Millimetres;
  readonly sd: Millimetres;
  readonly timesRead: number;
  /** Absent where held, or where its redundancy is next to none. */
  readonly normalizedResidual?: number;
  /** Whether its given level is beyond the critical value; false where nothing checks it. */
  readonly suspect: boolean;
}

/** Which reading: the office finds it by set-up and point, the program by place. */
export interface ReadingRef {
  readonly setUpId: string;
  /** Index into the readings of the set-up, or into its zero checks; −1 for the setting of the zero at the start. */
  readonly index: number;
  readonly kind: "reading" | "zero-check";
  readonly pointId: string;
  readonly place: SourcePlace;
}

export type ReadingResult =
  | {
      readonly kind: "used";
      readonly ref: ReadingRef;
      readonly at?: Point;
      /** Level of the point as this reading alone has it, corrected for the set-up's zero and drift. */
      readonly level: Millimetres;
      /** Adjusted less read. */
      readonly residual: Millimetres;
      /** Share of a slip in this reading that its residual shows: 0 nothing, 1 all. */
      readonly redundancy: Share;
      readonly check: ReadingCheck;
    }
  | { readonly kind: "struck"; readonly ref: ReadingRef; readonly reason: string }
  | { readonly kind: "left-out"; readonly ref: ReadingRef; readonly why: "unknown-point" };

export type ReadingCheck =
  /** Redundancy next to none: a slip of any size would go unseen. */
  | { readonly kind: "unchecked" }
  | {
      readonly kind: "checked";
      readonly normalizedResidual: number;
      readonly suspect: boolean;
      /** The least slip that would be found at the stated alpha with the stated power. */
      readonly leastDetectable: Millimetres;
    };

/** vᵀPv against chi-square at 5 %, both sides. */
export type GlobalTest =
  | { readonly kind: "no-redundancy" }
  | {
      readonly kind: "tested";
      readonly redundancy: number;
      readonly sumOfSquares: number;
      readonly lower: number;
      readonly upper: number;
      /** √(vᵀPv / r): 1 where the readings are as good as the instrument says. */
      readonly sigmaZero: number;
      readonly verdict: "as-expected" | "worse-than-stated" | "better-than-stated";
    };

/** What two set-ups, or a set-up and the bench marks, say of each other at the points that both read. */
export interface Tie {
  readonly setUpIds: readonly [string, string];
  readonly pointIds: readonly string[];
  /** Greatest departure of one point from their mean difference. */
  readonly greatestSpread: Millimetres;
  /** One shared point shows no slip; two show that there is one but not where. */
  readonly strength: "not-checked" | "felt-not-found" | "found";
}

/** Something that ought to come out at nothing. */
export interface Closure {
  readonly kind: "set-up" | "loop" | "bench-marks";
  /** The set-ups in the order of the loop; one for the zero of a set-up. */
  readonly setUpIds: readonly string[];
  readonly error: Millimetres;
  /** What reading alone would make of it. */
  readonly sd: Millimetres;
  /** Absent for a rule by length where a position of the level is not known. */
  readonly length?: Metres;
  /** What the job allows; absent where it states no rule, or the length is wanting. */
  readonly allowed?: Millimetres;
  readonly rule?: ClosingRule;
  readonly verdict: "within" | "beyond" | "not-judged";
}

/** A place to read again, worst first. Nothing is struck or corrected but by the office. */
export interface ReadAgain {
  readonly pointId: string;
  readonly at?: Point;
  readonly roomIndex?: number;
  /** The readings that cannot be told apart by their residuals, or stand in the shifted row; the likeliest first. */
  readonly readings: readonly ReadingRef[];
  /** Whether the first is the one: nothing else could be; only with it set aside the point fits the slab around; or any of them may be. */
  readonly which: "only-one" | "one-by-the-slab" | "any-of-them" | "whole-row";
  readonly found: "by-other-readings" | "by-the-slab-around" | "by-the-shift-of-a-row";
  /** How many of its standard deviations the reading is off, and how many make it suspect. */
  readonly statistic: number;
  readonly critical: number;
  /** Level of the point as read, as it likely is, and the standard deviation of the latter. */
  readonly asRead: Millimetres;
  readonly likely: Millimetres;
  readonly likelySd: Millimetres;
  /** The point is a bench mark with a standard deviation: its given level may be what is off. */
  readonly orGivenLevel?: true;
  /** Read less likely. */
  readonly slip: Millimetres;
  /** What would make this reading so; absent where nothing typical fits. */
  readonly typicalSlip?: TypicalSlip;
  /** Material that the change of level asks for (positive: more), over the floor that is nearest to the point. */
  readonly effect?: Litres;
  readonly effectBags?: number;
}

export type TypicalSlip =
  | { readonly kind: "sign-turned" | "inches-as-millimetres" | "millimetres-as-inches" | "decimal-point" }
  | { readonly kind: "digits-swapped"; readonly text: string }
  | { readonly kind: "row-shifted"; readonly by: 1 | -1; readonly pointIds: readonly string[] };

export interface TemperatureBound {
  readonly setUpId: string;
  readonly perMetreOfLeg: Millimetres;
  readonly bound: Millimetres;
}

/** A survey before it is made: where the level stands, and what is read from where. */
export interface SurveyPlan {
  readonly positions: readonly PlannedSetUp[];
  /** Pairs of positions, by index, that share at least three spread points and so tie the set-ups into one net. */
  readonly neighbours: readonly PlannedTie[];
  /** Points that no candidate position reaches: the plan does not cover them. */
  readonly outOfReach: readonly string[];
  /** Fewest positions shown to be possible; equal to the number planned where the plan is proved best. */
  readonly leastPositions: number;
  readonly provedFewest: boolean;
}

export interface PlannedSetUp {
  /** S1, S2 … in the order of work. */
  readonly id: string;
  readonly at: Point;
  readonly roomIndex: number;
  /** Every point that could be read from here, nearest along the floor first. */
  readonly reach: readonly { readonly pointId: string; readonly hose: Metres }[];
  /** For a hose: how it lies to the farthest point that is read from here, and where on the floor it ends. */
  readonly hose?: PlannedHose;
  /** Points in the order of reading: row by row, turning at each end, then those read a second time. */
  readonly order: readonly PlannedReading[];
  /** The zero mark is read after so many readings: 0, every twenty, and at the end. */
  readonly zeroChecksAfter: readonly number[];
}

export interface PlannedHose {
  readonly pointId: string;
  readonly length: Metres;
  /** From the position to the point, with every turn. */
  readonly way: readonly Point[];
  /** Lines along which the hose just reaches; none where it reaches all of the floor. */
  readonly ends: readonly (readonly Point[])[];
}

export interface PlannedReading {
  readonly pointId: string;
  readonly hose: Metres;
  readonly why: "bench-mark" | "own" | "tie" | "second-time";
}

export interface PlannedTie {
  readonly positions: readonly [number, number];
  /** The shared points that both set-ups read. */
  readonly pointIds: readonly string[];
}
