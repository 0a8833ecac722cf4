/** What has to hold of any job's text: it is made, or refused at a line; nothing throws, and the packet's own sums agree. */
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf, makePacket } from "../../src/build.ts";
import type { Diagnostic, Outcome } from "../../src/diagnostics.ts";
import { loadLibrary, textOf } from "../../src/job/files.ts";
import type { BesideFile } from "../../src/job/job-reader.ts";
import { readJob } from "../../src/job/read-job.ts";
import type { Findings } from "../../src/sheets/model.ts";
import { packetSchema } from "../../src/sheets/packet-schema.ts";
import { projectFolder } from "../build/small-job.ts";

export const { library } = loadLibrary(`${projectFolder}jobs`);
export const solve = await loadSolver();

export const JOB_ID = "near-job";
export const FILE = `jobs/${JOB_ID}.yaml`;

/** How a text ended: which stage it got to, and the codes of what was said. */
export interface Ending {
  readonly kind: "refused" | "made";
  readonly codes: readonly string[];
}

export class BrokenRule extends Error {}

function demand(holds: boolean, rule: () => string): asserts holds {
  if (!holds) throw new BrokenRule(rule());
}

/** Summaries of a long list of problems stand for no line of their own. */
const WITHOUT_PLACE = new Set(["more-problems", "file-too-large"]);

