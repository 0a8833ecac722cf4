/**
 * Which conditions of the method of sample lines hold, and which do not. Numbers are given either
 * way; only where every condition is known to hold are they to the method.
 */
import { distance, type Point } from "../geometry/point.ts";
import { crossingOf, distanceToSegment, polygonContains } from "../geometry/polygon.ts";
import type { SampleLine } from "../job/contract-model.ts";
import type { RoomFloor } from "../layout/model.ts";
import type { Metres } from "../units.ts";
import { daysBetween } from "./dates.ts";
import { FEWEST_ON_LINE, methodFor } from "./f-numbers.ts";
import type { FloorJoints } from "./joints.ts";
import type { MethodCondition, RuleSource } from "./model.ts";

export type Segment = readonly [Point, Point];

/** What the lines were read on, as far as the job says. */
export interface LineGround {
  readonly floors: readonly RoomFloor[];
  readonly joints: FloorJoints;
  /** ISO date of the pour. */
  readonly poured?: string;
  /** ISO date of the readings where a line carries none. */
  readonly read?: string;
  /** What the contract adds. */
  readonly leastReadings?: number;
  readonly withinDays?: number;
  readonly contract?: string;
}

/** ASTM E1155M as quoted on a laboratory's data sheet (Stanford Linear Accelerator Center, Alignment Engineering Group, 2003). */
export const LEAST_LINE_M = 3.3;
export const LEAST_FROM_EDGE_M = 0.6;
export const LEAST_APART_M = 1.2;
const DATA_SHEET: RuleSource = { text: "ASTM E1155M", standing: "second-hand" };
const SYMBOLS: RuleSource = { text: "ASTM E1155-96", standing: "published" };

/** A tape read from the wall is good to this; a line this much too near is not called so. */
export const TAPE_M = 0.005;
/** Lines within this angle run side by side (taken here): 5°. */
const PARALLEL_SINE = 0.087;

/** Conditions in the order of the report. Lines without recorded ends leave theirs not known. */
export function lineConditions(lines: readonly SampleLine[], ground: LineGround): MethodCondition[] {
  const edges = edgesOf(ground.floors);
  const joints = ground.joints.known.map(({ from, to }): Segment => [from, to]);
  const enough = (value: Metres, wanted: Metres): Finding => (value >= wanted - TAPE_M ? "holds" : value);
  return [
    each("spacing", SYMBOLS, lines, undefined, (line) => (methodFor(line.spacing) ? "holds" : line.spacing)),
    each("readings-in-line", SYMBOLS, lines, FEWEST_ON_LINE, ({ levelsMm }) =>
      levelsMm.length >= FEWEST_ON_LINE ? "holds" : levelsMm.length,
    ),
    each("line-length", DATA_SHEET, lines, LEAST_LINE_M, (line) => enough(lengthOf(line), LEAST_LINE_M)),
    oneMethod(lines),
    each("on-the-floor", DATA_SHEET, lines, undefined, ({ ends }) =>
      ends === undefined ? undefined : onFloor(ends, ground.floors, edges) ? "holds" : "fails",
    ),
    each("edge-distance", DATA_SHEET, lines, LEAST_FROM_EDGE_M, ({ ends }) =>
      ends === undefined
        ? undefined
        : enough(least(edges.map((edge) => distanceBetween(ends, edge))), LEAST_FROM_EDGE_M),
    ),
    each("joint-distance", DATA_SHEET, lines, LEAST_FROM_EDGE_M, ({ ends }) => {
      if (ends === undefined) return undefined;
      const nearest = least(joints.map((joint) => distanceBetween(ends, joint)));
      const found = enough(nearest, LEAST_FROM_EDGE_M);
      // Far enough from the joints that are known says nothing of others.
      return found === "holds" && !ground.joints.all ? undefined : found;
    }),
    each("lines-apart", DATA_SHEET, lines, LEAST_APART_M, (line) => {
      if (line.ends === undefined) return undefined;
      const apart = lines.map((other) => (other === line ? undefined : apartSideBySide(line, other)));
      const found = enough(least(apart.filter((one) => one !== undefined)), LEAST_APART_M);
      if (found !== "holds") return found;
      return lines.every((other) => other.ends !== undefined) ? "holds" : undefined;
    }),
    jointInSection(lines, joints, ground.joints.all),
    ...contractConditions(lines, ground),
  ];
}

/** A number is what was found where the condition fails. */
type Finding = "holds" | "fails" | number | undefined;

/** A condition of every single line: fails where one fails, is not known where none fails and one is not known. */
function each(
  condition: MethodCondition["condition"],
  source: RuleSource,
  lines: readonly SampleLine[],
  wanted: number | undefined,
  judge: (line: SampleLine) => Finding,
): MethodCondition {
  const judged = lines.map((line) => ({ line: line.id, finding: judge(line) }));
  const failing = judged.filter(({ finding }) => finding !== undefined && finding !== "holds");
  const concerned = failing.length > 0 ? failing : judged.filter(({ finding }) => finding === undefined);
  return {
    condition,
    standing: failing.length > 0 ? "fails" : concerned.length > 0 ? "not-known" : "holds",
    source,
    ...(wanted !== undefined && { wanted }),
    found: failing.map(({ line, finding }) => (typeof finding === "number" ? { line, value: finding } : { line })),
    lines: concerned.map(({ line }) => line),
  };
}

