/** Doors as the pour sees them: the edge of the floor in each, and what lies beyond. */
import type { Diagnostic } from "../diagnostics.ts";
import { planLength } from "../format.ts";
import { distance, type Point, point } from "../geometry/point.ts";
import { nearestOnRing, nearestOnSegment, ON_LINE_M, polygonContains } from "../geometry/polygon.ts";
import type { Door, Job } from "../job/model.ts";
import type { Plan, RoomFloor } from "../layout/model.ts";
import type { Metres } from "../units.ts";
import { edgesOf, middleOf, sharedStretches } from "./borders.ts";
import type { Segment } from "./model.ts";

/** A gap in the walls that people, barrels and hoses go through. */
export interface Opening {
  readonly id: string;
  readonly roomIndex: number;
  /** Where the room's floor ends in it. */
  readonly edge: Segment;
  readonly beyond:
    | { readonly kind: "out"; readonly exit: boolean }
    /** `touching`: the two floors meet there, and material runs from one into the other. */
    | { readonly kind: "room"; readonly roomIndex: number; readonly edge: Segment; readonly touching: boolean };
  readonly kind: "door" | "open-edge";
}

/** Two floors farther apart than this are not joined by a door: thicker than walls are. */
const THICKEST_WALL_M: Metres = 1.2;
/** Floors within this of each other touch: a millimetre, the finest mark of a tape. */
const TOUCHING_M = 1e-3;
/** A place to step off must lie within this of the floor's edge. */
const AT_EDGE_M: Metres = 0.3;
/** Width kept open at such a place: a door's. */
const STEP_OFF_WIDTH_M: Metres = 0.9;

/** All openings of the plan, and what is wrong with them. */
export function openingsOf(
  job: Job,
  plan: Plan,
): { openings: Opening[]; problems: Diagnostic[]; warnings: Diagnostic[] } {
  const problems: Diagnostic[] = [];
  const warnings: Diagnostic[] = [];
  const doors = plan.floors.flatMap((floor, roomIndex) => floor.doors.map((door) => ({ door, floor, roomIndex })));
  const named = doors.some(({ door }) => door.entrance && !door.joinsRoom) || (job.pour.exits ?? []).length > 0;
  const openings = doors.flatMap(({ door, floor, roomIndex }): Opening[] => {
    const edge = floorEdge(door);
    const common = { id: door.id, roomIndex, edge, kind: "door" as const };
    const place = job.source.place(["rooms", roomIndex, "doors", floor.doors.indexOf(door)]);
    if (sharedStretches(edgesOf(floor.polygon), [edge]).length === 0) {
      warnings.push({
        code: "door-blocked",
        severity: "warning",
        message: `no floor of room ${floor.roomId} reaches door ${door.id}: nobody can be planned through it`,
        expected: "a door that a column or shaft leaves open",
        place,
      });
      return [];
    }
    if (!door.joinsRoom) return [{ ...common, beyond: { kind: "out", exit: door.entrance || !named } }];
    const other = plan.floors.findIndex(({ roomId }) => roomId === door.joins);
    const far = plan.floors[other];
    const across = far && edgeAcross(far, edge);
    if (!across) {
      warnings.push({
        code: "door-joins-nothing",
        severity: "warning",
        message: `door ${door.id} joins room ${door.joins}, but that room's floor is nowhere near it`,
        expected: `a wall of room ${door.joins} beside the door`,
        hint: "check where the room starts, or what the door joins",
        place,
      });
      return [{ ...common, beyond: { kind: "out", exit: false } }];
    }
    return [{ ...common, beyond: { kind: "room", roomIndex: other, ...across } }];
  });
  for (const [k, { id, at }] of (job.pour.exits ?? []).entries()) {
    const step = stepOff(plan, at);
    if (step) openings.push({ id, ...step, beyond: { kind: "out", exit: true }, kind: "open-edge" });
    else {
      problems.push({
        code: "exit-off-the-floor",
        severity: "error",
        message: `the way out ${id} lies ${awayFrom(plan, at, job)}`,
        expected: `a place within ${planLength(AT_EDGE_M, job.units.plan).large.text} of the floor's edge`,
        hint: "give the place on the edge where the crew steps off, from the job's start, east then north",
        place: job.source.place(["pour", "exits", k]),
      });
    }
  }
  return { openings, problems, warnings };
}

