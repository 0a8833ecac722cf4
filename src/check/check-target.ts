/** The trade-off, the doors and the order's risk, held against the slab, the tops and the order by other ways. */

import type { Job } from "../job/model.ts";
import type { BuildUpLayer } from "../job/target-model.ts";
import type { Findings, Sheet } from "../sheets/model.ts";
import type { Packet } from "../sheets/packet-schema.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import { topAgainMm, visitFloor } from "./second-top.ts";
import { areaDeeperThan, triangleVolumeByLayersL } from "./second-volume.ts";

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
  checkDrains(findings, disagree);
  checkAggregate(findings, disagree);
  for (const sheet of sheets) if (sheet.id === "top-of-pour") checkTopSheet(sheet, packet, disagree);
}

const compareIn =
  (disagree: Disagree, code: string) =>
  (what: string, mine: number, theirs: number, within?: number): void => {
    if (!agrees(mine, theirs, within)) disagree(code, `${what} is ${mine} by another way, ${theirs} in the packet`);
  };

/** Level places at a threshold are on either side of it by the last digit. */
const HAIR_MM = 1e-6;
interface Between {
  most: number;
  least: number;
}

interface Lifted {
  volumeL: number;
  deepestMm: number;
  shallowestMm: number;
  /** Where more lies than nothing, and than the least depth: with what is a hair short of it, and without what is a hair over. */
  coveredM2: Between;
  deeperM2: Between;
  /** The slab below the top, less the slab above it. */
  betweenL: number;
  /** What is poured over that, and what its unevenness takes besides. */
  kilograms: number;
  areaM2: number;
}

