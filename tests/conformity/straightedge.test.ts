import { describe, expect, it } from "vitest";
import { type Profile, restsOn, worstOnProfile } from "../../src/conformity/straightedge.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { bruteForceGap, type Sample, underEdge } from "./brute-force-edge.ts";

const profile = (...samples: readonly (readonly [number, number])[]): Profile => ({
  alongM: Float64Array.from(samples, ([s]) => s),
  levelMm: Float64Array.from(samples, ([, h]) => h),
  count: samples.length,
});
const sampled = (from: number, to: number, step: number, level: (s: number) => number): Profile => {
  const count = Math.round((to - from) / step) + 1;
  return profile(...Array.from({ length: count }, (_, k) => [from + k * step, level(from + k * step)] as const));
};
const worst = (rests: ReturnType<typeof restsOn>): number => Math.max(...rests.map(({ gap }) => gap));
const worstWhole = (rests: ReturnType<typeof restsOn>): number => Math.max(...rests.map(({ wholeGap }) => wholeGap));

describe("an edge on shapes with known answers", () => {
  it("lies on a flat floor and on a slope without a gap", () => {
    expect(
      worst(
        restsOn(
          sampled(0, 4, 0.25, () => 7),
          0.5,
          3,
        ),
      ),
    ).toBe(0);
    expect(
      worst(
        restsOn(
          sampled(0, 4, 0.25, (s) => 4 * s),
          0.5,
          3,
        ),
      ),
    ).toBeCloseTo(0, 12);
  });

  it("bump: held by its top and the end on the heavy side, gap at the foot of the bump", () => {
    // Top 6 mm at 2 m, feet at 1.8 and 2.2 m; the middle is at 1.5 m, left of the top.
    const bump = profile([0, 0], [1.8, 0], [2, 6], [2.2, 0], [4, 0]);
    const [rest, ...more] = restsOn(bump, 0, 3);
    expect(more).toHaveLength(0);
    expect(rest!.contacts).toEqual([0, 2]);
    expect(rest!.gapAt).toBe(1.8);
    expect(rest!.gap).toBeCloseTo((6 * 1.8) / 2, 12);
    // Past the contacts the right end stands 9 mm off the floor.
    expect(rest!.wholeGap).toBeCloseTo(9, 12);
    expect(rest!.wholeGapAt).toBe(3);
  });

  it("dip: the gap is its depth", () => {
    const [rest] = restsOn(profile([0, 0], [1, 0], [1.3, -4.5], [1.6, 0], [4, 0]), 0.2, 3);
    expect(rest!.gap).toBeCloseTo(4.5, 12);
    expect(rest!.gapAt).toBe(1.3);
  });

  it("step up under the light half: the whole step beside the contact; under the heavy half: lies on the upper floor", () => {
    const step = profile([-2, 0], [1, 0], [1, 5], [4, 5]);
    expect(worst(restsOn(step, -1, 3))).toBeCloseTo(5, 12);
    const [rest] = restsOn(step, 0, 3);
    expect(rest!.contacts).toEqual([1, 3]);
    expect(rest!.gap).toBe(0);
    // The low floor past the contact: the edge overhangs it by the step.
    expect(rest!.wholeGap).toBeCloseTo(5, 12);
  });

  it("wedge: a floor that turns upward leaves half the rise over half the edge", () => {
    const wedge = profile([0, 0], [1.5, 0], [4, 25]);
    expect(worst(restsOn(wedge, 0, 3))).toBeCloseTo(7.5, 12);
  });

  it("crown: no gap between contacts, and L²/8R at its ends", () => {
    // 1 mm at 1 m from the top: R = 1/(2·0.001 m) = 500 m; 9/(8·500) m = 2.25 mm.
    const crown = sampled(-3, 3, 0.01, (s) => -(s ** 2));
    const rests = restsOn(crown, -1.5, 3);
    expect(worst(rests)).toBeCloseTo(0, 9);
    expect(worstWhole(rests)).toBeCloseTo(2.25, 1);
    const dish = sampled(-3, 3, 0.01, (s) => s ** 2);
    expect(worst(restsOn(dish, -1.5, 3))).toBeCloseTo(2.25, 9);
  });

  it("cantilever: stays on the floor while its middle does, tips into the drop past it", () => {
    const drop = profile([-4, 0], [1, 0], [1, -50], [4, -50]);
    const [held] = restsOn(drop, -1, 3);
    expect(held!.gap).toBe(0);
    expect(held!.wholeGap).toBe(50);
    const [tipped] = restsOn(drop, 0, 3);
    expect(tipped!.contacts).toEqual([1, 3]);
    expect(tipped!.gap).toBeCloseTo(50, 12);
  });

  it("rocking on a point under its middle: both rests are taken", () => {
    const rocker = profile([0, 0], [1.4, 0], [1.5, 5], [1.6, -2], [3, -2]);
    const rests = restsOn(rocker, 0, 3);
    expect(rests.map(({ contacts }) => contacts)).toEqual([
      [0, 1.5],
      [1.5, 3],
    ]);
    expect(rests[0]!.gap).toBeCloseTo((5 * 1.4) / 1.5, 12);
    // From 5 mm down to −2 mm over 1.5 m: at 1.6 m the edge is at 5 − 7/15, the floor at −2.
    expect(rests[1]!.gap).toBeCloseTo(7 - 7 / 15, 12);
  });

  it("the edge lies wholly on the floor or is refused", () => {
    expect(() =>
      restsOn(
        sampled(0, 2, 0.5, () => 0),
        0,
        3,
      ),
    ).toThrow(/wholly on the profile/);
    expect(() =>
      restsOn(
        sampled(0, 4, 0.5, () => 0),
        1.5,
        3,
      ),
    ).toThrow(/wholly on the profile/);
    expect(
      restsOn(
        sampled(0, 3.048, 0.3048, () => 0),
        0,
        3.048,
      ),
    ).toHaveLength(1);
  });
});

