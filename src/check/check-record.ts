/** The record again from the job file's own text: where bags stop, reasons that add up, times after the pour. */
import type { Sheet } from "../sheets/model.ts";
import { checkHolds, checkReadiness } from "./check-readiness.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import { type WrittenBatch, type WrittenJob, writtenJob } from "./written-job.ts";

export function checkRecord(evidence: Evidence, disagree: Disagree): void {
  const written = writtenJob(evidence.jobText);
  checkReadiness(evidence, written, disagree);
  checkHolds(evidence, written, disagree);
  checkStop(evidence, written, disagree);
  checkDifference(evidence, disagree);
  checkAccount(evidence, written, disagree);
  checkHoldOffs(evidence, written, disagree);
  checkDocuments(evidence, disagree);
}

/** The same count on the cover, the pour clock and the joint survey, in every language. */
function checkStop({ findings, packet, sheets }: Evidence, { contract }: WrittenJob, disagree: Disagree): void {
  const { record, quantities } = findings;
  if (record.kind !== "ready" || quantities.kind !== "ready") return;
  const count = Number(contract?.approved_bags?.bags ?? contract?.allowed_bags ?? quantities.value.bags.toOrder);
  if (record.value.stop?.bags !== count) {
    disagree("stop-differs", `bags stop at ${count} by the job file, at ${record.value.stop?.bags} in the record`);
  }
  if (packet.record.kind === "ready" && packet.record.result.stop?.bags !== count) {
    disagree(
      "stop-differs",
      `bags stop at ${count} by the job file, at ${packet.record.result.stop?.bags} in packet.json`,
    );
  }
  for (const sheet of sheets.filter(({ id }) => id === "cover" || id === "joint-survey" || id === "mixing-schedule")) {
    // A clock that says not to mix has no count to stop at.
    if (
      sheet.id === "mixing-schedule" &&
      findings.schedule.kind === "ready" &&
      findings.schedule.value.kind !== "can-be-poured"
    )
      continue;
    if (!boldCounts(sheet).includes(count)) {
      disagree("sheet-differs", `${sheet.id} in ${sheet.language} does not say that bags stop at ${count}`);
    }
  }
}

/** Of each bold paragraph that holds just one whole number, that number. */
function boldCounts(sheet: Sheet): number[] {
  return sheet.pages
    .flatMap(({ blocks }) => blocks)
    .flatMap((block) => {
      if (block.kind !== "text" || block.type.weight !== 700) return [];
      const numbers =
        block.lines
          .join(" ")
          .replace(/(\d)\u00a0(?=\d)/g, "$1")
          .match(/\d+/g) ?? [];
      return numbers.length === 1 ? [Number(numbers[0])] : [];
    });
}

/** Reasons of the difference add up, and each room's is what its depth and area make. */
function checkDifference({ findings }: Evidence, disagree: Disagree): void {
  const { record, job, depths, quantities } = findings;
  if (record.kind !== "ready" || depths.kind !== "ready" || quantities.kind !== "ready") return;
  const { difference } = record.value;
  if (difference === undefined) {
    if (job.contract.allowedBags !== undefined)
      disagree("difference-differs", "the reasons of a difference are missing");
    return;
  }
  const { rooms, areaBags, wedgeBags, roundingBags, unexplainedBags, bags } = difference;
  const sum = rooms.reduce((all, room) => all + room.bags, areaBags + wedgeBags + roundingBags + unexplainedBags);
  const wanted = quantities.value.bags.toOrder - (job.contract.allowedBags ?? Number.NaN);
  if (!agrees(sum, wanted, 1e-6) || bags !== wanted) {
    disagree("difference-differs", `the reasons make ${sum} bags, ordered less allowed is ${wanted}`);
  }
  const { yieldPerBag } = quantities.value.bags;
  for (const { roomIndex, area, plannedDepth, bidDepth, bags: told } of rooms) {
    const room = depths.value.rooms.find((one) => one.roomIndex === roomIndex);
    const again =
      (((plannedDepth - bidDepth) * (room?.area ?? Number.NaN)) / yieldPerBag) * (1 + job.pour.lossAllowance);
    if (!agrees(again, told, 1e-6) || !agrees(plannedDepth * area, room?.volumeToOrder ?? Number.NaN, 1e-5)) {
      disagree("difference-differs", `room ${roomIndex} takes ${again} bags more than assumed, ${told} in the packet`);
    }
  }
}

