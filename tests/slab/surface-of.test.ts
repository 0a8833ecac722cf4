import { describe, expect, it } from "vitest";
import { meshIntegral } from "../../src/geometry/level.ts";
import { type Point, type Polygon, point } from "../../src/geometry/point.ts";
import { polygonContains } from "../../src/geometry/polygon.ts";
import type { Door } from "../../src/job/model.ts";
import type { Plan, PlanPoint } from "../../src/layout/model.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { beyondHulls } from "../../src/slab/beyond-readings.ts";
import { levelAt, levelFinder } from "../../src/slab/level-at.ts";
import { surfaceOf } from "../../src/slab/surface-of.ts";
import type { Levels, PointLevel } from "../../src/survey/model.ts";
import { grid, motion, moved, rectangle, ring, room } from "../geometry/made-floors.ts";

const planOf = (polygons: readonly Polygon[], more: { points?: PlanPoint[]; doors?: Door[] } = {}): Plan => ({
  floors: polygons.map((polygon, k) => ({
    roomId: `room-${k}`,
    name: `Room ${k}`,
    polygon,
    walls: [],
    obstacles: [],
    doors: k === 0 ? (more.doors ?? []) : [],
  })),
  gridLines: [],
  points: more.points ?? [],
  pins: [],
});

const read = (at: readonly Point[], level: (p: Point) => number, roomIndex = 0): PointLevel[] =>
  at.map((p, k) => ({ id: `${"ABC"[roomIndex]}${k}`, at: p, roomIndex, level: level(p), sd: 0.5, timesRead: 1 }));

const levelsOf = (...points: PointLevel[][]): Levels => ({ points: points.flat(), unchecked: true });

function surface(plan: Plan, levels: Levels) {
  const made = surfaceOf(plan, levels);
  if (made.kind !== "ready") throw new Error(JSON.stringify(made));
  return made;
}

const hall = room(rectangle(0, 0, 12, 9), rectangle(5, 4, 5.4, 4.4).reverse());
const hallGrid = grid(0.6, 0.6, 11.9, 8.9, 1.83);
const bumpy = (p: Point) => -12 + 4 * Math.sin(p.x / 2) * Math.cos(p.y / 3) + 0.3 * p.x;

