/** The part of the floor that the job's own material fills. */
import type { Depths, FilledPart } from "../depths/model.ts";
import type { Job } from "../job/model.ts";
import { isSameMaterial } from "../job/same-material.ts";

const NOWHERE: Pick<FilledPart, "mesh" | "depthMm" | "roomIndices"> = {
  mesh: { xM: new Float64Array(0), yM: new Float64Array(0), corners: new Uint32Array(0), regionOf: new Uint32Array(0) },
  depthMm: new Float64Array(0),
  roomIndices: [],
};

/** Mesh, depths and rooms of it; nowhere where every zone has a material of its own. */
export function findPart(job: Job, depths: Depths): Pick<FilledPart, "mesh" | "depthMm" | "roomIndices"> {
  if (depths.parts === undefined) return { ...depths, roomIndices: depths.rooms.map(({ roomIndex }) => roomIndex) };
  return depths.parts.find(({ material }) => isSameMaterial(material, job.material)) ?? NOWHERE;
}
