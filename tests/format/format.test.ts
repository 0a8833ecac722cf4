import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  area,
  type BothUnits,
  bagWeight,
  batchWater,
  bulkLiquid,
  clockDay,
  clockTime,
  count,
  coverage,
  decimal,
  density,
  difference,
  duration,
  elapsed,
  fall,
  feetInches,
  fineHeight,
  floorLoad,
  height,
  inches,
  minutesAndSeconds,
  percent,
  planLength,
  smallArea,
  temperature,
  volume,
  waterToOne,
  weight,
} from "../../src/format.ts";

/** What a reader does with a printed number: the text with plain spaces, then the sum of its parts. */
const plain = (text: string): string => text.replaceAll("\u00a0", " ");

function readNumber(text: string): number {
  const sign = text.startsWith("\u2212") ? -1 : 1;
  const body = text.replace(/^[\u2212+]/, "");
  const parts = body.split("\u00a0");
  const last = parts.at(-1) as string;
  if (!last.includes("/")) return sign * Number(parts.join(""));
  const [upper, lower] = last.split("/").map(Number) as [number, number];
  const whole = parts.slice(0, -1).join("");
  return sign * ((whole === "" ? 0 : Number(whole)) + upper / lower);
}

function readFeetInches(text: string): number {
  const match = /^(\u2212?)(.+)'\u00a0(.+)"$/.exec(text);
  if (!match) throw new Error(`not feet and inches: ${text}`);
  const [, sign, feet, inch] = match as unknown as [string, string, string, string];
  return (sign === "" ? 1 : -1) * (readNumber(feet) * 12 + readNumber(inch));
}

describe("inches and fractions", () => {
  test.each([
    [0, "0 in"],
    [25.4, "1 in"],
    [9.525, "3/8 in"],
    [34.925, "1 3/8 in"],
    [-9.525, "\u22123/8 in"],
    [12.7, "1/2 in"],
    // 15.6/16 of an inch is carried to the whole inch; so is 1 in less a hair.
    [24.77, "1 in"],
    [25.39, "1 in"],
    [50.7, "2 in"],
    [0.79, "0 in"],
    [0.8, "1/16 in"],
    [-0.79, "0 in"],
    [1.5875, "1/16 in"],
  ])("%d mm to a sixteenth is %s", (mm, text) => expect(plain(inches(mm, 16).text)).toBe(text));

  test.each([
    [7.4676, `24' 6"`],
    [7.4803, `24' 6 1/2"`],
    [3.6576, `12' 0"`],
    [0.9652, `3' 2"`],
    // 11 31/32 in carries to the next foot.
    [0.304, `1' 0"`],
    // Less than an inch has its zero: 25 m is 82 ft and 0.2526 in.
    [0.0032, `0' 0 1/8"`],
    [25, `82' 0 1/4"`],
    [-0.3112, `\u22121' 0 1/4"`],
    [-0.3048, `\u22121' 0"`],
    [-0.0001, `0' 0"`],
  ])("%d m to an eighth is %s", (m, text) => expect(plain(feetInches(m, 8).text)).toBe(text));
});

describe("decimal numbers", () => {
  test.each([
    [0, 0, "0"],
    [-0, 1, "0.0"],
    [-0.04, 1, "0.0"],
    [-0.05, 1, "\u22120.1"],
    [2.5, 0, "3"],
    [-2.5, 0, "\u22123"],
    [1.005, 2, "1.01"],
    [371.612, 1, "371.6"],
    [9999.96, 1, "10 000.0"],
    [1234567, 0, "1 234 567"],
    [1234, 0, "1234"],
  ])("%d with %d places is %s", (value, places, text) => expect(plain(decimal(value, places))).toBe(text));

  test("a difference carries its sign, zero none", () => {
    expect([difference(3, 0), difference(-3, 0), difference(0, 0), difference(0.04, 1), difference(-0.04, 1)]).toEqual([
      "+3",
      "\u22123",
      "0",
      "0.0",
      "0.0",
    ]);
  });

  test("what is no number is not printed", () => {
    for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, 1e300]) expect(() => decimal(bad, 1)).toThrow(RangeError);
    expect(() => count(26.25)).toThrow(/26\.25/);
  });
});

