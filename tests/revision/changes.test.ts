/** What changed between two packets, set by hand: the pins of a small room before and after. */
import { describe, expect, test } from "vitest";
import { changesBetween } from "../../src/revision/changes.ts";
import type { IssuedNumbers } from "../../src/revision/issued-numbers.ts";
import { numbersApart } from "../../src/revision/numbers-apart.ts";

type Cut = readonly [
  id: string,
  order: number,
  eastM: number,
  printed: readonly [string, string] | "after-grinding" | "too-short",
];

const packet = (cuts: readonly Cut[], bags = 10, start: string | null = "2027-03-04 07:30"): IssuedNumbers => ({
  packetFormat: 1,
  job: { id: "room", dated: null, start, material: { id: "m", name: "Material" } },
  plan: { rooms: [{ id: "r", name: "Room" }] },
  depths: {
    kind: "ready",
    result: {
      pins: cuts.map(([id, order, eastM, printed]) => ({
        id,
        room: "r",
        order,
        at: { eastM, northM: 1 },
        cut: typeof printed === "string" ? printed : "cut",
        cutMm: typeof printed === "string" ? null : { value: 1, printed: [...printed] },
      })),
    },
  },
  quantities: { kind: "ready", result: { bags: { toOrder: bags }, otherMaterials: [], pallets: 1 } },
  schedule: { kind: "not-yet", why: "no crew" },
});
const issued = (numbers: IssuedNumbers) => ({ number: 1, date: "2027-03-01", numbers });

describe("pins", () => {
  const before = packet([
    ["A1", 1, 0, ["12 mm", "1/2 in"]],
    ["A2", 2, 1, ["13 mm", "1/2 in"]],
    ["A3", 3, 2, ["14 mm", "9/16 in"]],
    ["A4", 4, 3, ["15 mm", "9/16 in"]],
    ["A5", 5, 4, ["16 mm", "5/8 in"]],
    ["A6", 6, 5, "after-grinding"],
    ["A7", 7, 6, ["9 mm", "3/8 in"]],
  ]);
  const now = packet([
    ["A8", 1, 7, ["20 mm", "13/16 in"]],
    ["A7", 2, 6, "too-short"],
    ["A6", 3, 5, ["8 mm", "5/16 in"]],
    ["A5", 4, 4, ["16 mm", "5/8 in"]],
    ["A4", 5, 3.2, ["15 mm", "9/16 in"]],
    ["A3", 6, 2, ["15 mm", "9/16 in"]],
    ["A2", 7, 1, ["13 mm", "9/16 in"]],
  ]);
  const { pins } = changesBetween(issued(before), now);

  test("stand in the order of placing, with what is to be done and both lengths", () => {
    expect(
      pins.map(({ id, kind, before: was, now: is }) => [
        id,
        kind,
        was?.cut === "cut" ? was.printed[0] : was?.cut,
        is?.cut === "cut" ? is.printed[0] : is?.cut,
      ]),
    ).toEqual([
      ["A8", "new", undefined, "20 mm"],
      ["A7", "recut", "9 mm", "too-short"],
      ["A6", "recut", "after-grinding", "8 mm"],
      ["A4", "moved", "15 mm", "15 mm"],
      ["A3", "recut", "14 mm", "15 mm"],
      ["A1", "gone", "12 mm", undefined],
    ]);
  });

  test("a length that prints the same in the unit by which it is cut is not cut again", () => {
    expect(pins.some(({ id }) => id === "A2")).toBe(false);
    expect(pins.some(({ id }) => id === "A5")).toBe(false);
  });

  test("a job that now leads with inches cuts nothing again for that", () => {
    const inches = packet([["A1", 1, 0, ["1/2 in", "12 mm"]]]);
    expect(changesBetween(issued(packet([["A1", 1, 0, ["12 mm", "1/2 in"]]])), inches).pins).toEqual([]);
  });
});

test("orders and days: only what differs, before and now", () => {
  const { figures } = changesBetween(issued(packet([], 10)), packet([], 12, "2027-03-05 07:30"));
  expect(figures).toEqual([
    { what: "start", before: "2027-03-04 07:30", now: "2027-03-05 07:30" },
    { what: "bags", before: "10", now: "12" },
  ]);
});

describe("every number that differs", () => {
  test("is named by where it stands, lists by what their items are called", () => {
    const a = {
      depths: {
        pins: [
          { id: "A1", sdMm: 0.5, cutMm: { value: 1.2, printed: ["1 mm", "1/16 in"] } },
          { id: "A2", sdMm: 1 },
        ],
      },
    };
    const b = {
      depths: {
        pins: [
          { id: "A2", sdMm: 1 },
          { id: "A1", sdMm: 0.6, cutMm: { value: 2.2, printed: ["2 mm", "1/16 in"] } },
        ],
      },
    };
    expect(numbersApart(a, b)).toEqual([
      { path: "depths.pins[A1].sdMm", issued: "0.5", now: "0.6" },
      { path: "depths.pins[A1].cutMm", issued: "1 mm = 1/16 in", now: "2 mm = 1/16 in" },
    ]);
  });

  test("rounding of doubles, and a key that only one version writes, are none", () => {
    expect(numbersApart({ a: 0.1 + 0.2, old: 1 }, { a: 0.3, young: { b: 2 } })).toEqual([]);
  });

  test("an item that is there in one of them only is one, and so is a stage that gives nothing any more", () => {
    expect(numbersApart({ pins: [{ id: "A1" }] }, { pins: [] })).toEqual([{ path: "pins[A1]", issued: "there" }]);
    expect(numbersApart({ kind: "ready", result: { n: 1 } }, { kind: "not-yet", why: "no" })).toEqual([
      { path: "kind", issued: "ready", now: "not-yet" },
    ]);
  });
});
