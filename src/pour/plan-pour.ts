/**
 * Bags to order → the pour against the clock: bays, their order, batches, dams, the days before; or why this
 * crew cannot pour this floor, in how many hours it would, and what would help.
 */
import type { Depths } from "../depths/model.ts";
import { type Outcome, ready, refused } from "../diagnostics.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Quantities } from "../quantities/model.ts";
import type { Metres, Minutes } from "../units.ts";
import { type AssembledPour, assemble } from "./assemble.ts";
import { checkCrew, checkGoodsLift } from "./check-crew.ts";
import {
  bottleneck,
  farthestCarry,
  flowMeter,
  type MixingPace,
  mixingPace,
  USUAL_LONGEST_POUR,
  usualRoles,
} from "./crew-pace.ts";
import { damsOf, perimeterStrip, plugsOf } from "./dams.ts";
import { daysBefore, goNoGo } from "./days-before.ts";
import { edgeLimit } from "./edge-limit.ts";
import { type PartedFloor, partFloor, pourFloor } from "./floor.ts";
import { joinsOf } from "./joins.ts";
import { logistics } from "./logistics.ts";
import { batchesOfRun, rateRule } from "./mixing.ts";
import type { Batch, CannotReason, EdgeLimit, Join, Pace, PlanFrame, PourPlan, Remedy } from "./model.ts";
import { type FailedSection, planFloor } from "./plan-floor.ts";
import { remediesFor } from "./remedies.ts";
import { bagsForStops, draftRuns } from "./runs.ts";
import { warningsOf } from "./warnings.ts";

/**
 * The pour plan: minutes from the moment when the first powder meets water, litres, m². Ready whether or
 * not the floor can be poured (`kind` says which), so that the packet prints and the office knows beforehand.
 *
 * Refuses what no crew can pour by: a mix that has stopped flowing before it leaves the barrel, a cycle
 * shorter than its mixing, rates of nothing, a way out that lies off the floor.
 */
export function planPour(job: Job, plan: Plan, depths: Depths, quantities: Quantities): Outcome<PourPlan> {
  const wrong = [...checkCrew(job), ...checkGoodsLift(job)];
  if (wrong.length > 0) return refused(wrong);
  const { floor, problems, warnings } = pourFloor(job, plan, depths, quantities);
  if (problems.length > 0) return refused(problems);
  const pace = mixingPace(job, job.crew.barrels);
  const parted = partFloor(floor, []);
  const limits = edgeLimit(job);
  const longest = job.crew.longestPour ?? USUAL_LONGEST_POUR;
  const made = pourOrReasons(parted, pace, limits, longest);
  const outcome =
    made.kind === "planned"
      ? pourable(parted, pace, limits, made.pour)
      : unpourable(parted, pace, limits, longest, made);
  return ready(outcome, [...warnings, ...warningsOf(job, outcome)]);
}

type Made =
  | { readonly kind: "planned"; readonly pour: AssembledPour }
  | { readonly kind: "cannot"; readonly reasons: readonly CannotReason[]; readonly failed: readonly FailedSection[] };

function pourOrReasons(parted: PartedFloor, pace: MixingPace, limits: EdgeLimit, longest: Minutes): Made {
  const { job, quantities } = parted.floor;
  const { least, limit } = limits;
  const missing: CannotReason[] = limits.missing.map((what) => ({ kind: "time-missing", what }));
  if (quantities.lifts.length > 1 && job.material.waitBetweenLifts === undefined)
    missing.push({ kind: "time-missing", what: "wait-between-lifts" });
  if (least === undefined || limit === undefined || missing.length > 0)
    return { kind: "cannot", reasons: missing, failed: [] };
  const planned = planFloor(parted, pace, limit);
  if (planned.kind === "cannot") return { ...planned, reasons: [...planned.reasons, ...hours(parted, pace, longest)] };
  if (planned.runs.some(({ bags }) => bags === 0)) {
    const reason = { kind: "bag-over-lifts", lifts: quantities.lifts.length, bags: quantities.bags.toOrder } as const;
    return { kind: "cannot", reasons: [reason], failed: [] };
  }
  const pour = assemble(parted, planned.runs, pace, { least, limit });
  if ("cutOff" in pour) return { kind: "cannot", reasons: [{ kind: "no-order", roomIndex: pour.cutOff }], failed: [] };
  const reasons = [...hours(parted, pace, longest), ...hose(parted, longestCarry(pour))];
  if (reasons.length > 0) return { kind: "cannot", reasons, failed: [] };
  return { kind: "planned", pour };
}

