import highsLoader, { type Highs } from "highs";
import { beforeAll, describe, expect, it } from "vitest";
import { lengthsBetween, walkableFloor } from "../../src/geometry/paths.ts";
import { distance, type Point, point } from "../../src/geometry/point.ts";
import type { Door, SurveyPlanning } from "../../src/job/model.ts";
import type { Plan, PlanPoint } from "../../src/layout/model.ts";
import { type SolveBinary, solverBy } from "../../src/numeric/integer-program.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { type CoverProblem, fewestPositions, partsOf } from "../../src/survey/cover.ts";
import type { SurveyPlan } from "../../src/survey/model.ts";
import { passagesOf } from "../../src/survey/passages.ts";
import { planSurvey } from "../../src/survey/plan-survey.ts";
import { readTwice, serpentine, zeroChecksAfter } from "../../src/survey/reading-order.ts";
import { spreadPlaces, spreadTriple } from "../../src/survey/tying-points.ts";
import { metres, millimetres } from "../../src/units.ts";
import { floorOf, gridPlan, planOf, rectangle } from "./fixtures.ts";

// The package's types describe its CommonJS form; at run time its default export is the loader itself.
const loadHighs = highsLoader as unknown as () => Promise<Highs>;
let solve: SolveBinary;
beforeAll(async () => {
  solve = solverBy(await loadHighs());
});

const planningOf = (hoseM: number, more: Partial<SurveyPlanning> = {}): SurveyPlanning => ({
  instrument: { id: "hose", name: "hose level", kind: "hose", readingSd: millimetres(0.7), hoseLength: metres(hoseM) },
  slack: metres(1),
  expected: [],
  positions: [],
  tieSpread: metres(3),
  ...more,
});

function planned(plan: Plan, planning: SurveyPlanning): SurveyPlan {
  const outcome = planSurvey(plan, planning, solve);
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return outcome.value;
}

/** What every plan has to keep, whatever the floor. */
function expectSound(plan: Plan, planning: SurveyPlanning, found: SurveyPlan): void {
  const reachM = planning.instrument.hoseLength! - planning.slack;
  const floor = walkableFloor(
    plan.floors.map((one) => one.polygon),
    passagesOf(plan.floors),
  );
  const lengths = lengthsBetween(
    floor,
    found.positions.map((one) => one.at),
    plan.points.map((one) => one.at),
  );
  const read = new Map<string, number[]>();
  found.positions.forEach((position, k) => {
    for (const { pointId, hose } of position.order) {
      const p = plan.points.findIndex((one) => one.id === pointId);
      expect(hose).toBeCloseTo(lengths[k * plan.points.length + p]!, 6);
      expect(hose).toBeLessThanOrEqual(reachM);
      const by = read.get(pointId) ?? [];
      if (!by.includes(k)) by.push(k);
      read.set(pointId, by);
    }
    const once = position.order.filter((one) => one.why !== "second-time");
    const twice = position.order.filter((one) => one.why === "second-time");
    expect(new Set(once.map((one) => one.pointId)).size).toBe(once.length);
    expect(twice.length).toBeGreaterThanOrEqual(0.05 * once.length);
    expect(position.zeroChecksAfter[0]).toBe(0);
    expect(position.zeroChecksAfter.at(-1)).toBe(position.order.length);
  });
  for (const one of plan.points) expect(read.has(one.id) || found.outOfReach.includes(one.id)).toBe(true);
  for (const tie of found.neighbours) {
    for (const id of tie.pointIds) for (const k of tie.positions) expect(read.get(id)).toContain(k);
  }
}

