import { Matrix, solve } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { factored } from "../../src/numeric/linear-solve.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { sumOf } from "../../src/numeric/sum.ts";

describe("compensated sum", () => {
  it("keeps what plain summing loses", () => {
    expect(sumOf([1, 1e100, 1, -1e100])).toBe(2);
    const tenths = new Array<number>(1_000_000).fill(0.1);
    expect(sumOf(tenths)).toBe(100_000);
    expect(tenths.reduce((a, b) => a + b, 0)).not.toBe(100_000);
    expect(sumOf([])).toBe(0);
  });
});

describe("linear systems", () => {
  it("agree with a second solver on random systems", () => {
    const random = randomFrom(6);
    for (const n of [1, 2, 5, 19, 30]) {
      const rows = Array.from({ length: n }, () => Array.from({ length: n }, () => random.normal()));
      const right = Array.from({ length: n }, () => random.normal());
      const due = solve(new Matrix(rows), Matrix.columnVector(right)).to1DArray();
      const found = Float64Array.from(right);
      factored(Float64Array.from(rows.flat()), n)!.solve(found);
      found.forEach((value, k) => {
        expect(value).toBeCloseTo(due[k]!, 8);
      });
    }
  });

  it("without a solution are told apart", () => {
    expect(factored(Float64Array.of(1, 2, 2, 4), 2)).toBeUndefined();
    expect(factored(new Float64Array(9), 3)).toBeUndefined();
    expect(factored(Float64Array.of(0, 1, 1, 0), 2)).toBeDefined();
  });
});
