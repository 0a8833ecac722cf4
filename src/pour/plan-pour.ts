/** Bags to order → batches in time, and whether the crew keeps up with the mix. */
import type { Depths } from "../depths/model.ts";
import { type Diagnostic, type Outcome, ready, refused } from "../diagnostics.ts";
import { area, duration, planLength } from "../format.ts";
import { distance, type Ring } from "../geometry/point.ts";
import { convexHull } from "../geometry/polygon.ts";
import type { Crew, Job, Material, Room } from "../job/model.ts";
import type { Quantities } from "../quantities/model.ts";
import type { Metres, SquareMetres } from "../units.ts";
import type { Batch, MixingSchedule } from "./model.ts";

/**
 * The mixing schedule: every ordered bag, barrel after barrel, from the moment when the first powder
 * meets water. Times in minutes, water in litres, areas in m².
 *
 * Refuses a mix that has stopped flowing before it leaves the barrel, and a cycle shorter than its
 * mixing. Warns where a lane is not covered within the flow time.
 */
export function planPour(job: Job, depths: Depths, quantities: Quantities): Outcome<MixingSchedule> {
  const { crew, material } = job;
  const problems = checkTimes(job);
  if (problems.length > 0) return refused(problems);
  const interval = crew.barrelCycle / crew.barrels;
  const batches = stagger(quantities.bags.toOrder, crew, material);
  const pace = tightestPace(job, depths);
  const schedule: MixingSchedule = {
    batches,
    interval,
    duration: batches.at(-1)?.poured ?? 0,
    bagsPerMinute: crew.bagsPerBarrel / interval,
    ...pace,
    tooSlow: pace.areaInFlowTime < pace.laneArea,
  };
  return ready(schedule, schedule.tooSlow ? [slowerThanALane(job, schedule)] : []);
}

function checkTimes({ crew, material, source }: Job): Diagnostic[] {
  const problems: Diagnostic[] = [];
  if (crew.mixTime >= material.flowTime) {
    problems.push({
      code: "mix-outlasts-flow",
      severity: "error",
      message: `crew ${crew.id} mixes for ${duration(crew.mixTime).text}, but ${material.name} flows for ${duration(material.flowTime).text} from the moment when powder meets water`,
      expected: "a mixing time well inside the flow time",
      hint: "check both against the data sheet and the crew's entry in the library",
      place: source.place(["crew"]),
    });
  }
  if (crew.barrelCycle < crew.mixTime) {
    problems.push({
      code: "cycle-shorter-than-mix",
      severity: "error",
      message: `crew ${crew.id} has a barrel cycle of ${duration(crew.barrelCycle).text}, shorter than the ${duration(crew.mixTime).text} of mixing in it`,
      expected: "a cycle that holds measuring, charging, mixing, carrying, emptying and rinsing",
      place: source.place(["crew"]),
    });
  }
  return problems;
}

/** Barrels start one after the other, evenly over the cycle of one; the last batch takes what is left. */
function stagger(bagsToPour: number, crew: Crew, material: Material): Batch[] {
  return Array.from({ length: Math.ceil(bagsToPour / crew.bagsPerBarrel) }, (_, k): Batch => {
    const cumulativeBags = Math.min((k + 1) * crew.bagsPerBarrel, bagsToPour);
    const bags = cumulativeBags - k * crew.bagsPerBarrel;
    const powderMeetsWater = (k * crew.barrelCycle) / crew.barrels;
    return {
      number: k + 1,
      barrel: (k % crew.barrels) + 1,
      bags,
      water: bags * material.waterPerBag,
      cumulativeBags,
      powderMeetsWater,
      poured: powderMeetsWater + crew.mixTime,
    };
  });
}

type Pace = Pick<MixingSchedule, "areaInFlowTime" | "laneArea" | "tightestRoomIndex">;

/** The plain rate rule (common practice): bags a minute × yield ÷ depth = area a minute, which must cover a lane inside the flow time. */
function tightestPace(job: Job, depths: Depths): Pace {
  const { crew, material } = job;
  const bagsPerMinute = (crew.bagsPerBarrel * crew.barrels) / crew.barrelCycle;
  const litresInFlowTime = bagsPerMinute * material.yieldPerBag * material.flowTime;
  let tightest: Pace | undefined;
  for (const { roomIndex, area: roomArea, volumeToOrder } of depths.rooms) {
    const areaInFlowTime: SquareMetres = litresInFlowTime / (volumeToOrder / roomArea);
    const laneArea = crew.laneWidth * shorterWay((job.rooms[roomIndex] as Room).outline);
    const pace = { roomIndex, areaInFlowTime, laneArea };
    if (tightest === undefined || areaInFlowTime * tightest.laneArea < tightest.areaInFlowTime * laneArea) {
      tightest = { areaInFlowTime, laneArea, tightestRoomIndex: pace.roomIndex };
    }
  }
  if (!tightest) throw new Error(`job ${job.id} has no room to pour`);
  return tightest;
}

/**
 * The least distance between two parallel lines with the room between them: the way across it.
 * Such lines hold an edge of the convex hull (Houle & Toussaint, "Computing the width of a set",
 * IEEE Transactions on Pattern Analysis and Machine Intelligence 10, 1988).
 */
function shorterWay(outline: Ring): Metres {
  const hull = convexHull(outline);
  let least = Number.POSITIVE_INFINITY;
  for (const [k, a] of hull.entries()) {
    const b = hull[(k + 1) % hull.length] as (typeof hull)[0];
    let farthest = 0;
    for (const p of hull) {
      const off = ((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)) / distance(a, b);
      farthest = Math.max(farthest, Math.abs(off));
    }
    least = Math.min(least, farthest);
  }
  return least;
}

function slowerThanALane(job: Job, { areaInFlowTime, laneArea, tightestRoomIndex }: MixingSchedule): Diagnostic {
  const { crew, material, units } = job;
  const room = job.rooms[tightestRoomIndex] as Room;
  return {
    code: "slower-than-a-lane",
    severity: "warning",
    message: `in room ${room.id} crew ${crew.id} covers ${area(areaInFlowTime, units.plan).large.text} while a batch flows, but a lane across it, ${planLength(crew.laneWidth, units.plan).large.text} wide, has ${area(laneArea, units.plan).large.text}: its edge sets before the next lane meets it`,
    expected: `a lane covered within the flow time of ${duration(material.flowTime).text}`,
    hint: "another barrel, a pump, a narrower lane, or a dam across it",
    place: job.source.place(["crew"]),
  };
}
