import { describe, expect, it } from "vitest";
import {
  chiSquareCdf,
  chiSquareQuantile,
  logGamma,
  normalCdf,
  normalQuantile,
  studentCdf,
  studentQuantile,
} from "../../src/numeric/distributions.ts";

// Abramowitz & Stegun, Handbook of Mathematical Functions (1964): tables 26.1, 26.8 and 26.10, as printed there.
describe("printed tables of percentage points", () => {
  it.each([
    [1.0, 0.841344746],
    [1.96, 0.97500210485],
    [3.0, 0.998650102],
  ])("normal: Φ(%d) = %d", (x, share) => {
    expect(normalCdf(x)).toBeCloseTo(share, 9);
    expect(normalCdf(-x)).toBeCloseTo(1 - share, 9);
  });

  it.each([
    [0.95, 1, 3.841],
    [0.95, 10, 18.307],
    [0.99, 30, 50.892],
    [0.025, 3, 0.216],
    [0.975, 3, 9.348],
    [0.95, 100, 124.342],
  ])("chi-square: share %d with %d degrees of freedom is %d", (share, freedom, value) => {
    expect(Math.abs(chiSquareQuantile(share, freedom) - value)).toBeLessThan(5.1e-4);
  });

  it.each([
    [0.975, 1, 12.706],
    [0.975, 5, 2.571],
    [0.995, 10, 3.169],
    [0.9995, 30, 3.646],
    [0.975, 120, 1.98],
  ])("Student: share %d with %d degrees of freedom is %d", (share, freedom, value) => {
    expect(Math.abs(studentQuantile(share, freedom) - value)).toBeLessThan(5.1e-4);
  });

  it("normal quantiles to ten digits", () => {
    expect(normalQuantile(0.975)).toBeCloseTo(1.9599639845, 9);
    expect(normalQuantile(0.9995)).toBeCloseTo(3.2905267315, 9);
    expect(normalQuantile(0.2)).toBeCloseTo(-0.8416212336, 9);
  });
});

describe("closed forms", () => {
  it("two degrees of freedom: chi-square is exponential", () => {
    for (const x of [0.01, 0.5, 2, 7, 30]) expect(chiSquareCdf(x, 2)).toBeCloseTo(-Math.expm1(-x / 2), 13);
  });
  it("one degree of freedom: Student is Cauchy; two: t/√(2+t²)", () => {
    for (const t of [-20, -1, 0, 0.3, 4]) {
      expect(studentCdf(t, 1)).toBeCloseTo(0.5 + Math.atan(t) / Math.PI, 13);
      expect(studentCdf(t, 2)).toBeCloseTo(0.5 + t / (2 * Math.sqrt(2 + t * t)), 13);
    }
  });
  it("gamma of whole numbers is a factorial, of a half the root of π", () => {
    expect(logGamma(11)).toBeCloseTo(Math.log(3628800), 12);
    expect(logGamma(0.5)).toBeCloseTo(Math.log(Math.PI) / 2, 13);
  });
  it("keeps relative precision far out in the tail", () => {
    // Φ(−8), from the asymptotic series 26.2.12 with five terms; the error is less than the sixth.
    const series =
      (Math.exp(-32) / (8 * Math.sqrt(2 * Math.PI))) * (1 - 1 / 64 + 3 / 64 ** 2 - 15 / 64 ** 3 + 105 / 64 ** 4);
    expect(Math.abs(normalCdf(-8) / series - 1)).toBeLessThan(945 / 64 ** 5);
  });
});

describe("quantiles invert", () => {
  it("at many shares and degrees of freedom", () => {
    for (const share of [1e-9, 1e-4, 0.3, 0.5, 0.9, 0.9999]) {
      expect(normalCdf(normalQuantile(share)) / share).toBeCloseTo(1, 10);
      for (const freedom of [1, 2, 7, 60, 5000]) {
        expect(chiSquareCdf(chiSquareQuantile(share, freedom), freedom) / share).toBeCloseTo(1, 8);
        expect(studentCdf(studentQuantile(share, freedom), freedom) / share).toBeCloseTo(1, 8);
      }
    }
  });
  it("refuse a share that is none", () => {
    expect(() => normalQuantile(0)).toThrow(/between 0 and 1/);
    expect(() => chiSquareQuantile(1, 3)).toThrow(/between 0 and 1/);
  });
});
