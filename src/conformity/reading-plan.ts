/** What the contract's rules need read, so that the blank sheet asks for it before the floor is covered. */
import { distance, type Point, type Polygon, point } from "../geometry/point.ts";
import { boundsOf, differenceOf, offsetRing, polygonArea, polygonContains } from "../geometry/polygon.ts";
import type { FloorLine, PlanUnit } from "../job/model.ts";
import type { Plan, RoomFloor } from "../layout/model.ts";
import type { Metres } from "../units.ts";
import { INCH_METHOD, METRIC_METHOD } from "./f-numbers.ts";
import { LEAST_APART_M, LEAST_FROM_EDGE_M, LEAST_LINE_M } from "./line-conditions.ts";
import type { PartVerdict, PlannedLine, ReadingPlan, Remark, Rule, RulePart } from "./model.ts";
import { FEWEST_READINGS_UNDER_EDGE } from "./straightedge.ts";

/**
 * A square grid puts five readings under an edge wherever and however it is laid where five
 * diagonals of a cell fit into the edge.
 */
const CELL_DIAGONALS = FEWEST_READINGS_UNDER_EDGE * Math.SQRT2;
/** A finer grid than this is not read by hand: a crew lays the edge itself (common practice). */
const FINEST_GRID_M = 0.25;
/** One laying of the edge for every 20 m², and at least five (a test house's recommendation for a 2 m edge). */
const FLOOR_PER_LAYING_M2 = 20;
const FEWEST_LAYINGS = 5;
/** Sample lines this far apart where the contract asks for no number of readings: 3 m (common practice). */
const USUAL_LINE_SPACING_M = 3;
/** Grid for DIN 18202: 1 m (common practice of test houses). */
const DIN_GRID_M = 1;

/** One plan for every part of every rule; `verdicts` say whether the readings at hand decided it. */
export function readingPlans(
  plan: Plan,
  rules: readonly { readonly rule: Rule; readonly parts: readonly PartVerdict[] }[],
  leastReadings: number | undefined,
  planUnit: PlanUnit,
  joints: readonly FloorLine[],
): ReadingPlan[] {
  return rules.flatMap(({ rule, parts }) =>
    parts.map(({ part, result, findings }): ReadingPlan => {
      const decided = findings.map((finding) => finding.decided ?? 0);
      const shared = { ruleId: rule.id, part, enough: result !== "not-decidable" };
      const partly = Math.max(0, ...decided);
      const remarks = shared.enough && partly > 0 && partly < 1 ? [{ kind: "decides-in-part" as const }] : [];
      return { ...shared, ...needsOf(plan, part, leastReadings, planUnit, joints, remarks) };
    }),
  );
}

function needsOf(
  plan: Plan,
  part: RulePart,
  leastReadings: number | undefined,
  planUnit: PlanUnit,
  joints: readonly FloorLine[],
  remarks: readonly Remark[],
): Pick<ReadingPlan, "needs" | "remarks"> {
  switch (part.kind) {
    case "level":
      return { needs: { kind: "points-of-the-plan", points: plan.points.length }, remarks };
    case "f-number": {
      const lines = sampleLines(plan.floors, leastReadings, planUnit, joints);
      const readings = lines.reduce((sum, line) => sum + line.readings, 0);
      const rooms = plan.floors
        .map((_, index) => index)
        .filter((index) => !lines.some((line) => line.roomIndex === index));
      return {
        needs: { kind: "lines", lines, readings },
        remarks: [
          ...remarks,
          ...rooms.map(
            (roomIndex): Remark => ({
              kind: "method-does-not-reach",
              roomIndex,
              line: LEAST_LINE_M,
              edge: LEAST_FROM_EDGE_M,
            }),
          ),
          ...(leastReadings !== undefined && readings < leastReadings
            ? [{ kind: "fewer-than-asked" as const, readings, asked: leastReadings, apart: LEAST_APART_M }]
            : []),
        ],
      };
    }
    case "din-18202": {
      const spacing = planUnit === "m" ? DIN_GRID_M : 3 * INCH_METHOD.spacing;
      return { needs: { kind: "grid", spacing, points: gridPoints(plan.floors, spacing) }, remarks };
    }
    case "straightedge": {
      const spacing = spacingFor(part.edge, planUnit);
      const area = plan.floors.reduce((sum, { polygon }) => sum + polygonArea(polygon), 0);
      const layings = Math.max(FEWEST_LAYINGS, Math.ceil(area / FLOOR_PER_LAYING_M2));
      if (spacing < FINEST_GRID_M) {
        const gridPointCount = Math.ceil(area / spacing ** 2);
        return {
          needs: { kind: "edge-by-hand", places: layings, gridPoints: gridPointCount },
          remarks: [...remarks, { kind: "grid-too-fine-by-hand", spacing }],
        };
      }
      return {
        needs: { kind: "grid", spacing, points: gridPoints(plan.floors, spacing), layings },
        remarks: [...remarks, { kind: "grid-puts-five", spacing, edge: part.edge }],
      };
    }
  }
}

/** The widest whole spacing that puts five readings under an edge in any direction. */
function spacingFor(edge: Metres, planUnit: PlanUnit): Metres {
  const widest = edge / CELL_DIAGONALS;
  const inch = INCH_METHOD.spacing / 12;
  const [coarse, fine] = planUnit === "m" ? [0.05, 0.005] : [2 * inch, inch / 4];
  const mark = widest >= 4 * coarse ? coarse : fine;
  return Math.floor(widest / mark + 1e-9) * mark;
}