/** Every problem names its file, and a line and column that are there. */
export function demandPlaces(text: string, problems: readonly Diagnostic[], beside: readonly BesideFile[] = []): void {
  demand(problems.length > 0, () => "refused without a problem");
  demand(problems.length <= 101, () => `${problems.length} problems`);
  const texts = new Map([[FILE, text], ...beside.map((one) => [one.file, one.text] as const)]);
  for (const { code, message, place } of problems) {
    if (WITHOUT_PLACE.has(code)) continue;
    const told = `${code}: ${message}`;
    demand(place !== undefined, () => `no place: ${told}`);
    const line = texts
      .get(place.file)
      ?.replace(/^\ufeff/, "")
      .split("\n")
      [place.line - 1]?.replace(/\r$/, "");
    demand(line !== undefined && line === place.lineText, () => `line ${place.line} of ${place.file} is none: ${told}`);
    demand(place.column >= 1 && place.column <= line.length + 1, () => `column ${place.column}: ${told}`);
    demand(
      !/\bNaN\b|undefined|Infinity|\[object/.test(message.replaceAll(line.trim(), "")) ||
        [...texts.values()].some((one) => /NaN|undefined|Infinity/.test(one)),
      () => `message: ${told}`,
    );
  }
}

const STAGES = [
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

const near = (a: number, b: number, relative: number, floor: number): boolean =>
  Math.abs(a - b) <= relative * Math.max(Math.abs(a), Math.abs(b)) + floor;

/** Sums that any floor's depths and bags keep. Areas in m², volumes in L; 1e-6 relative to the floor is rounding of sums. */
function demandSums({ depths, quantities, slab }: Findings): void {
  if (depths.kind !== "ready") return;
  const { area, proudArea, thinArea, pouredArea, volumeAsRead, volumeToOrder, bands, rooms, least, greatest } =
    depths.value;
  demand(
    near(proudArea + thinArea + pouredArea, area, 1e-6, 1e-6),
    () => `classes ${proudArea} + ${thinArea} + ${pouredArea} of ${area} m²`,
  );
  demand(
    near(sum(bands.map((band) => band.area)), area, 1e-6, 1e-6),
    () => `bands do not cover the floor of ${area} m²`,
  );
  demand(
    near(sum(rooms.map((room) => room.area)), area, 1e-6, 1e-6),
    () => `rooms do not cover the floor of ${area} m²`,
  );
  demand(
    near(sum(rooms.map((room) => room.volumeToOrder)), volumeToOrder, 1e-6, 1e-3),
    () => "rooms' volumes do not add up",
  );
  demand(
    volumeAsRead >= 0 && volumeToOrder >= volumeAsRead * (1 - 1e-9) - 1e-9,
    () => `${volumeAsRead} L as read, ${volumeToOrder} L to order`,
  );
  demand(least <= greatest, () => `least ${least} above greatest ${greatest}`);
  demand(
    volumeAsRead <= Math.max(0, greatest) * area * (1 + 1e-9) + 1e-9,
    () => "more volume than the greatest depth everywhere",
  );
  if (slab.kind === "ready") demand(slab.value.extrapolatedArea >= -1e-9, () => "negative extrapolated area");
  if (quantities.kind !== "ready") return;
  const counts = [quantities.value.bags, ...(quantities.value.otherMaterials ?? []).map(({ bags }) => bags)];
  for (const { volume, yieldPerBag, sum: unrounded, toOrder } of counts) {
    demand(Number.isInteger(toOrder) && toOrder >= unrounded - 1e-9, () => `${toOrder} bags for ${unrounded}`);
    demand(toOrder * yieldPerBag >= volume * (1 - 1e-9), () => `${toOrder} bags of ${yieldPerBag} L for ${volume} L`);
    demand(toOrder - unrounded < 1 + 1e-9, () => `${toOrder} bags for ${unrounded}: more than a bag too many`);
  }
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

/** Every number, however deep, is finite. */
function demandFinite(value: unknown, path: string): void {
  if (typeof value === "number") demand(Number.isFinite(value), () => `${path} is ${value}`);
  else if (ArrayBuffer.isView(value)) {
    for (const each of value as Float64Array) demand(Number.isFinite(each), () => `${path} holds ${each}`);
  }
}

/** Reads bytes as a job file's: they are UTF-8, and a job, or there is a message with its line. */
export function judgeRead(bytes: Uint8Array): Ending {
  const decoded = textOf(bytes, FILE);
  if (decoded.problem !== undefined) return { kind: "refused", codes: [decoded.problem.code] };
  const { job, diagnostics } = readJob(decoded.text, FILE, library);
  if (diagnostics.length > 0) demandPlaces(decoded.text, diagnostics);
  demand(
    (job === undefined) === diagnostics.some(({ severity }) => severity === "error"),
    () => "no job, and no error",
  );
  return { kind: job === undefined ? "refused" : "made", codes: diagnostics.map(({ code }) => code) };
}

/** Reads a text and computes every stage of it. */
export function judgeStages(text: string, beside: readonly BesideFile[] = []): Ending {
  const read = readJob(text, FILE, library, beside);
  const codes = read.diagnostics.map(({ code }) => code);
  if (read.job === undefined) {
    demandPlaces(text, read.diagnostics, beside);
    return { kind: "refused", codes };
  }
  const found = findingsOf(read.job, solve);
  const outcomes: Outcome<unknown>[] = found.kind === "ready" ? STAGES.map((stage) => found.value[stage]) : [found];
  const problems = [...new Set(outcomes.flatMap((one) => (one.kind === "refused" ? one.problems : [])))];
  if (problems.length > 0) {
    demandPlaces(text, problems, beside);
    return { kind: "refused", codes: problems.map(({ code }) => code) };
  }
  demand(found.kind === "ready", () => "no findings, and no problem said");
  demandSums(found.value);
  const { depths, quantities } = found.value;
  if (depths.kind === "ready")
    for (const [key, value] of Object.entries(depths.value)) demandFinite(value, `depths.${key}`);
  if (quantities.kind === "ready")
    for (const [key, value] of Object.entries(quantities.value)) demandFinite(value, `quantities.${key}`);
  return { kind: "made", codes };
}

/** The same through sheets, the independent check and `packet.json`. */
export function judgePacket(text: string, beside: readonly BesideFile[] = []): Ending {
  const answer = makePacket({ jobId: JOB_ID, file: FILE, text, beside, library }, solve);
  if (answer.kind === "refused") {
    const fault = answer.problems.find(({ message }) => message.startsWith("The check before printing"));
    demand(fault === undefined, () => `the check before printing disagrees: ${fault?.code}: ${fault?.message}`);
    demandPlaces(text, answer.problems, beside);
    return { kind: "refused", codes: answer.problems.map(({ code }) => code) };
  }
  const { packetJson, sheets, pinsCsv } = answer.packet;
  const parsed = packetSchema.safeParse(JSON.parse(packetJson));
  demand(
    parsed.success,
    () => `packet.json: ${parsed.error?.issues[0]?.path.join(".")}: ${parsed.error?.issues[0]?.message}`,
  );
  const printed = `${JSON.stringify(sheets)}${JSON.stringify(answer.packet.page)}${pinsCsv ?? ""}`;
  const odd = /NaN|Infinity|\bundefined\b|\[object Object\]/.exec(printed);
  demand(
    odd === null || [text, ...beside.map(({ text: list }) => list)].some((typed) => typed.includes(odd[0])),
    () => `a sheet says ${printed.slice(Math.max(0, (odd?.index ?? 0) - 80), (odd?.index ?? 0) + 40)}`,
  );
  return { kind: "made", codes: answer.warnings.map(({ code }) => code) };
}
