/** How far a job is, as its page and the index say it. */
import type { Findings } from "../sheets/model.ts";
import type { IndexEntry } from "./index-entry.ts";

/** Accepted by the office's word; poured where its account is there, or the floor was read again. */
export function phaseOf({ job, depths, record, finished }: Findings): IndexEntry["phase"] {
  const { acceptance } = job.results ?? {};
  if (acceptance !== undefined && acceptance.result !== "refused") return "accepted";
  if ((record.kind === "ready" && record.value.account !== undefined) || finished.kind === "ready") return "poured";
  return depths.kind === "ready" ? "surveyed" : "planned";
}
