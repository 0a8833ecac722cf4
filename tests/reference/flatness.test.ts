/**
 * Flatness and levelness numbers against published data and a second implementation.
 *
 * Data: concrete test pad, E1155M data sheet, Stanford Linear Accelerator Center, Alignment
 * Engineering Group, 2003 (flatness-test-pad.csv). The curvatures of line 0 are printed there. Means,
 * spreads and numbers were calculated from the definitions, with exact fractions, outside this program.
 */
import { readFileSync } from "node:fs";
import { parse } from "csv-parse/sync";
import { describe, expect, it } from "vitest";
import { lineNumbers, sectionsOf, together } from "../../src/conformity/f-numbers.ts";
import type { LineNumber } from "../../src/conformity/model.ts";
import type { SampleLine } from "../../src/job/contract-model.ts";

const file = readFileSync(new URL("flatness-test-pad.csv", import.meta.url), "utf8");
const rows = (parse(file, { comment: "#", from_line: 2 }) as string[][]).filter(([line]) => line !== "line");

const typed = rows.map(([, ...heights]) => heights.filter((height) => height !== ""));
const madeLine = (levelsMm: readonly number[], more: Partial<SampleLine> = {}): SampleLine => ({
  id: "0",
  section: "pad",
  spacing: 0.3,
  levelsMm,
  place: { file: "pad.yaml", line: 1, column: 1, length: 1, lineText: "" },
  ...more,
});
const pad = typed.map((heights, k) => lineNumbers(madeLine(heights.map(Number), { id: String(k) })));

const valueIn = (line: Pick<LineNumber, "number">): number => {
  if (line.number.kind === "unbounded") throw new Error("without bound");
  return line.number.value;
};

/** From the levels in whole micrometres: S² = (n·Σx² − (Σx)²)/(n(n − 1)) in exact integers. */
function secondImplementation(heights: readonly string[], constant: number, difference: (um: bigint[]) => bigint[]) {
  const um = heights.map((height) => BigInt(Math.round(Number(height) * 1000)));
  const x = difference(um);
  const n = BigInt(x.length);
  const sum = x.reduce((a, b) => a + b, 0n);
  const squares = x.reduce((a, b) => a + b * b, 0n);
  const spread = Math.sqrt(Number(n * squares - sum * sum) / Number(n * (n - 1n))) / 1000;
  const mean = Number(sum) / Number(n) / 1000;
  return { mean, spread, number: constant / (3 * spread + Math.abs(mean)), count: x.length };
}
const curvaturesOf = (h: bigint[]) => h.slice(2).map((last, k) => last - 2n * h[k + 1]! + h[k]!);
const overTenOf = (h: bigint[]) => h.slice(10).map((last, k) => last - h[k]!);

