import { describe, expect, it } from "vitest";
import { lengthMm, letterIndex, readWrittenSheet } from "../../src/check/second-reading.ts";

describe("lengths read a second time", () => {
  it.each([
    [`24' 6"`, 24 * 304.8 + 6 * 25.4],
    [`24' 6 1/2"`, 24 * 304.8 + 6.5 * 25.4],
    ["24 ft 6-1/2 in", 24 * 304.8 + 6.5 * 25.4],
    ["7.47 m", 7470],
    ["18 mm", 18],
    ["-2 mm", -2],
    ["1/4 in", 6.35],
    ["2'", 609.6],
    [`16"`, 406.4],
    // Every spelling that a job file may have: a job that reads well must not be refused by the check.
    ["5.2 metres", 5200],
    ["0.9 Meter", 900],
    ["35 cm", 350],
    ["12 centimeters", 120],
    ["1500 millimetres", 1500],
    ["2 feet", 609.6],
    ["1 foot 6 inches", 457.2],
    ["3 ft. 2 in.", 3 * 304.8 + 2 * 25.4],
    ["5’ 6½”", 5 * 304.8 + 6.5 * 25.4],
    ["−¼ in", -6.35],
    ["12. mm", 12],
  ])("%s is %d mm", (written, expected) => {
    expect(lengthMm(written, 1)).toBeCloseTo(expected, 9);
  });

  it("takes a bare number in the job's unit and refuses words", () => {
    expect(lengthMm(2.5, 1000)).toBe(2500);
    expect(lengthMm("2.5", 304.8)).toBeCloseTo(762, 9);
    expect(lengthMm("two feet", 1)).toBeNaN();
    expect(lengthMm("6 miles", 1)).toBeNaN();
  });
});

describe("grid letters", () => {
  it("skip I and O and go on after Z", () => {
    expect(["A", "H", "J", "N", "P", "Z", "AA", "AB"].map(letterIndex)).toEqual([0, 7, 8, 12, 13, 23, 24, 25]);
    expect(letterIndex("I")).toBe(-1);
  });
});

describe("the written sheet", () => {
  it("gives each number to its point, with the sign of the sheet", () => {
    expect(readWrittenSheet("A  14  -  11.5\nD1a 9 # by the door", 1, true)).toEqual([
      { pointId: "A1", levelMm: -14 },
      { pointId: "A3", levelMm: -11.5 },
      { pointId: "D1a", levelMm: -9 },
    ]);
  });

  it("reads inches and fractions, above zero", () => {
    expect(readWrittenSheet("B 1/2 1-1/4 0", 25.4, false)).toEqual([
      { pointId: "B1", levelMm: 12.7 },
      { pointId: "B2", levelMm: 31.75 },
      { pointId: "B3", levelMm: 0 },
    ]);
  });
});
