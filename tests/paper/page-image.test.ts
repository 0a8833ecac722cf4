import { describe, expect, test } from "vitest";
import { differenceOf, fromPng, IMAGE_PIXELS_A_MM, imageOf, type PageImage, toPng } from "./page-image.ts";
import type { FillMark, PaperPage } from "./read-paper.ts";

const bar = (x: number, y: number, width: number, height: number): FillMark => {
  const extent = { minX: x, minY: y, maxX: x + width, maxY: y + height };
  const ring = [
    { x, y },
    { x: x + width, y },
    { x: x + width, y: y + height },
    { x, y: y + height },
  ];
  return { kind: "fill", rings: [ring], evenOdd: false, luminance: 0, coloured: false, extent, clip: extent };
};
const page = (...marks: FillMark[]): PaperPage => ({ number: 1, widthMm: 120, heightMm: 90, marks, structure: {} });
const image = (...marks: FillMark[]): PageImage => imageOf(page(...marks));

describe("the image of a page", () => {
  test("has black where ink is, white where none is, and its size in millimetres", () => {
    const { width, height, grey } = image(bar(30, 30, 30, 30));
    expect([width / IMAGE_PIXELS_A_MM, height / IMAGE_PIXELS_A_MM]).toEqual([120, 90]);
    const at = (x: number, y: number) =>
      grey[Math.floor(y * IMAGE_PIXELS_A_MM) * width + Math.floor(x * IMAGE_PIXELS_A_MM)];
    expect([at(45, 45), at(20, 45), at(45, 80)]).toEqual([0, 255, 255]);
  });

  test("comes back from its PNG as it was, and other PNGs are refused", () => {
    const made = image(bar(30, 30, 7, 3));
    expect(fromPng(toPng(made))).toEqual(made);
    const damaged = toPng(made);
    damaged.writeUInt32BE(999, 16);
    expect(() => fromPng(damaged)).toThrow("not a grey PNG");
  });
});

describe("two images", () => {
  const reviewed = image(bar(30, 30, 30, 1));
  test("are the same where a line moved by a twentieth of a millimetre", () => {
    expect(differenceOf(image(bar(30.05, 30, 30, 1)), reviewed)).toBeUndefined();
  });
  test("are told apart where a line moved by a millimetre, or a mark of 3 mm is missing, with the place", () => {
    expect(differenceOf(image(bar(30, 31, 30, 1)), reviewed)).toMatch(/pixels differ, from 30, \d+ mm to \d+, \d+ mm/);
    expect(differenceOf(reviewed, image(bar(30, 30, 30, 1), bar(80, 60, 3, 3)))).toMatch(
      /pixels differ, from 80, 60 mm/,
    );
  });
  test("are told apart by their size", () => {
    expect(differenceOf(imageOf({ ...page(), widthMm: 100 }), reviewed)).toContain("reviewed were");
  });
});
