/**
 * Sample lines cut where the method takes no reading: near a joint, a wall, a column, the jambs of a door. What stays
 * on either side is a line of its own where it is long enough; no section runs across a joint.
 */
import { distance, type Point, pointAlong } from "../geometry/point.ts";
import type { SampleLine } from "../job/contract-model.ts";
import type { FloorLine } from "../job/model.ts";
import type { RoomFloor } from "../layout/model.ts";
import type { Metres } from "../units.ts";
import { FEWEST_ON_LINE, methodFor } from "./f-numbers.ts";
import type { FloorJoints } from "./joints.ts";
import {
  apartSideBySide,
  crosses,
  distanceBetween,
  edgesOf,
  LEAST_APART_M,
  LEAST_FROM_EDGE_M,
  middleOf,
  type Segment,
  TAPE_M,
} from "./line-conditions.ts";
import type { LineCut, LinePart } from "./model.ts";

export interface CutLines {
  /** What the numbers come from: lines as they were typed, and parts of others. */
  readonly lines: readonly SampleLine[];
  /** One for each line that is not counted as it was typed, in the order of the lines. */
  readonly cuts: readonly LineCut[];
}

interface Ground {
  readonly joints: readonly FloorLine[];
  readonly edges: readonly Segment[];
}

/** What a reading, or the floor between two of them, is too near to; undefined where it keeps its distance. */
type TooNear = { readonly kind: "joint"; readonly id: string } | { readonly kind: "edge" } | undefined;

/**
 * Lines without recorded ends, or with another spacing than the method's, stay as they are. A line that is too near to
 * an edge from end to end is left out where those that are left keep their distance from each other; where they do not,
 * no number is to the method, and all are told: the conditions say which lines are too near. Where no line at all would
 * be left, those that cross no joint stay too.
 */
export function cutLines(lines: readonly SampleLine[], floors: readonly RoomFloor[], joints: FloorJoints): CutLines {
  const ground: Ground = { joints: joints.known, edges: edgesOf(floors) };
  const ids = new Set(lines.map(({ id }) => id));
  const cut = lines.map((line) => ({ line, ...cutOne(line, ground, ids) }));
  const left = cut.flatMap(({ parts }) => parts);
  const isApart = left.every((one) =>
    left.every((other) => one === other || (apartSideBySide(one, other) ?? LEAST_APART_M) >= LEAST_APART_M - TAPE_M),
  );
  const staysWhole = (one: CutLine): boolean =>
    left.length === 0 ? !one.crossesJoint : !isApart && one.nearEdgeThroughout;
  const kept = cut.map((one) => (staysWhole(one) ? { ...one, parts: [one.line], cut: undefined } : one));
  return {
    lines: withinJoints(
      kept.flatMap(({ parts }) => parts),
      joints.known,
    ),
    cuts: kept.flatMap((one) => (one.cut ? [one.cut] : [])),
  };
}

interface CutLine {
  readonly parts: readonly SampleLine[];
  readonly crossesJoint: boolean;
  readonly nearEdgeThroughout: boolean;
  readonly cut: LineCut | undefined;
}