/** Where the pour is longer than a day, the hours that it takes; nights and waits between lifts are not counted. */
function hours(parted: PartedFloor, pace: MixingPace, longest: Minutes): CannotReason[] {
  const lifts = new Map<number, Minutes>();
  for (const { lift, bags, before } of draftRuns(parted, pace)) {
    const stop = before.kind === "rest" || before.kind === "changeover" ? before.minutes : 0;
    const takes = (Math.ceil(bags / pace.bagsPerBatch) - 1) * pace.interval + pace.mixTime;
    lifts.set(lift, (lifts.get(lift) ?? 0) + stop + takes);
  }
  const duration = [...lifts.values()].reduce((sum, minutes) => sum + minutes, 0);
  const longestLift = Math.max(...lifts.values());
  return longestLift > longest ? [{ kind: "longer-than-a-day", duration, longest }] : [];
}

function hose({ floor: { job } }: PartedFloor, needed: Metres): CannotReason[] {
  const length = job.crew.pump?.hoseLength;
  return length !== undefined && needed > length ? [{ kind: "hose-too-short", needed, hose: length }] : [];
}

const longestCarry = ({ bays }: AssembledPour): Metres => bays.reduce((most, { carry }) => Math.max(most, carry), 0);

function pourable(parted: PartedFloor, pace: MixingPace, limits: EdgeLimit, pour: AssembledPour): PourPlan {
  const { poured, ...shown } = pour;
  const joins = joinsOf(parted, pour, limits.limit as Minutes);
  const frame = frameOf(parted, pace, limits, {
    batches: pour.batches,
    duration: pour.batches.at(-1)?.poured ?? 0,
    starts: pour.runs.filter(({ before, flushBefore }) => before.kind === "start" || flushBefore).length,
    carry: longestCarry(pour),
    needed: neededRate(parted, pace, limits.limit as Minutes, pour),
    joins,
    slow: false,
  });
  return { kind: "can-be-poured", ...frame, ...shown, joins };
}

/** The longest interval at which every edge would still be in time, as bags a minute; and what the day asks for. */
function neededRate(
  { floor }: PartedFloor,
  pace: MixingPace,
  limit: Minutes,
  { edges, bays, poured }: AssembledPour,
): number {
  let interval = Number.POSITIVE_INFINITY;
  const ages = [
    ...edges.map(({ age, later }) => ({ age, later })),
    ...bays.flatMap(({ frontAge, number }) => (frontAge === undefined ? [] : [{ age: frontAge, later: number }])),
  ];
  for (const { age, later } of ages) {
    const { toPlacing } = poured[later - 1]!.poured;
    const batches = Math.round((age - toPlacing) / pace.interval);
    if (batches > 0) interval = Math.min(interval, (limit - toPlacing) / batches);
  }
  const byDay = floor.quantities.bags.toOrder / (floor.job.crew.longestPour ?? USUAL_LONGEST_POUR);
  return Math.max(Number.isFinite(interval) ? pace.bagsPerBatch / interval : 0, byDay);
}

function unpourable(
  parted: PartedFloor,
  pace: MixingPace,
  limits: EdgeLimit,
  longest: Minutes,
  { reasons, failed }: Extract<Made, { kind: "cannot" }>,
): PourPlan {
  const { job } = parted.floor;
  const batches: Batch[] = [];
  let time: Minutes = 0;
  for (const draft of draftRuns(parted, pace)) {
    const starts = time + (draft.before.kind === "start" ? 0 : draft.before.minutes);
    const before = { batches: batches.length, bags: batches.at(-1)?.cumulativeBags ?? 0 };
    batches.push(...batchesOfRun(job, pace, { starts, bags: draft.bags }, before));
    time = batches.at(-1)?.poured ?? starts;
  }
  const curable = limits.limit !== undefined && !reasons.some(({ kind }) => kind === "time-missing");
  const remedies = curable ? remediesFor({ parted, pace, limit: limits.limit as Minutes, longest, failed }) : [];
  const frame = frameOf(parted, pace, limits, {
    batches,
    duration: batches.at(-1)?.poured ?? 0,
    starts: 1,
    carry: farthestSection(parted),
    needed: neededBy(parted, limits, pace, longest, failed, remedies),
    joins: undefined,
    slow: true,
  });
  return { kind: "cannot-be-poured", ...frame, reasons, remedies };
}

