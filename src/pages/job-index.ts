/**
 * The index over all jobs: the order in which it lists them, and what its search and its sorting go by.
 * Ten thousand jobs are in the page as data, of which a script shows what is looked for; without scripts
 * the newest stand in a plain table.
 */
import { count } from "../format.ts";
import { isolated } from "../sheets/type/isolate.ts";
import type { IndexEntry } from "./index-entry.ts";
import type { Value } from "./value.ts";

export interface JobIndex {
  /** The newest, for a page without scripts. */
  readonly jobs: readonly IndexRow[];
  readonly more: boolean;
  readonly total: string;
  readonly statuses: readonly string[];
  /** Every job as JSON, safe between the tags of a script element: a list of `IndexLine`. */
  readonly data: string;
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
  readonly difference: string;
}

/**
 * A job in the page's data, short because there may be ten thousand: id, title, about, status; floor, greatest depth
 * and bags as printed, the leading unit first; what they sort by (m², mm, bags, difference); further words to find it by.
 */
export type IndexLine = readonly [
  id: string,
  title: string,
  about: string,
  status: string,
  area: readonly string[],
  depth: readonly string[],
  bags: string,
  difference: string,
  areaM2: number | null,
  depthMm: number | null,
  differenceBags: number | null,
  words: string,
];

/** A job whose packet does not say what its job file says. An older packet may still be there. */
export interface BrokenRow {
  readonly jobId: string;
  /** In office words, to stand behind "not built:". */
  readonly why: string;
  readonly olderHref?: string;
}

/** So many jobs stand in the page without scripts. */
const PLAIN_ROWS = 200;

/** Newest year first, then by title and id, compared by code units so that no locale changes the order. */
export function jobIndex(entries: readonly IndexEntry[], broken: readonly BrokenRow[]): JobIndex {
  const refused = new Set(broken.map((row) => row.jobId));
  const sorted = inOrder(entries.filter((entry) => !refused.has(entry.jobId)));
  return {
    jobs: sorted.slice(0, PLAIN_ROWS).map(indexRow),
    more: sorted.length > PLAIN_ROWS,
    total: count(sorted.length),
    statuses: [...new Set(sorted.map(({ phase }) => PHASES[phase]))].sort(),
    // A text in a script element ends at `</`: no `<` may stand in it.
    data: JSON.stringify(sorted.map(indexLine)).replaceAll("<", "\\u003c"),
    broken,
  };
}

const byText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Newest first. */
export const inOrder = (entries: readonly IndexEntry[]): IndexEntry[] =>
  entries
    .map((entry) => ({ entry, title: entry.title.toLowerCase() }))
    .sort(
      (a, b) =>
        byText(b.entry.year ?? "", a.entry.year ?? "") ||
        byText(a.title, b.title) ||
        byText(a.entry.jobId, b.entry.jobId),
    )
    .map(({ entry }) => entry);

const aboutOf = ({ place, client, material, year }: IndexEntry): string =>
  [place, client, material, year ?? ""]
    .filter((part) => part !== "")
    .map(isolated)
    .join(" · ");

function indexRow(entry: IndexEntry): IndexRow {
  return {
    jobId: entry.jobId,
    title: entry.title,
    href: `${entry.jobId}/index.html`,
    about: aboutOf(entry),
    status: statusOf(entry),
    area: entry.area ?? "",
    greatestDepth: entry.greatestDepth ?? "",
    bags: entry.bags === undefined ? "" : count(entry.bags),
    difference: differenceOf(entry).text,
  };
}

function indexLine(entry: IndexEntry): IndexLine {
  const difference = differenceOf(entry);
  return [
    entry.jobId,
    entry.title,
    aboutOf(entry),
    statusOf(entry),
    asPrinted(entry.area),
    asPrinted(entry.greatestDepth),
    entry.bags === undefined ? "" : count(entry.bags),
    difference.text,
    entry.areaM2 ?? null,
    entry.greatestDepthMm ?? null,
    difference.bags ?? null,
    [entry.generalContractor, entry.crew, ...entry.rooms].join(" "),
  ];
}

const asPrinted = (value: Value | undefined): string[] => {
  if (value === undefined) return [];
  return value.leads === "metric" ? [value.metric, value.inch] : [value.inch, value.metric];
};

/** After the pour, bags used less bags ordered; before it, bags ordered less bags allowed. */
function differenceOf({ bagsPastOrder, bagsPastAllowed }: IndexEntry): {
  readonly bags?: number;
  readonly text: string;
} {
  if (bagsPastOrder !== undefined) return { bags: bagsPastOrder, text: `${signed(bagsPastOrder)} used` };
  if (bagsPastAllowed !== undefined) return { bags: bagsPastAllowed, text: `${signed(bagsPastAllowed)} planned` };
  return { text: "" };
}

const signed = (bags: number): string => (bags > 0 ? `+${count(bags)}` : count(bags));

export const PHASES: Readonly<Record<IndexEntry["phase"], string>> = {
  planned: "to be read",
  surveyed: "read",
  poured: "poured",
  accepted: "accepted",
};

function statusOf({ phase, hold, warnings, revision }: IndexEntry): string {
  const noted =
    phase === "planned" || phase === "accepted" || warnings === 0
      ? ""
      : warnings === 1
        ? ", 1 warning"
        : `, ${count(warnings)} warnings`;
  const isPoured = phase === "poured" || phase === "accepted";
  return [
    hold && !isPoured ? `HOLD, ${PHASES[phase]}` : `${PHASES[phase]}${noted}`,
    ...(revision === "DRAFT" ? [] : [revision]),
  ].join("; ");
}
