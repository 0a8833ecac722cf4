import type { Material } from "./library-model.ts";
import type { TargetSpec } from "./target-model.ts";

/** True for one entry of the library or of the job, read once or again: ids alone may be given twice. */
export const isSameMaterial = (a: Material, b: Material): boolean =>
  a === b ||
  (a.id === b.id && a.place !== undefined && a.place.file === b.place?.file && a.place.line === b.place?.line);

/** The materials of a job, each once: its own first, then those of zones and of ramps. */
export function materialsOf({
  material,
  target,
}: {
  readonly material: Material;
  readonly target: TargetSpec;
}): Material[] {
  if (target.kind !== "zones") return [material];
  const all = [
    material,
    ...target.zones.flatMap((zone) => (zone.material === undefined ? [] : [zone.material])),
    ...target.meets.flatMap(({ how }) => (how.kind === "ramp" ? [how.material] : [])),
  ];
  return all.filter((one, k) => all.findIndex((other) => isSameMaterial(other, one)) === k);
}
