import { describe, expect, it } from "vitest";
import { lineConditions } from "../../src/conformity/line-conditions.ts";
import type { Conformity, PartVerdict } from "../../src/conformity/model.ts";
import { point } from "../../src/geometry/point.ts";
import type { SampleLine } from "../../src/job/contract-model.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { madeJob, madeRoom, rectangle, squareColumn } from "../layout/made-job.ts";
import { asked, judged, type MadeFloor, madePlace, verdictOf } from "./made-evidence.ts";

const dipAt = (x0: number, y0: number, deep: number) => (x: number, y: number) =>
  Math.hypot(x - x0, y - y0) < 0.15 ? -deep : 0;
const part = (conformity: Conformity, rule = 0, index = 0): PartVerdict => conformity.rules[rule]!.parts[index]!;
const tenFeet = asked({ kind: "straightedge", edge: 3.048, gap: 4.8, contact: "between-contacts" });
const pad = (line: Partial<SampleLine> & Pick<SampleLine, "levelsMm">): SampleLine => ({
  id: "1",
  section: "hall",
  spacing: 0.3,
  readingSd: 0.05,
  place: madePlace(40),
  ...line,
});

describe("a straightedge on the finished floor", () => {
  it("names the worst place by two offsets from walls, with margin and date", () => {
    const conformity = verdictOf({ rules: [tenFeet], level: dipAt(6, 4.5, 7) });
    const [finding] = part(conformity).findings;
    expect(conformity.rules[0]!.result).toBe("outside");
    expect(finding!.date).toBe("2027-03-08");
    expect(finding!.readings).toBe(660);
    expect(finding!.worst!.value).toBeCloseTo(7, 3);
    expect(finding!.worst!.margin).toBeCloseTo(4.8 - 7, 3);
    expect(finding!.worst!.survives).toBe("survives");
    const offsets = finding!.worst!.where!.offsets!;
    expect(offsets.map(({ distance }) => Math.round(distance * 1000)).sort()).toEqual([4500, 6000]);
  });

  it("a verdict inside the noise of the readings does not survive", () => {
    const near = verdictOf({ rules: [tenFeet], level: dipAt(6, 4.5, 5.2), sd: 0.5 });
    expect(part(near).findings[0]!.worst!.survives).toBe("does-not-survive");
    expect(near.rules[0]!.result).toBe("outside");
    // Lowest reading 1, contacts far off: the gap's noise is between √(1 + ½)·σ and √2·σ.
    const { sd } = part(near).findings[0]!.worst!;
    expect(sd).toBeGreaterThan(0.5);
    expect(sd).toBeLessThan(0.5 * Math.SQRT2 + 1e-9);
  });

  it("pins every 2 m cannot decide a 10 ft edge; the reading plan says what would", () => {
    const conformity = verdictOf({ rules: [tenFeet], spacing: 2 });
    expect(conformity.rules[0]!.result).toBe("not-decidable");
    const [finding] = part(conformity).findings;
    expect(finding!.decided).toBe(0);
    expect(finding!.worst).toBeUndefined();
    expect(finding!.remarks[0]).toMatchObject({ kind: "too-few-under-edge", where: "nowhere" });
    const [plan] = conformity.readingPlans;
    expect(plan!.enough).toBe(false);
    if (plan!.needs.kind !== "grid") throw new Error(plan!.needs.kind);
    expect(plan!.needs.spacing).toBeCloseTo(0.4, 9);
    // Read on that grid, the rule is decided over all the floor between its readings.
    const first = plan!.needs.points[0]!;
    const read = verdictOf({ rules: [tenFeet], spacing: 0.4, origin: [first.x, first.y] });
    expect(read.rules[0]!.result).toBe("within");
    expect(read.readings).toBe(plan!.needs.points.length);
  });

  it("takes levels as they were read where the surface was smoothed", () => {
    const change: MadeFloor["change"] = (made) => ({
      ...made,
      slab: { ...made.slab, levelMm: made.slab.levelMm.map(() => 0) },
    });
    const conformity = verdictOf({ rules: [tenFeet], level: dipAt(6, 4.5, 7), change });
    expect(part(conformity).findings[0]!.worst!.value).toBeCloseTo(7, 3);
  });

  it("is laid on the measured lines too; a line can only find the floor outside", () => {
    const ends = [point(1, 2), point(7, 2)] as const;
    const line = (deep: number) =>
      pad({ ends, levelsMm: Array.from({ length: 21 }, (_, k) => (k === 10 ? -deep : 0)) });
    const fine = verdictOf({ rules: [tenFeet], spacing: 2, lines: [line(4)] });
    expect(fine.rules[0]!.result).toBe("not-decidable");
    expect(part(fine).findings[1]!.result).toBe("within");
    const deep = verdictOf({ rules: [tenFeet], spacing: 2, lines: [line(6)] });
    expect(deep.rules[0]!.result).toBe("outside");
    const worst = part(deep).findings[1]!.worst!;
    expect(worst.value).toBeCloseTo(6, 9);
    expect(worst.where!.name).toBe("1");
    expect(worst.where!.at.x).toBeCloseTo(4, 9);
    // One reading and the mean of two, 0.05 mm each: between √1.5 and √2 times that.
    expect(worst.sd).toBeGreaterThanOrEqual(0.05 * Math.sqrt(1.5) - 1e-9);
    expect(worst.sd).toBeLessThanOrEqual(0.05 * Math.SQRT2 + 1e-9);
  });

  it("accepts gaps measured by hand under the same edge, and leaves those under another", () => {
    const gap = { id: "W1", edge: 3.048, gap: 5.5, at: point(3, 3), place: madePlace(50) };
    const shorter = { ...gap, id: "W2", edge: 3, gap: 30 };
    const conformity = verdictOf({ rules: [tenFeet], spacing: 2, gaps: [gap, shorter] });
    const [, byHand] = part(conformity).findings;
    expect(byHand!.method.kind).toBe("gap-by-hand");
    expect(byHand!.readings).toBe(1);
    expect(byHand!.worst!.value).toBe(5.5);
    expect(byHand!.worst!.survives).toBe("uncertainty-not-known");
    expect(conformity.rules[0]!.result).toBe("outside");
    expect(conformity.places).toMatchObject([{ id: "F1", work: "fill", whole: 5.5, found: { name: "W1" } }]);
    expect(conformity.places[0]!.least).toBeCloseTo(0.7, 9);
  });

  it("ninety in a hundred within one limit and all within another", () => {
    const rule = asked({
      kind: "straightedge",
      edge: 3.048,
      gap: 9,
      contact: "between-contacts",
      most: { share: 0.9, gap: 3 },
    });
    const rough = (x: number, y: number) => 4 * Math.sin(2 * x) * Math.sin(2 * y);
    const conformity = verdictOf({ rules: [rule], level: rough });
    const [finding] = part(conformity).findings;
    expect(finding!.worst!.margin).toBeGreaterThan(0);
    expect(finding!.shareWithin).toBeLessThan(0.9);
    expect(finding!.result).toBe("outside");
  });
});

