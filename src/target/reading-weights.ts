/** How much each reading counts in the volume: what a millimetre more at it would take off, in litres. */
import { clipTriangle, triangleArea, type ValuedPoint } from "../geometry/level.ts";
import type { Mesh } from "../geometry/mesh.ts";
import { READINGS_WANTED } from "../slab/carry-levels.ts";
import type { Slab } from "../slab/model.ts";
import { readingsNear } from "../slab/readings-near.ts";
import { thinPlatesOver } from "../slab/thin-plate.ts";
import type { Levels } from "../survey/model.ts";

/** A level at a place as a sum of readings: indices of points of `Levels`, and their weights, which add up to 1. */
export interface Blend {
  readonly points: readonly number[];
  readonly weights: readonly number[];
}

/**
 * How the slab's level at each vertex is made of readings: its own where it was read, else by the spline through the
 * nearest ones, smoothed as the slab was.
 * @param roomCount of the plan
 */
export function blends(slab: Slab, levels: Levels, roomCount: number): (vertex: number) => Blend {
  const { mesh, vertexOfPoint } = slab;
  const smoothing = smoothingOf(slab);
  const { points } = levels;
  const pointsAt: number[][] = new Array(slab.levelMm.length);
  for (let point = 0; point < points.length; point++) {
    const vertex = vertexOfPoint[point]!;
    const there = pointsAt[vertex];
    if (there) there.push(point);
    else pointsAt[vertex] = [point];
  }
  const spacingM = Math.sqrt(slab.area / points.length);
  const readings = {
    xM: Float64Array.from(points, ({ at }) => at.x),
    yM: Float64Array.from(points, ({ at }) => at.y),
    levelMm: Float64Array.from(points, ({ level }) => level),
    roomOf: Uint32Array.from(points, ({ roomIndex }) => roomIndex),
  };
  const near = readingsNear(readings, roomCount, READINGS_WANTED);
  const roomsOf = roomsOfVertices(mesh);
  const known: Blend[] = new Array(slab.levelMm.length);
  return (vertex) => {
    let blend = known[vertex];
    if (!blend) {
      const own = pointsAt[vertex];
      blend = own
        ? { points: own, weights: own.map(() => 1 / own.length) }
        : carried(mesh.xM[vertex]!, mesh.yM[vertex]!, roomsOf(vertex));
      known[vertex] = blend;
    }
    return blend;
  };

  function carried(x: number, y: number, rooms: readonly number[]): Blend {
    // Two points at one place make the spline's system singular: the first stands for both.
    const around = Array.from(near.around(x, y, rooms)).filter(
      (point) => pointsAt[vertexOfPoint[point]!]![0] === point,
    );
    if (smoothing === undefined) {
      const far = (i: number) => Math.hypot(readings.xM[i]! - x, readings.yM[i]! - y);
      return { points: [around.reduce((best, i) => (far(i) < far(best) ? i : best))], weights: [1] };
    }
    const plate = thinPlatesOver(
      Float64Array.from(around, (i) => readings.xM[i]!),
      Float64Array.from(around, (i) => readings.yM[i]!),
      spacingM,
    )(smoothing);
    return {
      points: around,
      weights: plate ? Array.from(plate.weightsAt(x, y)) : around.map(() => 1 / around.length),
    };
  }
}

/** Smoothed this much the spline is a plane to within a hundredth of its weights. */
const NEARLY_A_PLANE = 100;

/** Undefined where levels were carried from the nearest reading alone. */
function smoothingOf({ method, smoothing }: Slab): number | undefined {
  if (method === "nearest") return undefined;
  return method === "plane" ? NEARLY_A_PLANE : smoothing;
}

/** The rooms whose triangles touch a vertex. */
function roomsOfVertices({ corners, regionOf, xM }: Mesh): (vertex: number) => readonly number[] {
  const rooms: number[][] = new Array(xM.length);
  for (let h = 0; h < corners.length; h++) {
    const room = regionOf[Math.floor(h / 3)]!;
    const there = rooms[corners[h]!];
    if (!there) rooms[corners[h]!] = [room];
    else if (!there.includes(room)) there.push(room);
  }
  return (vertex) => rooms[vertex]!.sort((a, b) => a - b);
}

/** The part of a triangle where the volume changes with the slab, and how it hangs on the triangle's corners. */
export interface LivePart {
  /** Vertices of the mesh. */
  readonly corners: readonly [number, number, number];
  readonly area: number;
  /** Centre of the part. */
  readonly x: number;
  readonly y: number;
  /** ∫ of each corner's share over the part: they add up to its area. */
  readonly shares: readonly [number, number, number];
}

/** The parts of a mesh's triangles on which the value is greater than the threshold. */
export function liveParts(mesh: Mesh, value: Float64Array, threshold: number): readonly LivePart[] {
  const parts: LivePart[] = [];
  const { xM, yM, corners } = mesh;
  for (let triangle = 0; triangle < mesh.regionOf.length; triangle++) {
    const [a, b, c] = [corners[3 * triangle]!, corners[3 * triangle + 1]!, corners[3 * triangle + 2]!];
    if (value[a]! <= threshold && value[b]! <= threshold && value[c]! <= threshold) continue;
    if (value[a]! > threshold && value[b]! > threshold && value[c]! > threshold) {
      const area = triangleArea(mesh, triangle);
      parts.push({
        corners: [a, b, c],
        area,
        x: (xM[a]! + xM[b]! + xM[c]!) / 3,
        y: (yM[a]! + yM[b]! + yM[c]!) / 3,
        shares: [area / 3, area / 3, area / 3],
      });
      continue;
    }
    const at = (v: number): ValuedPoint => ({ x: xM[v]!, y: yM[v]!, value: value[v]! });
    const ring = clipTriangle([at(a), at(b), at(c)], threshold);
    const whole = triangleArea(mesh, triangle);
    let area = 0;
    let momentX = 0;
    let momentY = 0;
    for (let k = 1; k + 1 < ring.length; k++) {
      const [p, q, r] = [ring[0]!, ring[k]!, ring[k + 1]!];
      const size = ((q.x - p.x) * (r.y - p.y) - (r.x - p.x) * (q.y - p.y)) / 2;
      area += size;
      momentX += (size * (p.x + q.x + r.x)) / 3;
      momentY += (size * (p.y + q.y + r.y)) / 3;
    }
    if (!(area > 0)) continue;
    const x = momentX / area;
    const y = momentY / area;
    // A corner's share is straight over the triangle, so its integral is the area times its value at the centre.
    const share = (u: number, v: number): number =>
      (area * ((xM[u]! - x) * (yM[v]! - y) - (xM[v]! - x) * (yM[u]! - y))) / 2 / whole;
    parts.push({
      corners: [a, b, c],
      area,
      x,
      y,
      shares: [share(b, c), share(c, a), share(a, b)],
    });
  }
  return parts;
}
