/** Which way a top is said to fall, against planes that are known by hand. */
import { describe, expect, test } from "vitest";
import { point } from "../../src/geometry/point.ts";
import { fallsText } from "../../src/sheets/top-of-pour.ts";
import { en } from "../../src/sheets/words/en.ts";
import { es } from "../../src/sheets/words/es.ts";
import { topOfZone } from "../../src/target/top-at.ts";

const zone = (fallEast: number, fallNorth: number) => ({ roomIndices: [0], top: 20, fallEast, fallNorth });
const plain = (text: string) => text.replaceAll("\u00a0", " ");

describe("a top whose height rises to the east", () => {
  test("is higher in the east, and is said to fall to the west", () => {
    const rising = zone(4, 0);
    expect(topOfZone(rising, point(3, 0))).toBeGreaterThan(topOfZone(rising, point(0, 0)));
    // 4 mm/m is 1.2192 mm in a foot: 1.536 of 1/32 in.
    expect(plain(fallsText(rising, "m", en))).toBe("falls 4.0 mm/m (1/16 in/ft) to the west");
    expect(plain(fallsText(rising, "m", es))).toBe("baja 4.0 mm/m (1/16 in/ft) al oeste");
  });
});

test("each direction is named, without a sign", () => {
  expect(plain(fallsText(zone(-4, 0), "m", en))).toBe("falls 4.0 mm/m (1/16 in/ft) to the east");
  expect(plain(fallsText(zone(0, 10), "m", en))).toBe("falls 10.0 mm/m (1/8 in/ft) to the south");
  expect(plain(fallsText(zone(0, -10), "m", en))).toBe("falls 10.0 mm/m (1/8 in/ft) to the north");
  expect(plain(fallsText(zone(4, -10), "m", en))).toContain("to the west, 10.0 mm/m (1/8 in/ft) to the north");
});
