/** The trade-off, the doors and the order's risk, held against the slab, the tops and the order by other ways. */

import type { Job } from "../job/model.ts";
import type { BuildUpLayer } from "../job/target-model.ts";
import type { Findings, Sheet } from "../sheets/model.ts";
import type { Packet } from "../sheets/packet-schema.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import { triangleVolumeByLayersL } from "./second-volume.ts";

/** Rows of the trade-off whose volume is worked out again: every so many, the packet's own top among them. */
const EVERY_ROW = 5;
/** 2010 ADA Standards for Accessible Design, 303: 1/4 in upright, 1/2 in bevelled. */
const UPRIGHT_MM = 6.35;
const BEVELLED_MM = 12.7;
const FLUSH_MM = 1;

export function checkTarget({ findings, packet, sheets }: Evidence, disagree: Disagree): void {
  if (packet.targetStudy.kind !== "ready") return;
  checkTradeOff(findings, disagree);
  checkOrderedBags(findings, disagree);
  checkDoors(findings, disagree);
  checkRisk(findings, disagree);
  for (const sheet of sheets) if (sheet.id === "top-of-pour") checkTopSheet(sheet, packet, disagree);
}

const compareIn =
  (disagree: Disagree, code: string) =>
  (what: string, mine: number, theirs: number, within?: number): void => {
    if (!agrees(mine, theirs, within)) disagree(code, `${what} is ${mine} by another way, ${theirs} in the packet`);
  };

/** Volume and greatest depth with all tops lifted, straight from the slab. */
function liftedFloor({ job, slab, target }: Findings, liftMm: number): { volumeL: number; deepestMm: number } {
  if (slab.kind !== "ready" || target.kind !== "ready") return { volumeL: Number.NaN, deepestMm: Number.NaN };
  const { mesh, levelMm } = slab.value;
  let [volumeL, deepestMm] = [0, Number.NEGATIVE_INFINITY];
  for (let t = 0; t < mesh.regionOf.length; t++) {
    const zone = target.value.zones.find(({ roomIndices }) => roomIndices.includes(mesh.regionOf[t] as number));
    if (zone === undefined) return { volumeL: Number.NaN, deepestMm: Number.NaN };
    const least = (zone.material ?? job.material).depthOn[job.floor.substrate]?.least ?? Number.NaN;
    const [a, b, c] = [0, 1, 2].map((k) => {
      const v = mesh.corners[3 * t + k] as number;
      const [x, y] = [mesh.xM[v] as number, mesh.yM[v] as number];
      return { x, y, depth: zone.top + liftMm + zone.fallEast * x + zone.fallNorth * y - (levelMm[v] as number) };
    }) as [Corner, Corner, Corner];
    const area = ((b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y)) / 2;
    volumeL += triangleVolumeByLayersL(area, [a.depth, b.depth, c.depth], least);
    deepestMm = Math.max(deepestMm, a.depth, b.depth, c.depth);
  }
  return { volumeL, deepestMm };
}

interface Corner {
  readonly x: number;
  readonly y: number;
  readonly depth: number;
}

function checkTradeOff(findings: Findings, disagree: Disagree): void {
  const { depths, targetStudy } = findings;
  if (depths.kind !== "ready" || targetStudy.kind !== "ready") return;
  const rows = targetStudy.value.tradeOff;
  const compare = compareIn(disagree, "trade-off-differs");
  const within = (volumeL: number) => 1e-6 * depths.value.area + 1e-7 * volumeL;
  const here = rows.find(({ lift }) => lift === 0);
  if (here === undefined) {
    disagree("trade-off-differs", "no row of the trade-off is the packet's own top");
    return;
  }
  const toOrder = depths.value.volumeToOrder;
  compare("the volume in the row of the packet's own top", toOrder, here.volume, within(toOrder));
  for (const [k, row] of rows.entries()) {
    const before = rows[k - 1];
    if (before !== undefined && !(row.lift > before.lift && row.volume >= before.volume - within(row.volume)))
      disagree("trade-off-differs", `the row at ${row.lift} mm holds less than the one below it`);
    if (before !== undefined && row.ground.volume > before.ground.volume + within(row.ground.volume))
      disagree("trade-off-differs", `the row at ${row.lift} mm grinds more than the one below it`);
    if (k % EVERY_ROW !== 0) continue;
    const again = liftedFloor(findings, row.lift);
    compare(`the volume at ${row.lift} mm`, again.volumeL, row.volume, within(again.volumeL));
    compare(`the greatest depth at ${row.lift} mm`, again.deepestMm, row.greatestDepth);
  }
}

/** The number that is ordered is one number. */
function checkOrderedBags({ job, quantities, targetStudy }: Findings, disagree: Disagree): void {
  if (quantities.kind !== "ready" || targetStudy.kind !== "ready") return;
  const { bags, otherMaterials } = quantities.value;
  for (const { material, ordered, curve } of targetStudy.value.bags) {
    const order = otherMaterials?.find((other) => other.material === material)?.bags ?? bags;
    if (order === bags && material.id !== job.material.id)
      disagree("bags-differ", `nothing is ordered of ${material.id}`);
    const here = curve.find(({ lift }) => lift === 0);
    if (ordered !== order.toOrder || here?.toOrder !== order.toOrder) {
      disagree(
        "bags-differ",
        `${order.toOrder} bags of ${material.id} are ordered, the study has ${ordered} and ${here?.toOrder}`,
      );
    }
    for (const { lift, bags: need, toOrder } of curve) {
      if (!Number.isInteger(toOrder) || toOrder < need - 1e-5 || toOrder >= need + 1)
        disagree("bags-differ", `at ${lift} mm ${need} bags are needed, and ${toOrder} would be ordered`);
    }
  }
}