describe("one room", () => {
  it("that one hose reaches is read from one place", () => {
    const plan = gridPlan(5, 6, 2);
    const found = planned(plan, planningOf(12));
    expect(found).toMatchObject({ leastPositions: 1, provedFewest: true, outOfReach: [], neighbours: [] });
    expect(found.positions).toHaveLength(1);
    expect(found.positions[0]!.id).toBe("S1");
    expectSound(plan, planningOf(12), found);
  });

  it("too large for one place: the fewest, tied by three spread points", () => {
    const plan = gridPlan(6, 14, 2);
    const planning = planningOf(13);
    const found = planned(plan, planning);
    expect(found.provedFewest).toBe(true);
    expect(found.positions.length).toBeGreaterThan(1);
    expectSound(plan, planning, found);
    const ties = found.positions.map(() => new Set<number>());
    for (const { positions, pointIds } of found.neighbours) {
      expect(pointIds).toHaveLength(3);
      const places = pointIds.map((id) => plan.points.find((one) => one.id === id)!.at);
      for (const [a, b] of [
        [0, 1],
        [0, 2],
        [1, 2],
      ] as const)
        expect(distance(places[a]!, places[b]!)).toBeGreaterThanOrEqual(planning.tieSpread);
      ties[positions[0]]!.add(positions[1]);
      ties[positions[1]]!.add(positions[0]);
    }
    expect(
      partsOf(
        found.positions.map((_, k) => k),
        ties,
      ),
    ).toHaveLength(1);
  });

  it("a position that the office settled on is part of the plan", () => {
    const at = point(1, 1);
    const found = planned(gridPlan(6, 14, 2), planningOf(13, { positions: [at] }));
    expect(found.positions.map((one) => one.at)).toContainEqual(at);
  });

  it("no longer hose makes more positions needed", () => {
    const plan = gridPlan(6, 14, 2);
    const counts = [9, 11, 13, 16, 20, 30].map((hose) => planned(plan, planningOf(hose)).positions.length);
    expect(counts).toEqual([...counts].sort((a, b) => b - a));
    expect(counts.at(-1)).toBe(1);
  });

  it("a hose shorter than its slack reaches nothing: refused, with the points", () => {
    const outcome = planSurvey(gridPlan(3, 3, 2), planningOf(0.5), solve);
    expect(outcome).toMatchObject({ kind: "refused", problems: [{ code: "points-out-of-reach" }] });
    expect(planSurvey(planOf([], gridPlan(2, 2, 2).floors), planningOf(20), solve)).toMatchObject({ kind: "refused" });
  });
});

/** Two rooms 8 m square beside each other, the wall between them without thickness, a door at the north end. */
function twoRooms(withDoor: boolean): Plan {
  const jambs: [Point, Point] = [point(8, 6), point(8, 7)];
  const door = { id: "D1", roomId: "west", jambs, joins: "east", joinsRoom: true, entrance: false } as unknown as Door;
  const floors = [
    { ...floorOf(rectangle(0, 0, 8, 8), "west"), doors: withDoor ? [door] : [] },
    floorOf(rectangle(8, 0, 16, 8), "east"),
  ];
  const points: PlanPoint[] = [];
  for (let r = 0; r < 4; r++)
    for (let c = 0; c < 8; c++)
      points.push({
        id: `${"ABCD"[r]}${c + 1}`,
        at: point(1 + 2 * c, 1 + 2 * r),
        roomIndex: c < 4 ? 0 : 1,
        kind: "grid",
      });
  return planOf(points, floors);
}

