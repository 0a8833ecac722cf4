/**
 * Speed of a 10 ft straightedge laid every 6 in, in eight directions and then in the eight between,
 * over a floor of 100,000 readings 12 in apart. The measure is a ratio in one run: against triangulating
 * the same points with bare delaunator. Printed beside it: seconds, and placements a second.
 *
 *     node --import tsx tests/bench/conformity.ts
 */
import Delaunator from "delaunator";
import { type FloorSurface, floorSurface } from "../../src/conformity/floor-profiles.ts";
import { searchFloor, USUAL_STEP_M } from "../../src/conformity/floor-straightedge.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { M_PER_FOOT } from "../../src/units.ts";
import { gridFloor } from "../conformity/made-floor.ts";
import { tell } from "./tell.ts";

/** Of the processor, so that a busy machine does not spoil them. */
const seconds = (run: () => void): number => {
  const from = process.cpuUsage();
  run();
  const { user, system } = process.cpuUsage(from);
  return (user + system) / 1e6;
};

for (const [columns, rows] of [
  [40, 25],
  [125, 80],
  [400, 250],
] as const) {
  const random = randomFrom(9);
  const waves = (x: number, y: number) => 3 * Math.sin(x / 1.4) * Math.cos(y / 2) + 0.4 * random.normal();
  const made = gridFloor({ columns, rows, spacing: 0.3048 }, waves);
  const xy = Float64Array.from({ length: 2 * columns * rows }, (_, k) =>
    k % 2 === 0 ? made.mesh.xM[k / 2]! : made.mesh.yM[(k - 1) / 2]!,
  );
  const bare = seconds(() => new Delaunator(xy));
  let floor: FloorSurface | undefined;
  const prepared = seconds(() => {
    floor = floorSurface(made.mesh, made.levelMm, made.wasRead);
  });
  let found: ReturnType<typeof searchFloor> | undefined;
  const laid = seconds(() => {
    found = searchFloor(floor!, {
      length: 10 * M_PER_FOOT,
      contact: "between-contacts",
      limit: 4.8,
      firstDirection: 0,
      step: USUAL_STEP_M,
      greatestPlaces: 7_000_000,
    });
  });
  const { places, directions, worst, moved, settled } = found!;
  const count = columns * rows;
  tell(`a 10 ft edge over ${count.toLocaleString("en-US")} readings, ${directions} directions`, laid, "s", {
    ratio: laid / bare,
    floor: "× bare delaunator",
    ...(count === 100_000 ? { aim: "10 s" } : {}),
  });
  console.log(
    `  ${places} placements, ${(places / laid / 1e6).toFixed(2)} million a second; neighbours ${prepared.toFixed(2)} s; worst gap ${worst!.gap.toFixed(3)} mm, moved ${moved!.toFixed(3)} mm, ${settled ? "settled" : "not settled"}`,
  );
}
