import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Outcome } from "../../src/diagnostics.ts";
import { planLength } from "../../src/format.ts";
import { distance, type Point, point } from "../../src/geometry/point.ts";
import { polygonArea, polygonContains } from "../../src/geometry/polygon.ts";
import { rowIndex, rowLetters } from "../../src/job/grid-names.ts";
import type { Job, Room } from "../../src/job/model.ts";
import { layOut } from "../../src/layout/lay-out.ts";
import type { Plan, PlanPin } from "../../src/layout/model.ts";
import {
  FOOT,
  madeDoor,
  madeJob,
  madeReading,
  madeRoom,
  madeSurvey,
  readingsOf,
  rectangle,
  squareColumn,
  turned,
} from "./made-job.ts";

function planOf(job: Job): { plan: Plan; codes: string[]; messages: string[] } {
  const outcome: Outcome<Plan> = layOut(job);
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return {
    plan: outcome.value,
    codes: outcome.warnings.map(({ code }) => code),
    messages: outcome.warnings.map(({ message }) => message.replaceAll("\u00a0", " ")),
  };
}

function problemsOf(job: Job): { code: string; message: string; hint: string | undefined; line: number | undefined }[] {
  const outcome = layOut(job);
  if (outcome.kind !== "refused") throw new Error(`expected a refusal, got ${outcome.kind}`);
  return outcome.problems.map(({ code, message, hint, place }) => ({
    code,
    message: message.replaceAll("\u00a0", " "),
    hint,
    line: place?.line,
  }));
}

const idsOf = (plan: Plan): string[] => plan.points.map(({ id }) => id);
const pinOf = (plan: Plan, id: string): PlanPin => {
  const pin = plan.pins.find((candidate) => candidate.id === id);
  if (!pin) throw new Error(`no pin ${id}`);
  return pin;
};

describe("grid", () => {
  test("letters leave out I and O (ISO 5457)", () => {
    expect(Array.from({ length: 26 }, (_, k) => rowLetters(k)).join(" ")).toBe(
      "A B C D E F G H J K L M N P Q R S T U V W X Y Z AA AB",
    );
    for (let k = 0; k < 2000; k++) expect(rowIndex(rowLetters(k))).toBe(k);
    expect([rowIndex("I"), rowIndex("AO"), rowIndex("")]).toEqual([undefined, undefined, undefined]);
  });

  test("A1 is at the origin, letters go north and numbers east, to the end of the rooms", () => {
    // 20 ft east, 14 ft north, grid of 6 ft from 2 ft: columns at 2, 8, 14, 20 ft; rows at 2, 8, 14 ft.
    const { plan, codes } = planOf(madeJob([madeRoom("hall", rectangle(0, 0, 20 * FOOT, 14 * FOOT))]));
    expect(codes).toEqual([]);
    expect(idsOf(plan)).toEqual(["A1", "A2", "A3", "A4", "B1", "B2", "B3", "B4", "C1", "C2", "C3", "C4"]);
    const b3 = pinOf(plan, "B3").at;
    expect([b3.x / FOOT, b3.y / FOOT]).toEqual([expect.closeTo(14, 9), expect.closeTo(8, 9)]);
  });

  test("points in columns are left out, points a hair outside a wall are moved onto it", () => {
    const room = madeRoom("hall", rectangle(0, 0, 20 * FOOT - 0.004, 14 * FOOT), {
      columns: [squareColumn("C1", 8 * FOOT, 8 * FOOT, 0.4)],
    });
    const { plan } = planOf(madeJob([room]));
    expect(idsOf(plan)).not.toContain("B2");
    expect(pinOf(plan, "A4").at.x).toBeCloseTo(20 * FOOT - 0.004, 9);
  });

  test("a point on the wall between two rooms belongs to one of them", () => {
    const rooms = [madeRoom("west", rectangle(0, 0, 8 * FOOT, 3)), madeRoom("east", rectangle(8 * FOOT, 0, 3, 3))];
    const { plan } = planOf(madeJob(rooms));
    expect(plan.points.filter(({ id }) => id === "A2").map(({ roomIndex }) => roomIndex)).toEqual([0]);
  });
});

