import { describe, expect, it } from "vitest";
import { volumeSdFromReading } from "../../src/survey/volume-sd.ts";
import { floorOf, planOf, rectangle } from "./fixtures.ts";

/** Levels of four points on a floor of 12 m², each with its own error of 0.5 mm and one that all share. */
const levels = (sharedMm: number) =>
  ({
    points: [0, 1, 2, 3].map((k) => ({
      id: `P${k}`,
      at: { x: k, y: 1 },
      roomIndex: 0,
      level: 0,
      sd: 0.5,
      timesRead: 1,
    })),
    covariance: {
      ownMm2: new Float64Array(4).fill(0.25),
      common: new Float64Array(4).fill(1),
      setUpsMm2: Float64Array.of(sharedMm ** 2),
      columns: 1,
    },
  }) as never;

describe("the ± of a volume from reading", () => {
  const plan = planOf([], [floorOf(rectangle(0, 0, 4, 3))]);
  it("is the area times the spread of the mean, where errors are each point's own", () => {
    // By hand: 12 m² · 0.5 mm / √4 = 3 L.
    expect(volumeSdFromReading(plan, levels(0))).toBeCloseTo(3, 9);
  });
  it("is the area times an error that all levels share", () => {
    // By hand: √(3² + (12 · 2)²) L.
    expect(volumeSdFromReading(plan, levels(2))).toBeCloseTo(Math.sqrt(9 + 576), 9);
  });
});
