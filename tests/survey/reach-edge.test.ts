/** Where a hose ends on the floor, how it lies to the farthest point, and the bench mark that begins each set-up. */
import { beforeAll, expect, it } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { walkableFloor } from "../../src/geometry/paths.ts";
import { distance, type Point, point } from "../../src/geometry/point.ts";
import { boundsOf } from "../../src/geometry/polygon.ts";
import type { SurveyPlanning } from "../../src/job/model.ts";
import type { SolveBinary } from "../../src/numeric/integer-program.ts";
import { blankSetUps, isStillRead, planSurvey } from "../../src/survey/plan-survey.ts";
import { reachEdge } from "../../src/survey/reach-edge.ts";
import { metres, millimetres } from "../../src/units.ts";
import { gridPlan, planOf, planPoint, reading, setUp, surveyOf } from "./fixtures.ts";

let solve: SolveBinary;
beforeAll(async () => {
  solve = await loadSolver();
});

/** 12 m by 9 m, its north-east quarter 6 m by 5 m cut off: one corner, at (6, 4), stands out into the floor. */
const ANGLE = [point(0, 0), point(12, 0), point(12, 4), point(6, 4), point(6, 9), point(0, 9)];
const CORNER = point(6, 4);

const edgeOf = (ring: readonly Point[], from: Point, atMostM: number) =>
  reachEdge(walkableFloor([{ outline: [...ring], holes: [] }], []), from, metres(atMostM), boundsOf([...ring]));

it("is a circle where nothing stands in the way", () => {
  const ends = edgeOf([point(0, 0), point(20, 0), point(20, 20), point(0, 20)], point(10, 10), 6);
  expect(ends).toHaveLength(1);
  const [ring] = ends as [Point[]];
  expect(ring[0]).toEqual(ring.at(-1));
  for (const at of ring) expect(distance(at, point(10, 10))).toBeCloseTo(6, 2);
});

it("beyond a corner has the corner for its centre, less what was spent on the way there", () => {
  // From (1, 8) the corner is √41 = 6.403 m away; of 9 m of hose 2.597 m are left beyond.
  const from = point(1, 8);
  const ends = edgeOf(ANGLE, from, 9);
  const beyond = ends.flat().filter(({ x, y }) => (x - 6) * (8 - 4) + (y - 4) * (6 - 1) > 0.5 && x > 6.3);
  expect(beyond.length).toBeGreaterThan(2);
  for (const at of beyond) {
    const straight = distance(at, from);
    const round = distance(CORNER, from) + distance(at, CORNER);
    // In sight of the place the straight way counts, else that round the corner.
    const inSight = (at.x - from.x) * (CORNER.y - from.y) - (at.y - from.y) * (CORNER.x - from.x) > 0;
    expect(Math.abs((inSight ? straight : round) - 9)).toBeLessThan(0.03);
  }
});

it("is nowhere on a floor that the hose reaches all over", () => {
  expect(edgeOf(ANGLE, point(3, 3), 14)).toEqual([]);
});

const planning = (hoseM: number): SurveyPlanning => ({
  instrument: { id: "hose", name: "hose", kind: "hose", readingSd: millimetres(0.7), hoseLength: metres(hoseM) },
  slack: metres(1),
  expected: [],
  positions: [point(1, 8)],
  tieSpread: metres(1),
});

it("the hose of a planned set-up lies round the corner to its farthest point, and its length is told", () => {
  const plan = planOf(
    [point(1, 8), point(1, 1), point(5, 1), point(10.5, 3)].map((at, k) => planPoint(`P${k}`, at)),
    [{ ...gridPlan(2, 2, 2).floors[0]!, polygon: { outline: ANGLE, holes: [] } }],
  );
  const outcome = planSurvey(plan, planning(20), solve);
  if (outcome.kind !== "ready") throw new Error(outcome.kind);
  const { hose } = outcome.value.positions[0]!;
  expect(hose!.way).toHaveLength(3);
  expect(distance(hose!.way[1]!, CORNER)).toBeLessThan(0.001);
  // √41 to the corner, and √(4.5² + 1²) beyond.
  expect(hose!.length).toBeCloseTo(Math.sqrt(41) + Math.hypot(4.5, 1), 3);
  expect(hose!.ends).toEqual([]);
});

it("begins with the bench marks in reach, the nearest first; one out of reach is left out", () => {
  const plan = gridPlan(4, 4, 2);
  const marks = [
    { id: "BM1", at: point(5.9, 1), level: millimetres(0) },
    { id: "BM2", at: point(3, 3), level: millimetres(4) },
    { id: "BM3", at: point(500, 3), level: millimetres(4) },
  ];
  const outcome = planSurvey(plan, { ...planning(30), positions: [point(2, 2)] }, solve, marks);
  if (outcome.kind !== "ready") throw new Error(outcome.kind);
  const { order, zeroChecksAfter } = outcome.value.positions[0]!;
  expect(order.slice(0, 2).map(({ pointId, why }) => `${pointId} ${why}`)).toEqual([
    "BM2 bench-mark",
    "BM1 bench-mark",
  ]);
  expect(order.some(({ pointId }) => pointId === "BM3")).toBe(false);
  expect(zeroChecksAfter.at(-1)).toBe(order.length);
});

it("a survey is still read as long as a set-up that was laid out is blank", () => {
  const read = setUp("S1", 0.7, [reading("A1", 0)]);
  const blank = setUp("S2", 0.7, []);
  expect(isStillRead(surveyOf([]))).toBe(true);
  expect(isStillRead(surveyOf([read, blank]))).toBe(true);
  expect(blankSetUps(surveyOf([read, blank]))).toEqual(["S2"]);
  expect(isStillRead(surveyOf([read]))).toBe(false);
});
