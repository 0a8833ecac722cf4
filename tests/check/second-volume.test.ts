import { describe, expect, it } from "vitest";
import { triangleVolumeByLayersL } from "../../src/check/second-volume.ts";

describe("volume by layers", () => {
  // One triangle of 1 m², clipped at zero; exact values worked out by hand from
  // a³/(3(a−b)(a−c)) with one positive corner a, and (a+b+c)/3 − c³/(3(c−a)(c−b)) with one negative corner c.
  it.each([
    [[3, -1, -2], 0.45],
    [[3, 1, -2], 38 / 45],
    [[1, -1, -1], 1 / 12],
    [[-1, -2, -3], 0],
    [[2, 2, 2], 2],
    [[0, 0, 6], 2],
  ])("of corners %j is %d L", (depthsMm, volumeL) => {
    expect(triangleVolumeByLayersL(1, depthsMm, 0)).toBeCloseTo(volumeL, 12);
  });

  it("fills what lies above the least depth up to it", () => {
    // A wedge from 0 to 6 mm over a unit triangle with two corners at 0, filled to at least 3 mm:
    // 3 + ∫₃⁶ ((6−t)/6)² dt = 3.25.
    expect(triangleVolumeByLayersL(1, [0, 0, 6], 3)).toBeCloseTo(3.25, 12);
  });
});
