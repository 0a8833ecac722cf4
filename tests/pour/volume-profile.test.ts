import { describe, expect, test } from "vitest";
import { randomFrom } from "../../src/numeric/random.ts";
import { type FillPiece, pieceMeasures } from "../../src/pour/fill.ts";
import { litresBefore, placeAfter, totalLitres, volumeProfile } from "../../src/pour/volume-profile.ts";

/** A pyramid on a square of side 2, as four triangles to the apex over its middle. */
const pyramid = (height: number): FillPiece[] => {
  const corners = [
    [0, 0],
    [2, 0],
    [2, 2],
    [0, 2],
  ] as const;
  return corners.map(([x, y], k) => {
    const [u, v] = corners[(k + 1) % 4]!;
    return [
      { x, y, value: 0 },
      { x: u, y: v, value: 0 },
      { x: 1, y: 1, value: height },
    ];
  });
};

describe("how a volume grows along a direction", () => {
  test("a pyramid on a square: a third of its base times its height; half of it before the middle", () => {
    const profile = volumeProfile(pyramid(9), 1, 0);
    expect(totalLitres(profile)).toBeCloseTo((4 * 9) / 3, 12);
    expect(litresBefore(profile, 1)).toBeCloseTo(6, 12);
    expect(placeAfter(profile, 6)).toBeCloseTo(1, 9);
    // Before x ≤ 1 the cut is a trapezium of height 9x, 2 wide at the foot and 2 − 2x at the top: ∫ 9x (2 − x) = 9x² − 3x³.
    for (const x of [0.1, 0.25, 0.5, 0.8]) expect(litresBefore(profile, x)).toBeCloseTo(9 * x ** 2 - 3 * x ** 3, 10);
  });

  test("the same along a diagonal: by symmetry half before the middle, and the whole at the end", () => {
    const d = Math.SQRT1_2;
    const profile = volumeProfile(pyramid(9), d, d);
    expect(litresBefore(profile, Math.SQRT2)).toBeCloseTo(6, 10);
    expect(litresBefore(profile, 99)).toBe(totalLitres(profile));
    expect(litresBefore(profile, -1)).toBe(0);
  });

  test("there and back, over pieces by chance in any direction", () => {
    const random = randomFrom(5);
    const pieces: FillPiece[] = [];
    for (let i = 0; i < 6; i++) {
      for (let j = 0; j < 5; j++) {
        const at = (dx: number, dy: number) => ({ x: i + dx, y: j + dy, value: 5 + 10 * random.uniform() });
        pieces.push([at(0, 0), at(1, 0), at(1, 1)], [at(0, 0), at(1, 1), at(0, 1)]);
      }
    }
    const volume = pieces.reduce((sum, piece) => sum + pieceMeasures(piece).volume, 0);
    for (const angle of [0, 0.3, Math.PI / 2, 2.1]) {
      const profile = volumeProfile(pieces, Math.cos(angle), Math.sin(angle));
      expect(totalLitres(profile)).toBeCloseTo(volume, 4);
      let before = Number.NEGATIVE_INFINITY;
      for (let share = 0.01; share < 1; share += 0.0707) {
        const at = placeAfter(profile, share * volume);
        expect(litresBefore(profile, at)).toBeCloseTo(share * volume, 6);
        expect(at).toBeGreaterThan(before);
        before = at;
      }
    }
  });
});
