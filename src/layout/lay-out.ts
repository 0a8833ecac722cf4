/** Rooms → plan: floors, grid, points and pins, and how each is found on the floor with a tape. */
import { type Diagnostic, type Outcome, ready, refused } from "../diagnostics.ts";
import { area, planLength } from "../format.ts";
import { boundsOf, polygonArea } from "../geometry/polygon.ts";
import { rowLetters } from "../job/grid-names.ts";
import type { Job, Room } from "../job/model.ts";
import { LIMITS } from "../job/schema-limits.ts";
import { type Metres, squareMetres } from "../units.ts";
import { checkReadings } from "./check-readings.ts";
import {
  type FloorFinder,
  floorFinder,
  type GridSize,
  gridPlace,
  gridPointId,
  gridSize,
  TAPED_WITHIN_M,
} from "./grid.ts";
import { lineOffset, lineStretches } from "./line-offsets.ts";
import type { GridLine, LineOffset, LineStretch, Plan, PlanPin, PlanPoint, RoomFloor } from "./model.ts";
import { pinOffsets } from "./pin-offsets.ts";
import { addBetweenPins, addDoorPins, type PinIndex, pinIndex, stepsBetween } from "./pins.ts";
import { roomFloors } from "./room-floor.ts";

/** More crossings than this are a slip in the spacing, not a floor: four times the readings that a job may have. */
const MOST_GRID_CROSSINGS = 4_000_000;

/** A strip without points is no wider than this on any floor that is read closely: an arm's length (common practice). */
const NARROW_STRIP_M: Metres = 1;

/**
 * The plan of a job: floors (outlines with doorways, less columns), the grid from A1 at its origin
 * to the northern and eastern end of the rooms, the points to be read, the pins, and their offsets from
 * named walls. Coordinates and offsets are metres.
 *
 * Refuses a room that its columns cut apart, a grid that misses the rooms, extra points off every
 * floor or under a name that is taken, and readings that belong to no point, each at its line.
 */
export function layOut(job: Job): Outcome<Plan> {
  const { floors, problems } = roomFloors(job);
  if (problems.length > 0) return refused(problems);
  const { grid } = job.survey;
  const size = gridSize(grid, floors);
  const gridProblem = checkGrid(job, size);
  if (gridProblem) return refused([gridProblem]);

  const finder = floorFinder(floors);
  const warnings: Diagnostic[] = [];
  const pins = pinIndex();
  addGridPins(job, size, finder, pins);
  const extraProblems = addExtraPins(job, finder, pins);
  warnings.push(...addPinsAtDoors(job, finder, pins));
  const tooMany = checkPins(job, floors, pins.all().length);
  if (tooMany) return refused([tooMany]);
  const points = pins
    .all()
    .flatMap(({ id, at, roomIndex, kind }): PlanPoint[] => (kind === "between" ? [] : [{ id, at, roomIndex, kind }]));
  warnings.push(...addPinsBetween(job, size, finder, pins));
  const tooManyBetween = checkPins(job, floors, pins.all().length);
  if (tooManyBetween) return refused([tooManyBetween]);

  const refusals = [...extraProblems, ...checkReadings(job, floors, points, size, finder)];
  if (refusals.length > 0) return refused(refusals);

  const gridLines = layGridLines(job, size);
  const plan: Plan = { floors, gridLines, points, pins: withOffsets(job, gridLines, pins.all()) };
  return ready(plan, [...warnings, ...unreadStrips(job, floors, points)]);
}

function checkGrid(job: Job, size: GridSize): Diagnostic | undefined {
  const { grid } = job.survey;
  if (size.lettered === 0 || size.numbered === 0) {
    return {
      code: "grid-misses-rooms",
      severity: "error",
      message: `the grid starts ${size.lettered === 0 ? "north" : "east"} of every room: its lines count northward and eastward from A1 at the origin`,
      expected: "an origin in the south-west of the rooms",
      hint: "put the origin where the crew wrote A1",
      place: job.source.place(["survey", "grid", "origin"]),
    };
  }
  if (size.lettered * size.numbered > MOST_GRID_CROSSINGS) {
    return {
      code: "grid-too-fine",
      severity: "error",
      message: `a spacing of ${planLength(Math.min(grid.spacingEast, grid.spacingNorth), job.units.plan).large.text} gives ${size.lettered} × ${size.numbered} grid lines`,
      expected: `no more than ${MOST_GRID_CROSSINGS} crossings`,
      hint: "check the unit of the grid's spacing",
      place: job.source.place(["survey", "grid", "spacing"]),
    };
  }
  return undefined;
}

