import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { point } from "../../src/geometry/point.ts";
import type { PaperPoint } from "../../src/sheets/drawing.ts";
import { brokenAtLabels, insideBox } from "../../src/sheets/map/clip-lines.ts";
import { bandLook, contoursOnPaper } from "../../src/sheets/map/floor-marks.ts";
import { hatchPath } from "../../src/sheets/map/hatching.ts";
import { projectionOf, scalesFor } from "../../src/sheets/map/map-scale.ts";
import { cutRange, tileFloor } from "../../src/sheets/map/map-tiles.ts";
import { type Box, boxAround, boxesOverlap, clipToBox, newOccupancy } from "../../src/sheets/map/occupancy.ts";
import { placeLabels } from "../../src/sheets/map/place-labels.ts";
import { findings } from "./fixtures/small-clinic.ts";

const FRAME: Box = { minX: 0, minY: 0, maxX: 300, maxY: 200 };
const length = (line: readonly PaperPoint[]): number =>
  line.slice(1).reduce((sum, b, k) => sum + Math.hypot(b.x - line[k]!.x, b.y - line[k]!.y), 0);

describe("a label for every point", () => {
  const scattered = fc.array(
    fc.record({ x: fc.integer({ min: 10, max: 290 }), y: fc.integer({ min: 10, max: 190 }) }),
    {
      maxLength: 45,
    },
  );
  const wish = (at: PaperPoint) => ({
    at,
    width: 17,
    height: 14,
    clear: 1.5,
    belongs: () => true,
    isOutside: () => false,
  });

  test("none covers another, a point, or a wall; a leader crosses none of them", () => {
    fc.assert(
      fc.property(scattered, (points) => {
        const taken = newOccupancy();
        for (const { x, y } of points) taken.addSymbol(boxAround(x, y, 1.5, 1.5));
        const wall: [PaperPoint, PaperPoint] = [
          { x: 150, y: 0 },
          { x: 150, y: 200 },
        ];
        taken.addSegment(...wall, "wall");
        const placed = placeLabels(points.map(wish), taken, FRAME).flatMap((one, index) =>
          one ? [{ ...one, index }] : [],
        );
        for (const { box, leader, index } of placed) {
          expect(clipToBox(...wall, box)).toBeUndefined();
          expect(box.minX >= 0 && box.maxX <= 300 && box.minY >= 0 && box.maxY <= 200).toBe(true);
          for (const other of placed) {
            if (other.index === index) continue;
            expect(boxesOverlap(box, other.box)).toBe(false);
            if (leader) expect(clipToBox(...leader, other.box)).toBeUndefined();
          }
          for (const { x, y } of points) expect(boxesOverlap(box, boxAround(x, y, 1.5, 1.5))).toBe(false);
        }
      }),
      { seed: 7, numRuns: 40 },
    );
  });

  test("a grid with room has all its labels, each at the upper right", () => {
    const points = Array.from({ length: 40 }, (_, k) => ({ x: 20 + (k % 8) * 32, y: 30 + Math.floor(k / 8) * 32 }));
    const taken = newOccupancy();
    for (const { x, y } of points) taken.addSymbol(boxAround(x, y, 1.5, 1.5));
    const placed = placeLabels(points.map(wish), taken, FRAME);
    placed.forEach((one, k) => {
      expect(one?.leader).toBeUndefined();
      expect(one?.box.minX).toBeGreaterThan(points[k]!.x);
      expect(one?.box.maxY).toBeLessThan(points[k]!.y);
    });
  });

  test("three pins at a door step aside on leaders, and stay the only ones in doubt", () => {
    const points = [
      { x: 100, y: 100 },
      { x: 106, y: 100 },
      { x: 112, y: 100 },
    ];
    const taken = newOccupancy();
    for (const { x, y } of points) taken.addSymbol(boxAround(x, y, 1.5, 1.5));
    const placed = placeLabels(points.map(wish), taken, FRAME);
    expect(placed.every((one) => one !== undefined)).toBe(true);
  });

  test("no leader starts under another label: who read along it would come to the wrong name", () => {
    const taken = newOccupancy();
    const label = boxAround(100, 100, 9, 5);
    taken.addBox(label);
    for (let k = -8; k <= 8; k += 2) {
      const [placed] = placeLabels([wish({ x: 100 + k, y: 100 })], taken, FRAME);
      if (placed?.leader) expect(clipToBox(...placed.leader, label)).toBeUndefined();
    }
  });

  test("where there is no paper left, there is no label, and it says so", () => {
    const taken = newOccupancy();
    taken.addBox({ minX: 0, minY: 0, maxX: 300, maxY: 200 });
    expect(placeLabels([wish({ x: 50, y: 50 })], taken, FRAME)).toEqual([undefined]);
  });
});

