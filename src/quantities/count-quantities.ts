/** Volumes → what to order and what it weighs. The one place where bags and pallets are rounded up. */
import type { Depths } from "../depths/model.ts";
import { type Outcome, ready } from "../diagnostics.ts";
import { above } from "../geometry/level.ts";
import type { Material } from "../job/library-model.ts";
import type { Job } from "../job/model.ts";
import { isSameMaterial } from "../job/same-material.ts";
import type { Meet } from "../target/model.ts";
import type { KilogramsPerSquareMetre, Litres, Millimetres, SquareMetres } from "../units.ts";
import type { BagCount, Hold, Lift, MaterialOrder, PrimerQuantity, Quantities } from "./model.ts";

/**
 * A sum that is this little past a whole number was that number before rounding of doubles: a
 * millionth of a bag is less than a pinch.
 */
const ROUNDING_GUARD = 1e-6;

/** Whole bags, pallets or lifts that hold an amount. */
export const wholeUp = (amount: number): number => Math.max(0, Math.ceil(amount - ROUNDING_GUARD));

/**
 * Bags, water, primer, pallets, loads and lifts for the volume that `depths` orders: litres, kilograms,
 * kg/m², m². Ready for every poured floor; what must stop the pour stands in `holds`.
 * @param meets where zones of the target meet: ramps and run-outs take material too
 */
export function countQuantities(job: Job, depths: Depths, meets: readonly Meet[] = []): Outcome<Quantities> {
  const { material, pour, floor, contract } = job;
  const [own, ...others] = fillsOf(job, depths, meets) as [MaterialFill, ...MaterialFill[]];
  const bags = countBags(job, own);
  const otherMaterials = others.map((fill) => orderOf(job, fill));
  const wetWeight = [{ material, bags }, ...otherMaterials].reduce(
    (sum, one) => sum + (one.bags.volume + one.bags.profileVolume) * one.material.wetDensity,
    0,
  );
  // 1 mm of a mix of d kg/L weighs d kg on a square metre.
  const greatestDeadLoad = [
    ...[own, ...others]
      .filter(({ area }) => area > 0)
      .map((fill) => (fill.greatest + pour.profileAllowance) * fill.material.wetDensity),
    // A ramp stands on the pour below it.
    ...meets.flatMap(({ how }) =>
      how.kind === "ramp" || how.kind === "feather"
        ? [
            (how.onto.depth + pour.profileAllowance) * how.onto.material.wetDensity +
              how.onto.rise * how.material.wetDensity,
          ]
        : [],
    ),
  ].reduce((most, load) => Math.max(most, load), 0);
  const allBags = [bags, ...otherMaterials.map((one) => one.bags)].reduce((sum, one) => sum + one.toOrder, 0);
  const holds: Hold[] = [];
  if (floor.support === "suspended" && floor.acceptedBy === undefined) {
    holds.push({ kind: "suspended-floor-not-accepted", valueKgM2: greatestDeadLoad });
  }
  if (contract.allowedDeadLoad !== undefined && greatestDeadLoad > contract.allowedDeadLoad) {
    holds.push({ kind: "dead-load-past-allowed", valueKgM2: greatestDeadLoad });
  }
  return ready({
    bags,
    water: bags.toOrder * material.waterPerBag,
    primer: countPrimer(job, depths),
    pallets: wholeUp(bags.toOrder / pour.bagsPerPallet),
    bagWeight: bags.toOrder * material.bag,
    wetWeight,
    meanDeadLoad: wetWeight / depths.area,
    greatestDeadLoad,
    palletLoad: palletLoad(job, bags.toOrder),
    lifts: splitIntoLifts(own, material.greatestLift),
    ...(contract.allowedBags === undefined
      ? {}
      : {
          againstAllowed: {
            allowedBags: contract.allowedBags,
            differenceBags: allBags - contract.allowedBags,
          },
        }),
    holds,
    ...(otherMaterials.length === 0 ? {} : { otherMaterials }),
  });
}

/** What one material fills: the floor of its rooms, and wedges at doors. */
interface MaterialFill extends Pick<Depths, "mesh" | "depthMm" | "greatest" | "area" | "volumeToOrder"> {
  readonly material: Material;
  readonly roomIndices: readonly number[];
  readonly doorIds: readonly string[];
  readonly wedgeVolume: Litres;
}

