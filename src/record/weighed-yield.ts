/** What a bag made, by the density of the fresh mix. */
import type { Material } from "../job/library-model.ts";
import type { PouredBatch } from "../job/record-model.ts";
import type { WeighedYield } from "./model.ts";

/**
 * Yield = mass of all that was mixed ÷ density of the fresh mix, as ASTM C138 has it for concrete (from memory): bag and
 * water, over the density as weighed. Water as recorded, else the data sheet's. Each batch that was weighed counts
 * once; undefined where none was.
 * @returns litres a bag, the mean over the batches, and its standard deviation where there are two or more
 */
export function weighedYield(
  { bag, waterPerBag }: Pick<Material, "bag" | "waterPerBag">,
  batches: readonly Pick<PouredBatch, "bags" | "water" | "density">[],
): WeighedYield | undefined {
  const yields = batches.flatMap(({ bags, water, density }) =>
    density === undefined ? [] : [(bag + (water === undefined ? waterPerBag : water / bags)) / density],
  );
  if (yields.length === 0) return undefined;
  const mean = yields.reduce((sum, one) => sum + one, 0) / yields.length;
  const squares = yields.reduce((sum, one) => sum + (one - mean) ** 2, 0);
  return {
    litres: mean,
    batches: yields.length,
    ...(yields.length < 2 ? {} : { sd: Math.sqrt(squares / (yields.length - 1) / yields.length) }),
  };
}
