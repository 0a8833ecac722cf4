/** Levels of points + outlines of rooms → the slab as a triangulated surface over the whole floor, walls included. */
import { type Diagnostic, type Outcome, ready, refused } from "../diagnostics.ts";
import { areaByRegion } from "../geometry/level.ts";
import { type Mesh, triangleOf } from "../geometry/mesh.ts";
import type { Point } from "../geometry/point.ts";
import { convexHull, polygonArea } from "../geometry/polygon.ts";
import { type Triangulation, triangulateFloor } from "../geometry/triangulate.ts";
import type { Plan, PlanPoint } from "../layout/model.ts";
import type { Levels, PointLevel } from "../survey/model.ts";
import type { Metres, Millimetres, Share, SquareMetres } from "../units.ts";
import { beyondHulls, hullsOfReadings } from "./beyond-readings.ts";
import { carryLevels } from "./carry-levels.ts";
import type { Slab } from "./model.ts";
import { isOnALine, type Readings } from "./readings-near.ts";
import { wallPoints } from "./wall-points.ts";

/**
 * The slab's surface: passes through every reading, straight between neighbours (constrained Delaunay), with
 * levels carried to walls, columns, door edges and points that were not read (see carry-levels.ts).
 * Refused with fewer than three readings, with readings all on one line, and where a reading or the floor
 * itself cannot be triangulated; the diagnostic names the point.
 */
export function surfaceOf(plan: Plan, levels: Levels): Outcome<Slab> {
  const problems = tooLittle(levels.points);
  if (problems.length > 0) return refused(problems);
  const polygons = plan.floors.map((floor) => floor.polygon);
  const floorArea = polygons.reduce((sum, polygon) => sum + polygonArea(polygon), 0);
  const spacing = Math.sqrt(floorArea / levels.points.length) as Metres;

  const unread = pointsNotRead(plan.points, levels.points);
  const jambs = plan.floors.flatMap((floor) => floor.doors.flatMap((door) => door.jambs));
  const places: Point[] = levels.points.map((p) => p.at);
  for (const p of unread) places.push(p.at);
  for (const p of jambs) places.push(p);
  for (const polygon of polygons) for (const p of wallPoints(polygon, spacing)) places.push(p);

  const triangulation = triangulateFloor(polygons, places);
  if (triangulation.kind === "failed") return refused([notTriangulated(triangulation, levels.points, plan)]);
  const { mesh, vertexOfPoint } = triangulation;
  const read = readVertices(mesh, vertexOfPoint, levels.points);
  const others = verticesNotRead(mesh, read.wasRead);
  const carried = carryLevels(read.readings, plan.floors.length, spacing, {
    xM: others.vertices.map((v) => mesh.xM[v]!),
    yM: others.vertices.map((v) => mesh.yM[v]!),
    rooms: others.rooms,
  });
  const { levelMm } = read;
  others.vertices.forEach((v, k) => {
    levelMm[v] = carried.levelMm[k]!;
  });

  const area = areaByRegion(mesh, plan.floors.length).reduce((sum, part) => sum + part, 0) as SquareMetres;
  const readHulls = hullsOfReadings(mesh, read.wasRead, plan.floors.length);
  const beyond = beyondHulls(mesh, levelMm, 0 as Millimetres, readHulls);
  const slab: Slab = {
    mesh,
    levelMm,
    wasRead: read.wasRead,
    vertexOfPoint: vertexOfPoint.slice(0, levels.points.length),
    area,
    readHull: convexHull(readHulls.flat()),
    readHulls,
    extrapolatedArea: (beyond.area / area) as Share,
    method: "thin-plate-spline",
    smoothing: carried.smoothing,
    ...(carried.leaveOneOut === undefined ? {} : { leaveOneOutSd: carried.leaveOneOut }),
  };
  return ready(slab, [...read.warnings, ...poorRoomWarnings(plan, carried.poorRooms)]);
}

function pointsNotRead(planned: readonly PlanPoint[], read: readonly PointLevel[]): PlanPoint[] {
  if (planned.length === 0) return [];
  const readIds = new Set(read.map((p) => p.id));
  return planned.filter((p) => !readIds.has(p.id));
}

function tooLittle(points: readonly PointLevel[]): Diagnostic[] {
  const notANumber = points.filter((p) => !Number.isFinite(p.level));
  if (notANumber.length > 0)
    return notANumber.map((p) => ({
      code: "level-not-a-number",
      severity: "error",
      message: `point ${p.id} has no level that is a number`,
      expected: "a level in millimetres",
    }));
  if (points.length < 3)
    return [
      {
        code: "too-few-readings",
        severity: "error",
        message: `${points.length === 0 ? "no point was" : points.length === 1 ? "only point " : "only points "}${points
          .map((p) => p.id)
          .join(" and ")}${points.length === 0 ? "" : points.length === 1 ? " was" : " were"} read`,
        expected: "three points at least, not on one line: two do not tell which way the slab falls",
        hint: "read more points of the grid",
      },
    ];
  if (isOnALine(points.map((p) => p.at)))
    return [
      {
        code: "readings-on-a-line",
        severity: "error",
        message: `all ${points.length} points read, ${points[0]!.id} to ${points[points.length - 1]!.id}, lie on one line`,
        expected: "points on both sides of it: a line does not tell which way the slab falls across it",
        hint: "read a second row of the grid",
      },
    ];
  return [];
}