/** A length in the wrong unit makes a floor that no crew pours: its maps would take hours, and all of the memory. */
function checkPins(job: Job, floors: readonly RoomFloor[], count: number): Diagnostic | undefined {
  if (count <= LIMITS.pins) return undefined;
  const areas = floors.map(({ polygon }) => polygonArea(polygon));
  const largest = areas.indexOf(Math.max(...areas));
  const { large, small } = area(squareMetres(areas[largest] ?? 0), job.units.plan);
  return {
    code: "too-many-pins",
    severity: "error",
    message: `the floor takes ${count} height pins; its largest room, ${job.rooms[largest]?.id}, has ${large.text} (${small.text})`,
    expected: `no more than ${LIMITS.pins} pins in one job`,
    hint: "check the units of the room's walls or corners; part a larger floor into jobs",
    place: job.source.place(["rooms", largest]),
  };
}

function addGridPins(job: Job, size: GridSize, finder: FloorFinder, pins: PinIndex): void {
  for (let letter = 0; letter < size.lettered; letter++) {
    for (let number = 0; number < size.numbered; number++) {
      const place = finder.onOrAt(gridPlace(job.survey.grid, letter, number));
      if (place) pins.add({ id: gridPointId(letter, number), ...place, kind: "grid" });
    }
  }
}

function addExtraPins(job: Job, finder: FloorFinder, pins: PinIndex): Diagnostic[] {
  const problems: Diagnostic[] = [];
  const taken = new Set(pins.all().map(({ id }) => id));
  for (const [index, { id, at, place: inFile }] of job.survey.extraPoints.entries()) {
    const source = inFile ?? job.source.place(["survey", "points", index]);
    if (taken.has(id)) {
      problems.push({
        code: "point-name-taken",
        severity: "error",
        message: `extra point ${id} has the name of another point`,
        hint: "give it a name that is not a grid point's, such as P1",
        place: source,
      });
      continue;
    }
    taken.add(id);
    const place = finder.onOrAt(at);
    if (place) {
      pins.add({ id, ...place, kind: "extra" });
      continue;
    }
    const nearest = finder.nearest(at);
    problems.push({
      code: "point-outside-rooms",
      severity: "error",
      message: `extra point ${id} lies on no floor: it is ${planLength(nearest.distance, job.units.plan).large.text} off room ${(job.rooms[nearest.roomIndex] as Room).id}`,
      expected: "a place inside a room and outside its columns",
      ...(inFile === undefined
        ? {}
        : { hint: "Put a # in front of the row where it is no point of the floor, such as a station or a target." }),
      place: source,
    });
  }
  return problems;
}

function addPinsAtDoors(job: Job, finder: FloorFinder, pins: PinIndex): Diagnostic[] {
  const warnings: Diagnostic[] = [];
  for (const [roomIndex, room] of job.rooms.entries()) {
    for (const [doorIndex, door] of room.doors.entries()) {
      const blocked = addDoorPins(door, roomIndex, job.material.pinSpacingAtDoors, finder, pins);
      if (blocked === 0) continue;
      warnings.push({
        code: "door-pin-blocked",
        severity: "warning",
        message: `${blocked} of the pins along door ${door.id} would stand in a column or outside room ${room.id} and are left out`,
        hint: "check the door's place, and set a pin by eye where the floor needs one",
        place: job.source.place(["rooms", roomIndex, "doors", doorIndex]),
      });
    }
  }
  return warnings;
}

function addPinsBetween(job: Job, size: GridSize, finder: FloorFinder, pins: PinIndex): Diagnostic[] {
  const { grid } = job.survey;
  const { material } = job;
  const widest: Metres = Math.max(grid.spacingEast, grid.spacingNorth);
  if (stepsBetween(widest, material.pinSpacing) === 1) return [];
  const added = addBetweenPins(grid, size, material, finder, pins);
  if (added === 0) return [];
  const spacing = planLength(widest, job.units.plan).large.text;
  const wanted = planLength(material.pinSpacing, job.units.plan).large.text;
  return [
    {
      code: "grid-wider-than-pins",
      severity: "warning",
      message: `the grid is ${spacing} wide, but ${material.name} wants a pin every ${wanted}: ${added} pins are added between grid points, where nothing was read`,
      expected: `a grid no wider than ${wanted}`,
      hint: "read the floor on a closer grid, or check each of these pins with the level on the day",
      place: job.source.place(["survey", "grid", "spacing"]),
    },
  ];
}

