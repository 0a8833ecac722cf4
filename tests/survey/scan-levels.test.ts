/** Levels out of a scan, its surface and its volume, against floors whose heights and volumes are known. */
import { describe, expect, test } from "vitest";
import { measureDepths } from "../../src/depths/measure-depths.ts";
import type { Outcome } from "../../src/diagnostics.ts";
import { readJob } from "../../src/job/read-job.ts";
import { layOut } from "../../src/layout/lay-out.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { surfaceOf } from "../../src/slab/surface-of.ts";
import { adjustLevels } from "../../src/survey/adjust-levels.ts";
import { MOST_SHOWN } from "../../src/survey/scan-levels.ts";
import { placeTarget } from "../../src/target/place-target.ts";
import { library } from "../job/job-text.ts";
import { besideScan, COLUMN_M, FLOOR_M2, HALL, SCAN_FILE, STORE, scanCsv, scanJob } from "./made-scan.ts";

function readyOf<T>(outcome: Outcome<T>): T {
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return outcome.value;
}

function scanned(csv: string, text = scanJob()) {
  const { job, diagnostics } = readJob(text, SCAN_FILE, library, besideScan(csv));
  if (job === undefined) throw new Error(JSON.stringify(diagnostics));
  const plan = readyOf(layOut(job));
  const found = adjustLevels(job, plan);
  const levels = readyOf(found);
  const slab = readyOf(surfaceOf(plan, levels));
  const target = readyOf(placeTarget(job, plan, levels, slab));
  const depths = readyOf(measureDepths(job, plan, levels, slab, target));
  return { job, plan, levels, slab, depths, warnings: found.kind === "ready" ? found.warnings : [] };
}

/** A slab that falls 0.5 mm a metre east and rises 0.25 mm a metre north, 10 mm low at the origin. */
const tilted = (x: number, y: number): number => 10 + 0.5 * x - 0.25 * y;

/** ∫ of a plane over a rectangle is its area times the plane's height in the middle. */
const overBox = (west: number, south: number, width: number, depth: number): number =>
  width * depth * tilted(west + width / 2, south + depth / 2);
const TILTED_L =
  overBox(0, 0, HALL.width, HALL.depth) +
  overBox(STORE.west, 0, STORE.width, STORE.depth) +
  overBox(HALL.width, 3, STORE.west - HALL.width, 1) -
  overBox(4 - COLUMN_M / 2, 4 - COLUMN_M / 2, COLUMN_M, COLUMN_M);

describe("a tilted plane, scanned", () => {
  const csv = scanCsv(6000, tilted);
  const { levels, slab, depths, plan, job } = scanned(csv);
  const scan = levels.scan!;

  test("takes the points on a floor and no others, each a vertex with its own level", () => {
    const spec = job.survey.scan!;
    const isFloor = (x: number, y: number) =>
      x < HALL.width
        ? !(Math.abs(x - 4) < COLUMN_M / 2 && Math.abs(y - 4) < COLUMN_M / 2)
        : x > STORE.west || (y > 3 && y < 4);
    const onFloor = Array.from(spec.xM, (_, k) => k).filter((k) => isFloor(spec.xM[k]!, spec.yM[k]!));
    expect(Array.from(scan.line)).toEqual(onFloor.map((k) => spec.line[k]));
    expect(scan.rows).toBe(6000);
    expect(onFloor.length).toBeLessThan(6000);
    for (let k = 0; k < scan.xM.length; k++) {
      const v = slab.vertexOfScan![k]!;
      expect(Math.hypot(slab.mesh.xM[v]! - scan.xM[k]!, slab.mesh.yM[v]! - scan.yM[k]!)).toBeLessThan(1e-5);
      expect(slab.levelMm[v]).toBeCloseTo(scan.levelMm[k]!, 6);
    }
  });

  test("gives each pin the plane's height, with the standard deviation of its mean place", () => {
    const pins = levels.points.filter(({ ofScan }) => ofScan === undefined);
    expect(pins.length).toBe(scan.pinsRead);
    expect(pins.length).toBeGreaterThan(0.8 * plan.points.length);
    for (const { level, at, sd, timesRead } of pins) {
      expect(level).toBeCloseTo(-tilted(at.x, at.y), 6);
      // Between a mean of all points and one reading.
      expect(sd).toBeGreaterThanOrEqual(0.5 / Math.sqrt(timesRead) - 1e-12);
      expect(sd).toBeLessThanOrEqual(0.5 + 1e-12);
    }
  });

  test("holds the plane's volume exactly", () => {
    expect(depths.area).toBeCloseTo(FLOOR_M2, 6);
    expect(depths.volumeToOrder / TILTED_L).toBeCloseTo(1, 6);
    expect(depths.bands.reduce((sum, band) => sum + band.volume, 0)).toBeCloseTo(depths.volumeToOrder, 3);
  });

  test("shows no more points than maps take, and draws on those alone", () => {
    expect(scan.shown.length).toBeLessThanOrEqual(1.2 * MOST_SHOWN);
    expect(slab.thinned!.mesh.xM.length).toBeLessThan(slab.mesh.xM.length);
    expect(depths.drawn!.mesh.xM.length).toBe(slab.thinned!.mesh.xM.length);
  });
});

