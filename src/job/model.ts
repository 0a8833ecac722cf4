/**
 * A validated job in SI units: what every later stage works from. `job/` makes it from the YAML
 * text and the library files; nothing after it parses a length or turns a sign.
 */
import type { SourcePlace } from "../diagnostics.ts";
import type { Point, Ring } from "../geometry/point.ts";
import type { Celsius, Kilograms, Metres, Millimetres, Minutes, Share } from "../units.ts";
import type { Contract, HandReadings } from "./contract-model.ts";
import type {
  Absorbency,
  Company,
  Crew,
  Instrument,
  Material,
  PinSpec,
  Primer,
  SubstrateKind,
} from "./library-model.ts";
import type { PlanFit } from "./plan-fit.ts";
import type { JobDocument, JointSurvey, PourResults, ReadinessSpec, Submittal } from "./record-model.ts";
import type { ScanSpec } from "./scan-model.ts";
import type { TargetSpec } from "./target-model.ts";

export type Language = "en" | "es";
/** How plan lengths are printed large. Both systems always stand on a sheet; this one leads. */
export type PlanUnit = "ft-in" | "m";
/** How heights are printed large. */
export type HeightUnit = "mm" | "in";
export type PaperFamily = "letter" | "a4";

export interface Job {
  readonly id: string;
  readonly title: string;
  readonly place?: string;
  readonly client?: string;
  readonly generalContractor?: string;
  readonly contractReference?: string;
  /** ISO date on which the office made this version of the job file, as typed. Never the clock. */
  readonly dated?: string;
  readonly company: Company;
  readonly units: { readonly plan: PlanUnit; readonly height: HeightUnit };
  readonly paper: PaperFamily;
  readonly languages: readonly Language[];
  /** Plan azimuth of up-the-sheet; 0 means that the job's north is up. Drawn, never applied to numbers. */
  readonly rooms: readonly Room[];
  readonly benchMarks: readonly BenchMark[];
  readonly floor: FloorCondition;
  readonly survey: SurveySpec;
  readonly target: TargetSpec;
  readonly material: Material;
  readonly primer: Primer;
  readonly pins: PinSpec;
  readonly crew: Crew;
  readonly pour: PourSpec;
  readonly contract: Contract;
  /** The floor read again after the pour; absent until it was. */
  readonly finished?: FinishedSpec;
  /** Tests of the substrate; absent where the job says nothing of them. */
  readonly readiness?: ReadinessSpec;
  readonly jointSurvey?: JointSurvey;
  /** Data sheets and other documents that the office names, and what it submitted; absent where it names none. */
  readonly documents?: readonly JobDocument[];
  readonly submittals?: readonly Submittal[];
  /** How the pour went; absent until it did. */
  readonly results?: PourResults;
  readonly notes: readonly string[];
  readonly source: JobSource;
}

/** Where values came from, so that a later stage can point at the line that it objects to. */
export interface JobSource {
  /** The file as the office knows it, such as `jobs/tern-street-clinic.yaml`. */
  readonly file: string;
  readonly text: string;
  /** The place of a value by its path of keys and indices; of the nearest parent where it has none. */
  place(path: readonly (string | number)[]): SourcePlace;
}

export interface Room {
  readonly id: string;
  readonly name: string;
  /** Inside faces of the walls, counter-clockwise. */
  readonly outline: Ring;
  /** Wall k runs from outline[k] to outline[k+1]. */
  readonly walls: readonly Wall[];
  readonly columns: readonly Obstacle[];
  readonly doors: readonly Door[];
  /** How far the taped walls missed their start before that was spread over them; 0 where corners were given. */
  readonly misclosure?: Metres;
}

export interface Wall {
  /** Counts from 1 in the order in which the office taped it. */
  readonly number: number;
  /** Such as "south wall", or "south wall 2" where a room has several. English; sheets translate by `side` and `ordinal`. */
  readonly name: string;
  /** Which side of the room the wall stands on, by its outward normal. */
  readonly side: "north" | "east" | "south" | "west" | "north-east" | "south-east" | "south-west" | "north-west";
  /** 1 where it is the only wall of that side, else its count among them. */
  readonly ordinal: number;
  readonly onlyOne: boolean;
  readonly from: Point;
  readonly to: Point;
}

/** A column, shaft or other place inside a room where nothing is poured. */
export interface Obstacle {
  readonly id: string;
  readonly kind: "column" | "opening";
  /** Clockwise. */
  readonly ring: Ring;
}