function layGridLines(job: Job, size: GridSize): GridLine[] {
  const { grid } = job.survey;
  const line = (name: string, axis: GridLine["axis"], at: Metres): GridLine => {
    const offsets: LineOffset[] = [];
    const unsquared: LineStretch[] = [];
    for (const [roomIndex, room] of job.rooms.entries()) {
      for (const stretch of lineStretches(axis, at, roomIndex, room.outline)) {
        const offset = lineOffset(axis, stretch, room.outline, room.walls);
        if (offset) offsets.push(offset);
        else unsquared.push(stretch);
      }
    }
    return { name, axis, at, offsets, unsquared };
  };
  return [
    ...Array.from({ length: size.lettered }, (_, k) =>
      line(rowLetters(k), "lettered", grid.origin.y + k * grid.spacingNorth),
    ),
    ...Array.from({ length: size.numbered }, (_, k) =>
      line(String(k + 1), "numbered", grid.origin.x + k * grid.spacingEast),
    ),
  ];
}

/** Grid pins are found by their two lines where both are snapped there; every other pin gets two offsets of its own. */
function withOffsets(job: Job, gridLines: readonly GridLine[], pins: readonly PlanPin[]): PlanPin[] {
  const lines = new Map(gridLines.map((line) => [line.name, line]));
  return pins.map((pin) => {
    if (pin.kind === "grid") {
      const [, letters, number] = /^([A-Z]+)(\d+)$/.exec(pin.id) as unknown as [string, string, string];
      if ([letters, number].every((name) => isSnappedAt(lines.get(name) as GridLine, pin))) return pin;
    }
    return { ...pin, offsets: pinOffsets(pin.id, pin.at, pin.roomIndex, job.rooms[pin.roomIndex] as Room) };
  });
}

function isSnappedAt(line: GridLine, pin: PlanPin): boolean {
  const along = line.axis === "lettered" ? pin.at.x : pin.at.y;
  return line.offsets.some(({ roomIndex, ends: [from, to] }) => {
    const [low, high] = line.axis === "lettered" ? [from.x, to.x] : [from.y, to.y];
    return roomIndex === pin.roomIndex && along >= low - TAPED_WITHIN_M && along <= high + TAPED_WITHIN_M;
  });
}

/** Rooms without a point, and strips wider than the grid's spacing to the south or west of the first line. */
function unreadStrips(job: Job, floors: readonly RoomFloor[], points: readonly PlanPoint[]): Diagnostic[] {
  const { grid } = job.survey;
  const place = job.source.place(["survey", "grid", "origin"]);
  const warnings: Diagnostic[] = [];
  for (const [roomIndex, floor] of floors.entries()) {
    if (!points.some((candidate) => candidate.roomIndex === roomIndex && candidate.kind !== "door")) {
      warnings.push({
        code: "room-without-points",
        severity: "warning",
        message: `no grid point or extra point lies in room ${floor.roomId}: its floor would be guessed from its neighbours`,
        hint: "move the grid's origin, or give the room extra points",
        place: job.source.place(["rooms", roomIndex]),
      });
    }
  }
  const bounds = boundsOf(floors.flatMap(({ polygon }) => polygon.outline));
  const strips = [
    { side: "south", line: "A", width: grid.origin.y - bounds.minY, spacing: grid.spacingNorth },
    { side: "west", line: "1", width: grid.origin.x - bounds.minX, spacing: grid.spacingEast },
  ];
  for (const { side, line, width, spacing } of strips) {
    if (width <= Math.max(spacing, NARROW_STRIP_M) + TAPED_WITHIN_M) continue;
    warnings.push({
      code: "wide-strip-without-points",
      severity: "warning",
      message: `the rooms reach ${planLength(width, job.units.plan).large.text} to the ${side} of line ${line}, farther than the grid's spacing: nothing is read there`,
      expected: `line ${line} within ${planLength(spacing, job.units.plan).large.text} of the ${side} end of the rooms`,
      hint: `grid lines count from the origin to the north and east only; move the origin to the ${side}`,
      place,
    });
  }
  return warnings;
}
