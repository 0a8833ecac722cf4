/** Batches in time: barrel after barrel, run after run; and the plain rate rule. */
import type { Depths } from "../depths/model.ts";
import { distance, type Ring } from "../geometry/point.ts";
import { convexHull } from "../geometry/polygon.ts";
import type { Job, Room } from "../job/model.ts";
import type { Metres, Minutes, SquareMetres } from "../units.ts";
import type { MixingPace } from "./crew-pace.ts";
import type { Batch, MixingSchedule } from "./model.ts";

/** Whole bags of one run in batches: barrels start one after the other, evenly; the last batch takes what is left. */
export function batchesOfRun(
  job: Pick<Job, "material">,
  pace: MixingPace,
  run: { readonly starts: Minutes; readonly bags: number },
  before: { readonly batches: number; readonly bags: number },
): Batch[] {
  return Array.from({ length: Math.ceil(run.bags / pace.bagsPerBatch) }, (_, k): Batch => {
    const inRun = Math.min((k + 1) * pace.bagsPerBatch, run.bags);
    const bags = inRun - k * pace.bagsPerBatch;
    const powderMeetsWater = run.starts + k * pace.interval;
    return {
      number: before.batches + k + 1,
      barrel: (k % pace.mixers) + 1,
      bags,
      water: bags * job.material.waterPerBag,
      cumulativeBags: before.bags + inRun,
      powderMeetsWater,
      poured: powderMeetsWater + pace.mixTime,
    };
  });
}

type RateRule = Pick<MixingSchedule, "areaInFlowTime" | "laneArea" | "tightestRoomIndex">;

/**
 * The plain rate rule (common practice): bags a minute × yield ÷ depth = area a minute, which must cover a
 * lane inside the flow time. For the room with least to spare.
 */
export function rateRule(job: Job, depths: Depths, pace: MixingPace): RateRule {
  const { material } = job;
  const litresInFlowTime = (pace.bagsPerBatch / pace.interval) * material.yieldPerBag * material.flowTime;
  let tightest: RateRule | undefined;
  for (const { roomIndex, area, volumeToOrder } of depths.rooms) {
    const areaInFlowTime: SquareMetres = litresInFlowTime / (volumeToOrder / area);
    const laneArea = pace.laneWidth * shorterWay((job.rooms[roomIndex] as Room).outline);
    if (tightest === undefined || areaInFlowTime * tightest.laneArea < tightest.areaInFlowTime * laneArea) {
      tightest = { areaInFlowTime, laneArea, tightestRoomIndex: roomIndex };
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
