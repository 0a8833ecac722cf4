/** Lengths as they are written on site, both ways. 1 in = 25.4 mm exactly (international yard and pound agreement, 1959). */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { parseLength, spellHeight, spellPlanLength } from "../../src/job/lengths.ts";

const millimetres = (text: string): number => {
  const length = parseLength(text);
  if (length.kind !== "length") throw new Error(`${text}: ${JSON.stringify(length)}`);
  return length.millimetres;
};

describe("a length with its unit", () => {
  test.each([
    // By hand: 24 ft 6 in = 294 in × 25.4 = 7467.6; 24 ft 6 1/2 in = 294.5 × 25.4 = 7480.3.
    [`24' 6"`, 7467.6],
    [`24'6"`, 7467.6],
    [`24'-6"`, 7467.6],
    [`24' 6 1/2"`, 7480.3],
    [`24' 6-1/2"`, 7480.3],
    [`24ft 6in`, 7467.6],
    [`24 ft 6 1/2 in`, 7480.3],
    [`24 feet 6 inches`, 7467.6],
    [`82' 0 1/4"`, 24999.95],
    [`82'-0 1/4"`, 24999.95],
    ["24.5 ft", 7467.6],
    ["24.5'", 7467.6],
    ["7.47 m", 7470],
    ["747 cm", 7470],
    ["18 mm", 18],
    ["1/4 in", 6.35],
    ['3/16"', 4.7625],
    ["6 1/2 in", 165.1],
    ["1-1/2 in", 38.1],
    [`0' 11 15/16"`, 303.2125],
    ["-2 mm", -2],
    ["−2 mm", -2],
    [`-1' 6"`, -457.2],
    [".5 in", 12.7],
    // As a word processor or a phone sets them.
    ["24’ 6”", 7467.6],
    ["24′ 6″", 7467.6],
    ["24' 6''", 7467.6],
    ["24' 6½\"", 7480.3],
    ["6 ½ in", 165.1],
    ["3⁄4 in", 19.05],
    ["7.47\u00a0m", 7470],
    ["16 IN", 406.4],
  ])("%s", (text, expected) => {
    expect(millimetres(text)).toBeCloseTo(expected, 9);
  });

  test.each(["12", "12.5", "1/8", "-3", "6 1/2"])("a bare number is left to the job: %s", (text) => {
    expect(parseLength(text).kind).toBe("bare");
  });
});

describe("what is no length", () => {
  test.each([
    ["", "unreadable-length"],
    ["wide", "unreadable-length"],
    ["24' 6", "unreadable-length"],
    ["24' 14\"", "unreadable-length"],
    ["24.5' 6\"", "unreadable-length"],
    ["1/0 in", "unreadable-length"],
    ["6 5/4 in", "unreadable-length"],
    ["12 furlongs", "unreadable-length"],
    ["12 constructor", "unreadable-length"],
    [".inf", "unreadable-length"],
    [".nan", "unreadable-length"],
    ["Infinity", "unreadable-length"],
    ["0x10 mm", "unreadable-length"],
    ["1e3 mm", "unreadable-length"],
    ["7,47 m", "decimal-comma"],
    ["1,200 mm", "decimal-comma"],
    [`${"9".repeat(400)} mm`, "number-too-large"],
  ])("%s", (text, code) => {
    expect(parseLength(text)).toMatchObject({ kind: "unreadable", code });
  });

  test("a comma is answered with the same number and a point", () => {
    expect(parseLength("7,47 m")).toMatchObject({ hint: expect.stringContaining("7.47 m") });
  });

  test("feet and a number alone are answered with inches", () => {
    expect(parseLength("24' 6")).toMatchObject({ hint: `Did you mean 24' 6"?` });
  });
});

describe("spelling", () => {
  test.each([
    [7.4676, "ft-in", `24' 6"`],
    [7.4803, "ft-in", `24' 6 1/2"`],
    [0.3048, "ft-in", "1'"],
    [0.0127, "ft-in", `1/2"`],
    [0, "ft-in", `0"`],
    // 11 31/32 in and more is a foot.
    [0.3047, "ft-in", "1'"],
    [-0.4572, "ft-in", `-1' 6"`],
    [7.47, "m", "7.47 m"],
    [-0.0001, "m", "0 m"],
  ] as const)("%d m as %s is %s", (length, unit, expected) => {
    expect(spellPlanLength(length, unit)).toBe(expected);
  });

  test("what is spelled reads back to within half a step, and is then spelled the same", () => {
    fc.assert(
      fc.property(fc.double({ min: -500, max: 500, noNaN: true }), fc.constantFrom("ft-in", "m"), (length, unit) => {
        const text = spellPlanLength(length, unit);
        const back = millimetres(text);
        const halfStep = unit === "m" ? 0.5 : 25.4 / 32;
        expect(Math.abs(back - length * 1000)).toBeLessThanOrEqual(halfStep + 1e-6);
        expect(spellPlanLength(back / 1000, unit)).toBe(text);
      }),
      { seed: 11, numRuns: 500 },
    );
  });

  test("heights read back to within half a step", () => {
    fc.assert(
      fc.property(fc.double({ min: -500, max: 500, noNaN: true }), fc.constantFrom("mm", "in"), (height, unit) => {
        const back = millimetres(spellHeight(height, unit));
        expect(Math.abs(back - height)).toBeLessThanOrEqual(unit === "mm" ? 0.005001 : 0.0127001);
      }),
      { seed: 12, numRuns: 300 },
    );
  });
});

test("sixteenths written out as feet, inches and a fraction come to that many times 1.5875 mm", () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 200 }),
      fc.integer({ min: 0, max: 11 }),
      fc.integer({ min: 0, max: 15 }),
      (feet, inches, parts) => {
        const text = `${feet}' ${inches}${parts === 0 ? "" : ` ${parts}/16`}"`;
        expect(millimetres(text)).toBeCloseTo((feet * 192 + inches * 16 + parts) * 1.5875, 6);
      },
    ),
    { seed: 13, numRuns: 300 },
  );
});

test("no text makes it throw, and nothing comes out that is not a finite number", () => {
  fc.assert(
    fc.property(fc.string({ maxLength: 40, unit: "binary" }), (text) => {
      const length = parseLength(text);
      if (length.kind === "length") expect(Number.isFinite(length.millimetres)).toBe(true);
      if (length.kind === "bare") expect(Number.isFinite(length.value)).toBe(true);
    }),
    { seed: 14, numRuns: 1000 },
  );
});
