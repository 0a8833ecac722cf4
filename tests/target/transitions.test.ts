import { describe, expect, it } from "vitest";
import type { Target } from "../../src/target/model.ts";
import { transitionKind, transitionsAt } from "../../src/target/transitions.ts";
import { door, planOf } from "./floors.ts";

const rooms = [{ x0: 0, y0: 0, x1: 4, y1: 3 }];
const level = (top: number, fallEast = 0): Target => ({
  zones: [{ roomIndices: [0], top, fallEast, fallNorth: 0 }],
  steps: [],
});

// 2010 ADA Standards for Accessible Design, 303.2 to 303.4 and 405.2; table in the project's list of values:
// "change in level at a door: ≤ 1/4 in vertical; 1/4–1/2 in bevelled 1:2; more is a ramp".
describe("what a step asks for", () => {
  it("turns at a quarter and at half an inch", () => {
    const quarter = 6.35;
    expect(transitionKind(0, 0).kind).toBe("flush");
    expect(transitionKind(1.5, 2).kind).toBe("flush");
    expect(transitionKind(2.1, 2).kind).toBe("vertical");
    expect(transitionKind(quarter, 2).kind).toBe("vertical");
    expect(transitionKind(quarter + 0.01, 2)).toEqual({ kind: "bevelled", length: (2 * (quarter + 0.01)) / 1000 });
    expect(transitionKind(2 * quarter, 2).kind).toBe("bevelled");
    // 25.4 mm at 1:12 is a foot.
    const inch = transitionKind(25.4, 2);
    expect(inch.kind === "ramp" && inch.length).toBeCloseTo(0.3048, 12);
  });
});

describe("transitions at doors", () => {
  const doors = [
    [
      door("D1", [1, 0], [2, 0], { neighbourFinish: 5 }),
      door("D2", [4, 1], [4, 2]),
      door("D3", [3, 3], [2, 3], { neighbourFinish: 12 }),
    ],
  ];
  it("counts the covering in, says which way one steps, and leaves out doors that were not read beyond", () => {
    const covering = new Map([
      [
        0,
        [
          { name: "tile", thickness: 8 },
          { name: "adhesive", thickness: 3 },
        ],
      ],
    ]);
    const found = transitionsAt(level(-6), planOf(rooms, doors), covering, 1);
    expect(found.map(({ doorId, step, kind }) => [doorId, step, kind.kind])).toEqual([
      ["D1", 0, "flush"],
      ["D3", -7, "bevelled"],
    ]);
  });
  it("takes the jamb with the greater step where the top falls along the door", () => {
    const [first] = transitionsAt(level(5, 2), planOf(rooms, doors), new Map(), 1);
    expect(first).toMatchObject({ step: 4, stepAtOtherJamb: 2, finish: 9 });
    expect(first!.kind.kind).toBe("vertical");
  });
});
