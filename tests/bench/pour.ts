/**
 * Speed of the pour plan: 50 rooms off a corridor, a hall of 5,000 m² with 300 columns, and a floor that two
 * barrels cannot pour, with what would do. The measure is a ratio in one run: against the time that the same
 * floor's depths take.
 *
 *     node --import tsx tests/bench/pour.ts
 */
import type { Point } from "../../src/geometry/point.ts";
import type { Job } from "../../src/job/model.ts";
import { planPour } from "../../src/pour/plan-pour.ts";
import { countQuantities } from "../../src/quantities/count-quantities.ts";
import { depthsOf, levelTarget } from "../depths/made-slab.ts";
import { FOOT, madeRoom, rectangle, squareColumn } from "../layout/made-job.ts";
import { doorOut, doorTo, pourJob, withDoors } from "../pour/made-pour.ts";
import { tell } from "./tell.ts";

function rooms(): Job {
  const corridor = madeRoom("corridor", rectangle(0, 0, 100, 2));
  const list = [withDoors(corridor, doorOut(corridor, 3, 0.5, 1, 0.2))];
  for (let k = 0; k < 49; k++) {
    const south = k % 2 === 1;
    const room = madeRoom(`room-${k}`, rectangle(Math.floor(k / 2) * 4 + 0.1, south ? -5.2 : 2.2, 3.8, 5));
    list.push(withDoors(room, doorTo(room, "corridor", south ? 2 : 0, 1, 0.9, 0.2, `D${k}`)));
  }
  return pourJob(list, { spacing: 2, crew: { longestPour: 600 } });
}

function hall(): Job {
  const room = madeRoom("hall", rectangle(0, 0, 100, 50), {
    columns: Array.from({ length: 300 }, (_, k) =>
      squareColumn(`C${k}`, 2.5 + (k % 20) * 5, 2.2 + Math.floor(k / 20) * 3.25, 0.4),
    ),
  });
  const crew = {
    barrels: 2,
    bagsPerBarrel: 12,
    barrelCycle: 1.4,
    mixTime: 1,
    laneWidth: 8,
    people: 9,
    pump: { rate: 300 },
  };
  return pourJob([withDoors(room, doorOut(room, 0, 96, 3, 0.2))], { spacing: 2.4, crew });
}

function tooMuch(): Job {
  const room = madeRoom("floor", rectangle(0, 0, 120 * FOOT, 100 * FOOT));
  return pourJob([withDoors(room, doorOut(room, 0, 1.2))], {
    spacing: 2.4,
    crew: { barrels: 2 },
    material: { healingTime: 10 },
  });
}

const level = ({ x, y }: Point): number => -9 - 2 * Math.sin(x / 7) * Math.cos(y / 3);

for (const [name, make] of Object.entries({
  "50 rooms": rooms,
  "5,000 m², 300 columns": hall,
  "12,000 ft², two barrels": tooMuch,
})) {
  const job = make();
  const from = performance.now();
  const { depths, plan } = depthsOf(job, level, levelTarget(0, job.rooms.length));
  const depthTime = performance.now() - from;
  const counted = countQuantities(job, depths);
  if (counted.kind !== "ready") throw new Error("no quantities");
  const times: number[] = [];
  let said = "";
  for (let round = 0; round < 3; round++) {
    const begin = performance.now();
    const outcome = planPour(job, plan, depths, counted.value);
    times.push(performance.now() - begin);
    if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
    const { value } = outcome;
    said =
      value.kind === "can-be-poured"
        ? `${value.bays.length} bays, ${value.batches.length} batches`
        : `cannot; ${value.remedies.length} remedies`;
  }
  const [first, ...again] = times as [number, ...number[]];
  tell(`pour plan of ${name}: ${said}`, first / 1000, "s", {
    ratio: first / depthTime,
    floor: "× its depths",
    aim: "2 s",
  });
  tell("  the same again in this process", Math.min(...again) / 1000, "s");
}
