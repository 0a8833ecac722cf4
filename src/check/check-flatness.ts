/** Verdicts on the floor, worked out again: numbers of lines, the worst gap where it is said to be, levels, signs. */
import { load } from "js-yaml";
import type { Conformity, Finding, Measured, PartVerdict, RuleVerdict } from "../conformity/model.ts";
import type { Slab } from "../slab/model.ts";
import type { AdjustedLevels } from "../survey/model.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import { gapBySlowEdge } from "./second-edge.ts";
import { checkCutLines, partsSaid } from "./second-lines.ts";
import { readWrittenSheet } from "./second-reading.ts";
import { topAgainMm } from "./second-top.ts";
import { checkWorstVerdicts } from "./second-verdicts.ts";

interface WrittenLine {
  readonly id: string;
  readonly numbers_are: string;
  readonly unit?: string;
  readonly readings: string | number;
}

interface WrittenJob {
  readonly units: { readonly height: "mm" | "in" };
  readonly survey?: { readonly lines?: readonly WrittenLine[] };
  readonly finished?: { readonly lines?: readonly WrittenLine[] };
}

/** Constants of the two forms of the method, each with the length of its unit in mm (from memory). */
const FORMS = {
  "12-in": { flatness: 4.57, levelness: 12.5, unitMm: 25.4 },
  "300-mm": { flatness: 115.8, levelness: 317.5, unitMm: 1 },
} as const;

/** Gaps are found by a search whose place is kept to a millionth of a metre, on slopes of a few mm in a metre. */
const GAP_AGREEMENT_MM = 1e-4;

export function checkFlatness(evidence: Evidence, disagree: Disagree): void {
  const { findings, jobText } = evidence;
  const written = load(jobText) as WrittenJob;
  const { rawSlab, finished, levels, slab } = findings;
  if (rawSlab.kind === "ready" && levels.kind === "ready" && slab.kind === "ready") {
    checkFloor({ conformity: rawSlab.value, levels: levels.value, slab: slab.value }, evidence, disagree);
    checkLines(rawSlab.value, written.survey?.lines ?? [], written.units.height, disagree);
    checkCutLines(rawSlab.value, findings.job, findings.plan, disagree);
    checkWorstVerdicts(rawSlab.value, findings.job, levels.value, disagree);
  }
  if (finished.kind === "ready") {
    checkFloor(finished.value, evidence, disagree);
    checkLines(finished.value.conformity, written.finished?.lines ?? [], written.units.height, disagree);
    checkCutLines(finished.value.conformity, findings.job, finished.value.plan, disagree);
    checkWorstVerdicts(finished.value.conformity, findings.job, finished.value.levels, disagree);
  }
  checkPrintedPlaces(evidence, disagree);
}

interface Floor {
  readonly conformity: Conformity;
  readonly levels: AdjustedLevels;
  readonly slab: Slab;
}

function checkFloor(floor: Floor, evidence: Evidence, disagree: Disagree): void {
  const { conformity } = floor;
  const where = conformity.floor === "finished" ? "finished floor" : "slab as handed over";
  if (conformity.readings !== floor.levels.points.length) {
    disagree(
      "verdict-differs",
      `${where}: ${conformity.readings} readings are said, ${floor.levels.points.length} there`,
    );
  }
  for (const rule of conformity.rules) checkRule(rule, conformity.coverage, where, disagree);
  checkWorstGaps(floor, where, disagree);
  checkLevelsAgainstTarget(floor, evidence, where, disagree);
}

/** The sign of every margin, and what follows from it for finding, part and rule. */
function checkRule(verdict: RuleVerdict, coverage: number, where: string, disagree: Disagree): void {
  const { rule, parts, result } = verdict;
  for (const part of parts) {
    for (const finding of part.findings) checkFinding(finding, part, coverage, `${where}, ${rule.id}`, disagree);
    const outside = part.findings.some((finding) => finding.result === "outside");
    const within = part.findings.some(
      (finding) => finding.result === "within" && finding.method.kind !== "edge-on-line",
    );
    const mine = outside ? "outside" : within ? "within" : "not-decidable";
    if (part.result !== mine) {
      disagree(
        "verdict-differs",
        `${where}, ${rule.id}: its findings make a part ${mine}, it is said to be ${part.result}`,
      );
    }
  }
  const results = parts.map((part) => part.result);
  const [settles, needed] = rule.needs === "all" ? (["outside", "within"] as const) : (["within", "outside"] as const);
  const mine = results.includes(settles) ? settles : results.every((one) => one === needed) ? needed : "not-decidable";
  if (result !== mine) {
    disagree("verdict-differs", `${where}: the parts of ${rule.id} make it ${mine}, it is said to be ${result}`);
  }
}

