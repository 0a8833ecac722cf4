import { describe, expect, it } from "vitest";
import {
  cutFloor,
  directionAt,
  emptyCut,
  offsetsOfFloor,
  pointOnLine,
  readingsUnder,
} from "../../src/conformity/floor-profiles.ts";
import { SETTLED_MM, searchFloor } from "../../src/conformity/floor-straightedge.ts";
import type { EdgeTask } from "../../src/conformity/lay-edge.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { bruteForceGap } from "./brute-force-edge.ts";
import { gridFloor, levelAt } from "./made-floor.ts";

const task = (more: Partial<EdgeTask> = {}): EdgeTask => ({
  length: 2,
  contact: "between-contacts",
  limit: 3,
  firstDirection: 0,
  step: 0.1524,
  greatestPlaces: 300_000,
  ...more,
});
const grid = { columns: 13, rows: 11, spacing: 0.3 };
const waves = (x: number, y: number) => 4 * Math.sin(1.9 * x) * Math.cos(1.3 * y) + 1.5 * Math.sin(4 * x + 3 * y);

describe("profiles cut from a floor", () => {
  it("have the floor's level at every sample and between them, at any angle", () => {
    const floor = gridFloor({ ...grid, turn: 0.37, move: [-3, 8] }, waves);
    const random = randomFrom(3);
    for (let n = 0; n < 40; n++) {
      const direction = directionAt(Math.PI * random.uniform());
      const { least, greatest } = offsetsOfFloor(floor, direction);
      const offset = least + (greatest - least) * random.uniform();
      cutFloor(floor, direction, offset, emptyCut(), (cut) => {
        for (let k = 1; k < cut.count; k++) {
          expect(cut.alongM[k]).toBeGreaterThanOrEqual(cut.alongM[k - 1]!);
          const along = (cut.alongM[k]! + cut.alongM[k - 1]!) / 2;
          const at = pointOnLine(direction, offset, along);
          expect(levelAt(floor, at.x, at.y)).toBeCloseTo((cut.levelMm[k]! + cut.levelMm[k - 1]!) / 2, 6);
        }
      });
    }
  });

  it("along a row of readings, through every vertex, are whole at both rims of the floor", () => {
    const floor = gridFloor(grid, waves);
    for (const offset of [0.000001, 0.3, 1.5, 3]) {
      const lengths: number[] = [];
      cutFloor(floor, directionAt(0), offset, emptyCut(), (cut) =>
        lengths.push(cut.alongM[cut.count - 1]! - cut.alongM[0]!),
      );
      expect(lengths).toEqual([expect.closeTo(3.6, 9)]);
    }
  });

  it("stop at an opening: strips add up to the floor's area, the opening left out", () => {
    const holes = [
      [4, 4],
      [5, 4],
      [4, 5],
    ] as const;
    const floor = gridFloor({ ...grid, holes, turn: 1.1 }, () => 0);
    for (const angle of [0, 0.3, 1.1, 2]) {
      const direction = directionAt(angle);
      const { least, greatest } = offsetsOfFloor(floor, direction);
      const strips = 2000;
      let area = 0;
      for (let k = 0; k < strips; k++) {
        const offset = least + ((greatest - least) * (k + 0.5)) / strips;
        cutFloor(floor, direction, offset, emptyCut(), (cut) => {
          area += ((cut.alongM[cut.count - 1]! - cut.alongM[0]!) * (greatest - least)) / strips;
        });
      }
      expect(area).toBeCloseTo((12 * 10 - 3) * 0.09, 2);
    }
  });

  it("run on over a break line with a vertical step in them", () => {
    const floor = gridFloor({ ...grid, stepAtColumn: 6 }, (_x, _y, east) => (east ? 5 : 0));
    // East of the line only its own vertices stand at 5: the floor falls back to 0 over one cell.
    let stretches = 0;
    cutFloor(floor, directionAt(0), 1.01, emptyCut(), (cut) => {
      stretches++;
      const at = [...cut.alongM.subarray(0, cut.count)].findIndex(
        (s, k) => Math.abs(s - 1.8) < 1e-9 && cut.levelMm[k]! > 4,
      );
      expect(cut.levelMm[at - 1]).toBeCloseTo(0, 9);
      expect(cut.levelMm[at]).toBeCloseTo(5, 9);
    });
    expect(stretches).toBe(1);
  });
});

