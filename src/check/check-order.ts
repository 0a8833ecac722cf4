/** Pins from the readings again; bags, water, weights and batches added again. */
import { agrees, type Disagree, type Evidence } from "./evidence.ts";

/** A depth that is short of the least by less than this is not ground: a tenth of what can be read. */
const NOT_WORTH_GRINDING_MM = 0.1;

export function checkPins({ findings }: Evidence, disagree: Disagree): void {
  const { job, plan, levels, target, depths } = findings;
  if (levels.kind !== "ready" || target.kind !== "ready" || depths.kind !== "ready") return;
  const level = new Map(levels.value.points.map((point) => [point.id, point.level]));
  const { leastAllowed, pins } = depths.value;
  if (pins.length !== plan.pins.length)
    disagree("pins-lost", `${plan.pins.length} pins are planned, ${pins.length} have a depth`);
  for (const { pin, depth, from, cut } of pins) {
    const read = level.get(pin.id);
    if ((read !== undefined) !== (from === "read")) disagree("pin-source-differs", `${pin.id} is said to be ${from}`);
    if (read !== undefined) {
      const zone = target.value.zones.find(({ roomIndices }) => roomIndices.includes(pin.roomIndex));
      const top = zone ? zone.top + zone.fallEast * pin.at.x + zone.fallNorth * pin.at.y : Number.NaN;
      if (!agrees(top - read, depth, 1e-5)) {
        disagree("pin-depth-differs", `${pin.id} is ${top - read} mm deep by its reading, ${depth} mm in the packet`);
      }
    }
    const length = job.pins.scaleCountsFoot ? depth : depth - job.pins.foot;
    const wanted =
      depth < leastAllowed - NOT_WORTH_GRINDING_MM
        ? "after-grinding"
        : length < job.pins.leastCut
          ? "too-short"
          : "cut";
    const doubtful = agrees(depth, leastAllowed, NOT_WORTH_GRINDING_MM) || agrees(length, job.pins.leastCut, 1e-5);
    if (cut.kind !== wanted && !doubtful)
      disagree("pin-cut-differs", `${pin.id} should be ${wanted}, and is ${cut.kind}`);
    if (cut.kind === "cut" && !agrees(cut.length, length, 1e-5)) {
      disagree("pin-cut-differs", `${pin.id} is cut to ${length} mm by its depth, to ${cut.length} mm in the packet`);
    }
  }
}

export function checkOrder({ findings }: Evidence, disagree: Disagree): void {
  const { job, depths, quantities, schedule } = findings;
  if (depths.kind !== "ready" || quantities.kind !== "ready") return;
  const { material, pour } = job;
  const { bags, lifts } = quantities.value;
  const compare = (what: string, mine: number, theirs: number) => {
    if (!agrees(mine, theirs))
      disagree("quantity-differs", `${what} is ${mine} when added again, ${theirs} in the packet`);
  };
  const mixedL = depths.value.volumeToOrder + pour.profileAllowance * depths.value.area;
  const needed = (mixedL * (1 + pour.lossAllowance)) / material.yieldPerBag;
  compare("the sum of bags", needed, bags.sum);
  compare("neat, profile and loss together", bags.neat + bags.profile + bags.loss, bags.sum);
  if (!Number.isInteger(bags.toOrder) || bags.toOrder < needed - 1e-5 || bags.toOrder >= needed + 1) {
    disagree("bags-differ", `${needed} bags are needed, and ${bags.toOrder} ordered`);
  }
  compare("the water", bags.toOrder * material.waterPerBag, quantities.value.water);
  compare("the weight of the bags", bags.toOrder * material.bag, quantities.value.bagWeight);
  compare("the weight in the floor", mixedL * material.wetDensity, quantities.value.wetWeight);
  compare("the mean dead load", (mixedL * material.wetDensity) / depths.value.area, quantities.value.meanDeadLoad);
  if (
    quantities.value.pallets * pour.bagsPerPallet < bags.toOrder ||
    (quantities.value.pallets - 1) * pour.bagsPerPallet >= bags.toOrder
  ) {
    disagree(
      "quantity-differs",
      `${bags.toOrder} bags, ${pour.bagsPerPallet} a pallet, do not make ${quantities.value.pallets} pallets`,
    );
  }
  compare(
    "the volume of all lifts",
    lifts.reduce((sum, lift) => sum + lift.volume, 0),
    depths.value.volumeToOrder,
  );
  const tooThick = lifts.find(({ thickness }) => thickness > material.greatestLift + 1e-6);
  if (tooThick)
    disagree(
      "lift-too-thick",
      `lift ${tooThick.number} is ${tooThick.thickness} mm thick, ${material.greatestLift} mm are allowed`,
    );
  if (job.floor.support === "suspended" && !job.floor.acceptedBy && quantities.value.holds.length === 0) {
    disagree("hold-missing", "a suspended floor that no engineer accepted is not on hold");
  }
  if (schedule.kind !== "ready") return;
  let bagsSoFar = 0;
  let before = Number.NEGATIVE_INFINITY;
  for (const batch of schedule.value.batches) {
    bagsSoFar += batch.bags;
    compare(`the bags up to batch ${batch.number}`, bagsSoFar, batch.cumulativeBags);
    compare(`the water of batch ${batch.number}`, batch.bags * material.waterPerBag, batch.water);
    if (batch.powderMeetsWater < before)
      disagree("batches-out-of-order", `batch ${batch.number} starts before the one before it`);
    before = batch.powderMeetsWater;
  }
  compare("the bags of all batches", bagsSoFar, bags.toOrder);
}
