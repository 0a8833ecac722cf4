/** What the readings prove of a floor, by the rules that the contract names. */
import type { Mesh } from "../geometry/mesh.ts";
import type { Point } from "../geometry/point.ts";
import type { ContractRule, EdgeContact, FloorRow, SampleLine, TradeRuleName } from "../job/contract-model.ts";
import type { FloorLine } from "../job/model.ts";
import type { WallOffset } from "../layout/model.ts";
import type { Metres, Millimetres, Share, SquareMetres } from "../units.ts";

export interface Conformity {
  /** The slab as it was handed over, or the floor after the pour. */
  readonly floor: "raw-slab" | "finished";
  /** ISO date of the readings; absent where the job gives none. */
  readonly date?: string;
  /** Date of the pour, where the floor is finished and it is on record; and whole days from it to the readings. */
  readonly poured?: string;
  readonly daysSincePour?: number;
  /** Points that were read. */
  readonly readings: number;
  /** One a rule of the contract, in its order. */
  readonly rules: readonly RuleVerdict[];
  /** Sample lines, sections and composite; absent where no line was read. */
  readonly fNumbers?: FNumberReport;
  /** Joints that no line and no section may cross. */
  readonly joints: readonly FloorLine[];
  /** Lines that do not count as they were typed; none where all do. */
  readonly lineCuts: readonly LineCut[];
  /** Level against the target; absent where there is no target yet. */
  readonly level?: LevelReport;
  /** Where the floor fails, and what to grind or fill there; worst first within each rule. */
  readonly places: readonly CorrectionPlace[];
  /** What the contract's rules need read on the finished floor, and whether the readings at hand are enough. */
  readonly readingPlans: readonly ReadingPlan[];
  /** A verdict survives where it holds at this many standard deviations to either side. */
  readonly coverage: number;
}

/** `within` and `outside` speak of what was measured; `not-decidable` is an answer, with the reason beside it. */
export type Result = "within" | "outside" | "not-decidable";

/** Whether the same verdict holds anywhere within the uncertainty of the readings. */
export type Survival = "survives" | "does-not-survive" | "uncertainty-not-known";

export interface RuleVerdict {
  readonly rule: Rule;
  readonly result: Result;
  readonly parts: readonly PartVerdict[];
}

/** A rule of acceptance with its figures and where they come from. */
export interface Rule {
  /** Stable, such as `rule-1-resilient-covering` or `rule-2`. */
  readonly id: string;
  /** What kind of rule it is: a rule of the trade by its name, or the kind of the contract's own. */
  readonly name: TradeRuleName | Exclude<ContractRule["kind"], "trade-rule">;
  readonly title: string;
  readonly source: RuleSource;
  /** Where the contract asks for it, as typed. */
  readonly askedBy: string;
  /** Whether every part must hold, or any one of them is enough. */
  readonly needs: "all" | "any";
  readonly parts: readonly RulePart[];
}

export interface RuleSource {
  /** A standard's own designation, the same in every language; empty where there is none. Of the contract, as the office typed it. */
  readonly text: string;
  /**
   * `published`: read in the source named. `second-hand`: read of it elsewhere. `from-memory`: never
   * to be printed as a standard's requirement. `contract`: the job's own figure.
   */
  readonly standing: "published" | "second-hand" | "from-memory" | "contract";
}

export type RulePart =
  | {
      readonly kind: "straightedge";
      readonly edge: Metres;
      readonly gap: Millimetres;
      readonly contact: EdgeContact;
      /** Whether the rule itself says which gap counts, or it is taken so here. */
      readonly contactFrom: "rule" | "taken-here";
      readonly most?: { readonly share: Share; readonly gap: Millimetres };
    }
  | {
      readonly kind: "f-number";
      readonly number: "flatness" | "levelness";
      readonly overall: number;
      readonly section: number;
    }
  | { readonly kind: "din-18202"; readonly row: FloorRow }
  | { readonly kind: "level"; readonly plusMinus: Millimetres };

export interface PartVerdict {
  readonly part: RulePart;
  readonly result: Result;
  /** One a way of measuring that bears on the part; a failing one settles it. */
  readonly findings: readonly Finding[];
}

/** What one way of measuring says. */
export interface Finding {
  readonly method: FindingMethod;
  readonly result: Result;
  /** Of the readings; absent where not known. */
  readonly date?: string;
  /** How many readings it rests on. */
  readonly readings: number;
  /** Share of the places looked at that the readings could decide. */
  readonly decided?: Share;
  /** Share of the decided places within the limit, where the method looks at many. */
  readonly shareWithin?: Share;
  readonly worst?: Measured;
  /** Why nothing can be decided, or what narrows the finding. */
  readonly remarks: readonly Remark[];
}

