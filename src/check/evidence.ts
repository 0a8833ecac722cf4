/**
 * What the check before printing is shown: the job file as the office typed it, and everything that
 * is about to be printed. Only types come from the computing rooms; no code does.
 */
import type { Diagnostic } from "../diagnostics.ts";
import type { Findings, Sheet } from "../sheets/model.ts";
import type { Packet } from "../sheets/packet-schema.ts";

export interface Evidence {
  readonly file: string;
  readonly jobText: string;
  /** The files beside the job that it names; of a document that is not read the checksum. */
  readonly beside?: readonly { readonly name: string; readonly text: string; readonly sha256?: string }[];
  readonly findings: Findings;
  readonly packet: Packet;
  readonly sheets: readonly Sheet[];
}

/** Collects what does not agree. */
export type Disagree = (code: string, message: string) => void;

/** Relative to the larger of two numbers, and to one: far above the rounding of sums of doubles, far below any print. */
const AGREEMENT = 1e-7;

export const agrees = (a: number, b: number, within: number = AGREEMENT * Math.max(1, Math.abs(a), Math.abs(b))) =>
  Math.abs(a - b) <= within;

/** At most so many of a kind are told: one wrong sign makes every pin of a floor disagree. */
const MOST_OF_A_KIND = 5;

/** Runs checks and gives what they found, as errors that stop the printing. */
export function gatherDisagreements(run: (disagree: Disagree) => void): Diagnostic[] {
  const found: Diagnostic[] = [];
  const counts = new Map<string, number>();
  run((code, message) => {
    const count = (counts.get(code) ?? 0) + 1;
    counts.set(code, count);
    if (count > MOST_OF_A_KIND) return;
    found.push({
      code,
      severity: "error",
      message: `The check before printing does not agree: ${message}.`,
      expected: "the same number by both ways of working it out",
      hint: "nothing was printed; this is a fault of the program, not of the job file: keep the file and report it",
    });
  });
  return found;
}
