/**
 * What the index says of a job, and what the next build must know of this one. It lies in the job's
 * folder as summary.json, so that the index over many jobs reads a kilobyte each.
 */
import type { SheetMark } from "../revision/model.ts";
import type { Taught } from "./taught.ts";
import type { Value } from "./value.ts";

/** What the index needs of a job. Kept for every job of the archive, so it is kept short. */
export interface IndexEntry {
  readonly jobId: string;
  readonly title: string;
  readonly place: string;
  readonly client: string;
  readonly generalContractor: string;
  readonly material: string;
  readonly rooms: readonly string[];
  /** Year of the pour's start or of the job file's date; absent where neither is given. */
  readonly year?: string;
  readonly phase: "planned" | "surveyed" | "poured" | "accepted";
  readonly hold: boolean;
  readonly warnings: number;
  /** DRAFT, or which revision it is. */
  readonly revision: string;
  readonly crew: string;
  readonly instruments: readonly string[];
  readonly tolerance?: string;
  readonly area?: Value;
  readonly areaM2?: number;
  readonly greatestDepth?: Value;
  readonly greatestDepthMm?: number;
  readonly meanDepthMm?: number;
  readonly volumeL?: number;
  readonly bags?: number;
  /** Ordered less allowed by the contract; absent where it allows no number. */
  readonly bagsPastAllowed?: number;
  /** Used less ordered; absent until the pour is in the job file. */
  readonly bagsPastOrder?: number;
}

export interface JobSummary extends IndexEntry {
  readonly packetHash: string;
  readonly sheets: readonly PrintMark[];
  /** Absent until there is something to order. */
  readonly taught?: Taught;
}

/** What a sheet says, and whether it says it as a draft or as which revision: either makes another print. */
export interface PrintMark extends SheetMark {
  readonly standing: string;
}

/** The part of a summary that is kept for every job. */
export function indexEntryOf({ packetHash: _, sheets: __, taught: ___, ...entry }: JobSummary): IndexEntry {
  return entry;
}
