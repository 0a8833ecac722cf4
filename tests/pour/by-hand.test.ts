/**
 * A pour that anyone can work by hand. A room 6 m by 4 m, 10 mm deep: 240 L. Bags of 10 L, two to a barrel,
 * two barrels with a cycle of 6 min: a batch of 20 L every 3 min, mixed for 2. The mix heals for 12 min;
 * less half a minute, an edge lives 11.5: three batches later (9 min + 2) is the last that renews it, so a
 * lane may take three batches, 60 L, 6 m² of floor.
 */
import { expect, test } from "vitest";
import type { Door, Job } from "../../src/job/model.ts";
import { madeRoom, rectangle, squareColumn } from "../layout/made-job.ts";
import { doorOut, pourable, pourJob, unpourable, withDoors } from "./made-pour.ts";

const room = madeRoom("hall", rectangle(0, 0, 6, 4));
/** At the south end of the east wall. */
const door: Door = doorOut(room, 1, 0.2, 1);

const byHand = (crew: Partial<Job["crew"]> = {}, pour: Partial<Job["pour"]> = {}): Job =>
  pourJob([withDoors(room, door)], {
    rest: { units: { plan: "m", height: "mm" } },
    crew: {
      people: 5,
      barrels: 2,
      bagsPerBarrel: 2,
      barrelCycle: 6,
      mixTime: 2,
      laneWidth: 2,
      carryingPace: 1e9,
      ...crew,
    },
    material: { yieldPerBag: 10, flowTime: 15, healingTime: 12 },
    pour: { edgeMargin: 0.5, ...pour },
  });

test("four lanes of 1.5 m across the room, from the far end to the door, three batches each", () => {
  const { plan } = pourable(byHand(), () => 10);
  expect(plan.edgeLimit).toMatchObject({ least: 12, margin: 0.5, limit: 11.5, missing: [] });
  expect(plan.pace).toMatchObject({ interval: 3, bottleneck: "mixers" });
  expect(plan.batches).toHaveLength(12);
  expect(plan.bays).toHaveLength(4);
  const told = plan.bays.map(({ number, firstBatch, lastBatch, begins, ends }) => [
    number,
    firstBatch,
    lastBatch,
    begins,
    ends,
  ]);
  // The first batch of each bay is placed 2 min after its powder met water: batches 1, 4, 7, 10 at 0, 9, 18, 27.
  expect(told.map((row) => row.map((value) => Math.round(value * 1e6) / 1e6))).toEqual([
    [1, 1, 3, 2, 8],
    [2, 4, 6, 11, 17],
    [3, 7, 9, 20, 26],
    [4, 10, 12, 29, 35],
  ]);
  for (const bay of plan.bays) {
    expect(bay.volume).toBeCloseTo(60, 6);
    expect(bay.width).toBeCloseTo(1.5, 6);
    expect(bay.length).toBeCloseTo(4, 6);
  }
  // Lines at thirds of the lane.
  const reaches = plan.batches.slice(0, 3).map(({ pours }) => pours[0]!.reaches);
  for (const [k, at] of [4 / 3, 8 / 3, 4].entries()) expect(reaches[k]).toBeCloseTo(at, 6);
  // All lanes run the same way, so every edge is as old: three intervals and the mixing, 11 min.
  expect(plan.edges).toHaveLength(3);
  for (const { age, margin, length } of plan.edges) {
    expect(age).toBeCloseTo(11, 6);
    expect(margin).toBeCloseTo(0.5, 6);
    expect(length).toBeCloseTo(4, 6);
  }
  // At an interval of (11.5 − 2)/3 min the edges would be just in time: 2 bags in 3.167 min.
  expect(plan.pace.bagsPerMinuteNeeded).toBeCloseTo(6 / 9.5, 6);
  expect(plan.bays.map(({ latestBegin }) => latestBegin)).toEqual([
    undefined,
    expect.closeTo(11.5),
    expect.closeTo(20.5),
    expect.closeTo(29.5),
  ]);
  // Middles 0.75, 2.25, 3.75, 5.25 m: three steps of 1.5 m, then from (5.25, 2) to the door at (6, 0.7).
  expect(plan.way).toBeCloseTo(4.5 + Math.hypot(0.75, 1.3), 3);
});

