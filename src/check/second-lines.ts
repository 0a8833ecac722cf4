/** Which readings of the sample lines count, worked out again reading by reading from distances to joints and edges. */
import type { Conformity } from "../conformity/model.ts";
import type { Point } from "../geometry/point.ts";
import type { SampleLine } from "../job/contract-model.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Disagree } from "./evidence.ts";

/** 0.6 m from edges and joints (E1155M, as quoted on a laboratory's data sheet), less the 5 mm that a tape may be off. */
const LEAST_AWAY_M = 0.595;
/** Twelve readings make a line. */
const FEWEST = 12;
/** A reading this near to the least distance, in metres, may fall either way by rounding. */
const DOUBT_M = 1e-5;
/** The floor between two readings is looked at in so many places. */
const LOOKS = 128;
/** To either side of an edge, in metres, to see whether the floor goes on. */
const BESIDE_M = 1e-3;

type Stretch = readonly [Point, Point];

/** Readings `first` to `last` of a typed line, counted from 1, that count as the line `id`. */
export interface CountedPart {
  readonly id: string;
  readonly typed: string;
  readonly first: number;
  readonly last: number;
}

/** The parts that the report says count, found by the names that they have there. */
export const partsSaid = ({ lineCuts }: Pick<Conformity, "lineCuts">): readonly CountedPart[] =>
  lineCuts.flatMap(({ line, parts }) =>
    parts.flatMap(({ first, last, becomes }) =>
      becomes === undefined ? [] : [{ id: becomes, typed: line, first, last }],
    ),
  );

export function checkCutLines(conformity: Conformity, job: Job, plan: Plan, disagree: Disagree): void {
  const finished = conformity.floor === "finished";
  const survey = finished ? job.finished?.survey : job.survey;
  const joints: Stretch[] = [
    ...(survey?.joints ?? []),
    ...(job.pour.movingJoints ?? []),
    ...(finished ? (job.pour.dams ?? []) : []),
  ].map(({ from, to }) => [from, to]);
  checkSections(conformity, joints, disagree);
  const typed = survey?.byHand?.lines ?? [];
  const keepAway = [...joints, ...realEdges(plan)];
  if (typed.length === 0) {
    checkRows(conformity, keepAway, disagree);
    return;
  }
  const mine = typed.map((line) => ({
    line,
    runs: runsOf(line, keepAway),
    nearEdges: isNearThroughout(line, realEdges(plan), joints),
  }));
  // Where nothing would be left, what crosses no joint stays as it was typed.
  const nothingLeft = mine.every(({ runs }) => runs?.length === 0);
  const left = mine.flatMap(({ line, runs }) =>
    line.ends === undefined
      ? []
      : (runs ?? [[1, line.levelsMm.length]]).map(
          ([first, last]) => [readingAt(line, first), readingAt(line, last)] as Stretch,
        ),
  );
  const isCrowded = left.some((one, k) => left.slice(k + 1).some((other) => isBeside(one, other)));
  const said = partsSaid(conformity);
  for (const { line, runs, nearEdges } of mine) {
    const theirs = said.filter((part) => part.typed === line.id).map(({ first, last }) => `${first}–${last}`);
    const cut = conformity.lineCuts.some((one) => one.line === line.id);
    const whole =
      runs === undefined ||
      (nothingLeft && !joints.some((joint) => isParted(line.ends as Stretch, joint))) ||
      (!nothingLeft && isCrowded && nearEdges);
    const wanted = whole ? [] : runs.map(([first, last]) => `${first}–${last}`);
    if (cut === whole || theirs.join() !== wanted.join()) {
      disagree(
        "line-cut-differs",
        `${conformity.floor}: of line ${line.id} ${whole ? "all" : wanted.join(", ") || "none"} counts by its distances, ${cut ? theirs.join(", ") || "none" : "all"} in the packet`,
      );
    }
  }
}

/** Rows of the grid that serve as lines have no text of their own: those that count keep away, or none does. */
function checkRows({ fNumbers, floor }: Conformity, keepAway: readonly Stretch[], disagree: Disagree): void {
  const rows = (fNumbers?.lines ?? []).map(({ line }) => ({ line, runs: runsOf(line, keepAway) }));
  const cut = rows.filter(({ runs }) => runs !== undefined && runs.length > 0);
  if (cut.length === rows.length) return;
  for (const { line, runs } of cut) {
    disagree(
      "line-cut-differs",
      `${floor}: of line ${line.id} only readings ${(runs ?? []).map((run) => run.join("–")).join(", ")} count by their distances, all in the packet`,
    );
  }
}

/** Runs of readings that keep away and are long enough; undefined where the line stays as it was typed. */
function runsOf(
  { ends, spacing, levelsMm }: SampleLine,
  keepAway: readonly Stretch[],
): readonly (readonly [number, number])[] | undefined {
  const isMethod = Math.abs(spacing - 0.3) <= 0.002 || Math.abs(spacing - 0.3048) <= 0.002;
  if (ends === undefined || !isMethod) return undefined;
  const [a, b] = ends;
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const far = (along: number): boolean => {
    const share = Math.min(along, length) / length;
    const at = { x: a.x * (1 - share) + b.x * share, y: a.y * (1 - share) + b.y * share };
    return keepAway.every((stretch) => away(at, stretch) >= LEAST_AWAY_M - DOUBT_M);
  };
  const counts = levelsMm.map((_, k) => far(k * spacing));
  const goesOn = levelsMm.slice(1).map((_, k) => {
    for (let look = 0; look <= LOOKS; look++) if (!far((k + look / LOOKS) * spacing)) return false;
    return true;
  });
  if (goesOn.every(Boolean)) return undefined;
  const runs: [number, number][] = [];
  for (const [k, isCounted] of counts.entries()) {
    if (!isCounted) continue;
    const run = runs.at(-1);
    if (run?.[1] === k && goesOn[k - 1] === true) run[1] = k + 1;
    else runs.push([k + 1, k + 1]);
  }
  return runs.filter(([first, last]) => last - first + 1 >= FEWEST);
}

