/** What the job file records before and after the pour: tests of the substrate, what was agreed, and how it went. */
import type { SourcePlace } from "../diagnostics.ts";
import type { Point } from "../geometry/point.ts";
import type { Celsius, KilogramsPerLitre, Litres, Millimetres, Minutes, Share, SquareMetres } from "../units.ts";

/** Tests of the substrate that a job can ask for; `record` holds their standards and how many an area needs. */
export const SUBSTRATE_TESTS = [
  "relative-humidity",
  "vapour-emission",
  "water-drop",
  "pull-off",
  "surface-profile",
  "slab-temperature",
  "air-temperature",
  "air-humidity",
  "wood-moisture",
] as const;
export type SubstrateTestName = (typeof SUBSTRATE_TESTS)[number];

/**
 * Unit of a test's values: a share of one; g/(m²·24 h); minutes; MPa; the number of a surface profile (CSP); °C.
 */
export type TestDimension = "share" | "emission" | "time" | "pressure" | "profile" | "temperature";

export const TEST_DIMENSION: Readonly<Record<SubstrateTestName, TestDimension>> = {
  "relative-humidity": "share",
  "vapour-emission": "emission",
  "water-drop": "time",
  "pull-off": "pressure",
  "surface-profile": "profile",
  "slab-temperature": "temperature",
  "air-temperature": "temperature",
  "air-humidity": "share",
  "wood-moisture": "share",
};

export interface ReadinessSpec {
  /** The tests that contract, covering or material ask for. */
  readonly tests: readonly SubstrateTest[];
  /** As they came in, in the order of the file. */
  readonly results: readonly TestResult[];
  /** Who settled in writing that no test is owed, when and why; absent where nobody did. */
  readonly notRequired?: { readonly by: string; readonly date: string; readonly reason: string };
}

export interface SubstrateTest {
  readonly test: SubstrateTestName;
  /** Who has it done. */
  readonly owedBy: string;
  /** Each in the unit of the test; the strictest governs. */
  readonly limits: readonly TestLimit[];
  /** Places to test, where the contract states how many; absent where the standard's count holds. */
  readonly count?: number;
  readonly place: SourcePlace;
}

/** A limit that a result must keep; `least` or `greatest` or both. */
export interface TestLimit {
  readonly least?: number;
  readonly greatest?: number;
  /** Where it is stated: the contract's clause, the data sheet of covering or material. */
  readonly source: string;
}

export interface TestResult {
  readonly test: SubstrateTestName;
  /** Names the place tested; given again with a later date it is a retest there. */
  readonly id: string;
  readonly at?: Point;
  /** In the unit of the test. */
  readonly value: number;
  readonly date: string;
  readonly by: string;
  readonly note?: string;
  readonly place: SourcePlace;
}

/** What the contract says of the work beside its tolerance and allowances. */
export interface ContractTerms {
  /** Number of the specification's section, such as `03 54 16`. */
  readonly section?: string;
  /** Price of one bag more than the allowance, in place. */
  readonly unitRate?: { readonly amount: number; readonly currency: string };
  /** The last written approval of a number of bags in all. */
  readonly approvedBags?: {
    readonly bags: number;
    readonly by: string;
    readonly date: string;
    readonly reference?: string;
    readonly place: SourcePlace;
  };
  readonly bid?: BidAssumption;
}

/** What the price was worked out from. */
export interface BidAssumption {
  readonly area?: SquareMetres;
  /** Mean depth of rooms whose depth the bid states; the others have the contract's `allowedDepth`. */
  readonly rooms: readonly { readonly roomId: string; readonly depth: Millimetres }[];
  readonly source: string;
}

/** Who has to sign the joint survey. */
export const JOINT_PARTIES = ["general-contractor", "contractor"] as const;
export type JointParty = (typeof JOINT_PARTIES)[number];

/** Who was there when the slab was measured for the record that contractor and general contractor sign, and who signed. */
export interface JointSurvey {
  /** ISO date of the measuring; absent until it was done. */
  readonly date?: string;
  readonly measuredBy?: string;
  readonly present: readonly { readonly name: string; readonly company: string }[];
  /** One for each party at most. */
  readonly signatures: readonly { readonly party: JointParty; readonly by: string; readonly date: string }[];
  /** Bags (whole) that the survey meant when it was signed; absent where nobody wrote it down. */
  readonly bags?: number;
  /** Who settled in writing that none is made, when and why; absent where nobody did. */
  readonly notRequired?: { readonly by: string; readonly date: string; readonly reason: string };
}

