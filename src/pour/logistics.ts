/** What stands where: pallets, water, power, and how far things are carried. */
import type { Job } from "../job/model.ts";
import type { Quantities } from "../quantities/model.ts";
import type { Metres } from "../units.ts";
import type { MixingPace } from "./crew-pace.ts";
import type { Logistics } from "./model.ts";

/** Pallets are emptied in order, at the places that the job gives, round again where it gives fewer places than pallets. */
export function logistics(
  job: Job,
  quantities: Quantities,
  pace: MixingPace,
  longestCarry: Metres,
  starts: number,
): Logistics {
  const { pour, crew, floor, material } = job;
  const places = pour.palletsAt ?? [];
  const bags = quantities.bags.toOrder;
  const pallets = Array.from({ length: quantities.pallets }, (_, k) => {
    const at = places[k % Math.max(1, places.length)];
    return {
      number: k + 1,
      firstBag: k * pour.bagsPerPallet + 1,
      lastBag: Math.min((k + 1) * pour.bagsPerPallet, bags),
      ...(at ? { at } : {}),
    };
  });
  const machines = pace.mixers + (crew.pump ? 1 : 0);
  return {
    pallets,
    palletLoad: quantities.palletLoad,
    holdStaging: floor.support === "suspended" && floor.acceptedBy === undefined,
    waterTotal: quantities.water,
    waterRate: (pace.bagsPerBatch * material.waterPerBag) / pace.interval,
    mixersRunning: pace.mixers,
    longestCarry,
    ...(crew.mixerPower === undefined ? {} : { power: machines * crew.mixerPower }),
    ...(crew.pump?.startingWaste === undefined ? {} : { startingWaste: starts * crew.pump.startingWaste }),
    ...(crew.pump ? { hoseNeeded: longestCarry } : {}),
  };
}
