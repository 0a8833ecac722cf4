/**
 * What stands at the station a second time: pallets, water, power, the lift and people; the values before the first
 * batch; and the days before.
 */
import type { Job } from "../job/model.ts";
import type { Packet } from "../sheets/packet-schema.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";

type Pour = Extract<Packet["schedule"], { kind: "ready" }>["result"];

/** Minutes, kilograms: far above the rounding of sums, far below what a clock or a scale tells. */
const MINUTES = 1e-6;

/** What the sheets count on where the office gives none: pace with a barrel, and what handling takes of its cycle. */
const STATED = { carryingPaceMMin: 40, handlingMin: 1.5 } as const;

export function checkStation(evidence: Evidence, disagree: Disagree): void {
  const { packet, findings } = evidence;
  if (packet.schedule.kind !== "ready" || packet.quantities.kind !== "ready") return;
  const pour = packet.schedule.result;
  const same = (what: string, mine: number | null, theirs: number | null, within?: number): void => {
    if (mine === null || theirs === null ? mine !== theirs : !agrees(mine, theirs, within))
      disagree("station-differs", `${what} is ${mine} by another way, ${theirs} in the packet`);
  };
  checkStands(evidence, pour, same, disagree);
  checkGoNoGo(findings.job, packet.quantities.result, pour, same, disagree);
  checkDaysBefore(evidence, pour, disagree);
}

type Same = (what: string, mine: number | null, theirs: number | null, within?: number) => void;

/** What stands there: every bag on its pallet once, machines that run, people at their work, and how far they carry. */
function checkStands({ findings, packet }: Evidence, pour: Pour, same: Same, disagree: Disagree): void {
  const { job } = findings;
  const { crew, floor, material, pour: spec } = job;
  const { logistics, station, runs } = pour;
  if (packet.quantities.kind !== "ready") return;
  const { bags, waterL, palletLoadKgM2 } = packet.quantities.result;
  let next = 1;
  for (const [k, { number, firstBag, lastBag, at }] of logistics.pallets.entries()) {
    const place = spec.palletsAt?.[k % spec.palletsAt.length];
    const isFull = lastBag - firstBag + 1 === spec.bagsPerPallet || lastBag === bags.toOrder;
    if (number !== k + 1 || firstBag !== next || lastBag - firstBag >= spec.bagsPerPallet || !isFull)
      disagree("pallets-differ", `pallet ${number} holds bags ${firstBag} to ${lastBag}, it begins with ${next}`);
    if (at?.eastM !== place?.x || at?.northM !== place?.y)
      disagree("pallets-differ", `pallet ${number} stands elsewhere`);
    next = lastBag + 1;
  }
  same("the last bag on a pallet", bags.toOrder, next - 1);
  same("the load under a pallet", palletLoadKgM2.value, logistics.palletLoadKgM2.value);
  same("the water", waterL.value, logistics.waterL.value);
  const holds = floor.support === "suspended" && floor.acceptedBy === undefined;
  if (logistics.holdStaging !== holds) disagree("hold-missing", `staging ${holds ? "must" : "need not"} be held`);
  const mixers = crew.pump?.mixesItself ? 0 : crew.barrels;
  const machines = mixers + (crew.pump ? 1 : 0);
  same("mixers that run", mixers, logistics.mixersRunning);
  same("the power", crew.mixerPower === undefined ? null : machines * crew.mixerPower, logistics.powerKw);
  const starts =
    pour.kind === "can-be-poured" ? runs.filter(({ before, flushBefore }) => before === "start" || flushBefore) : [0];
  const wasteL = crew.pump?.startingWaste;
  same(
    "slurry to waste",
    wasteL === undefined ? null : wasteL * starts.length,
    logistics.startingWasteL?.value ?? null,
  );
  same("the way that is printed twice", logistics.longestCarryM.value, station.farthestCarryM.value);
  same("the hose", crew.pump ? logistics.longestCarryM.value : null, logistics.hoseNeededM?.value ?? null);
  const lift = logistics.goodsLift;
  if (lift !== null && spec.goodsLift) {
    const palletKg = spec.bagsPerPallet * material.bag + spec.palletTare;
    let [pallets, single] = [0, 0];
    while ((pallets + 1) * palletKg <= spec.goodsLift.load + MINUTES) pallets += 1;
    while ((single + 1) * material.bag <= spec.goodsLift.load + MINUTES) single += 1;
    same("pallets at a time", pallets, lift.palletsATrip);
    same("bags at a time", pallets > 0 ? pallets * spec.bagsPerPallet : single, lift.bagsATrip);
    same("the way from the lift", spec.goodsLift.way ?? null, lift.wayM?.value ?? null);
  }
  // There and back inside a barrel's cycle, besides mixing it and handling it.
  const backMin = (2 * station.carryInCycleM.value) / (crew.carryingPace ?? STATED.carryingPaceMMin);
  const left = crew.barrelCycle - crew.mixTime - STATED.handlingMin;
  same("walking in a barrel's cycle", Math.max(0, left), backMin);
  checkRoles(crew, pour, disagree);
  checkPlace(findings, pour, disagree);
}

