/** Levels of points + outlines of rooms → the slab as a triangulated surface over the whole floor, walls included. */
import { type Diagnostic, type Outcome, ready, refused } from "../diagnostics.ts";
import { type Mesh, triangleOf, vertexAt } from "../geometry/mesh.ts";
import { type Point, point } from "../geometry/point.ts";
import { polygonArea } from "../geometry/polygon.ts";
import { triangulateFloor } from "../geometry/triangulate.ts";
import type { Plan, PlanPoint } from "../layout/model.ts";
import type { Levels, PointLevel, ScanLevels } from "../survey/model.ts";
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
 * Of a scan every point is a vertex; beside it stands the surface through those points that maps show.
 * Refused with fewer than three readings, with readings all on one line, and where a reading or the floor
 * itself cannot be triangulated; the diagnostic names the point.
 */
export function surfaceOf(plan: Plan, levels: Levels): Outcome<Slab> {
  const shown = surfaceThrough(plan, levels.points, undefined);
  const { scan } = levels;
  if (scan === undefined || shown.kind !== "ready") return shown;
  const rest = restOf(scan);
  if (rest.length === 0) return ready(withScanVertices(shown.value, levels, scan, rest), shown.warnings);
  const whole = surfaceThrough(plan, levels.points, { scan, rest });
  if (whole.kind !== "ready") return whole;
  return ready({ ...withScanVertices(whole.value, levels, scan, rest), thinned: shown.value }, shown.warnings);
}

/** Indices of a scan's points that are not shown. */
function restOf({ xM, shown }: ScanLevels): Uint32Array {
  const rest = new Uint32Array(xM.length - shown.length);
  let filled = 0;
  let next = 0;
  for (let k = 0; k < xM.length; k++) {
    if (shown[next] === k) next++;
    else rest[filled++] = k;
  }
  return rest;
}

function withScanVertices(slab: Slab, { points }: Levels, scan: ScanLevels, rest: Uint32Array): Slab {
  const vertexOfScan = new Uint32Array(scan.xM.length);
  const { vertexOfPoint } = slab;
  points.forEach(({ ofScan }, k) => {
    if (ofScan !== undefined) vertexOfScan[ofScan] = vertexOfPoint[k]!;
  });
  for (let k = 0; k < rest.length; k++) vertexOfScan[rest[k]!] = vertexOfPoint[points.length + k]!;
  return { ...slab, vertexOfPoint: vertexOfPoint.slice(0, points.length), vertexOfScan };
}

/** Points of a scan besides, by their indices. */
interface More {
  readonly scan: ScanLevels;
  readonly rest: Uint32Array;
}

/** The surface through points, and through more of a scan; `vertexOfPoint` has those behind the points. */
function surfaceThrough(plan: Plan, points: readonly PointLevel[], more: More | undefined): Outcome<Slab> {
  const problems = tooLittleRead(points);
  if (problems.length > 0) return refused(problems);
  const polygons = plan.floors.map((floor) => floor.polygon);
  // The triangulation has checked that its triangles have this area, to rounding.
  const area = polygons.reduce((sum, polygon) => sum + polygonArea(polygon), 0) as SquareMetres;
  const read = readPlaces(points, more);
  const readCount = read.xM.length;
  const spacing = Math.sqrt(area / readCount) as Metres;

  const unread = pointsNotRead(plan.points, points);
  const jambs = plan.floors.flatMap((floor) => floor.doors.flatMap((door) => door.jambs));
  const places: Point[] = points.map((p) => p.at);
  for (let k = places.length; k < readCount; k++) places.push(point(read.xM[k]!, read.yM[k]!));
  for (const p of unread) places.push(p.at);
  for (const p of jambs) places.push(p);
  for (const polygon of polygons) for (const p of wallPoints(polygon, spacing)) places.push(p);

  const triangulation = triangulateFloor(polygons, places);
  if (triangulation.kind === "failed") return refused([notTriangulated(triangulation, points, plan)]);
  const { mesh, vertexOfPoint } = triangulation;
  const vertices = readVertices(mesh, vertexOfPoint, read);
  const others = verticesNotRead(mesh, vertices.wasRead);
  const carried = carryLevels(vertices.readings, plan.floors.length, spacing, {
    xM: others.vertices.map((v) => mesh.xM[v]!),
    yM: others.vertices.map((v) => mesh.yM[v]!),
    rooms: others.rooms,
  });
  const { levelMm } = vertices;
  others.vertices.forEach((v, k) => {
    levelMm[v] = carried.levelMm[k]!;
  });

  const hulls = hullsOfReadings(mesh, vertices.wasRead, plan.floors.length);
  const beyond = beyondHulls(mesh, levelMm, 0 as Millimetres, hulls.ofRegion);
  const slab: Slab = {
    mesh,
    levelMm,
    wasRead: vertices.wasRead,
    vertexOfPoint: vertexOfPoint.slice(0, readCount),
    area,
    readHull: hulls.ofAll,
    readHulls: hulls.ofRegion,
    extrapolatedArea: (beyond.area / area) as Share,
    method: "thin-plate-spline",
    smoothing: carried.smoothing,
    ...(carried.leaveOneOut === undefined ? {} : { leaveOneOutSd: carried.leaveOneOut }),
  };
  const warnings = [
    ...vertices.shared.flatMap((together) => atOnePlace(points, together)),
    ...carried.poorRooms.map((room) => roomWithoutOwnSurface(plan, room)),
  ];
  if (carried.farthest && carried.farthest.distance > FAR * spacing) {
    const { place, distance } = carried.farthest;
    const { roomId } = plan.floors[others.rooms[place]![0]!]!;
    warnings.push(farFromReadings(roomId, vertexAt(mesh, others.vertices[place]!), distance, spacing));
  }
  return ready(slab, warnings);
}