describe("values a reader can check by hand", () => {
  const both = ({ large, small }: BothUnits): string[] => [plain(large.text), plain(small.text)];
  test.each([
    ["depth 35 mm", height(35, "mm"), ["35 mm", "1 3/8 in"]],
    ["depth 1 3/8 in", height(34.925, "in"), ["1 3/8 in", "35 mm"]],
    ["level", fineHeight(-11.5, "mm"), ["\u221211.5 mm", "\u22120.45 in"]],
    ["length", planLength(7.4676, "ft-in"), [`24' 6"`, "7.468 m"]],
    // 20 × 20 ft
    ["area", area(37.161216, "ft-in"), ["400 ft²", "37.2 m²"]],
    ["small area", smallArea(0.25, "m"), ["0.25 m²", "2.7 ft²"]],
    // 1 ft³ = 28.316846592 L
    ["volume", volume(28.316846592, "ft-in"), ["1.00 ft³", "28.3 L"]],
    // 5 US quarts = 4.73176473 L
    ["water", batchWater(4.73176473, "ft-in"), ["5.0 qt", "4.7 L"]],
    // 135 US quarts = 33.75 gal, a half that floating point must not lose
    ["water in all", bulkLiquid(127.75764771, "ft-in"), ["33.8 gal", "127.8 L"]],
    ["weight", weight(22.6796185, "ft-in"), ["50 lb", "23 kg"]],
    ["bag", bagWeight(25, "m"), ["25.0 kg", "55.1 lb"]],
    // 100 lb/ft² = 488.24 kg/m² = 4.79 kPa
    ["load", floorLoad(488.2427636, "m"), ["4.79 kPa", "100.0 psf"]],
    // water: 1 kg/L = 62.4 lb/ft³
    ["density", density(1, "ft-in"), ["62.4 lb/ft³", "1.00 kg/L"]],
    // 300 ft²/gal = 7.36 m²/L
    ["coverage", coverage(7.3628, "m"), ["7.4 m²/L", "300 ft²/gal"]],
    // 1/4 in. per foot = 20.83 mm/m
    ["fall", fall(20.8333, "ft-in"), ["1/4 in/ft", "20.8 mm/m"]],
    ["temperature", temperature(20, "m"), ["20 °C", "68 °F"]],
  ])("%s", (_, pair, texts) => expect(both(pair)).toEqual(texts));

  test("shares, parts, times", () => {
    expect(plain(percent(0.075, 1).text)).toBe("7.5 %");
    expect([waterToOne(3), waterToOne(2.5)]).toEqual(["3:1", "2.5:1"]);
    expect([plain(duration(15).text), plain(duration(2.5).text)]).toEqual(["15 min", "2.5 min"]);
    expect([elapsed(0), elapsed(2.5), elapsed(59.4), elapsed(59.6), elapsed(605)]).toEqual([
      "0:00",
      "0:03",
      "0:59",
      "1:00",
      "10:05",
    ]);
    expect(() => elapsed(-1)).toThrow(/negative/);
  });

  test("the clock turns at midnight and needs no calendar", () => {
    expect(clockTime("2027-03-04 07:30", 95)).toEqual({ text: "09:05", daysLater: 0 });
    expect(clockTime("2027-03-04T23:50", 15)).toEqual({ text: "00:05", daysLater: 1 });
    expect(clockTime("2027-03-04 00:10", -15)).toEqual({ text: "23:55", daysLater: -1 });
    expect(() => clockTime("half past seven", 0)).toThrow(/half past seven/);
    expect([1.25, 1, 0.67].map(minutesAndSeconds)).toEqual(["1:15", "1:00", "0:40"]);
    expect(clockDay("2027-03-04 07:30", -24 * 60)).toBe("2027-03-03 07:30");
    // 2028 has a 29 February.
    expect(clockDay("2028-03-01 00:10", -15)).toBe("2028-02-29 23:55");
    expect(clockDay("2027-12-31 23:50", 15)).toBe("2028-01-01 00:05");
  });
});

describe("properties", () => {
  const options = { seed: 20270304, numRuns: 400 };
  const heights = fc.double({ min: -400, max: 400, noNaN: true });
  const lengths = fc.double({ min: -200, max: 200, noNaN: true });

  test("both units of a height say the same height, each within half its step", () => {
    fc.assert(
      fc.property(heights, (mm) => {
        const { large, small } = height(mm, "mm");
        expect(Math.abs(readNumber(large.number) - mm)).toBeLessThanOrEqual(0.5 + 1e-6);
        expect(Math.abs(readNumber(small.number) * 25.4 - mm)).toBeLessThanOrEqual(25.4 / 32 + 1e-6);
        expect(height(mm, "in")).toEqual({ large: small, small: large });
      }),
      options,
    );
  });

  test("both units of a plan length say the same length, each within half its step", () => {
    fc.assert(
      fc.property(lengths, (m) => {
        const { large, small } = planLength(m, "m");
        expect(Math.abs(readNumber(large.number) - m)).toBeLessThanOrEqual(0.0005 + 1e-9);
        expect(Math.abs(readFeetInches(small.text) * 0.0254 - m)).toBeLessThanOrEqual(0.0254 / 16 + 1e-9);
      }),
      options,
    );
  });

  test("a longer length never prints shorter, and a fraction is always reduced and less than one", () => {
    fc.assert(
      fc.property(heights, heights, (a, b) => {
        const [low, high] = a <= b ? [a, b] : [b, a];
        expect(readNumber(inches(low, 16).number)).toBeLessThanOrEqual(readNumber(inches(high, 16).number));
        expect(readNumber(decimal(low, 1))).toBeLessThanOrEqual(readNumber(decimal(high, 1)));
        const fraction = /(\d+)\/(\d+)$/.exec(inches(a, 16).number);
        if (fraction) {
          expect(Number(fraction[1]) % 2).toBe(1);
          expect(Number(fraction[1])).toBeLessThan(Number(fraction[2]));
        }
      }),
      options,
    );
  });

  test("nothing printed is a negative zero, an exponent, or can break over a line", () => {
    const small = fc.double({ min: -1e-3, max: 1e-3, noNaN: true });
    fc.assert(
      fc.property(fc.oneof(heights, small), (value) => {
        const pairs = [height, fineHeight].map((print) => print(value, "mm"));
        const texts = [...pairs.flatMap(({ large, small }) => [large.text, small.text]), feetInches(value, 16).text];
        for (const text of texts) {
          expect(text).not.toMatch(/^\u2212[0. '"\u00a0]*(mm|in)?$/);
          expect(text).not.toMatch(/e|-| /);
        }
      }),
      options,
    );
  });
});

test("a gentle fall is not printed as none in inches: 0.8 mm/m is 0.0096 in/ft", () => {
  expect(fall(0.8, "m").small.text).toBe("0.01\u00a0in/ft");
  expect(fall(0, "m").small.text).toBe("0\u00a0in/ft");
  // 7 mm/m is 0.084 in/ft, 3/32 to the thirty-second.
  expect(fall(7, "m").small.text).toBe("3/32\u00a0in/ft");
});