describe("floors", () => {
  test("a doorway is joined on, its jambs stay corners, columns are holes", () => {
    const bare = madeRoom("hall", rectangle(0, 0, 6, 4), { columns: [squareColumn("C1", 3, 2, 0.5)] });
    const room: Room = { ...bare, doors: [madeDoor(bare, "D1", 0, 1, 0.9, 0.12), madeDoor(bare, "D2", 0, 3, 1, 0)] };
    const floor = planOf(madeJob([room])).plan.floors[0]!;
    // 24 m² + 0.9 × 0.12 − 0.25
    expect(polygonArea(floor.polygon)).toBeCloseTo(24 + 0.108 - 0.25, 12);
    expect(floor.polygon.outline).toEqual([
      { x: 0, y: 0 },
      { x: 1, y: 0 },
      { x: 1, y: -0.12 },
      { x: 1.9, y: -0.12 },
      { x: 1.9, y: 0 },
      { x: 3, y: 0 },
      { x: 4, y: 0 },
      { x: 6, y: 0 },
      { x: 6, y: 4 },
      { x: 0, y: 4 },
    ]);
  });

  test("a door in the corner adds no corner twice", () => {
    const bare = madeRoom("hall", rectangle(0, 0, 6, 4));
    const room: Room = { ...bare, doors: [madeDoor(bare, "D1", 1, 0, 4, 0.1)] };
    expect(planOf(madeJob([room])).plan.floors[0]!.polygon.outline).toHaveLength(6);
  });

  test("a column in the wall is cut out of the outline; columns that cut a room apart are refused", () => {
    const inWall = madeRoom("hall", rectangle(0, 0, 6, 4), { columns: [squareColumn("C1", 3, 0.2, 0.4)] });
    const floor = planOf(madeJob([inWall])).plan.floors[0]!;
    expect(floor.polygon.holes).toHaveLength(0);
    expect(polygonArea(floor.polygon)).toBeCloseTo(24 - 0.16, 9);
    const across = { id: "K", kind: "opening" as const, ring: [point(2, 0), point(2, 4), point(3, 4), point(3, 0)] };
    const problems = problemsOf(madeJob([madeRoom("hall", rectangle(0, 0, 6, 4), { columns: [across] })]));
    expect(problems.map(({ code }) => code)).toEqual(["room-cut-apart"]);
    expect(problems[0]!.message).toContain("2 separate floors");
  });
});

