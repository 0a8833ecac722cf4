/**
 * The crew's clock a second time: barrels and pump followed batch by batch, how long material is under way, how old an
 * edge may grow, and the rate that the edges ask for.
 */
import type { Job } from "../job/model.ts";
import type { Packet } from "../sheets/packet-schema.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import { narrowestWayM } from "./second-floor.ts";

type Pour = Extract<Packet["schedule"], { kind: "ready" }>["result"];
type Batch = Pour["batches"][number];

/** Minutes: far above the rounding of sums, far below what anybody times. */
const MINUTES = 1e-6;
/** Ways are found a little inside of doors and corners; nobody paces out a centimetre. */
const WAY_M = 0.005;

/** What the sheets count on where the office gives none: pace with a barrel, a working day, what one slow barrel costs. */
const STATED = { carryingPaceMMin: 40, longestPourMin: 480, marginMin: 1 } as const;

export function checkMixing(evidence: Evidence, disagree: Disagree): void {
  const { packet, findings } = evidence;
  if (packet.schedule.kind !== "ready" || packet.quantities.kind !== "ready") return;
  const pour = packet.schedule.result;
  const same = (what: string, mine: number | null, theirs: number | null, within?: number): void => {
    if (mine === null || theirs === null ? mine !== theirs : !agrees(mine, theirs, within))
      disagree("pour-differs", `${what} is ${mine} by another way, ${theirs} in the packet`);
  };
  checkRates(findings.job, pour, same);
  const held = runsOf(pour, findings.job.crew.bagsPerBarrel);
  for (const run of held) checkBarrels(findings.job, pour, run, disagree);
  // Where no runs are printed each room of each lift is one at the most, and only its last barrel may hold less.
  const lifts = packet.quantities.result.lifts.length;
  if (pour.runs.length === 0 && held.length > findings.plan.floors.length * Math.max(1, lifts))
    disagree("pour-differs", `the batches are mixed in ${held.length} runs`);
  checkRuns(findings.job, pour, held, same, disagree);
  checkPlacing(evidence, pour, same, disagree);
  checkNeeded(findings.job, packet.quantities.result.bags.toOrder, pour, disagree);
  checkFlowRule(evidence, pour, same);
  checkLimit(findings.job, pour, same);
}

type Same = (what: string, mine: number | null, theirs: number | null, within?: number) => void;

/** One gap between two batches: every barrel has its cycle, the pump swallows what it is given, and neither waits for both. */
function checkRates({ crew, material }: Job, pour: Pour, same: Same): void {
  const { intervalMin } = pour;
  const cycleLeft = intervalMin * crew.barrels - crew.barrelCycle;
  const swallowedL = crew.pump ? crew.pump.rate * intervalMin - crew.bagsPerBarrel * material.yieldPerBag : cycleLeft;
  same("the idle time of barrels or pump in a gap", 0, Math.min(cycleLeft, swallowedL), MINUTES);
  same("bags mixed in a gap", crew.bagsPerBarrel, pour.bagsPerMinute * intervalMin);
  same("litres mixed in a gap", crew.bagsPerBarrel * material.yieldPerBag, pour.volumePerMinuteL.value * intervalMin);
  same(
    "litres of water in a gap",
    crew.bagsPerBarrel * material.waterPerBag,
    pour.logistics.waterPerMinuteL.value * intervalMin,
  );
  same("the bottleneck", 1, pour.bottleneck === bottleneckAgain(crew, pour, cycleLeft) ? 1 : 0);
}

function bottleneckAgain(crew: Job["crew"], pour: Pour, cycleLeft: number): Pour["bottleneck"] {
  const people = pour.roles.reduce((sum, role) => sum + role.people, 0);
  if (people > crew.people) return "people";
  if (!crew.pump && pour.logistics.longestCarryM.value > pour.station.carryInCycleM.value) return "carrying";
  return cycleLeft > MINUTES ? "pump" : "mixers";
}

