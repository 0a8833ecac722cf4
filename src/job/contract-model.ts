/** What the contract asks of the floor, and what was read by hand to prove it. */
import type { SourcePlace } from "../diagnostics.ts";
import type { Point } from "../geometry/point.ts";
import type { KilogramsPerSquareMetre, Metres, Millimetres, Share } from "../units.ts";
import type { ContractTerms } from "./record-model.ts";

export interface Contract extends ContractTerms {
  readonly tolerance?: { readonly text: string; readonly source: string };
  /** What the floor is accepted by, in figures; absent where the contract gives none. */
  readonly rules?: readonly ContractRule[];
  /** Bags (whole) that the contract's price includes. */
  readonly allowedBags?: number;
  readonly allowedDepth?: Millimetres;
  readonly allowedDeadLoad?: KilogramsPerSquareMetre;
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