describe("the surface", () => {
  it("passes through every reading", () => {
    const levels = levelsOf(read(hallGrid, bumpy));
    const { value: slab, warnings } = surface(planOf([hall]), levels);
    expect(warnings).toEqual([]);
    levels.points.forEach((p, k) => {
      const v = slab.vertexOfPoint[k]!;
      expect(slab.levelMm[v]).toBe(p.level);
      expect(slab.wasRead[v]).toBe(1);
      expect([slab.mesh.xM[v], slab.mesh.yM[v]]).toEqual([expect.closeTo(p.at.x, 9), expect.closeTo(p.at.y, 9)]);
    });
    expect(slab.wasRead.reduce((sum, one) => sum + one, 0)).toBe(levels.points.length);
    expect(slab.area).toBeCloseTo(108 - 0.16, 9);
  });

  it("carries a level floor and a tilted one to the walls unchanged", () => {
    for (const [east, north] of [
      [0, 0],
      [2, -3],
    ] as const) {
      const plane = (p: Point) => -7 + east * p.x + north * p.y;
      const { value: slab } = surface(planOf([hall]), levelsOf(read(hallGrid, plane)));
      slab.levelMm.forEach((level, v) => {
        expect(level).toBeCloseTo(plane({ x: slab.mesh.xM[v]!, y: slab.mesh.yM[v]! }), 9);
      });
      // ∫ plane = area × level at the centroid; the column's middle is at (5.2, 4.2).
      const due = 108 * plane({ x: 6, y: 4.5 }) - 0.16 * plane({ x: 5.2, y: 4.2 });
      expect(meshIntegral(slab.mesh, slab.levelMm)).toBeCloseTo(due, 7);
      expect(slab.leaveOneOutSd).toBeCloseTo(0, 9);
    }
  });

  it("has vertices along walls no farther apart than readings usually are, and at door jambs and unread points", () => {
    const door = { jambs: [point(12, 3.1), point(12, 4)] } as unknown as Door;
    const unread: PlanPoint = { id: "Z9", at: point(3.3, 2.2), roomIndex: 0, kind: "grid" };
    const { value: slab } = surface(
      planOf([hall], { doors: [door], points: [unread] }),
      levelsOf(read(hallGrid, bumpy)),
    );
    const onEast = Array.from(slab.mesh.xM, (x, v) => (x === 12 ? slab.mesh.yM[v]! : Number.NaN))
      .filter((y) => !Number.isNaN(y))
      .sort((a, b) => a - b);
    expect(onEast).toContain(3.1);
    expect(onEast).toContain(4);
    const spacing = Math.sqrt(slab.area / hallGrid.length);
    for (let k = 1; k < onEast.length; k++) expect(onEast[k]! - onEast[k - 1]!).toBeLessThanOrEqual(spacing);
    const there = [...slab.mesh.xM.keys()].find((v) => slab.mesh.xM[v] === 3.3 && slab.mesh.yM[v] === 2.2);
    expect(there).toBeDefined();
    expect(slab.wasRead[there!]).toBe(0);
    expect(slab.levelMm[there!]).toBeCloseTo(bumpy(unread.at), 0);
  });

  it("keeps volume and levels when the plan is turned and moved", () => {
    const random = randomFrom(4);
    const noise = hallGrid.map(() => random.normal());
    const levels = hallGrid.map((p, k) => bumpy(p) + noise[k]!);
    const plain = surface(
      planOf([hall]),
      levelsOf(read(hallGrid, () => 0).map((p, k) => ({ ...p, level: levels[k]! }))),
    ).value;
    for (const turn of [0.3, Math.PI / 2, 2.4, 4.1]) {
      const move = motion(turn, 40 * turn, -70);
      const points = read(hallGrid.map(move), () => 0).map((p, k) => ({ ...p, level: levels[k]! }));
      const turned = surface(planOf([moved(hall, move)]), levelsOf(points)).value;
      expect(meshIntegral(turned.mesh, turned.levelMm)).toBeCloseTo(meshIntegral(plain.mesh, plain.levelMm), 6);
      expect(turned.extrapolatedArea).toBeCloseTo(plain.extrapolatedArea, 9);
      expect(turned.smoothing).toBe(plain.smoothing);
    }
  });

  it("comes out the same, to the last digit, when made again", () => {
    const levels = levelsOf(read(hallGrid, bumpy));
    const [one, two] = [surface(planOf([hall]), levels).value, surface(planOf([hall]), levels).value];
    expect(two.levelMm).toEqual(one.levelMm);
    expect(two.mesh.corners).toEqual(one.mesh.corners);
  });
});

describe("rooms", () => {
  const low = room(rectangle(12, 3, 15, 6));
  const lowGrid = grid(12.4, 3.4, 14.9, 5.9, 1);

  it("a sunk room does not pull its neighbour's walls down", () => {
    const levels = levelsOf(
      read(hallGrid, () => -5),
      read(lowGrid, () => -45, 1),
    );
    const { value: slab } = surface(planOf([hall, low]), levels);
    slab.levelMm.forEach((level, v) => {
      const x = slab.mesh.xM[v]!;
      if (x < 12) expect(level).toBeCloseTo(-5, 9);
      if (x > 12) expect(level).toBeCloseTo(-45, 9);
    });
  });

  it("one without readings of its own takes its levels from the others, with a warning that names it", () => {
    const plane = (p: Point) => 3 - 2 * p.x + p.y;
    const { value: slab, warnings } = surface(planOf([hall, low]), levelsOf(read(hallGrid, plane)));
    expect(warnings.map(({ code }) => code)).toEqual(["room-without-own-surface"]);
    expect(warnings[0]!.message).toContain("room-1");
    slab.levelMm.forEach((level, v) => {
      expect(level).toBeCloseTo(plane({ x: slab.mesh.xM[v]!, y: slab.mesh.yM[v]! }), 8);
    });
    expect(slab.readHulls[1]).toEqual([]);
  });
});