/** Where the floor ends in a door: on the far face of its doorway, or between its jambs. */
function floorEdge({ doorway, jambs }: Door): Segment {
  const [first, second] = jambs;
  const far = doorway?.filter((p) => distance(p, first) > ON_LINE_M && distance(p, second) > ON_LINE_M) ?? [];
  const from = far[0];
  const to = far[far.length - 1];
  return from && to && from !== to ? { from, to } : { from: first, to: second };
}

/** The stretch of the other room's wall that stands across from a door. */
function edgeAcross(far: RoomFloor, edge: Segment): { edge: Segment; touching: boolean } | undefined {
  const outline = far.polygon.outline;
  const found = nearestOnRing(middleOf(edge), outline);
  if (found.distance > THICKEST_WALL_M) return undefined;
  // A shaft can stand before the middle of a door, and its rim lie nearer than the floor beside it.
  if (found.distance <= TOUCHING_M || sharedStretches(edgesOf(far.polygon), [edge]).length > 0)
    return { edge, touching: true };
  const [a, b] = [outline[found.edge]!, outline[(found.edge + 1) % outline.length]!];
  const across = { from: nearestOnSegment(edge.from, a, b), to: nearestOnSegment(edge.to, a, b) };
  return distance(across.from, across.to) > TOUCHING_M ? { edge: across, touching: false } : undefined;
}

function stepOff(plan: Plan, at: Point): { roomIndex: number; edge: Segment } | undefined {
  let best: { roomIndex: number; edge: Segment; away: Metres } | undefined;
  for (const [roomIndex, { polygon }] of plan.floors.entries()) {
    const found = nearestOnRing(at, polygon.outline);
    if (found.distance > AT_EDGE_M || (best && best.away <= found.distance)) continue;
    const [a, b] = [polygon.outline[found.edge]!, polygon.outline[(found.edge + 1) % polygon.outline.length]!];
    const length = distance(a, b);
    const half = Math.min(STEP_OFF_WIDTH_M, length) / 2;
    const middle = Math.min(length - half, Math.max(half, distance(a, found.at)));
    const on = (along: Metres): Point =>
      point(a.x + ((b.x - a.x) * along) / length, a.y + ((b.y - a.y) * along) / length);
    best = { roomIndex, edge: { from: on(middle - half), to: on(middle + half) }, away: found.distance };
  }
  return best && { roomIndex: best.roomIndex, edge: best.edge };
}

function awayFrom(plan: Plan, at: Point, job: Job): string {
  const inside = plan.floors.find(({ polygon }) => polygonContains(polygon, at));
  const away = Math.min(...plan.floors.map(({ polygon }) => nearestOnRing(at, polygon.outline).distance));
  const far = planLength(away, job.units.plan).large.text;
  return inside ? `inside room ${inside.roomId}, ${far} from its edge` : `outside the floor, ${far} from its edge`;
}

/** The way out of rooms from which no door leads out: the middle of the longest wall, until the office says better. */
export function assumedExit(plan: Plan, roomIndex: number): Opening {
  const outline = plan.floors[roomIndex]!.polygon.outline;
  let longest = 0;
  for (const [k, a] of outline.entries()) {
    const lengthOfEdge = (j: number) => distance(outline[j]!, outline[(j + 1) % outline.length]!);
    if (distance(a, outline[(k + 1) % outline.length]!) > lengthOfEdge(longest) + ON_LINE_M) longest = k;
  }
  const step = stepOff(plan, middleOf({ from: outline[longest]!, to: outline[(longest + 1) % outline.length]! }));
  return {
    id: plan.floors[roomIndex]!.roomId,
    roomIndex,
    edge: (step as { edge: Segment }).edge,
    beyond: { kind: "out", exit: true },
    kind: "open-edge",
  };
}
