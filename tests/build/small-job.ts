/** A floor small enough to build many times: one room, nine readings. Invented. */
import { cpSync, mkdirSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

export const projectFolder = fileURLToPath(new URL("../..", import.meta.url));

export interface SmallJobParts {
  readonly title?: string;
  readonly readings?: readonly string[];
  readonly note?: string;
}

export function smallJobText(id: string, { title, readings, note }: SmallJobParts = {}): string {
  const rows = readings ?? ["A  9  10  8", "B  11 12  9", "C  10 11  10"];
  return `job: ${id}
title: ${JSON.stringify(title ?? "Small room")}
units: { plan: ft-in, height: mm }
rooms:
  - id: store
    name: Store
    start: [0, 0]
    walls: E 14', N 12', W 14', S 12'
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [2', 2'], spacing: 5' }
${
  rows.length === 0
    ? ""
    : `  set_ups:
    - id: S1
      instrument: hose-level
      numbers_are: below zero
      readings: |
${rows.map((row) => `        ${row}`).join("\n")}
`
}target: { top: 0 mm }
material: cement-50lb
${note === undefined ? "" : `notes: [${JSON.stringify(note)}]\n`}`;
}

/** A folder with the shipped library and these jobs, and an empty one for what is built. */
export function temporaryOffice(jobs: Readonly<Record<string, string>>): {
  folder: string;
  jobs: string;
  output: string;
} {
  const folder = mkdtempSync(join(tmpdir(), "pour-packet-"));
  const office = { folder, jobs: join(folder, "jobs"), output: join(folder, "output") };
  mkdirSync(office.jobs);
  cpSync(join(projectFolder, "jobs", "_library"), join(office.jobs, "_library"), { recursive: true });
  for (const [id, text] of Object.entries(jobs)) writeFileSync(join(office.jobs, `${id}.yaml`), text);
  return office;
}