export interface Door {
  readonly id: string;
  readonly roomId: string;
  /** Index into the room's walls. */
  readonly wallIndex: number;
  /** Distance along the wall from its taped start to the near jamb. */
  readonly from: Metres;
  readonly width: Metres;
  /** The jambs on the inside face of the room's wall, in the direction of the counter-clockwise outline. */
  readonly jambs: readonly [Point, Point];
  /** Another room's id, or the name of a place outside the job. */
  readonly joins: string;
  readonly joinsRoom: boolean;
  /** Thickness of the wall at the doorway: 0 where the floor ends at the inside face. */
  readonly wallThickness: Metres;
  /**
   * The floor inside the doorway, counter-clockwise; it belongs to the room that declares the door.
   * Absent where the wall has no thickness.
   */
  readonly doorway?: Ring;
  /** Level of the finished floor on the other side, from the job's zero. */
  readonly neighbourFinish?: Millimetres;
  /**
   * The set-up from whose zero `neighbourFinish` was read: what the adjustment puts on that set-up's readings goes onto it
   * too. Absent where it stands in the job's zero already.
   */
  readonly neighbourSetUpId?: string;
  /** True where the door is the way in and out for the crew. */
  readonly entrance: boolean;
}

export interface BenchMark {
  readonly id: string;
  readonly at: Point;
  /** Level above the job's zero. */
  readonly level: Millimetres;
  /** Standard deviation of `level`; absent or 0 where the level is held. */
  readonly sd?: Millimetres;
  readonly description?: string;
}

export interface FloorCondition {
  readonly support: "on-ground" | "suspended";
  readonly substrate: SubstrateKind;
  readonly absorbency: Absorbency;
  /** The engineer who accepted the added load of pour and staging; without one a suspended floor is on HOLD. */
  readonly acceptedBy?: { readonly name: string; readonly date: string };
}

export interface SurveySpec {
  readonly grid: GridSpec;
  readonly extraPoints: readonly ExtraPoint[];
  readonly setUps: readonly SetUp[];
  /** The slab as a scan, in place of set-ups. */
  readonly scan?: ScanSpec;
  /** Construction joints of this floor; empty where it has none, absent where the job does not say. */
  readonly joints?: readonly FloorLine[];
  /** What was measured for flatness on this floor by hand, beside the levels. */
  readonly byHand?: HandReadings;
  /** How readings are adjusted and tested; absent where the office states nothing (`USUAL_RULES` of `survey`). */
  readonly adjustment?: AdjustmentRules;
  /** What the survey is planned from; absent where the office asks for no plan of it. */
  readonly planning?: SurveyPlanning;
}

export interface SurveyPlanning {
  readonly instrument: Instrument;
  /** Hose that bends, the stand and the handset take: off the hose's length. */
  readonly slack: Metres;
  /** What the office expects of the slab, room by room; a room that is not named is taken as level with the rest. */
  readonly expected: readonly ExpectedRelief[];
  /** Places for the level that the office has settled on. */
  readonly positions: readonly Point[];
  /** Points shared by two set-ups stand at least this far from each other. */
  readonly tieSpread: Metres;
}

/** Levels that the office expects in a room, against any zero that is the same for all rooms. */
export interface ExpectedRelief {
  readonly roomId: string;
  readonly lowest: Millimetres;
  readonly highest: Millimetres;
}

export interface AdjustmentRules {
  /** Chance of calling a good reading suspect, two-sided, for each reading tested. */
  readonly alpha: Share;
  /** Chance of finding a slip of the least detectable size. */
  readonly power: Share;
  /** Where standard deviations come from: the instrument's own, or the residuals of this survey. */
  readonly sigma: "instrument" | "residuals";
  /** Whether a steady drift is solved for where a set-up's zero was checked at two times or more. */
  readonly drift: "linear" | "none";
  /** The closing error that the job allows; absent where it states none. */
  readonly closing?: ClosingRule;
}

/** k·√n with n set-ups in the loop, or k·√K with K kilometres of it. */
export interface ClosingRule {
  readonly per: "root-set-up" | "root-km";
  readonly k: Millimetres;
  /** Where the rule comes from, as the office states it. */
  readonly source: string;
}

/** Lettered lines run west–east and count northward; numbered lines run south–north and count eastward. A1 is at the origin. */
export interface GridSpec {
  readonly origin: Point;
  readonly spacingEast: Metres;
  readonly spacingNorth: Metres;
}

export interface ExtraPoint {
  readonly id: string;
  readonly at: Point;
  readonly note?: string;
  /** The row that names it, where a file of readings does and the job file does not. */
  readonly place?: SourcePlace;
}

export interface SetUp {
  readonly id: string;
  readonly instrument: Instrument;
  readonly reservoir?: Point;
  readonly date?: string;
  /** As typed, in order. Points that were not read ("-") are absent. */
  readonly readings: readonly Reading[];
  /** How the coordinates of its file were brought onto the plan; absent where there are none, or they were the plan's. */
  readonly fit?: PlanFit;
  readonly zeroChecks?: readonly ZeroCheck[];
  readonly temperature?: LegTemperatures;
  /**
   * Set where the floor was worked on (ground, patched) before this set-up. Its points are new
   * places with levels of their own, except `ties`, points that were not worked on.
   */
  readonly afterWork?: { readonly work: string; readonly ties: readonly string[] };
}

