/**
 * Which conditions of the method of sample lines hold, and which do not. Numbers are given either
 * way; only where every condition is known to hold are they to the method.
 */
import { count as countText, planLength } from "../format.ts";
import { distance, type Point } from "../geometry/point.ts";
import { crossingOf, distanceToSegment, polygonContains } from "../geometry/polygon.ts";
import type { PlanUnit, SampleLine } from "../job/model.ts";
import type { RoomFloor } from "../layout/model.ts";
import type { Metres } from "../units.ts";
import { daysBetween } from "./dates.ts";
import { FEWEST_ON_LINE, methodFor } from "./f-numbers.ts";
import type { MethodCondition, RuleSource } from "./model.ts";

export type Segment = readonly [Point, Point];

/** What the lines were read on, as far as the job says. */
export interface LineGround {
  readonly floors: readonly RoomFloor[];
  /** Construction joints; absent where the job does not say where they are. */
  readonly joints?: readonly Segment[];
  /** ISO date of the pour. */
  readonly poured?: string;
  /** ISO date of the readings where a line carries none. */
  readonly read?: string;
  /** What the contract adds. */
  readonly leastReadings?: number;
  readonly withinDays?: number;
  readonly contract?: string;
  readonly planUnit: PlanUnit;
}

/** ASTM E1155M as quoted on a laboratory's data sheet (Stanford Linear Accelerator Center, Alignment Engineering Group, 2003). */
export const LEAST_LINE_M = 3.3;
export const LEAST_FROM_EDGE_M = 0.6;
export const LEAST_APART_M = 1.2;
const DATA_SHEET: RuleSource = { text: "ASTM E1155M, as quoted on a laboratory's data sheet", standing: "published" };
const SYMBOLS: RuleSource = { text: "ASTM E1155-96", standing: "published" };

/** A tape read from the wall is good to this; a line this much too near is not called so. */
const TAPE_M = 0.005;
/** Lines within this angle run side by side (taken here): 5°. */
const PARALLEL_SINE = 0.087;

/** Conditions in the order of the report. Lines without recorded ends leave theirs not known. */
export function lineConditions(lines: readonly SampleLine[], ground: LineGround): MethodCondition[] {
  const text = (length: Metres): string => planLength(length, ground.planUnit).large.text;
  const edges = edgesOf(ground.floors);
  return [
    each("spacing", SYMBOLS, lines, "read every 12 in or every 300 mm", (line) =>
      methodFor(line.spacing) ? "holds" : `every ${text(line.spacing)}`,
    ),
    each("readings-in-line", SYMBOLS, lines, `at least ${FEWEST_ON_LINE} readings on a line`, (line) =>
      line.levelsMm.length >= FEWEST_ON_LINE ? "holds" : `${countText(line.levelsMm.length)} readings`,
    ),
    each("line-length", DATA_SHEET, lines, `lines at least ${text(LEAST_LINE_M)} long`, (line) =>
      lengthOf(line) >= LEAST_LINE_M - TAPE_M ? "holds" : `${text(lengthOf(line))} long`,
    ),
    oneMethod(lines),
    each("on-the-floor", DATA_SHEET, lines, "lines wholly on the floor", ({ ends }) =>
      ends === undefined ? undefined : onFloor(ends, ground.floors, edges) ? "holds" : "runs off the floor",
    ),
    each(
      "edge-distance",
      DATA_SHEET,
      lines,
      `no reading nearer than ${text(LEAST_FROM_EDGE_M)} to an edge`,
      ({ ends }) => {
        if (ends === undefined) return undefined;
        const nearest = least(edges.map((edge) => distanceBetween(ends, edge)));
        return nearest >= LEAST_FROM_EDGE_M - TAPE_M ? "holds" : `${text(nearest)} from an edge`;
      },
    ),
    each(
      "joint-distance",
      DATA_SHEET,
      lines,
      `no reading nearer than ${text(LEAST_FROM_EDGE_M)} to a joint`,
      ({ ends }) => {
        if (ends === undefined || ground.joints === undefined) return undefined;
        const nearest = least(ground.joints.map((joint) => distanceBetween(ends, joint)));
        return nearest >= LEAST_FROM_EDGE_M - TAPE_M ? "holds" : `${text(nearest)} from a joint`;
      },
    ),
    each("lines-apart", DATA_SHEET, lines, `lines side by side at least ${text(LEAST_APART_M)} apart`, (line) => {
      if (line.ends === undefined) return undefined;
      const apart = lines.map((other) => (other === line ? undefined : apartSideBySide(line, other)));
      const nearest = least(apart.filter((one) => one !== undefined));
      if (nearest < LEAST_APART_M - TAPE_M) return `${text(nearest)} from a line beside it`;
      return lines.every((other) => other.ends !== undefined) ? "holds" : undefined;
    }),
    jointInSection(lines, ground.joints),
    ...contractConditions(lines, ground),
  ];
}

type Finding = "holds" | undefined | (string & {});