describe("pins", () => {
  test("along a door: near both jambs, set in, no farther apart than the material wants", () => {
    const bare = madeRoom("hall", rectangle(0, 0, 8, 6));
    const room: Room = { ...bare, doors: [madeDoor(bare, "D1", 0, 3, 2.2, 0.1)] };
    const { plan } = planOf(madeJob([room]));
    const pins = plan.pins.filter(({ kind }) => kind === "door");
    // 2.2 m less 0.1 m at both jambs is 2.0 m: three gaps of at most 0.9144 m.
    expect(pins.map(({ id }) => id)).toEqual(["D1a", "D1b", "D1c", "D1d"]);
    expect(pins.map(({ at }) => at.x)).toEqual([3.1, 3.1 + 2 / 3, 3.1 + 4 / 3, 5.1].map((x) => expect.closeTo(x, 9)));
    for (const pin of pins) {
      expect(pin.at.y).toBeCloseTo(0.1, 9);
      expect(pin.doorId).toBe("D1");
    }
    expect(idsOf(plan)).toContain("D1a");
  });

  test("a grid point at the jamb guards the door, and no pin is doubled", () => {
    const bare = madeRoom("hall", rectangle(0, 0, 8, 6));
    const room: Room = { ...bare, doors: [madeDoor(bare, "D1", 0, 0.45, 0.9, 0.1)] };
    const survey = madeSurvey([], { origin: point(0.6, 0.15) });
    const { plan } = planOf(madeJob([room], { survey }));
    expect(pinOf(plan, "A1").doorId).toBe("D1");
    expect(plan.pins.filter(({ kind }) => kind === "door").map(({ id, at }) => [id, at.x])).toEqual([
      ["D1a", expect.closeTo(1.25, 9)],
    ]);
  });

  test("a grid wider than the material's pins gets pins between, and says so", () => {
    const job = madeJob([madeRoom("hall", rectangle(0, 0, 14 * FOOT, 14 * FOOT))]);
    const { plan, codes, messages } = planOf({ ...job, material: { ...job.material, pinSpacing: 4 * FOOT } });
    expect(codes).toEqual(["grid-wider-than-pins"]);
    expect(messages[0]).toContain(`the grid is 6' 0" wide`);
    expect(messages[0]).toContain(`a pin every 4' 0"`);
    const between = plan.pins.filter(({ kind }) => kind === "between");
    expect(between.map(({ id }) => id)).toEqual([
      "A1e",
      "A2e",
      "A1n",
      "A1ne",
      "A2n",
      "A2ne",
      "A3n",
      "B1e",
      "B2e",
      "B1n",
      "B1ne",
      "B2n",
      "B2ne",
      "B3n",
      "C1e",
      "C2e",
    ]);
    const a1ne = pinOf(plan, "A1ne");
    expect([a1ne.at.x / FOOT, a1ne.at.y / FOOT]).toEqual([expect.closeTo(5, 9), expect.closeTo(5, 9)]);
    expect(a1ne.offsets).toHaveLength(2);
    // Nothing is read there.
    expect(idsOf(plan)).not.toContain("A1ne");
    // No two neighbours on a line are farther apart than 4 ft.
    expect(planOf({ ...job, material: { ...job.material, pinSpacing: 6 * FOOT } }).codes).toEqual([]);
  });
});

/** Where a plan length as printed puts the tape: read back from its text. */
function printedMetres(value: number, leading: "ft-in" | "m"): number {
  const text = planLength(value, leading).large.text;
  if (leading === "m") return Number(text.replace(/\u00a0m$/, ""));
  const [, feet, whole, upper, lower] = /^(\d+)'\u00a0(\d+)?(?:\u00a0?(\d+)\/(\d+))?"$/.exec(text)!;
  return (Number(feet) * 12 + Number(whole ?? 0) + (upper ? Number(upper) / Number(lower) : 0)) * 0.0254;
}

/** The place at two square distances from two walls: Cramer's rule on the walls' inward normals. */
function redrawn(
  room: Room,
  offsets: readonly { wallIndex: number; distance: number }[],
  leading: "ft-in" | "m",
): Point {
  const rows = offsets.map(({ wallIndex, distance: offset }) => {
    const { from, to } = room.walls[wallIndex]!;
    const length = distance(from, to);
    const nx = -(to.y - from.y) / length;
    const ny = (to.x - from.x) / length;
    return { nx, ny, c: printedMetres(offset, leading) + nx * from.x + ny * from.y };
  });
  const [p, q] = rows as [(typeof rows)[0], (typeof rows)[0]];
  const det = p.nx * q.ny - p.ny * q.nx;
  return point((p.c * q.ny - p.ny * q.c) / det, (p.nx * q.c - p.c * q.nx) / det);
}