interface BatchRun {
  readonly starts: number | undefined;
  readonly batches: readonly Batch[];
}

/** Batches by their runs; where nothing can be poured no runs are printed, and a barrel that is not full ends one, or a longer gap. */
function runsOf({ runs, batches, intervalMin }: Pour, bagsPerBarrel: number): BatchRun[] {
  if (runs.length > 0) {
    let next = 0;
    return runs.map(({ bags, startsMin }) => {
      const first = next;
      for (let left = bags; left > 0 && next < batches.length; next++) left -= (batches[next] as Batch).bags;
      return { starts: startsMin, batches: batches.slice(first, next) };
    });
  }
  const found: { starts: number | undefined; batches: Batch[] }[] = [];
  for (const [k, batch] of batches.entries()) {
    const before = batches[k - 1];
    const isFollowing =
      before !== undefined &&
      before.bags === bagsPerBarrel &&
      batch.powderMeetsWaterMin - before.powderMeetsWaterMin <= intervalMin + MINUTES;
    if (!isFollowing) found.push({ starts: undefined, batches: [] });
    found.at(-1)?.batches.push(batch);
  }
  return found;
}

/** Barrels one after the other: none is filled before it is back, none mixes longer or shorter, all but the last are full. */
function checkBarrels(
  { crew, material }: Job,
  { intervalMin }: Pour,
  { starts, batches }: BatchRun,
  disagree: Disagree,
): void {
  const backMin = new Map<number, number>();
  let expectMin = starts ?? batches[0]?.powderMeetsWaterMin ?? 0;
  for (const [k, { number, barrel, bags, powderMeetsWaterMin, pouredMin }] of batches.entries()) {
    const wrong = (what: string): void =>
      disagree(
        "batch-differs",
        `batch ${number} ${what} (${bags} bags in barrel ${barrel} at ${powderMeetsWaterMin} min)`,
      );
    if (!agrees(powderMeetsWaterMin, expectMin, MINUTES)) wrong(`should meet water at ${expectMin} min`);
    if (powderMeetsWaterMin < (backMin.get(barrel) ?? Number.NEGATIVE_INFINITY) - MINUTES)
      wrong(`is in a barrel that is back at ${backMin.get(barrel)} min`);
    if (barrel < 1 || barrel > crew.barrels || (k < crew.barrels && barrel !== k + 1))
      wrong("is in a barrel out of turn");
    if (!agrees(pouredMin - powderMeetsWaterMin, crew.mixTime, MINUTES)) wrong(`leaves the barrel at ${pouredMin} min`);
    const isLast = k === batches.length - 1;
    if (bags > crew.bagsPerBarrel || (!isLast && bags < crew.bagsPerBarrel) || bags < 1) wrong("is no full barrel");
    if (crew.pump && bags * material.yieldPerBag > crew.pump.rate * intervalMin + MINUTES)
      wrong("is more than the pump takes");
    backMin.set(barrel, powderMeetsWaterMin + crew.barrelCycle);
    expectMin = powderMeetsWaterMin + intervalMin;
  }
}

