/** Entries of the shared library, validated and in SI units: company, instruments, materials, primers, pins, crews. */
import type { SourcePlace } from "../diagnostics.ts";
import type {
  Celsius,
  Kilograms,
  KilogramsPerLitre,
  Kilowatts,
  Litres,
  LitresPerMinute,
  Metres,
  MetresPerMinute,
  Millimetres,
  MillimetresPerMetre,
  Minutes,
  Share,
  SquareMetresPerLitre,
} from "../units.ts";
import type { ProtectionTimes } from "./record-model.ts";

export const SUBSTRATES = ["concrete", "wood", "old-tile", "old-adhesive"] as const;
export type SubstrateKind = (typeof SUBSTRATES)[number];

export type Absorbency = "porous" | "dense";

export interface Company {
  readonly name: string;
  readonly address?: string;
  readonly phone?: string;
  /** Address for the QR code on sheets, if the office has a site. */
  readonly site?: string;
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

/** A pump fed by the crew's mixers, or one that mixes by itself. */
export interface Pump {
  /** Most mixed material that it delivers. */
  readonly rate: LitresPerMinute;
  /** True where powder goes into its hopper and water in by its flow meter: its one "barrel" is what is emptied into it at a time. */
  readonly mixesItself?: boolean;
  readonly hoseLength?: Metres;
  /** Inner width of the hose. */
  readonly hoseBore?: Millimetres;
  /** Longest standstill before hose and pump must be flushed. */
  readonly restartLimit?: Minutes;
  /** Slurry run to waste before material comes true, at every start. */
  readonly startingWaste?: Litres;
}