function redrawnPin(plan: Plan, job: Job, pin: PlanPin): Point {
  const room = job.rooms[pin.roomIndex]!;
  if (pin.offsets) return redrawn(room, pin.offsets, job.units.plan);
  const [, letters, number] = /^([A-Z]+)(\d+)$/.exec(pin.id)!;
  const offsets = [letters, number].map((name) => {
    const line = plan.gridLines.find((candidate) => candidate.name === name)!;
    const along = line.axis === "lettered" ? pin.at.x : pin.at.y;
    return line.offsets.find(({ roomIndex, ends: [a, b] }) => {
      const [low, high] = line.axis === "lettered" ? [a.x, b.x] : [a.y, b.y];
      return roomIndex === pin.roomIndex && along > low - 0.02 && along < high + 0.02;
    })!;
  });
  return redrawn(room, offsets, job.units.plan);
}

describe("offsets", () => {
  test("a rectangle: lettered lines from the south wall, numbered from the west wall, running", () => {
    const { plan } = planOf(madeJob([madeRoom("hall", rectangle(0, 0, 20 * FOOT, 14 * FOOT))]));
    const told = plan.gridLines.map(({ name, offsets }) => [
      name,
      ...offsets.map(({ wallIndex, distance: d }) => [wallIndex, Math.round((d / FOOT) * 1000) / 1000]),
    ]);
    // Wall 0 is the south wall, wall 3 the west wall.
    expect(told).toEqual([
      ["A", [0, 2]],
      ["B", [0, 8]],
      ["C", [0, 14]],
      ["1", [3, 2]],
      ["2", [3, 8]],
      ["3", [3, 14]],
      ["4", [3, 20]],
    ]);
    expect(plan.pins.every(({ offsets }) => offsets === undefined)).toBe(true);
  });

  test("a west wall a little shorter than the east one, as a closing error leaves it, still serves", () => {
    const corners: [number, number][] = [
      [0, 0.006],
      [6, 0],
      [6, 4],
      [0, 4],
    ];
    const survey = madeSurvey([], { origin: point(1, 1), spacingEast: 2, spacingNorth: 2 });
    const { plan } = planOf(madeJob([madeRoom("room", corners)], { survey }));
    const numbered = plan.gridLines.filter(({ axis }) => axis === "numbered");
    expect(numbered.map(({ offsets }) => [offsets[0]!.wallIndex, offsets[0]!.distance])).toEqual([
      [3, 1],
      [3, 3],
      [3, 5],
    ]);
    // The south wall is out of line by more than 2 mm over the room: lettered lines are measured from the north.
    const lettered = plan.gridLines.filter(({ axis }) => axis === "lettered");
    expect(lettered.map(({ offsets }) => [offsets[0]!.wallIndex, offsets[0]!.distance])).toEqual([
      [2, 3],
      [2, 1],
    ]);
  });

  test("an L: where the notch hides the long wall, the line is measured from one that a tape reaches", () => {
    // Worked by hand. The L is 8 by 8 with the north-east quarter missing; walls: 0 south (8), 1 east (4),
    // 2 north of the foot (4), 3 east of the leg (4), 4 north of the leg (4), 5 west (8).
    const room = madeRoom("ell", [
      [0, 0],
      [8, 0],
      [8, 4],
      [4, 4],
      [4, 8],
      [0, 8],
    ]);
    const survey = madeSurvey([], { origin: point(1, 1), spacingEast: 2, spacingNorth: 2 });
    const { plan } = planOf(madeJob([room], { survey, units: { plan: "m", height: "mm" } }));
    const told = Object.fromEntries(
      plan.gridLines.map(({ name, offsets }) => [
        name,
        offsets.map(({ wallIndex, distance: d, ends: [from, to] }) => [wallIndex, d, from.x, from.y, to.x, to.y]),
      ]),
    );
    expect(told).toEqual({
      A: [[0, 1, 0, 1, 8, 1]],
      B: [[0, 3, 0, 3, 8, 3]],
      C: [[0, 5, 0, 5, 4, 5]],
      D: [[0, 7, 0, 7, 4, 7]],
      1: [[5, 1, 1, 0, 1, 8]],
      2: [[5, 3, 3, 0, 3, 8]],
      3: [[5, 5, 5, 0, 5, 4]],
      4: [[5, 7, 7, 0, 7, 4]],
    });
    expect(idsOf(plan)).not.toContain("C3");
  });

  test("a U: a line in the far arm is not measured through the notch", () => {
    // Outer 9 by 6, notch x 3–6, y 3–6. Line 4 at x = 7.5 runs y 0–6; a tape from the west wall would cross
    // the notch, so it is measured from the east wall (1) or the notch's own wall (3).
    const corners: [number, number][] = [
      [0, 0],
      [9, 0],
      [9, 6],
      [6, 6],
      [6, 3],
      [3, 3],
      [3, 6],
      [0, 6],
    ];
    const survey = madeSurvey([], { origin: point(1.5, 1.5), spacingEast: 2, spacingNorth: 3 });
    const { plan } = planOf(madeJob([madeRoom("u", corners)], { survey }));
    const line4 = plan.gridLines.find(({ name }) => name === "4")!;
    expect(line4.offsets.map(({ wallIndex, distance: d }) => [wallIndex, d])).toEqual([[1, 1.5]]);
    // Line B at y = 4.5 runs through both arms: two stretches, both from the south wall.
    const lineB = plan.gridLines.find(({ name }) => name === "B")!;
    expect(lineB.offsets.map(({ wallIndex, distance: d, ends }) => [wallIndex, d, ends[0].x, ends[1].x])).toEqual([
      [0, 4.5, 0, 3],
      [0, 4.5, 6, 9],
    ]);
  });

  test("a turned room: no line is snapped, every pin has two offsets of its own, worked by hand", () => {
    // A square of 4 m turned 45° with its lowest corner at (4, 0). The pin at (4, 2) lies on the diagonal,
    // 2/√2 = 1.414 m square from both lower walls.
    const room = madeRoom("diamond", turned(rectangle(0, 0, 4, 4), Math.PI / 4, [4, 0]));
    const survey = madeSurvey([], { origin: point(2, 2), spacingEast: 2, spacingNorth: 2 });
    const { plan } = planOf(madeJob([room], { survey }));
    expect(plan.gridLines.every(({ offsets }) => offsets.length === 0)).toBe(true);
    expect(plan.gridLines.find(({ name }) => name === "A")!.unsquared).toHaveLength(1);
    expect(pinOf(plan, "A2").offsets!.map(({ wallIndex, distance: d }) => [wallIndex, d])).toEqual([
      [0, expect.closeTo(Math.SQRT2, 9)],
      [3, expect.closeTo(Math.SQRT2, 9)],
    ]);
  });

  describe("two offsets of a pin off the grid, worked by hand", () => {
    const offsetsOf = (corners: [number, number][], x: number, y: number) => {
      const survey = { ...madeSurvey([]), extraPoints: [{ id: "P", at: point(x, y) }] };
      const { plan } = planOf(madeJob([madeRoom("room", corners)], { survey }));
      return pinOf(plan, "P").offsets!.map(({ wallIndex, distance: d }) => [wallIndex, Math.round(d * 1e6) / 1e6]);
    };

    test("a corridor: its two nearest walls are parallel, so one of them and the nearer end", () => {
      expect(offsetsOf(rectangle(0, 0, 20, 2), 7, 0.5)).toEqual([
        [0, 0.5],
        [3, 7],
      ]);
    });

    test("an L: the nearer wall faces away, or its line is carried on through the notch", () => {
      // Walls: 0 south, 1 east, 2 north of the foot (y = 4), 3 east of the leg (x = 4), 4 north of the leg, 5 west.
      const ell: [number, number][] = [
        [0, 0],
        [8, 0],
        [8, 4],
        [4, 4],
        [4, 8],
        [0, 8],
      ];
      // Half a metre under the line y = 4 of wall 2 carried on, but that wall is not there: 1 m from the west, 3.5 m from the south.
      expect(offsetsOf(ell, 1, 3.5)).toEqual([
        [5, 1],
        [0, 3.5],
      ]);
      // In the foot, half a metre past the line of wall 3, which stands farther up.
      expect(offsetsOf(ell, 3.5, 1)).toEqual([
        [0, 1],
        [5, 3.5],
      ]);
    });

    test("two walls nearly in line: a wall at a real angle is worth the longer tape", () => {
      // The south wall bends up by 11° at x = 20; both parts are half a metre off, the end walls twenty.
      const bent: [number, number][] = [
        [0, 0],
        [20, 0],
        [40, 4],
        [40, 10],
        [0, 10],
      ];
      expect(offsetsOf(bent, 19.95, 0.5)).toEqual([
        [0, 0.5],
        [4, 19.95],
      ]);
    });

    test("a wall at a right angle farther off is worth more than a slanting one that is nearer", () => {
      // The east wall leans at 45°: it is 2.9/√2 = 2.05 m off, the west wall 3 m.
      const leaning: [number, number][] = [
        [0, 0],
        [4, 0],
        [8, 4],
        [0, 4],
      ];
      expect(offsetsOf(leaning, 3, 1.9)).toEqual([
        [0, 1.9],
        [3, 3],
      ]);
    });
  });

  test("a wall along a grid line: the line is there, at 0 from it", () => {
    const survey = madeSurvey([], { origin: point(0, 0), spacingEast: 2, spacingNorth: 2 });
    const { plan } = planOf(madeJob([madeRoom("hall", rectangle(0, 0, 4, 4))], { survey }));
    const lineA = plan.gridLines.find(({ name }) => name === "A")!;
    expect(lineA.offsets).toEqual([{ roomIndex: 0, wallIndex: 0, distance: 0, ends: [point(0, 0), point(4, 0)] }]);
    expect(idsOf(plan)).toHaveLength(9);
  });

  test("redrawn from the printed offsets every pin lands within 10 mm, in rooms of any shape and turn", () => {
    const shapes: [number, number][][] = [
      rectangle(0, 0, 9.3, 6.1),
      [
        [0, 0],
        [8, 0],
        [8, 4],
        [4, 4],
        [4, 8],
        [0, 8],
      ],
      [
        [0, 0],
        [9, 0],
        [9, 6],
        [6, 6],
        [6, 3],
        [3, 3],
        [3, 6],
        [0, 6],
      ],
      [
        [0, 0],
        [7, 0],
        [9, 3],
        [7, 6],
        [0, 6],
      ],
      [
        [0, 0],
        [9, 1],
        [4, 7],
      ],
    ];
    fc.assert(
      fc.property(
        fc.constantFrom(...shapes),
        fc.constantFrom(0, Math.PI / 2, 0.3, 0.0004, 1.234),
        fc.double({ min: 0.5, max: 2.5, noNaN: true }),
        fc.constantFrom("ft-in" as const, "m" as const),
        (corners, turn, spacing, unit) => {
          const bare = madeRoom("room", turned(corners, turn, [20, 20]));
          const room: Room = { ...bare, doors: [madeDoor(bare, "D1", 0, 1, 1.1, 0.1)] };
          const survey = madeSurvey([], { origin: point(10, 18), spacingEast: spacing, spacingNorth: spacing * 1.1 });
          const job = madeJob([room], { survey, units: { plan: unit, height: "mm" } });
          const { plan } = planOf(job);
          expect(plan.pins.length).toBeGreaterThan(2);
          for (const pin of plan.pins) {
            expect(polygonContains(plan.floors[0]!.polygon, pin.at)).toBe(true);
            expect(distance(redrawnPin(plan, job, pin), pin.at)).toBeLessThan(0.01);
          }
        },
      ),
      { seed: 7, numRuns: 60 },
    );
  });
});

