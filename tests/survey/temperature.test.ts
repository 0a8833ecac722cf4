import { describe, expect, it } from "vitest";
import type { SetUp } from "../../src/job/model.ts";
import { legError, temperatureBounds, waterDensity } from "../../src/survey/temperature.ts";
import { celsius, metres, millimetres } from "../../src/units.ts";
import { setUp } from "./fixtures.ts";

const WATER = { kind: "water" } as const;

describe("water", () => {
  // CRC Handbook of Chemistry and Physics, table of the density of water.
  it.each([
    [10, 999.7026],
    [15, 999.1026],
    [20, 998.2071],
    [25, 997.0479],
    [30, 995.6502],
  ])("at %d °C has the density of the handbook, %d kg/m³", (t, density) => {
    expect(Math.abs(waterDensity(celsius(t)) / density - 1)).toBeLessThan(1e-5);
  });
  it.each([
    [10, 20, 1.498],
    [15, 25, 2.061],
    [20, 25, 1.163],
    [20, 30, 2.568],
  ])("legs at %d and %d °C err by %d mm a metre (from the handbook's densities)", (cool, warm, error) => {
    expect(Math.abs(legError(WATER, metres(1), celsius(cool), celsius(warm)) - error)).toBeLessThan(2e-3);
  });
  it("frozen or boiling is refused", () => {
    expect(() => waterDensity(celsius(-3))).toThrow(/no liquid/);
    expect(() => waterDensity(celsius(130))).toThrow(/no liquid/);
  });
});

it("another fluid by its own coefficient: 5e-4 a kelvin over 8 K and 1.2 m of leg", () => {
  const glycol = { kind: "other", name: "glycol mix", expansionPerKelvin: 5e-4 } as const;
  expect(legError(glycol, metres(1.2), celsius(14), celsius(22))).toBeCloseTo(4.8, 9);
});

describe("bounds of set-ups", () => {
  const hose = (coolest: number, warmest: number, leg: number): SetUp => {
    const plain = setUp("S1", 1, []);
    return {
      ...plain,
      instrument: { ...plain.instrument, fluid: WATER },
      temperature: { coolest: celsius(coolest), warmest: celsius(warmest), verticalLeg: metres(leg) },
    };
  };
  it("scale with the vertical leg", () => {
    const [bound] = temperatureBounds([hose(15, 25, 0.6)]);
    expect(Math.abs(bound!.perMetreOfLeg - 2.061)).toBeLessThan(2e-3);
    expect(bound!.bound).toBeCloseTo(bound!.perMetreOfLeg * 0.6, 12);
  });
  it("are not cancelled by water being densest at 4 °C", () => {
    // 0 and 8 °C have nearly the same density; a leg at 4 °C in between differs from both.
    const [bound] = temperatureBounds([hose(0.5, 7.5, 1)]);
    expect(bound!.bound).toBeGreaterThan(0.09);
  });
  it("are zero at one temperature and absent without temperatures or fluid", () => {
    expect(temperatureBounds([hose(20, 20, 1)])[0]!.bound).toBe(millimetres(0));
    expect(temperatureBounds([setUp("S1", 1, [])])).toEqual([]);
  });
});
