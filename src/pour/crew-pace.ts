/** What a crew mixes and how far it carries, from its barrels, its pump and its people. */
import type { Crew } from "../job/library-model.ts";
import type { Job } from "../job/model.ts";
import type { Litres, LitresPerMinute, Metres, MetresPerMinute, Minutes } from "../units.ts";
import type { Pace, Role } from "./model.ts";

/** Pace of someone with a full barrel on a cart, where the crew's entry gives none (from memory). */
export const USUAL_CARRYING_PACE: MetresPerMinute = 40;
/** Of a barrel's cycle, what measuring, charging, emptying and rinsing take (common practice: 5–6 min less 2–3 of mixing and the carrying). */
const HANDLING: Minutes = 1.5;
/** Width of a gauge rake: a lane narrower than the tool cannot be raked (common practice). */
export const USUAL_LEAST_LANE: Metres = 0.6;
/** A day's pour where the crew's entry gives none: eight hours, a working day. */
export const USUAL_LONGEST_POUR: Minutes = 480;

/** What the planner needs of the crew; a remedy is tried by changing it. */
export interface MixingPace {
  readonly mixers: number;
  readonly bagsPerBatch: number;
  readonly interval: Minutes;
  readonly mixTime: Minutes;
  readonly carryingPace: MetresPerMinute;
  readonly laneWidth: Metres;
  readonly leastLaneWidth: Metres;
  /** From the pump to the end of the hose; 0 without one. */
  readonly hoseTime: Minutes;
  readonly pumped: boolean;
}

/** The pace of the crew as the job has it. The rate of a pump caps that of the mixers that feed it. */
export function mixingPace({ crew, material }: Pick<Job, "crew" | "material">, mixers: number): MixingPace {
  const { pump } = crew;
  const byMixers = crew.barrelCycle / mixers;
  const byPump = pump ? (crew.bagsPerBarrel * material.yieldPerBag) / pump.rate : 0;
  return {
    mixers,
    bagsPerBatch: crew.bagsPerBarrel,
    interval: Math.max(byMixers, byPump),
    mixTime: crew.mixTime,
    carryingPace: crew.carryingPace ?? USUAL_CARRYING_PACE,
    laneWidth: crew.laneWidth,
    leastLaneWidth: Math.min(crew.leastLaneWidth ?? USUAL_LEAST_LANE, crew.laneWidth),
    hoseTime: pump ? hoseLitres(crew) / pump.rate : 0,
    pumped: pump !== undefined,
  };
}

/**
 * What the flow meter of a pump that mixes by itself is set to: the water of so many bags a minute as its rate takes.
 * Undefined for a pump that is fed with mixed material.
 */
export function flowMeter({ crew: { pump }, material }: Pick<Job, "crew" | "material">): LitresPerMinute | undefined {
  return pump?.mixesItself ? (pump.rate / material.yieldPerBag) * material.waterPerBag : undefined;
}

/** What the hose holds: the material at its end went into it so many litres ago. */
function hoseLitres({ pump }: Crew): Litres {
  if (pump?.hoseLength === undefined || pump.hoseBore === undefined) return 0;
  // A circle of so many mm over so many m: π/4 d² mm² is π/4 d²/1000 litres a metre.
  return ((Math.PI / 4) * pump.hoseBore * pump.hoseBore * pump.hoseLength) / 1000;
}

/** From powder meeting water to placing, for a place so far from the station. */
export const timeToPlacing = (pace: MixingPace, carry: Metres): Minutes =>
  pace.mixTime + (pace.pumped ? pace.hoseTime : carry / pace.carryingPace);

/** The farthest that a barrel can be carried, there and back, inside its cycle. */
export const farthestCarry = ({ crew }: Pick<Job, "crew">, pace: MixingPace): Metres =>
  Math.max(0, (crew.barrelCycle - crew.mixTime - HANDLING) / 2) * pace.carryingPace;

/**
 * Who does what, where the office leaves it to the crew lead (common practice: three at least without a pump, four to
 * six for two barrels): one raker, one with the smoother, one to mix and one to carry for every two barrels, the
 * lead among them; with one barrel the raker smooths too. With a pump two hold the hose and nobody carries.
 */
export function usualRoles(crew: Crew, mixers: number): Role[] {
  const pairs = Math.ceil(mixers / 2);
  const roles: Role[] = [
    { role: "mix", people: pairs },
    crew.pump ? { role: "hose", people: 2 } : { role: "carry", people: pairs },
    { role: "rake", people: 1 },
  ];
  if (mixers > 1 || crew.pump) roles.push({ role: "smooth", people: 1 });
  return roles;
}

export const peopleIn = (roles: readonly Role[]): number => roles.reduce((sum, { people }) => sum + people, 0);

/** What holds the crew back first. */
export function bottleneck(
  job: Job,
  pace: MixingPace,
  roles: readonly Role[],
  longestCarry: Metres,
): Pace["bottleneck"] {
  const { crew } = job;
  if (peopleIn(roles) > crew.people) return "people";
  if (!pace.pumped && longestCarry > farthestCarry(job, pace)) return "carrying";
  return pace.interval > crew.barrelCycle / pace.mixers ? "pump" : "mixers";
}
