/**
 * Triangulation and volume against Python's SciPy on the same points, where Python has it: the mesh of the floor with its
 * outline and the volume under zero here; Delaunay triangles and the sum over them there. Processor time of each.
 *
 *     node --import tsx tests/bench/scipy.ts
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { integralAbove } from "../../src/geometry/level.ts";
import { point } from "../../src/geometry/point.ts";
import { triangulateFloor } from "../../src/geometry/triangulate.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { middle, tell } from "./tell.ts";

const SIDE_M = 100;
const ROUNDS = 5;
/** Depth of a floor that is low everywhere, in mm. */
const depthMm = (x: number, y: number): number => 12 + 5 * Math.sin(x / 7) * Math.cos(y / 9);

/** Triangles and the volume over them in litres, with the processor seconds of each round; nothing but SciPy is timed. */
const PYTHON = `
import sys, time, json
import numpy as np
from scipy.spatial import Delaunay
data = np.fromfile(sys.argv[1]).reshape(-1, 3)
seconds = []
for _ in range(${ROUNDS}):
    start = time.process_time()
    mesh = Delaunay(data[:, :2])
    corners = data[mesh.simplices]
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    area = np.abs((b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (c[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1])) / 2
    volume = float((area * (a[:, 2] + b[:, 2] + c[:, 2]) / 3).sum())
    seconds.append(time.process_time() - start)
print(json.dumps({"seconds": seconds, "volume": volume}))
`;

const folder = mkdtempSync(join(tmpdir(), "scipy-"));
try {
  for (const count of [1_000, 10_000, 100_000]) {
    const random = randomFrom(count);
    const points = Array.from({ length: count }, () => point(SIDE_M * random.uniform(), SIDE_M * random.uniform()));
    const outline = [point(0, 0), point(SIDE_M, 0), point(SIDE_M, SIDE_M), point(0, SIDE_M)];
    const places = [...points, ...outline];
    const file = join(folder, "points");
    writeFileSync(file, new Float64Array(places.flatMap(({ x, y }) => [x, y, depthMm(x, y)])));
    // One thread, as here.
    const python = spawnSync("python3", ["-c", PYTHON, file], {
      encoding: "utf8",
      env: { ...process.env, OMP_NUM_THREADS: "1", OPENBLAS_NUM_THREADS: "1" },
    });
    if (python.status !== 0) {
      console.log("SciPy is not installed here: nothing to compare with.");
      break;
    }
    const theirs = JSON.parse(python.stdout) as { seconds: number[]; volume: number };
    const ours: number[] = [];
    let volume = 0;
    for (let round = 0; round < ROUNDS; round += 1) {
      const from = process.cpuUsage();
      const triangulation = triangulateFloor([{ outline, holes: [] }], points);
      if (triangulation.kind === "failed") throw new Error(triangulation.why);
      const { mesh } = triangulation;
      const depth = Float64Array.from(mesh.xM, (x, vertex) => depthMm(x, mesh.yM[vertex] as number));
      volume = integralAbove(mesh, depth, 0);
      const { user, system } = process.cpuUsage(from);
      ours.push((user + system) / 1e6);
    }
    if (Math.abs(volume / theirs.volume - 1) > 1e-9) throw new Error(`${volume} L here, ${theirs.volume} L there`);
    tell(`mesh and volume of ${count.toLocaleString("en-US")} points`, middle(ours) * 1000, "ms", {
      ratio: middle(ours) / middle(theirs.seconds),
      floor: `× SciPy (${(middle(theirs.seconds) * 1000).toFixed(1)} ms)`,
    });
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
