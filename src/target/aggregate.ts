/** What stretching the deep places with aggregate saves, where the data sheet allows it. */
import { above } from "../geometry/level.ts";
import type { Mesh } from "../geometry/mesh.ts";
import type { AggregateExtension, Material } from "../job/library-model.ts";
import type { Kilograms, Litres, Millimetres, SquareMetres } from "../units.ts";

/** Bags are not rounded: that belongs to the quantities. */
export interface Extended {
  /** Where the extended lift is thick enough, and what lies in it. */
  readonly area: SquareMetres;
  readonly volume: Litres;
  /** Its top lies so far below the top of the pour. */
  readonly belowTop: Millimetres;
  readonly bags: number;
  readonly aggregate: Kilograms;
  readonly water: Litres;
  /** Against the same volume poured neat. Water saved is below nothing where the extended mix takes more. */
  readonly bagsSaved: number;
  readonly waterSaved: Litres;
}

/**
 * The extended lift fills the deep places up to `neatOnTop` under the top, where it gets `leastDepth` thick at least;
 * the rest is poured neat. Undefined where the data sheet does not allow it, or where no place is deep enough.
 * @param depthMm one a vertex of the mesh
 */
export function extendWithAggregate(mesh: Mesh, depthMm: Float64Array, material: Material): Extended | undefined {
  const { aggregate } = material;
  if (!aggregate) return undefined;
  const { leastDepth, neatOnTop } = aggregate;
  const deep = above(mesh, depthMm, neatOnTop + leastDepth);
  if (!(deep.area > 0)) return undefined;
  const volume = deep.integral + leastDepth * deep.area;
  return { area: deep.area, volume, belowTop: neatOnTop, ...mixFor(volume, material, aggregate) };
}

function mixFor(volume: Litres, material: Material, aggregate: AggregateExtension) {
  const bags = volume / aggregate.yieldPerBag;
  const neatBags = volume / material.yieldPerBag;
  const water = bags * aggregate.waterPerBag;
  return {
    bags,
    aggregate: bags * aggregate.perBag,
    water,
    bagsSaved: neatBags - bags,
    waterSaved: neatBags * material.waterPerBag - water,
  };
}