/** What is said beside a finding or a reading plan; the sheets hold the words. Lengths in metres. */
export type Remark =
  | { readonly kind: "edge-fits-nowhere"; readonly edge: Metres }
  | { readonly kind: "too-few-under-edge"; readonly edge: Metres; readonly where: "nowhere" | "in-part" }
  | { readonly kind: "no-line-under-edge"; readonly edge: Metres }
  | { readonly kind: "line-place-not-recorded"; readonly line: string }
  | { readonly kind: "not-to-the-method" | "condition-not-known"; readonly condition: MethodCondition }
  | { readonly kind: "method-does-not-reach"; readonly roomIndex: number; readonly line: Metres; readonly edge: Metres }
  | { readonly kind: "fewer-than-asked"; readonly readings: number; readonly asked: number; readonly apart: Metres }
  | { readonly kind: "grid-too-fine-by-hand"; readonly spacing: Metres }
  | { readonly kind: "grid-puts-five"; readonly spacing: Metres; readonly edge: Metres }
  | {
      readonly kind:
        | "search-not-settled"
        | "carried-levels-left-out"
        | "some-lines-too-short"
        | "line-says-nothing-beside"
        | "gap-as-typed"
        | "no-three-in-a-row"
        | "between-grid-not-seen"
        | "no-two-high-points"
        | "no-target"
        | "levels-from-zero"
        | "no-sample-line"
        | "noise-keeps-number-low"
        | "decides-in-part";
    };

export type FindingMethod =
  | {
      readonly kind: "edge-on-surface";
      readonly directions: number;
      readonly step: Metres;
      /** By how much the worst gap moved when the places were made finer for the last time, and whether that is settled. */
      readonly moved?: Millimetres;
      readonly settled: boolean;
    }
  | { readonly kind: "edge-on-line" }
  | { readonly kind: "gap-by-hand" }
  | { readonly kind: "f-number-composite" }
  | { readonly kind: "f-number-section"; readonly section: string }
  | { readonly kind: "grid" }
  | { readonly kind: "between-high-points" }
  | { readonly kind: "level-at-points" };

/** The worst value found. Gaps and differences in millimetres; F-numbers without a unit. */
export interface Measured {
  readonly quantity: "gap" | "deviation" | "level-difference" | "f-number";
  /** Absent for an F-number without bound. */
  readonly value?: number;
  readonly limit: number;
  /** How far the value is on the good side of the limit; below zero on the bad one. Absent with `value`. */
  readonly margin?: number;
  /** Standard deviation of value and margin. */
  readonly sd?: number;
  readonly survives: Survival;
  /** Distance between measuring points, where the limit depends on it. */
  readonly over?: Metres;
  readonly where?: FoundPlace;
}

/** A place on the plan as a person finds it on the floor. */
export interface FoundPlace {
  readonly at: Point;
  readonly roomIndex: number;
  /** Square from two walls that are not parallel; absent in a doorway, past the inside face of its wall. */
  readonly offsets?: readonly [WallOffset, WallOffset];
  /** The door in whose doorway the place lies. */
  readonly doorId?: string;
  /** The ends of the edge or line that was laid there. */
  readonly ends?: readonly [Point, Point];
  readonly contacts?: readonly [Point, Point];
  /** The line, gap or point by the name that it has in the job. */
  readonly name?: string;
}

/** A number that grows without bound as the floor becomes perfect. */
export type FNumber = { readonly kind: "value"; readonly value: number } | { readonly kind: "unbounded" };

/** The inch-pound and the metric form of the method: spacing, constants and the unit that they go with. */
export interface FMethod {
  readonly name: "12-in" | "300-mm";
  readonly spacing: Metres;
  readonly unit: "in" | "mm";
  readonly mmPerUnit: number;
  readonly flatness: number;
  readonly levelness: number;
}

/** One of the two numbers of one line. */
export interface LineNumber {
  /** The number of curvatures or of level differences: the line's weight where lines are taken together. */
  readonly count: number;
  /** In the method's unit. */
  readonly mean: number;
  readonly spread: number;
  readonly number: FNumber;
  /** From the noise of the readings, first order; absent where the noise is not known. */
  readonly sd?: number;
  /** The number with the variance that the noise itself adds taken out: noise makes a floor look worse. */
  readonly lessNoise?: FNumber;
  /** What a perfect floor would get with these readings, about. */
  readonly noiseAlone?: number;
}

export interface LineReport {
  readonly line: SampleLine;
  readonly method: FMethod;
  /** In the method's unit: levels, curvatures q, differences z over ten steps. */
  readonly levels: readonly number[];
  readonly curvatures: readonly number[];
  readonly differences: readonly number[];
  readonly flatness: LineNumber;
  readonly levelness: LineNumber;
}

export interface CombinedNumber {
  readonly count: number;
  readonly number: FNumber;
  readonly sd?: number;
  readonly lessNoise?: FNumber;
}

