/** The plane problem by a general solver, HiGHS, with the cone laid against by tangents until it is kept. */
import highsLoader from "highs";
import type { HalfSpace } from "../../src/target/small-program.ts";

// The package's types describe a default export that CommonJS wraps once more.
const highs = await (highsLoader as unknown as typeof highsLoader.default)();

const term = (value: number, name: string): string => `${value < 0 ? "-" : "+"} ${Math.abs(value)} ${name}`;

interface Row {
  readonly normal: readonly number[];
  readonly atLeast: number;
}

function linear(rows: readonly Row[], gradient: readonly number[]): readonly number[] | "infeasible" | "unbounded" {
  const names = ["h", "a", "b", "r"].slice(0, gradient.length);
  const sum = (normal: readonly number[]) => normal.map((value, i) => term(value, names[i]!)).join(" ");
  const model = [
    "Minimize",
    ` cost: ${sum(gradient)}`,
    "Subject To",
    ...rows.map(({ normal, atLeast }, i) => ` c${i}: ${sum(normal)} >= ${atLeast}`),
    "Bounds",
    ...names.map((name) => ` ${name} free`),
    "End",
  ].join("\n");
  const solution = highs.solve(model, {
    primal_feasibility_tolerance: 1e-10,
    dual_feasibility_tolerance: 1e-10,
    presolve: "off",
  });
  if (solution.Status === "Optimal") {
    return names.map((name) => (solution.Columns[name] as { Primal: number }).Primal);
  }
  return solution.Status === "Infeasible" ? "infeasible" : "unbounded";
}

const FIRST_TANGENTS = Array.from({ length: 64 }, (_, k) => (2 * Math.PI * k) / 64);

/** Half-spaces and √(a² + b²) ≤ rim: the least of the gradient, or that there is no point. */
export function oracle(
  halfSpaces: readonly HalfSpace[],
  rim: number,
  gradient: readonly number[],
): readonly number[] | "infeasible" | "unbounded" {
  const tangent = (angle: number): Row => ({ normal: [0, -Math.cos(angle), -Math.sin(angle)], atLeast: -rim });
  const cuts = Number.isFinite(rim) ? FIRST_TANGENTS.map(tangent) : [];
  for (let round = 0; round < 60; round++) {
    const p = linear([...halfSpaces, ...cuts], gradient);
    if (typeof p === "string") return p;
    const [h, a, b] = p as readonly [number, number, number];
    if (Math.hypot(a, b) <= rim * (1 + 1e-9) + 1e-9) return [h, a, b];
    cuts.push(tangent(Math.atan2(b, a)));
  }
  throw new Error("the tangents did not close in on the cone");
}

/** The least √(a² + b²) with which all half-spaces can be kept; undefined where they contradict each other anyhow. */
export function leastRim(halfSpaces: readonly HalfSpace[]): number | undefined {
  const rows: Row[] = halfSpaces.map(({ normal, atLeast }) => ({ normal: [...normal, 0], atLeast }));
  const tangent = (angle: number): Row => ({ normal: [0, -Math.cos(angle), -Math.sin(angle), 1], atLeast: 0 });
  const cuts = FIRST_TANGENTS.map(tangent);
  for (let round = 0; round < 60; round++) {
    const p = linear([...rows, ...cuts], [0, 0, 0, 1]);
    if (p === "infeasible") return undefined;
    if (p === "unbounded") throw new Error("a radius below nothing");
    const fall = Math.hypot(p[1]!, p[2]!);
    if (fall <= p[3]! * (1 + 1e-10) + 1e-10) return fall;
    cuts.push(tangent(Math.atan2(p[2]!, p[1]!)));
  }
  throw new Error("the tangents did not close in on the cone");
}