test("what goes wrong: stop lines, a running bag check, one mixer out", () => {
  const { plan } = pourable(byHand(), () => 10);
  const [first, second, , last] = plan.bays;
  expect(first!.bagCheck).toEqual({ planned: 6, stopAt: 8 });
  expect(plan.bays[3]!.bagCheck).toEqual({ planned: 24, stopAt: 27 });
  // After bay 1 the dam stands along its 4 m edge, 10 mm high: a minute to fetch it and one for every metre.
  expect(first!.stop).toMatchObject({
    length: expect.closeTo(4),
    height: expect.closeTo(10),
    settingTime: expect.closeTo(5),
  });
  // Its first batch met water at 0 and heals until 12; that nothing comes shows at 11.
  expect(first!.stop.timeLeft).toBeCloseTo(1, 6);
  expect(last!.stop).toMatchObject({ segments: [], length: 0 });
  // A mixer fails with batch 4 in it: the other starts it again at 12, so it is placed at 14 beside batch 1 (14 min old);
  // batch 5 comes at 18, placed at 20 beside batch 2 of minute 3 (17), batch 6 at 24, placed at 26 beside batch 3 of minute 6 (20 old).
  expect(second!.mixerFails).toMatchObject({ worstBatch: 4, reachesStopLine: false });
  expect(second!.mixerFails.margin).toBeCloseTo(12 - 20, 6);
});

test("a tenth more depth and the last bag check, batches and hours move with it", () => {
  const { plan, quantities } = pourable(byHand({ barrelCycle: 5 }), () => 11);
  expect(quantities.bags.toOrder).toBe(27);
  expect(plan.batches.at(-1)).toMatchObject({ number: 14, bags: 1, cumulativeBags: 27 });
  expect(plan.leftoverBags).toBeCloseTo(27 - 26.4, 9);
  expect(plan.duration).toBeCloseTo(13 * 2.5 + 2, 9);
});

test("a little slower, and such lanes are not renewed in time: narrower ones are planned instead", () => {
  const { plan } = pourable(byHand({ barrelCycle: 6.4 }), () => 10);
  // Three batches between are 9.6 + 2 > 11.5, two 6.4 + 2: a lane may take 40 L, one metre of the room.
  expect(plan.bays).toHaveLength(6);
  for (const { age } of plan.edges) expect(age).toBeCloseTo(8.4, 6);
});

test("carrying takes its time: from the door to the far end at 10 m a minute", () => {
  const { plan } = pourable(byHand({ carryingPace: 10, barrelCycle: 5 }), () => 10);
  const first = plan.bays[0]!;
  expect(first.carry).toBeGreaterThan(4);
  expect(first.begins).toBeGreaterThan(2 + first.carry / 10 - 1e-9);
  expect(plan.station.farthestCarry).toBeCloseTo(Math.max(...plan.bays.map(({ carry }) => carry)), 9);
});

test("half the mixers: the hours, the rate that is needed, and what would do, each planned through", () => {
  const { plan } = unpourable(byHand({ barrels: 1 }), () => 10);
  // Twelve batches, one every 6 min, the last mixed for 2.
  expect(plan.duration).toBeCloseTo(68, 9);
  const [reason] = plan.reasons;
  // The least lane is 0.6 m by 4 m: 24 L, more than a batch, so two batches and the mixing: 14 min against 11.5.
  expect(reason).toMatchObject({
    kind: "edge-late",
    laneLength: 4,
    laneWidth: 0.6,
    limit: 11.5,
    age: expect.closeTo(14),
  });
  // 24 L are two batches of two bags, in the 9.5 min that are left after mixing: more than the 2 bags in 6 min that there are.
  expect(plan.pace.bagsPerMinuteNeeded).toBeCloseTo(4 / 9.5, 6);
  const mixers = plan.remedies.flatMap(({ measures }) => measures.filter((one) => one.kind === "mixers"));
  expect(mixers).toEqual([{ kind: "mixers", mixers: 2 }]);
  // One dam in the middle makes lanes of 2 m: 20 L, a batch, are then a metre wide.
  const dams = plan.remedies.flatMap(({ measures }) => measures.filter((one) => one.kind === "dams"));
  expect(dams[0]!.dams.length).toBeGreaterThan(0);
  const tried = pourable(
    byHand({ barrels: 1 }, { dams: dams[0]!.dams.map(({ from, to }, k) => ({ id: `DAM${k}`, from, to })) }),
    () => 10,
  );
  expect(tried.plan.dams.filter(({ why }) => why === "planned").length).toBeGreaterThan(0);
  for (const { margin } of tried.plan.edges) expect(margin).toBeGreaterThan(-1e-9);
});

test("the floor's rim: foam along walls and a column, a dam at the door", () => {
  const columned = { ...room, columns: [squareColumn("C1", 3, 2, 0.4)] };
  const job = { ...byHand(), rooms: [withDoors(columned, door)] };
  const { plan } = pourable(job, ({ x }) => 8 + x);
  // 20 m of wall less the 1 m door, and 1.6 m round the column.
  expect(plan.perimeterStrip).toBeCloseTo(20 - 1 + 1.6, 4);
  // The door stands at x = 6: 14 mm deep.
  expect(plan.dams).toMatchObject([
    { why: "door-out", id: "OUT", length: expect.closeTo(1), height: expect.closeTo(14) },
  ]);
});