/** The floor with all tops lifted, straight from the slab; one for each lift. */
function liftedFloors({ job, plan, slab, target }: Findings, liftsMm: readonly number[]): readonly Lifted[] {
  const lifted = liftsMm.map(
    (): Lifted => ({
      volumeL: 0,
      deepestMm: Number.NEGATIVE_INFINITY,
      shallowestMm: Number.POSITIVE_INFINITY,
      coveredM2: { most: 0, least: 0 },
      deeperM2: { most: 0, least: 0 },
      betweenL: 0,
      kilograms: 0,
      areaM2: 0,
    }),
  );
  if (slab.kind !== "ready" || target.kind !== "ready") return lifted;
  visitFloor(slab.value, target.value, plan, ({ zone, corners, areaM2 }) => {
    const { depthOn, wetDensity } = zone.material ?? job.material;
    const least = depthOn[job.floor.substrate]?.least ?? Number.NaN;
    const depthsMm = corners.map((corner) => topAgainMm(zone, corner) - corner.levelMm);
    for (const [k, floor] of lifted.entries()) {
      const atLift = depthsMm.map((depth) => depth + (liftsMm[k] as number));
      const [a, b, c] = atLift.toSorted((p, q) => p - q) as [number, number, number];
      const volumeL = triangleVolumeByLayersL(areaM2, atLift, least);
      floor.volumeL += volumeL;
      floor.deepestMm = Math.max(floor.deepestMm, c);
      floor.shallowestMm = Math.min(floor.shallowestMm, a);
      for (const [area, threshold] of [
        [floor.coveredM2, 0],
        [floor.deeperM2, least],
      ] as const) {
        area.most += areaDeeperThan(threshold - HAIR_MM, areaM2, a, b, c);
        area.least += areaDeeperThan(threshold + HAIR_MM, areaM2, a, b, c);
      }
      floor.betweenL += (areaM2 * (a + b + c)) / 3;
      floor.kilograms += (volumeL + job.pour.profileAllowance * areaM2) * wetDensity;
      floor.areaM2 += areaM2;
    }
  });
  return lifted;
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
  const lifted = liftedFloors(
    findings,
    rows.filter((_, k) => k % EVERY_ROW === 0).map(({ lift }) => lift),
  );
  for (const [k, row] of rows.entries()) {
    const before = rows[k - 1];
    if (before !== undefined && !(row.lift > before.lift && row.volume >= before.volume - within(row.volume)))
      disagree("trade-off-differs", `the row at ${row.lift} mm holds less than the one below it`);
    if (before !== undefined && row.ground.volume > before.ground.volume + within(row.ground.volume))
      disagree("trade-off-differs", `the row at ${row.lift} mm grinds more than the one below it`);
    const again = lifted[k / EVERY_ROW];
    if (again === undefined) continue;
    compare(`the volume at ${row.lift} mm`, again.volumeL, row.volume, within(again.volumeL));
    compare(`the greatest depth at ${row.lift} mm`, again.deepestMm, row.greatestDepth);
    for (const [what, { most, least }, theirs] of [
      ["the covered floor", again.coveredM2, again.areaM2 - row.bareArea],
      ["the floor left by the grinder", again.deeperM2, again.areaM2 - row.ground.area],
      ["what 1 mm takes", again.deeperM2, row.litresPerMm],
    ] as const)
      if (!(theirs >= least - within(again.volumeL) && theirs <= most + within(again.volumeL)))
        disagree("trade-off-differs", `${what} at ${row.lift} mm is ${least} to ${most}, ${theirs} in the packet`);
    // What is filled up to the least depth, though it is not there, is what is ground off.
    const groundL = again.volumeL - again.betweenL;
    compare(`what is ground at ${row.lift} mm`, groundL, row.ground.volume, within(again.volumeL));
    compare(`the load at ${row.lift} mm`, again.kilograms / again.areaM2, row.deadLoad, 1e-6 * row.deadLoad);
  }
  const { step, bags } = targetStudy.value;
  for (const [k, { lift }] of rows.entries())
    compare(`the step to row ${k + 1}`, step * (k - (rows.length - 1) / 2), lift);
  // Of several materials each has the rooms of its own, and the row has them all.
  const [only, other] = bags;
  if (only !== undefined && other === undefined) {
    const litres = only.bagsPerMm * only.material.yieldPerBag;
    compare("what bags for 1 mm yield", here.litresPerMm * (1 + findings.job.pour.lossAllowance), litres);
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
  const level = top?.kind === "falls-to-drain" ? top.walls : top;
  const layers: readonly BuildUpLayer[] = level?.kind === "door" ? level.buildUp : (flush?.buildUp ?? []);
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
    const finishes = door.jambs.map((jamb) => topAgainMm(zone, jamb) + covering);
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

/** Twice the area of drain and wall over the wall's length: how far each wall is, and so how each plane falls. */
function checkDrains({ job, plan, slab, target }: Findings, disagree: Disagree): void {
  if (target.kind !== "ready" || slab.kind !== "ready") return;
  const spec = job.target;
  const tops = spec.kind === "zones" ? spec.zones.map(({ top }) => top) : [spec];
  for (const [k, zone] of target.value.zones.entries()) {
    const top = tops[k];
    if ((top?.kind === "falls-to-drain") !== (zone.drain !== undefined))
      disagree("drain-differs", `zone ${k + 1} ${zone.drain ? "falls" : "does not fall"} to a drain`);
    if (top?.kind !== "falls-to-drain" || zone.drain === undefined) continue;
    const { at, drop } = zone.drain;
    const [room] = zone.roomIndices;
    const walls = plan.floors[room as number]?.walls ?? [];
    const { outline } = zone.drain;
    if (
      walls.length !== outline.length ||
      walls.some(({ from }, i) => from.x !== outline[i]?.x || from.y !== outline[i]?.y)
    )
      disagree("drain-differs", `zone ${k + 1} falls to its drain from other walls than its room has`);
    const awayM = walls.map(({ from: a, to: b }) => {
      const twiceM2 = a.x * (b.y - at.y) + b.x * (at.y - a.y) + at.x * (a.y - b.y);
      return twiceM2 / Math.hypot(b.x - a.x, b.y - a.y);
    });
    const falls = awayM.map((away) => drop / away);
    const atDrainMm = topAgainMm(zone, at);
    const wantedMm = top.drainTop ?? zone.top - (top.leastFall ?? Number.NaN) * Math.max(...awayM);
    compareIn(disagree, "drain-differs")(`the top at the drain of zone ${k + 1}`, wantedMm, atDrainMm);
    const material = zone.material ?? job.material;
    if (!falls.every((fall) => fall > 0 && fall <= material.greatestFall + 1e-2))
      disagree("drain-differs", `planes to the drain of zone ${k + 1} fall ${falls.join(", ")} mm/m`);
    if (top.leastFall !== undefined && Math.min(...falls) < top.leastFall - 1e-2)
      disagree("drain-differs", `a plane to the drain of zone ${k + 1} falls ${Math.min(...falls)} mm/m`);
    let nearest = { away: Number.POSITIVE_INFINITY, levelMm: Number.NaN };
    visitFloor(slab.value, target.value, plan, (piece) => {
      if (piece.room !== room) return;
      for (const { x, y, levelMm } of piece.corners) {
        const away = Math.hypot(x - at.x, y - at.y);
        if (away < nearest.away) nearest = { away, levelMm };
      }
    });
    const least = material.depthOn[job.floor.substrate]?.least ?? Number.NaN;
    if (!(atDrainMm - nearest.levelMm >= least - 1e-4))
      disagree("drain-differs", `${atDrainMm - nearest.levelMm} mm lie at the drain of zone ${k + 1}`);
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

/** Deep places stretched with aggregate: area and volume by layers, and the mix for them by the data sheet. */
function checkAggregate({ job, plan, slab, target, targetStudy }: Findings, disagree: Disagree): void {
  if (slab.kind !== "ready" || target.kind !== "ready" || targetStudy.kind !== "ready") return;
  const compare = compareIn(disagree, "aggregate-differs");
  for (const { material, withAggregate } of targetStudy.value.bags) {
    const { aggregate, yieldPerBag } = material;
    if (aggregate === undefined) continue;
    const fromMm = aggregate.neatOnTop + aggregate.leastDepth;
    let [areaM2, aboveL] = [0, 0];
    visitFloor(slab.value, target.value, plan, (piece) => {
      if ((piece.zone.material ?? job.material).id !== material.id) return;
      const depthsMm = piece.corners.map((corner) => topAgainMm(piece.zone, corner) - corner.levelMm);
      const [a, b, c] = depthsMm.toSorted((p, q) => p - q) as [number, number, number];
      areaM2 += areaDeeperThan(fromMm, piece.areaM2, a, b, c);
      aboveL += triangleVolumeByLayersL(
        piece.areaM2,
        depthsMm.map((depth) => depth - fromMm),
        0,
      );
    });
    const volumeL = aboveL + aggregate.leastDepth * areaM2;
    const within = 1e-5 * Math.max(1, volumeL);
    if (withAggregate === undefined) {
      if (areaM2 > within)
        disagree("aggregate-differs", `${areaM2} m² could be stretched with aggregate, and are not told`);
      continue;
    }
    const bags = volumeL / aggregate.yieldPerBag;
    compare(`the area to be stretched of ${material.id}`, areaM2, withAggregate.area, within);
    compare(`the volume to be stretched of ${material.id}`, volumeL, withAggregate.volume, within);
    compare(`the aggregate for ${material.id}`, bags * aggregate.perBag, withAggregate.aggregate, within);
    compare(`the water with aggregate of ${material.id}`, bags * aggregate.waterPerBag, withAggregate.water, within);
    compare(`the bags saved of ${material.id}`, volumeL / yieldPerBag - bags, withAggregate.bagsSaved, within);
    if (Math.abs(withAggregate.wholeBagsSaved - withAggregate.bagsSaved * (1 + job.pour.lossAllowance)) > 1 + 1e-6)
      disagree("aggregate-differs", `${withAggregate.wholeBagsSaved} whole bags saved for ${withAggregate.bagsSaved}`);
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
