import { expect, test } from "vitest";
import { widthsWithoutBreak } from "../../src/sheets/page/column-widths.ts";

test("columns with room give in proportion to it, and all together keep the width", () => {
  // Shares of 100: 20, 30, 50. The first needs 26: 6 lacking, of 10 + 20 to spare.
  expect(widthsWithoutBreak([2, 3, 5], [26, 20, 30], 100)).toEqual([26, 28, 46]);
});

test("where every value has room the shares stand", () => {
  expect(widthsWithoutBreak([2, 3, 5], [20, 30, 50], 100)).toEqual([20, 30, 50]);
});

test("values that together need more than the sheet get no widths", () => {
  expect(widthsWithoutBreak([1, 1], [60, 41], 100)).toBeUndefined();
});
