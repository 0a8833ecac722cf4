/** Bays and their order against every way to pour small rooms, and sections against every order of rooms. */
import { describe, expect, test } from "vitest";
import type { Door, Job } from "../../src/job/model.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { leavesWaysOut, linksOf, orderSections, wayOfOrder } from "../../src/pour/order-sections.ts";
import type { Portal, Section } from "../../src/pour/sections.ts";
import { madeRoom, rectangle } from "../layout/made-job.ts";
import { bestByTrying, type SmallRoom } from "./brute-force.ts";
import { doorOut, planned, pourJob, withDoors } from "./made-pour.ts";

const WALLS = { south: 0, east: 1, north: 2, west: 3 } as const;

/** Barrels of 20 L; nobody carries, so that the station's place does not matter. */
function jobOf(room: SmallRoom): Job {
  const hall = madeRoom("hall", rectangle(0, 0, room.east, room.north));
  const doors = room.doors.map(({ wall, from, to }, k): Door => {
    // Walls of the made room run counter-clockwise.
    const length = wall === "south" || wall === "north" ? room.east : room.north;
    const start = wall === "south" || wall === "east" ? from : length - to;
    return doorOut(hall, WALLS[wall], start, to - from, 0, `D${k}`);
  });
  return pourJob([withDoors(hall, ...doors)], {
    rest: { units: { plan: "m", height: "mm" } },
    crew: {
      people: 8,
      barrels: 2,
      bagsPerBarrel: 2,
      barrelCycle: 2 * room.interval,
      mixTime: room.mixTime,
      laneWidth: room.widest,
      leastLaneWidth: room.narrowest,
      carryingPace: 1e9,
    },
    material: { yieldPerBag: room.batchL / 2, flowTime: 60, healingTime: room.limit + 1 },
  });
}

const base = {
  depthMm: 10,
  batchL: 20,
  interval: 3,
  mixTime: 2,
  widest: 3,
  narrowest: 0.6,
  mostBays: 6,
};

const rooms: Record<string, SmallRoom> = {
  "one lane holds it": { ...base, east: 4, north: 1.5, limit: 12, doors: [{ wall: "west", from: 0.3, to: 1.2 }] },
  "lanes across, out at the end": {
    ...base,
    east: 6,
    north: 2.5,
    limit: 12.5,
    doors: [{ wall: "east", from: 0.5, to: 1.5 }],
  },
  "a square, a door at the corner": {
    ...base,
    east: 4,
    north: 4,
    limit: 12.5,
    doors: [{ wall: "south", from: 0.2, to: 1.1 }],
  },
  "a square, a door in the middle": {
    ...base,
    east: 4,
    north: 4,
    limit: 15.5,
    doors: [{ wall: "south", from: 1.6, to: 2.4 }],
  },
  "a wide room, a door in its long side": {
    ...base,
    east: 6,
    north: 3,
    limit: 16,
    doors: [{ wall: "north", from: 2.4, to: 3.4 }],
  },
  "two doors at opposite ends": {
    ...base,
    east: 6.4,
    north: 3,
    limit: 13,
    doors: [
      { wall: "west", from: 1, to: 2 },
      { wall: "east", from: 1, to: 2 },
    ],
  },
  "two doors in one side": {
    ...base,
    east: 5,
    north: 4,
    limit: 14.5,
    doors: [
      { wall: "south", from: 0.2, to: 1.1 },
      { wall: "south", from: 3.9, to: 4.8 },
    ],
  },
  "a mix that hardly lasts": {
    ...base,
    east: 4,
    north: 4,
    limit: 8.5,
    doors: [{ wall: "south", from: 0.2, to: 1.1 }],
    mostBays: 6,
  },
};

describe.each(Object.entries(rooms))("%s", (_, room) => {
  test("the plan has the fewest bays and the shortest way of all", () => {
    const best = bestByTrying(room);
    const { plan } = planned(jobOf(room), () => room.depthMm);
    if (!best) {
      // More bays than were tried out may still do.
      if (plan.kind === "can-be-poured") expect(plan.bays.length).toBeGreaterThan(room.mostBays);
      return;
    }
    if (plan.kind !== "can-be-poured") throw new Error(`every way tried: ${best.bays} bays do; the plan says none`);
    expect(plan.bays.length).toBe(best.bays);
    // Lines are struck at whole steps of 20 mm, so middles of bays lie up to that off the even ones.
    expect(plan.way).toBeLessThan(best.way + 0.02 * best.bays);
    expect(plan.way).toBeGreaterThan(best.way - 0.02 * best.bays);
  });
});

