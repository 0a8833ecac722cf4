import { describe, expect, it } from "vitest";
import { randomFrom } from "../../src/numeric/random.ts";
import { liftsAround, tradeOff } from "../../src/target/trade-off.ts";
import { zoneFloor } from "../../src/target/zone-floor.ts";
import { gridMesh, slabOver } from "./floors.ts";

const hall = { x0: 0, y0: 0, x1: 10, y1: 6 };
const closet = { x0: 10, y0: 0, x1: 12, y1: 6 };

describe("the trade-off around a top", () => {
  it("has the values of a knob worked by hand", () => {
    // A knob 10 mm high over 3 m² in 60 m²; the top at 16 keeps 6 mm on it.
    const floor = zoneFloor(
      slabOver(gridMesh([hall], 1), (x, y) => (x === 5 && y === 3 ? 10 : 0)),
      [0],
    );
    const zone = { floor, plane: { top: 16, fallEast: 0, fallNorth: 0 }, leastDepth: 6, wetDensity: 2, profile: 0 };
    const [low, asChosen, high] = tradeOff([zone], [-8, 0, 5]);
    expect(asChosen!.volume).toBeCloseTo(16 * 60 - 10, 8);
    expect(asChosen!.ground).toMatchObject({ area: 0, volume: 0, height: 0 });
    expect(asChosen!.bareArea).toBeCloseTo(0, 9);
    expect(asChosen!.greatestDepth).toBe(16);
    expect(asChosen!.deadLoad).toBeCloseTo((2 * (16 * 60 - 10)) / 60, 9);
    expect(asChosen!.litresPerMm).toBeCloseTo(60, 9);
    // At 8 the tip above 8 is bare, (2/10)² of 3 m²; all above 2 is ground, (8/10)² of 3 m².
    expect(low!.bareArea).toBeCloseTo(3 * 0.2 ** 2, 9);
    expect(low!.ground.area).toBeCloseTo(3 * 0.8 ** 2, 9);
    expect(low!.ground.height).toBeCloseTo(8, 9);
    expect(low!.ground.volume).toBeCloseTo((3 * 0.8 ** 2 * 8) / 3, 9);
    // 8 mm over 60 m² less the knob, and the ground tip filled again.
    expect(low!.volume).toBeCloseTo(8 * 60 - 10 + (3 * 0.8 ** 2 * 8) / 3, 9);
    expect(low!.litresPerMm).toBeCloseTo(60 - 3 * 0.8 ** 2, 9);
    expect(high!.volume - asChosen!.volume).toBeCloseTo(5 * 60, 8);
  });

  it("adds zones up, and names the heaviest room", () => {
    const slab = slabOver(gridMesh([hall, closet], 1), (x) => (x > 10 ? -20 : 0));
    const zones = [0, 1].map((room) => ({
      floor: zoneFloor(slab, [room]),
      plane: { top: 10, fallEast: 0, fallNorth: 0 },
      leastDepth: 6,
      wetDensity: 2,
      profile: 0,
    }));
    const [apart] = tradeOff(zones, [1]);
    const [asOne] = tradeOff([{ ...zones[0]!, floor: zoneFloor(slab, [0, 1]) }], [1]);
    expect(apart!.volume).toBeCloseTo(asOne!.volume, 8);
    expect(apart!.deadLoad).toBeCloseTo(asOne!.deadLoad, 9);
    expect(apart!.litresPerMm).toBeCloseTo(asOne!.litresPerMm, 9);
    expect(apart!.heaviestRoom).toEqual(asOne!.heaviestRoom);
    // The closet: 11 mm and the slope of its first strip and the full 20 mm of its second: 10 and 20 mm more.
    expect(apart!.heaviestRoom.roomIndex).toBe(1);
    expect(apart!.heaviestRoom.deadLoad).toBeCloseTo(2 * (11 + 15), 9);
  });

  it("has a slope that is the volume's difference over a small lift, and never falls", () => {
    const random = randomFrom(8);
    const floor = zoneFloor(
      slabOver(gridMesh([hall], 0.5), () => 4 * random.normal()),
      [0],
    );
    const zone = { floor, plane: { top: 6, fallEast: 0.3, fallNorth: -0.2 }, leastDepth: 5, wetDensity: 2, profile: 0 };
    const rows = tradeOff([zone], liftsAround(1, 8));
    expect(rows.map(({ lift }) => lift)).toEqual(liftsAround(1, 8));
    for (const [i, row] of rows.entries()) {
      const [near] = tradeOff([zone], [row.lift + 1e-4]);
      expect((near!.volume - row.volume) / 1e-4).toBeCloseTo(row.litresPerMm, 2);
      if (i > 0) expect(row.volume).toBeGreaterThanOrEqual(rows[i - 1]!.volume);
      if (i > 0) expect(row.ground.volume).toBeLessThanOrEqual(rows[i - 1]!.ground.volume);
      // What is filled less what is ground is what lies between slab and top, wherever the top is.
      const mean = 6 + row.lift + 0.3 * 5 - 0.2 * 3 - floor.whole.meanLevel;
      expect(row.volume - row.ground.volume).toBeCloseTo(mean * 60, 6);
    }
  });

  it("has the steps of a rule in inches", () => {
    expect(liftsAround(25.4 / 16, 1)).toEqual([-1.5875, 0, 1.5875]);
  });
});