describe("the trade's rules", () => {
  it("all parts must hold: 10 ft within and 12 in not decidable is not decidable", () => {
    const conformity = verdictOf({ rules: [asked({ kind: "trade-rule", name: "resilient-covering" })] });
    expect(conformity.rules[0]!.parts.map(({ result }) => result)).toEqual(["within", "not-decidable"]);
    expect(conformity.rules[0]!.result).toBe("not-decidable");
    expect(conformity.readingPlans[1]!.needs.kind).toBe("edge-by-hand");
  });
  it("either part is enough for wood: a dip of 4 mm passes under 10 ft and fails under 6 ft", () => {
    const conformity = verdictOf({
      rules: [asked({ kind: "trade-rule", name: "wood-flooring" })],
      spacing: 0.25,
      level: dipAt(5.4, 4.5, 4),
    });
    expect(conformity.rules[0]!.parts.map(({ result }) => result)).toEqual(["within", "outside"]);
    expect(conformity.rules[0]!.result).toBe("within");
    expect(conformity.places).toHaveLength(0);
  });
});

describe("the level rule", () => {
  const rule = asked({ kind: "level", plusMinus: 3 });
  const level = (x: number, y: number) =>
    Math.hypot(x - 2, y - 2.1) < 0.15 ? 5 : Math.hypot(x - 8, y - 6.1) < 0.15 ? -4 : 1;
  it("judges pin by pin with the uncertainty, and lists what to grind and to fill", () => {
    const conformity = verdictOf({ rules: [rule], level });
    const { points, highest, lowest, mean } = conformity.level!;
    expect(highest).toMatchObject({ difference: 5, verdict: { result: "outside", survives: "survives" } });
    expect(lowest.difference).toBe(-4);
    expect(points.filter(({ verdict }) => verdict!.result === "outside")).toHaveLength(2);
    expect(mean).toBeCloseTo(1 + (4 - 5) / 660, 9);
    expect(conformity.places.map(({ id, whole, least }) => [id, whole, least])).toEqual([
      ["G1", 5, 2],
      ["F1", 4, 1],
    ]);
    expect(conformity.places[0]!.area).toBeGreaterThan(0);
  });
  it("on the raw slab before the pour there is nothing to fill: that is what the pour is for", () => {
    const conformity = verdictOf({ rules: [rule], level: () => -12, floor: "raw-slab" });
    expect(conformity.floor).toBe("raw-slab");
    expect(conformity.rules[0]!.result).toBe("outside");
    expect(conformity.places).toHaveLength(0);
  });
  it("without a target nothing is compared", () => {
    const conformity = verdictOf({ rules: [rule], withoutTarget: true });
    expect(conformity.level).toBeUndefined();
    expect(conformity.rules[0]!.result).toBe("not-decidable");
  });
});

