import { describe, expect, it } from "vitest";
import { depthSurface, volumeFilled } from "../../src/depths/depth-surface.ts";
import type { Diagnostic } from "../../src/diagnostics.ts";
import { type Point, point } from "../../src/geometry/point.ts";
import { triangulateFloor } from "../../src/geometry/triangulate.ts";
import type { DrainTop } from "../../src/job/target-model.ts";
import type { Plan } from "../../src/layout/model.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { facetsOf } from "../../src/target/drain-falls.ts";
import { depthsUnder } from "../../src/target/least-plane.ts";
import { placeTarget } from "../../src/target/place-target.ts";
import { topAt } from "../../src/target/top-at.ts";
import { zoneFloor } from "../../src/target/zone-floor.ts";
import { door, gridMesh, jobWith, material, noLevels, planOf, slabOver } from "./floors.ts";

const stiff = { material: material({ name: "stiff mix", greatestFall: 20 }) };
const walls = { kind: "level", top: 0, zeroIsTop: true } as const;
const toDrain = (drain: Point, more: Partial<DrainTop>): DrainTop => ({
  kind: "falls-to-drain",
  walls,
  drain,
  ...more,
});

/** The plan of one room by its corners, with its walls. */
function roomOf(outline: readonly Point[]): Plan {
  const plan = planOf([{ x0: 0, y0: 0, x1: 1, y1: 1 }]);
  const names = outline.map((from, k) => ({
    number: k + 1,
    name: `wall ${k + 1}`,
    side: "south" as const,
    ordinal: k + 1,
    onlyOne: false,
    from,
    to: outline[(k + 1) % outline.length]!,
  }));
  return { ...plan, floors: [{ ...plan.floors[0]!, polygon: { outline, holes: [] }, walls: names }] };
}

const square = [point(0, 0), point(4, 0), point(4, 4), point(0, 4)];
/** A mesh whose lines do not run to the drain. */
const squareSlab = (level: (x: number, y: number) => number) =>
  slabOver(gridMesh([{ x0: 0, y0: 0, x1: 4, y1: 4 }], 0.7), level);

const placed = (spec: DrainTop, outline = square, level = (_x: number, _y: number) => -20) => {
  const slab = squareSlab(level);
  const outcome = placeTarget(jobWith(spec, stiff), roomOf(outline), noLevels, slab);
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return { target: outcome.value, slab };
};
const problemOf = (spec: DrainTop, more = {}, level = (_x: number, _y: number) => -20): Diagnostic => {
  const outcome = placeTarget(jobWith(spec, { ...stiff, ...more }), roomOf(square), noLevels, squareSlab(level));
  if (outcome.kind !== "refused") throw new Error(outcome.kind);
  return JSON.parse(JSON.stringify(outcome.problems[0]).replaceAll("\u00a0", " ").replaceAll("\u2212", "-"));
};