/** The zero mark of a set-up, read again. */
export interface ZeroCheck {
  /** How many readings of this set-up, as typed, stood before it. */
  readonly afterReadings: number;
  /** Minutes after midnight, as typed. */
  readonly time?: Minutes;
  /** Level of the zero mark above the set-up's zero: 0 where nothing moved. */
  readonly level: Millimetres;
  readonly place: SourcePlace;
}

/** The two legs of a hose: what stood at each, and how far the fluid stands above the lowest part of the hose. */
export interface LegTemperatures {
  readonly coolest: Celsius;
  readonly warmest: Celsius;
  readonly verticalLeg: Metres;
}

/** Sheets are in millimetres or inches; files of heights come in metres or feet too. */
export type ReadingUnit = "mm" | "in" | "m" | "ft";

export interface Reading {
  /** The point read: a grid point such as `A3`, or the id of another point. */
  readonly pointId: string;
  /** Level above the set-up's zero, sign and unit already turned. */
  readonly level: Millimetres;
  /** What the office typed, and how the sheet is to be read, so that it can be worked out again. */
  readonly typed: {
    readonly text: string;
    readonly unit: ReadingUnit;
    readonly side: "below" | "above";
    /** Millimetres that were taken off the number, where it is a height in a file with a zero of its own. */
    readonly zeroMm?: number;
  };
  readonly place: SourcePlace;
  /** Minutes after midnight, where the sheet gives a time for this reading. */
  readonly time?: Minutes;
  /** Thickness that the handset stood on (old covering, patch, sheet), already taken off `level`. */
  readonly reducedBy?: Millimetres;
  /** Set where the office struck the reading: it is kept and printed, and left out of the levels. */
  readonly struck?: { readonly reason: string };
}

/** A line on the floor from one place to another, such as a moving joint. */
export interface FloorLine {
  readonly id: string;
  readonly from: Point;
  readonly to: Point;
}

/** The loss of this job's material and crew as poured jobs have it; shares of what lies in the floor. */
export interface LearnedLoss {
  /** What would hold without it. */
  readonly usual: Share;
  /** At the archive's mean depth; below zero where bags gave more than the data sheet says. */
  readonly loss: number;
  readonly depth: Millimetres;
  /** Change with each mm more of mean depth, and its standard deviation. */
  readonly perMm: number;
  readonly perMmSd: number;
  /** Standard deviation of one job's own loss. */
  readonly sd: number;
  /** Poured jobs of this material. */
  readonly jobs: number;
  /** False where this crew has poured none of them: then it is the mean of the crews. */
  readonly crewKnown: boolean;
}

export interface PourSpec {
  /** Local date and time of the first batch as typed, such as `2027-03-04 07:30`; absent where not fixed yet. */
  readonly start?: string;
  readonly lossAllowance: Share;
  /** Where `lossAllowance` comes from, for a job that asks for what the archive taught. */
  readonly learnedLoss?: LearnedLoss;
  /** Mean depth that the roughness of the prepared surface swallows. */
  readonly profileAllowance: Millimetres;
  readonly bagsPerPallet: number;
  /** Footprint of a pallet in plan. */
  readonly palletLength: Metres;
  readonly palletWidth: Metres;
  readonly palletTare: Kilograms;
  /** The lift or hoist by which material comes to the floor; absent where it is carried in at grade. */
  readonly goodsLift?: GoodsLift;
  /** Taken off the time within which a fresh edge must be renewed; absent for the usual minute. */
  readonly edgeMargin?: Minutes;
  /** Where material is mixed; absent where it is at the way in and out with the least carrying. */
  readonly station?: Point;
  /** Places at the floor's edge, other than doors, where the crew can step off. */
  readonly exits?: readonly { readonly id: string; readonly at: Point }[];
  /** Joints that move and are carried through the pour. */
  readonly movingJoints?: readonly FloorLine[];
  /** Dams that the office has decided on: the pour may harden on one side before the other is poured. */
  readonly dams?: readonly FloorLine[];
  /** Drains and pipes to be plugged or sleeved. */
  readonly drains?: readonly { readonly id: string; readonly at: Point }[];
  /** Where pallets are set down, in the order in which they are emptied; absent where that is left to the day. */
  readonly palletsAt?: readonly Point[];
  /** Temperature of the slab that is expected on the day. */
  readonly slabTemperature?: Celsius;
  /** Share of the bags planned up to a line that may be used beyond plan before the pour is stopped there. */
  readonly bagCheckShare?: Share;
}

export interface GoodsLift {
  /** What may be loaded besides the person who rides along. */
  readonly load: Kilograms;
  /** Load, ride up, unload, ride down. */
  readonly roundTrip: Minutes;
  /** From the lift to the mixing station. */
  readonly way?: Metres;
}

/** The floor as it was read after the pour. */
export interface FinishedSpec {
  /** ISO date on which the floor was poured, where it is on record. */
  readonly poured?: string;
  /** ISO date of the readings; a set-up or a line may carry its own. */
  readonly date: string;
  /** Grid (the survey's, where the office gives no other), points and set-ups of the finished floor. */
  readonly survey: SurveySpec;
}
