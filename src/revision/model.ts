/**
 * What was issued, and where today's packet stands against it. The records in `jobs/<job-id>/` are the
 * one authority on revisions: numbers count from 1 in the order of issuing, and the job file carries none.
 */
import type { IssuedNumbers } from "./issued-numbers.ts";

/** Enough to tell whether a sheet says something else. */
export interface SheetMark {
  readonly id: string;
  readonly title: string;
  readonly language: string;
  readonly hash: string;
}

/** A sheet as it was issued. */
export interface IssuedSheet extends SheetMark {
  /** The revision in which it last said something new, and that revision's date. */
  readonly revision: number;
  readonly date: string;
}

/** A revision as its record has it, whole and found to be untouched. */
export interface IssuedRevision {
  /** Name of the record's folder, below the job's. */
  readonly folder: string;
  readonly number: number;
  /** YYYY-MM-DD. */
  readonly date: string;
  readonly reason: string;
  readonly program: { readonly version: string; readonly hash: string };
  /** SHA-256 of the job file and of the library that it was issued from. */
  readonly inputHash: string;
  readonly sheets: readonly IssuedSheet[];
  readonly numbers: IssuedNumbers;
  /** Over the whole record. */
  readonly digest: string;
}

/** What a revision is issued with. The date comes from whoever issues, never from a clock in here. */
export interface Issuing {
  readonly date: string;
  readonly reason: string;
}

/** The issued revisions of a job, in order, and what the packet says otherwise than the last two of them. */
export interface Revisions {
  readonly issued: readonly IssuedRevision[];
  /** Present while this packet itself is being issued. */
  readonly issuing?: Issuing;
  /** By number of the revision that the packet is held against. */
  readonly changesSince: readonly Changes[];
  /** True where job file and library are those of the last revision: what differs then comes from the program. */
  readonly inputAsIssued: boolean;
}

export const NEVER_ISSUED: Revisions = { issued: [], changesSince: [], inputAsIssued: false };

/** Where a sheet, or a packet, stands. */
export type Standing =
  | { readonly kind: "never-issued" }
  /** Says what was issued last; `revision` is the one in which it last said something new. */
  | { readonly kind: "issued"; readonly revision: number; readonly date: string }
  /** Says something else than the last issued revision. */
  | { readonly kind: "draft-after"; readonly revision: number };

/** What a pin is to be cut to, as printed: the leading unit, then the other. */
export type PinLength =
  | { readonly cut: "cut"; readonly printed: readonly [string, string] }
  | { readonly cut: "after-grinding" }
  | { readonly cut: "too-short" };

export interface PinChange {
  readonly id: string;
  /** The room's name. */
  readonly room: string;
  /** `moved`: same length, another place on the floor. */
  readonly kind: "recut" | "new" | "gone" | "moved";
  readonly before?: PinLength;
  readonly now?: PinLength;
}

/** A figure by which material, people or days are ordered, as printed. */
export interface FigureChange {
  readonly what: FigureName;
  /** The material, where the figure is one of several. */
  readonly of?: string;
  /** Absent where there was none. */
  readonly before?: string;
  readonly now?: string;
}

export type FigureName = "material" | "start" | "bags" | "pallets" | "batches" | "bays" | "duration";

export interface Changes {
  readonly since: { readonly number: number; readonly date: string };
  /** In the order of placing; those that are gone come last. */
  readonly pins: readonly PinChange[];
  readonly figures: readonly FigureChange[];
}