/** Runs follow each other by their gaps, hold the batches that are theirs, and end when the last of them lies on the floor. */
function checkRuns(
  { crew, material }: Job,
  pour: Pour,
  held: readonly BatchRun[],
  same: Same,
  disagree: Disagree,
): void {
  const { runs, batches, durationMin, leftoverBags, bagsShortForStops } = pour;
  same("the time of the pour", Math.max(0, ...batches.map(({ pouredMin }) => pouredMin)), durationMin, MINUTES);
  if (batches[0]) same("the first powder", 0, batches[0].powderMeetsWaterMin, MINUTES);
  for (const [k, { number }] of batches.entries()) same(`the number of batch ${k + 1}`, k + 1, number);
  if (pour.kind === "can-be-poured") {
    same(
      "the bags of all runs",
      batches.at(-1)?.cumulativeBags ?? 0,
      runs.reduce((sum, { bags }) => sum + bags, 0),
    );
  }
  for (const [k, run] of runs.entries()) {
    const last = held[k]?.batches.at(-1);
    const before = runs[k - 1];
    const longestWayMin = Math.max(
      0,
      ...(held[k]?.batches ?? []).map(({ placedMin, pouredMin }) => (placedMin ?? pouredMin) - pouredMin),
    );
    same(`the number of run ${k + 1}`, k + 1, run.number);
    if (last === undefined) disagree("pour-differs", `run ${run.number} has no batch`);
    // Ways are found again once all bays are known: a run may end a little later than its plan counted on. The last barrel
    // can be left over, and be placed nowhere.
    else if (!(run.endsMin >= last.pouredMin - MINUTES && run.endsMin <= last.pouredMin + longestWayMin + MINUTES))
      disagree("pour-differs", `run ${run.number} ends at ${run.endsMin} min, its last batch at ${last.placedMin} min`);
    if (before === undefined) {
      if (run.before !== "start" || run.beforeMin !== null) disagree("pour-differs", "the first run follows something");
      same("the start of the first run", 0, run.startsMin, MINUTES);
    } else
      same(`the start of run ${run.number}`, before.endsMin + (run.beforeMin ?? Number.NaN), run.startsMin, MINUTES);
    if (run.before === "lift") same("the wait between lifts", material.waitBetweenLifts ?? 0, run.beforeMin);
    if (run.before === "changeover") same("the move to another room", crew.changeover ?? Number.NaN, run.beforeMin);
    if (run.before === "rest")
      same("the rest", Math.max(crew.rest?.length ?? Number.NaN, crew.changeover ?? 0), run.beforeMin);
    if ((before?.lift ?? run.lift) !== run.lift && run.before !== "lift")
      disagree("pour-differs", `run ${run.number} begins a lift without waiting for it`);
    const stoodMin = run.beforeMin ?? 0;
    if (run.flushBefore !== stoodMin > (crew.pump?.restartLimit ?? Number.POSITIVE_INFINITY))
      disagree("pour-differs", `after ${stoodMin} min the pump ${run.flushBefore ? "is" : "is not"} flushed`);
  }
  if (pour.kind === "can-be-poured" && crew.rest === undefined && crew.changeover === undefined)
    same("bags for stops that nobody makes", 0, bagsShortForStops);
  if (bagsShortForStops < 0 || !Number.isInteger(bagsShortForStops))
    disagree("pour-differs", `${bagsShortForStops} bags are missing for stops`);
  if (!(leftoverBags < crew.bagsPerBarrel * Math.max(1, runs.length) + 1))
    disagree("pour-differs", `${leftoverBags} bags are left over`);
}

