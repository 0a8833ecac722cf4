import type { Material } from "./library-model.ts";

/** True for one entry of the library or of the job, read once or again: ids alone may be given twice. */
export const isSameMaterial = (a: Material, b: Material): boolean =>
  a === b ||
  (a.id === b.id && a.place !== undefined && a.place.file === b.place?.file && a.place.line === b.place?.line);
