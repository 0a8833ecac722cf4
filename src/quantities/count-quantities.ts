/** Volumes → what to order and what it weighs. The one place where bags and pallets are rounded up. */
import type { Depths } from "../depths/model.ts";
import { type Outcome, ready } from "../diagnostics.ts";
import { above } from "../geometry/level.ts";
import type { Job } from "../job/model.ts";
import type { KilogramsPerSquareMetre, Litres, Millimetres } from "../units.ts";
import type { BagCount, Hold, Lift, PrimerQuantity, Quantities } from "./model.ts";

/**
 * A sum that is this little past a whole number was that number before rounding of doubles: a
 * millionth of a bag is less than a pinch.
 */
const ROUNDING_GUARD = 1e-6;

/** Whole bags, pallets or lifts that hold an amount. */
const wholeUp = (amount: number): number => Math.max(0, Math.ceil(amount - ROUNDING_GUARD));

/**
 * Bags, water, primer, pallets, loads and lifts for the volume that `depths` orders: litres, kilograms,
 * kg/m², m². Ready for every poured floor; what must stop the pour stands in `holds`.
 */
export function countQuantities(job: Job, depths: Depths): Outcome<Quantities> {
  const { material, pour, floor, contract } = job;
  const bags = countBags(job, depths);
  const inFloor: Litres = bags.volume + bags.profileVolume;
  const wetWeight = inFloor * material.wetDensity;
  // 1 mm of a mix of d kg/L weighs d kg on a square metre.
  const greatestDeadLoad = (depths.greatest + pour.profileAllowance) * material.wetDensity;
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
    lifts: splitIntoLifts(depths, material.greatestLift),
    ...(contract.allowedBags === undefined
      ? {}
      : {
          againstAllowed: {
            allowedBags: contract.allowedBags,
            differenceBags: bags.toOrder - contract.allowedBags,
          },
        }),
    holds,
  });
}

/** Neat, profile and loss line by line; loss is a share of all that is mixed for the floor, profile included. */
function countBags({ material, pour }: Job, { volumeToOrder, area }: Depths): BagCount {
  const { yieldPerBag } = material;
  const profileVolume: Litres = pour.profileAllowance * area;
  const neat = volumeToOrder / yieldPerBag;
  const profile = profileVolume / yieldPerBag;
  const loss = pour.lossAllowance * (neat + profile);
  const sum = neat + profile + loss;
  return { volume: volumeToOrder, yieldPerBag, neat, profileVolume, profile, loss, sum, toOrder: wholeUp(sum) };
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
function splitIntoLifts({ mesh, depthMm, greatest, area, volumeToOrder }: Depths, greatestLift: Millimetres): Lift[] {
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
