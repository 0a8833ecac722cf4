/**
 * A validated job in SI units: what every later stage works from. `job/` makes it from the YAML
 * text and the library files; nothing after it parses a length or turns a sign.
 */
import type { SourcePlace } from "../diagnostics.ts";
import type { Point, Ring } from "../geometry/point.ts";
import type {
  Celsius,
  Kilograms,
  KilogramsPerLitre,
  KilogramsPerSquareMetre,
  Kilowatts,
  Litres,
  LitresPerMinute,
  Metres,
  MetresPerMinute,
  Millimetres,
  MillimetresPerMetre,
  Minutes,
  Share,
  SquareMetres,
  SquareMetresPerLitre,
} from "../units.ts";
import type {
  ContractTerms,
  JobDocument,
  JointSurvey,
  PourResults,
  ProtectionTimes,
  ReadinessSpec,
  Submittal,
} from "./record-model.ts";

export type Language = "en" | "es";
/** How plan lengths are printed large. Both systems always stand on a sheet; this one leads. */
export type PlanUnit = "ft-in" | "m";
/** How heights are printed large. */
export type HeightUnit = "mm" | "in";
export type PaperFamily = "letter" | "a4";
export type SubstrateKind = "concrete" | "wood" | "old-covering";
export type Absorbency = "porous" | "dense";

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