function checkFinding(
  { worst, result, method, shareWithin }: Finding,
  { part }: PartVerdict,
  coverage: number,
  where: string,
  disagree: Disagree,
): void {
  if (worst === undefined) {
    if (result !== "not-decidable") disagree("verdict-differs", `${where}: ${method.kind} is ${result} by no value`);
    return;
  }
  const margin = marginOf(worst);
  if (margin !== undefined && (worst.margin === undefined || !agrees(margin, worst.margin, 1e-6))) {
    disagree(
      "margin-differs",
      `${where}: ${method.kind} has a margin of ${margin} by its limit, ${worst.margin} in the packet`,
    );
  }
  if (result !== "not-decidable") {
    const enough = part.kind !== "straightedge" || part.most === undefined || (shareWithin ?? 1) >= part.most.share;
    const mine = (margin === undefined || margin >= 0) && enough ? "within" : "outside";
    if (mine !== result)
      disagree("verdict-differs", `${where}: ${method.kind} is ${mine} by its value, ${result} in the packet`);
  }
  // Noise is one-sided for numbers of lines; for lengths it is the same to either side.
  if (worst.quantity !== "f-number" && margin !== undefined && worst.sd !== undefined) {
    const mine = Math.abs(margin) > coverage * worst.sd ? "survives" : "does-not-survive";
    if (mine !== worst.survives) {
      disagree(
        "survival-differs",
        `${where}: ${method.kind} ${mine} by its uncertainty, and is said to be ${worst.survives}`,
      );
    }
  }
}

/** Undefined for a number without bound, which is within any limit. */
function marginOf({ quantity, value, limit }: Measured): number | undefined {
  if (value === undefined) return undefined;
  return quantity === "f-number" ? value - limit : limit - Math.abs(value);
}

/** The edge laid again, by brute force, where the worst gap is said to be. */
function checkWorstGaps({ conformity, levels, slab }: Floor, where: string, disagree: Disagree): void {
  const levelMm = Float64Array.from(slab.levelMm);
  for (const [k, { level }] of levels.points.entries()) levelMm[slab.vertexOfPoint[k] as number] = level;
  const { xM, yM, corners } = slab.mesh;
  for (const { rule, parts } of conformity.rules) {
    for (const { part, findings } of parts) {
      if (part.kind !== "straightedge") continue;
      for (const { method, worst } of findings) {
        const ends = worst?.where?.ends;
        if (method.kind !== "edge-on-surface" || worst?.value === undefined || ends === undefined) continue;
        const length = Math.hypot(ends[1].x - ends[0].x, ends[1].y - ends[0].y);
        if (!agrees(length, part.edge, 1e-6)) {
          disagree("edge-differs", `${where}, ${rule.id}: an edge of ${part.edge} m is laid ${length} m long`);
        }
        const gap = gapBySlowEdge({ xM, yM, corners, levelMm }, ends[0], ends[1], part.contact === "whole-edge");
        if (!agrees(gap, worst.value, GAP_AGREEMENT_MM)) {
          disagree(
            "gap-differs",
            `${where}, ${rule.id}: the worst gap is ${gap} mm by brute force, ${worst.value} mm in the packet`,
          );
        }
      }
    }
  }
}

function checkLevelsAgainstTarget(
  { conformity, levels }: Floor,
  { findings: { target } }: Evidence,
  where: string,
  disagree: Disagree,
): void {
  if (conformity.level === undefined || target.kind !== "ready") return;
  const read = new Map(levels.points.map((point) => [point.id, point]));
  let sum = 0;
  for (const point of conformity.level.points) {
    const zone = target.value.zones.find(({ roomIndices }) => roomIndices.includes(point.roomIndex));
    const off = (read.get(point.id)?.level ?? Number.NaN) - topAgainMm(zone, point.at);
    sum += off;
    if (!agrees(off, point.difference, 1e-6)) {
      disagree(
        "level-off-target-differs",
        `${where}: ${point.id} is ${off} mm off the target, ${point.difference} mm in the packet`,
      );
    }
  }
  const mean = sum / conformity.level.points.length;
  if (!agrees(mean, conformity.level.mean, 1e-6)) {
    disagree(
      "level-off-target-differs",
      `${where}: the mean is ${mean} mm off the target, ${conformity.level.mean} mm in the packet`,
    );
  }
}

/** One number of a line by sums of powers; the mean of curvatures by the steps at the two ends, between which all others cancel. */
function numberAgain(constant: number, values: readonly number[], mean: number): number {
  const squares = values.reduce((sum, value) => sum + value * value, 0);
  const variance = Math.max(0, (squares - values.length * mean * mean) / (values.length - 1));
  return constant / (3 * Math.sqrt(variance) + Math.abs(mean));
}