describe("a top that falls to a point drain", () => {
  it("over an even slab takes a pyramid off the level: its volume is a third of base by height", () => {
    const { target, slab } = placed(toDrain(point(1.7, 2.1), { drainTop: -15 }));
    // 20 mm over 16 m², less ⅓ · 16 m² · 15 mm.
    const volume = 20 * 16 - (16 * 15) / 3;
    expect(target.placements![0]!.volume).toBeCloseTo(volume, 8);
    expect(volumeFilled(depthSurface(slab, target, 1), 3)).toBeCloseTo(volume, 4);
    expect(topAt(target, 0, point(1.7, 2.1))).toBeCloseTo(-15, 12);
    for (const corner of square) expect(topAt(target, 0, corner)).toBe(0);
    // Half way from the drain to the east wall.
    expect(topAt(target, 0, point(2.85, 2.1))).toBeCloseTo(-7.5, 12);
  });

  it("by its least fall: the plane from the farthest wall falls just so, the others more", () => {
    const { target } = placed(toDrain(point(1.7, 2.1), { leastFall: 5 }));
    const falls = facetsOf(target.zones[0]!.drain!);
    // The east wall is 2.3 m away: 11.5 mm.
    expect(target.zones[0]!.drain!.drop).toBeCloseTo(11.5, 12);
    expect(falls.map(({ fall }) => fall)).toEqual(
      [11.5 / 2.1, 11.5 / 2.3, 11.5 / 1.9, 11.5 / 1.7].map((x) => expect.closeTo(x, 9)),
    );
  });

  it("fills what lies under the planes of any room that the drain sees all of, against a fine grid of columns", () => {
    const random = randomFrom(31);
    for (let trial = 0; trial < 12; trial++) {
      const corners = 5 + Math.floor(random.uniform() * 4);
      const drain = point(3, 3);
      const outline = Array.from({ length: corners }, (_, k) => {
        const angle = ((k + 0.6 * random.uniform()) / corners) * 2 * Math.PI;
        const out = 1.2 + 1.5 * random.uniform();
        return point(3 + out * Math.cos(angle), 3 + out * Math.sin(angle));
      });
      const inside = Array.from({ length: 40 }, () => point(6 * random.uniform(), 6 * random.uniform())).filter((at) =>
        isInside(at, outline),
      );
      const found = triangulateFloor([{ outline, holes: [] }], inside);
      if (found.kind === "failed") throw new Error(found.why);
      const level = (x: number, y: number): number => -30 + 4 * x - 3 * y;
      const slab = slabOver(found.mesh, level);
      const outcome = placeTarget(
        jobWith(toDrain(drain, { drainTop: -12 }), { material: material({ greatestFall: 1000 }) }),
        roomOf(outline),
        noLevels,
        slab,
      );
      if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
      let columns = 0;
      const step = 0.01;
      for (let x = step / 2; x < 6; x += step) {
        for (let y = step / 2; y < 6; y += step) {
          if (!isInside(point(x, y), outline)) continue;
          columns += Math.max(3, heightByRay(drain, outline, point(x, y)) - level(x, y)) * step ** 2;
        }
      }
      expect(outcome.value.placements![0]!.volume / columns).toBeCloseTo(1, 2);
    }
  });

  it("stays as high as along the walls in a doorway, and meets the next zone there level", () => {
    const rooms = [
      { x0: 0, y0: 0, x1: 4, y1: 4 },
      { x0: 4, y0: 0, x1: 6, y1: 4 },
    ];
    const between = door("D1", [4, 1], [4, 2], { joins: "r1", joinsRoom: true });
    const plan = planOf(rooms, [[between]]);
    const withWalls = {
      ...plan,
      floors: [{ ...plan.floors[0]!, walls: roomOf(square).floors[0]!.walls }, plan.floors[1]!],
    };
    const slab = slabOver(gridMesh(rooms, 0.7), () => -20);
    const spec = {
      kind: "zones" as const,
      zones: [
        {
          roomIds: ["r0"],
          top: toDrain(point(2, 2), { leastFall: 5 }),
          material: material({ id: "stiff", greatestFall: 20 }),
        },
        { roomIds: ["r1"], top: walls },
      ],
      meets: [],
    };
    const outcome = placeTarget(jobWith(spec), withWalls, noLevels, slab);
    if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
    expect(outcome.value.meets![0]!.how.kind).toBe("level");
    // The pyramid of 10 mm over 16 m², and 20 mm over both rooms.
    const { mesh, depthMm } = depthSurface(slab, outcome.value, 2);
    expect(volumeFilled({ mesh, depthMm }, 3)).toBeCloseTo(20 * 24 - (16 * 10) / 3, 4);
  });

  it("warns where nobody read the slab at the drain", () => {
    const at = (x: number, y: number) => ({
      id: "X1",
      at: point(x, y),
      roomIndex: 0,
      level: -20,
      sd: 0.5,
      timesRead: 1,
    });
    const warned = (points: readonly ReturnType<typeof at>[]) => {
      const spec = toDrain(point(2, 2), { leastFall: 5 });
      const levels = { points, unchecked: true } as typeof noLevels;
      const outcome = placeTarget(
        jobWith(spec, stiff),
        roomOf(square),
        levels,
        squareSlab(() => -20),
      );
      return outcome.kind === "ready" ? outcome.warnings.map(({ code }) => code) : [outcome.kind];
    };
    expect(warned([at(2.4, 2)])).toEqual(["drain-not-read"]);
    expect(warned([at(2.4, 2), at(2.2, 2.2)])).toEqual([]);
  });

  it("is straight over every triangle of the cut floor", () => {
    const { target, slab } = placed(toDrain(point(1.7, 2.1), { drainTop: -15 }));
    const [zone] = target.zones;
    const { mesh, levelMm } = zoneFloor(slab, [0], zone!.drain);
    const depths = depthsUnder({ mesh, levelMm } as ReturnType<typeof zoneFloor>, zone!);
    for (let t = 0; t < mesh.regionOf.length; t++) {
      const [a, b, c] = [0, 1, 2].map((k) => mesh.corners[3 * t + k]!) as [number, number, number];
      const middle = point(
        (mesh.xM[a]! + mesh.xM[b]! + mesh.xM[c]!) / 3,
        (mesh.yM[a]! + mesh.yM[b]! + mesh.yM[c]!) / 3,
      );
      expect(topAt(target, 0, middle) + 20).toBeCloseTo((depths[a]! + depths[b]! + depths[c]!) / 3, 9);
    }
  });
});

