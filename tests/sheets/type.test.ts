import { describe, expect, test } from "vitest";
import { NOTO_SANS_400, NOTO_SANS_700 } from "../../src/sheets/type/noto-sans.ts";
import { ARABIC_400, ARABIC_700 } from "../../src/sheets/type/noto-sans-arabic.ts";
import {
  DIGIT_HEIGHT,
  textWidthMm,
  uncoveredCharacters,
  wrapText,
  X_HEIGHT,
} from "../../src/sheets/type/text-metrics.ts";
import { CUT_MM, DEPTH_MM, DESK_MM, KEY_VALUE_MM, KNEELING_MM, READING_MM } from "../../src/sheets/type/type-sizes.ts";
import { deriveJoinedForms, deriveMetrics } from "./font-metrics.ts";

describe("the metrics of the embedded font", () => {
  test.each([
    [400, NOTO_SANS_400],
    [700, NOTO_SANS_700],
  ] as const)("of weight %i are those of the font package", (weight, committed) => {
    expect(committed).toEqual(deriveMetrics(weight));
  });

  test.each([
    [400, ARABIC_400],
    [700, ARABIC_700],
  ] as const)("of weight %i are those of the font package where letters join", (weight, committed) => {
    expect(committed).toEqual(deriveJoinedForms(weight));
  });

  test("digits are tabular, and as wide in both weights", () => {
    const widths = [..."0123456789"].flatMap((digit) => [textWidthMm(digit, 1), textWidthMm(digit, 1, 700)]);
    expect(new Set(widths).size).toBe(1);
  });

  test("a width is the sum of the advances: 572 + 260 + 615 + 561 + 618 + 479 units of 1000 for “1 pans”", () => {
    // The advances as the font's own hmtx table has them for 1, space, p, a, n, s.
    expect(textWidthMm("1 pans", 10)).toBeCloseTo(31.05, 10);
  });

  test("a character that the font lacks is named", () => {
    expect(uncoveredCharacters("F7 23 mm × ½ − ′ ″ ñ Ł Ж")).toEqual([]);
    expect(uncoveredCharacters("a≥b अa")).toEqual(["≥", "अ"]);
  });
});

describe("type sizes", () => {
  test("give the glyph heights that their reading distances ask for", () => {
    // 20 minutes of arc at 0.7 m and 1.6 m [calculated]; 0.10 in x-height [NASA CR-177605].
    const arc = (metres: number): number => 2 * metres * 1000 * Math.tan((20 / 60 / 2) * (Math.PI / 180));
    expect(DEPTH_MM * DIGIT_HEIGHT).toBeGreaterThanOrEqual(arc(0.7));
    expect(CUT_MM * DIGIT_HEIGHT).toBeGreaterThan(DEPTH_MM * DIGIT_HEIGHT);
    expect(KEY_VALUE_MM * DIGIT_HEIGHT).toBeGreaterThanOrEqual(arc(1.6));
    expect(KNEELING_MM * DIGIT_HEIGHT).toBeGreaterThanOrEqual(3.1);
    expect(READING_MM * X_HEIGHT).toBeGreaterThanOrEqual(2.54);
    expect(DESK_MM * DIGIT_HEIGHT).toBeGreaterThanOrEqual(2.5);
  });
});

describe("breaking lines", () => {
  test("no line is wider than its place or longer than 70 characters, and no word is lost", () => {
    const text =
      "Cut to the large length. Read the marked pins again with the level before the pour, all of them. ".repeat(4);
    for (const width of [12, 25, 60, 400]) {
      const lines = wrapText(text, width, 4.45);
      for (const line of lines) {
        expect(line.length).toBeLessThanOrEqual(70);
        expect(textWidthMm(line, 4.45)).toBeLessThanOrEqual(width);
      }
      expect(lines.join("").replaceAll(" ", "")).toBe(text.replaceAll(" ", ""));
    }
  });

  test("a value held together by a no-break space is not broken", () => {
    expect(wrapText("cut at 1\u00a03/8\u00a0in now", 19, 4)).toEqual(["cut at", "1\u00a03/8\u00a0in", "now"]);
  });

  test("where even that does not fit, it is broken at its no-break spaces before it is broken inside", () => {
    expect(wrapText("Tramo\u00a010", 14, 4)).toEqual(["Tramo", "10"]);
  });

  test("a word wider than its place is broken inside", () => {
    const lines = wrapText("Donaudampfschifffahrtsgesellschaft", 20, 4);
    expect(lines.length).toBeGreaterThan(2);
    expect(lines.join("")).toBe("Donaudampfschifffahrtsgesellschaft");
  });

  test("a line feed breaks, an empty text is one empty line", () => {
    expect(wrapText("a\nb", 50, 4)).toEqual(["a", "b"]);
    expect(wrapText("", 50, 4)).toEqual([""]);
  });
});