describe("against every pair of contacts", () => {
  const random = randomFrom(61);
  const rough = (): Sample[] => {
    const samples: Sample[] = [];
    let s = 0;
    while (s < 5) {
      const h = 10 * random.uniform();
      samples.push({ s, h });
      // Now and then a vertical step.
      if (s > 0 && random.uniform() < 0.15) samples.push({ s, h: 10 * random.uniform() });
      s += 0.05 + 0.4 * random.uniform();
    }
    return [...samples, { s: 5, h: 0 }];
  };
  it("finds the same gap on 300 rough profiles, between contacts and past them", () => {
    for (let n = 0; n < 300; n++) {
      const samples = rough();
      const length = 0.5 + 3 * random.uniform();
      const start = (5 - length) * random.uniform();
      const under = underEdge(samples, start, length);
      const slow = bruteForceGap(under, start, length);
      const fast = restsOn(profile(...samples.map(({ s, h }) => [s, h] as const)), start, length);
      expect(worst(fast)).toBeCloseTo(slow.gap, 9);
      expect(worstWhole(fast)).toBeCloseTo(slow.whole, 9);
    }
  });

  it("slid along a profile misses nothing that a step of 5 mm finds", () => {
    for (let n = 0; n < 12; n++) {
      const samples = Array.from({ length: 21 }, (_, k) => ({ s: k * 0.3, h: 4 * random.normal() }));
      const line = profile(...samples.map(({ s, h }) => [s, h] as const));
      let slow = 0;
      for (let start = 0; start <= 4; start += 0.005) {
        slow = Math.max(slow, bruteForceGap(underEdge(samples, start, 2), start, 2).gap);
      }
      const found = worstOnProfile(line, 2, "between-contacts", 0.005)!;
      expect(found.gap).toBeGreaterThanOrEqual(slow - 1e-9);
      expect(found.gap - slow).toBeLessThan(0.2);
      // What each reading adds to the gap gives it back.
      const again = [...found.weights].reduce((sum, [k, weight]) => sum + weight * samples[k]!.h, 0);
      expect(again).toBeCloseTo(found.gap, 9);
    }
  });
});

describe("invariance", () => {
  const random = randomFrom(7);
  const levels = Array.from({ length: 30 }, () => 5 * random.uniform());
  const from = (change: (h: number, s: number) => number) =>
    profile(...levels.map((h, k) => [k * 0.2, change(h, k * 0.2)] as const));
  const worstOf = (line: Profile) => worstOnProfile(line, 2, "between-contacts", 0.1)!.gap;
  const plain = worstOf(from((h) => h));

  it("does not see a shift or a tilt, and follows the unit", () => {
    expect(worstOf(from((h) => h + 1000))).toBeCloseTo(plain, 9);
    expect(worstOf(from((h, s) => h + 20 * s))).toBeCloseTo(plain, 9);
    expect(worstOf(from((h) => h / 25.4)) * 25.4).toBeCloseTo(plain, 9);
  });
  it("is the same read from the other end", () => {
    const mirrored = profile(...levels.toReversed().map((h, k) => [k * 0.2, h] as const));
    expect(worstOf(mirrored)).toBeCloseTo(plain, 9);
  });
});

describe("too few readings", () => {
  it("fewer than five under the edge decide nothing; five do", () => {
    expect(
      worstOnProfile(
        sampled(0, 6, 0.8, () => 0),
        2.4,
        "between-contacts",
        0.1,
      ),
    ).toBeUndefined();
    expect(
      worstOnProfile(
        sampled(0, 6, 0.6, () => 0),
        2.4,
        "between-contacts",
        0.1,
      )!.readings,
    ).toBe(5);
  });
  it("a line shorter than the edge decides nothing", () => {
    expect(
      worstOnProfile(
        sampled(0, 2, 0.1, () => 0),
        2.4,
        "between-contacts",
        0.1,
      ),
    ).toBeUndefined();
  });
});
