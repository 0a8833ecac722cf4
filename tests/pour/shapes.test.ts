/** Floors of every shape, each plan gone over again by the referee. */
import { describe, expect, test } from "vitest";
import type { Passage } from "../../src/geometry/paths.ts";
import { distance, type Point, point } from "../../src/geometry/point.ts";
import type { Job, Room } from "../../src/job/model.ts";
import type { Bay, PourablePlan } from "../../src/pour/model.ts";
import { madeRoom, rectangle, squareColumn, turned } from "../layout/made-job.ts";
import { doorOut, doorTo, pourable, pourJob, withDoors } from "./made-pour.ts";
import { checkAges, checkBatches, checkCover, checkWays } from "./referee.ts";

const core = (x: number, y: number, w: number, h: number, id = "core"): Room["columns"][number] => ({
  id,
  kind: "opening",
  ring: rectangle(x, y, w, h)
    .map(([east, north]) => point(east, north))
    .reverse(),
});

const L: [number, number][] = [
  [0, 0],
  [12, 0],
  [12, 4],
  [4, 4],
  [4, 12],
  [0, 12],
];
const U: [number, number][] = [
  [0, 0],
  [12, 0],
  [12, 10],
  [8, 10],
  [8, 4],
  [4, 4],
  [4, 10],
  [0, 10],
];

const one = (room: Room, wall: number, from: number, width = 0.9): Job =>
  pourJob([withDoors(room, doorOut(room, wall, from, width))]);

const corridor = (): Job => {
  const along = madeRoom("corridor", rectangle(0, 0, 16, 2));
  const rooms = [withDoors(along, doorOut(along, 3, 0.5))];
  for (let k = 0; k < 4; k++) {
    const room = madeRoom(`room-${k}`, rectangle(k * 4 + 0.1, 2.2, 3.8, 4));
    rooms.push(withDoors(room, doorTo(room, "corridor", 0, 1, 0.9, 0.2, `D${k}`)));
  }
  return pourJob(rooms);
};

const hallOfColumns = (): Job => {
  const hall = madeRoom("hall", rectangle(0, 0, 30, 20), {
    columns: Array.from({ length: 24 }, (_, k) =>
      squareColumn(`C${k}`, 2.5 + (k % 6) * 5, 2.5 + Math.floor(k / 6) * 5, 0.4),
    ),
  });
  const crew = { barrels: 6, people: 12, laneWidth: 4 };
  return pourJob([withDoors(hall, doorOut(hall, 0, 0.3, 1.2))], { spacing: 2.4, crew });
};

const floors: Record<string, () => Job> = {
  "an L": () => one(madeRoom("L", L), 1, 1),
  "an L turned by 0.4 rad": () => one(madeRoom("L", turned(L, 0.4, [20, 5])), 1, 1),
  "a U": () => one(madeRoom("U", U), 0, 0.3),
  "a ring round a core": () =>
    one(madeRoom("ring", rectangle(0, 0, 14, 14), { columns: [core(4, 4, 6, 6)] }), 0, 6.5, 1),
  "a corridor with rooms off it": corridor,
  "a hall of columns": hallOfColumns,
  "a door in the middle": () => one(madeRoom("hall", rectangle(0, 0, 12, 6)), 0, 5.5),
  "a doorway in a thick wall": () => {
    const room = madeRoom("hall", rectangle(0, 0, 7, 5));
    return pourJob([withDoors(room, doorOut(room, 2, 3, 1.2, 0.3))]);
  },
  "two exits": () => {
    const room = madeRoom("hall", rectangle(0, 0, 16, 5));
    return pourJob([withDoors(room, doorOut(room, 3, 2, 0.9, 0, "W"), doorOut(room, 1, 2, 0.9, 0, "E"))]);
  },
  "a trapezium": () =>
    one(
      madeRoom("wedge", [
        [0, 0],
        [9, 0],
        [9, 4],
        [0, 6],
      ]),
      1,
      0.4,
    ),
};