/** All that was read, as columns: the points, then more of the scan. */
function readPlaces(points: readonly PointLevel[], more: More | undefined): Readings {
  const count = points.length + (more?.rest.length ?? 0);
  const [xM, yM, levelMm] = [new Float64Array(count), new Float64Array(count), new Float64Array(count)];
  const roomOf = new Uint32Array(count);
  points.forEach(({ at, level, roomIndex }, k) => {
    xM[k] = at.x;
    yM[k] = at.y;
    levelMm[k] = level;
    roomOf[k] = roomIndex;
  });
  if (more === undefined) return { xM, yM, levelMm, roomOf };
  const { scan, rest } = more;
  for (let j = 0; j < rest.length; j++) {
    const k = points.length + j;
    xM[k] = scan.xM[rest[j]!]!;
    yM[k] = scan.yM[rest[j]!]!;
    levelMm[k] = scan.levelMm[rest[j]!]!;
    roomOf[k] = scan.roomOf[rest[j]!]!;
  }
  return { xM, yM, levelMm, roomOf };
}

/** Two names at one place are told; a scan has as many points there as it likes. */
function atOnePlace(points: readonly PointLevel[], together: readonly number[]): Diagnostic[] {
  const named = together.flatMap((k) => (points[k] === undefined || points[k].ofScan !== undefined ? [] : [points[k]]));
  return named.length < 2 ? [] : [pointsAtOnePlace(named)];
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
  /** Indices of what was read at one place, where that is more than one. */
  readonly shared: readonly (readonly number[])[];
}

/** Levels at the vertices that were read. Two points at one place share a vertex: it gets their mean. */
function readVertices(mesh: Mesh, vertexOfPoint: Uint32Array, read: Readings): ReadVertices {
  const count = mesh.xM.length;
  const readCount = read.xM.length;
  const levelMm = new Float64Array(count);
  const wasRead = new Uint8Array(count);
  /** Of each vertex the first point there, counted from 1. */
  const firstAt = new Uint32Array(count);
  const shared = new Map<number, number[]>();
  let distinct = 0;
  for (let k = 0; k < readCount; k++) {
    const v = vertexOfPoint[k]!;
    if (firstAt[v] === 0) {
      firstAt[v] = k + 1;
      wasRead[v] = 1;
      levelMm[v] = read.levelMm[k]!;
      distinct++;
      continue;
    }
    const together = shared.get(v) ?? [firstAt[v]! - 1];
    together.push(k);
    shared.set(v, together);
    levelMm[v] = together.reduce((sum, i) => sum + read.levelMm[i]!, 0) / together.length;
  }
  const readings = {
    xM: new Float64Array(distinct),
    yM: new Float64Array(distinct),
    levelMm: new Float64Array(distinct),
    roomOf: new Uint32Array(distinct),
  };
  let filled = 0;
  for (let k = 0; k < readCount; k++) {
    const v = vertexOfPoint[k]!;
    if (firstAt[v] !== k + 1) continue;
    readings.xM[filled] = mesh.xM[v]!;
    readings.yM[filled] = mesh.yM[v]!;
    readings.levelMm[filled] = levelMm[v]!;
    readings.roomOf[filled++] = read.roomOf[k]!;
  }
  return { readings, levelMm, wasRead, shared: [...shared.values()] };
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