function oneMethod(lines: readonly SampleLine[]): MethodCondition {
  const methods = new Set(lines.map((line) => methodFor(line.spacing)?.name));
  return {
    condition: "one-method",
    standing: methods.size <= 1 ? "holds" : "fails",
    source: { text: "", standing: "from-memory" },
    found: [],
    lines: methods.size <= 1 ? [] : lines.map(({ id }) => id),
  };
}

/** No section across a construction joint: a joint must not lie between two lines of a section, nor cross one. */
function jointInSection(lines: readonly SampleLine[], joints: readonly Segment[], all: boolean): MethodCondition {
  const shared = { condition: "joint-in-section", source: DATA_SHEET, found: [] } as const;
  const located = lines.filter((line) => line.ends !== undefined);
  const across = new Set<string>();
  for (const joint of joints) {
    for (const a of located) {
      if (crosses(a.ends!, joint)) across.add(a.id);
      for (const b of located) {
        if (a === b || a.section !== b.section) continue;
        if (crosses([middleOf(a.ends!), middleOf(b.ends!)], joint)) across.add(a.id).add(b.id);
      }
    }
  }
  if (across.size > 0) {
    return { ...shared, standing: "fails", lines: lines.filter(({ id }) => across.has(id)).map(({ id }) => id) };
  }
  const open = !all || (located.length < lines.length && joints.length > 0);
  return { ...shared, standing: open ? "not-known" : "holds", lines: [] };
}

function contractConditions(lines: readonly SampleLine[], ground: LineGround): MethodCondition[] {
  const source: RuleSource = { text: ground.contract ?? "the contract", standing: "contract" };
  const { leastReadings, withinDays, poured } = ground;
  const readings = lines.reduce((sum, line) => sum + line.levelsMm.length, 0);
  const conditions: MethodCondition[] = [
    {
      condition: "readings-in-all",
      // The method asks for a number by area; where the contract states none, nobody here knows it.
      standing: leastReadings === undefined ? "not-known" : readings >= leastReadings ? "holds" : "fails",
      source,
      ...(leastReadings !== undefined && { wanted: leastReadings }),
      found: [{ value: readings }],
      lines: [],
    },
  ];
  if (withinDays !== undefined) {
    const judged = lines.map((line) => {
      const read = line.date ?? ground.read;
      return {
        line: line.id,
        value: poured === undefined || read === undefined ? undefined : daysBetween(poured, read),
      };
    });
    const open = judged.filter(({ value }) => value === undefined);
    const failing = judged.flatMap(({ line, value }) =>
      value !== undefined && value > withinDays ? [{ line, value }] : [],
    );
    conditions.push({
      condition: "time-since-pour",
      standing: failing.length > 0 ? "fails" : open.length > 0 ? "not-known" : "holds",
      source,
      wanted: withinDays,
      found: failing,
      lines: (failing.length > 0 ? failing : open).map(({ line }) => line),
    });
  }
  return conditions;
}

/** From first to last reading. */
export const lengthOf = (line: SampleLine): Metres => (line.levelsMm.length - 1) * line.spacing;

const least = (values: readonly number[]): number => Math.min(Number.POSITIVE_INFINITY, ...values);
export const middleOf = ([a, b]: Segment): Point => ({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 });
/** True where the two go through each other. */
export const crosses = ([a, b]: Segment, [c, d]: Segment): boolean => crossingOf(a, b, c, d) !== undefined;

/** Real edges of the floor: walls, columns, openings; not the line in a doorway where one floor goes on as another. */
export function edgesOf(floors: readonly RoomFloor[]): Segment[] {
  return floors.flatMap(({ polygon }, index) =>
    [polygon.outline, ...polygon.holes].flatMap((ring) =>
      ring
        .map((a, k): Segment => [a, ring[(k + 1) % ring.length]!])
        .filter((edge) => !floors.some((other, k) => k !== index && polygonContains(other.polygon, middleOf(edge)))),
    ),
  );
}

/** True where a straight line runs over floor all the way; it may begin and end on a wall. */
export const onFloor = (ends: Segment, floors: readonly RoomFloor[], edges: readonly Segment[]): boolean =>
  // From one wall to another it can leave the floor and cross no edge: its middle tells.
  [...ends, middleOf(ends)].every((at) => floors.some(({ polygon }) => polygonContains(polygon, at))) &&
  !edges.some((edge) => crosses(ends, edge));

export function distanceBetween(one: Segment, other: Segment): Metres {
  if (crosses(one, other)) return 0;
  return least([
    distanceToSegment(one[0], ...other),
    distanceToSegment(one[1], ...other),
    distanceToSegment(other[0], ...one),
    distanceToSegment(other[1], ...one),
  ]);
}

/** Distance of two lines that run side by side over some of their length; undefined where they do not. */
export function apartSideBySide(one: SampleLine, other: SampleLine): Metres | undefined {
  if (one.ends === undefined || other.ends === undefined) return undefined;
  const [a, b] = one.ends;
  const [c, d] = other.ends;
  const [lengthOne, lengthOther] = [distance(a, b), distance(c, d)];
  const [ux, uy] = [(b.x - a.x) / lengthOne, (b.y - a.y) / lengthOne];
  const sine = Math.abs(ux * (d.y - c.y) - uy * (d.x - c.x)) / lengthOther;
  if (sine > PARALLEL_SINE) return undefined;
  const alongC = (c.x - a.x) * ux + (c.y - a.y) * uy;
  const alongD = (d.x - a.x) * ux + (d.y - a.y) * uy;
  if (Math.max(alongC, alongD) <= 0 || Math.min(alongC, alongD) >= lengthOne) return undefined;
  return distanceBetween(one.ends, other.ends);
}
