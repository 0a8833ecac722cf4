/**
 * DIN 18202 Table 3 as two test houses and a trade handbook publish it; the columns 0.6, 1.5, 2.5, 3
 * and 3.5 m are those of the handbook alone (Handbuch für das Estrich- und
 * Belaggewerbe, Zentralverband Deutsches Baugewerbe, extended Table 3).
 */
import { describe, expect, it } from "vitest";
import { aboveNeighbours, dinLimit, gapsBetweenHighPoints, triplesOfRow } from "../../src/conformity/din.ts";
import type { FloorRow } from "../../src/job/contract-model.ts";

const distances = [0.1, 0.6, 1, 1.5, 2, 2.5, 3, 3.5, 4, 6, 8, 10, 15];
const published: Record<FloorRow, number[]> = {
  unfinished: [10, 13, 15, 16, 17, 18, 18, 19, 20, 22, 23, 25, 30],
  "for-screed-or-tile-bed": [5, 7, 8, 9, 9, 10, 11, 12, 12, 13, 14, 15, 20],
  finished: [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 11, 12, 15],
  "finished-increased": [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 15],
};

describe("the limits", () => {
  it("give the published table back, but for one cell", () => {
    const differing: string[] = [];
    for (const [row, limits] of Object.entries(published) as [FloorRow, number[]][]) {
      for (const [k, distance] of distances.entries()) {
        if (dinLimit(row, distance) !== limits[k]) differing.push(`${row} ${distance}`);
      }
    }
    // 8 + 4·(2.5/3) = 11.33, where the handbook prints 12.
    expect(differing).toEqual(["for-screed-or-tile-bed 3.5"]);
  });
  it("round a half up, and hold beyond the ends of the table", () => {
    expect(dinLimit("unfinished", 2.5)).toBe(18);
    expect(dinLimit("finished", 0.05)).toBe(2);
    expect(dinLimit("finished", 40)).toBe(15);
  });
});

describe("three readings in a row", () => {
  it("are all that stand evenly, near and far, up to the longest distance", () => {
    const triples = triplesOfRow([0, 1, 2, 3, 4], [10, 11, 12, 13, 14], 15);
    expect(triples.map(({ before, middle, after, distance }) => [before, middle, after, distance])).toEqual([
      [10, 11, 12, 2],
      [11, 12, 13, 2],
      [10, 12, 14, 4],
      [12, 13, 14, 2],
    ]);
    expect(triplesOfRow([0, 1, 2, 3, 4], [0, 1, 2, 3, 4], 3)).toHaveLength(3);
  });
  it("pass over a reading that is missing", () => {
    expect(triplesOfRow([0, 1, 3, 4, 5], [0, 1, 2, 3, 4], 15)).toEqual([
      { before: 1, middle: 2, after: 4, distance: 4 },
      { before: 2, middle: 3, after: 4, distance: 2 },
    ]);
  });
  it("the middle against the mean of its neighbours", () => {
    expect(aboveNeighbours({ before: 0, middle: 1, after: 2, distance: 2 }, [4, 1, 6])).toBe(-4);
  });
});

describe("between high points", () => {
  const profile = (levels: number[]) => ({
    alongM: Float64Array.from(levels, (_, k) => k),
    levelMm: Float64Array.from(levels),
    count: levels.length,
  });
  it("every pair that a straight line joins over the floor", () => {
    const gaps = gapsBetweenHighPoints(profile([0, -3, -1, -5, 0]), 15);
    expect(gaps.map(({ from, to, low, gap }) => [from, to, low, gap])).toEqual([
      [0, 2, 1, 2.5],
      [0, 4, 3, 5],
      [2, 4, 3, 4.5],
    ]);
  });
  it("a crown has none", () => {
    expect(gapsBetweenHighPoints(profile([-4, -1, 0, -1, -4]), 15)).toEqual([]);
  });
});