describe("readings under an edge", () => {
  const countAt = (spacing: number, offset: number, angle = 0): number => {
    const floor = gridFloor({ columns: 12, rows: 12, spacing }, () => 0);
    let count = -1;
    cutFloor(floor, directionAt(angle), offset, emptyCut(), (cut) => {
      const middle = (cut.alongM[0]! + cut.alongM[cut.count - 1]!) / 2;
      count = readingsUnder(cut, middle - 1.0001, middle + 1.0001);
    });
    return count;
  };
  it("are those of one row, not of the two rows that the edge lies between", () => {
    expect(countAt(0.5, 2.5)).toBeLessThanOrEqual(5);
    expect(countAt(0.5, 2.5)).toBeGreaterThanOrEqual(4);
    expect(countAt(0.5, 2.75)).toBeLessThanOrEqual(5);
    expect(countAt(0.5, 2.75)).toBeGreaterThanOrEqual(4);
  });
  it("are fewer along a diagonal, where readings stand √2 farther apart", () => {
    expect(countAt(0.5, 0, Math.PI / 4)).toBeLessThanOrEqual(3);
  });
});

describe("an edge everywhere on a floor", () => {
  it("finds the depth of a lone dip and the rock over a lone bump", () => {
    const dip = searchFloor(
      gridFloor(grid, (x, y) => (Math.hypot(x - 1.8, y - 1.5) < 0.1 ? -4 : 0)),
      task(),
    );
    expect(dip.worst!.gap).toBeCloseTo(4, 4);
    expect(dip.worst!.gapAt.x).toBeCloseTo(1.8, 4);
    expect(dip.worst!.gapAt.y).toBeCloseTo(1.5, 4);
    expect(dip.settled).toBe(true);
    expect(dip.over).toHaveLength(1);
    // Over a bump of 4 mm with feet 0.3 m off, the top just off the middle: 4·(1 − 0.3)/1 at the foot.
    const bump = searchFloor(
      gridFloor(grid, (x, y) => (Math.hypot(x - 1.8, y - 1.5) < 0.1 ? 4 : 0)),
      task(),
    );
    expect(bump.worst!.gap).toBeGreaterThanOrEqual(4 * 0.7 - 1e-6);
    expect(bump.worst!.contacts.some(({ x, y }) => Math.hypot(x - 1.8, y - 1.5) < 0.01)).toBe(true);
    expect(Math.max(...bump.worst!.aboveFit.contacts)).toBeGreaterThan(-bump.worst!.aboveFit.gap);
  });

  it("lies true on a sloping plane, and does not see a tilt", () => {
    expect(
      searchFloor(
        gridFloor(grid, (x, y) => 12 * x - 7 * y),
        task(),
      ).worst!.gap,
    ).toBeCloseTo(0, 9);
    const plain = searchFloor(gridFloor(grid, waves), task()).worst!.gap;
    const tilted = searchFloor(
      gridFloor(grid, (x, y) => waves(x, y) + 12 * x - 7 * y + 500),
      task(),
    ).worst!.gap;
    expect(tilted).toBeCloseTo(plain, 6);
  });

  it("at the place that it names the slow way finds the same gap, and nowhere a greater one", () => {
    const floor = gridFloor(grid, waves);
    const { worst, settled } = searchFloor(floor, task());
    expect(settled).toBe(true);
    const slow = (a: { x: number; y: number }, b: { x: number; y: number }): number | undefined => {
      const samples = Array.from({ length: 81 }, (_, k) => {
        const [x, y] = [a.x + ((b.x - a.x) * k) / 80, a.y + ((b.y - a.y) * k) / 80];
        return { s: k * 0.025, h: levelAt(floor, x, y) };
      });
      if (samples.some(({ h }) => h === undefined)) return undefined;
      return bruteForceGap(samples as { s: number; h: number }[], 0, 2).gap;
    };
    const [from, to] = worst!.ends;
    expect(Math.hypot(to.x - from.x, to.y - from.y)).toBeCloseTo(2, 9);
    const again = slow(
      { x: from.x + 1e-9 * (to.x - from.x), y: from.y + 1e-9 * (to.y - from.y) },
      { x: to.x - 1e-9 * (to.x - from.x), y: to.y - 1e-9 * (to.y - from.y) },
    );
    expect(Math.abs(again! - worst!.gap)).toBeLessThan(0.1);
    const random = randomFrom(11);
    let greatest = 0;
    for (let n = 0; n < 250; n++) {
      const angle = Math.PI * random.uniform();
      const [x, y] = [3.6 * random.uniform(), 3 * random.uniform()];
      const end = { x: x + 2 * Math.cos(angle), y: y + 2 * Math.sin(angle) };
      greatest = Math.max(greatest, slow({ x, y }, end) ?? 0);
    }
    expect(greatest).toBeGreaterThan(worst!.gap / 2);
    expect(worst!.gap).toBeGreaterThanOrEqual(greatest - SETTLED_MM);
  });

  it("gives the same turned and moved, to what its search settles to", () => {
    const plain = searchFloor(gridFloor(grid, waves), task());
    for (const turn of [0.2, 1, 2.5]) {
      const other = searchFloor(gridFloor({ ...grid, turn, move: [40, -7] }, waves), task({ firstDirection: turn }));
      expect(other.worst!.gap).toBeCloseTo(plain.worst!.gap, 3);
      const across = searchFloor(gridFloor({ ...grid, turn, move: [40, -7] }, waves), task());
      expect(Math.abs(across.worst!.gap - plain.worst!.gap)).toBeLessThan(2 * SETTLED_MM);
    }
  });

  it("the weights of the readings give the gap back", () => {
    const floor = gridFloor(grid, waves);
    for (const contact of ["between-contacts", "whole-edge"] as const) {
      const { worst } = searchFloor(floor, task({ contact }));
      const sum = [...worst!.weights].reduce((total, [vertex, weight]) => total + weight * floor.levelMm[vertex]!, 0);
      expect(sum).toBeCloseTo(worst!.gap, 6);
      expect([...worst!.weights.values()].reduce((a, b) => a + b, 0)).toBeCloseTo(0, 9);
    }
  });

  it("a crown shows only where the gap past the contacts counts", () => {
    // 1 mm at 1 m in flats of 0.1 m: the edge lies on a flat, its middle over the flat's end, and its
    // far end is 1.05 m from where the flat touches the parabola's tangent: 1.05² − 0.05² mm.
    const crown = gridFloor({ columns: 41, rows: 5, spacing: 0.1 }, (x) => -((x - 2) ** 2));
    expect(searchFloor(crown, task({ contact: "between-contacts" })).worst!.gap).toBeLessThan(0.02);
    expect(searchFloor(crown, task({ contact: "whole-edge" })).worst!.gap).toBeCloseTo(1.1, 3);
  });

  it("does not bridge an opening", () => {
    // Two floors of 1.2 m on either side of an opening over the whole width but for a strip of one cell.
    const holes = [0, 1, 2, 3, 4, 5, 6, 7].map((row) => [5, row] as const);
    const deep = (x: number) => (x < 1.4 ? 0 : -30 * (x - 1.4));
    const open = searchFloor(gridFloor({ ...grid, holes }, deep), task({ length: 2.4 }));
    for (const { x, y } of open.worst!.ends) expect(x < 1.5 + 1e-6 || x > 1.8 - 1e-6 || y > 2.4 - 1e-6).toBe(true);
    const [a, b] = open.worst!.ends;
    const crossing = (1.65 - a.x) / (b.x - a.x);
    if (crossing > 0 && crossing < 1) expect(a.y + crossing * (b.y - a.y)).toBeGreaterThan(2.4 - 1e-6);
  });

  it("counts shares over what it could decide; five diagonals of a cell in an edge decide everywhere", () => {
    const fine = { ...grid, spacing: 2 / (5 * Math.SQRT2) };
    const { shareWithin, decided, places } = searchFloor(gridFloor(fine, waves), task({ limit: 100, most: 1 }));
    expect(decided).toBe(places);
    expect(shareWithin!.limit).toBe(1);
    expect(shareWithin!.most).toBeGreaterThan(0);
    expect(shareWithin!.most).toBeLessThan(1);
  });
});

describe("what cannot be decided", () => {
  it("fewer than five readings under the edge: pins 2 m apart say nothing of a 3 m edge", () => {
    const found = searchFloor(gridFloor({ columns: 6, rows: 5, spacing: 2 }, waves), task({ length: 3.048 }));
    expect(found.places).toBeGreaterThan(100);
    expect(found.decided).toBe(0);
    expect(found.worst).toBeUndefined();
    expect(found.shareWithin).toBeUndefined();
  });
  it("an edge longer than the floor fits nowhere", () => {
    expect(searchFloor(gridFloor(grid, waves), task({ length: 6 })).places).toBe(0);
  });
  it("levels that nobody read are not leaned on", () => {
    const rim = (x: number, y: number) => x > 0.1 && x < 3.5 && y > 0.1 && y < 2.9;
    const floor = gridFloor(grid, (x, y) => (rim(x, y) ? 0 : 40), rim);
    const { worst, decided, places } = searchFloor(floor, task());
    expect(worst!.gap).toBeCloseTo(0, 9);
    expect(decided).toBeGreaterThan(0);
    expect(decided).toBeLessThan(places);
  });
});
