/** Bags against the height of the top, and how sure the ordered number is. */

import type { Depths } from "../depths/model.ts";
import type { Material } from "../job/library-model.ts";
import type { Job } from "../job/model.ts";
import { isSameMaterial } from "../job/same-material.ts";
import { studentCdf } from "../numeric/distributions.ts";
import { type Extended, extendWithAggregate } from "../target/aggregate.ts";
import type { MaterialStudy, TargetStudy } from "../target/study-target.ts";
import type { VolumeUncertainty } from "../target/volume-uncertainty.ts";
import type { Litres, Millimetres, Share } from "../units.ts";
import { bagsFor, wholeUp } from "./count-quantities.ts";
import type { BagCount, Quantities } from "./model.ts";

/** One for each material that fills a zone, the job's first. */
export interface BagsByTarget {
  readonly material: Material;
  /** Rooms that it fills, by index in the plan, in the order of the target's zones. */
  readonly roomIndices: readonly number[];
  /** The number that is ordered, as everywhere else: of the slab's surface as it was read, allowances included. */
  readonly ordered: number;
  /** One for each row of the trade-off. */
  readonly curve: readonly BagsAtHeight[];
  /** By how many bags the need grows with each mm that the top is lifted from where it is; not rounded. */
  readonly bagsPerMm: number;
  /** Absent with too few readings to say. */
  readonly risk?: OrderRisk;
  /** What stretching the deep places with aggregate would save; absent where the data sheet or the depth does not allow it. */
  readonly withAggregate?: Extended & { readonly wholeBagsSaved: number };
}

export interface BagsAtHeight {
  readonly lift: Millimetres;
  /** Not rounded. */
  readonly bags: number;
  readonly toOrder: number;
}

/** Whole bags, allowances included. */
export interface OrderRisk {
  /** Enough as often as not. */
  readonly evenOdds: number;
  /** Enough nine times in ten. */
  readonly nineInTen: number;
  /** The share of floors like this one for which the ordered bags are enough. */
  readonly chance: Share;
}

export function bagsByTarget(
  job: Job,
  depths: Depths,
  quantities: Quantities,
  study: TargetStudy,
  zoneRooms: readonly (readonly number[])[],
): BagsByTarget[] {
  return study.byMaterial.map((of): BagsByTarget => {
    const { material, zones, sure } = of;
    const bags = orderedOf(job, quantities, of);
    const wedges = bags.wedgeVolume ?? 0;
    const surface = depths.parts?.find((part) => isSameMaterial(part.material, material)) ?? depths;
    const needFor = (volume: Litres): BagCount => bagsFor(job, material, volume + wedges, surface.area);
    const curve = study.tradeOff.map(({ lift, byZone }): BagsAtHeight => {
      const need = needFor(zones.reduce((sum, zone) => sum + byZone[zone]!.volume, 0));
      return { lift, bags: need.sum, toOrder: need.toOrder };
    });
    const here = study.tradeOff.find(({ lift }) => lift === 0);
    if (!here) throw new Error("the trade-off has no row for the top itself");
    const litresPerMm = zones.reduce((sum, zone) => sum + here.byZone[zone]!.litresPerMm, 0);
    const extended = extendWithAggregate(surface.mesh, surface.depthMm, material);
    return {
      material,
      roomIndices: zones.flatMap((zone) => zoneRooms[zone]!),
      ordered: bags.toOrder,
      curve,
      bagsPerMm: (litresPerMm * (1 + job.pour.lossAllowance)) / material.yieldPerBag,
      ...(sure ? { risk: riskOf(job, sure, bags, needFor) } : {}),
      ...(extended ? { withAggregate: { ...extended, wholeBagsSaved: savedBags(job, bags, extended) } } : {}),
    };
  });
}

function orderedOf(job: Job, quantities: Quantities, { material }: MaterialStudy): BagCount {
  if (isSameMaterial(material, job.material)) return quantities.bags;
  const other = quantities.otherMaterials?.find((one) => isSameMaterial(one.material, material));
  if (!other) throw new Error(`no bags of ${material.id} were counted, though a zone is filled with it`);
  return other.bags;
}

function riskOf(
  job: Job,
  { evenOdds, nineInTen, sd, freedom }: VolumeUncertainty,
  { toOrder, yieldPerBag, profileVolume, wedgeVolume }: BagCount,
  needFor: (volume: Litres) => BagCount,
): OrderRisk {
  // What the ordered bags fill when profile, wedges and losses take what they are allowed.
  const filled = (toOrder * yieldPerBag) / (1 + job.pour.lossAllowance) - profileVolume - (wedgeVolume ?? 0);
  return {
    evenOdds: needFor(evenOdds).toOrder,
    nineInTen: needFor(nineInTen).toOrder,
    chance: sd > 0 ? studentCdf((filled - evenOdds) / sd, freedom) : filled >= evenOdds ? 1 : 0,
  };
}

/** Whole bags ordered less whole bags ordered where the deep places are extended. */
const savedBags = ({ pour }: Job, { sum, toOrder }: BagCount, { bagsSaved }: Extended): number =>
  toOrder - wholeUp(sum - bagsSaved * (1 + pour.lossAllowance));
