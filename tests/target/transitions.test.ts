import { describe, expect, it } from "vitest";
import type { Target } from "../../src/target/model.ts";
import { transitionKind, transitionsAt } from "../../src/target/transitions.ts";
import { door, noLevels, planOf } from "./floors.ts";

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
    const found = transitionsAt(level(-6), planOf(rooms, doors), noLevels, covering, 1);
    expect(found.map(({ doorId, step, kind }) => [doorId, step, kind.kind])).toEqual([
      ["D1", 0, "flush"],
      ["D3", -7, "bevelled"],
    ]);
  });
  it("takes the jamb with the greater step where the top falls along the door", () => {
    const [first] = transitionsAt(level(5, 2), planOf(rooms, doors), noLevels, new Map(), 1);
    expect(first).toMatchObject({ step: 4, stepAtOtherJamb: 2, finish: 9 });
    expect(first!.kind.kind).toBe("vertical");
  });

  it("counts in what the adjustment put on the set-up that the finish was read from", () => {
    const levels = {
      ...noLevels,
      report: { setUps: [{ setUpId: "S2", zeroCorrection: 3 }] },
    } as unknown as typeof noLevels;
    const read = [[door("D1", [1, 0], [2, 0], { neighbourFinish: 5, neighbourSetUpId: "S2" })]];
    expect(transitionsAt(level(6), planOf(rooms, read), levels, new Map(), 1)[0]).toMatchObject({
      neighbourFinish: 8,
      step: -2,
    });
  });

  it("sets two rooms of the job against each other, each with its covering, once for each door", () => {
    const pair = [...rooms, { x0: 4, y0: 0, x1: 6, y1: 3 }];
    const between = [
      [door("D9", [4, 1], [4, 2], { joins: "r1", joinsRoom: true })],
      [door("D9", [4, 2], [4, 1], { joins: "r0", joinsRoom: true })],
    ];
    const target: Target = {
      zones: [
        { roomIndices: [0], top: 0, fallEast: 0, fallNorth: 0 },
        { roomIndices: [1], top: -4, fallEast: 0, fallNorth: 0 },
      ],
      steps: [],
    };
    const tile = [{ name: "tile", thickness: 10 }];
    const at = (covering: ReadonlyMap<number, typeof tile>) =>
      transitionsAt(target, planOf(pair, between), noLevels, covering, 1).map(({ step, kind }) => [step, kind.kind]);
    expect(at(new Map())).toEqual([[4, "vertical"]]);
    expect(
      at(
        new Map([
          [0, []],
          [1, tile],
        ]),
      ),
    ).toEqual([[-6, "vertical"]]);
    // What goes on one side only is not known well enough to say.
    expect(at(new Map([[1, tile]]))).toEqual([]);
  });
});
