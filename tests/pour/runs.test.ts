/** More than one go: lifts, rests, moving on; a pump; joints and dams that part a room. */
import { describe, expect, test } from "vitest";
import { point } from "../../src/geometry/point.ts";
import { madeRoom, rectangle } from "../layout/made-job.ts";
import { doorOut, doorTo, pourable, pourJob, unpourable, withDoors } from "./made-pour.ts";
import { checkAges, checkCover } from "./referee.ts";

const hall = madeRoom("hall", rectangle(0, 0, 8, 4));
const oneHall = withDoors(hall, doorOut(hall, 1, 0.2, 1));

describe("lifts", () => {
  /** 10 mm at the west end, 70 mm at the east. */
  const sloping = ({ x }: { x: number }) => 10 + 7.5 * x;
  const material = { depthOn: { concrete: { least: 3, greatest: 90 } }, greatestLift: 40, waitBetweenLifts: 960 };
  const job = pourJob([oneHall], { material, crew: { barrels: 8, people: 12, longestPour: 900 } });

  test("the lower one fills the deep end, the upper one the rest, a wait between them", () => {
    const { plan, depths, quantities } = pourable(job, sloping);
    expect(quantities.lifts).toHaveLength(2);
    for (const [lift, { volume }] of quantities.lifts.entries()) {
      const poured = plan.bays.filter((bay) => bay.lift === lift).reduce((sum, bay) => sum + bay.volume, 0);
      expect(poured).toBeCloseTo(volume, 5);
    }
    expect(plan.bays.reduce((sum, { volume }) => sum + volume, 0)).toBeCloseTo(depths.volumeToOrder, 5);
    // The lower lift fills what lies deeper than 35 mm: from x = 10/3 on, thickest at the east wall.
    const lower = plan.bays.filter(({ lift }) => lift === 0);
    expect(lower.reduce((sum, { area }) => sum + area, 0)).toBeCloseTo((8 - 10 / 3) * 4, 4);
    expect(Math.max(...lower.map(({ greatestDepth }) => greatestDepth))).toBeCloseTo(35, 6);
    const [first, second] = plan.runs;
    expect(plan.runs).toHaveLength(2);
    expect(second!.before).toEqual({ kind: "lift", minutes: 960 });
    expect(second!.starts).toBeCloseTo(first!.ends + 960, 9);
    expect(plan.batches.at(-1)!.cumulativeBags).toBe(quantities.bags.toOrder);
    checkAges(plan, plan.edgeLimit.limit!, () => false);
  });

  test("what the first lift rounds up in bags, the second goes without, within what is ordered", () => {
    const { plan, quantities } = pourable({ ...job, pour: { ...job.pour, lossAllowance: 0.05 } }, sloping);
    expect(plan.runs.reduce((sum, { bags }) => sum + bags, 0)).toBe(quantities.bags.toOrder);
    for (const { bags, lift } of plan.runs) {
      const litres = plan.bays.filter((bay) => bay.lift === lift).reduce((sum, { volume }) => sum + volume, 0);
      expect(bags * job.material.yieldPerBag).toBeGreaterThan(litres - 1e-6);
    }
  });

  test("without the data sheet's wait nothing is planned", () => {
    const { waitBetweenLifts: _, ...unread } = job.material;
    const { plan } = unpourable({ ...job, material: unread }, sloping);
    expect(plan.reasons).toEqual([{ kind: "time-missing", what: "wait-between-lifts" }]);
    expect(plan.remedies).toEqual([]);
  });

  test("the profile's allowance goes with the first material that a place gets", () => {
    const rough = { ...job, pour: { ...job.pour, profileAllowance: 1 } };
    const { plan, depths } = pourable(rough, sloping);
    const added = depths.area;
    expect(plan.bays.reduce((sum, { volume }) => sum + volume, 0)).toBeCloseTo(depths.volumeToOrder + added, 5);
    const lower = plan.bays.filter(({ lift }) => lift === 0);
    expect(Math.max(...lower.map(({ greatestDepth }) => greatestDepth))).toBeCloseTo(36, 6);
  });
});

describe("rooms one after the other", () => {
  const back = madeRoom("back", rectangle(0, 4.2, 8, 3));
  const rooms = [oneHall, withDoors(back, doorTo(back, "hall", 0, 6, 0.9, 0.2, "D1"))];

  test("the far room first, a dam in its doorway, no stop in between", () => {
    const { plan, depths, layout } = pourable(pourJob(rooms), () => 10);
    const order = plan.bays.map(({ roomIndex }) => roomIndex);
    expect(order).toEqual([...order].sort((p, q) => q - p));
    expect(plan.runs).toHaveLength(1);
    checkCover(plan, layout, depths.volumeToOrder, depths.area, 3);
    expect(plan.joins).toMatchObject([{ kind: "door", doorId: "D1", length: expect.closeTo(0.9) }]);
    const [join] = plan.joins;
    const dams = plan.dams.filter(({ why }) => why === "door-between").length;
    expect(dams).toBe(join!.how === "dam" ? 1 : 0);
  });

  test("moving on takes its time, with no edge left fresh and whole bags on both sides", () => {
    const { plan, quantities } = pourable(
      pourJob(rooms, { crew: { changeover: 12 }, pour: { lossAllowance: 0.05 } }),
      () => 10,
    );
    expect(plan.runs.map(({ before }) => before)).toEqual([{ kind: "start" }, { kind: "changeover", minutes: 12 }]);
    expect(plan.runs[1]!.starts).toBeCloseTo(plan.runs[0]!.ends + 12, 9);
    expect(plan.batches.at(-1)!.cumulativeBags).toBe(quantities.bags.toOrder);
    for (const { earlier, later } of plan.edges) {
      const [a, b] = [plan.bays[earlier - 1]!, plan.bays[later - 1]!];
      expect(a.roomIndex).toBe(b.roomIndex);
    }
    expect(plan.joins[0]).toMatchObject({ how: "dam" });
  });

  test("a rest comes between rooms, before the stretch of work grows too long", () => {
    const { plan } = pourable(
      pourJob(rooms, { crew: { rest: { after: 20, length: 30 } }, pour: { lossAllowance: 0.05 } }),
      () => 10,
    );
    expect(plan.runs.map(({ before }) => before)).toEqual([{ kind: "start" }, { kind: "rest", minutes: 30 }]);
  });

  test("a pump that stood longer than it may is flushed, and what is run to waste is counted", () => {
    const pump = { rate: 200, hoseLength: 40, restartLimit: 10, startingWaste: 20 };
    const { plan } = pourable(
      pourJob(rooms, { crew: { changeover: 12, pump }, pour: { lossAllowance: 0.05 } }),
      () => 10,
    );
    expect(plan.runs.map(({ flushBefore }) => flushBefore)).toEqual([false, true]);
    expect(plan.logistics.startingWaste).toBe(40);
    expect(plan.logistics.hoseNeeded).toBe(plan.station.farthestCarry);
  });
});