function notTriangulated(
  { why, at }: Extract<Triangulation, { kind: "failed" }>,
  points: readonly PointLevel[],
  plan: Plan,
): Diagnostic {
  const isAt = (p: Point) => at !== undefined && p.x === at.x && p.y === at.y;
  const reading = points.find((p) => isAt(p.at)) ?? plan.points.find((p) => isAt(p.at));
  if (reading)
    return {
      code: "point-off-the-floor",
      severity: "error",
      message: `point ${reading.id} at (${reading.at.x}, ${reading.at.y}) m does not lie on the floor of any room`,
      expected: "a point inside a room and not inside a column or opening",
      hint: `check the grid origin, the place of ${reading.id} and the walls of the room`,
    };
  return {
    code: "floor-cannot-be-triangulated",
    severity: "error",
    message: `the floor cannot be divided into triangles${at ? ` near (${at.x}, ${at.y}) m` : ""}: ${why}`,
    expected: "rooms whose walls neither cross themselves nor another room's, with columns inside",
    hint: "check the walls, columns and doors there",
  };
}

interface ReadVertices {
  readonly readings: Readings;
  readonly levelMm: Float64Array;
  readonly wasRead: Uint8Array;
  readonly warnings: readonly Diagnostic[];
}

/** Levels at the vertices that were read. Two points at one place share a vertex: it gets their mean, and a warning says so. */
function readVertices(mesh: Mesh, vertexOfPoint: Uint32Array, points: readonly PointLevel[]): ReadVertices {
  const count = mesh.xM.length;
  const levelMm = new Float64Array(count);
  const wasRead = new Uint8Array(count);
  /** Of each vertex the first point there, counted from 1. */
  const firstAt = new Uint32Array(count);
  const shared = new Map<number, number[]>();
  let distinct = 0;
  for (let k = 0; k < points.length; k++) {
    const v = vertexOfPoint[k]!;
    if (firstAt[v] === 0) {
      firstAt[v] = k + 1;
      wasRead[v] = 1;
      levelMm[v] = points[k]!.level;
      distinct++;
      continue;
    }
    const together = shared.get(v) ?? [firstAt[v]! - 1];
    together.push(k);
    shared.set(v, together);
    levelMm[v] = together.reduce((sum, i) => sum + points[i]!.level, 0) / together.length;
  }
  const warnings = [...shared.values()].map((together): Diagnostic => {
    const named = together.map((k) => `${points[k]!.id} (${points[k]!.level} mm)`);
    return {
      code: "points-at-one-place",
      severity: "warning",
      message: `points ${named.join(" and ")} lie at one place; the slab gets the mean of their levels`,
      expected: "one point at a place",
      hint: "take one of them out, or correct its place",
    };
  });
  const readings = {
    xM: new Float64Array(distinct),
    yM: new Float64Array(distinct),
    levelMm: new Float64Array(distinct),
    roomOf: new Uint32Array(distinct),
  };
  let filled = 0;
  for (let k = 0; k < points.length; k++) {
    const v = vertexOfPoint[k]!;
    if (firstAt[v] !== k + 1) continue;
    readings.xM[filled] = mesh.xM[v]!;
    readings.yM[filled] = mesh.yM[v]!;
    readings.levelMm[filled] = levelMm[v]!;
    readings.roomOf[filled++] = points[k]!.roomIndex;
  }
  return { readings, levelMm, wasRead, warnings };
}

/** The vertices that were not read, and the rooms whose floor each touches. */
function verticesNotRead(mesh: Mesh, wasRead: Uint8Array): { vertices: Float64Array; rooms: number[][] } {
  const roomsOf = new Map<number, number[]>();
  for (let h = 0; h < mesh.corners.length; h++) {
    const v = mesh.corners[h]!;
    if (wasRead[v] === 1) continue;
    const room = mesh.regionOf[triangleOf(h)]!;
    const rooms = roomsOf.get(v);
    if (!rooms) roomsOf.set(v, [room]);
    else if (!rooms.includes(room)) rooms.push(room);
  }
  const vertices = [...roomsOf.keys()].sort((a, b) => a - b);
  return {
    vertices: Float64Array.from(vertices),
    rooms: vertices.map((v) => roomsOf.get(v)!.sort((a, b) => a - b)),
  };
}

function poorRoomWarnings(plan: Plan, poorRooms: readonly number[]): Diagnostic[] {
  return poorRooms.map((room) => ({
    code: "room-without-own-surface",
    severity: "warning",
    message: `room ${plan.floors[room]!.roomId} has fewer than three readings of its own, or all on one line: its levels are carried over from the other rooms`,
    expected: "three readings in every room, not on one line",
    hint: `read more points in ${plan.floors[room]!.roomId}`,
  }));
}