describe("lines on a map", () => {
  test("a line is broken exactly where labels cover it", () => {
    const labels = newOccupancy();
    labels.addBox({ minX: 20, minY: -5, maxX: 30, maxY: 5 });
    labels.addBox({ minX: 28, minY: -5, maxX: 40, maxY: 5 });
    const parts = brokenAtLabels(
      [
        { x: 0, y: 0 },
        { x: 100, y: 0 },
      ],
      labels,
    );
    expect(parts).toEqual([
      [
        { x: 0, y: 0 },
        { x: 20, y: 0 },
      ],
      [
        { x: 40, y: 0 },
        { x: 100, y: 0 },
      ],
    ]);
  });

  test("what is left and what is covered add up, whatever the line", () => {
    const at = fc.record({
      x: fc.double({ min: -50, max: 50, noNaN: true }),
      y: fc.double({ min: -50, max: 50, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.array(at, { minLength: 2, maxLength: 12 }), (points) => {
        const box = { minX: -20, minY: -15, maxX: 25, maxY: 10 };
        const labels = newOccupancy();
        labels.addBox(box);
        const outside = brokenAtLabels(points, labels).reduce((sum, part) => sum + length(part), 0);
        const inside = insideBox(points, box).reduce((sum, part) => sum + length(part), 0);
        expect(outside + inside).toBeCloseTo(length(points), 6);
      }),
      { seed: 11, numRuns: 200 },
    );
  });

  test("hatch lines of a square 10 mm wide at 45°, 2 mm apart, have the length of its area over their spacing", () => {
    const square = [
      { x: 3, y: 4 },
      { x: 13, y: 4 },
      { x: 13, y: 14 },
      { x: 3, y: 14 },
    ];
    const steps = [...hatchPath([square], 45, 0.5).matchAll(/M([\d.-]+) ([\d.-]+)L([\d.-]+) ([\d.-]+)/g)];
    const total = steps.reduce(
      (sum, [, a, b, c, d]) => sum + Math.hypot(Number(c) - Number(a), Number(d) - Number(b)),
      0,
    );
    // Lines 0.5 mm apart over 100 mm² are 200 mm long, to half a line at each end [calculated].
    expect(Math.abs(total - 200)).toBeLessThan(5);
  });

  test("contours keep 1 mm from each other, and every fifth of those drawn is the heavier", () => {
    if (findings.depths.kind !== "ready") throw new Error("the fixture has depths");
    const { depths } = { depths: findings.depths.value };
    for (const ratio of [48, 192, 480]) {
      const scale = { ratio, text: "" };
      const window = { minX: -1, minY: -1, maxX: 13, maxY: 13 };
      const { contours, step } = contoursOnPaper(depths, projectionOf(scale, window, 0, 0));
      const points = contours.flatMap(({ depth, lines }) => lines.flat().map((at) => ({ ...at, depth })));
      expect(points.length).toBeGreaterThan(10);
      for (const p of points) {
        for (const q of points) {
          if (p.depth !== q.depth) expect(Math.hypot(p.x - q.x, p.y - q.y)).toBeGreaterThan(0.9);
        }
      }
      for (const { depth, index } of contours) expect(index).toBe(depth % (5 * step) === 0);
    }
  });
});

describe("two contours of one depth", () => {
  if (findings.depths.kind !== "ready") throw new Error("the fixture has depths");
  const depths = findings.depths.value;
  // 1:50: a metre of floor is 20 mm of paper.
  const projection = projectionOf({ ratio: 50, text: "" }, { minX: 0, minY: 0, maxX: 10, maxY: 10 }, 0, 0);
  const drawn = (lines: readonly (readonly (readonly [number, number])[])[]): number => {
    const contour = { depth: 10, index: false, lines: lines.map((line) => line.map(([x, y]) => point(x, y))) };
    const { contours } = contoursOnPaper({ ...depths, contours: [contour] } as typeof depths, projection);
    return contours.flatMap((one) => one.lines).reduce((sum, line) => sum + length(line), 0);
  };

  test("may meet end to end", () => {
    const halves = [
      [
        [1, 5],
        [5, 5],
      ],
      [
        [5, 5],
        [9, 5.3],
      ],
    ] as const;
    expect(drawn(halves)).toBeGreaterThan(159);
  });

  test("that end at a wall 0.3 mm from each other are not both drawn to the wall", () => {
    const beside = [
      [
        [1, 5],
        [5, 5],
      ],
      [
        [1, 5.3],
        [5, 5.015],
      ],
    ] as const;
    // 160 mm of lines, less where the second comes within 1 mm of the first: 0.05 m of the 0.285 m that it falls.
    expect(drawn(beside)).toBeLessThan(151);
    expect(drawn(beside)).toBeGreaterThan(140);
  });
});

describe("depth bands", () => {
  /** CIE L* of an sRGB grey (IEC 61966-2-1, CIE 15). */
  const lightness = (grey: number): number => {
    const c = grey / 255;
    const y = c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
    return y > 216 / 24389 ? 116 * Math.cbrt(y) - 16 : (24389 / 27) * y;
  };

  test("no two of the first twelve look alike, and at most three greys are used", () => {
    const looks = Array.from({ length: 12 }, (_, k) => JSON.stringify(bandLook(k + 1)));
    expect(new Set(looks).size).toBe(12);
    const tints = Array.from({ length: 12 }, (_, k) => bandLook(k + 1).tint).filter((tint) => tint !== undefined);
    expect(new Set(tints).size).toBe(3);
  });

  test("the greys of the stylesheet are at L* 62 or lighter, 12 apart, and black stands on them with 7:1", async () => {
    const { readFileSync } = await import("node:fs");
    const css = readFileSync(new URL("../../templates/styles/sheet.css", import.meta.url), "utf8");
    const greys = [...css.matchAll(/\.tint-\d \{ fill: #([0-9a-f]{2})\1\1;/g)].map(([, hex]) =>
      Number.parseInt(hex as string, 16),
    );
    expect(greys).toHaveLength(3);
    const steps = [100, ...greys.map(lightness)];
    for (let k = 1; k < steps.length; k++) expect(steps[k - 1]! - steps[k]!).toBeGreaterThanOrEqual(k === 1 ? 9 : 12);
    expect(steps.at(-1)).toBeGreaterThanOrEqual(62);
    const y = ((steps.at(-1)! + 16) / 116) ** 3;
    expect((y + 0.05) / 0.05).toBeGreaterThanOrEqual(7);
  });
});

describe("tiles", () => {
  test("cuts are as few as can be, and the best of all by trial of every pair", () => {
    const obstructions = [
      { from: 0, to: 9, cost: 10 },
      { from: 11, to: 19.5, cost: 10 },
      { from: 13, to: 14, cost: 40 },
      { from: 20.5, to: 31, cost: 10 },
    ];
    const cuts = cutRange(0, 30, 12, obstructions);
    expect(cuts).toHaveLength(2);
    const cost = (at: number): number =>
      obstructions.reduce((sum, o) => sum + (o.from < at && at < o.to ? o.cost : 0), 0);
    expect(cost(cuts[0]!)).toBe(0);
    expect(cost(cuts[1]!)).toBe(0);
    expect(cuts[0]).toBeLessThanOrEqual(12);
    expect(30 - cuts[1]!).toBeLessThanOrEqual(12);
  });

  test("whatever is in the way, no part is too long", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 300, noNaN: true }),
        fc.double({ min: 3, max: 60, noNaN: true }),
        (size, most) => {
          const ends = [0, ...cutRange(0, size, most, []), size];
          for (let k = 1; k < ends.length; k++) expect(ends[k]! - ends[k - 1]!).toBeLessThanOrEqual(most + 1e-9);
          expect(ends.length - 1).toBeLessThanOrEqual(Math.ceil(size / most - 1e-9) + 1);
        },
      ),
      { seed: 5, numRuns: 60 },
    );
  });

  test("every pin lies on exactly one tile, and no match line runs through a door", () => {
    const whole = { minX: -0.5, minY: -0.5, maxX: 11.5, maxY: 12.1 };
    const tiles = tileFloor(findings.plan, whole, 7, 7, 0.5);
    expect(tiles.length).toBeGreaterThanOrEqual(4);
    for (const { at } of findings.plan.pins) {
      const holding = tiles.filter(
        ({ window }) => at.x > window.minX && at.x < window.maxX && at.y > window.minY && at.y < window.maxY,
      );
      expect(holding).toHaveLength(1);
    }
    const cuts = new Set(tiles.flatMap(({ window }) => [window.maxX]).filter((x) => x < whole.maxX));
    for (const door of findings.plan.floors.flatMap(({ doors }) => doors)) {
      const xs = door.jambs.map(({ x }) => x);
      for (const cut of cuts) expect(cut > Math.min(...xs) && cut < Math.max(...xs)).toBe(false);
    }
  });
});