describe("two rooms", () => {
  it("are read through the door, the hose going round by it", () => {
    const plan = twoRooms(true);
    const planning = planningOf(14);
    const found = planned(plan, planning);
    expectSound(plan, planning, found);
    expect(found.outOfReach).toEqual([]);
    // From the doorway (8, 6.5) the far corner points (1, 1) and (15, 1) are 8.9 m off.
    expect(planned(plan, planningOf(10)).positions.map((one) => one.at)).toEqual([point(8, 6.5)]);
    expect(planned(plan, planningOf(9.8)).positions.length).toBeGreaterThan(1);
  });

  it("without a door share nothing: said, and each has its own part", () => {
    const plan = twoRooms(false);
    const outcome = planSurvey(plan, planningOf(14), solve);
    if (outcome.kind !== "ready") throw new Error("refused");
    expect(outcome.value.positions).toHaveLength(2);
    expect(outcome.value.neighbours).toEqual([]);
    expect(outcome.warnings).toMatchObject([{ code: "set-ups-share-too-few-points" }]);
    expect(outcome.warnings[0]!.message).toContain("bench mark of its own");
  });

  it("with levels farther apart than the range: two positions, the ties in neither room's far end", () => {
    const plan = twoRooms(true);
    const instrument = { ...planningOf(40).instrument, range: millimetres(100) };
    const near = [
      { roomId: "west", lowest: millimetres(-20), highest: millimetres(0) },
      { roomId: "east", lowest: millimetres(-40), highest: millimetres(-20) },
    ];
    expect(planned(plan, planningOf(40, { instrument, expected: near })).positions).toHaveLength(1);
    const apart = [near[0]!, { roomId: "east", lowest: millimetres(-140), highest: millimetres(-120) }];
    const outcome = planSurvey(plan, planningOf(40, { instrument, expected: apart }), solve);
    if (outcome.kind !== "ready") throw new Error("refused");
    expect(outcome.value.positions).toHaveLength(2);
    expect(outcome.warnings.map((one) => one.code)).toContain("set-ups-share-too-few-points");
  });

  it("a level without a hose reads what it sees", () => {
    const plan = twoRooms(true);
    const { hoseLength: _, ...laser } = planningOf(40).instrument;
    const found = planned(plan, planningOf(40, { instrument: { ...laser, kind: "other" } }));
    const [first] = found.positions;
    expect(first).toBeDefined();
    for (const { pointId, hose } of first!.reach)
      expect(hose).toBeCloseTo(distance(first!.at, plan.points.find((one) => one.id === pointId)!.at), 3);
  });
});

describe("fewest positions, against all choices one by one", () => {
  const bruteForce = ({ reach, pointCount, ties, settled }: CoverProblem): number => {
    let best = Infinity;
    for (let mask = 1; mask < 1 << reach.length; mask++) {
      const chosen = reach.flatMap((_, k) => ((mask >> k) & 1 ? [k] : []));
      if (chosen.length >= best || settled.some((k) => !chosen.includes(k))) continue;
      let covers = true;
      for (let p = 0; p < pointCount && covers; p++) covers = chosen.some((k) => reach[k]!.has(p));
      if (covers && partsOf(chosen, ties).length === 1) best = chosen.length;
    }
    return best;
  };
  const randomProblem = (
    seed: number,
    positions: number,
    points: number,
    radius: number,
    tieAt: number,
  ): CoverProblem => {
    const random = randomFrom(seed);
    const at = () => point(10 * random.uniform(), 6 * random.uniform());
    const places = Array.from({ length: positions }, at);
    const targets = Array.from({ length: points }, at);
    const reach = places.map(
      (place) => new Set(targets.flatMap((target, p) => (distance(place, target) <= radius ? [p] : []))),
    );
    // Points that nobody reaches are the caller's to leave out: they are given to the nearest place.
    targets.forEach((target, p) => {
      if (reach.some((one) => one.has(p))) return;
      const nearest = places
        .map((place, k) => [distance(place, target), k] as const)
        .sort((a, b) => a[0] - b[0])[0]![1];
      reach[nearest]!.add(p);
    });
    const ties = places.map(
      (a, i) => new Set(places.flatMap((b, j) => (i !== j && distance(a, b) <= tieAt ? [j] : []))),
    );
    return { reach, pointCount: points, ties, settled: seed % 5 === 0 ? [0] : [] };
  };

  it("on thirty small floors", () => {
    let apart = 0;
    for (let seed = 0; seed < 30; seed++) {
      const problem = randomProblem(seed, 10, 25, 2.2 + (seed % 3) / 3, 2.8 + (seed % 4) / 2);
      const best = bruteForce(problem);
      const found = fewestPositions(problem, solve, 10_000);
      if (best === Infinity) {
        expect(found.kind).toBe("not-one-net");
        apart++;
        continue;
      }
      if (found.kind !== "covered") throw new Error("not covered");
      expect(found.positions).toHaveLength(best);
      expect(found).toMatchObject({ least: best, proved: true });
      expect(partsOf(found.positions, problem.ties)).toHaveLength(1);
      for (let p = 0; p < problem.pointCount; p++)
        expect(found.positions.some((k) => problem.reach[k]!.has(p))).toBe(true);
      for (const k of problem.settled) expect(found.positions).toContain(k);
    }
    expect(apart).toBeLessThan(15);
  });

  it("where the covering alone needs fewer than the net does", () => {
    // Two far ends covered by 0 and 1; only through 2 and 3 do they hang together.
    const problem: CoverProblem = {
      reach: [new Set([0, 1]), new Set([2, 3]), new Set([1]), new Set([2])],
      pointCount: 4,
      ties: [new Set([2]), new Set([3]), new Set([0, 3]), new Set([2, 1])],
      settled: [],
    };
    expect(fewestPositions(problem, solve, 1000)).toEqual({
      kind: "covered",
      positions: [0, 1, 2, 3],
      least: 4,
      proved: true,
    });
  });

  it("stopped by the count of nodes, a choice is still sound and its gap is stated", () => {
    const stopped: SolveBinary = () => ({ kind: "cut-short", bound: 1.4 });
    const problem = randomProblem(7, 11, 25, 3, 4);
    const found = fewestPositions(problem, stopped, 0);
    if (found.kind !== "covered") throw new Error("not covered");
    expect(found.least).toBe(2);
    expect(found.proved).toBe(found.positions.length === 2);
    expect(partsOf(found.positions, problem.ties)).toHaveLength(1);
    for (let p = 0; p < problem.pointCount; p++)
      expect(found.positions.some((k) => problem.reach[k]!.has(p))).toBe(true);
  });
});

