/** What stands where: pallets, water, power, and how far things are carried. */
import type { GoodsLift, Job } from "../job/model.ts";
import type { Quantities } from "../quantities/model.ts";
import type { Metres } from "../units.ts";
import type { MixingPace } from "./crew-pace.ts";
import type { LiftTrips, Logistics } from "./model.ts";

/** A load that is just so many bags bears them: pounds turned to kilograms do not always add up. */
const GUARD = 1e-9;

/** Whole pallets where the lift bears a full one, else bag by bag. `checkGoodsLift` has refused a lift that bears no bag. */
function liftTrips({ pour, material }: Job, { load, roundTrip, way }: GoodsLift, bags: number): LiftTrips {
  const palletsATrip = Math.floor(load / (pour.bagsPerPallet * material.bag + pour.palletTare) + GUARD);
  const bagsATrip = palletsATrip > 0 ? palletsATrip * pour.bagsPerPallet : Math.floor(load / material.bag + GUARD);
  const trips = Math.ceil(bags / bagsATrip);
  return { palletsATrip, bagsATrip, trips, time: trips * roundTrip, ...(way === undefined ? {} : { way }) };
}

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
  const machines = (crew.pump?.mixesItself ? 0 : pace.mixers) + (crew.pump ? 1 : 0);
  return {
    pallets,
    palletLoad: quantities.palletLoad,
    holdStaging: floor.support === "suspended" && floor.acceptedBy === undefined,
    waterTotal: quantities.water,
    waterRate: (pace.bagsPerBatch * material.waterPerBag) / pace.interval,
    mixersRunning: crew.pump?.mixesItself ? 0 : pace.mixers,
    longestCarry,
    ...(crew.mixerPower === undefined ? {} : { power: machines * crew.mixerPower }),
    ...(crew.pump?.startingWaste === undefined ? {} : { startingWaste: starts * crew.pump.startingWaste }),
    ...(crew.pump ? { hoseNeeded: longestCarry } : {}),
    ...(pour.goodsLift ? { goodsLift: liftTrips(job, pour.goodsLift, bags) } : {}),
  };
}