const farthestSection = ({ fromStation }: PartedFloor): Metres =>
  Math.max(0, ...[...fromStation].filter((length) => Number.isFinite(length)));

/**
 * The rate at which the day would do and the least lane of every section that fails would be renewed; where lanes are
 * short enough and the rate is what stands in the way all the same, the least that was planned through.
 */
function neededBy(
  { floor }: PartedFloor,
  { limit }: EdgeLimit,
  pace: MixingPace,
  longest: Minutes,
  failed: readonly FailedSection[],
  remedies: readonly Remedy[],
): number {
  const { crew, material } = floor.job;
  let rate = floor.quantities.bags.toOrder / longest;
  for (const { lane } of failed) {
    const left = lane && limit !== undefined ? limit - lane.toPlacing : 0;
    if (lane && left > 0) rate = Math.max(rate, (Math.ceil(lane.batches - 1e-9) * pace.bagsPerBatch) / left);
  }
  if (failed.every(({ lane }) => lane !== undefined)) return rate;
  const tried = remedies.flatMap(({ measures }) =>
    measures.flatMap((measure) => {
      if (measure.kind === "mixers") return [(measure.mixers * crew.bagsPerBarrel) / crew.barrelCycle];
      return measure.kind === "pump" ? [measure.rate / material.yieldPerBag] : [];
    }),
  );
  return tried.length === 0 ? rate : Math.max(rate, Math.min(...tried));
}

interface FrameParts {
  readonly batches: readonly Batch[];
  readonly duration: Minutes;
  readonly starts: number;
  readonly carry: Metres;
  readonly needed: number;
  readonly joins: readonly Join[] | undefined;
  readonly slow: boolean;
}

function frameOf(
  parted: PartedFloor,
  pace: MixingPace,
  limits: EdgeLimit,
  parts: FrameParts,
): Omit<PlanFrame, "batches"> & { batches: readonly Batch[] } {
  const { floor, station } = parted;
  const { job, depths, quantities } = floor;
  const rule = rateRule(job, depths, pace);
  const dams = damsOf(parted, parts.joins);
  const plugs = plugsOf(parted);
  const roles = job.crew.roles ?? usualRoles(job.crew, pace.mixers);
  const bagsPerMinute = pace.bagsPerBatch / pace.interval;
  const mixedBags = parts.batches.at(-1)?.cumulativeBags ?? 0;
  const { exitId, at, placed } = station;
  const meter = flowMeter(job);
  const thePace: Pace = {
    interval: pace.interval,
    bagsPerBatch: pace.bagsPerBatch,
    bagsPerMinute,
    bagsPerMinuteNeeded: parts.needed,
    bottleneck: bottleneck(job, pace, roles, parts.carry),
    litresPerMinute: bagsPerMinute * job.material.yieldPerBag,
    ...(meter === undefined ? {} : { flowMeter: meter }),
    farthestCarry: farthestCarry(job, pace),
  };
  return {
    batches: parts.batches,
    interval: pace.interval,
    duration: parts.duration,
    bagsPerMinute,
    ...rule,
    tooSlow: parts.slow && rule.areaInFlowTime < rule.laneArea,
    edgeLimit: limits,
    pace: thePace,
    station: { at, placed, exitId, farthestCarry: parts.carry },
    dams,
    perimeterStrip: perimeterStrip(parted),
    plugs,
    roles,
    daysBefore: daysBefore(job, quantities, { grinds: depths.highSpots.length > 0, dams, plugs }),
    goNoGo: goNoGo(job, quantities.bags.toOrder, parts.batches.length, parts.duration),
    logistics: logistics(job, quantities, pace, parts.carry, parts.starts),
    leftoverBags: mixedBags - quantities.bags.sum,
    bagsShortForStops: bagsForStops(parted, pace),
  };
}
