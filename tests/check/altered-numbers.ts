/**
 * Every number that the rooms computed, altered in turn: what does the check before printing miss? One leaf of the
 * findings is made wrong at a time, the packet is made from them as ever, and the check is asked. A leaf that it passes
 * counts when any text of a sheet, of the job's page or of the list of pins says something else for it.
 */
import { join } from "node:path";
import { z } from "zod";
import { readJobText } from "../../src/build/compute-jobs.ts";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import type { Evidence } from "../../src/check/evidence.ts";
import { verifyPacket } from "../../src/check/verify-packet.ts";
import type { Diagnostic } from "../../src/diagnostics.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { jobPage } from "../../src/pages/job-page.ts";
import { composePacket } from "../../src/sheets/compose-sheets.ts";
import type { Findings, Sheet } from "../../src/sheets/model.ts";
import { toPacket } from "../../src/sheets/packet.ts";
import { packetSchema } from "../../src/sheets/packet-schema.ts";
import { pinsCsv } from "../../src/sheets/pins-csv.ts";
import { projectFolder } from "../build/small-job.ts";

/** A packet as it is made, with everything that the check before printing is shown. */
export async function evidenceOf(jobId: string): Promise<Evidence> {
  const file = `jobs/${jobId}.yaml`;
  const { text, beside } = readJobText(join(projectFolder, file), file);
  const { library } = loadLibrary(`${projectFolder}jobs`);
  const { job } = readJob(text, file, library, beside);
  const found = job ? findingsOf(job, await loadSolver()) : undefined;
  if (job === undefined || found?.kind !== "ready") throw new Error(`${jobId} does not compute`);
  const sheets = composePacket(found.value, job.languages);
  return { file, jobText: text, beside, findings: found.value, packet: toPacket(found.value, sheets), sheets };
}

/** A leaf of the findings: where it is, and how it is set. */
interface Leaf {
  /** With each index of an array, such as `depths.value.pins[4].depth`. */
  readonly path: string;
  /** With `[]` for every index. */
  readonly pattern: string;
  readonly value: number | string | boolean;
  readonly set: (value: number | string | boolean) => void;
}

/** What the rooms made; the job itself is what was typed, and is held against its text. */
const ROOMS = [
  "plan",
  "surveyPlan",
  "levels",
  "slab",
  "target",
  "depths",
  "quantities",
  "targetStudy",
  "schedule",
  "rawSlab",
  "finished",
  "record",
] as const satisfies readonly (keyof Findings)[];
export type Room = (typeof ROOMS)[number];

/** Every leaf once, however many ways lead to it; what the job holds is no finding. */
function leavesOf(findings: Findings, rooms: readonly Room[]): Leaf[] {
  const leaves: Leaf[] = [];
  const seen = new Set<object>();
  const reach = (at: unknown): void => {
    if (typeof at !== "object" || at === null || seen.has(at)) return;
    seen.add(at);
    for (const inner of Object.values(at)) reach(inner);
  };
  reach(findings.job);
  const visit = (holder: object, path: string, pattern: string): void => {
    if (seen.has(holder)) return;
    seen.add(holder);
    const isList = Array.isArray(holder) || ArrayBuffer.isView(holder);
    for (const [key, value] of Object.entries(holder)) {
      const [here, kind] = isList ? [`${path}[${key}]`, `${pattern}[]`] : [`${path}.${key}`, `${pattern}.${key}`];
      if (typeof value === "object" && value !== null) visit(value, here, kind);
      if (typeof value === "number" || typeof value === "string" || typeof value === "boolean") {
        const set = (to: number | string | boolean): void => {
          (holder as Record<string, unknown>)[key] = to;
        };
        leaves.push({ path: here, pattern: kind, value, set });
      }
    }
  };
  for (const room of rooms) visit(findings[room], room, room);
  return leaves;
}

/** Members of each enumeration that packet.json knows. */
const ENUMERATIONS: readonly (readonly string[])[] = (() => {
  const found: string[][] = [];
  const visit = (at: unknown): void => {
    if (typeof at !== "object" || at === null) return;
    const { enum: members } = at as { enum?: unknown };
    if (Array.isArray(members)) found.push(members as string[]);
    for (const inner of Object.values(at)) visit(inner);
  };
  visit(z.toJSONSchema(packetSchema));
  return found;
})();

/** Moments of the clock, in minutes; a quarter of an hour is what nobody notices by looking. */
const MOMENT =
  /\.(powderMeetsWater|poured|placed|starts|ends|begins|latestBegin|doneBefore|notBefore|renewed|oldestPowder)$/;
const QUARTER_MIN = 15;