describe("DIN 18202 on the grid and on lines", () => {
  const rule = asked({ kind: "din-18202", row: "finished" });
  it("finds the middle of three readings, by its distance", () => {
    // 4.6 mm in the middle of readings 1 m apart: 6 mm are allowed over 2 m; every 0.4 m: 4 mm over 0.8 m (3.56 rounded).
    const wide = verdictOf({ rules: [rule], spacing: 1, origin: [1, 0.5], level: dipAt(5, 4.5, 4.6) });
    expect(part(wide).findings[0]).toMatchObject({ result: "within", worst: { limit: 6, over: 2 } });
    // A deeper one makes humps of its neighbours, half as high, past the limit too: they are not to be ground.
    expect(verdictOf({ rules: [rule], level: dipAt(6, 4.5, 10) }).places).toMatchObject([{ work: "fill", whole: 10 }]);
    const close = verdictOf({ rules: [rule], level: dipAt(6, 4.5, 4.6) });
    expect(part(close).findings[0]!.worst).toMatchObject({ limit: 4, survives: "survives" });
    expect(part(close).findings[0]!.worst!.value).toBeCloseTo(-4.6, 9);
    expect(part(close).findings[0]!.worst!.sd).toBeCloseTo(0.2 * Math.sqrt(1.5), 9);
    expect(close.rules[0]!.result).toBe("outside");
    expect(close.places).toMatchObject([{ work: "fill", whole: 4.6 }]);
  });
  it("does not reach round a corner: readings on both sides of a wall are not neighbours", () => {
    const u = madeRoom("u", [
      [0, 0],
      [9, 0],
      [9, 6],
      [6, 6],
      [6, 2],
      [3, 2],
      [3, 6],
      [0, 6],
    ]);
    // The two arms differ by 30 mm, each flat; a row across both would see a bend of 15 mm.
    const made = verdictOf({
      rules: [rule],
      rooms: [u],
      spacing: 0.5,
      origin: [0.5, 2.6],
      level: (x) => (x > 4.5 ? 30 : 0),
    });
    expect(part(made).findings[0]!.worst!.value).toBeCloseTo(0, 9);
  });
  it("between high points of a line: the deepest gap against the distance of its high points", () => {
    const levelsMm = Array.from({ length: 14 }, (_, k) => (k === 6 ? -8 : 0));
    const line = pad({ ends: [point(1, 2), point(4.9, 2)], levelsMm });
    const conformity = verdictOf({ rules: [rule], spacing: 1, lines: [line] });
    const byLine = part(conformity).findings[1]!;
    expect(byLine).toMatchObject({ result: "outside", worst: { value: 8, limit: 3, survives: "survives" } });
    expect(byLine.worst!.over).toBeCloseTo(0.6, 9);
    expect(byLine.worst!.where!.at.x).toBeCloseTo(2.8, 9);
  });
});