/** Those that the crew has; else one to mix for every two barrels, one to carry for each of them or two at the hose, one who rakes, and one who smooths where there is more than a barrel. */
function checkRoles(crew: Job["crew"], { roles }: Pour, disagree: Disagree): void {
  const twos = crew.barrels % 2 === 0 ? crew.barrels / 2 : (crew.barrels + 1) / 2;
  const usual = [
    { role: "mix", people: twos },
    { role: crew.pump ? "hose" : "carry", people: crew.pump ? 2 : twos },
    { role: "rake", people: 1 },
    { role: "smooth", people: crew.barrels > 1 || crew.pump ? 1 : 0 },
  ];
  const wanted = (crew.roles ?? usual).filter(({ people }) => people > 0 || crew.roles !== undefined);
  const list = (of: readonly { role: string; people: number }[]) =>
    of.map(({ role, people }) => `${people} ${role}`).join(", ");
  if (list(wanted) !== list(roles))
    disagree("roles-differ", `${list(wanted)} are at work, ${list(roles)} in the packet`);
}

/** Where the office has it, or in the doorway that is named as its way out. */
function checkPlace({ job, plan }: Evidence["findings"], { station }: Pour, disagree: Disagree): void {
  const { at, placed, exit } = station;
  const given = job.pour.station;
  if ((placed === "by-job") !== (given !== undefined))
    disagree("station-differs", `the station is said to be placed ${placed}`);
  if (given !== undefined) {
    if (given.x !== at.eastM || given.y !== at.northM)
      disagree("station-differs", "the station is not where the job has it");
    return;
  }
  const door = plan.floors.flatMap(({ doors }) => doors).find(({ id }) => id === exit);
  if (door === undefined) return;
  const [a, b] = door.jambs;
  const along = ((at.eastM - a.x) * (b.x - a.x) + (at.northM - a.y) * (b.y - a.y)) / door.width;
  const across = Math.abs((at.eastM - a.x) * (b.y - a.y) - (at.northM - a.y) * (b.x - a.x)) / door.width;
  // Columns in a doorway leave a part of it; the middle of that part is between the jambs.
  if (!(along > 0 && along < door.width && across <= door.wallThickness + 1e-3))
    disagree("station-differs", `the station at ${at.eastM}, ${at.northM} is not in door ${exit}`);
}

/** The values before the first batch are those of the data sheets, and the primer is still open at the last one. */
function checkGoNoGo(
  { material, primer }: Job,
  { bags }: Extract<Packet["quantities"], { kind: "ready" }>["result"],
  { goNoGo, batches, durationMin }: Pour,
  same: Same,
  disagree: Disagree,
): void {
  same("bags on site", bags.toOrder, goNoGo.bags);
  same("drying of the primer", primer.dryingTime ?? null, goNoGo.primerDryMin);
  // 5 °F, in kelvin.
  same("the distance to the dew point", (5 * 5) / 9, goNoGo.aboveDewPointK);
  const openLeft = goNoGo.primerLatestStartMin === null ? null : goNoGo.primerLatestStartMin + durationMin;
  same("the primer's age at the last batch", primer.openTime ?? null, openLeft, MINUTES);
  for (const [what, mine, theirs] of [
    ["of the slab", material.slabTemperatures, goNoGo.slabTemperatures],
    ["of the water", material.waterTemperatures, goNoGo.waterTemperatures],
  ] as const)
    if (mine?.least !== theirs?.leastC || mine?.greatest !== theirs?.greatestC)
      disagree("go-no-go-differs", `the temperature ${what} is not that of the data sheet`);
  const { flowRing } = material;
  if (flowRing?.least !== goNoGo.flowRing?.leastMm || flowRing?.greatest !== goNoGo.flowRing?.greatestMm)
    disagree("go-no-go-differs", "the flow ring is not that of the data sheet");
  const ringed: number[] = [];
  let since = flowRing?.everyBatches ?? 0;
  for (const { number } of batches) {
    if (flowRing === undefined) break;
    if (since === flowRing.everyBatches) [since] = [ringed.push(number) * 0];
    since += 1;
  }
  if (ringed.join() !== (goNoGo.flowRing?.batches ?? []).join())
    disagree(
      "go-no-go-differs",
      `the flow ring is due at batches ${ringed.join()}, ${goNoGo.flowRing?.batches.join()} printed`,
    );
}

