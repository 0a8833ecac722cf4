/** How rough a slab is: planes that are known, and differences drawn from a law that is known. */
import { describe, expect, it } from "vitest";
import { point } from "../../src/geometry/point.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { fitRoughness, type ReadPlace, roughnessAt, withoutTilt } from "../../src/survey/roughness.ts";

/** Places of an L whose long side runs aslant, so that east and north go together. */
const ASLANT = [
  [0, 0],
  [1, 0.5],
  [2, 1.5],
  [3, 2],
  [4, 3.5],
  [5, 4],
  [5, 0.5],
  [6, 4.5],
] as const;

const placesOn = (level: (x: number, y: number) => number, roomIndex = 0, dx = 0): ReadPlace[] =>
  ASLANT.map(([x, y]) => ({ at: point(x + dx, y), roomIndex, levelMm: level(x + dx, y) }));

describe("taking out the tilt", () => {
  it("leaves nothing of a plane, whichever way it falls, and each room has its own", () => {
    const first = (x: number, y: number) => 12 - 3 * x + 2 * y;
    const second = (x: number, y: number) => -40 + 1.5 * x - 7 * y;
    const places = [...placesOn(first), ...placesOn(second, 1, 20)];
    const { planeMm, offMm } = withoutTilt(places);
    places.forEach(({ levelMm }, k) => {
      expect(planeMm[k]).toBeCloseTo(levelMm, 9);
      expect(offMm[k]).toBeCloseTo(0, 9);
    });
  });

  it("is not turned by one slip, which stands off by what it is", () => {
    const places = placesOn((x, y) => 4 * x - y);
    const slipped = places.map((place, k) => (k === 3 ? { ...place, levelMm: place.levelMm + 50 } : place));
    const { offMm } = withoutTilt(slipped);
    offMm.forEach((off, k) => {
      expect(Math.abs(off - (k === 3 ? 50 : 0))).toBeLessThan(1);
    });
  });

  it("takes the mean where a room has fewer than six places, or all on a line", () => {
    const five = placesOn((x) => 10 * x).slice(0, 5);
    expect(new Set([...withoutTilt(five).planeMm].map((mm) => mm.toFixed(6))).size).toBe(1);
    const inLine = Array.from({ length: 9 }, (_, k) => ({ at: point(k, 2 * k), roomIndex: 0, levelMm: k % 2 }));
    expect(new Set([...withoutTilt(inLine).planeMm].map((mm) => mm.toFixed(6))).size).toBe(1);
    const six = placesOn((x) => 10 * x).slice(0, 6);
    expect(new Set([...withoutTilt(six).planeMm].map((mm) => mm.toFixed(6))).size).toBe(6);
  });
});

describe("half the mean squared difference", () => {
  it.each([0.5, 0.75, 1, 1.25, 1.5, 1.75, 1.9, 0.6])("grows with distance to the power %d", (power) => {
    for (const away of [0.1, 0.7, 1, 3, 20])
      expect(roughnessAt({ noiseMm2: 0.25, growth: 2, power }, away)).toBeCloseTo(0.25 + 2 * away ** power, 9);
  });

  /** Differences of a slab whose half squared spread is noise + growth·awayᵖᵒʷᵉʳ, normal at each distance. */
  const drawn = (noiseMm2: number, growth: number, power: number, count = 6000) => {
    const random = randomFrom(8);
    return Array.from({ length: count }, () => {
      const away = 0.3 + 4 * random.uniform();
      return { away, difference: Math.sqrt(2 * (noiseMm2 + growth * away ** power)) * random.normal() };
    });
  };

  it.each([
    [0.25, 1.2, 1],
    [1, 0.6, 1.75],
    [0.04, 3, 0.5],
  ])("is found again from differences of noise %d mm² and growth %d to the power %d", (noiseMm2, growth, power) => {
    const found = fitRoughness(drawn(noiseMm2, growth, power), Math.sqrt(noiseMm2));
    expect(found.noiseMm2).toBeCloseTo(noiseMm2, 12);
    // A middle of 1,000 differences is known to 3.7 %, its square to twice that; three such errors.
    for (const away of [0.8, 2, 4]) {
      const due = noiseMm2 + growth * away ** power;
      expect(Math.abs(roughnessAt(found, away) / due - 1)).toBeLessThan(0.22);
    }
  });

  it("is not moved by slips in one of twenty, and not by two readings of one place", () => {
    const clean = drawn(0.25, 1, 1);
    const slipped = clean.map((pair, k) => (k % 20 === 0 ? { ...pair, difference: 80 } : pair));
    const again = [...slipped, ...Array.from({ length: 2000 }, () => ({ away: 0, difference: 5 }))];
    const [before, after] = [fitRoughness(clean, 0.5), fitRoughness(again, 0.5)];
    for (const away of [0.8, 2, 4]) expect(roughnessAt(after, away) / roughnessAt(before, away)).toBeLessThan(1.25);
  });

  it("does not grow where readings explain all of it, and none is needed", () => {
    expect(fitRoughness(drawn(0.25, 0, 1), 0.9)).toMatchObject({ growth: 0, noiseMm2: expect.closeTo(0.81, 12) });
    expect(fitRoughness([], 0.5)).toMatchObject({ growth: 0, noiseMm2: 0.25 });
    expect(fitRoughness([{ away: 1, difference: 3 }], 0.5).growth).toBeGreaterThan(0);
  });
});
