/** Bags against the contract: where they stop, and why the order is not what the price includes. */

import type { Depths } from "../depths/model.ts";
import { aboveByRegion } from "../geometry/level.ts";
import type { Contract } from "../job/contract-model.ts";
import type { Job } from "../job/model.ts";
import type { Quantities } from "../quantities/model.ts";
import type { Millimetres } from "../units.ts";
import type { BagDifference, BagStop, RoomDifference } from "./model.ts";
import { findPart } from "./own-part.ts";

/**
 * The bag count past which nobody goes on without written approval: that of the last approval; without one what the
 * price includes; without an allowance what is planned.
 */
export function bagStop({ approvedBags, allowedBags }: Contract, planned: number): BagStop {
  if (approvedBags !== undefined) return { bags: approvedBags.bags, from: "approval", planned };
  if (allowedBags !== undefined) return { bags: allowedBags, from: "allowance", planned };
  return { bags: planned, from: "order", planned };
}

/**
 * The difference between bags ordered and allowed, room by room: a room deeper than the bid assumed takes
 * (planned − assumed depth) × area more, with the same yield, loss and profile.
 */
export function bagDifference(job: Job, depths: Depths, { bags }: Quantities): BagDifference | undefined {
  const { contract, pour } = job;
  const { allowedBags, bid } = contract;
  if (allowedBags === undefined) return undefined;
  const own = findPart(job, depths);
  const rooms = depths.rooms.filter(({ roomIndex }) => own.roomIndices.includes(roomIndex));
  const area = rooms.reduce((sum, room) => sum + room.area, 0);
  const bidArea = bid?.area ?? area;
  /** Bags of a litre in the floor, loss included. */
  const bagsPerLitre = (1 + pour.lossAllowance) / bags.yieldPerBag;
  // Depth that the allowed bags fill over the bid's area: allowed × yield ÷ (1 + loss) ÷ area, less the profile.
  const impliedDepth: Millimetres = allowedBags / bagsPerLitre / bidArea - pour.profileAllowance;
  const assumedDepth = (roomIndex: number): Millimetres =>
    bid?.rooms.find(({ roomId }) => roomId === job.rooms[roomIndex]?.id)?.depth ??
    contract.allowedDepth ??
    impliedDepth;
  const told = rooms.map((room): RoomDifference => {
    const bidDepth = assumedDepth(room.roomIndex);
    const deeper = deeperThan(own, bidDepth, room.roomIndex, job.rooms.length);
    return {
      roomIndex: room.roomIndex,
      area: room.area,
      plannedDepth: room.volumeToOrder / room.area,
      bidDepth,
      bags: bagsPerLitre * (room.volumeToOrder - bidDepth * room.area),
      deeperArea: deeper.area,
      deeperBags: bagsPerLitre * deeper.integral,
    };
  });
  const bidVolume = told.reduce((sum, room) => sum + (room.bidDepth + pour.profileAllowance) * room.area, 0);
  const bidBags = area === 0 ? 0 : (bagsPerLitre * bidVolume * bidArea) / area;
  return {
    planned: bags.toOrder,
    allowed: allowedBags,
    bags: bags.toOrder - allowedBags,
    assumed:
      (bid?.rooms.length ?? 0) > 0 ? "bid" : contract.allowedDepth === undefined ? "allowed-bags" : "allowed-depth",
    rooms: told,
    areaBags: bagsPerLitre * bidVolume - bidBags,
    ...(bid?.area === undefined ? {} : { bidArea }),
    wedgeBags: bagsPerLitre * (bags.wedgeVolume ?? 0),
    roundingBags: bags.toOrder - bags.sum,
    unexplainedBags: bidBags - allowedBags,
  };
}

function deeperThan(
  { mesh, depthMm }: Pick<Depths, "mesh" | "depthMm">,
  depth: Millimetres,
  roomIndex: number,
  rooms: number,
): { readonly area: number; readonly integral: number } {
  return aboveByRegion(mesh, depthMm, depth, rooms)[roomIndex] ?? { area: 0, integral: 0 };
}
