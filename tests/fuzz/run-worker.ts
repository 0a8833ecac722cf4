/** The thread that fuzzes: runs a batch, says what it is at so that it can be stopped, and gives the smallest failure. */
import { parentPort } from "node:worker_threads";
import fc from "fast-check";
import { type Case, SORTS, type Sort } from "./sorts.ts";

export interface Batch {
  readonly sort: Sort;
  readonly seed: number;
  readonly runs: number;
}

export type Said =
  | { readonly kind: "at"; readonly files: Case["files"] }
  | {
      readonly kind: "done";
      readonly made: number;
      readonly refused: number;
      /** How often each code was said. */
      readonly codes: Readonly<Record<string, number>>;
      readonly slowestMs: number;
      readonly slowest: Case["files"];
      readonly failure?: { readonly message: string; readonly files: Case["files"] };
    };

/** Looking for the smallest case of a failure ends here. */
const LONGEST_MS = 60_000;

parentPort?.on("message", ({ sort, seed, runs }: Batch) => {
  const say = (said: Said) => parentPort?.postMessage(said);
  const codes: Record<string, number> = {};
  let [made, refused, slowestMs] = [0, 0, 0];
  let slowest: Case["files"] = {};
  let last: Case["files"] = {};
  let smallest: { message: string; files: Case["files"] } | undefined;
  const property = fc.property(fc.gen(), (g) => {
    const one = SORTS[sort](g);
    last = one.files;
    say({ kind: "at", files: one.files });
    const began = performance.now();
    try {
      const ending = one.judge();
      // Smaller cases of a failure are drawn besides and count for nothing.
      if (smallest !== undefined) return;
      if (ending.kind === "made") made += 1;
      else refused += 1;
      for (const code of new Set(ending.codes)) codes[code] = (codes[code] ?? 0) + 1;
    } catch (error) {
      // fast-check goes on to smaller cases: the last one to fail is the smallest.
      smallest = { message: error instanceof Error ? (error.stack ?? error.message) : String(error), files: last };
      throw error;
    }
    const took = performance.now() - began;
    if (took > slowestMs) [slowestMs, slowest] = [took, one.files];
  });
  fc.check(property, { seed, numRuns: runs, interruptAfterTimeLimit: LONGEST_MS });
  say({ kind: "done", made, refused, codes, slowestMs, slowest, ...(smallest && { failure: smallest }) });
});
