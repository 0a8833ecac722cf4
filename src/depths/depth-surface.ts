/** The depth of the pour over the slab's mesh, and which parts of it lie beyond the readings. */

import { valuesOnCut } from "../geometry/cut-mesh.ts";
import { above, meshArea } from "../geometry/level.ts";
import { type Mesh, twinsOf, vertexCount } from "../geometry/mesh.ts";
import { point } from "../geometry/point.ts";
import { beyondHulls } from "../slab/beyond-readings.ts";
import type { Slab } from "../slab/model.ts";
import { cutWhereBent } from "../target/drain-falls.ts";
import type { Target, TargetZone } from "../target/model.ts";
import { topOfZone, zoneOf } from "../target/top-at.ts";
import type { Litres, Millimetres } from "../units.ts";
import type { DepthSurface } from "./model.ts";

/**
 * Depths are kept to a millionth of a millimetre: coarser than the rounding of sums of doubles, so that
 * a floor that is 3 mm low everywhere is 3 mm low at every vertex and falls into one class; far finer
 * than any reading.
 */
export const toDepthGrid = (depth: number): Millimetres => Math.round(depth * 1e6) / 1e6;

/** Target less slab at every vertex; where zones of the target meet, the vertices between them are doubled, one a zone. */
export function depthSurface(slab: Slab, target: Target, roomCount: number): DepthSurface {
  const zones = Array.from({ length: roomCount }, (_, roomIndex) => zoneOf(target, roomIndex));
  const split = splitByZone(slab.mesh, zones);
  const zoneOfVertex = [...split.zone];
  let mesh = split.mesh;
  let levelMm: Float64Array = Float64Array.from(split.slabVertex, (vertex) => slab.levelMm[vertex] as number);
  // A top that falls to a drain bends within triangles: they are cut there.
  for (const zone of target.zones) {
    if (zone.drain === undefined) continue;
    const cut = cutWhereBent(mesh, zone.roomIndices[0] as number, zone.drain);
    mesh = { ...cut.mesh, twin: twinsOf(cut.mesh) };
    levelMm = valuesOnCut(levelMm, cut);
    zoneOfVertex.push(...cut.from.map(() => zone));
  }
  const depthMm = levelMm.map((level, k) => {
    const at = point(mesh.xM[k] as number, mesh.yM[k] as number);
    return toDepthGrid(topOfZone(zoneOfVertex[k] as TargetZone, at) - level);
  });
  return { mesh, depthMm };
}

interface SplitMesh {
  readonly mesh: Mesh;
  /** Of each vertex: the slab's vertex there, and the zone that it belongs to. */
  readonly slabVertex: readonly number[];
  readonly zone: readonly TargetZone[];
}

function splitByZone(mesh: Mesh, zoneOfRoom: readonly TargetZone[]): SplitMesh {
  const slabVertex = Array.from({ length: vertexCount(mesh) }, (_, vertex) => vertex);
  const zone: TargetZone[] = new Array(slabVertex.length);
  const corners = Uint32Array.from(mesh.corners);
  const doubles = new Map<TargetZone, Map<number, number>>();
  for (let h = 0; h < corners.length; h++) {
    const vertex = mesh.corners[h] as number;
    const here = zoneOfRoom[mesh.regionOf[Math.floor(h / 3)] as number] as TargetZone;
    if (zone[vertex] === undefined) zone[vertex] = here;
    if (zone[vertex] === here) continue;
    const ofZone = doubles.get(here) ?? new Map<number, number>();
    doubles.set(here, ofZone);
    let double = ofZone.get(vertex);
    if (double === undefined) {
      double = slabVertex.push(vertex) - 1;
      zone[double] = here;
      ofZone.set(vertex, double);
    }
    corners[h] = double;
  }
  if (doubles.size === 0) return { mesh, slabVertex, zone };
  const zoneAcross = (h: number) => zoneOfRoom[mesh.regionOf[Math.floor(h / 3)] as number];
  return {
    mesh: {
      xM: Float64Array.from(slabVertex, (vertex) => mesh.xM[vertex] as number),
      yM: Float64Array.from(slabVertex, (vertex) => mesh.yM[vertex] as number),
      corners,
      regionOf: mesh.regionOf,
      twin: twinsOf(mesh).map((across, h) => (across >= 0 && zoneAcross(across) !== zoneAcross(h) ? -1 : across)),
    },
    slabVertex,
    zone,
  };
}

/** The volume to order that lies beyond the hull of each room's readings, where the slab's level was carried on. */
export function volumeBeyondReadings({ mesh, depthMm }: DepthSurface, slab: Slab, least: Millimetres): Litres {
  const beyond = beyondHulls(mesh, depthMm, least, slab.readHulls);
  return least * beyond.area + beyond.integral;
}

/** ∫ max(depth, least): every place is ground down, where need be, to hold the least depth. */
export const volumeFilled = ({ mesh, depthMm }: DepthSurface, least: Millimetres): Litres =>
  least * meshArea(mesh) + above(mesh, depthMm, least).integral;