/** Sloping from corner to corner, with a hollow. */
const depthAt = ({ x, y }: Point): number => 9 + 0.2 * x - 0.1 * y + 4 * Math.exp(-((x - 3) ** 2 + (y - 3) ** 2) / 2);

const edgesIn = (job: Job): Point[] =>
  job.rooms.flatMap(({ doors }) =>
    doors
      .filter(({ entrance, joinsRoom }) => entrance && !joinsRoom)
      .map(({ jambs, doorway }) => {
        const [p, q] = doorway ? [doorway[1]!, doorway[2]!] : jambs;
        return point((p.x + q.x) / 2, (p.y + q.y) / 2);
      }),
  );

const passagesIn = (job: Job): Passage[] =>
  job.rooms.flatMap(({ doors }) =>
    doors
      .filter(({ joinsRoom }) => joinsRoom)
      .map(
        ({ doorway, jambs }): Passage => ({
          from: doorway ? doorway[1]! : jambs[0],
          to: doorway ? doorway[2]! : jambs[1],
        }),
      ),
  );

const dammed =
  (plan: PourablePlan) =>
  (a: Bay, b: Bay): boolean =>
    a.roomIndex !== b.roomIndex &&
    !plan.joins.some(({ how, bays }) => how === "poured-through" && bays.includes(a.number) && bays.includes(b.number));

test("a hall of 50 m by 40 m with 300 columns, pumped", () => {
  const hall = madeRoom("hall", rectangle(0, 0, 50, 40), {
    columns: Array.from({ length: 300 }, (_, k) =>
      squareColumn(`C${k}`, 1.3 + (k % 20) * 2.5, 1.5 + Math.floor(k / 20) * 2.6, 0.3),
    ),
  });
  const crew = {
    barrels: 3,
    bagsPerBarrel: 8,
    barrelCycle: 3,
    mixTime: 1,
    people: 9,
    laneWidth: 7,
    pump: { rate: 300 },
  };
  const job = pourJob([withDoors(hall, doorOut(hall, 0, 47, 2))], { spacing: 3, crew });
  const { plan, depths, layout } = pourable(job, ({ x, y }) => 9 + 0.03 * x - 0.02 * y);
  checkCover(plan, layout, depths.volumeToOrder, depths.area, job.crew.laneWidth);
  checkBatches(plan, 3, 3);
  for (const { margin } of plan.edges) expect(margin).toBeGreaterThan(-1e-9);
  // From the far end to the door, one lane after the other: no bay is split by a column.
  expect(plan.bays.length).toBeLessThan(25);
  const far = plan.bays.map(({ from, to }) => Math.hypot(48 - (from.x + to.x) / 2, (from.y + to.y) / 2));
  expect(far[0]).toBe(Math.max(...far));
});

describe.each(Object.entries(floors))("%s", (_, make) => {
  const job = make();
  const { plan, depths, layout } = pourable(job, depthAt);

  test("every place lies in one bay, and the bays hold what is ordered", () => {
    checkCover(plan, layout, depths.volumeToOrder, depths.area, job.crew.laneWidth);
    checkBatches(plan, job.crew.barrelCycle, job.crew.barrels);
  });

  test("every edge is renewed within the limit", () => {
    const limit = 13 - 1;
    expect(plan.edgeLimit.limit).toBe(limit);
    const oldest = checkAges(plan, limit, dammed(plan));
    const said = Math.max(0, ...plan.edges.map(({ age }) => age));
    if (plan.edges.length > 0) expect(oldest).toBeGreaterThan(said - plan.interval - 1e-6);
  });

  test("nobody is shut in, and nothing is carried over fresh material", () => {
    checkWays(plan, layout, edgesIn(job), passagesIn(job));
  });

  test("it ends at a way out, and carries no farther than the floor is wide and long", () => {
    const last = plan.bays.at(-1)!;
    const out = Math.min(...edgesIn(job).map((exit) => distance(exit, last.to)));
    expect(out).toBeLessThan(3.2);
    expect(plan.station.farthestCarry).toBeLessThan(45);
  });
});
