/** Worst values of DIN 18202, of edges on sample lines and of gaps measured by hand, worked out again where they are said to be. */
import type { Conformity, Finding, RulePart } from "../conformity/model.ts";
import type { Point } from "../geometry/point.ts";
import type { SampleLine } from "../job/contract-model.ts";
import type { Job } from "../job/model.ts";
import type { AdjustedLevels } from "../survey/model.ts";
import { agrees, type Disagree } from "./evidence.ts";
import { gapBySlowEdge } from "./second-edge.ts";

/** DIN 18202 Table 3: distances in m, and what is allowed there in mm (as published by test houses). */
const COLUMNS_M = [0.1, 1, 4, 10, 15];
const ROWS_MM = {
  unfinished: [10, 15, 20, 25, 30],
  "for-screed-or-tile-bed": [5, 8, 12, 15, 20],
  finished: [2, 4, 10, 12, 15],
  "finished-increased": [1, 3, 9, 12, 15],
} as const;

/** A place on paper is the reading's own; points are taken for each other within this. */
const SAME_PLACE_M = 1e-6;
/** As of edges laid on the surface. */
const GAP_AGREEMENT_MM = 1e-4;

export function checkWorstVerdicts(
  { rules, floor }: Conformity,
  job: Job,
  levels: AdjustedLevels,
  disagree: Disagree,
): void {
  const survey = floor === "finished" ? job.finished?.survey : job.survey;
  const { lines = [], gaps = [] } = survey?.byHand ?? {};
  for (const { rule, parts } of rules) {
    for (const { part, findings } of parts) {
      for (const finding of findings) {
        const compare = (what: string, mine: number | undefined, theirs: number | undefined, within = 1e-6): void => {
          if (mine === undefined || theirs === undefined || agrees(mine, theirs, within)) return;
          disagree(
            "worst-differs",
            `${floor}, ${rule.id}, ${finding.method.kind}: ${what} is ${mine}, ${theirs} in the packet`,
          );
        };
        const { worst } = finding;
        if (worst?.value === undefined) continue;
        if (part.kind === "din-18202") {
          compare("the limit", dinLimitAgain(part.row, worst.over ?? Number.NaN), worst.limit);
          if (finding.method.kind === "grid")
            compare("the middle over its neighbours", overNeighbours(finding, levels), worst.value);
          else compare("the gap", underChord(finding, lines), worst.value);
        }
        if (part.kind === "straightedge" && finding.method.kind === "edge-on-line")
          compare("the gap", onLineAgain(finding, part, lines), worst.value, GAP_AGREEMENT_MM);
        if (part.kind === "straightedge" && finding.method.kind === "gap-by-hand") {
          const near = gaps.filter(({ edge }) => Math.abs(edge / part.edge - 1) <= 0.01).map(({ gap }) => gap);
          compare("the greatest gap", near.toSorted((a, b) => b - a)[0], worst.value);
          compare("the count of gaps", near.length, finding.readings);
        }
      }
    }
  }
}

/** Straight between columns, to whole millimetres; the first value below the first column, the last past the last. */
function dinLimitAgain(row: keyof typeof ROWS_MM, distanceM: number): number {
  const limits = ROWS_MM[row];
  let exact: number = limits[0];
  for (const [k, fromM] of COLUMNS_M.entries()) {
    const toM = COLUMNS_M[k + 1] ?? fromM;
    const share = Math.min(1, Math.max(0, toM > fromM ? (distanceM - fromM) / (toM - fromM) : 0));
    exact += share * ((limits[k + 1] ?? (limits[k] as number)) - (limits[k] as number));
  }
  return Math.round(exact + 1e-9);
}

const isAt = (a: Point, b: Point): boolean => Math.hypot(a.x - b.x, a.y - b.y) <= SAME_PLACE_M;

/** Two points may have been read at one place: of what they give, what comes nearest to the packet's. */
function overNeighbours({ worst }: Finding, { points }: AdjustedLevels): number | undefined {
  const where = worst?.where;
  const middle = points.find(({ id }) => id === where?.name);
  if (middle === undefined || where?.ends === undefined || !isAt(middle.at, where.at)) return Number.NaN;
  const atEnds = where.ends.map((end) => points.filter((point) => isAt(point.at, end)));
  const [before = [], after = []] = atEnds;
  const off = (mine: number): number => Math.abs(mine - (worst?.value ?? 0));
  return before
    .flatMap((a) => after.map((b) => middle.level - (a.level + b.level) / 2))
    .reduce((nearest, mine) => (off(mine) < off(nearest) ? mine : nearest), Number.POSITIVE_INFINITY);
}

/** Reading numbers, from 0, of places along a line; undefined where it has no recorded ends. */
function readingsAt({ ends, spacing }: SampleLine, places: readonly Point[]): readonly number[] | undefined {
  return ends && places.map((at) => Math.hypot(at.x - ends[0].x, at.y - ends[0].y) / spacing);
}

/** How far the low place lies under the straight line between its two high points; −Infinity where the floor cuts into it. */
function underChord({ worst }: Finding, lines: readonly SampleLine[]): number | undefined {
  const line = lines.find(({ id }) => id === worst?.where?.name);
  const ends = worst?.where?.ends;
  if (line === undefined || worst?.where === undefined || ends === undefined) return undefined;
  const found = readingsAt(line, [ends[0], worst.where.at, ends[1]])?.map(Math.round);
  if (found === undefined) return undefined;
  const [from, low, to] = found as [number, number, number];
  const levelAt = (k: number): number => line.levelsMm[k] ?? Number.NaN;
  const chordAt = (k: number): number => levelAt(from) + ((levelAt(to) - levelAt(from)) * (k - from)) / (to - from);
  for (let k = from; k <= to; k++) if (levelAt(k) > chordAt(k) + 1e-9) return Number.NEGATIVE_INFINITY;
  return chordAt(low) - levelAt(low);
}

/** The edge laid by brute force on a strip of floor that has the line's levels all across. */
function onLineAgain(
  { worst }: Finding,
  part: Extract<RulePart, { kind: "straightedge" }>,
  lines: readonly SampleLine[],
): number | undefined {
  const line = lines.find(({ id }) => id === worst?.where?.name);
  const ends = worst?.where?.ends;
  if (line === undefined || ends === undefined) return undefined;
  const startM = ((readingsAt(line, [ends[0]]) ?? [Number.NaN])[0] as number) * line.spacing;
  const corners = line.levelsMm.slice(1).flatMap((_, k) => {
    const [a, b, c, d] = [2 * k, 2 * k + 2, 2 * k + 3, 2 * k + 1] as const;
    return [a, b, c, a, c, d];
  });
  const strip = {
    xM: line.levelsMm.flatMap((_, k) => [k * line.spacing, k * line.spacing]),
    yM: line.levelsMm.flatMap(() => [0, 1]),
    corners,
    levelMm: line.levelsMm.flatMap((level) => [level, level]),
  };
  const from = { x: startM, y: 0.5 };
  return gapBySlowEdge(strip, from, { x: startM + part.edge, y: 0.5 }, part.contact === "whole-edge");
}