describe("the share beyond the readings", () => {
  it("is the floor outside the hull of the room's own readings", () => {
    // Hull from (1, 1) to (9, 5) in a room of 10 × 6.
    const { value: slab } = surface(planOf([room(rectangle(0, 0, 10, 6))]), levelsOf(read(grid(1, 1, 9, 5, 1), bumpy)));
    expect(slab.extrapolatedArea).toBeCloseTo(1 - 32 / 60, 9);
    expect(slab.readHull.length).toBe(4);
  });

  it("is room by room: a wall between two rooms lies beyond the readings of both", () => {
    const two = [room(rectangle(0, 0, 4, 4)), room(rectangle(4.1, 0, 8.1, 4))];
    const levels = levelsOf(read(grid(1, 1, 3, 3, 1), bumpy), read(grid(5.1, 1, 7.1, 3, 1), bumpy, 1));
    const { value: slab } = surface(planOf(two), levels);
    expect(slab.extrapolatedArea).toBeCloseTo(1 - 8 / 32, 9);
  });

  it("has the volume that is missing from the hull, clipped or not", () => {
    const floor = room(rectangle(0, 0, 10, 6));
    const { value: slab } = surface(planOf([floor]), levelsOf(read(grid(1, 1, 9, 5, 1), (p) => p.x - 4)));
    // Level x − 4 over the rim: ∫ over the room less ∫ over the hull, by hand.
    const whole = beyondHulls(slab.mesh, slab.levelMm, -100, slab.readHulls);
    expect(whole.integral - 100 * whole.area).toBeCloseTo(60 * 1 - 32 * 1, 7);
    // Clipped at zero: from x = 4 on, ½·6² · 6 over the room, ½·5² · 4 over the hull.
    expect(beyondHulls(slab.mesh, slab.levelMm, 0, slab.readHulls).integral).toBeCloseTo(108 - 50, 7);
  });
});

describe("the level at a place", () => {
  it("is straight between vertices, and the reading at one", () => {
    const levels = levelsOf(read(hallGrid, bumpy));
    const { value: slab } = surface(planOf([hall]), levels);
    const find = levelFinder(slab);
    for (const p of levels.points) expect(levelAt(slab, p.at)).toBeCloseTo(p.level, 9);
    const [a, b] = [levels.points[0]!, levels.points[1]!];
    expect(find(point((a.at.x + b.at.x) / 2, a.at.y))).toBeCloseTo((a.level + b.level) / 2, 9);
    expect(find(point(5.2, 4.2))).toBeUndefined();
    expect(find(point(13, 4))).toBeUndefined();
    expect(find(point(12, 9))).toBeDefined();
  });
});

describe("too little to go on is refused", () => {
  const codes = (made: ReturnType<typeof surfaceOf>) =>
    made.kind === "refused" ? made.problems.map(({ code }) => code) : made.kind;

  it.each([0, 1, 2])("%d readings", (count) => {
    const made = surfaceOf(planOf([hall]), levelsOf(read(hallGrid.slice(0, count), bumpy)));
    expect(codes(made)).toEqual(["too-few-readings"]);
  });

  it("readings on one line, straight or nearly", () => {
    expect(codes(surfaceOf(planOf([hall]), levelsOf(read(hallGrid.slice(0, 6), bumpy))))).toEqual([
      "readings-on-a-line",
    ]);
    const nearly = [point(1, 1), point(4, 2.0005), point(7, 3), point(10, 4)];
    expect(codes(surfaceOf(planOf([hall]), levelsOf(read(nearly, bumpy))))).toEqual(["readings-on-a-line"]);
  });

  it("a level that is no number, by the name of its point", () => {
    const levels = read(hallGrid, bumpy).map((p, k) => (k === 7 ? { ...p, level: Number.NaN } : p));
    const made = surfaceOf(planOf([hall]), levelsOf(levels));
    expect(made.kind === "refused" && made.problems[0]!.message).toContain("A7");
  });

  it("a point off the floor, by its name", () => {
    const made = surfaceOf(planOf([hall]), levelsOf(read([...hallGrid, point(5.2, 4.2)], bumpy)));
    expect(codes(made)).toEqual(["point-off-the-floor"]);
    expect(made.kind === "refused" && made.problems[0]!.message).toContain(`A${hallGrid.length}`);
  });

  it("rooms that overlap", () => {
    const made = surfaceOf(planOf([hall, room(rectangle(11, 1, 14, 3))]), levelsOf(read(hallGrid, bumpy)));
    expect(codes(made)).toEqual(["floor-cannot-be-triangulated"]);
  });
});