describe("order of reading", () => {
  const places = gridPlan(3, 4, 2).points.map((one) => ({ pointId: one.id, at: one.at, roomIndex: 0, hoseM: 1 }));
  it("runs along a row and back along the next", () => {
    expect(serpentine([...places].reverse(), 2).map((one) => one.pointId)).toEqual(
      "A1 A2 A3 A4 B4 B3 B2 B1 C1 C2 C3 C4".split(" "),
    );
  });
  it("finishes a room before the next, the nearer one first", () => {
    const rooms = places.map((one) => ({ ...one, roomIndex: one.at.x > 4 ? 0 : 1, hoseM: one.at.x }));
    expect(serpentine(rooms, 2).map((one) => one.roomIndex)).toEqual([1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0]);
  });
  it("one in twenty is read twice, spread over the floor", () => {
    const many = gridPlan(10, 10, 2).points.map((one) => ({ pointId: one.id, at: one.at, roomIndex: 0, hoseM: 1 }));
    const twice = readTwice(many);
    expect(twice).toHaveLength(5);
    for (let i = 0; i < 5; i++)
      for (let j = 0; j < i; j++) expect(distance(twice[i]!.at, twice[j]!.at)).toBeGreaterThan(8);
    expect(readTwice(many.slice(0, 3))).toHaveLength(1);
    expect(readTwice([])).toEqual([]);
  });
  it("the zero is checked at the start, every twenty readings, and at the end", () => {
    expect(zeroChecksAfter(47)).toEqual([0, 20, 40, 47]);
    expect(zeroChecksAfter(40)).toEqual([0, 20, 40]);
    expect(zeroChecksAfter(1)).toEqual([0, 1]);
  });
});

describe("points that tie", () => {
  it("three that stand apart, if there are three", () => {
    const line = [0, 1, 2, 3, 4, 5, 6].map((x) => point(x, 0));
    expect(spreadTriple(line, 3)).toEqual([0, 3, 6]);
    expect(spreadTriple(line, 3.1)).toBeUndefined();
    expect(spreadPlaces(line, 3.1)).toEqual([0, 4]);
    expect(spreadPlaces(line, 9)).toEqual([0]);
    expect(spreadPlaces([], 1)).toEqual([]);
  });
  it("even where the two farthest places leave no third", () => {
    // An equilateral triangle of 3 m between two places 3.4 m apart, each within 3 m of every corner.
    const h = (3 * Math.sqrt(3)) / 2;
    const places = [point(-1.7, 0.9), point(1.7, 0.9), point(-1.5, 0), point(1.5, 0), point(0, h)];
    expect(spreadTriple(places, 3 - 1e-9)).toEqual([2, 3, 4]);
  });
});