describe("flatness and levelness numbers", () => {
  const rule = asked({ kind: "f-numbers", flatness: 20, levelness: 15, leastReadings: 24, withinDays: 4 });
  const random = randomFrom(5);
  const rough = (spread: number) => Array.from({ length: 18 }, () => spread * random.normal());
  const located = (y: number, more: Partial<SampleLine> = {}) =>
    pad({ id: `y${y}`, ends: [point(1, y), point(6.1, y)], levelsMm: rough(0.3), ...more });

  it("composite and every section against their own limits, conditions all held but the joints", () => {
    const lines = [located(1.5), located(4), located(6.5)];
    const conformity = verdictOf({ rules: [rule], lines });
    const report = conformity.fNumbers!;
    const standing = Object.fromEntries(report.conditions.map((one) => [one.condition, one.standing]));
    expect(standing).toEqual({
      spacing: "holds",
      "readings-in-line": "holds",
      "line-length": "holds",
      "one-method": "holds",
      "on-the-floor": "holds",
      "edge-distance": "holds",
      "joint-distance": "not-known",
      "lines-apart": "holds",
      "joint-in-section": "not-known",
      "readings-in-all": "holds",
      "time-since-pour": "holds",
    });
    expect(report.toTheMethod).toBe(false);
    expect(part(conformity).findings.map(({ method }) => method.kind)).toEqual([
      "f-number-composite",
      "f-number-section",
    ]);
    expect(part(conformity).findings[1]!.worst!.limit).toBeCloseTo(12, 9);
    expect(conformity.rules[0]!.result).toBe("within");
    for (const { standing: from } of report.formulas.slice(1)) expect(from).toBe("from-memory");
  });

  describe("joints that the job gives", () => {
    const own = randomFrom(9);
    const lines = [1.5, 4, 6.5].map((y) =>
      pad({
        id: `y${y}`,
        ends: [point(1, y), point(6.1, y)],
        levelsMm: Array.from({ length: 18 }, () => 0.3 * own.normal()),
      }),
    );
    const standings = (made: Partial<MadeFloor>) =>
      Object.fromEntries(
        verdictOf({ rules: [rule], lines, ...made })
          .fNumbers!.conditions.filter(({ condition }) => condition.includes("joint"))
          .map(({ condition, standing }) => [condition, standing]),
      );
    const joint = (x: number, y: number, toX: number, toY: number) => ({
      id: "CJ1",
      from: point(x, y),
      to: point(toX, toY),
    });

    it("none at all, and said so: the conditions hold, and the numbers are to the method", () => {
      const conformity = verdictOf({ rules: [rule], lines, joints: [] });
      expect(conformity.fNumbers!.toTheMethod).toBe(true);
    });

    it("beyond the lines: they hold", () => {
      expect(standings({ joints: [joint(8, 0, 8, 9)] })).toEqual({
        "joint-distance": "holds",
        "joint-in-section": "holds",
      });
    });

    it("across the lines, too little on either side: nothing is judged, and each line is named with the place of the joint", () => {
      const outcome = judged({ rules: [rule], lines, joints: [joint(4, 0, 4, 9)] });
      if (outcome.kind !== "ready") throw new Error(outcome.kind);
      expect(outcome.value.rules[0]!.result).toBe("not-decidable");
      expect(outcome.value.fNumbers).toBeUndefined();
      expect(outcome.value.lineCuts.map(({ line }) => line)).toEqual(["y1.5", "y4", "y6.5"]);
      const told = outcome.warnings.filter(({ code }) => code === "line-across-a-joint");
      expect(told).toHaveLength(3);
      // The lines begin 1 m from the wall, the joint is 4 m from it.
      expect(told[0]!.message).toMatch(/line y1\.5 runs across joint CJ1, 3\.000\sm from its first reading/);
      expect(told[0]!.message).toMatch(/none of it is long enough/);
      expect(told[0]!.place).toBe(lines[0]!.place);
    });

    describe("across long lines", () => {
      // 36 readings from 0.75 m to 11.25 m; the joint at 6 m takes those from 5.55 m to 6.45 m.
      const long = [1.5, 4, 6.5].map((y) =>
        pad({
          id: `y${y}`,
          ends: [point(0.75, y), point(11.25, y)],
          levelsMm: Array.from({ length: 36 }, () => 0.3 * own.normal()),
        }),
      );
      const cut = verdictOf({ rules: [rule], lines: long, joints: [joint(6, 0, 6, 9)] });
      /** As the office would have typed them itself: by hand, in two sections. */
      const byHand = long.flatMap((line, k) => {
        const y = [1.5, 4, 6.5][k]!;
        const side = (id: string, section: string, from: number, levelsMm: readonly number[]) =>
          pad({ id, section, levelsMm, ends: [point(from, y), point(from + 4.5, y)] });
        return [
          side(`y${y}a`, "hall-1", 0.75, line.levelsMm.slice(0, 16)),
          side(`y${y}b`, "hall-2", 6.75, line.levelsMm.slice(20)),
        ];
      });

      it("each side is judged as a line of its own, in a section of its own, to the method", () => {
        const typed = verdictOf({ rules: [rule], lines: byHand, joints: [joint(6, 0, 6, 9)] });
        expect(typed.lineCuts).toEqual([]);
        expect(cut.fNumbers!.toTheMethod).toBe(true);
        expect(cut.fNumbers!.lines.map(({ line }) => [line.id, line.section])).toEqual(
          byHand.map(({ id, section }) => [id, section]),
        );
        for (const [k, { flatness, levelness }] of cut.fNumbers!.lines.entries()) {
          expect(flatness.number).toEqual(typed.fNumbers!.lines[k]!.flatness.number);
          expect(levelness.number).toEqual(typed.fNumbers!.lines[k]!.levelness.number);
        }
        expect(cut.fNumbers!.composite.flatness.number).toEqual(typed.fNumbers!.composite.flatness.number);
        expect(cut.fNumbers!.sections.map(({ readings }) => readings)).toEqual([48, 48]);
        expect(cut.rules[0]!.result).toBe(typed.rules[0]!.result);
      });

      it("says of every reading what becomes of it", () => {
        expect(cut.lineCuts[1]).toEqual({
          line: "y4",
          section: "hall",
          parts: [
            { first: 1, last: 16, becomes: "y4a" },
            { first: 17, last: 20, leftOut: "near-joint", joint: "CJ1" },
            { first: 21, last: 36, becomes: "y4b" },
          ],
        });
      });

      it("a joint near one end leaves one side, under the name of the line, and names the rest", () => {
        const off = verdictOf({ rules: [rule], lines: [long[0]!], joints: [joint(9, 0, 9, 9)] });
        expect(off.lineCuts[0]!.parts).toEqual([
          { first: 1, last: 26, becomes: "y1.5" },
          { first: 27, last: 30, leftOut: "near-joint", joint: "CJ1" },
          { first: 31, last: 36, leftOut: "too-short" },
        ]);
        expect(off.fNumbers!.lines.map(({ line, levels }) => [line.id, levels.length])).toEqual([["y1.5", 26]]);
        expect(off.fNumbers!.toTheMethod).toBe(true);
      });

      it("a straightedge still runs over the joint: the whole line serves it", () => {
        const step = long.map((line) => ({ ...line, levelsMm: line.levelsMm.map((_, k) => (k < 18 ? 0 : 9)) }));
        const over = verdictOf({ rules: [tenFeet], lines: step, joints: [joint(6, 0, 6, 9)], spacing: 4 });
        const onLine = part(over).findings.find(({ method }) => method.kind === "edge-on-line");
        expect(onLine!.worst!.value).toBeGreaterThan(4.8);
      });
    });

    it("a line along a wall is left out and named where the others keep their distance", () => {
      const lines = [0.3, 4, 6.5].map((y) =>
        pad({
          id: `y${y}`,
          ends: [point(1, y), point(6.1, y)],
          levelsMm: Array.from({ length: 18 }, () => 0.3 * own.normal()),
        }),
      );
      const conformity = verdictOf({ rules: [rule], lines, joints: [] });
      expect(conformity.lineCuts).toEqual([
        { line: "y0.3", section: "hall", parts: [{ first: 1, last: 18, leftOut: "near-edge" }] },
      ]);
      expect(conformity.fNumbers!.toTheMethod).toBe(true);
      expect(conformity.fNumbers!.composite.readings).toBe(36);
    });

    it("walls, columns and the jambs of a door cut a line as a joint does", () => {
      // Readings from wall to wall, past a column whose near face is 0.3 m off the line.
      const rooms = [madeRoom("hall", rectangle(0, 0, 12, 9), { columns: [squareColumn("C1", 6, 4.5, 0.4)] })];
      const levelsMm = Array.from({ length: 39 }, () => 0.3 * own.normal());
      const line = pad({ id: "L", ends: [point(0.3, 4), point(11.7, 4)], levelsMm });
      const { lineCuts, fNumbers } = verdictOf({ rules: [rule], rooms, lines: [line], joints: [] });
      // The column's corners are at x = 5.8 and 6.2, 0.3 m from the line: √(0.595² − 0.3²) = 0.514 m to either side.
      expect(lineCuts[0]!.parts).toEqual([
        { first: 1, last: 1, leftOut: "near-edge" },
        { first: 2, last: 17, becomes: "La" },
        { first: 18, last: 22, leftOut: "near-edge" },
        { first: 23, last: 38, becomes: "Lb" },
        { first: 39, last: 39, leftOut: "near-edge" },
      ]);
      expect(fNumbers!.toTheMethod).toBe(true);
    });

    it("those of the pour alone: what they spoil fails, what they do not stays open", () => {
      const { pour } = madeJob([]);
      const withDam = (dam: ReturnType<typeof joint>) => ({ job: { pour: { ...pour, dams: [dam] } } });
      const open = { "joint-distance": "not-known", "joint-in-section": "not-known" };
      expect(standings(withDam(joint(8, 0, 8, 9)))).toEqual(open);
      // Beside the line at 4 m all along: that is left out, and named; the others are on both sides of it.
      const beside = joint(0, 3.8, 12, 3.8);
      const cutsOf = (made: Partial<MadeFloor>) => verdictOf({ rules: [rule], lines, ...made }).lineCuts;
      const y4 = { line: "y4", section: "hall", parts: [{ first: 1, last: 18, leftOut: "near-joint", joint: "CJ1" }] };
      expect(cutsOf(withDam(beside))).toEqual([y4]);
      expect(standings(withDam(beside))).toEqual(open);
      // Before the pour there is no dam; a joint that moves is there already.
      expect(cutsOf({ ...withDam(beside), floor: "raw-slab" })).toEqual([]);
      expect(cutsOf({ job: { pour: { ...pour, movingJoints: [beside] } }, floor: "raw-slab" })).toEqual([y4]);
    });
  });

  it("the narrow pad: numbers, and not to the method, with the reasons", () => {
    const narrow = madeRoom("pad", rectangle(0, 0, 3.36, 6.11));
    const lines = [0, 1, 2, 3, 4].map((k) =>
      pad({
        id: String(k),
        ends: [point(0.48 + 0.6 * k, 1), point(0.48 + 0.6 * k, 1 + 13 * 0.3)],
        levelsMm: rough(1).slice(0, 14),
      }),
    );
    const conformity = verdictOf({ rules: [rule], rooms: [narrow], lines });
    const failing = conformity.fNumbers!.conditions.filter(({ standing }) => standing === "fails");
    expect(failing.map(({ condition }) => condition)).toEqual(["edge-distance", "lines-apart"]);
    expect(failing[0]!.lines).toEqual(["0", "4"]);
    expect(conformity.fNumbers!.composite.flatness.number.kind).toBe("value");
    const [composite] = part(conformity).findings;
    expect(composite!.result).toBe("not-decidable");
    expect(composite!.worst!.value).toBeGreaterThan(0);
    const near = composite!.remarks.find(({ kind }) => kind === "not-to-the-method");
    expect(near).toMatchObject({ condition: { condition: "edge-distance", wanted: 0.6 } });
    expect(near?.kind === "not-to-the-method" && near.condition.found[0]!.value).toBeCloseTo(0.48, 9);
  });

  it("the planned lines keep clear of joints", () => {
    const joints = [{ id: "CJ1", from: point(6, 0), to: point(6, 9) }];
    const [plan] = verdictOf({ rules: [rule], joints }).readingPlans;
    if (plan!.needs.kind !== "lines") throw new Error(plan!.needs.kind);
    expect(plan!.needs.lines.length).toBeGreaterThan(4);
    for (const { ends } of plan!.needs.lines) {
      const [a, b] = ends.map(({ x }) => x - 6) as [number, number];
      expect(Math.min(Math.abs(a), Math.abs(b))).toBeGreaterThanOrEqual(0.6 - 1e-9);
      expect(a * b).toBeGreaterThan(0);
    }
  });

  it("lines whose place nobody recorded keep their numbers and leave the conditions open", () => {
    const conformity = verdictOf({
      rules: [rule],
      lines: [pad({ levelsMm: rough(0.3) }), pad({ id: "2", levelsMm: rough(0.3) })],
    });
    const open = conformity.fNumbers!.conditions.filter(({ standing }) => standing === "not-known");
    expect(open.map(({ condition }) => condition)).toContain("edge-distance");
    expect(part(conformity).findings[0]!.result).toBe("within");
  });

  it("a joint between two lines of a section, a joint beside a line, a line read too late", () => {
    const lines = [located(1.5), located(4, { date: "2027-03-20" }), located(6.5)];
    const floors = [
      {
        roomId: "hall",
        name: "hall",
        polygon: { outline: rectangle(0, 0, 12, 9).map(([x, y]) => point(x, y)), holes: [] },
        walls: [],
        obstacles: [],
        doors: [],
      },
    ];
    const joints = { known: [{ id: "CJ1", from: point(0, 6.2), to: point(12, 6.2) }], all: true };
    const conditions = lineConditions(lines, {
      floors,
      joints,
      poured: "2027-03-04",
      read: "2027-03-06",
      withinDays: 4,
    });
    const of = (name: string) => conditions.find(({ condition }) => condition === name)!;
    expect(of("joint-distance")).toMatchObject({ standing: "fails", lines: ["y6.5"] });
    expect(of("joint-in-section")).toMatchObject({ standing: "fails", lines: ["y1.5", "y4", "y6.5"] });
    expect(of("time-since-pour")).toMatchObject({ standing: "fails", lines: ["y4"] });
  });

  it("a failing section lists its sharpest places, humps to grind and dips to fill", () => {
    const levelsMm = Array.from({ length: 18 }, (_, k) => (k === 9 ? 10 : 0));
    const plain = asked({ kind: "f-numbers", flatness: 20 });
    const conformity = verdictOf({ rules: [plain], lines: [located(4, { levelsMm })] });
    expect(conformity.rules[0]!.result).toBe("outside");
    // Over the hump q = −20 mm: 10 mm to grind, 9 readings from the line's start.
    expect(conformity.places).toMatchObject([{ id: "G1", whole: 10 }]);
    expect(conformity.places[0]!.found.at.x).toBeCloseTo(1 + 9 * 0.3, 9);
  });

  it("noise that alone keeps the number low: outside, but the verdict does not survive", () => {
    const levelsMm = rough(1);
    const noisy = located(4, { levelsMm, readingSd: 1 });
    const steep = asked({ kind: "f-numbers", flatness: 40 });
    const [finding] = part(verdictOf({ rules: [steep], lines: [noisy] })).findings;
    expect(finding!.result).toBe("outside");
    expect(finding!.worst!.survives).toBe("does-not-survive");
    expect(finding!.remarks).toContainEqual({ kind: "noise-keeps-number-low" });
    const [sure] = part(verdictOf({ rules: [steep], lines: [located(4, { levelsMm, readingSd: 0.01 })] })).findings;
    expect(sure!.worst!.survives).toBe("survives");
  });

  it("the planned lines keep the conditions of the method, round columns too", () => {
    const rooms = [
      madeRoom("hall", rectangle(0, 0, 12, 9), { columns: [squareColumn("C1", 6, 4.5, 0.4)] }),
      madeRoom("closet", rectangle(14, 0, 3, 3)),
    ];
    const conformity = verdictOf({ rules: [rule], rooms });
    const [plan] = conformity.readingPlans;
    if (plan!.needs.kind !== "lines") throw new Error(plan!.needs.kind);
    expect(plan!.enough).toBe(false);
    expect(plan!.needs.readings).toBeGreaterThanOrEqual(24);
    const lines = plan!.needs.lines.map(({ id, ends, readings, spacing }) =>
      pad({ id, ends, spacing, levelsMm: Array(readings).fill(0) }),
    );
    const floors = rooms.map(({ outline, columns, walls, id }) => ({
      roomId: id,
      name: id,
      polygon: { outline, holes: columns.map(({ ring }) => ring) },
      walls,
      obstacles: columns,
      doors: [],
    }));
    const conditions = lineConditions(lines, { floors, joints: { known: [], all: true }, leastReadings: 24 });
    expect(conditions.filter(({ standing }) => standing !== "holds")).toEqual([]);
    expect(plan!.remarks).toContainEqual({ kind: "method-does-not-reach", roomIndex: 1, line: 3.3, edge: 0.6 });
  });
});

describe("not yet", () => {
  it("without a rule in figures, or without readings of the finished floor", () => {
    expect(judged({ rules: [] })).toMatchObject({ kind: "not-yet" });
    const { kind } = judged({ rules: [tenFeet], job: { finished: undefined as never } });
    expect(kind).toBe("not-yet");
  });
});