describe("scale", () => {
  test("a length on the floor comes out at the scale's ratio, north up", () => {
    const projection = projectionOf({ ratio: 48, text: "" }, { minX: 2, minY: 1, maxX: 10, maxY: 9 }, 5, 7);
    expect(projection.toPaper(point(2, 9))).toEqual({ x: 5, y: 7 });
    // 12 ft at 1/4 in to the foot are 3 in [calculated].
    expect(projection.lengthOnPaper(12 * 0.3048)).toBeCloseTo(76.2, 9);
    expect(projection.toPaper(point(2, 8)).y).toBeGreaterThan(7);
  });

  test("scales come largest drawing first, each named with its ratio", () => {
    for (const unit of ["m", "ft-in"] as const) {
      const ratios = scalesFor(unit).map(({ ratio }) => ratio);
      expect(ratios).toEqual([...ratios].sort((p, q) => p - q));
      for (const { ratio, text } of scalesFor(unit)) {
        expect(text.replaceAll("\u00a0", "").startsWith(`1:${ratio}`)).toBe(true);
        // 1/4 in = 1 ft is 1:48 [calculated].
        const named = /(?:(\d+) )?(?:(\d+)\/(\d+) )?in = (\d+) ft/.exec(text);
        if (!named) continue;
        const inches = Number(named[1] ?? 0) + (named[2] ? Number(named[2]) / Number(named[3]) : 0);
        expect((Number(named[4]) * 12) / inches).toBe(ratio);
      }
    }
  });
});
