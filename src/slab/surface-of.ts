/** Levels of points + outlines of rooms → the slab as a triangulated surface over the whole floor, walls included. */
import { type Diagnostic, type Outcome, ready, refused } from "../diagnostics.ts";
import { type Mesh, triangleOf, vertexAt } from "../geometry/mesh.ts";
import type { Point } from "../geometry/point.ts";
import { polygonArea } from "../geometry/polygon.ts";
import { triangulateFloor } from "../geometry/triangulate.ts";
import type { Plan, PlanPoint } from "../layout/model.ts";
import type { Levels, PointLevel } from "../survey/model.ts";
import type { Metres, Millimetres, Share, SquareMetres } from "../units.ts";
import { beyondHulls, hullsOfReadings } from "./beyond-readings.ts";
import { carryLevels } from "./carry-levels.ts";
import type { Slab } from "./model.ts";
import type { Readings } from "./readings-near.ts";
import {
  farFromReadings,
  notTriangulated,
  pointsAtOnePlace,
  roomWithoutOwnSurface,
  tooLittleRead,
} from "./slab-problems.ts";
import { wallPoints } from "./wall-points.ts";

/**
 * The slab's surface: passes through every reading, straight between neighbours (constrained Delaunay), with
 * levels carried to walls, columns, door edges and points that were not read (see carry-levels.ts).
 * Refused with fewer than three readings, with readings all on one line, and where a reading or the floor
 * itself cannot be triangulated; the diagnostic names the point.
 */
export function surfaceOf(plan: Plan, levels: Levels): Outcome<Slab> {
  const problems = tooLittleRead(levels.points);
  if (problems.length > 0) return refused(problems);
  const polygons = plan.floors.map((floor) => floor.polygon);
  // The triangulation has checked that its triangles have this area, to rounding.
  const area = polygons.reduce((sum, polygon) => sum + polygonArea(polygon), 0) as SquareMetres;
  const spacing = Math.sqrt(area / levels.points.length) as Metres;

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

  const hulls = hullsOfReadings(mesh, read.wasRead, plan.floors.length);
  const beyond = beyondHulls(mesh, levelMm, 0 as Millimetres, hulls.ofRegion);
  const slab: Slab = {
    mesh,
    levelMm,
    wasRead: read.wasRead,
    vertexOfPoint: vertexOfPoint.slice(0, levels.points.length),
    area,
    readHull: hulls.ofAll,
    readHulls: hulls.ofRegion,
    extrapolatedArea: (beyond.area / area) as Share,
    method: "thin-plate-spline",
    smoothing: carried.smoothing,
    ...(carried.leaveOneOut === undefined ? {} : { leaveOneOutSd: carried.leaveOneOut }),
  };
  const warnings = [...read.warnings, ...carried.poorRooms.map((room) => roomWithoutOwnSurface(plan, room))];
  if (carried.farthest && carried.farthest.distance > FAR * spacing) {
    const { place, distance } = carried.farthest;
    const { roomId } = plan.floors[others.rooms[place]![0]!]!;
    warnings.push(farFromReadings(roomId, vertexAt(mesh, others.vertices[place]!), distance, spacing));
  }
  return ready(slab, warnings);
}

/**
 * On a grid read in full the corner of a room is at most some 1.5 times the usual distance from the nearest reading;
 * past this many times, part of the floor was left out (common practice).
 */
const FAR = 2.5;

function pointsNotRead(planned: readonly PlanPoint[], read: readonly PointLevel[]): PlanPoint[] {
  if (planned.length === 0) return [];
  const readIds = new Set(read.map((p) => p.id));
  return planned.filter((p) => !readIds.has(p.id));
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
  const warnings = [...shared.values()].map((together) => pointsAtOnePlace(together.map((k) => points[k]!)));
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