/** The covering that the job's target names for a room; none where it names none. */
function coveringMm(job: Job, roomId: string): number {
  const { target } = job;
  const top = target.kind === "zones" ? target.zones.find(({ roomIds }) => roomIds.includes(roomId))?.top : target;
  const flush = top?.kind === "sought" ? top.atDoors.find((door) => door.kind === "flush") : undefined;
  const layers: readonly BuildUpLayer[] = top?.kind === "door" ? top.buildUp : (flush?.buildUp ?? []);
  let sum = 0;
  for (const { thickness } of layers) sum += thickness;
  return sum;
}

function checkDoors({ job, plan, target, targetStudy }: Findings, disagree: Disagree): void {
  if (target.kind !== "ready" || targetStudy.kind !== "ready") return;
  const compare = compareIn(disagree, "transition-differs");
  for (const { doorId, roomIndex, finish, neighbourFinish, step, kind } of targetStudy.value.transitions) {
    const floor = plan.floors[roomIndex];
    const door = floor?.doors.find(({ id }) => id === doorId);
    const zone = target.value.zones.find(({ roomIndices }) => roomIndices.includes(roomIndex));
    if (floor === undefined || door === undefined || zone === undefined) {
      disagree("transition-differs", `door ${doorId} is no door of room ${floor?.roomId}`);
      continue;
    }
    const covering = coveringMm(job, floor.roomId);
    const finishes = door.jambs.map(({ x, y }) => zone.top + zone.fallEast * x + zone.fallNorth * y + covering);
    if (!finishes.some((mine) => agrees(mine, finish)))
      disagree(
        "transition-differs",
        `the finish at door ${doorId} is ${finishes.join(" or ")} mm, ${finish} in the packet`,
      );
    compare(`the step at door ${doorId}`, finish - neighbourFinish, step);
    const size = Math.abs(step);
    const wanted =
      size <= FLUSH_MM ? "flush" : size <= UPRIGHT_MM ? "vertical" : size <= BEVELLED_MM ? "bevelled" : "ramp";
    if (kind.kind !== wanted) disagree("transition-differs", `a step of ${step} mm is ${wanted}, not ${kind.kind}`);
  }
}

function checkRisk({ job, targetStudy }: Findings, disagree: Disagree): void {
  if (targetStudy.kind !== "ready") return;
  const { sure, bags } = targetStudy.value;
  const odds = "odds-out-of-order";
  if (sure) {
    const parts = [sure.fromReading, sure.fromDatum, sure.fromBetweenReadings, sure.fromYield];
    const squares = parts.reduce((sum, part) => sum + part * part, 0);
    compareIn(disagree, "uncertainty-differs")("the variance of the volume", squares, sure.sd * sure.sd);
    if (!(sure.volume <= sure.evenOdds + 1e-9 && sure.evenOdds <= sure.nineInTen))
      disagree(odds, `${sure.volume}, ${sure.evenOdds} and ${sure.nineInTen} L do not rise`);
  }
  for (const { material, ordered, risk } of bags) {
    if (risk === undefined) continue;
    const { evenOdds, nineInTen, chance } = risk;
    if (!(evenOdds <= nineInTen && ordered <= evenOdds))
      disagree(odds, `bags of ${material.id}: ${ordered}, ${evenOdds} and ${nineInTen} do not rise`);
    // Whole bags are more than what is needed: enough at nine in ten has a chance of nine in ten at least.
    if ((ordered >= nineInTen && chance < 0.9 - 1e-6) || (ordered < nineInTen && chance > 0.9 + 1e-6))
      disagree(odds, `${ordered} bags of ${material.id} are said to be enough with a chance of ${chance}`);
    const needed = (litres: number) => (litres * (1 + job.pour.lossAllowance)) / material.yieldPerBag;
    if (sure && bags.length === 1 && nineInTen < needed(sure.nineInTen) - 1e-5)
      disagree(odds, `${nineInTen} bags do not hold the ${sure.nineInTen} L of nine in ten`);
  }
}

/** The sheet's own rows, in every language. */
function checkTopSheet({ id, language, pages }: Sheet, packet: Packet, disagree: Disagree): void {
  if (packet.targetStudy.kind !== "ready") return;
  const { tradeOff, bags } = packet.targetStudy.result;
  const rows = pages.flatMap(({ blocks }) =>
    blocks.flatMap((block) =>
      block.kind === "table"
        ? block.rows.map(({ cells }) => cells.map((cell) => cell.lines.map(({ text }) => text).join(" ")))
        : [],
    ),
  );
  const digits = (text: string | undefined): number => Number((text ?? "").replaceAll("\u00a0", ""));
  for (const [k, { liftMm }] of tradeOff.entries()) {
    const row = rows.find((cells) => cells[0] === liftMm.printed[0] && cells[1] === liftMm.printed[1]);
    const wanted = bags.map(({ curve }) => curve[k]?.toOrder);
    if (row === undefined || !wanted.every((count) => row.some((cell) => digits(cell) === count))) {
      disagree(
        "sheet-differs",
        `sheet ${id} (${language}) does not print ${wanted.join(" and ")} bags at ${liftMm.printed[0]}`,
      );
    }
  }
}