/** The job's material first, whether it fills anything or not. */
function fillsOf(job: Job, depths: Depths, meets: readonly Meet[]): MaterialFill[] {
  const parts = depths.parts ?? [
    { ...depths, material: job.material, roomIndices: depths.rooms.map(({ roomIndex }) => roomIndex) },
  ];
  const wedges = meets.flatMap(({ doorId, how }) =>
    how.kind === "ramp" || how.kind === "feather" ? [{ doorId, ...how }] : [],
  );
  const materials = [job.material, ...parts.map(({ material }) => material), ...wedges.map(({ material }) => material)];
  return materials
    .filter((material, k) => materials.findIndex((other) => isSameMaterial(other, material)) === k)
    .map((material): MaterialFill => {
      const part = parts.find((one) => isSameMaterial(one.material, material));
      const here = wedges.filter((wedge) => isSameMaterial(wedge.material, material));
      return {
        ...(part ?? NOWHERE),
        material,
        roomIndices: part?.roomIndices ?? [],
        doorIds: here.map(({ doorId }) => doorId),
        wedgeVolume: here.reduce((sum, wedge) => sum + wedge.volume, 0),
      };
    });
}

const NOWHERE: Pick<Depths, "mesh" | "depthMm" | "greatest" | "area" | "volumeToOrder"> = {
  mesh: {
    xM: new Float64Array(0),
    yM: new Float64Array(0),
    corners: new Uint32Array(0),
    regionOf: new Uint32Array(0),
  },
  depthMm: new Float64Array(0),
  greatest: 0,
  area: 0,
  volumeToOrder: 0,
};

function orderOf(job: Job, fill: MaterialFill): MaterialOrder {
  const { material, roomIndices, doorIds } = fill;
  const bags = countBags(job, fill);
  return {
    material,
    roomIndices,
    doorIds,
    bags,
    water: bags.toOrder * material.waterPerBag,
    bagWeight: bags.toOrder * material.bag,
    lifts: fill.area > 0 ? splitIntoLifts(fill, material.greatestLift) : [],
  };
}

const countBags = (job: Job, { material, volumeToOrder, area, wedgeVolume }: MaterialFill): BagCount => ({
  ...bagsFor(job, material, volumeToOrder + wedgeVolume, area),
  ...(wedgeVolume > 0 ? { wedgeVolume } : {}),
});

/**
 * Bags of a material for a volume over an area: neat, profile and loss line by line; loss is a share of all that is
 * mixed for the floor, profile included.
 */
export function bagsFor(
  { pour }: Pick<Job, "pour">,
  { yieldPerBag }: Pick<Material, "yieldPerBag">,
  volume: Litres,
  area: SquareMetres,
): BagCount {
  const profileVolume: Litres = pour.profileAllowance * area;
  const neat = volume / yieldPerBag;
  const profile = profileVolume / yieldPerBag;
  const loss = pour.lossAllowance * (neat + profile);
  const sum = neat + profile + loss;
  return { volume, yieldPerBag, neat, profileVolume, profile, loss, sum, toOrder: wholeUp(sum) };
}

/** Every coat covers the whole floor, doorways included. */
function countPrimer({ primer, floor }: Job, { area }: Depths): PrimerQuantity {
  const coats = primer.coatsOn[floor.absorbency].map(({ waterToOne, coverage }, k) => {
    const mixed: Litres = area / coverage;
    const concentrate: Litres = mixed / (1 + waterToOne);
    return { number: k + 1, mixed, concentrate, water: mixed - concentrate };
  });
  return { area, coats, concentrate: coats.reduce((sum, coat) => sum + coat.concentrate, 0) };
}

/** The heaviest staged pallet: a full one, or all bags where there is not one full pallet. */
function palletLoad({ material, pour }: Job, bags: number): KilogramsPerSquareMetre {
  const onIt = Math.min(bags, pour.bagsPerPallet) * material.bag + pour.palletTare;
  return onIt / (pour.palletLength * pour.palletWidth);
}

/**
 * Lifts of equal thickness at the deepest place, as few as the material allows, from the slab up.
 * Each ends at a level below the target, so the lower ones fill only the deep places. The last one
 * covers the whole floor and fills ground places to the least depth.
 */
function splitIntoLifts(
  {
    mesh,
    depthMm,
    greatest,
    area,
    volumeToOrder,
  }: Pick<MaterialFill, "mesh" | "depthMm" | "greatest" | "area" | "volumeToOrder">,
  greatestLift: Millimetres,
): Lift[] {
  const count = Math.max(1, wholeUp(greatest / greatestLift));
  const thickness: Millimetres = greatest / count;
  const lifts: Lift[] = [];
  let poured: Litres = 0;
  for (let number = 1; number < count; number++) {
    const topBelowTarget = (count - number) * thickness;
    // What lies deeper below the target than this lift's top, less what the lifts under it hold.
    const below = above(mesh, depthMm, topBelowTarget);
    lifts.push({ number, thickness, topBelowTarget, area: below.area, volume: below.integral - poured });
    poured = below.integral;
  }
  lifts.push({ number: count, thickness, topBelowTarget: 0, area, volume: volumeToOrder - poured });
  return lifts;
}