/** Who alone may do a step, or answers for it; all others are the crew's. */
const WHO: Readonly<Record<string, readonly string[]>> = {
  licensed: ["asbestos-and-lead", "structure-accepted"],
  contractor: ["moisture-tests", "conditioning-on"],
  lead: ["joints-located", "pinholes", "pins-checked", "spare-mixer"],
};
/** What dirties the floor or must be known before it is cleaned for the primer. */
const PREPARES = new Set([
  ...["moisture-tests", "cracks-filled", "profile", "joints-located", "asbestos-and-lead", "boards-fastened", "grind"],
  ...["gaps-sealed", "tiles-sounded", "tiles-abraded", "adhesive-removed", "structure-accepted"],
]);
const HALF_DAY_MIN = 240;
const DAY_MIN = 1440;

/** Coats dry one after the other and are still open; what comes before them stands whole half days before them. */
function checkDaysBefore({ findings, packet }: Evidence, pour: Pour, disagree: Disagree): void {
  const { job, depths } = findings;
  const { primer, floor } = job;
  const wrong = (what: string): void => disagree("days-before-differ", what);
  const steps = new Map(pour.daysBefore.map((one) => [one.step, one]));
  const isDue = (step: string, due: boolean): void => {
    if (steps.has(step) !== due) wrong(`${step} ${due ? "is missing" : "is not due"}`);
  };
  const coats = primer.coatsOn[floor.absorbency].length;
  isDue("prime", coats > 0);
  isDue("second-coat", coats > 1);
  isDue("structure-accepted", floor.support === "suspended");
  isDue("moisture-tests", floor.substrate !== "wood");
  isDue("asbestos-and-lead", floor.substrate !== "wood");
  isDue("grind", depths.kind === "ready" && depths.value.highSpots.length > 0);
  isDue("dams", pour.dams.length > 0);
  isDue("plugs", pour.plugs.length > 0);
  isDue("material-staged", packet.quantities.kind === "ready" && packet.quantities.result.bags.toOrder > 0);
  const dryMin = primer.dryingTime ?? DAY_MIN;
  const firstMin = coats * dryMin;
  for (const [k, { step, who, doneBeforeMin, notBeforeMin, timeUnknown }] of pour.daysBefore.entries()) {
    const before = pour.daysBefore[k - 1];
    if (before && before.doneBeforeMin < doneBeforeMin) wrong(`${step} stands after ${before.step}, which is later`);
    const wantedWho = Object.keys(WHO).find((one) => WHO[one]?.includes(step)) ?? "crew";
    if (who !== wantedWho) wrong(`${step} is for ${who}, ${wantedWho} wanted`);
    const open =
      step === "second-coat" || coats === 1 ? primer.openTime : (primer.openTime ?? Number.NaN) + firstMin - dryMin;
    const wantedOpen = step === "prime" || step === "second-coat" ? open : undefined;
    if (!Object.is(notBeforeMin ?? undefined, Number.isNaN(wantedOpen) ? undefined : wantedOpen))
      wrong(`${step} is not to be done earlier than ${notBeforeMin} min before, ${wantedOpen} wanted`);
    if (timeUnknown && (coats === 0 || primer.dryingTime !== undefined)) wrong(`the time of ${step} is known`);
    if (step === "prime" && primer.dryingTime === undefined && !timeUnknown) wrong("the primer's drying is not known");
    if (!isAt(step, doneBeforeMin, { firstMin, dryMin, isPrimed: coats > 0 }))
      wrong(`${step} is due ${doneBeforeMin} min before`);
  }
}

interface Coats {
  readonly firstMin: number;
  readonly dryMin: number;
  readonly isPrimed: boolean;
}

function isAt(step: string, doneBeforeMin: number, { firstMin, dryMin, isPrimed }: Coats): boolean {
  const cleanMin = firstMin + HALF_DAY_MIN;
  if (PREPARES.has(step)) {
    const halfDays = (doneBeforeMin - cleanMin) / HALF_DAY_MIN;
    // Probes stand a day in a floor that had its service climate for two.
    return Number.isInteger(halfDays) && halfDays >= (step === "moisture-tests" ? 18 : 1);
  }
  switch (step) {
    case "prime":
      return doneBeforeMin === firstMin;
    case "second-coat":
      return doneBeforeMin === dryMin;
    case "clean":
      return doneBeforeMin === cleanMin;
    case "vacuum":
      return doneBeforeMin === (isPrimed ? firstMin + 60 : HALF_DAY_MIN);
    case "conditioning-on":
      return doneBeforeMin === 2 * DAY_MIN;
    case "material-staged":
    case "material-to-temperature":
      return doneBeforeMin === DAY_MIN;
    case "pinholes":
    case "pins-checked":
    case "spare-mixer":
      return doneBeforeMin === 60;
    default:
      // Strip, dams, plugs and pins go on while the last coat dries, and not in the last two hours.
      return doneBeforeMin === Math.max(120, isPrimed ? dryMin / 2 : 0);
  }
}