test("forty rooms by chance: never more bays, and never a longer way, than the best of all", () => {
  const random = randomFrom(2);
  const tenths = (value: number): number => Math.round(value * 10) / 10;
  for (let k = 0; k < 40; k++) {
    const east = tenths(2 + 4 * random.uniform());
    const north = tenths(2 + 3 * random.uniform());
    const wall = (["south", "east", "north", "west"] as const)[Math.floor(4 * random.uniform())]!;
    const length = wall === "south" || wall === "north" ? east : north;
    const from = tenths(0.1 + (length - 1.2) * random.uniform());
    const limit = [8.5, 11.5, 14.5, 17.5][Math.floor(4 * random.uniform())]!;
    const widest = 2 + 1.5 * random.uniform();
    const room: SmallRoom = { ...base, east, north, limit, widest, mostBays: 4, doors: [{ wall, from, to: from + 1 }] };
    const best = bestByTrying(room);
    if (!best) continue;
    const { plan } = planned(jobOf(room), () => room.depthMm);
    if (plan.kind !== "can-be-poured") throw new Error(`${JSON.stringify(room)} can be poured in ${best.bays} bays`);
    // Lanes of uneven width, which are not tried out one by one, can do better.
    expect(plan.bays.length, JSON.stringify(room)).toBeLessThanOrEqual(best.bays);
    if (plan.bays.length === best.bays)
      expect(plan.way, JSON.stringify(room)).toBeLessThan(best.way + 0.02 * best.bays);
  }
});

describe("sections", () => {
  /** A tree of rooms with doors at places along a corridor of sections, walked in a straight line. */
  function madeSections(count: number, seed: number) {
    const random = randomFrom(seed);
    const places = Array.from({ length: count }, () => ({ x: 20 * random.uniform(), y: 20 * random.uniform() }));
    const parent = places.map((_, k) => (k === 0 ? -1 : Math.floor(k * random.uniform())));
    const sections = places.map((_, index) => ({ index, roomIndex: index })) as unknown as Section[];
    const stretches = [{ from: { x: 0, y: 0 }, to: { x: 1, y: 0 } }];
    const through = { kind: "line", line: { id: "J", kind: "dam", ...stretches[0] } } as Portal["through"];
    const portals: Portal[] = [{ section: 0, stretches, through }];
    for (const [k, p] of parent.entries()) {
      if (p < 0) continue;
      portals.push({ section: k, other: p, stretches, through }, { section: p, other: k, stretches, through });
    }
    const depth = (k: number): number =>
      k < 0
        ? 0
        : depth(parent[k]!) +
          (parent[k]! < 0 ? 1 : Math.hypot(places[k]!.x - places[parent[k]!]!.x, places[k]!.y - places[parent[k]!]!.y));
    const between = new Float64Array(count * count);
    for (let a = 0; a < count; a++)
      for (let b = 0; b < count; b++)
        between[a * count + b] = Math.hypot(places[a]!.x - places[b]!.x, places[a]!.y - places[b]!.y);
    const ofSection = Float64Array.from(places, (_, k) => depth(k));
    const distances = { ofPortal: new Float64Array(portals.length), ofSection, between, entry: new Int32Array(count) };
    return { sections, portals, distances };
  }

  const orders = (items: readonly number[]): number[][] =>
    items.length === 0
      ? [[]]
      : items.flatMap((k) => orders(items.filter((other) => other !== k)).map((rest) => [k, ...rest]));

  test.each([1, 2, 3, 4, 5, 6, 7, 8])("of all orders that shut nothing in, the shortest (tree %i)", (seed) => {
    const { sections, portals, distances } = madeSections(6, seed);
    const links = linksOf(6, portals);
    const allowed = orders([0, 1, 2, 3, 4, 5]).filter((order) => leavesWaysOut(order, links));
    const shortest = Math.min(...allowed.map((order) => wayOfOrder(order, distances)));
    const order = orderSections(sections, portals, distances);
    expect(leavesWaysOut(order, links)).toBe(true);
    expect(wayOfOrder(order, distances)).toBeCloseTo(shortest, 9);
  });

  test("thirty rooms: nothing shut in, and no longer than farthest first", () => {
    const { sections, portals, distances } = madeSections(30, 11);
    const links = linksOf(30, portals);
    const order = orderSections(sections, portals, distances);
    expect([...order].sort((p, q) => p - q)).toEqual(sections.map(({ index }) => index));
    expect(leavesWaysOut(order, links)).toBe(true);
    const farthestFirst = sections
      .map(({ index }) => index)
      .sort((p, q) => distances.ofSection[q]! - distances.ofSection[p]!);
    expect(leavesWaysOut(farthestFirst, links)).toBe(true);
    expect(wayOfOrder(order, distances)).toBeLessThanOrEqual(wayOfOrder(farthestFirst, distances));
  });
});