function checkAccount({ findings }: Evidence, { results }: WrittenJob, disagree: Disagree): void {
  const { record, quantities } = findings;
  if (record.kind !== "ready" || quantities.kind !== "ready") return;
  const { account } = record.value;
  if (account === undefined || results === undefined) {
    if (results !== undefined) disagree("account-differs", "the pour is in the job file and not accounted for");
    return;
  }
  const compare = (what: string, mine: number, theirs: number) => {
    if (!agrees(mine, theirs, 1e-6))
      disagree("account-differs", `${what}: ${mine} by the job file, ${theirs} in the packet`);
  };
  const own = findings.job.material.id;
  /** A batch is of what it says, else of what its lot says, else the job's. */
  const materialOf = ({ lot, material }: WrittenBatch): string =>
    material ?? results.lots.find((one) => lot !== undefined && `${one.lot}` === `${lot}`)?.material ?? own;
  const mixedOf = new Map<string, number>();
  for (const batch of results.batches)
    mixedOf.set(materialOf(batch), (mixedOf.get(materialOf(batch)) ?? 0) + Number(batch.bags));
  const mixed = mixedOf.get(own) ?? 0;
  const burst = Number(results.burst_bags ?? 0);
  const ordered = quantities.value.bags.toOrder;
  compare("bags mixed", mixed, account.bags.mixed);
  compare("bags used", mixed + burst, account.bags.used);
  compare("used less planned", mixed + burst - ordered, account.bags.difference);
  let delivered = 0;
  for (const { bags, material } of results.lots) if ((material ?? own) === own) delivered += Number(bags);
  compare("bags delivered", delivered, account.bags.delivered);
  let reasons = 0;
  for (const { bags } of account.reasons) reasons += bags;
  compare("the reasons together", mixed + burst - ordered, reasons);
  const { placed } = account.volume;
  if (placed !== undefined && account.yieldPerBag.found !== undefined) {
    // What is in the floor must come out of the barrels again.
    const inFloor = mixed - Number(results.thrown_bags ?? 0);
    const made = (inFloor * account.yieldPerBag.found) / (1 + findings.job.pour.lossAllowance);
    compare("litres in the floor", placed.volume + quantities.value.bags.profileVolume, made);
  }
  for (const { material, bags, volume, loss } of account.otherMaterials) {
    compare(`bags of ${material.id}`, mixedOf.get(material.id) ?? 0, bags.inFloor);
    const order = quantities.value.otherMaterials?.find((one) => one.material.id === material.id);
    if (volume.placed === undefined || loss.found === undefined || order === undefined) continue;
    const filled = volume.placed.volume + order.bags.profileVolume;
    compare(`litres of ${material.id}`, filled * (1 + loss.found), bags.inFloor * material.yieldPerBag);
  }
  const ownBatches = results.batches.filter((batch) => materialOf(batch) === own);
  checkWeighed(findings.job.material, ownBatches, account.yieldPerBag.weighed?.litres, disagree);
}

/** kg/L, litres and kilograms again as typed, for units that the office uses; undefined where this reader knows none. */
const KG_PER_L: Readonly<Record<string, number>> = { "kg/m3": 0.001, "kg/l": 1, "lb/ft3": 0.45359237 / 28.316846592 };
const LITRES: Readonly<Record<string, number>> = { l: 1, ml: 0.001, qt: 0.946352946, gal: 3.785411784 };

