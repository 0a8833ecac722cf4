/** What a build is asked, what it tells while it works, and what it reports. */

import type { BuiltFrom } from "../archive/built-packets.ts";
import type { Diagnostic } from "../diagnostics.ts";
import type { Printer } from "../print/print-pages.ts";
import type { SheetMark } from "../revision/model.ts";
import type { ComputeAnswer, ComputeLimits, ComputePool } from "./compute-pool.ts";

/** "no-pdfs": HTML, JSON and CSV only. */
export type PdfWish = "pdfs" | "no-pdfs";

export interface BuildSettings {
  readonly jobsFolder: string;
  readonly outputFolder: string;
  /** The unpacked bundled browser, and which browser printed last. */
  readonly cacheFolder: string;
  /** PDFs by content, from earlier runs. */
  readonly pdfFolder: string;
  /** True: nothing is taken from earlier runs, not even what did not change. */
  readonly fresh: boolean;
  readonly limits: ComputeLimits;
  /** Browsers side by side. */
  readonly lanes: number;
}

/** Reports of more jobs than this are kept short, so that an archive of ten thousand is built in little memory. */
export const DETAILED_JOBS = 100;

/** A part of the jobs, for a build that is split over machines: every `of`-th, from the `number`-th on. */
export interface Shard {
  readonly number: number;
  readonly of: number;
}

/** What happened to one job. */
export interface JobReport {
  readonly jobId: string;
  readonly outcome: "built" | "unchanged" | "refused" | "failed";
  /** Errors where it was refused, else warnings. */
  readonly diagnostics: readonly Diagnostic[];
  /** Why it failed, where a file or the browser did. */
  readonly failure?: string;
  /** Sheets that say something else than in the packet before; all of them in the first. */
  readonly changed: readonly SheetMark[];
  readonly sheets: number;
  /** Of a draft after a revision: the sheets that say something else than that revision. */
  readonly sinceIssued?: { readonly revision: number; readonly sheets: readonly SheetMark[] };
  readonly pdfs: { readonly printed: number; readonly kept: number };
}

export interface BuildReport {
  /** Of more than DETAILED_JOBS jobs, what each warned of and which of its sheets changed is told while it is built only. */
  readonly jobs: readonly JobReport[];
  /** About the folder of jobs itself: files that look like jobs and are not, library files that cannot be read. */
  readonly folder: readonly Diagnostic[];
  /** The message where no browser was found: there are then no PDFs. */
  readonly noBrowser?: string;
  /** Jobs whose folder was put right after a run that had been stopped. */
  readonly mended: readonly string[];
  /** Packets whose job file is gone; they are left alone. */
  readonly withoutJobFile: readonly string[];
}

export type Progress =
  | { readonly kind: "waiting"; readonly holder: string }
  | { readonly kind: "started"; readonly jobs: number }
  /** Jobs of which nothing changed since they were looked at last. */
  | { readonly kind: "unchanged"; readonly jobIds: readonly string[]; readonly of: number }
  | { readonly kind: "computing"; readonly jobId: string }
  | { readonly kind: "printing"; readonly jobId: string; readonly done: number; readonly of: number }
  | { readonly kind: "job"; readonly report: JobReport; readonly done: number; readonly of: number };

/** What the jobs of one build share. */
export interface Workshop {
  readonly settings: BuildSettings;
  readonly pool: ComputePool;
  readonly printer: Printer;
  readonly print: PdfWish;
  readonly program: string;
  /** Whether what is being built is out of date already: what is not finished then stays as it was. */
  readonly isStopped: () => boolean;
}

/** A job on its way: read from the disk, compared with its packet, computed where something changed. */
export interface Computed {
  readonly jobId: string;
  readonly from: BuiltFrom;
  /** Absent where the packet is there and is made from the same. */
  readonly answer?: ComputeAnswer;
}

export interface BrowserState {
  /** The message, once no browser was found; nothing is printed from then on. */
  missing: string | undefined;
}