describe("what is refused, and what is only said", () => {
  const hall = madeRoom("hall", rectangle(0, 0, 20 * FOOT, 14 * FOOT), {
    columns: [squareColumn("C1", 8 * FOOT, 8 * FOOT, 0.4)],
  });
  const annex = madeRoom("annex", rectangle(0, 22 * FOOT, 20 * FOOT, 10 * FOOT));

  test("readings without a place are named at their lines, all at once", () => {
    const readings = readingsOf({ A1: -5, A5: -6, A6: -7, B2: -4, D2: -3, F1: 0, Q1: -2, O1: -9, D1c: -1, "??": -1 });
    const problems = problemsOf(madeJob([hall, annex], {}, readings));
    expect(problems.map(({ code, line }) => [code, line])).toEqual([
      ["readings-of-another-plan", 2],
      ["row-longer-than-grid", 2],
      ["reading-in-column", 4],
      ["reading-outside-rooms", 5],
      ["row-beyond-grid", 7],
      ["unknown-point", 8],
      ["unknown-point", 9],
      ["unknown-point", 10],
    ]);
    expect(problems[1]!.message).toContain("up to A6, but the rooms end at numbered line 4");
    expect(problems[2]!.message).toContain("column C1");
    expect(problems[5]!.hint).toContain("after N comes P");
  });

  test("a near name is offered", () => {
    const survey = madeSurvey([madeReading("drian", -4)]);
    const job = madeJob([hall], { survey: { ...survey, extraPoints: [{ id: "drain", at: point(3, 3) }] } });
    expect(problemsOf(job)[0]!.hint).toBe("did you mean drain?");
  });

  test("bench marks may be read", () => {
    const benchMarks = [{ id: "BM1", at: point(-3, -3), level: 12 }];
    expect(planOf(madeJob([hall], { benchMarks }, [madeReading("BM1", 12)])).codes).toEqual([]);
  });

  test("extra points off every floor, or with a name that is taken", () => {
    const survey = {
      ...madeSurvey([]),
      extraPoints: [
        { id: "P1", at: point(-1, 1) },
        { id: "A1", at: point(1, 1) },
        { id: "P2", at: point(2, 2) },
        { id: "P2", at: point(2.5, 2) },
      ],
    };
    const problems = problemsOf(madeJob([hall], { survey }));
    expect(problems.map(({ code }) => code)).toEqual(["point-outside-rooms", "point-name-taken", "point-name-taken"]);
    expect(problems[0]!.message).toContain(`3' 3 3/8" off room hall`);
  });

  test("a strip to the south that the grid leaves out, and a room without a point", () => {
    const closet = madeRoom("closet", rectangle(20 * FOOT, 0, 0.5, 0.5));
    const survey = madeSurvey([], { origin: point(2 * FOOT, 9 * FOOT) });
    const { codes, messages } = planOf(madeJob([hall, closet], { survey }));
    expect(codes).toEqual(["room-without-points", "wide-strip-without-points"]);
    expect(messages[1]).toContain(`9' 0" to the south of line A`);
  });

  test("a grid beyond the rooms, and a spacing in the wrong unit", () => {
    const beyond = madeJob([hall], { survey: madeSurvey([], { origin: point(1, 100) }) });
    expect(problemsOf(beyond)[0]!.code).toBe("grid-misses-rooms");
    const fine = madeJob([hall], { survey: madeSurvey([], { spacingEast: 0.001, spacingNorth: 0.001 }) });
    expect(problemsOf(fine)[0]!.code).toBe("grid-too-fine");
    const long = madeJob([hall, madeRoom("store", rectangle(30 * FOOT, 0, 8329, 19))], { survey: madeSurvey([]) });
    const [tooMany] = problemsOf(long);
    expect(tooMany!.code).toBe("too-many-pins");
    expect(tooMany!.message).toContain("its largest room, store");
  });
});
