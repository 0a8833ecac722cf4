/** The part of the slab that one zone of the target covers, as a mesh of its own. */

import { valuesOnCut } from "../geometry/cut-mesh.ts";
import { triangleArea } from "../geometry/level.ts";
import type { Mesh } from "../geometry/mesh.ts";
import { type Point, point } from "../geometry/point.ts";
import { addTo, emptySum, sumSoFar } from "../numeric/sum.ts";
import type { Slab } from "../slab/model.ts";
import type { Metres, Millimetres, SquareMetres } from "../units.ts";
import { cutWhereBent, type DrainFalls } from "./drain-falls.ts";

export interface ZoneFloor {
  /** Only the zone's triangles and their vertices; regions keep the plan's room indices. */
  readonly mesh: Mesh;
  readonly levelMm: Float64Array;
  /** Index in the slab's mesh of each vertex here; where an edge of the slab was cut, of its nearer end. */
  readonly slabVertex: Uint32Array;
  readonly whole: FloorPart;
  /** The parts by room index. */
  readonly rooms: ReadonlyMap<number, FloorPart>;
  /** Distance of the farthest vertex from the centroid. */
  readonly radius: Metres;
}

/** Area, centre of area, and mean level of a part of the floor: what the volume under a plane depends on. */
export interface FloorPart {
  readonly area: SquareMetres;
  readonly centroid: Point;
  readonly meanLevel: Millimetres;
}

/**
 * @param drain where the top falls to a drain: the floor is cut where it bends
 * @throws where no triangle lies in these rooms: a zone without area is refused before it comes here
 */
export function zoneFloor(slab: Slab, roomIndices: readonly number[], drain?: DrainFalls): ZoneFloor {
  const uncut = partOfSlab(slab, roomIndices);
  return drain ? bentFloor(uncut, roomIndices[0]!, drain) : uncut;
}

function bentFloor(floor: ZoneFloor, room: number, drain: DrainFalls): ZoneFloor {
  const cut = cutWhereBent(floor.mesh, room, drain);
  const slabVertex = new Uint32Array(cut.mesh.xM.length);
  slabVertex.set(floor.slabVertex);
  const count = floor.slabVertex.length;
  for (const [k, share] of cut.share.entries())
    slabVertex[count + k] = slabVertex[(share < 0.5 ? cut.from : cut.to)[k]!]!;
  return { ...floor, mesh: cut.mesh, levelMm: valuesOnCut(floor.levelMm, cut), slabVertex };
}

function partOfSlab(slab: Slab, roomIndices: readonly number[]): ZoneFloor {
  const { mesh, levelMm } = slab;
  const inZone = new Set(roomIndices);
  const here = new Int32Array(mesh.xM.length).fill(-1);
  const slabVertices = new Uint32Array(mesh.xM.length);
  let vertices = 0;
  const cornersHere = new Uint32Array(mesh.corners.length);
  const regionsHere = new Uint32Array(mesh.regionOf.length);
  let triangles = 0;
  for (let triangle = 0; triangle < mesh.regionOf.length; triangle++) {
    const region = mesh.regionOf[triangle]!;
    if (!inZone.has(region)) continue;
    for (let k = 0; k < 3; k++) {
      const vertex = mesh.corners[3 * triangle + k]!;
      if (here[vertex] === -1) {
        here[vertex] = vertices;
        slabVertices[vertices++] = vertex;
      }
      cornersHere[3 * triangles + k] = here[vertex]!;
    }
    regionsHere[triangles++] = region;
  }
  if (triangles === 0) throw new Error(`no part of the slab lies in room indices ${roomIndices.join(", ")}`);
  const slabVertex = slabVertices.slice(0, vertices);
  const valuesHere = (values: Float64Array): Float64Array =>
    new Float64Array(vertices).map((_, i) => values[slabVertex[i]!]!);
  const part: Mesh = {
    xM: valuesHere(mesh.xM),
    yM: valuesHere(mesh.yM),
    corners: cornersHere.slice(0, 3 * triangles),
    regionOf: regionsHere.slice(0, triangles),
  };
  const levels = valuesHere(levelMm);
  const whole = partOf(part, levels, undefined);
  let radius = 0;
  for (let i = 0; i < levels.length; i++) {
    radius = Math.max(radius, Math.hypot(part.xM[i]! - whole.centroid.x, part.yM[i]! - whole.centroid.y));
  }
  return {
    mesh: part,
    levelMm: levels,
    slabVertex,
    whole,
    rooms: new Map(roomIndices.map((room) => [room, roomIndices.length === 1 ? whole : partOf(part, levels, room)])),
    radius,
  };
}

function partOf(mesh: Mesh, levelMm: Float64Array, region: number | undefined): FloorPart {
  const [area, momentX, momentY, volume] = [emptySum(), emptySum(), emptySum(), emptySum()];
  // From a vertex of the floor, so that a far-off plan origin costs no digits.
  const originX = mesh.xM[0]!;
  const originY = mesh.yM[0]!;
  for (let triangle = 0; triangle < mesh.regionOf.length; triangle++) {
    if (region !== undefined && mesh.regionOf[triangle] !== region) continue;
    const a = mesh.corners[3 * triangle]!;
    const b = mesh.corners[3 * triangle + 1]!;
    const c = mesh.corners[3 * triangle + 2]!;
    const size = triangleArea(mesh, triangle);
    addTo(area, size);
    addTo(momentX, (size * (mesh.xM[a]! + mesh.xM[b]! + mesh.xM[c]! - 3 * originX)) / 3);
    addTo(momentY, (size * (mesh.yM[a]! + mesh.yM[b]! + mesh.yM[c]! - 3 * originY)) / 3);
    addTo(volume, (size * (levelMm[a]! + levelMm[b]! + levelMm[c]!)) / 3);
  }
  const total = sumSoFar(area);
  return {
    area: total,
    centroid: point(originX + sumSoFar(momentX) / total, originY + sumSoFar(momentY) / total),
    meanLevel: sumSoFar(volume) / total,
  };
}
