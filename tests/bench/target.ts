/**
 * Speed of the target over 100,000 vertices: the least plane, with a greatest depth at every vertex, and the split
 * of grinding and filling. The measure is a ratio in one run: against one bare pass over the same triangles
 * (the volume under one level).
 *
 *     node --import tsx tests/bench/target.ts
 */
import { integralAbove } from "../../src/geometry/level.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { grindOrFill } from "../../src/target/grind-or-fill.ts";
import { leastPlane } from "../../src/target/least-plane.ts";
import { zoneFloor } from "../../src/target/zone-floor.ts";
import { gridMesh, slabOver } from "../target/floors.ts";
import { tell } from "./tell.ts";

const median = (run: () => void, rounds: number): number => {
  const times = Array.from({ length: rounds }, () => {
    const from = performance.now();
    run();
    return performance.now() - from;
  }).sort((a, b) => a - b);
  return times[Math.floor(rounds / 2)]!;
};

const random = randomFrom(1);
const mesh = gridMesh([{ x0: 0, y0: 0, x1: 100, y1: 40 }], 0.2);
const slabs = {
  "tilted, with waves and roughness": slabOver(
    mesh,
    (x, y) => 0.9 * x - 0.4 * y + 6 * Math.sin(x / 3) * Math.cos(y / 4) + random.normal(),
  ),
  "a bowl, smooth: very many places nearly bind": slabOver(mesh, (x, y) => -((x - 50) ** 2 + (y - 20) ** 2) / 100),
};
for (const [name, slab] of Object.entries(slabs)) {
  const floor = zoneFloor(slab, [0]);
  console.log(`${name}: ${floor.levelMm.length} vertices, ${floor.mesh.regionOf.length} triangles`);
  const wishes = {
    leastDepth: 6,
    greatestDepth: 400,
    greatestFall: 5,
    places: [],
    limits: [],
    grinding: new Map<number, number>(),
  };
  const mayGrind = { ...wishes, grinding: new Map([[0, 10]]) };
  const pass = median(() => integralAbove(floor.mesh, floor.levelMm, 0), 9);
  const plane = median(() => leastPlane(floor, wishes), 9);
  const split = grindOrFill(floor, mayGrind, { fill: 1, grind: 5 }, 1e-6);
  if (split.kind === "contradiction")
    throw new Error("a floor that can be ground and filled came out as a contradiction");
  const weighed = median(() => grindOrFill(floor, mayGrind, { fill: 1, grind: 5 }, 1e-6), 3);
  const setUp = median(() => zoneFloor(slab, [0]), 5);
  tell("one pass for the volume under a level", pass, "ms");
  const passes = (ms: number) => ({ ratio: ms / pass, floor: "× one pass" });
  tell("the zone's part of the slab", setUp, "ms", passes(setUp));
  tell(`least plane: ${name}`, plane, "ms", { ...passes(plane), aim: "300 ms" });
  tell(`grinding against filling, gap 1e-6, ${split.tangents} tangents`, weighed, "ms", passes(weighed));
}
