/** All jobs for other programs: one CSV and one JSON. */

import type { IndexEntry } from "./index-entry.ts";
import { inOrder, PHASES } from "./job-index.ts";

const COLUMNS = [
  "job",
  "title",
  "place",
  "client",
  "general contractor",
  "material",
  "crew",
  "rooms",
  "year",
  "phase",
  "revision",
  "hold",
  "warnings",
  "area m2",
  "greatest depth mm",
  "mean depth mm",
  "volume L",
  "bags to order",
  "bags past allowed",
  "bags past order",
] as const;

type Cell = string | number | boolean | undefined;

const cellsOf = (entry: IndexEntry): readonly Cell[] => [
  entry.jobId,
  entry.title,
  entry.place,
  entry.client,
  entry.generalContractor,
  entry.material,
  entry.crew,
  entry.rooms.join("; "),
  entry.year,
  PHASES[entry.phase],
  entry.revision,
  entry.hold,
  entry.warnings,
  rounded(entry.areaM2),
  rounded(entry.greatestDepthMm),
  rounded(entry.meanDepthMm),
  rounded(entry.volumeL),
  entry.bags,
  entry.bagsPastAllowed,
  entry.bagsPastOrder,
];

/** To the thousandth: a square millimetre, a micrometre, a millilitre. */
const rounded = (value: number | undefined): number | undefined =>
  value === undefined ? undefined : Math.round(value * 1000) / 1000;

/** A text that a table program would take for a formula gets an apostrophe before it and is then text (common practice). */
const FORMULA = /^[\s]*[=+\-@\t\r]/;

/** RFC 4180: lines end in CR LF, quotes are doubled. */
export function jobsCsv(entries: readonly IndexEntry[]): string {
  return `${[COLUMNS, ...inOrder(entries).map(cellsOf)].map((row) => row.map(csvCell).join(",")).join("\r\n")}\r\n`;
}

function csvCell(value: Cell): string {
  if (value === undefined) return "";
  if (typeof value !== "string") return String(value);
  const text = FORMULA.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** The same as JSON, with every field that the index knows. */
export const jobsJson = (entries: readonly IndexEntry[]): string =>
  `${JSON.stringify({ jobsFormat: 1, jobs: inOrder(entries) }, null, 1)}\n`;