test("four points round a pin: the mean of them, with half the standard deviation of one (by hand)", () => {
  const corners = [
    [1.05, 1.05, 10],
    [0.95, 1.05, 11],
    [0.95, 0.95, 12],
    [1.05, 0.95, 11],
  ] as const;
  const far = Array.from({ length: 40 }, (_, k) => [0.3 + 0.29 * k, 7 - 0.1 * (k % 3), 10] as const);
  const rows = [...corners, ...far].map(([x, y, depth]) => `${x},${y},${100 - depth / 1000}`);
  const { levels } = scanned(
    `e,n,h (m)\n${rows.join("\n")}\n`,
    scanJob("", "top: 0 mm", "origin: [1, 1], spacing: 3 m"),
  );
  const a1 = levels.points.find(({ id }) => id === "A1")!;
  expect(a1.level).toBeCloseTo(-11, 9);
  expect(a1.sd).toBeCloseTo(0.5 / 2, 9);
  expect(a1.timesRead).toBe(4);
});

test("the plane's noise at a pin spreads as its standard deviation says, over many scans with noise", () => {
  const random = randomFrom(77);
  const places = Array.from({ length: 9 }, () => [
    1 + 0.28 * (random.uniform() - 0.5),
    1 + 0.28 * (random.uniform() - 0.5),
  ]);
  const far = Array.from({ length: 30 }, (_, k) => [0.3 + 0.38 * k, 7 - 0.1 * (k % 3)]);
  const runs = 150;
  let squares = 0;
  let stated = 0;
  for (let run = 0; run < runs; run++) {
    const rows = [...places, ...far].map(
      ([x, y]) => `${x},${y},${(100 - (10 + 0.5 * random.normal()) / 1000).toFixed(9)}`,
    );
    const text = scanJob("", "top: 0 mm", "origin: [1, 1], spacing: 6 m");
    const { job } = readJob(text, SCAN_FILE, library, besideScan(`e,n,h (m)\n${rows.join("\n")}\n`));
    const plan = readyOf(layOut(job!));
    const a1 = readyOf(adjustLevels(job!, plan)).points.find(({ id }) => id === "A1")!;
    squares += (a1.level + 10) ** 2;
    stated += a1.sd ** 2;
  }
  // The mean of 150 squares is off by √(2/150) of itself: four of those. What is stated takes the scatter where it is
  // more than the office says, so it may be too large, never much too small.
  expect(squares / stated).toBeLessThan(1 + 4 * Math.sqrt(2 / runs));
  expect(squares / stated).toBeGreaterThan(0.5);
});

test("a floor of waves comes within a thousandth of its integral, clipped where it stands too high", () => {
  const wave = (x: number, y: number) => 6 + 8 * Math.sin(x / 2) * Math.cos(y / 1.5);
  const { depths } = scanned(scanCsv(20000, wave));
  // Midpoints of squares of 5 mm over the same floor.
  const step = 0.005;
  let volume = 0;
  const least = depths.leastAllowed;
  const box = (west: number, south: number, width: number, depth: number, sign = 1) => {
    const [nx, ny] = [Math.round(width / step), Math.round(depth / step)];
    for (let i = 0; i < nx; i++)
      for (let j = 0; j < ny; j++)
        volume += sign * step * step * Math.max(least, wave(west + (i + 0.5) * step, south + (j + 0.5) * step));
  };
  box(0, 0, HALL.width, HALL.depth);
  box(STORE.west, 0, STORE.width, STORE.depth);
  box(HALL.width, 3, STORE.west - HALL.width, 1);
  box(4 - COLUMN_M / 2, 4 - COLUMN_M / 2, COLUMN_M, COLUMN_M, -1);
  expect(depths.volumeToOrder / volume).toBeGreaterThan(0.999);
  expect(depths.volumeToOrder / volume).toBeLessThan(1.001);
  expect(depths.proudArea).toBeGreaterThan(0);
  expect(depths.highSpots.length).toBeGreaterThan(0);
});

describe("what a scan lacks is told", () => {
  const flat = () => 10;
  const codes = (csv: string) => scanned(csv).warnings.map(({ code }) => code);

  test("points in walls and columns, floor without points, points that stood on something", () => {
    expect(codes(scanCsv(4000, flat))).toEqual(["scan-points-off-floor"]);
    const lines = scanCsv(8000, flat).split("\n");
    const holed = lines.filter((line) => {
      const [, north, east] = line.split(",").map(Number) as [number, number, number];
      return !(east > 6 && east < 9 && north > 2 && north < 5);
    });
    const { levels, warnings } = scanned(holed.join("\n"));
    expect(warnings.map(({ code }) => code)).toContain("floor-not-scanned");
    // Squares half in the hole hold a point: along its rim of 12 m half a square of some 0.4 m is missed.
    expect(levels.scan!.emptyArea! - 9).toBeLessThan(0.5);
    expect(levels.scan!.emptyArea! - 9).toBeGreaterThan((-12 * 0.45) / 2);
    const bucket = scanCsv(8000, (x, y) => (Math.hypot(x - 9, y - 2) < 0.1 ? -250 : 10));
    const seen = scanned(bucket);
    expect(seen.warnings.map(({ code }) => code)).toContain("scan-points-far-off");
    const { farthestOff } = seen.levels.scan!;
    expect(Math.hypot(farthestOff!.at.x - 9, farthestOff!.at.y - 2)).toBeLessThan(0.1);
    expect(farthestOff!.by).toBeCloseTo(260, 6);
  });

  test("a scan of another plan is refused", () => {
    const { job } = readJob(
      scanJob(),
      SCAN_FILE,
      library,
      besideScan(scanCsv(500, flat).replaceAll(/,(\d+\.?\d*),100|,(\d+\.?\d*),99/g, ",50,99")),
    );
    const outcome = adjustLevels(job!, readyOf(layOut(job!)));
    expect(outcome.kind === "refused" && outcome.problems.map(({ code, place }) => [code, place?.line])).toEqual([
      ["scan-of-another-plan", expect.any(Number)],
    ]);
  });
});