describe("a pump", () => {
  test("caps what the mixers feed it, and is named as the bottleneck", () => {
    const rate = 12;
    const { plan } = pourable(pourJob([oneHall], { crew: { pump: { rate } } }), () => 10);
    // Two bags of 0.50 ft³, 28.3 L, at 12 L a minute.
    expect(plan.interval).toBeCloseTo((2 * 0.5 * 28.316846592) / 12, 9);
    expect(plan.pace).toMatchObject({ bottleneck: "pump" });
    expect(plan.roles.map(({ role }) => role)).toContain("hose");
  });

  test("what lies in the hose ages with it", () => {
    const pump = { rate: 20, hoseLength: 50, hoseBore: 50 };
    const { plan } = pourable(pourJob([oneHall], { crew: { pump } }), () => 10);
    // 50 m of 50 mm hold 98.2 L: 4.9 min at 20 L a minute.
    const [batch] = plan.batches;
    expect(batch!.placed - batch!.poured).toBeCloseTo((Math.PI * 25 * 25 * 50) / 1000 / 20, 9);
  });

  test("a hose that does not reach is named, with what it would take", () => {
    const { plan } = unpourable(pourJob([oneHall], { crew: { pump: { rate: 200, hoseLength: 3 } } }), () => 10);
    expect(plan.reasons).toMatchObject([{ kind: "hose-too-short", hose: 3 }]);
  });
});

describe("lines that part a room", () => {
  const joint = { id: "J1", from: point(3, 0), to: point(3, 4) };

  test("a moving joint is carried through: no edge across it, a dam along it as high as the pour is deep there", () => {
    const { plan, depths, layout } = pourable(
      pourJob([oneHall], { pour: { movingJoints: [joint] } }),
      ({ x }) => 8 + x,
    );
    checkCover(plan, layout, depths.volumeToOrder, depths.area, 3);
    expect(plan.joins).toMatchObject([{ kind: "moving-joint", id: "J1", how: "dam", length: expect.closeTo(4) }]);
    const dam = plan.dams.find(({ why }) => why === "moving-joint")!;
    expect(dam).toMatchObject({ id: "J1", length: expect.closeTo(4), height: expect.closeTo(11) });
    const side = (number: number) => (plan.bays[number - 1]!.from.x + plan.bays[number - 1]!.to.x) / 2 < 3;
    for (const { earlier, later } of plan.edges) expect(side(earlier)).toBe(side(later));
    for (const { floor } of plan.bays) {
      const xs = floor.outline.map(({ x }) => x);
      expect(Math.max(...xs) <= 3 + 1e-5 || Math.min(...xs) >= 3 - 1e-5).toBe(true);
    }
    // The side away from the door first.
    expect(side(1)).toBe(true);
    expect(side(plan.bays.length)).toBe(false);
  });

  test("a joint that ends inside the room is carried on to the wall; one along a wall parts nothing", () => {
    const ending = { ...joint, to: point(3, 2.5) };
    const { plan } = pourable(pourJob([oneHall], { pour: { movingJoints: [ending] } }), () => 10);
    expect(plan.joins).toMatchObject([{ length: expect.closeTo(4) }]);
    const along = { id: "J2", from: point(0, 4), to: point(8, 4) };
    expect(pourable(pourJob([oneHall], { pour: { movingJoints: [along] } }), () => 10).plan.joins).toEqual([]);
  });

  test("drains and pipes are plugged, openings dammed all round", () => {
    const ring = (x: number, y: number, size: number) =>
      rectangle(x, y, size, size)
        .map(([east, north]) => point(east, north))
        .reverse();
    const pierced = {
      ...oneHall,
      columns: [
        { id: "SHAFT", kind: "opening" as const, ring: ring(4, 1, 0.8) },
        { id: "PIPE", kind: "opening" as const, ring: ring(1, 1, 0.15) },
      ],
    };
    const { plan } = pourable(
      pourJob([pierced], { pour: { drains: [{ id: "DRAIN", at: point(6, 3) }] } }),
      ({ x }) => 8 + x,
    );
    expect(plan.plugs).toMatchObject([
      { id: "DRAIN", kind: "drain", depth: expect.closeTo(14) },
      { id: "PIPE", kind: "opening", depth: expect.closeTo(9.15) },
    ]);
    const shaft = plan.dams.find(({ why }) => why === "opening");
    expect(shaft).toMatchObject({ id: "SHAFT", length: expect.closeTo(3.2), height: expect.closeTo(12.8) });
  });
});