/** The place of a reading, counted from 1. */
function readingAt({ ends, spacing }: SampleLine, reading: number): Point {
  const [a, b] = ends as Stretch;
  const share = Math.min(1, ((reading - 1) * spacing) / Math.hypot(b.x - a.x, b.y - a.y));
  return { x: a.x * (1 - share) + b.x * share, y: a.y * (1 - share) + b.y * share };
}

/** True where every reading is too near to an edge, and none to a joint. */
function isNearThroughout(line: SampleLine, edges: readonly Stretch[], joints: readonly Stretch[]): boolean {
  if (line.ends === undefined) return false;
  return line.levelsMm.every((_, k) => {
    const at = readingAt(line, k + 1);
    const isNear = (stretch: Stretch) => away(at, stretch) < LEAST_AWAY_M;
    return edges.some(isNear) && !joints.some(isNear);
  });
}

/** True where two lines run within 5° of each other, side by side over some of their length, nearer than 1.2 m. */
function isBeside([a, b]: Stretch, [c, d]: Stretch): boolean {
  const [one, other] = [Math.atan2(b.y - a.y, b.x - a.x), Math.atan2(d.y - c.y, d.x - c.x)];
  if (Math.abs(Math.sin(one - other)) > 0.087) return false;
  const along = (p: Point): number => (p.x - a.x) * Math.cos(one) + (p.y - a.y) * Math.sin(one);
  const [from, to] = [Math.min(along(c), along(d)), Math.max(along(c), along(d))];
  if (to <= 0 || from >= along(b)) return false;
  return Math.min(away(a, [c, d]), away(b, [c, d]), away(c, [a, b]), away(d, [a, b])) < 1.195;
}

/** Distance of a point from a stretch, in the stretch's own frame. */
function away({ x, y }: Point, [a, b]: Stretch): number {
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const [ux, uy] = [(b.x - a.x) / length, (b.y - a.y) / length];
  const along = (x - a.x) * ux + (y - a.y) * uy;
  const beside = (y - a.y) * ux - (x - a.x) * uy;
  return Math.hypot(beside, Math.max(0, -along, along - length));
}

/** Edges with no floor on one side. */
function realEdges({ floors }: Plan): Stretch[] {
  return floors.flatMap(({ polygon }) =>
    [polygon.outline, ...polygon.holes].flatMap((ring) =>
      ring.flatMap((a, k): Stretch[] => {
        const b = ring[(k + 1) % ring.length] as Point;
        const length = Math.hypot(b.x - a.x, b.y - a.y);
        const [nx, ny] = [(-(b.y - a.y) / length) * BESIDE_M, ((b.x - a.x) / length) * BESIDE_M];
        const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
        const sides = [1, -1].map((side) => ({ x: middle.x + side * nx, y: middle.y + side * ny }));
        return sides.every((side) => floors.some((floor) => isOn(side, floor.polygon))) ? [] : [[a, b]];
      }),
    ),
  );
}

/** By the winding of all rings: an outline counts once, a hole takes it off again. */
const isOn = (at: Point, { outline, holes }: Plan["floors"][number]["polygon"]): boolean =>
  winds(outline, at) && !holes.some((hole) => winds(hole, at));

function winds(ring: readonly Point[], at: Point): boolean {
  let turn = 0;
  for (const [k, a] of ring.entries()) {
    const b = ring[(k + 1) % ring.length] as Point;
    const [ax, ay, bx, by] = [a.x - at.x, a.y - at.y, b.x - at.x, b.y - at.y];
    turn += Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
  }
  return Math.abs(turn) > Math.PI;
}

/** No joint between the middles of two lines of one section. */
function checkSections({ fNumbers, floor }: Conformity, joints: readonly Stretch[], disagree: Disagree): void {
  const placed = (fNumbers?.lines ?? []).flatMap(({ line }) =>
    line.ends
      ? [{ line, middle: { x: (line.ends[0].x + line.ends[1].x) / 2, y: (line.ends[0].y + line.ends[1].y) / 2 } }]
      : [],
  );
  for (const [k, one] of placed.entries()) {
    for (const other of placed.slice(k + 1)) {
      if (one.line.section !== other.line.section) continue;
      if (!joints.some((joint) => isParted([one.middle, other.middle], joint))) continue;
      disagree(
        "section-across-a-joint",
        `${floor}: lines ${one.line.id} and ${other.line.id} are in section ${one.line.section}, with a joint between them`,
      );
    }
  }
}

/** True where each stretch has its ends on both sides of the other. */
function isParted(one: Stretch, other: Stretch): boolean {
  const side = (at: Point, [a, b]: Stretch): number => (b.x - a.x) * (at.y - a.y) - (b.y - a.y) * (at.x - a.x);
  const splits = (line: Stretch, ends: Stretch): boolean => side(ends[0], line) * side(ends[1], line) < 0;
  return splits(one, other) && splits(other, one);
}
