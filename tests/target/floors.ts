/** Small floors made by hand for the tests of the target: rectangular rooms, grid meshes, one job around them. */
import type { SourcePlace } from "../../src/diagnostics.ts";
import type { Mesh } from "../../src/geometry/mesh.ts";
import { point } from "../../src/geometry/point.ts";
import type { Material } from "../../src/job/library-model.ts";
import type { BenchMark, Door, Job } from "../../src/job/model.ts";
import type { TargetSpec } from "../../src/job/target-model.ts";
import type { Plan, RoomFloor } from "../../src/layout/model.ts";
import type { Slab } from "../../src/slab/model.ts";
import type { Levels } from "../../src/survey/model.ts";

export interface Rectangle {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** A grid mesh over rectangles that share whole sides or none; vertices at the same place are shared. */
export function gridMesh(rooms: readonly Rectangle[], step: number): Mesh {
  const xs: number[] = [];
  const ys: number[] = [];
  const corners: number[] = [];
  const regions: number[] = [];
  const known = new Map<string, number>();
  const vertex = (x: number, y: number): number => {
    const key = `${x.toFixed(7)},${y.toFixed(7)}`;
    const seen = known.get(key);
    if (seen !== undefined) return seen;
    known.set(key, xs.length);
    xs.push(x);
    ys.push(y);
    return xs.length - 1;
  };
  for (const [region, { x0, y0, x1, y1 }] of rooms.entries()) {
    const nx = Math.max(1, Math.round((x1 - x0) / step));
    const ny = Math.max(1, Math.round((y1 - y0) / step));
    const px = (i: number) => x0 + ((x1 - x0) * i) / nx;
    const py = (j: number) => y0 + ((y1 - y0) * j) / ny;
    for (let j = 0; j < ny; j++) {
      for (let i = 0; i < nx; i++) {
        const a = vertex(px(i), py(j));
        const b = vertex(px(i + 1), py(j));
        const c = vertex(px(i + 1), py(j + 1));
        const d = vertex(px(i), py(j + 1));
        corners.push(a, b, c, a, c, d);
        regions.push(region, region);
      }
    }
  }
  return {
    xM: Float64Array.from(xs),
    yM: Float64Array.from(ys),
    corners: Uint32Array.from(corners),
    regionOf: Uint32Array.from(regions),
  };
}

export function slabOver(mesh: Mesh, level: (x: number, y: number) => number): Slab {
  const levelMm = mesh.xM.map((x, i) => level(x, mesh.yM[i] as number));
  let area = 0;
  for (let t = 0; t < mesh.regionOf.length; t++) {
    const [a, b, c] = [mesh.corners[3 * t]!, mesh.corners[3 * t + 1]!, mesh.corners[3 * t + 2]!];
    area +=
      ((mesh.xM[b]! - mesh.xM[a]!) * (mesh.yM[c]! - mesh.yM[a]!) -
        (mesh.xM[c]! - mesh.xM[a]!) * (mesh.yM[b]! - mesh.yM[a]!)) /
      2;
  }
  return {
    mesh,
    levelMm,
    wasRead: new Uint8Array(levelMm.length).fill(1),
    vertexOfPoint: Uint32Array.from(levelMm, (_, i) => i),
    area,
    readHull: [],
    extrapolatedArea: 0,
    readHulls: [],
    method: "thin-plate-spline",
    smoothing: 0,
  };
}

/** A door in a horizontal or vertical wall, without thickness. */
export const door = (id: string, from: [number, number], to: [number, number], more: Partial<Door> = {}): Door => ({
  id,
  roomId: "r0",
  wallIndex: 0,
  from: 0,
  width: Math.hypot(to[0] - from[0], to[1] - from[1]),
  jambs: [point(...from), point(...to)],
  joins: "outside",
  joinsRoom: false,
  wallThickness: 0,
  entrance: false,
  ...more,
});

export function planOf(rooms: readonly Rectangle[], doors: readonly (readonly Door[])[] = []): Plan {
  return {
    floors: rooms.map(
      ({ x0, y0, x1, y1 }, index): RoomFloor => ({
        roomId: `r${index}`,
        name: `Room ${index}`,
        polygon: { outline: [point(x0, y0), point(x1, y0), point(x1, y1), point(x0, y1)], holes: [] },
        walls: [],
        obstacles: [],
        doors: doors[index] ?? [],
      }),
    ),
    gridLines: [],
    points: [],
    pins: [],
  };
}

export const noLevels: Levels = { points: [], unchecked: true };

/** A free-flowing material of no maker: only what the target looks at. */
export const material = (more: Partial<Material> = {}): Material =>
  ({
    id: "flowing",
    name: "flowing mix",
    depthOn: { concrete: { least: 3, greatest: 50 } },
    greatestFall: 0,
    yieldPerBag: 14,
    wetDensity: 2,
    ...more,
  }) as Material;

/** Only what the target looks at; its source answers with the path asked for, as the line's text. */
export function jobWith(target: TargetSpec, more: Partial<Job> = {}): Job {
  const place = (path: readonly (string | number)[]): SourcePlace => ({
    file: "jobs/test.yaml",
    line: 7,
    column: 1,
    length: 1,
    lineText: path.join("."),
  });
  return {
    id: "test",
    benchMarks: [] as readonly BenchMark[],
    target,
    floor: { support: "on-ground", substrate: "concrete", absorbency: "porous" },
    units: { plan: "m", height: "mm" },
    material: material(),
    pour: { lossAllowance: 0, profileAllowance: 0 },
    source: { file: "jobs/test.yaml", text: "", place },
    ...more,
  } as Job;
}
