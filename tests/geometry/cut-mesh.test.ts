import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { cutMesh, valuesOnCut } from "../../src/geometry/cut-mesh.ts";
import { meshArea, meshIntegral, triangleArea } from "../../src/geometry/level.ts";
import { twinsOf } from "../../src/geometry/mesh.ts";
import { point } from "../../src/geometry/point.ts";
import { gridMesh } from "../target/floors.ts";

const rooms = [
  { x0: 0, y0: 0, x1: 4, y1: 3 },
  { x0: 4, y0: 0, x1: 6, y1: 3 },
];
const mesh = gridMesh(rooms, 0.5);
const place = fc.tuple(fc.double({ min: -1, max: 5, noNaN: true }), fc.double({ min: -1, max: 4, noNaN: true }));
const line = fc.tuple(place, place).filter(([[ax, ay], [bx, by]]) => Math.hypot(bx - ax, by - ay) > 0.1);

describe("a mesh cut along lines", () => {
  it("keeps its area and what it carries, has no triangle astride a line, and leaks nowhere inside", () => {
    fc.assert(
      fc.property(fc.array(line, { minLength: 1, maxLength: 4 }), (drawn) => {
        const lines = drawn.map(([[ax, ay], [bx, by]]) => [point(ax, ay), point(bx, by)] as const);
        const cut = cutMesh(mesh, 0, lines);
        const values = mesh.xM.map((x, k) => 3 * x - 2 * mesh.yM[k]! + (k % 7));
        expect(meshArea(cut.mesh)).toBeCloseTo(18, 9);
        expect(meshIntegral(cut.mesh, valuesOnCut(values, cut))).toBeCloseTo(meshIntegral(mesh, values), 8);
        for (let t = 0; t < cut.mesh.regionOf.length; t++) {
          expect(triangleArea(cut.mesh, t)).toBeGreaterThanOrEqual(0);
          if (cut.mesh.regionOf[t] === 1) continue;
          const corners = [...cut.mesh.corners.subarray(3 * t, 3 * t + 3)];
          for (const [a, b] of lines) {
            const length = Math.hypot(b.x - a.x, b.y - a.y);
            const sides = corners.map(
              (v) => ((b.x - a.x) * (cut.mesh.yM[v]! - a.y) - (b.y - a.y) * (cut.mesh.xM[v]! - a.x)) / length,
            );
            expect(Math.min(...sides) < -1e-7 && Math.max(...sides) > 1e-7).toBe(false);
          }
        }
        // Every edge inside the room is shared by two triangles: what has one only lies on the rim.
        const twin = twinsOf(cut.mesh);
        for (const [h, across] of twin.entries()) {
          if (across >= 0 || cut.mesh.regionOf[Math.floor(h / 3)] !== 0) continue;
          const [u, v] = [cut.mesh.corners[h]!, cut.mesh.corners[h % 3 === 2 ? h - 2 : h + 1]!];
          const onRim = [u, v].every(
            (w) =>
              [0, 4].some((x) => Math.abs(cut.mesh.xM[w]! - x) < 1e-9) ||
              [0, 3].some((y) => Math.abs(cut.mesh.yM[w]! - y) < 1e-9),
          );
          expect(onRim).toBe(true);
        }
      }),
      { numRuns: 60 },
    );
  });

  it("a line along edges of the mesh makes no new vertex", () => {
    expect(cutMesh(mesh, 0, [[point(0, 1.5), point(4, 1.5)]]).from).toEqual([]);
  });

  it("cuts a triangle through a corner in two, and past its corners in three", () => {
    const one = {
      xM: Float64Array.of(0, 2, 0),
      yM: Float64Array.of(0, 0, 2),
      corners: Uint32Array.of(0, 1, 2),
      regionOf: Uint32Array.of(0),
    };
    expect(cutMesh(one, 0, [[point(0, 0), point(1, 1)]]).mesh.regionOf).toHaveLength(2);
    expect(cutMesh(one, 0, [[point(0, 1), point(1, 1)]]).mesh.regionOf).toHaveLength(3);
  });
});