/** From water to floor: the same for all batches of a bay, as long as the mixing, the hose or the way on foot. */
function checkPlacing({ findings }: Evidence, pour: Pour, same: Same, disagree: Disagree): void {
  const { job, schedule } = findings;
  const { crew } = job;
  if (schedule.kind !== "ready" || schedule.value.kind !== "can-be-poured") return;
  const paceMMin = crew.carryingPace ?? STATED.carryingPaceMMin;
  const stationAt = pour.station.at;
  // A circle of so many millimetres, in square decimetres, times decimetres of hose.
  const hoseL = Math.PI * ((crew.pump?.hoseBore ?? 0) / 200) ** 2 * (crew.pump?.hoseLength ?? 0) * 10;
  const numbered = new Map(pour.batches.map((batch) => [batch.number, batch]));
  let longestM = 0;
  for (const [k, bay] of pour.bays.entries()) {
    const [first, last] = [numbered.get(bay.firstBatch), numbered.get(bay.lastBatch)];
    const { carry, carryWay } = schedule.value.bays[k] ?? { carry: Number.NaN, carryWay: [] };
    longestM = Math.max(longestM, carry);
    if (!first || !last) continue;
    const takesMin = bay.beginsMin - first.powderMeetsWaterMin;
    same(`the end of bay ${bay.number}`, last.powderMeetsWaterMin + takesMin, bay.endsMin, MINUTES);
    // The bay was planned by a way to its farthest place, round what stands in it, before the ways of the finished plan were known.
    const [leastMin, mostMin] = crew.pump
      ? [hoseL / crew.pump.rate, hoseL / crew.pump.rate]
      : [carry / paceMMin, (carry + 2 * (bay.lengthM.value + crew.laneWidth)) / paceMMin];
    if (!(takesMin - crew.mixTime >= leastMin - MINUTES && takesMin - crew.mixTime <= mostMin + MINUTES))
      disagree(
        "pour-differs",
        `material for bay ${bay.number} is under way for ${takesMin} min, ${crew.mixTime} of them mixed`,
      );
    let onFootM = 0;
    for (const [i, { x, y }] of carryWay.entries()) {
      const from = carryWay[i - 1];
      if (from) onFootM += Math.hypot(x - from.x, y - from.y);
    }
    same(`the way to bay ${bay.number}`, onFootM, carry, WAY_M);
    const straightM = Math.hypot(bay.from.eastM - stationAt.eastM, bay.from.northM - stationAt.northM);
    if (carry < straightM - WAY_M)
      disagree("pour-differs", `bay ${bay.number} is ${straightM} m away, carried ${carry} m`);
    const inBay = pour.batches.filter(({ pours }) => pours.some((one) => one.bay === bay.number));
    let frontMin = 0;
    for (const [i, batch] of inBay.entries()) {
      const before = inBay[i - 1];
      if (before) frontMin = Math.max(frontMin, batch.powderMeetsWaterMin + takesMin - before.powderMeetsWaterMin);
      if (batch.pours.at(-1)?.bay === bay.number)
        same(`the placing of batch ${batch.number}`, batch.powderMeetsWaterMin + takesMin, batch.placedMin, MINUTES);
    }
    same(`the age of the front in bay ${bay.number}`, inBay.length > 1 ? frontMin : null, bay.frontAgeMin, MINUTES);
  }
  same("the longest way", longestM, pour.logistics.longestCarryM.value, 1e-6);
  if (crew.pump?.hoseLength !== undefined && longestM > crew.pump.hoseLength + 1e-6)
    disagree("pour-differs", `a hose of ${crew.pump.hoseLength} m does not reach ${longestM} m`);
}

/** At the rate that is said to be needed every edge is just renewed in time, or the day just long enough; at a lower one not. */
function checkNeeded({ crew }: Job, toOrder: number, pour: Pour, disagree: Disagree): void {
  const { bagsPerMinuteNeeded: needed, intervalMin, edgeLimit } = pour;
  const byDay = toOrder / (crew.longestPour ?? STATED.longestPourMin);
  if (needed < byDay * (1 - 1e-9)) disagree("pace-differs", `${needed} bags a minute do not do ${byDay} a minute`);
  if (pour.kind !== "can-be-poured" || edgeLimit.limitMin === null) return;
  const slowestMin = crew.bagsPerBarrel / needed;
  const starts = new Map(pour.batches.map(({ number, powderMeetsWaterMin }) => [number, powderMeetsWaterMin]));
  let worstMin = Number.NEGATIVE_INFINITY;
  const ages = [
    ...pour.edges.map(({ later, ageMin }) => ({ number: later, ageMin })),
    ...pour.bays.flatMap(({ number, frontAgeMin }) => (frontAgeMin === null ? [] : [{ number, ageMin: frontAgeMin }])),
  ];
  for (const { number, ageMin } of ages) {
    const bay = pour.bays.find((one) => one.number === number);
    const takesMin = (bay?.beginsMin ?? Number.NaN) - (starts.get(bay?.firstBatch ?? 0) ?? Number.NaN);
    const gaps = Math.round((ageMin - takesMin) / intervalMin);
    if (gaps > 0) worstMin = Math.max(worstMin, takesMin + gaps * slowestMin);
  }
  const inTime = worstMin <= edgeLimit.limitMin + 1e-6 * Math.max(1, slowestMin);
  const isLeast = agrees(worstMin, edgeLimit.limitMin, 1e-6 * Math.max(1, slowestMin)) || agrees(needed, byDay, 1e-9);
  if (!inTime || !isLeast)
    disagree(
      "pace-differs",
      `at ${needed} bags a minute the worst edge is ${worstMin} min old, ${edgeLimit.limitMin} allowed`,
    );
}

