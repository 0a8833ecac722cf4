import { describe, expect, it } from "vitest";
import { extendWithAggregate } from "../../src/target/aggregate.ts";
import { gridMesh, material } from "./floors.ts";

const mesh = gridMesh([{ x0: 0, y0: 0, x1: 10, y1: 6 }], 1);
const gravel = { name: "pea gravel", perBag: 12, yieldPerBag: 18, waterPerBag: 4, leastDepth: 20, neatOnTop: 6 };
const stretched = material({ yieldPerBag: 14, waterPerBag: 5, aggregate: gravel });

describe("stretching deep places with aggregate", () => {
  it("fills a trench below the neat layer", () => {
    // 50 mm deep everywhere: 44 mm of extended mix under 6 mm neat, over 60 m².
    const { area, volume, bags, aggregate, water, bagsSaved, waterSaved } = extendWithAggregate(
      mesh,
      mesh.xM.map(() => 50),
      stretched,
    )!;
    expect(area).toBeCloseTo(60, 9);
    expect(volume).toBeCloseTo(44 * 60, 8);
    expect(bags).toBeCloseTo((44 * 60) / 18, 8);
    expect(aggregate).toBeCloseTo((12 * 44 * 60) / 18, 7);
    expect(water).toBeCloseTo((4 * 44 * 60) / 18, 7);
    expect(bagsSaved).toBeCloseTo((44 * 60) / 14 - (44 * 60) / 18, 8);
    expect(waterSaved).toBeCloseTo((5 * 44 * 60) / 14 - (4 * 44 * 60) / 18, 7);
  });

  it("leaves places alone where it would be too thin", () => {
    // Deepening evenly from 0 to 50 mm over 10 m: 26 mm and more from x = 5.2 on.
    const { area, volume } = extendWithAggregate(
      mesh,
      mesh.xM.map((x) => 5 * x),
      stretched,
    )!;
    expect(area).toBeCloseTo(4.8 * 6, 9);
    // From 20 to 44 mm thick.
    expect(volume).toBeCloseTo(((20 + 44) / 2) * 4.8 * 6, 8);
  });

  it("does nothing in a shallow floor, or without the data sheet's word", () => {
    const shallow = mesh.xM.map(() => 25);
    expect(extendWithAggregate(mesh, shallow, stretched)).toBeUndefined();
    expect(extendWithAggregate(mesh, shallow, material())).toBeUndefined();
  });
});
