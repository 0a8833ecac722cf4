import { describe, expect, it } from "vitest";
import { randomFrom } from "../../src/numeric/random.ts";
import type { ConstraintRef, PlaneProgram } from "../../src/target/plane-program.ts";
import { canAllBeKept, halfSpaceOf, slackFor, solvePlane } from "../../src/target/plane-program.ts";
import { type HalfSpace, linearObjective, type Vector } from "../../src/target/small-program.ts";
import { leastRim, oracle } from "./plane-oracle.ts";

const TIE = 1e-8;
const dot = (a: Vector, b: Vector): number => a.reduce((sum, value, i) => sum + value * b[i]!, 0);
const lowest = (rim: number) => linearObjective([1, 0, 0], (2 * TIE) / rim ** 2);

/** A floor of n points about the origin, wavy or rough or tilted, with greatest heights and held places on some. */
function randomProgram(seed: number, tight: boolean): PlaneProgram {
  const random = randomFrom(seed);
  const n = 4 + Math.floor(random.uniform() * 80);
  const u = new Float64Array(n);
  const v = new Float64Array(n);
  const lower = new Float64Array(n);
  const tilt: [number, number] = [random.normal() * 8, random.normal() * 8];
  for (let i = 0; i < n; i++) {
    u[i] = random.uniform() * 2 - 1;
    v[i] = random.uniform() * 2 - 1;
    lower[i] = tilt[0] * u[i]! + tilt[1] * v[i]! + 4 * Math.sin(3 * u[i]!) + random.normal();
  }
  // The objective is the height at the centroid, so the centroid goes to the origin; some points lie opposite each other.
  const mean = (a: Float64Array) => a.reduce((sum, x) => sum + x, 0) / n;
  const [mu, mv] = [mean(u), mean(v)];
  for (let i = 0; i < n; i++) {
    u[i] = u[i]! - mu;
    v[i] = v[i]! - mv;
  }
  const more: HalfSpace[] = [];
  const hold = (x: number, y: number, from: number, to: number) =>
    more.push({ normal: [1, x, y], atLeast: from }, { normal: [-1, -x, -y], atLeast: -to });
  for (let k = Math.floor(random.uniform() * 3); k > 0; k--) {
    const level = 14 + random.normal() * (tight ? 6 : 2);
    hold(
      random.uniform() * 2 - 1,
      random.uniform() * 2 - 1,
      level,
      random.uniform() < 0.5 ? level : level + random.uniform() * 3,
    );
  }
  return {
    u,
    v,
    lower,
    ...(random.uniform() < 0.7 ? { upper: lower.map((z) => z + (tight ? 14 : 40) * (0.5 + random.uniform())) } : {}),
    more,
    rim: random.uniform() < 0.1 ? 0 : random.uniform() * 20,
    slack: slackFor(50),
  };
}

const allOf = (program: PlaneProgram): ConstraintRef[] => [
  ...Array.from(program.u, (_, point): ConstraintRef => ({ family: "lower", point })),
  ...(program.upper ? Array.from(program.u, (_, point): ConstraintRef => ({ family: "upper", point })) : []),
  ...program.more.map((_, index): ConstraintRef => ({ family: "more", index })),
];
const start = ({ lower }: PlaneProgram): ConstraintRef[] => [
  { family: "lower", point: lower.reduce((best, z, i) => (z > lower[best]! ? i : best), 0) },
];
const solve = (program: PlaneProgram) => solvePlane(program, lowest(program.rim || 1), start(program));
const spaces = (program: PlaneProgram, refs: readonly ConstraintRef[]) =>
  refs.filter(({ family }) => family !== "rim").map((ref) => halfSpaceOf(program, ref, 3));