describe("what the office should look at", () => {
  it("two points at one place: the mean of both, and their names", () => {
    const twice: PointLevel = { id: "X1", at: hallGrid[3]!, roomIndex: 0, level: -20, sd: 1, timesRead: 1 };
    const levels = levelsOf(
      read(hallGrid, () => -10),
      [twice],
    );
    const { value: slab, warnings } = surface(planOf([hall]), levels);
    expect(slab.levelMm[slab.vertexOfPoint[3]!]).toBe(-15);
    expect(slab.vertexOfPoint[hallGrid.length]).toBe(slab.vertexOfPoint[3]);
    expect(warnings.map(({ code }) => code)).toEqual(["points-at-one-place"]);
    expect(warnings[0]!.message).toMatch(/A3 and X1/);
  });

  it("a part of the floor that was not read", () => {
    const half = hallGrid.filter((p) => p.x < 4);
    const { warnings } = surface(planOf([hall]), levelsOf(read(half, bumpy)));
    expect(warnings.map(({ code }) => code)).toEqual(["far-from-readings"]);
  });

  it("nothing, on a grid of 6 ft in an L with the grid's last row short of the walls", () => {
    const shape = room(ring([0, 0], [14, 0], [14, 4.2], [6, 4.2], [6, 10.1], [0, 10.1]));
    const points = grid(0.6, 0.6, 13.99, 10, 1.83).filter((p) => polygonContains(shape, p));
    expect(surface(planOf([shape]), levelsOf(read(points, bumpy))).warnings).toEqual([]);
  });
});

describe("few readings", () => {
  it("three make a plane", () => {
    const plane = (p: Point) => 4 - p.x + 2 * p.y;
    const { value: slab } = surface(planOf([hall]), levelsOf(read([point(1, 1), point(11, 2), point(6, 8)], plane)));
    expect(slab.leaveOneOutSd).toBeUndefined();
    slab.levelMm.forEach((level, v) => {
      expect(level).toBeCloseTo(plane({ x: slab.mesh.xM[v]!, y: slab.mesh.yM[v]! }), 8);
    });
  });

  it("six or more have a leave-one-out spread near the noise, where the slab is a plane", () => {
    const random = randomFrom(8);
    const { value: slab } = surface(planOf([hall]), levelsOf(read(hallGrid, () => random.normal())));
    expect(slab.leaveOneOutSd).toBeGreaterThan(0.7);
    expect(slab.leaveOneOutSd).toBeLessThan(1.5);
    expect(slab.smoothing).toBeGreaterThan(1);
  });

  it("two rows along a corridor, and a row along it with another room's readings, both come out", () => {
    const corridor = room(rectangle(0, 0, 20, 1.5));
    const rows = [...grid(0.5, 0.4, 19.6, 0.5, 1.8), ...grid(0.5, 1.1, 19.6, 1.2, 1.8)];
    expect(surface(planOf([corridor]), levelsOf(read(rows, bumpy))).warnings).toEqual([]);
    const one = surface(
      planOf([corridor, room(rectangle(0, 1.6, 6, 6))]),
      levelsOf(read(grid(0.5, 0.7, 19.6, 0.8, 1.8), bumpy), read(grid(0.5, 2, 5.9, 5.9, 1.5), bumpy, 1)),
    );
    expect(one.warnings.map(({ code }) => code)).toContain("room-without-own-surface");
    for (const level of one.value.levelMm) expect(Number.isFinite(level)).toBe(true);
  });
});