/** A condition of every single line: fails where one fails, is not known where none fails and one is not known. */
function each(
  condition: MethodCondition["condition"],
  source: RuleSource,
  lines: readonly SampleLine[],
  wanted: string,
  judge: (line: SampleLine) => Finding,
): MethodCondition {
  const found = lines.map((line) => ({ id: line.id, finding: judge(line) }));
  const failing = found.filter(({ finding }) => finding !== undefined && finding !== "holds");
  const open = found.filter(({ finding }) => finding === undefined);
  if (failing.length > 0) {
    const list = failing.map(({ id, finding }) => `line ${id}: ${finding}`).join("; ");
    return { condition, standing: "fails", source, reason: `${wanted}: ${list}`, lines: failing.map(({ id }) => id) };
  }
  if (open.length > 0) {
    const what = condition === "joint-distance" ? "where lines and joints lie" : "where the lines lie";
    return {
      condition,
      standing: "not-known",
      source,
      reason: `${wanted}: ${what} is not recorded`,
      lines: open.map(({ id }) => id),
    };
  }
  return { condition, standing: "holds", source, reason: wanted, lines: [] };
}

function oneMethod(lines: readonly SampleLine[]): MethodCondition {
  const methods = new Set(lines.map((line) => methodFor(line.spacing)?.name));
  const shared = {
    condition: "one-method",
    source: { text: "both forms keep their own constants", standing: "from-memory" },
  } as const;
  return methods.size <= 1
    ? { ...shared, standing: "holds", reason: "all lines by one form of the method", lines: [] }
    : {
        ...shared,
        standing: "fails",
        reason: "12 in and 300 mm lines are taken together",
        lines: lines.map(({ id }) => id),
      };
}

/** No section across a construction joint: a joint must not lie between two lines of a section, nor cross one. */
function jointInSection(lines: readonly SampleLine[], joints: readonly Segment[] | undefined): MethodCondition {
  const shared = { condition: "joint-in-section", source: DATA_SHEET } as const;
  const wanted = "no section across a construction joint";
  if (joints === undefined) {
    return { ...shared, standing: "not-known", reason: `${wanted}: where the joints lie is not recorded`, lines: [] };
  }
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
    const ids = lines.filter(({ id }) => across.has(id)).map(({ id }) => id);
    return {
      ...shared,
      standing: "fails",
      reason: `${wanted}: a joint runs between or across lines ${ids.join(", ")}`,
      lines: ids,
    };
  }
  return located.length < lines.length && joints.length > 0
    ? { ...shared, standing: "not-known", reason: `${wanted}: where the lines lie is not recorded`, lines: [] }
    : { ...shared, standing: "holds", reason: wanted, lines: [] };
}

function contractConditions(lines: readonly SampleLine[], ground: LineGround): MethodCondition[] {
  const source: RuleSource = { text: ground.contract ?? "the contract", standing: "contract" };
  const conditions: MethodCondition[] = [];
  const readings = lines.reduce((sum, line) => sum + line.levelsMm.length, 0);
  conditions.push(
    ground.leastReadings === undefined
      ? {
          condition: "readings-in-all",
          standing: "not-known",
          source,
          reason: `the method asks for a number of readings by area, which the contract does not state; ${countText(readings)} were taken`,
          lines: [],
        }
      : {
          condition: "readings-in-all",
          standing: readings >= ground.leastReadings ? "holds" : "fails",
          source,
          reason: `at least ${countText(ground.leastReadings)} readings; ${countText(readings)} were taken`,
          lines: [],
        },
  );
  if (ground.withinDays !== undefined) {
    const wanted = `read within ${countText(ground.withinDays)} days of the pour`;
    const { poured } = ground;
    const late = lines.map((line) => {
      const read = line.date ?? ground.read;
      return { id: line.id, days: poured === undefined || read === undefined ? undefined : daysBetween(poured, read) };
    });
    const open = late.some(({ days }) => days === undefined);
    const failing = late.filter(({ days }) => days !== undefined && days > ground.withinDays!);
    conditions.push({
      condition: "time-since-pour",
      standing: failing.length > 0 ? "fails" : open ? "not-known" : "holds",
      source,
      reason:
        failing.length > 0
          ? `${wanted}: ${failing.map(({ id, days }) => `line ${id} after ${countText(days!)} days`).join("; ")}`
          : open
            ? `${wanted}: the dates are not recorded`
            : wanted,
      lines: failing.map(({ id }) => id),
    });
  }
  return conditions;
}

/** From first to last reading. */
export const lengthOf = (line: SampleLine): Metres => (line.levelsMm.length - 1) * line.spacing;

const least = (values: readonly number[]): number => Math.min(Number.POSITIVE_INFINITY, ...values);
const middleOf = ([a, b]: Segment): Point => ({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 });
const crosses = ([a, b]: Segment, [c, d]: Segment): boolean => crossingOf(a, b, c, d) !== undefined;

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

function distanceBetween(one: Segment, other: Segment): Metres {
  if (crosses(one, other)) return 0;
  return least([
    distanceToSegment(one[0], ...other),
    distanceToSegment(one[1], ...other),
    distanceToSegment(other[0], ...one),
    distanceToSegment(other[1], ...one),
  ]);
}

/** Distance of two lines that run side by side over some of their length; undefined where they do not. */
function apartSideBySide(one: SampleLine, other: SampleLine): Metres | undefined {
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