export const DOCUMENT_KINDS = ["data-sheet", "safety-data-sheet", "test-report", "other"] as const;

export interface JobDocument {
  /** What it is of, such as the material's name. */
  readonly what: string;
  readonly kind: (typeof DOCUMENT_KINDS)[number];
  readonly title: string;
  readonly date?: string;
  /** In the folder that has the job's name, such as `primer.pdf`; absent where the office keeps it elsewhere. */
  readonly file?: string;
  /** SHA-256 of that file, 64 hex digits; absent where the file was not there. */
  readonly sha256?: string;
}

export const SUBMITTAL_STATES = ["approved", "approved-as-noted", "revise-and-resubmit", "rejected"] as const;

export interface Submittal {
  readonly number: string;
  readonly item: string;
  readonly submitted?: string;
  readonly returned?: string;
  /** Absent while nothing has come back. */
  readonly status?: (typeof SUBMITTAL_STATES)[number];
}

/** The pour as it went. */
export interface PourResults {
  /** ISO date of the first batch. */
  readonly poured: string;
  readonly lead?: string;
  /** Bags delivered, by lot. */
  readonly lots: readonly DeliveredLot[];
  readonly conditions: readonly SiteConditions[];
  /** In the order of mixing. */
  readonly batches: readonly PouredBatch[];
  /** Burst or spoilt before they were mixed; of the job's material, as the two below. */
  readonly burstBags: number;
  /** Mixed and thrown away instead of poured, of the bags of the batches. */
  readonly thrownBags: number;
  /** Left over, full. */
  readonly returnedBags?: number;
  /** What the crew says of a difference to the plan. */
  readonly reasons: readonly { readonly bags: number; readonly reason: string }[];
  readonly nonConformances: readonly NonConformance[];
  readonly acceptance?: FloorAcceptance;
  readonly place: SourcePlace;
}

export interface DeliveredLot {
  readonly lot: string;
  readonly bags: number;
  /** The job's material where the file names none. */
  readonly materialId: string;
  readonly useBy?: string;
  readonly place: SourcePlace;
}

export interface SiteConditions {
  readonly date: string;
  /** Minutes after midnight. */
  readonly time: Minutes;
  readonly air?: Celsius;
  readonly slab?: Celsius;
  readonly water?: Celsius;
  readonly humidity?: Share;
}

export interface PouredBatch {
  readonly number: number;
  readonly bags: number;
  readonly date: string;
  /** Powder met water; minutes after midnight of `date`, as `placed`. */
  readonly mixed: Minutes;
  readonly placed?: Minutes;
  readonly water?: Litres;
  readonly spread?: Millimetres;
  readonly temperature?: Celsius;
  /** Of the fresh mix, weighed in a vessel of known volume. */
  readonly density?: KilogramsPerLitre;
  readonly lot?: string;
  /** That of its lot, else the job's, where the file names none. */
  readonly materialId: string;
  readonly place: SourcePlace;
}

export interface NonConformance {
  readonly id: string;
  readonly found: string;
  readonly what: string;
  readonly at?: Point;
  /** A place of the flatness report that it answers for. */
  readonly flatnessPlace?: string;
  readonly rework?: string;
  readonly reworked?: string;
  /** What the recheck found; absent while there was none. */
  readonly recheck?: { readonly date: string; readonly result: "accepted" | "refused"; readonly by: string };
  readonly place: SourcePlace;
}

export interface FloorAcceptance {
  readonly date: string;
  readonly result: "accepted" | "accepted-with-remarks" | "refused";
  readonly by: string;
  readonly remarks?: string;
}

/** Times after the last batch for which a floor is kept free, by the material's data sheet. */
export interface ProtectionTimes {
  /** Light trades on boards. */
  readonly lightTrades?: Minutes;
  readonly covering?: Minutes;
  readonly heavyLoads?: Minutes;
  readonly heating?: Minutes;
}
