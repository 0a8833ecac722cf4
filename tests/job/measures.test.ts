/** Quantities as bags and data sheets print them. Expected values by exact arithmetic from the definitions named beside them. */
import { describe, expect, test } from "vitest";
import { type Dimension, parseMeasure } from "../../src/job/measures.ts";

const value = (text: string, dimension: Dimension): number => {
  const measure = parseMeasure(text, dimension);
  if (measure.kind !== "measure") throw new Error(`${text}: ${measure.message}`);
  return measure.value;
};

describe("a quantity with its unit", () => {
  test.each([
    // lb = 0.45359237 kg.
    ["50 lb", "mass", 22.6796185],
    ["25 kg", "mass", 25],
    ["50lbs", "mass", 22.6796185],
    // ft³ = 28.316846592 L; US gal = 231 in³ = 3.785411784 L; qt a quarter of it.
    ["0.50 ft³", "volume", 14.158423296],
    ["0.5 ft3", "volume", 14.158423296],
    ["1/2 cu ft", "volume", 14.158423296],
    ["0.5 cu. ft.", "volume", 14.158423296],
    ["5 qt", "volume", 4.73176473],
    ["5-1/2 qt", "volume", 5.204941203],
    ["1.5 gal", "volume", 5.678117676],
    ["4.7 L", "volume", 4.7],
    ["4.7 l", "volume", 4.7],
    // 62.4 lb/ft³ is about the density of water: 0.99955 kg/L.
    ["62.4 lb/ft³", "density", 0.99955],
    ["1970 kg/m³", "density", 1.97],
    ["1.97 kg/L", "density", 1.97],
    ["15 min", "time", 15],
    ["3 h", "time", 180],
    ["1.5 hours", "time", 90],
    ["2 days", "time", 2880],
    // ft² = 0.09290304 m²: 200 × 0.09290304 / 3.785411784.
    ["200 ft²/gal", "coverage", 4.908477],
    ["200 sq ft/gal", "coverage", 4.908477],
    ["200 sq ft per gal", "coverage", 4.908477],
    ["5 m²/L", "coverage", 5],
    ["5 %", "share", 0.05],
    ["5%", "share", 0.05],
    ["1 %", "fall", 10],
    // 1/8 in a foot is 1 in 96.
    ["1/8 in/ft", "fall", 10.416667],
    ["0 mm/m", "fall", 0],
    // 10 psf = 48.824 kg/m² (0.45359237 / 0.09290304 × 10).
    ["10 psf", "load", 48.824276],
    ["10 lb/ft²", "load", 48.824276],
    ["1 kPa", "load", 101.971621],
  ] as const)("%s of %s", (text, dimension, expected) => {
    expect(value(text, dimension)).toBeCloseTo(expected, 5);
  });
});

describe("what cannot be read", () => {
  test.each([
    ["50", "mass", "missing-unit"],
    ["50 stone", "mass", "unreadable-quantity"],
    ["heavy", "mass", "unreadable-quantity"],
    ["0,49 ft³", "volume", "decimal-comma"],
    ["5 lb", "volume", "unreadable-quantity"],
    ["5 constructor", "volume", "unreadable-quantity"],
    ["1/0 qt", "volume", "unreadable-quantity"],
  ] as const)("%s of %s", (text, dimension, code) => {
    expect(parseMeasure(text, dimension)).toMatchObject({ kind: "unreadable", code });
  });
});