export interface SectionReport {
  readonly section: string;
  readonly lines: readonly string[];
  readonly readings: number;
  readonly flatness: CombinedNumber;
  readonly levelness: CombinedNumber;
}

/** A line of which only parts count: what becomes of each run of its readings, in order. */
export interface LineCut {
  /** As the office named it, with the section that it named. */
  readonly line: string;
  readonly section: string;
  readonly parts: readonly LinePart[];
}

/** Readings `first` to `last` of a line, counted from 1: a line of its own by a name, or left out. */
export interface LinePart {
  readonly first: number;
  readonly last: number;
  readonly becomes?: string;
  readonly leftOut?: "near-joint" | "near-edge" | "too-short";
  /** The joint that they are too near to. */
  readonly joint?: string;
}

export interface FNumberReport {
  readonly lines: readonly LineReport[];
  readonly sections: readonly SectionReport[];
  readonly composite: Omit<SectionReport, "section">;
  readonly conditions: readonly MethodCondition[];
  /** True only where every condition is known to hold. */
  readonly toTheMethod: boolean;
  readonly formulas: readonly Formula[];
}

/** A formula as it was used, to be printed as a formula. */
export interface Formula {
  readonly of: "symbols" | "flatness" | "levelness" | "spread" | "lines-together";
  readonly text: string;
  readonly standing: RuleSource["standing"];
}

/** One condition of the method of sample lines. */
export interface MethodCondition {
  readonly condition:
    | "spacing"
    | "readings-in-line"
    | "line-length"
    | "one-method"
    | "on-the-floor"
    | "edge-distance"
    | "joint-distance"
    | "lines-apart"
    | "joint-in-section"
    | "readings-in-all"
    | "time-since-pour";
  readonly standing: "holds" | "fails" | "not-known";
  readonly source: RuleSource;
  /** What the method or the contract asks for: metres, readings or days, by the condition. */
  readonly wanted?: number;
  /** What was found where it fails, in the same unit. */
  readonly found: readonly { readonly line?: string; readonly value?: number }[];
  /** The lines of which it fails, or is not known. */
  readonly lines: readonly string[];
}

/** Actual against planned: level of the floor less the target. */
export interface LevelReport {
  readonly points: readonly LevelAtPoint[];
  /** For the map: the floor's mesh, doubled where zones of the target meet, and level less target at its vertices. */
  readonly mesh: Mesh;
  readonly differenceMm: Float64Array;
  readonly mean: Millimetres;
  /** Standard deviation over the points. */
  readonly spread: Millimetres;
  readonly highest: LevelAtPoint;
  readonly lowest: LevelAtPoint;
}

export interface LevelAtPoint {
  readonly id: string;
  readonly at: Point;
  readonly roomIndex: number;
  readonly level: Millimetres;
  readonly target: Millimetres;
  /** Level less target: above zero the floor is high. */
  readonly difference: Millimetres;
  readonly sd: Millimetres;
  /** Against the contract's level rule; absent where it has none. */
  readonly verdict?: { readonly result: "within" | "outside"; readonly survives: Survival };
}

/** A place to correct. One of the two ways is proposed; the depth of both is given where both are open. */
export interface CorrectionPlace {
  /** G1 … for grinding, F1 … for filling. */
  readonly id: string;
  readonly work: "grind" | "fill";
  /** The rules that fail here. */
  readonly ruleIds: readonly string[];
  readonly found: FoundPlace;
  /** What brings the floor just within the rule there; absent where the rule speaks of no single place. */
  readonly least?: Millimetres;
  /** What makes it true. */
  readonly whole: Millimetres;
  /** The other way to mend it: where, and how much at least. */
  readonly instead?: { readonly work: "grind" | "fill"; readonly found: FoundPlace; readonly least: Millimetres };
  /** Part of the floor concerned, where it is known. */
  readonly area?: SquareMetres;
}

/** What one part of a rule needs read. */
export interface ReadingPlan {
  readonly ruleId: string;
  readonly part: RulePart;
  /** True where the readings at hand can decide it, at least over part of the floor. */
  readonly enough: boolean;
  readonly needs:
    | {
        readonly kind: "grid";
        readonly spacing: Metres;
        readonly points: readonly Point[];
        /** At how many places the edge itself could be laid by hand instead. */
        readonly layings?: number;
      }
    | { readonly kind: "lines"; readonly lines: readonly PlannedLine[]; readonly readings: number }
    | { readonly kind: "edge-by-hand"; readonly places: number; readonly gridPoints: number }
    | { readonly kind: "points-of-the-plan"; readonly points: number };
  readonly remarks: readonly Remark[];
}

export interface PlannedLine {
  readonly id: string;
  readonly roomIndex: number;
  readonly ends: readonly [Point, Point];
  readonly spacing: Metres;
  readonly readings: number;
}

export type { ContractRule, TradeRuleName };
