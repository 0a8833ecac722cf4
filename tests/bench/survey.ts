/**
 * Speed of the survey: 5,000 readings in 12 set-ups adjusted, tested and searched for slips; and the reach of
 * the hose to 1,000 points round 80 columns. The measures are ratios in one run: against taking the mean of each
 * point's readings, and against seeing in a straight line. Times are of the processor, so that a busy machine
 * does not spoil them; the middle one of nine rounds, the first rounds, which compile, left out.
 *
 *     node --import tsx tests/bench/survey.ts
 */
import { lengthsBetween, seesAcross, walkableFloor } from "../../src/geometry/paths.ts";
import { type Point, type Polygon, point } from "../../src/geometry/point.ts";
import type { Reading, SetUp } from "../../src/job/model.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { adjustSurvey, USUAL_RULES } from "../../src/survey/adjust-levels.ts";
import { solveNetwork } from "../../src/survey/network.ts";
import { gatherObservations } from "../../src/survey/observations.ts";
import { snoop } from "../../src/survey/snooping.ts";
import { gridPlan, LITRES_PER_BAG, placeAt, reading, setUp, surveyOf, zeroCheck } from "../survey/fixtures.ts";
import { tell } from "./tell.ts";

function processorMs(run: () => void): number {
  const times: number[] = [];
  for (let round = 0; round < 13; round++) {
    const from = process.cpuUsage();
    run();
    const { user, system } = process.cpuUsage(from);
    if (round >= 4) times.push((user + system) / 1000);
  }
  times.sort((a, b) => a - b);
  return times[times.length >> 1]!;
}

const line = (what: string, ms: number, bareMs: number, aim?: string) =>
  tell(what, ms, "ms", {
    ...(ms === bareMs ? {} : { ratio: ms / bareMs, floor: "× bare" }),
    ...(aim === undefined ? {} : { aim }),
  });

// 24 × 150 points; each set-up reads 416 or so: its own, and one row of the next.
const plan = gridPlan(24, 150, 1.8);
const random = randomFrom(5);
const setUps: SetUp[] = Array.from({ length: 12 }, (_, s) => {
  const from = Math.floor((s * plan.points.length) / 12);
  const own = plan.points.slice(from, from + 300);
  const next = Array.from({ length: 117 }, (_, k) => plan.points[(from + 300 + k) % plan.points.length]!);
  const readings = [...own, ...next].map(({ id, at }, k): Reading => {
    const level = 5 * Math.sin(at.x / 9) * Math.cos(at.y / 7) - 40 * s + 0.7 * random.normal();
    return reading(id, level, { place: placeAt(100 * s + Math.floor(k / 20), 6 * (k % 20) + 1) });
  });
  const checks = Array.from({ length: 21 }, (_, k) =>
    zeroCheck(Math.min(20 * k, readings.length), 0.7 * random.normal()),
  );
  return setUp(`S${s + 1}`, 0.7, readings, { zeroChecks: checks });
});
const count = setUps.reduce((sum, one) => sum + one.readings.length, 0);
console.log(`${count} readings of ${plan.points.length} points in ${setUps.length} set-ups, with drift`);

const means = () => {
  const sums = new Map<string, { sum: number; times: number }>();
  for (const one of setUps) {
    for (const { pointId, level } of one.readings) {
      const known = sums.get(pointId);
      if (known) {
        known.sum += level;
        known.times++;
      } else sums.set(pointId, { sum: level, times: 1 });
    }
  }
  return sums;
};
const bareMeans = processorMs(means);
line("bare: the mean of each point's readings", bareMeans, bareMeans);
const gather = () => {
  const gathered = gatherObservations(setUps, plan.points, [], USUAL_RULES, () => ({ kind: "free" }));
  return { ...gathered.network, zeroHeld: setUps.map((_, s) => s === 0) };
};
const network = gather();
line("gathering the readings", processorMs(gather), bareMeans);
line(
  "least squares, variances and redundancies",
  processorMs(() => solveNetwork(network)),
  bareMeans,
);
line(
  "gathered, solved, and snooped once through",
  processorMs(() => {
    const fresh = gather();
    snoop(fresh, solveNetwork(fresh), { ...USUAL_RULES, alpha: 1e-9 });
  }),
  bareMeans,
  "20 ms",
);
line(
  "the whole of adjustSurvey, slab around and closures too",
  processorMs(() => {
    const outcome = adjustSurvey(surveyOf(setUps), [], plan, LITRES_PER_BAG, "not surveyed");
    if (outcome.kind !== "ready") throw new Error(outcome.kind);
  }),
  bareMeans,
  "20 ms",
);

const holes: Point[][] = [];
for (let i = 0; i < 10; i++) {
  for (let j = 0; j < 8; j++) {
    const [x, y] = [3 + 6 * i, 3 + 6 * j];
    holes.push([point(x, y), point(x, y + 0.5), point(x + 0.5, y + 0.5), point(x + 0.5, y)]);
  }
}
const hall: Polygon = { outline: [point(0, 0), point(62, 0), point(62, 48), point(0, 48)], holes };
const targets = Array.from({ length: 1000 }, (_, k) => point(0.77 + (k % 40) * 1.55, 0.9 + Math.floor(k / 40) * 1.87));
const sources = targets.filter((_, k) => k % 17 === 0);
console.log(`\n${targets.length} points, ${holes.length} columns`);
const floor = walkableFloor([hall], []);
const bareSight = processorMs(() => seesAcross(floor, [point(31, 24.3)], targets));
line("bare: which points one place sees", bareSight, bareSight);
line(
  "the floor made ready",
  processorMs(() => walkableFloor([hall], [])),
  bareSight,
);
line(
  "hose from one place to all",
  processorMs(() => lengthsBetween(floor, [point(31, 24.3)], targets)),
  bareSight,
);
line(
  "both together: the reach of a position",
  processorMs(() => lengthsBetween(walkableFloor([hall], []), [point(31, 24.3)], targets)),
  bareSight,
);
line(
  `from ${sources.length} places to all`,
  processorMs(() => lengthsBetween(floor, sources, targets)),
  bareSight,
  "500 ms",
);