/** Flatness and levelness again from the file's own text. */
function checkLines(
  { fNumbers, lineCuts, floor }: Conformity,
  written: readonly WrittenLine[],
  unit: "mm" | "in",
  disagree: Disagree,
): void {
  if (fNumbers === undefined) return;
  const textOf = new Map(written.map((line) => [line.id, line]));
  const partOf = new Map(partsSaid({ lineCuts }).map((part) => [part.id, part]));
  const numbers: { readonly flatness: number; readonly levelness: number; readonly n: number }[] = [];
  for (const report of fNumbers.lines) {
    const { id } = report.line;
    const form = FORMS[report.method.name];
    const part = partOf.get(id);
    const line = textOf.get(part?.typed ?? id);
    // Rows of the grid that serve as lines have no text of their own.
    if (line === undefined && written.length > 0) disagree("line-unknown", `${floor}: the file has no line ${id}`);
    const all = line ? levelsAgain(line, unit, form.unitMm) : report.line.levelsMm.map((level) => level / form.unitMm);
    const h = line && part ? all.slice(part.first - 1, part.last) : all;
    const n = h.length;
    const q = h.slice(2).map((level, k) => level - 2 * (h[k + 1] as number) + (h[k] as number));
    const z = h.slice(10).map((level, k) => level - (h[k] as number));
    const bend = ((h[n - 1] as number) - (h[n - 2] as number) - (h[1] as number) + (h[0] as number)) / (n - 2);
    const drift = z.reduce((sum, value) => sum + value, 0) / z.length;
    const mine = {
      flatness: numberAgain(form.flatness, q, bend),
      levelness: numberAgain(form.levelness, z, drift),
      n,
    };
    numbers.push(mine);
    for (const which of ["flatness", "levelness"] as const) {
      compareNumber(`line ${id}`, which, mine[which], report[which].number, disagree);
    }
  }
  for (const [which, fewer] of [
    ["flatness", 2],
    ["levelness", 10],
  ] as const) {
    // 1/F² is the mean of the lines' 1/F², each by its count.
    const count = numbers.reduce((sum, { n }) => sum + n - fewer, 0);
    const inverse = numbers.reduce((sum, line) => sum + (line.n - fewer) / (line[which] * line[which]), 0) / count;
    compareNumber("all lines together", which, 1 / Math.sqrt(inverse), fNumbers.composite[which].number, disagree);
  }
}

/** Sums of squares lose digits where the floor is nearly perfect: past this a number is as good as without bound. */
const GREATEST_COMPARED = 1e5;

function compareNumber(
  what: string,
  which: string,
  mine: number,
  theirs: { readonly kind: "value"; readonly value: number } | { readonly kind: "unbounded" },
  disagree: Disagree,
): void {
  const said = theirs.kind === "value" ? theirs.value : Number.POSITIVE_INFINITY;
  if (mine > GREATEST_COMPARED && said > GREATEST_COMPARED) return;
  if (!agrees(mine, said, 1e-4 * mine)) {
    disagree(
      "flatness-number-differs",
      `the ${which} of ${what} is ${mine} when worked out again, ${said} in the packet`,
    );
  }
}

/** Levels of a written line in the method's unit: a row of a written sheet, whatever its label. */
function levelsAgain(line: WrittenLine, unit: "mm" | "in", unitMm: number): number[] {
  const rows = String(line.readings)
    .split("\n")
    .map((row) => `A ${row}`)
    .join("\n");
  const mmPerUnit = (line.unit ?? unit) === "in" ? 25.4 : 1;
  const again = readWrittenSheet(rows, mmPerUnit, line.numbers_are.startsWith("below"));
  return again.map(({ levelMm }) => levelMm / unitMm);
}

/** Depths to grind or fill, on the sheets of every language. */
function checkPrintedPlaces({ packet, sheets }: Evidence, disagree: Disagree): void {
  for (const [sheetId, stage] of [
    ["flatness", packet.finished],
    ["flatness-raw-slab", packet.rawSlab],
  ] as const) {
    if (stage.kind !== "ready") continue;
    for (const sheet of sheets.filter(({ id }) => id === sheetId)) {
      const rows = sheet.pages.flatMap(({ blocks }) =>
        blocks.flatMap((block) =>
          block.kind === "table"
            ? block.rows.map(({ cells }) => cells.map(({ lines }) => lines.map(({ text }) => text)))
            : [],
        ),
      );
      for (const { id, leastMm, wholeMm } of stage.result.places) {
        const wanted = [leastMm?.printed ?? ["–"], wholeMm.printed].map((printed) => printed.join(" "));
        const row = rows.find(
          ([first, , least, whole]) => first?.[0] === id && least !== undefined && whole !== undefined,
        );
        const printed = row?.slice(2, 4).map((lines) => lines.join(" "));
        if (printed?.[0] !== wanted[0] || printed?.[1] !== wanted[1]) {
          disagree(
            "sheet-differs",
            `sheet ${sheetId} (${sheet.language}) prints ${printed?.join(", ") ?? "nothing"} for ${id}, the packet has ${wanted.join(", ")}`,
          );
        }
      }
    }
  }
}