describe("the test pad", () => {
  it("has the curvatures that its data sheet prints for line 0", () => {
    const printed = [0.635, -0.102, -0.381, -1.956, -0.457, 1.448, 0.61, -1.854, -0.787, 1.118, -1.88, -1.448];
    expect(pad[0]!.curvatures).toHaveLength(printed.length);
    for (const [k, q] of printed.entries())
      expect(Math.abs(pad[0]!.curvatures[k]! - q)).toBeLessThanOrEqual(0.001 + 1e-9);
  });

  const table = [
    { line: 0, q: [-0.4212, 1.2012, 28.772], z: [-0.2663, 5.148, 20.21] },
    { line: 1, q: [-0.3498, 1.776, 20.395], z: [-0.503, 2.1341, 45.98] },
    { line: 2, q: [-0.2752, 1.0256, 34.547], z: [-1.886, 2.0476, 39.545] },
    { line: 3, q: [-0.1567, 2.039, 18.458], z: [0.2285, 2.1924, 46.653] },
    { line: 4, q: [-0.0469, 1.1753, 32.412], z: [3.7236, 1.6019, 37.224] },
  ];
  it.each(table)("line $line: mean, spread and number to the digits of the table", ({ line, q, z }) => {
    const { flatness, levelness } = pad[line]!;
    for (const [number, [mean, spread, value]] of [
      [flatness, q],
      [levelness, z],
    ] as const) {
      expect(number.mean).toBeCloseTo(mean!, 4);
      expect(number.spread).toBeCloseTo(spread!, 4);
      expect(valueIn(number)).toBeCloseTo(value!, 3);
    }
  });

  it("agrees on every line with exact integers", () => {
    for (const [k, heights] of typed.entries()) {
      const second = [
        secondImplementation(heights, 115.8, curvaturesOf),
        secondImplementation(heights, 317.5, overTenOf),
      ];
      for (const [j, number] of [pad[k]!.flatness, pad[k]!.levelness].entries()) {
        expect(number.count).toBe(second[j]!.count);
        expect(number.mean).toBeCloseTo(second[j]!.mean, 9);
        expect(number.spread).toBeCloseTo(second[j]!.spread, 9);
        expect(valueIn(number)).toBeCloseTo(second[j]!.number, 8);
      }
    }
  });

  it("combines its lines by readings, which is not the pooling of all readings", () => {
    const all = together(pad);
    expect(all.flatness.count).toBe(62);
    expect(all.levelness.count).toBe(22);
    expect(valueIn(all.flatness)).toBeCloseTo(24.48711, 5);
    expect(valueIn(all.levelness)).toBeCloseTo(33.03223, 5);
    expect(sectionsOf(pad)).toHaveLength(1);
    const pooled = pad.flatMap(({ curvatures }) => curvatures);
    const mean = pooled.reduce((a, b) => a + b, 0) / pooled.length;
    const spread = Math.sqrt(pooled.reduce((a, b) => a + (b - mean) ** 2, 0) / (pooled.length - 1));
    expect(Math.abs(115.8 / (3 * spread + Math.abs(mean)) - 24.48711)).toBeGreaterThan(0.1);
  });
});

describe("profiles with numbers known beforehand", () => {
  const inches = (heights: readonly number[]) =>
    madeLine(
      heights.map((h) => h * 25.4),
      { spacing: 0.3048 },
    );

  it("0, 0.1, 0, 0.1 … in at 12 in: FF 7.2258, FL without bound", () => {
    // Twelve points: q is ±0.2 in ten times, mean 0, S = 0.2·√(10/9); z is 0 twice.
    const { flatness, levelness } = lineNumbers(inches(Array.from({ length: 12 }, (_, k) => (k % 2) * 0.1)));
    expect(valueIn(flatness)).toBeCloseTo(7.2258, 4);
    expect(levelness.number.kind).toBe("unbounded");
  });

  it.each([12, 13, 40])("a constant 1/8 in a foot over %i points: FL 10, FF without bound", (points) => {
    const { flatness, levelness } = lineNumbers(inches(Array.from({ length: points }, (_, k) => k / 8)));
    expect(valueIn(levelness)).toBeCloseTo(10, 9);
    expect(flatness.number.kind).toBe("unbounded");
  });

  it("a level 3 km above its zero hides no division by rounding", () => {
    const { flatness, levelness } = lineNumbers(madeLine(Array.from({ length: 20 }, (_, k) => 3e6 + 0.1 * k)));
    expect(flatness.number.kind).toBe("unbounded");
    expect(valueIn(levelness)).toBeCloseTo(317.5, 3);
  });

  it("a parabola has one curvature everywhere: FF = 115.8 / |q|", () => {
    const { flatness } = lineNumbers(madeLine(Array.from({ length: 15 }, (_, k) => -0.5 * k * k)));
    expect(flatness.spread).toBeCloseTo(0, 9);
    expect(valueIn(flatness)).toBeCloseTo(115.8, 6);
  });

  it("keeps the constants of both forms: the same heights give 4.57·25.4 : 115.8", () => {
    const heights = typed[0]!.map(Number);
    const inch = lineNumbers(madeLine(heights, { spacing: 0.3048 }));
    const metric = lineNumbers(madeLine(heights));
    expect(valueIn(inch.flatness) / valueIn(metric.flatness)).toBeCloseTo((4.57 * 25.4) / 115.8, 12);
    expect(valueIn(inch.levelness) / valueIn(metric.levelness)).toBeCloseTo(1, 12);
  });
});