function inUnits(typed: string | number, units: Readonly<Record<string, number>>): number | undefined {
  const hit = /^([\d.]+) ?(.+)$/.exec(String(typed).trim().toLowerCase().replaceAll("³", "3"));
  const unit = units[(hit?.[2] ?? "").replace(/\s+/g, "")];
  return unit === undefined ? undefined : Number(hit?.[1]) * unit;
}

/** Mass over density, batch by batch. */
function checkWeighed(
  { bag, waterPerBag }: { readonly bag: number; readonly waterPerBag: number },
  batches: readonly WrittenBatch[],
  theirs: number | undefined,
  disagree: Disagree,
): void {
  const weighed = batches.filter(({ density }) => density !== undefined);
  let sum = 0;
  for (const { bags, water, density } of weighed) {
    const litres = water === undefined ? waterPerBag * Number(bags) : inUnits(water, LITRES);
    const heavy = inUnits(density ?? "", KG_PER_L);
    if (litres === undefined || heavy === undefined) return;
    sum += (Number(bags) * bag + litres) / heavy / Number(bags);
  }
  const mine = weighed.length === 0 ? undefined : sum / weighed.length;
  if ((mine === undefined) !== (theirs === undefined) || (mine !== undefined && !agrees(mine, theirs as number, 1e-6)))
    disagree("account-differs", `a bag made ${mine} L by its weight, ${theirs} L in the packet`);
}

/** Minutes since the year 2000 of a date and a time of day, leap years counted one by one. */
function minutesOf(date: string, time: string): number {
  const [year, month, day] = date.split("-").map(Number) as [number, number, number];
  const leap = (of: number) => (of % 4 === 0 && of % 100 !== 0) || of % 400 === 0;
  let days = day - 1;
  for (let past = 2000; past < year; past++) days += leap(past) ? 366 : 365;
  const months = [31, leap(year) ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
  for (let past = 1; past < month; past++) days += months[past - 1] as number;
  const [hour, minute] = time.split(":").map(Number) as [number, number];
  return days * 1440 + hour * 60 + minute;
}

/** The floor is kept free so long after its last batch, and not a minute less. */
function checkHoldOffs({ findings }: Evidence, { results }: WrittenJob, disagree: Disagree): void {
  const { record, job } = findings;
  if (record.kind !== "ready") return;
  const { holdOffs, account } = record.value;
  const walk = holdOffs.find(({ what }) => what === "walk-on");
  if (walk?.after !== job.material.walkOn) {
    disagree(
      "hold-off-differs",
      `walked on after ${job.material.walkOn} min by the data sheet, ${walk?.after} min here`,
    );
  }
  if (account === undefined || results === undefined) return;
  let last = Number.NEGATIVE_INFINITY;
  for (const { date, mixed, placed } of results.batches) {
    const began = minutesOf(date ?? results.poured, mixed);
    last = Math.max(
      last,
      placed === undefined ? began + job.material.flowTime : minutesOf(date ?? results.poured, placed),
    );
  }
  for (const { what, after, until } of holdOffs) {
    const [date, time] = (until ?? "").split(" ");
    const at = date === undefined || time === undefined ? Number.NaN : minutesOf(date, time);
    if (!(at >= last + after - 0.5 && at < last + after + 1.5)) {
      disagree("hold-off-differs", `${what}: ${until} is not ${after} min after the last batch`);
    }
  }
}

/** A checksum in the packet is that of the file as it was read. */
function checkDocuments({ packet, beside = [] }: Evidence, disagree: Disagree): void {
  if (packet.record.kind !== "ready") return;
  for (const { file, sha256 } of packet.record.result.documents) {
    if (file === null) continue;
    const there = beside.find(({ name }) => name === file)?.sha256 ?? null;
    if (there !== sha256) disagree("checksum-differs", `${file} has the checksum ${there}, ${sha256} in the packet`);
  }
}