/** What is covered while the material flows, and a lane across the narrowest way of the room with least to spare. */
function checkFlowRule({ findings: { job, depths, plan } }: Evidence, pour: Pour, same: Same): void {
  if (depths.kind !== "ready") return;
  const { crew, material } = job;
  const litres = (material.flowTime / pour.intervalMin) * crew.bagsPerBarrel * material.yieldPerBag;
  let [coveredM2, laneM2] = [Number.NaN, Number.NaN];
  // Rooms in a material of their own are not poured by this clock.
  for (const { roomIndex, area, volumeToOrder } of (
    depths.value.parts?.[0]?.roomIndices ?? plan.floors.map((_, k) => k)
  )
    .map((index) => depths.value.rooms.find((room) => room.roomIndex === index))
    .filter((room) => room !== undefined)) {
    const outline = job.rooms[roomIndex]?.outline ?? [];
    const acrossM = narrowestWayM(outline);
    if (acrossM === undefined) return;
    const [covered, lane] = [(litres * area) / volumeToOrder, crew.laneWidth * acrossM];
    if (Number.isNaN(coveredM2) || covered / lane < coveredM2 / laneM2 - 1e-12) [coveredM2, laneM2] = [covered, lane];
  }
  same(
    "the share of a lane covered while it flows",
    coveredM2 / laneM2,
    pour.areaInFlowTimeM2.value / pour.laneAreaM2.value,
    1e-6,
  );
  same("the floor covered while it flows", coveredM2, pour.areaInFlowTimeM2.value, 1e-6 * coveredM2 + 1e-9);
  if (pour.tooSlow !== (pour.kind === "cannot-be-poured" && coveredM2 < laneM2)) same("a lane in time", 1, 0);
}

/** The data sheet's shortest times at the temperatures on both sides of the one expected, less the margin. */
function checkLimit({ material, pour: spec }: Job, { edgeLimit }: Pour, same: Same): void {
  const marginMin = spec.edgeMargin ?? STATED.marginMin;
  same("the margin of an edge", marginMin, edgeLimit.marginMin);
  const expected = spec.slabTemperature;
  const table = material.timesAt ?? [];
  const colder = table.filter(({ temperature }) => expected !== undefined && temperature <= expected);
  const warmer = table.filter(({ temperature }) => expected !== undefined && temperature >= expected);
  const beyond = table.length > 0 && (colder.length === 0 || warmer.length === 0);
  const [below, above] = [
    Math.max(...colder.map(({ temperature }) => temperature)),
    Math.min(...warmer.map(({ temperature }) => temperature)),
  ];
  const rows = [material, ...table.filter(({ temperature }) => temperature === below || temperature === above)];
  const flowMin = Math.min(...rows.map(({ flowTime }) => flowTime));
  const heals = rows.map(({ healingTime }) => healingTime ?? Number.NaN);
  const isMissing = beyond || heals.some(Number.isNaN);
  const told = new Map(edgeLimit.times.map(({ name, min }) => [name, min]));
  same("the flow time", beyond ? null : flowMin, told.get("flow-time") ?? null);
  same("the healing time", isMissing ? null : Math.min(...heals), told.get("healing-time") ?? null);
  const leastMin = isMissing ? null : Math.min(flowMin, ...heals);
  same("the shortest time of an edge", leastMin, edgeLimit.leastMin);
  same("the limit of an edge", leastMin === null ? null : leastMin - marginMin, edgeLimit.limitMin);
  same("missing times", isMissing ? 1 : 0, edgeLimit.missing.length > 0 ? 1 : 0);
}
