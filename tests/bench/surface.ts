/**
 * Speed and memory of the slab's surface, its volume, depth bands and contours, for 1,000 to 1,000,000
 * readings. The measure is a ratio in one run: against bare delaunator on the same points. Times are of
 * the processor, so that a busy machine does not spoil them.
 *
 *     node --import tsx tests/bench/surface.ts
 */
import { pathToFileURL } from "node:url";
import Delaunator from "delaunator";
import { contourLines, regionsBetween } from "../../src/geometry/bands.ts";
import { integralAbove } from "../../src/geometry/level.ts";
import { point } from "../../src/geometry/point.ts";
import { triangulateFloor } from "../../src/geometry/triangulate.ts";
import type { Plan } from "../../src/layout/model.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { surfaceOf } from "../../src/slab/surface-of.ts";
import { wallPoints } from "../../src/slab/wall-points.ts";
import type { Levels, PointLevel } from "../../src/survey/model.ts";
import { tell } from "./tell.ts";

export interface SurfaceTimes {
  readonly readings: number;
  readonly bareMs: number;
  /** Outlines, points and wall points into triangles, before any level. */
  readonly meshMs: number;
  readonly surfaceMs: number;
  readonly volumeMs: number;
  readonly bandsMs: number;
  readonly contoursMs: number;
  /** (mesh + volume) against bare delaunator: what is left when levels are not carried to walls and doors. */
  readonly meshRatio: number;
  /** (surface + volume) against bare delaunator. */
  readonly ratio: number;
  /** All of it against bare delaunator. */
  readonly wholeRatio: number;
  /** Resident memory after the round, the readings themselves included. */
  readonly residentMb: number;
}

const SPACING_M = 1.8;

/** One room, readings strewn over a grid of 1.8 m (each up to 0.5 m off its place), long waves, 0.5 mm of noise. */
function madeFloor(count: number): { plan: Plan; levels: Levels } {
  const random = randomFrom(count);
  const columns = Math.ceil(Math.sqrt(count));
  const side = columns * SPACING_M;
  const points: PointLevel[] = [];
  for (let k = 0; k < count; k++) {
    const x = ((k % columns) + 0.5) * SPACING_M + random.uniform() - 0.5;
    const y = (Math.floor(k / columns) + 0.5) * SPACING_M + random.uniform() - 0.5;
    const level = -12 + 5 * Math.sin(x / 7) * Math.cos(y / 9) + 0.5 * random.normal();
    points.push({ id: String(k), at: point(x, y), roomIndex: 0, level, sd: 0.5, timesRead: 1 });
  }
  const outline = [point(0, 0), point(side, 0), point(side, side), point(0, side)];
  const floor = {
    roomId: "hall",
    name: "Hall",
    polygon: { outline, holes: [] },
    walls: [],
    obstacles: [],
    doors: [],
  };
  return {
    plan: { floors: [floor], gridLines: [], points: [], pins: [] },
    levels: { points, unchecked: true },
  };
}

const median = (values: readonly number[]): number => values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!;

/** Runs each size `rounds` times, all parts in turn, and takes the median of each part. */
export function surfaceTimes(count: number, rounds: number): SurfaceTimes {
  const { plan, levels } = madeFloor(count);
  const coords = new Float64Array(2 * count);
  levels.points.forEach((p, k) => {
    coords[2 * k] = p.at.x;
    coords[2 * k + 1] = p.at.y;
  });
  const times = {
    bare: [] as number[],
    mesh: [] as number[],
    surface: [] as number[],
    volume: [] as number[],
    bands: [] as number[],
    contours: [] as number[],
  };
  const timed = <T>(into: number[], run: () => T): T => {
    const from = process.cpuUsage();
    const result = run();
    const spent = process.cpuUsage(from);
    into.push((spent.user + spent.system) / 1000);
    return result;
  };
  for (let round = 0; round < rounds; round++) {
    timed(times.bare, () => new Delaunator(coords));
    const polygons = plan.floors.map(({ polygon }) => polygon);
    const places = levels.points.map(({ at }) => at);
    timed(times.mesh, () =>
      triangulateFloor(polygons, [...places, ...polygons.flatMap((polygon) => wallPoints(polygon, SPACING_M))]),
    );
    const slab = timed(times.surface, () => surfaceOf(plan, levels));
    if (slab.kind !== "ready") throw new Error(`no surface: ${JSON.stringify(slab)}`);
    const { mesh, levelMm } = slab.value;
    timed(times.volume, () =>
      integralAbove(
        mesh,
        levelMm.map((level) => -level),
        0,
      ),
    );
    timed(times.bands, () => {
      for (let from = -20; from < 0; from += 4) regionsBetween(mesh, levelMm, from, from + 4);
    });
    timed(times.contours, () => {
      for (let at = -20; at <= 0; at += 2) contourLines(mesh, levelMm, at);
    });
  }
  const bareMs = median(times.bare);
  const meshMs = median(times.mesh);
  const surfaceMs = median(times.surface);
  const volumeMs = median(times.volume);
  const bandsMs = median(times.bands);
  const contoursMs = median(times.contours);
  return {
    readings: count,
    bareMs,
    meshMs,
    surfaceMs,
    volumeMs,
    bandsMs,
    contoursMs,
    meshRatio: (meshMs + volumeMs) / bareMs,
    ratio: (surfaceMs + volumeMs) / bareMs,
    wholeRatio: (surfaceMs + volumeMs + bandsMs + contoursMs) / bareMs,
    residentMb: process.memoryUsage().rss / 2 ** 20,
  };
}

/** The table that `npm run bench` prints. */
export function benchSurface(): SurfaceTimes[] {
  const sizes: readonly (readonly [number, number])[] = [
    [1_000, 31],
    [10_000, 11],
    [100_000, 5],
    [1_000_000, 3],
  ];
  // The first rounds of anything are slow: they are run and thrown away.
  surfaceTimes(1_000, 31);
  const rows = sizes.map(([count, rounds]) => surfaceTimes(count, rounds));
  console.log(
    "  readings   bare ms     mesh  surface   volume    bands contours  (mesh+volume)/bare  (surface+volume)/bare  all/bare  resident MB",
  );
  for (const row of rows)
    console.log(
      [
        String(row.readings).padStart(10),
        ...[row.bareMs, row.meshMs, row.surfaceMs, row.volumeMs, row.bandsMs, row.contoursMs].map((ms) =>
          ms.toFixed(1).padStart(9),
        ),
        row.meshRatio.toFixed(2).padStart(19),
        row.ratio.toFixed(2).padStart(23),
        row.wholeRatio.toFixed(2).padStart(10),
        row.residentMb.toFixed(0).padStart(12),
      ].join(""),
    );
  for (const row of rows) {
    const readings = `${row.readings.toLocaleString("en-US")} readings`;
    const bare = `× bare delaunator (${row.bareMs.toFixed(1)} ms)`;
    const whole = row.surfaceMs + row.volumeMs + row.bandsMs + row.contoursMs;
    const meshed = { ratio: row.meshRatio, floor: bare, aim: "2 times" };
    tell(`mesh and volume of ${readings}`, row.meshMs + row.volumeMs, "ms", meshed);
    const carried = { ratio: row.ratio, floor: bare, aim: "2 times" };
    tell("  with levels carried to the walls", row.surfaceMs + row.volumeMs, "ms", carried);
    tell("  with bands and contours", whole, "ms", { ratio: row.wholeRatio, floor: bare, aim: "2 times" });
    tell("  memory", row.residentMb, "MB", row.readings === 1_000_000 ? { aim: "less than 2,048 MB" } : {});
  }
  return rows;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) benchSurface();
