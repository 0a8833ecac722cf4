import { describe, expect, test } from "vitest";
import { interval, limit } from "../../src/format.ts";

const NBSP = "\u00a0";
const both = (value: number, kind: "least" | "greatest", leading: "mm" | "in" = "mm") => {
  const { large, small } = limit(value, kind, leading);
  return [large.text.replaceAll(NBSP, " "), small.text.replaceAll(NBSP, " ")];
};

describe("a limit", () => {
  test("shows the decimal that it has, and none that it has not", () => {
    expect(both(50.8, "greatest")).toEqual(["50.8 mm", "2 in"]);
    expect(both(3, "least")).toEqual(["3 mm", "1/8 in"]);
    expect(both(38.1, "greatest", "in")).toEqual(["1 1/2 in", "38.1 mm"]);
  });

  test("is rounded to the safe side, in each unit", () => {
    // 1/8 in is 3.175 mm; 50 mm is 31.496 sixteenths of an inch.
    expect(both(3.175, "least")).toEqual(["3.2 mm", "1/8 in"]);
    expect(both(3.175, "greatest")).toEqual(["3.1 mm", "1/8 in"]);
    expect(both(50, "greatest")).toEqual(["50 mm", "1 15/16 in"]);
    expect(both(50, "least")).toEqual(["50 mm", "2 in"]);
  });

  test("that was kept to a millionth of a millimetre is still the whole sixteenth that it was", () => {
    // 3/4 in is 19.05 mm.
    expect(both(Math.round(19.05 * 1e6 + 1) / 1e6, "least")).toEqual(["19.1 mm", "3/4 in"]);
    expect(both(0.1 + 0.2, "least")[0]).toBe("0.3 mm");
  });
});

describe("an interval of contours", () => {
  const pair = (value: number, leading: "mm" | "in") => {
    const { large, small } = interval(value, leading);
    return [large.text.replaceAll(NBSP, " "), small.text.replaceAll(NBSP, " ")];
  };
  test("is printed as a true pair", () => {
    // 1/25.4 in is 0.03937 in, 5/25.4 0.19685; 1/16 in is 1.5875 mm.
    expect(pair(1, "mm")).toEqual(["1 mm", "0.04 in"]);
    expect(pair(5, "mm")).toEqual(["5 mm", "0.20 in"]);
    expect(pair(1.5875, "in")).toEqual(["1/16 in", "1.6 mm"]);
    expect(pair(25.4, "in")).toEqual(["1 in", "25.4 mm"]);
  });
});
