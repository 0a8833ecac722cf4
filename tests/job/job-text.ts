/** A small job that is right, to be made wrong one line at a time; and the shipped library. */
import { fileURLToPath } from "node:url";
import { type Diagnostic, formatDiagnostic } from "../../src/diagnostics.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";

export const JOBS_FOLDER = fileURLToPath(new URL("../../jobs", import.meta.url));

export const library = loadLibrary(JOBS_FOLDER).library;

export const FILE = "jobs/small-hall.yaml";

export const GOOD = `job: small-hall
title: Small hall
units: { plan: ft-in, height: mm }
rooms:
  - id: hall
    walls: E 20', N 12', W 20', S 12'
    columns:
      - { id: K1, center: [10', 6'], size: 16" x 16" }
    doors:
      - { id: DR1, wall: 1, from: 4', width: 3', joins: street }
      - { id: DR2, wall: 2, from: 2', width: 3', joins: store }
  - id: store
    start: [20' 6", 0]
    vertices: [[20' 6", 0], [30' 6", 0], [30' 6", 12'], [20' 6", 12']]
bench_marks:
  - { id: BM1, at: [0, 6'], level: 12 mm }
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [2', 2'], spacing: 4' }
  points:
    - { id: drain, at: [5', 5'] }
  set_ups:
    - id: S1
      instrument: hose-level
      numbers_are: below zero
      readings: |
        A  14  12  11.5   9
        B  15  13   -     8
        drain  16
target: { top: 0 mm }
material: cement-50lb
`;

export const read = (text: string, file = FILE) => readJob(text, file, library);

/** The job with one piece of text in place of another; the test is at fault where that does not stand in it once. */
export function changed(from: string, to: string, text = GOOD): string {
  const parts = text.split(from);
  if (parts.length !== 2) throw new Error(`"${from}" stands ${parts.length - 1} times in the job`);
  return parts.join(to);
}

/** `code line:column+length` of each, so that a table can hold what is expected. */
export const summary = (diagnostics: readonly Diagnostic[]): string[] =>
  diagnostics.map(
    ({ code, severity, place }) =>
      `${severity === "warning" ? "warning " : ""}${code} ${place ? `${place.line}:${place.column}+${place.length}` : "nowhere"}`,
  );

export const printed = (diagnostics: readonly Diagnostic[]): string => diagnostics.map(formatDiagnostic).join("\n\n");
