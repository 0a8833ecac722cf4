/** Pins from the readings again; bags, water, weights and batches added again. */
import type { Depths } from "../depths/model.ts";
import type { Material } from "../job/library-model.ts";
import type { PlanPin } from "../layout/model.ts";
import type { Findings } from "../sheets/model.ts";
import type { Target } from "../target/model.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import { greatestDeadLoadAgain } from "./second-load.ts";
import { topAgainMm } from "./second-top.ts";

/** A depth that is short of the least by less than this is not ground: a tenth of what can be read. */
const NOT_WORTH_GRINDING_MM = 0.1;

export function checkPins({ findings }: Evidence, disagree: Disagree): void {
  const { job, plan, levels, target, depths } = findings;
  if (levels.kind !== "ready" || target.kind !== "ready" || depths.kind !== "ready") return;
  const level = new Map(levels.value.points.map((point) => [point.id, point.level]));
  const { pins } = depths.value;
  if (pins.length !== plan.pins.length)
    disagree("pins-lost", `${plan.pins.length} pins are planned, ${pins.length} have a depth`);
  for (const { pin, depth, from, cut } of pins) {
    const read = level.get(pin.id);
    if ((read !== undefined) !== (from === "read")) disagree("pin-source-differs", `${pin.id} is said to be ${from}`);
    const zone = target.value.zones.find(({ roomIndices }) => roomIndices.includes(pin.roomIndex));
    const leastAllowed = (zone?.material ?? job.material).depthOn[job.floor.substrate]?.least ?? Number.NaN;
    if (read !== undefined) {
      const top = topAgainMm(zone, pin.at) + rampOver(findings, target.value, pin);
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
    const doubtful =
      agrees(depth, leastAllowed, NOT_WORTH_GRINDING_MM + 1e-5) || agrees(length, job.pins.leastCut, 1e-5);
    if (cut.kind !== wanted && !doubtful)
      disagree("pin-cut-differs", `${pin.id} should be ${wanted}, and is ${cut.kind}`);
    if (cut.kind === "cut" && !agrees(cut.length, length, 1e-5)) {
      disagree("pin-cut-differs", `${pin.id} is cut to ${length} mm by its depth, to ${cut.length} mm in the packet`);
    }
  }
}

/** What a ramp of the room's own material adds at a pin: the distances from its door worked out again. */
function rampOver({ job, plan }: Findings, target: Target, { at, roomIndex }: PlanPin): number {
  for (const { doorId, how, higherZone, lowerZone, lowerRoom } of target.meets ?? []) {
    if ((how.kind !== "ramp" && how.kind !== "feather") || lowerRoom !== roomIndex) continue;
    const [high, low] = [target.zones[higherZone], target.zones[lowerZone]];
    if (!high || !low || nameOf(how.material) !== nameOf(low.material ?? job.material)) continue;
    const ofRoom = plan.floors.findIndex(({ doors }) => doors.some(({ id }) => id === doorId));
    const door = plan.floors[ofRoom]?.doors.find(({ id }) => id === doorId);
    if (!door) continue;
    const [{ x: ax, y: ay }, { x: bx, y: by }] = door.jambs;
    const cross = ((bx - ax) * (at.y - ay) - (by - ay) * (at.x - ax)) / door.width;
    // Left of the jambs lies the room of the door; the other one begins behind the wall.
    const away = ofRoom === roomIndex ? cross : -cross - door.wallThickness;
    const along = ((bx - ax) * (at.x - ax) + (by - ay) * (at.y - ay)) / door.width ** 2;
    if (away < 0 || away > how.length || along < 0 || along > 1) continue;
    const steps = door.jambs.map((jamb) => Math.max(0, topAgainMm(high, jamb) - topAgainMm(low, jamb)));
    return ((steps[0] as number) * (1 - along) + (steps[1] as number) * along) * (1 - away / how.length);
  }
  return 0;
}

interface Fill {
  roomsL: number;
  wedgesL: number;
  areaM2: number;
}

/** An id may be given twice, once in a file of the library and once in the job. */
const nameOf = ({ id, place }: Material): string => `${id} (${place?.file ?? "made"}:${place?.line ?? 0})`;

/** What each material fills: rooms by their zone, and wedges at doors worked out again from the tops at both jambs. */
function fillsByMaterial({ job, plan }: Findings, target: Target, depths: Depths): ReadonlyMap<string, Fill> {
  const fills = new Map<string, Fill>();
  const fillOf = (material: Material): Fill => {
    const known = fills.get(nameOf(material)) ?? { roomsL: 0, wedgesL: 0, areaM2: 0 };
    fills.set(nameOf(material), known);
    return known;
  };
  for (const { roomIndex, area, volumeToOrder } of depths.rooms) {
    const fill = fillOf(target.zones.find((zone) => zone.roomIndices.includes(roomIndex))?.material ?? job.material);
    fill.roomsL += volumeToOrder;
    fill.areaM2 += area;
  }
  for (const { doorId, how, higherZone, lowerZone } of target.meets ?? []) {
    if (how.kind !== "ramp" && how.kind !== "feather") continue;
    const door = plan.floors.flatMap(({ doors }) => doors).find(({ id }) => id === doorId);
    const steps = (door?.jambs ?? []).map((jamb) =>
      Math.max(0, topAgainMm(target.zones[higherZone], jamb) - topAgainMm(target.zones[lowerZone], jamb)),
    );
    // A triangle as high as the step and as long as the wedge, drawn along the door.
    const triangles = steps.map((step) => (step * how.length) / 2);
    fillOf(how.material).wedgesL += ((triangles[0] as number) + (triangles[1] as number)) * 0.5 * (door?.width ?? 0);
  }
  return fills;
}

/** The learned loss at this floor's own mean depth, litres over area, and what it moves: the order less one by the usual loss. */
function checkLearned({ findings, packet }: Evidence, disagree: Disagree): void {
  const { job, depths, quantities } = findings;
  const { learnedLoss, lossAllowance, profileAllowance } = job.pour;
  if (learnedLoss === undefined || depths.kind !== "ready" || quantities.kind !== "ready") return;
  const { area, volumeToOrder } = depths.value;
  const meanMm = volumeToOrder / area;
  const atMean = learnedLoss.loss + (meanMm - learnedLoss.depth) * learnedLoss.perMm;
  const limited = JSON.stringify(job.target).includes('"bags":');
  const loss = Math.max(0, limited ? learnedLoss.loss : atMean);
  if (!agrees(loss, lossAllowance, 1e-6))
    disagree("loss-differs", `the loss that was learned is ${loss} at ${meanMm} mm, ${lossAllowance} is allowed`);
  const bagsAt = (share: number) =>
    ((volumeToOrder + profileAllowance * area) * (1 + share)) / job.material.yieldPerBag;
  const moved = bagsAt(loss) - bagsAt(learnedLoss.usual);
  const theirs = packet.quantities.kind === "ready" ? packet.quantities.result.learnedLoss?.movedBags : undefined;
  if (theirs === undefined || !agrees(moved, theirs, 1e-4))
    disagree("loss-differs", `the learned loss moves the order by ${moved} bags, by ${theirs} in the packet`);
}

export function checkOrder(evidence: Evidence, disagree: Disagree): void {
  const { findings } = evidence;
  const { job, target, depths, quantities, schedule } = findings;
  if (target.kind !== "ready" || depths.kind !== "ready" || quantities.kind !== "ready") return;
  const { material, pour } = job;
  const { bags, lifts } = quantities.value;
  const compare = (what: string, mine: number, theirs: number) => {
    if (!agrees(mine, theirs))
      disagree("quantity-differs", `${what} is ${mine} when added again, ${theirs} in the packet`);
  };
  const orders = [{ material, bags }, ...(quantities.value.otherMaterials ?? [])];
  const fills = fillsByMaterial(findings, target.value, depths.value);
  for (const name of fills.keys()) {
    if (!orders.some((order) => nameOf(order.material) === name))
      disagree("bags-differ", `nothing is ordered of ${name}`);
  }
  checkLearned(evidence, disagree);
  let wetWeight = 0;
  for (const order of orders) {
    const { id, yieldPerBag, wetDensity } = order.material;
    const fill = fills.get(nameOf(order.material)) ?? { roomsL: 0, wedgesL: 0, areaM2: 0 };
    const mixedL = fill.roomsL + fill.wedgesL + pour.profileAllowance * fill.areaM2;
    wetWeight += mixedL * wetDensity;
    const needed = (mixedL * (1 + pour.lossAllowance)) / yieldPerBag;
    const { neat, profile, loss, sum, toOrder } = order.bags;
    compare(`the sum of bags of ${id}`, needed, sum);
    compare(`neat, profile and loss of ${id} together`, neat + profile + loss, sum);
    if (!Number.isInteger(toOrder) || toOrder < needed - 1e-5 || toOrder >= needed + 1) {
      disagree("bags-differ", `${needed} bags of ${id} are needed, and ${toOrder} ordered`);
    }
  }
  compare("the water", bags.toOrder * material.waterPerBag, quantities.value.water);
  compare("the weight of the bags", bags.toOrder * material.bag, quantities.value.bagWeight);
  compare("the weight in the floor", wetWeight, quantities.value.wetWeight);
  compare("the mean dead load", wetWeight / depths.value.area, quantities.value.meanDeadLoad);
  const heaviest = greatestDeadLoadAgain(findings);
  // Depths are kept to a millionth of a millimetre; a mix weighs a few kilograms a millimetre.
  if (heaviest !== undefined && !agrees(heaviest, quantities.value.greatestDeadLoad, 1e-5 * Math.max(1, heaviest))) {
    disagree(
      "dead-load-differs",
      `the greatest dead load is ${heaviest} kg/m² by another way, ${quantities.value.greatestDeadLoad} kg/m² in the packet`,
    );
  }
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
    fills.get(nameOf(material))?.roomsL ?? 0,
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