export interface Company {
  readonly name: string;
  readonly address?: string;
  readonly phone?: string;
  /** Address for the QR code on sheets, if the office has a site. */
  readonly site?: string;
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

export interface Instrument {
  readonly id: string;
  readonly name: string;
  readonly kind: "hose" | "other";
  /** Standard deviation of one reading. */
  readonly readingSd: Millimetres;
  readonly hoseLength?: Metres;
  readonly range?: Millimetres;
  /** What is in the hose; absent where the instrument has none. */
  readonly fluid?: Fluid;
  /** The entry in its file, for a stage that objects to one of its values. */
  readonly place?: SourcePlace;
}

/** Water expands by its own table; another fluid by the coefficient that its data sheet gives. */
export type Fluid =
  | { readonly kind: "water" }
  | { readonly kind: "other"; readonly name: string; readonly expansionPerKelvin: number };

/** One thickness that goes on top of the pour, such as tile or its adhesive. */
export interface BuildUpLayer {
  readonly name: string;
  readonly thickness: Millimetres;
}

export type TargetSpec =
  | OneTopSpec
  /** Several tops, each over rooms of its own; together they cover every room once. */
  | { readonly kind: "zones"; readonly zones: readonly ZoneSpec[]; readonly meets: readonly MeetSpec[] };

/** One top over rooms that share it. */
export type OneTopSpec =
  | { readonly kind: "level"; readonly top: Millimetres; readonly zeroIsTop: boolean }
  | { readonly kind: "bench-mark"; readonly benchMarkId: string; readonly above: Millimetres }
  /** A plane at this height at a place, from where it falls so much towards another place, such as a drain channel. */
  | {
      readonly kind: "sloped";
      readonly at: Point;
      readonly top: Millimetres;
      readonly fall: MillimetresPerMetre;
      readonly towards: Point;
    }
  | ({ readonly kind: "door"; readonly doorId: string } & Coverings)
  | SoughtTop;

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

/** A constant that comes from a data sheet says which one. */
export interface DataSheet {
  readonly title: string;
  readonly date?: string;
  /** True for what ships with the program: to be checked against the bag. */
  readonly example: boolean;
}

export interface Material {
  readonly id: string;
  readonly name: string;
  readonly binder: "cement" | "gypsum";
  readonly dataSheet: DataSheet;
  readonly bag: Kilograms;
  readonly yieldPerBag: Litres;
  readonly waterPerBag: Litres;
  readonly wetDensity: KilogramsPerLitre;
  readonly flowTime: Minutes;
  readonly healingTime?: Minutes;
  readonly walkOn?: Minutes;
  /** What else the data sheet holds off, and how long. */
  readonly protection?: ProtectionTimes;
  /** Least and greatest depth by what it is poured on; a substrate that is absent is refused. */
  readonly depthOn: Partial<Record<SubstrateKind, { readonly least: Millimetres; readonly greatest: Millimetres }>>;
  /** Greatest depth of one lift. */
  readonly greatestLift: Millimetres;
  readonly waitBetweenLifts?: Minutes;
  readonly greatestFall: MillimetresPerMetre;
  /** True where the data sheet allows it to be run out to nothing; absent counts as not. */
  readonly feathers?: boolean;
  /** How the data sheet allows deep lifts to be stretched with aggregate; absent where it does not. */
  readonly aggregate?: AggregateExtension;
  /** By which share the yield of a bag may be off either way, from the data sheet; absent where it says nothing. */
  readonly yieldTolerance?: Share;
  readonly pinSpacing: Metres;
  readonly pinSpacingAtDoors: Metres;
  /** Flow and healing times at other temperatures of the slab, as the data sheet tabulates them. */
  readonly timesAt?: readonly TimesAtTemperature[];
  /** The flow ring's accepted spread, and every how many batches it is checked after the first. */
  readonly flowRing?: { readonly least: Millimetres; readonly greatest: Millimetres; readonly everyBatches: number };
  /** Temperatures of the slab's surface and of the mixing water that the data sheet allows. */
  readonly slabTemperatures?: TemperatureRange;
  readonly waterTemperatures?: TemperatureRange;
  /** True where the data sheet asks for primer between two lifts. */
  readonly primeBetweenLifts?: boolean;
  /** The entry in its file, for a stage that objects to one of its values. */
  readonly place?: SourcePlace;
}

export interface TimesAtTemperature {
  readonly temperature: Celsius;
  readonly flowTime: Minutes;
  readonly healingTime?: Minutes;
}

export interface TemperatureRange {
  readonly least: Celsius;
  readonly greatest: Celsius;
}

/** Aggregate, such as damp pea gravel, mixed into the material for the lower part of a deep pour. */
export interface AggregateExtension {
  readonly name: string;
  /** The most that goes into one bag. */
  readonly perBag: Kilograms;
  /** Of one bag with that much in it. */
  readonly yieldPerBag: Litres;
  readonly waterPerBag: Litres;
  /** Thinner than this no extended lift is laid. */
  readonly leastDepth: Millimetres;
  /** So much on top of it is poured neat. */
  readonly neatOnTop: Millimetres;
}

export interface Primer {
  readonly id: string;
  readonly name: string;
  readonly dataSheet: DataSheet;
  /** Per substrate absorbency: coats in order; water parts to one part concentrate; what a litre of the diluted mix covers. */
  readonly coatsOn: Record<Absorbency, readonly PrimerCoat[]>;
  /** Drying of one coat before the next, or before the pour; absent where the data sheet was not read for it. */
  readonly dryingTime?: Minutes;
  /** Time from the last coat within which the pour must be done. */
  readonly openTime?: Minutes;
  /** The entry in its file, for a stage that objects to one of its values. */
  readonly place?: SourcePlace;
}

export interface PrimerCoat {
  readonly waterToOne: number;
  readonly coverage: SquareMetresPerLitre;
}

export interface PinSpec {
  readonly id: string;
  readonly name: string;
  readonly foot: Millimetres;
  /** True where the pin's own scale counts from the slab, foot included; else a cut is the depth less the foot. */
  readonly scaleCountsFoot: boolean;
  /** Below this cut length no pin can stand: grind instead. */
  readonly leastCut: Millimetres;
  readonly greatestCut: Millimetres;
  /** A pin is cut again where the check reading differs by this or more. */
  readonly recutAt: Millimetres;
  /** The entry in its file, for a stage that objects to one of its values. */
  readonly place?: SourcePlace;
}

export interface Crew {
  readonly id: string;
  readonly name: string;
  readonly people: number;
  readonly barrels: number;
  readonly bagsPerBarrel: number;
  /** The whole cycle of one barrel: measure, charge, mix, carry, empty, rinse. */
  readonly barrelCycle: Minutes;
  readonly mixTime: Minutes;
  /** Width of a lane that this crew rakes. */
  readonly laneWidth: Metres;
  /** Narrowest lane that it pours: the width of its rake. */
  readonly leastLaneWidth?: Metres;
  /** Pace at which mixed material is carried from the station. */
  readonly carryingPace?: MetresPerMinute;
  readonly pump?: Pump;
  /** Who does what; absent where the office leaves it to the crew lead. */
  readonly roles?: readonly { readonly role: CrewRole; readonly people: number }[];
  /** Longest pour in one day, from the first powder to the last placing. */
  readonly longestPour?: Minutes;
  /** What moving tools, hose and cleats to another room takes. */
  readonly changeover?: Minutes;
  /** After so long at work, a rest so long, as soon as no edge is fresh. */
  readonly rest?: { readonly after: Minutes; readonly length: Minutes };
  /** Electric power of one mixer, or of the pump, running. */
  readonly mixerPower?: Kilowatts;
  /** The entry in its file, for a stage that objects to one of its values. */
  readonly place?: SourcePlace;
}

export type CrewRole = "lead" | "mix" | "carry" | "hose" | "rake" | "smooth";

/** A pump fed by the crew's mixers. */
export interface Pump {
  /** Most mixed material that it delivers. */
  readonly rate: LitresPerMinute;
  readonly hoseLength?: Metres;
  /** Inner width of the hose. */
  readonly hoseBore?: Millimetres;
  /** Longest standstill before hose and pump must be flushed. */
  readonly restartLimit?: Minutes;
  /** Slurry run to waste before material comes true, at every start. */
  readonly startingWaste?: Litres;
}

/** A line on the floor from one place to another, such as a moving joint. */
export interface FloorLine {
  readonly id: string;
  readonly from: Point;
  readonly to: Point;
}

export interface PourSpec {
  /** Local date and time of the first batch as typed, such as `2027-03-04 07:30`; absent where not fixed yet. */
  readonly start?: string;
  readonly lossAllowance: Share;
  /** Mean depth that the roughness of the prepared surface swallows. */
  readonly profileAllowance: Millimetres;
  readonly bagsPerPallet: number;
  /** Footprint of a pallet in plan. */
  readonly palletLength: Metres;
  readonly palletWidth: Metres;
  readonly palletTare: Kilograms;
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

export interface Contract extends ContractTerms {
  readonly tolerance?: { readonly text: string; readonly source: string };
  /** What the floor is accepted by, in figures; absent where the contract gives none. */
  readonly rules?: readonly ContractRule[];
  /** Bags (whole) that the contract's price includes. */
  readonly allowedBags?: number;
  readonly allowedDepth?: Millimetres;
  readonly allowedDeadLoad?: KilogramsPerSquareMetre;
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

/** Sample lines and straightedge gaps, as typed. */
export interface HandReadings {
  readonly lines: readonly SampleLine[];
  readonly gaps: readonly MeasuredGap[];
}

/** Levels at even steps along a straight line on the floor, for flatness and levelness numbers. */
export interface SampleLine {
  readonly id: string;
  /** Lines of one section are taken together; the room's id where the office names no section. */
  readonly section: string;
  /** Where the first and the last reading stand; absent where nobody recorded it. */
  readonly ends?: readonly [Point, Point];
  readonly spacing: Metres;
  /** Above any one zero of the line, in order, sign and unit already turned. */
  readonly levelsMm: readonly Millimetres[];
  /** Standard deviation of one reading; absent where the office gives none. */
  readonly readingSd?: Millimetres;
  readonly date?: string;
  readonly place: SourcePlace;
}

/** The greatest gap under a straightedge, measured on site with a wedge or a gauge. */
export interface MeasuredGap {
  readonly id: string;
  readonly edge: Metres;
  readonly gap: Millimetres;
  /** Where the gap was; absent where nobody recorded it. */
  readonly at?: Point;
  readonly sd?: Millimetres;
  readonly date?: string;
  readonly place: SourcePlace;
}

/** Which gap counts where a straightedge rests under its own weight. */
export type EdgeContact = "between-contacts" | "whole-edge";

/** Rows of DIN 18202 Table 3 for floors. */
export type FloorRow = "unfinished" | "for-screed-or-tile-bed" | "finished" | "finished-increased";

/** Rules of the trade that a job can name; `conformity` holds their figures and sources. */
export const TRADE_RULES = [
  "resilient-covering",
  "wood-flooring",
  "tile-under-15-in",
  "tile-15-in-and-over",
  "bs-8204-sr1",
  "bs-8204-sr2",
  "bs-8204-sr3",
  "two-limits-conventional",
  "two-limits-moderately-flat",
  "two-limits-flat",
] as const;
export type TradeRuleName = (typeof TRADE_RULES)[number];

/** One rule of acceptance in the contract. `source` is where the contract says so, as typed. */
export type ContractRule = { readonly source: string; readonly place: SourcePlace } & (
  | { readonly kind: "trade-rule"; readonly name: TradeRuleName }
  | {
      readonly kind: "straightedge";
      readonly edge: Metres;
      readonly gap: Millimetres;
      readonly contact: EdgeContact;
      /** A tighter gap that a share of all places must keep, such as 90 % within 3/8 in. */
      readonly most?: { readonly share: Share; readonly gap: Millimetres };
    }
  | {
      readonly kind: "f-numbers";
      readonly flatness?: number;
      readonly levelness?: number;
      /** Least values of one section; three fifths of the overall where the contract states none. */
      readonly sectionFlatness?: number;
      readonly sectionLevelness?: number;
      readonly leastReadings?: number;
      /** Days after the pour within which the lines must be read. */
      readonly withinDays?: number;
    }
  | { readonly kind: "din-18202"; readonly row: FloorRow }
  | { readonly kind: "level"; readonly plusMinus: Millimetres }
);
