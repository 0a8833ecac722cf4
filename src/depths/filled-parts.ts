/** Which material fills which part of the floor, between which depths. */
import { meshArea } from "../geometry/level.ts";
import type { Mesh } from "../geometry/mesh.ts";
import type { Material } from "../job/library-model.ts";
import type { Job } from "../job/model.ts";
import { isSameMaterial } from "../job/same-material.ts";
import type { Target } from "../target/model.ts";
import { zoneOf } from "../target/top-at.ts";
import type { Millimetres } from "../units.ts";
import { toDepthGrid, volumeFilled } from "./depth-surface.ts";
import type { DepthSurface, Depths, FilledPart } from "./model.ts";

export interface RoomFill {
  readonly material: Material;
  readonly least: Millimetres;
  readonly greatest: Millimetres;
}

/** By room index; undefined where a material's data sheet gives no depth on the job's substrate. */
export function fillsOfRooms(job: Job, target: Target, roomCount: number): (RoomFill | undefined)[] {
  return Array.from({ length: roomCount }, (_, room) => {
    const own = zoneOf(target, room).material;
    const material = own === undefined || isSameMaterial(own, job.material) ? job.material : own;
    const range = material.depthOn[job.floor.substrate];
    return range && { material, least: toDepthGrid(range.least), greatest: toDepthGrid(range.greatest) };
  });
}

/** The floor cut up by material: the job's first, where any room is filled with it, then the others in the order of rooms. */
export function filledParts(
  job: Job,
  surface: DepthSurface,
  fills: readonly RoomFill[],
  drawn?: DepthSurface,
): FilledPart[] {
  const groups: { readonly fill: RoomFill; readonly rooms: number[] }[] = [];
  for (const [room, fill] of fills.entries()) {
    const group = groups.find((other) => isSameMaterial(other.fill.material, fill.material));
    if (group) group.rooms.push(room);
    else groups.push({ fill, rooms: [room] });
  }
  groups.sort((a, b) => Number(b.fill.material === job.material) - Number(a.fill.material === job.material));
  return groups.map(({ fill: { material, least, greatest }, rooms }): FilledPart => {
    const part = groups.length === 1 ? surface : surfaceInRooms(surface, rooms);
    return {
      material,
      roomIndices: rooms,
      ...part,
      ...(drawn === undefined ? {} : { drawn: groups.length === 1 ? drawn : surfaceInRooms(drawn, rooms) }),
      least: part.depthMm.reduce((shallowest, depth) => Math.min(shallowest, depth), Number.POSITIVE_INFINITY),
      greatest: part.depthMm.reduce((deepest, depth) => Math.max(deepest, depth), Number.NEGATIVE_INFINITY),
      leastAllowed: least,
      greatestAllowed: greatest,
      area: meshArea(part.mesh),
      volumeToOrder: volumeFilled(part, least),
    };
  });
}

/** The depths of what is poured by the clock: the job's material. Zones in a material of their own are laid apart. */
export function pouredByClock(depths: Depths): Depths {
  const [own] = depths.parts ?? [];
  if (own === undefined) return depths;
  return {
    ...depths,
    mesh: own.mesh,
    depthMm: own.depthMm,
    ...(own.drawn === undefined ? {} : { drawn: own.drawn }),
    least: own.least,
    greatest: own.greatest,
    area: own.area,
    volumeToOrder: own.volumeToOrder,
    mean: own.volumeToOrder / own.area,
    rooms: depths.rooms.filter(({ roomIndex }) => own.roomIndices.includes(roomIndex)),
  };
}

/** Only the triangles of these rooms, and their vertices. */
function surfaceInRooms({ mesh, depthMm }: DepthSurface, rooms: readonly number[]): DepthSurface {
  const here = new Map<number, number>();
  const corners: number[] = [];
  const regionOf: number[] = [];
  for (const [triangle, region] of mesh.regionOf.entries()) {
    if (!rooms.includes(region)) continue;
    for (let k = 0; k < 3; k++) {
      const vertex = mesh.corners[3 * triangle + k] as number;
      const index = here.get(vertex) ?? here.size;
      here.set(vertex, index);
      corners.push(index);
    }
    regionOf.push(region);
  }
  const vertices = Uint32Array.from(here.keys());
  const valuesHere = (values: Float64Array) => Float64Array.from(vertices, (vertex) => values[vertex] as number);
  const part: Mesh = {
    xM: valuesHere(mesh.xM),
    yM: valuesHere(mesh.yM),
    corners: Uint32Array.from(corners),
    regionOf: Uint32Array.from(regionOf),
  };
  return { mesh: part, depthMm: valuesHere(depthMm) };
}
