/** The index over all jobs: what it lists, in which order, and the words that each is found by. */
import type { JobSummary } from "./job-summary.ts";
import type { Value } from "./value.ts";

export interface JobIndex {
  readonly jobs: readonly IndexRow[];
  readonly broken: readonly BrokenRow[];
}

export interface IndexRow {
  readonly jobId: string;
  readonly title: string;
  readonly href: string;
  readonly about: string;
  readonly status: string;
  readonly area: Value | string;
  readonly greatestDepth: Value | string;
  readonly bags: string;
  /** Lower case, for the search field. */
  readonly words: string;
}

/** A job whose packet does not say what its job file says. An older packet may still be there. */
export interface BrokenRow {
  readonly jobId: string;
  /** In office words, to stand behind "not built:". */
  readonly why: string;
  readonly olderHref?: string;
}

/** Newest year first, then by title and id, compared by code units so that no locale changes the order. */
export function jobIndex(summaries: readonly JobSummary[], broken: readonly BrokenRow[]): JobIndex {
  const refused = new Set(broken.map((row) => row.jobId));
  const sorted = summaries
    .filter((summary) => !refused.has(summary.jobId))
    .sort(
      (a, b) =>
        byText(b.year ?? "", a.year ?? "") ||
        byText(a.title.toLowerCase(), b.title.toLowerCase()) ||
        byText(a.jobId, b.jobId),
    );
  return { jobs: sorted.map(indexRow), broken };
}

const byText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

function indexRow(summary: JobSummary): IndexRow {
  const { jobId, title, place, client, material, year } = summary;
  const about = [place, client, material, year ?? ""].filter((part) => part !== "");
  return {
    jobId,
    title,
    href: `${jobId}/index.html`,
    about: about.join(" · "),
    status: statusOf(summary),
    area: summary.area ?? "",
    greatestDepth: summary.greatestDepth ?? "",
    bags: summary.bags ?? "",
    words: [jobId, title, ...about, summary.generalContractor, ...summary.rooms].join(" ").toLowerCase(),
  };
}

function statusOf({ phase, hold, warnings }: JobSummary): string {
  if (phase === "planned") return "to be read";
  if (hold) return "HOLD";
  if (warnings === 0) return "read";
  return warnings === 1 ? "read, 1 warning" : `read, ${warnings} warnings`;
}