function cutOne(line: SampleLine, ground: Ground, ids: Set<string>): CutLine {
  const { ends, levelsMm } = line;
  const whole: CutLine = { parts: [line], crossesJoint: false, nearEdgeThroughout: false, cut: undefined };
  if (ends === undefined || methodFor(line.spacing) === undefined) return whole;
  const places = levelsMm.map((_, k) => placeOf(line, ends, k));
  const near = places.map((at) => tooNear([at, at], ground));
  const between = places.slice(1).map((at, k) => tooNear([places[k]!, at], ground));
  if (between.every((one) => one === undefined)) return whole;
  const runs: LinePart[] = [];
  for (let first = 0; first < places.length; ) {
    let last = first;
    if (near[first]) {
      while (last + 1 < places.length && isSame(near[last + 1], near[first])) last++;
      runs.push({ first: first + 1, last: last + 1, ...why(near[first]) });
    } else {
      while (last + 1 < places.length && !near[last + 1] && !between[last]) last++;
      const long = last - first + 1 >= FEWEST_ON_LINE;
      runs.push({ first: first + 1, last: last + 1, ...(long ? { becomes: "" } : { leftOut: "too-short" }) });
    }
    first = last + 1;
  }
  const parts: SampleLine[] = [];
  const single = runs.filter((run) => run.becomes !== undefined).length === 1;
  const told = runs.map((run): LinePart => {
    if (run.becomes === undefined) return run;
    const id = single ? line.id : ownName(line.id, parts.length, ids);
    const [from, to] = [run.first - 1, run.last - 1];
    parts.push({
      ...line,
      id,
      ends: [places[from]!, places[to]!],
      levelsMm: levelsMm.slice(from, to + 1),
    });
    return { ...run, becomes: id };
  });
  const crossesJoint = ground.joints.some(({ from, to }) => crosses(ends, [from, to]));
  const nearEdgeThroughout = near.every((one) => one?.kind === "edge");
  return { parts, crossesJoint, nearEdgeThroughout, cut: { line: line.id, section: line.section, parts: told } };
}

/** Readings are counted along the line by its spacing; the ends were taped and agree with that. */
const placeOf = ({ spacing }: SampleLine, [from, to]: Segment, index: number): Point =>
  index === 0 ? from : pointAlong(from, to, Math.min(index * spacing, distance(from, to)) as Metres);

function tooNear(stretch: Segment, { joints, edges }: Ground): TooNear {
  const isNear = (other: Segment): boolean => distanceBetween(stretch, other) < LEAST_FROM_EDGE_M - TAPE_M;
  const joint = joints.find(({ from, to }) => isNear([from, to]));
  if (joint) return { kind: "joint", id: joint.id };
  return edges.some(isNear) ? { kind: "edge" } : undefined;
}

const isSame = (a: TooNear, b: TooNear): boolean =>
  a?.kind === b?.kind && (a?.kind !== "joint" || (b?.kind === "joint" && a.id === b.id));

const why = (near: TooNear): Pick<LinePart, "leftOut" | "joint"> =>
  near?.kind === "joint" ? { leftOut: "near-joint", joint: near.id } : { leftOut: "near-edge" };

/** The line's name with a letter that no other line has. */
function ownName(id: string, index: number, taken: Set<string>): string {
  const LETTERS = "abcdefghijklmnopqrstuvwxyz";
  for (let k = index; ; k++) {
    const name = `${id}${k < LETTERS.length ? LETTERS[k] : `-${k + 1}`}`;
    if (taken.has(name)) continue;
    taken.add(name);
    return name;
  }
}

/** Lines of one section with a joint between them make sections of their own: each line goes to the first that no joint parts it from. */
function withinJoints(lines: readonly SampleLine[], joints: readonly FloorLine[]): SampleLine[] {
  const named = new Set(lines.map(({ section }) => section));
  const groups = new Map<string, SampleLine[][]>();
  for (const line of lines) {
    const ofSection = groups.get(line.section) ?? [];
    groups.set(line.section, ofSection);
    const group = ofSection.find((members) => members.every((other) => !areParted(line, other, joints)));
    if (group) group.push(line);
    else ofSection.push([line]);
  }
  const sectionOf = new Map<SampleLine, string>();
  for (const [section, ofSection] of groups) {
    if (ofSection.length === 1) continue;
    for (const members of ofSection) {
      let count = 1;
      while (named.has(`${section}-${count}`)) count++;
      named.add(`${section}-${count}`);
      for (const line of members) sectionOf.set(line, `${section}-${count}`);
    }
  }
  return lines.map((line) => ({ ...line, section: sectionOf.get(line) ?? line.section }));
}

const areParted = (a: SampleLine, b: SampleLine, joints: readonly FloorLine[]): boolean =>
  a.ends !== undefined &&
  b.ends !== undefined &&
  joints.some(({ from, to }) => crosses([middleOf(a.ends!), middleOf(b.ends!)], [from, to]));