/** A square grid over each floor, its margins even. */
function gridPoints(floors: readonly RoomFloor[], spacing: Metres): Point[] {
  return floors.flatMap(({ polygon }) => {
    const { minX, minY, maxX, maxY } = boundsOf(polygon.outline);
    const xs = evenly(minX, maxX, spacing);
    return evenly(minY, maxY, spacing).flatMap((y) =>
      xs.map((x) => point(x, y)).filter((p) => polygonContains(polygon, p)),
    );
  });
}

function evenly(from: number, to: number, spacing: number): number[] {
  const steps = Math.floor((to - from) / spacing + 1e-9);
  const margin = (to - from - steps * spacing) / 2;
  return Array.from({ length: steps + 1 }, (_, k) => from + margin + k * spacing);
}

/** Sample lines both ways through every room, clear of its edges and of joints, as many as the contract's number of readings asks for. */
function sampleLines(
  floors: readonly RoomFloor[],
  leastReadings: number | undefined,
  planUnit: PlanUnit,
  joints: readonly FloorLine[],
): PlannedLine[] {
  const { spacing } = planUnit === "m" ? METRIC_METHOD : INCH_METHOD;
  const lay = (apart: number): PlannedLine[] =>
    floors.flatMap((floor, roomIndex) => linesOfRoom(floor, roomIndex, apart, spacing, joints));
  let lines = lay(USUAL_LINE_SPACING_M);
  for (let apart = USUAL_LINE_SPACING_M; leastReadings !== undefined && apart > LEAST_APART_M; ) {
    if (lines.reduce((sum, line) => sum + line.readings, 0) >= leastReadings) break;
    apart = Math.max(LEAST_APART_M, apart - 0.3);
    lines = lay(apart);
  }
  return lines.map((line, k) => ({ ...line, id: `L${k + 1}` }));
}

function linesOfRoom(
  floor: RoomFloor,
  roomIndex: number,
  apart: number,
  spacing: Metres,
  joints: readonly FloorLine[],
): PlannedLine[] {
  return clearOfEdges(floor.polygon, joints).flatMap((clear) => {
    const { minX, minY, maxX, maxY } = boundsOf(clear.outline);
    const west = middles(minY, maxY, apart).flatMap((y) =>
      stretches(clear, y, false).map(([a, b]) => ({ ends: [point(a, y), point(b, y)] as const, length: b - a })),
    );
    const south = middles(minX, maxX, apart).flatMap((x) =>
      stretches(clear, x, true).map(([a, b]) => ({ ends: [point(x, a), point(x, b)] as const, length: b - a })),
    );
    return [...west, ...south].flatMap(({ ends: [a, b], length }): PlannedLine[] => {
      const readings = Math.floor(length / spacing + 1e-9) + 1;
      const used = (readings - 1) * spacing;
      if (used < LEAST_LINE_M - 1e-9) return [];
      const margin = (length - used) / 2 / length;
      const at = (share: number): Point => point(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y));
      return [{ id: "", roomIndex, ends: [at(margin), at(1 - margin)], spacing, readings }];
    });
  });
}

/** The part of the floor that keeps the method's distance from every edge and every joint. */
function clearOfEdges(polygon: Polygon, joints: readonly FloorLine[]): Polygon[] {
  const inner = offsetRing(polygon.outline, -LEAST_FROM_EDGE_M as Metres);
  const kept = [
    ...polygon.holes.flatMap((hole) => offsetRing(hole, LEAST_FROM_EDGE_M)),
    ...joints.map(({ from, to }): Polygon => ({ outline: about(from, to, LEAST_FROM_EDGE_M), holes: [] })),
  ];
  return kept.length === 0 ? inner : differenceOf(inner, kept);
}

/** A rectangle about a segment, this far from it to all four sides; counter-clockwise. */
function about(from: Point, to: Point, far: Metres): readonly Point[] {
  const length = distance(from, to);
  const [ux, uy] = [(far * (to.x - from.x)) / length, (far * (to.y - from.y)) / length];
  return [
    point(from.x - ux + uy, from.y - uy - ux),
    point(to.x + ux + uy, to.y + uy - ux),
    point(to.x + ux - uy, to.y + uy + ux),
    point(from.x - ux - uy, from.y - uy + ux),
  ];
}

/** So many even strips as fit at this distance, at least one: the middle of each. */
function middles(from: number, to: number, apart: number): number[] {
  const strips = Math.max(1, Math.floor((to - from) / apart + 1e-9));
  return Array.from({ length: strips }, (_, k) => from + ((k + 0.5) * (to - from)) / strips);
}

/** Where a line y = at (x = at where turned) runs inside a polygon: pairs of crossings by even-odd count. */
function stretches(polygon: Polygon, at: number, turned: boolean): (readonly [number, number])[] {
  const crossings: number[] = [];
  for (const ring of [polygon.outline, ...polygon.holes]) {
    ring.forEach((p, k) => {
      const q = ring[(k + 1) % ring.length]!;
      const [px, py, qx, qy] = turned ? [p.y, p.x, q.y, q.x] : [p.x, p.y, q.x, q.y];
      if (py > at !== qy > at) crossings.push(px + ((at - py) / (qy - py)) * (qx - px));
    });
  }
  crossings.sort((a, b) => a - b);
  return crossings.flatMap((from, k) => (k % 2 === 0 ? [[from, crossings[k + 1]!] as const] : []));
}