/** Wrong values for a leaf: a number too large and too small, another member of an enumeration, the other truth. */
function wrongFor({ pattern, value }: Leaf, others: ReadonlySet<string>): readonly (number | string | boolean)[] {
  if (typeof value === "boolean") return [!value];
  if (typeof value === "number") {
    if (!Number.isFinite(value)) return [];
    if (MOMENT.test(pattern)) return [value + QUARTER_MIN, value - QUARTER_MIN];
    if (Number.isInteger(value)) return [value + 1, value - 1];
    return [value * 1.1, value * 0.9];
  }
  const until = /^(\d{4}-\d{2}-\d{2} )(\d{2}):(\d{2})$/.exec(value);
  if (until) return [`${until[1]}${until[2]}:${String((Number(until[3]) + QUARTER_MIN) % 60).padStart(2, "0")}`];
  const members = ENUMERATIONS.find((enumeration) => enumeration.includes(value)) ?? [...others];
  return members.filter((member) => member !== value).slice(0, 2);
}

/** Every text of the sheets, the page and the list of pins; where a drawing has its lines is no number. */
function printedTexts(findings: Findings, sheets: readonly Sheet[]): string {
  const links = { sheets: [], notYet: [], packetHash: "", printed: false } as const;
  const page = JSON.stringify({ ...jobPage(findings, links), map: undefined });
  const onSheets = JSON.stringify(sheets, (key, value) =>
    typeof value === "number" || key === "hash" || key === "packetHash" || key === "d" ? undefined : value,
  );
  return [page, onSheets, findings.depths.kind === "ready" ? pinsCsv(findings) : ""].join("\n");
}

export interface Altering {
  /** The rooms whose leaves are altered; all where they are not named. */
  readonly rooms?: readonly Room[];
  /** So many places of each pattern, spread from the first to the last. */
  readonly placesOfAKind: number;
  /** Looks at leaves too that packet.json does not have. */
  readonly thorough?: boolean;
  /** Looks at packet.json alone, which is quicker: what only a sheet would say otherwise is not tried. */
  readonly packetAlone?: boolean;
  readonly tell?: (missed: Missed) => void;
  /** Hears what the check says to each altered leaf, the empty list too. */
  readonly hear?: (path: string, said: readonly Diagnostic[]) => void;
}

export interface Missed {
  readonly path: string;
  readonly pattern: string;
  readonly was: number | string | boolean;
  readonly as: number | string | boolean;
}

export interface Altered {
  /** Patterns of which a wrong value is printed, noticed or not. */
  readonly printed: ReadonlySet<string>;
  readonly missed: readonly Missed[];
  readonly tried: number;
}

/** Alters one leaf after the other, and tells which wrong values would have been printed. */
export function alterInTurn(
  sound: Evidence,
  { rooms = ROOMS, placesOfAKind, thorough = false, packetAlone = false, tell, hear }: Altering,
): Altered {
  const { findings, sheets } = sound;
  const { languages } = findings.job;
  const soundPacket = JSON.stringify(sound.packet);
  const soundTexts = printedTexts(findings, sheets);
  const kinds = new Map<string, Leaf[]>();
  for (const leaf of leavesOf(findings, rooms)) kinds.set(leaf.pattern, [...(kinds.get(leaf.pattern) ?? []), leaf]);
  const printed = new Set<string>();
  const missed: Missed[] = [];
  let tried = 0;
  /** Undefined where nothing that is printed changes. */
  const isNoticed = (path: string): boolean | undefined => {
    const packet = toPacket(findings, sheets);
    if (!thorough && JSON.stringify(packet) === soundPacket) return undefined;
    const said = verifyPacket({ ...sound, packet, sheets: [] });
    hear?.(path, said);
    if (said.length > 0) return true;
    if (packetAlone) return false;
    const composed = composePacket(findings, languages);
    if (printedTexts(findings, composed) === soundTexts) return undefined;
    return verifyPacket({ ...sound, packet: toPacket(findings, composed), sheets: composed }).length > 0;
  };
  for (const leaves of kinds.values()) {
    const texts = new Set(leaves.flatMap(({ value }) => (typeof value === "string" ? [value] : [])));
    // Names and prose are no enumeration: of those there are as many as places, or one.
    const others = texts.size > 1 && texts.size <= 6 && texts.size < leaves.length ? texts : new Set<string>();
    const step = Math.max(1, (leaves.length - 1) / Math.max(1, placesOfAKind - 1));
    const places = new Set(Array.from({ length: placesOfAKind }, (_, k) => Math.round(k * step)));
    for (const place of places) {
      const leaf = leaves[place];
      if (leaf === undefined) continue;
      const { path, pattern, value, set } = leaf;
      for (const wrong of wrongFor(leaf, others)) {
        set(wrong);
        tried += 1;
        let noticed: boolean | undefined;
        try {
          noticed = isNoticed(path);
        } catch {
          // What cannot be printed is not printed wrongly.
          noticed = true;
        } finally {
          set(value);
        }
        if (noticed === undefined) continue;
        printed.add(pattern);
        if (noticed) continue;
        const one = { path, pattern, was: value, as: wrong };
        missed.push(one);
        tell?.(one);
      }
    }
  }
  return { printed, missed, tried };
}