describe("the least plane against a general solver", () => {
  const instances = Array.from({ length: 100 }, (_, seed) => randomProgram(seed + 1, seed % 2 === 0));
  const counts = { optimal: 0, infeasible: 0, onRim: 0 };

  it("agrees to 1e-7 of the value on random floors, keeps every constraint, and fulfils the optimality conditions", () => {
    for (const [index, program] of instances.entries()) {
      const refs = allOf(program);
      const result = solve(program);
      const expected = oracle(spaces(program, refs), program.rim, [1, 0, 0]);
      if (result.kind === "infeasible") {
        expect(expected, `instance ${index}`).toBe("infeasible");
        counts.infeasible++;
        continue;
      }
      if (typeof expected === "string") throw new Error(`instance ${index} is ${expected} to the general solver`);
      counts.optimal++;
      const { p, carried } = result;
      expect(Math.abs(p[0]! - expected[0]!), `instance ${index}`).toBeLessThan(
        1e-7 * Math.max(1, Math.abs(expected[0]!)),
      );
      for (const { normal: n, atLeast } of spaces(program, refs)) {
        expect(dot(n, p)).toBeGreaterThan(atLeast - 1e-8);
      }
      expect(Math.hypot(p[1]!, p[2]!)).toBeLessThanOrEqual(program.rim + 1e-8);
      // Karush–Kuhn–Tucker: the gradient is made of the normals that carry it, none pulling.
      expect(carried.length).toBeLessThanOrEqual(3);
      const left: [number, number, number] = [1, 0, 0];
      for (const { constraint, price } of carried) {
        expect(price).toBeGreaterThan(-1e-7);
        const fall = Math.hypot(p[1]!, p[2]!);
        if (constraint.family === "rim") counts.onRim++;
        const n: Vector =
          constraint.family === "rim" ? [0, -p[1]! / fall, -p[2]! / fall] : halfSpaceOf(program, constraint, 3).normal;
        if (program.rim > 0) for (let k = 0; k < 3; k++) left[k] = left[k]! - price * n[k]!;
        if (constraint.family !== "rim") {
          const { normal: m, atLeast } = halfSpaceOf(program, constraint, 3);
          expect(Math.abs(dot(m, p) - atLeast)).toBeLessThan(1e-8);
        }
      }
      if (program.rim > 0) expect(Math.hypot(...left), `instance ${index}`).toBeLessThan(1e-6);
    }
    // All the cases came up.
    expect(counts.optimal).toBeGreaterThan(50);
    expect(counts.infeasible).toBeGreaterThan(10);
    expect(counts.onRim).toBeGreaterThan(10);
  });

  it("names contradictions that are minimal, and at most four", () => {
    let seen = 0;
    for (const program of instances) {
      const result = solve(program);
      if (result.kind === "optimal" || seen >= 20) continue;
      seen++;
      const { conflict } = result;
      expect(conflict.length).toBeLessThanOrEqual(4);
      const possible = (refs: readonly ConstraintRef[]) => {
        const needed = leastRim(spaces(program, refs));
        const rim = refs.some(({ family }) => family === "rim") ? program.rim : Number.POSITIVE_INFINITY;
        return needed !== undefined && needed <= rim + 1e-9;
      };
      expect(possible(conflict)).toBe(false);
      for (const ref of conflict) expect(possible(conflict.filter((other) => other !== ref))).toBe(true);
    }
    expect(seen).toBeGreaterThan(10);
  });

  it("gives the value that a constraint tightened by a little would give, by its price", () => {
    let seen = 0;
    for (const program of instances) {
      const result = solve(program);
      if (result.kind === "infeasible" || program.rim === 0) continue;
      for (const { constraint, price } of result.carried) {
        if (constraint.family !== "lower") continue;
        const by = 1e-5;
        const lower = program.lower.slice();
        lower[constraint.point] = lower[constraint.point]! + by;
        const tightened = solve({ ...program, lower });
        if (tightened.kind === "infeasible") continue;
        expect(Math.abs((tightened.p[0]! - result.p[0]!) / by - price)).toBeLessThan(1e-3);
        seen++;
      }
    }
    expect(seen).toBeGreaterThan(50);
  });
});

describe("small cases by hand", () => {
  const square = { u: Float64Array.of(-1, 1, 1, -1), v: Float64Array.of(-1, -1, 1, 1), slack: slackFor(10) };

  it("lies on three corners of a tilted square and level on a flat one", () => {
    // The corners 0, 4, 8, 4 lie on the plane 4 + 2u + 2v.
    const tilted = solve({ ...square, lower: Float64Array.of(0, 4, 8, 4), more: [], rim: 10 });
    if (tilted.kind === "infeasible") throw new Error("infeasible");
    expect(tilted.p.map((x) => Math.round(x * 1e7) / 1e7)).toEqual([4, 2, 2]);
    const flat = solve({ ...square, lower: Float64Array.of(3, 3, 3, 3), more: [], rim: 10 });
    if (flat.kind === "infeasible") throw new Error("infeasible");
    expect(flat.p[0]!).toBeCloseTo(3, 9);
    expect(Math.hypot(flat.p[1]!, flat.p[2]!)).toBeLessThan(1e-7);
  });

  it("takes the least fall of planes with equal volume: over a ridge through the middle it stays level", () => {
    const ridge = {
      u: Float64Array.of(-1, 0, 1, -1, 0, 1),
      v: Float64Array.of(-1, -1, -1, 1, 1, 1),
      lower: Float64Array.of(0, 5, 0, 0, 5, 0),
      more: [],
      rim: 3,
      slack: slackFor(10),
    };
    const result = solve(ridge);
    if (result.kind === "infeasible") throw new Error("infeasible");
    expect(result.p[0]!).toBeCloseTo(5, 9);
    expect(Math.hypot(result.p[1]!, result.p[2]!)).toBeLessThan(1e-6);
  });

  it("stops at the cone: 4 + 2u + 2v needs a fall of 2√2, and with half of it the plane stands on the high corner", () => {
    const half = solve({ ...square, lower: Float64Array.of(0, 4, 8, 4), more: [], rim: Math.SQRT2 });
    if (half.kind === "infeasible") throw new Error("infeasible");
    // Straight up the diagonal: 8 at the corner, less √2·√2 = 2 back to the middle.
    expect(half.p[0]!).toBeCloseTo(6, 9);
    expect(half.p[1]!).toBeCloseTo(1, 9);
    expect(half.p[2]!).toBeCloseTo(1, 9);
    expect(half.carried.map(({ constraint }) => constraint.family).sort()).toEqual(["lower", "rim"]);
  });

  it("is level where no fall is allowed, at the highest corner", () => {
    const level = solve({ ...square, lower: Float64Array.of(0, 4, 8, 4), more: [], rim: 0 });
    if (level.kind === "infeasible") throw new Error("infeasible");
    expect(level.p).toEqual([8, 0, 0]);
  });

  it("calls a fall that no level can have a contradiction of two heights and the greatest fall", () => {
    const program: PlaneProgram = {
      ...square,
      lower: Float64Array.of(-50, -50, -50, -50),
      more: [
        { normal: [1, -1, 0], atLeast: 5 },
        { normal: [-1, -1, 0], atLeast: -2 },
      ],
      rim: 0,
    };
    const result = solve(program);
    if (result.kind === "optimal") throw new Error("optimal");
    expect(result.conflict).toHaveLength(3);
    expect(result.conflict.some(({ family }) => family === "rim")).toBe(true);
    expect(canAllBeKept(program, result.conflict, 3)).toBe(false);
  });
});