describe("wishes about a drain that cannot be", () => {
  it("too little left at the drain: says the slab there, and what would do", () => {
    const problem = problemOf(toDrain(point(2, 2), { drainTop: -18 }));
    expect(problem.code).toBe("drain-too-shallow");
    expect(problem.message).toContain("the top is at -18.0 mm and the slab at -20.0 mm: 2.0 mm is left");
    expect(problem.expected).toContain("-17.0 mm or higher");
    expect(problem.hint).toContain("by 1.0 mm");
    expect(problem.place!.lineText).toBe("target.drain");
  });

  it("a height at the drain that gives less than the least fall", () => {
    const problem = problemOf(toDrain(point(1.7, 2.1), { drainTop: -10, leastFall: 5 }));
    expect(problem.code).toBe("drain-fall-too-small");
    expect(problem.message).toContain("from the wall 2, 2.300 m off, less than the 5.0 mm/m");
    expect(problem.hint).toBe("set the drain at -11.5 mm or lower, or the top along the walls at 1.5 mm or higher");
    expect(problem.place!.lineText).toBe("target.fall");
  });

  it("steeper than the material keeps, from the nearest wall", () => {
    const problem = problemOf(toDrain(point(0.5, 2), { drainTop: -12 }));
    expect(problem.code).toBe("fall-past-material");
    expect(problem.message).toContain("from the wall 4, 0.500 m off");
    expect(problemOf(toDrain(point(2, 2), { leastFall: 2 }), { material: material() }).message).toContain(
      "seeks level",
    );
  });

  it("no drop, a drain off the floor or too near a wall, a drain over several rooms", () => {
    expect(problemOf(toDrain(point(2, 2), { drainTop: 0 })).code).toBe("drain-not-below-walls");
    expect(problemOf(toDrain(point(5, 2), { leastFall: 5 })).code).toBe("drain-off-the-floor");
    expect(problemOf(toDrain(point(0.03, 2), { leastFall: 5 })).code).toBe("drain-does-not-see-a-wall");
    const rooms = [
      { x0: 0, y0: 0, x1: 4, y1: 4 },
      { x0: 4, y0: 0, x1: 6, y1: 4 },
    ];
    const slab = slabOver(gridMesh(rooms, 1), () => -20);
    const outcome = placeTarget(jobWith(toDrain(point(2, 2), { leastFall: 5 }), stiff), planOf(rooms), noLevels, slab);
    expect(outcome.kind === "refused" && outcome.problems[0]!.code).toBe("drain-over-several-rooms");
  });

  it("a drain round the corner of an L-shaped room", () => {
    const outline = [point(0, 0), point(4, 0), point(4, 4), point(2, 4), point(2, 2), point(0, 2)];
    const outcome = placeTarget(
      jobWith(toDrain(point(1, 1), { leastFall: 5 }), stiff),
      roomOf(outline),
      noLevels,
      squareSlab(() => -20),
    );
    expect(outcome.kind === "refused" && outcome.problems[0]!.message).toContain("wall 4");
  });
});

function isInside({ x, y }: Point, ring: readonly Point[]): boolean {
  let inside = false;
  ring.forEach((p, k) => {
    const q = ring[(k + 1) % ring.length]!;
    if (p.y > y !== q.y > y && x < p.x + ((y - p.y) / (q.y - p.y)) * (q.x - p.x)) inside = !inside;
  });
  return inside;
}

/** Along the line from the drain out through a place: even from the drain's height to nothing at the wall. */
function heightByRay(drain: Point, outline: readonly Point[], place: Point): number {
  const out = Math.hypot(place.x - drain.x, place.y - drain.y);
  const [ux, uy] = [(place.x - drain.x) / out, (place.y - drain.y) / out];
  let wall = Number.POSITIVE_INFINITY;
  outline.forEach((a, k) => {
    const b = outline[(k + 1) % outline.length]!;
    const turn = ux * (b.y - a.y) - uy * (b.x - a.x);
    const along = ((a.x - drain.x) * uy - (a.y - drain.y) * ux) / turn;
    const reach = ((a.x - drain.x) * (b.y - a.y) - (a.y - drain.y) * (b.x - a.x)) / turn;
    if (reach > 0 && along >= 0 && along <= 1) wall = Math.min(wall, reach);
  });
  return -12 * (1 - out / wall);
}
