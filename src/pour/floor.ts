/** What stays the same whatever crew is tried: the floor in pieces, its openings, ways and sections. */
import type { Depths } from "../depths/model.ts";
import type { Diagnostic } from "../diagnostics.ts";
import { lengthsBetween, type WalkableFloor } from "../geometry/paths.ts";
import { distance, type Point } from "../geometry/point.ts";
import { polygonContains } from "../geometry/polygon.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Quantities } from "../quantities/model.ts";
import type { Metres } from "../units.ts";
import { cellMeasures } from "./cells.ts";
import { type FillPiece, piecesToPour } from "./fill.ts";
import type { PlannedDam } from "./model.ts";
import { assumedExit, type Opening, openingsOf } from "./openings.ts";
import { orderSections } from "./order-sections.ts";
import { type PartingLine, type Portal, partingLines, portalsOf, type Section, sectionsOf } from "./sections.ts";
import { type Distances, distancesOut, portalPlace, walkingFloor } from "./walking.ts";

export interface PourFloor {
  readonly job: Job;
  readonly plan: Plan;
  readonly depths: Depths;
  readonly quantities: Quantities;
  readonly openings: readonly Opening[];
  readonly walkable: WalkableFloor;
  /** Of each lift, room by room. */
  readonly pieces: readonly (readonly (readonly FillPiece[])[])[];
}

/** The floor parted by joints and dams. */
export interface PartedFloor {
  readonly floor: PourFloor;
  readonly lines: readonly PartingLine[];
  /** Of each lift; the same sections each time, with what that lift puts on them. */
  readonly sections: readonly (readonly Section[])[];
  readonly portals: readonly Portal[];
  readonly distances: Distances;
  /** Indices of sections in the order in which they are poured. */
  readonly order: readonly number[];
  readonly station: StationChoice;
  /** Of each portal, on foot from the station. */
  readonly fromStation: Float64Array;
}

export interface StationChoice {
  readonly at: Point;
  readonly placed: "by-job" | "by-plan";
  readonly exitId: string;
  /** The room that it stands in; absent where it stands outside. */
  readonly roomIndex?: number;
}

export function pourFloor(
  job: Job,
  plan: Plan,
  depths: Depths,
  quantities: Quantities,
): { floor: PourFloor; problems: Diagnostic[]; warnings: Diagnostic[] } {
  const { openings, problems, warnings } = openingsOf(job, plan);
  const withExits = [...openings];
  for (const roomIndex of shutIn(plan, openings)) {
    const exit = assumedExit(plan, roomIndex);
    withExits.push(exit);
    const { roomId } = plan.floors[roomIndex]!;
    warnings.push({
      code: "no-way-out",
      severity: "warning",
      message: `no door leads out of room ${roomId}: the pour is planned as if the crew could step off at the middle of its longest wall`,
      expected: "a door with entrance: true in a room from which the others are reached, or a place under exits",
      place: job.source.place(["rooms", roomIndex]),
    });
  }
  const pieces = piecesToPour(depths, quantities.lifts, job.pour.profileAllowance, plan.floors.length);
  const floor = { job, plan, depths, quantities, openings: withExits, walkable: walkingFloor(plan, withExits), pieces };
  return { floor, problems, warnings };
}

/** The first room of every group of joined rooms from which nothing leads out. */
function shutIn(plan: Plan, openings: readonly Opening[]): number[] {
  const group = plan.floors.map((_, k) => k);
  const find = (k: number): number => (group[k] === k ? k : find(group[k]!));
  for (const { roomIndex, beyond } of openings)
    if (beyond.kind === "room") {
      const [p, q] = [find(roomIndex), find(beyond.roomIndex)];
      group[Math.max(p, q)] = Math.min(p, q);
    }
  const haveExit = new Set(
    openings.flatMap(({ roomIndex, beyond }) => (beyond.kind === "out" && beyond.exit ? [find(roomIndex)] : [])),
  );
  return plan.floors.flatMap((_, k) => (find(k) === k && !haveExit.has(k) ? [k] : []));
}

/** Parts the floor along its joints and dams, those of the job and those that are tried. */
export function partFloor(floor: PourFloor, extra: readonly PlannedDam[]): PartedFloor {
  const lines = partingLines(floor.job, extra);
  const sections = floor.pieces.map((pieces) => sectionsOf(floor.plan, pieces, lines));
  const first = sections[0]!;
  const portals = portalsOf(first, floor.openings, lines);
  const distances = distancesOut(floor.walkable, first, portals);
  const station = placeStation(floor, sections, portals, distances);
  return {
    floor,
    lines,
    sections,
    portals,
    distances,
    order: orderSections(first, portals, distances),
    station,
    fromStation: wayFromStation(floor, portals, station),
  };
}

/** Where the office has it, else at the way out from which the least is carried the shortest way. */
function placeStation(
  { job, plan, walkable }: PourFloor,
  sections: readonly (readonly Section[])[],
  portals: readonly Portal[],
  distances: Distances,
): StationChoice {
  const exits = exitsOf(portals);
  const { station } = job.pour;
  if (station) {
    const nearest = exits.reduce((best, exit) =>
      distance(exit.at, station) < distance(best.at, station) ? exit : best,
    );
    const roomIndex = plan.floors.findIndex(({ polygon }) => polygonContains(polygon, station));
    return { at: station, placed: "by-job", exitId: nearest.id, ...(roomIndex < 0 ? {} : { roomIndex }) };
  }
  const entries = sections[0]!.flatMap(({ index }) => {
    const entry = distances.entry[index]!;
    const volume = sections.reduce((sum, list) => sum + cellMeasures(list[index]!.cell).volume, 0);
    return entry < 0 ? [] : [{ at: portalPlace(portals[entry]!), volume }];
  });
  const lengths = lengthsBetween(
    walkable,
    exits.map(({ at }) => at),
    entries.map(({ at }) => at),
  );
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (const [e] of exits.entries()) {
    const carried = entries.reduce((sum, { volume }, k) => sum + volume * lengths[e * entries.length + k]!, 0);
    if (carried >= least) continue;
    least = carried;
    best = e;
  }
  const exit = exits[best]!;
  return { at: exit.at, placed: "by-plan", exitId: exit.id };
}

const exitsOf = (portals: readonly Portal[]): { id: string; at: Point }[] =>
  portals.flatMap((portal) =>
    portal.other === undefined && portal.through.kind === "opening"
      ? [{ id: portal.through.opening.id, at: portalPlace(portal) }]
      : [],
  );

/** Outside, one walks straight from the station to a way in; a station on the floor is reached over the floor. */
function wayFromStation({ walkable }: PourFloor, portals: readonly Portal[], station: StationChoice): Float64Array {
  const places = portals.map(portalPlace);
  const inside = station.roomIndex !== undefined;
  const sources = inside ? [station.at] : exitsOf(portals).map(({ at }) => at);
  const lengths = lengthsBetween(walkable, sources, places);
  return Float64Array.from(places, (_, k) =>
    sources.reduce<Metres>(
      (best, source, s) => Math.min(best, distance(station.at, source) + lengths[s * places.length + k]!),
      Number.POSITIVE_INFINITY,
    ),
  );
}
