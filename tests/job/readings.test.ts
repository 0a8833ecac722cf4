/** Readings as the sheet stands: rows, signs, units, places, and what the office adds to them. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Job, Reading } from "../../src/job/model.ts";
import { readRun, readSheet } from "../../src/job/reading-sheet.ts";
import { changed, GOOD, printed, read } from "./job-text.ts";

const BLOCK = `numbers_are: below zero
      readings: |
        A  14  12  11.5   9
        B  15  13   -     8
        drain  16
`;

const withSetUp = (setUp: string): { job: Job | undefined; codes: string[]; text: string } => {
  const { job, diagnostics } = read(changed(BLOCK, setUp));
  return { job, codes: diagnostics.map(({ code }) => code), text: printed(diagnostics) };
};

const readingsOf = (setUp: string): readonly Reading[] => {
  const { job, text } = withSetUp(setUp);
  if (job === undefined) throw new Error(text);
  return job.survey.setUps[0]!.readings;
};

const levels = (setUp: string): Record<string, number> =>
  // To a nanometre: 3/4 in is 19.049999999999997 mm as a double.
  Object.fromEntries(readingsOf(setUp).map(({ pointId, level }) => [pointId, Number(level.toFixed(6))]));

describe("the block", () => {
  test("is a row to a line, a reading to a grid point, and what was not read is absent", () => {
    expect(levels(BLOCK)).toEqual({ A1: -14, A2: -12, A3: -11.5, A4: -9, B1: -15, B2: -13, B4: -8, drain: -16 });
  });

  test("every reading knows where it stands in the file", () => {
    const lines = GOOD.split("\n");
    for (const { place, typed } of readingsOf(BLOCK)) {
      expect(place.lineText).toBe(lines[place.line - 1]);
      expect(place.lineText.slice(place.column - 1, place.column - 1 + place.length)).toBe(typed.text);
    }
  });

  test("places hold in a file with line ends of two characters, and after a byte order mark", () => {
    const { job } = read(`\ufeff${GOOD.replaceAll("\n", "\r\n")}`);
    const places = job!.survey.setUps[0]!.readings.map(({ place }) => `${place.line}:${place.column}`);
    expect(places).toEqual(["27:12", "27:16", "27:20", "27:27", "28:12", "28:16", "28:27", "29:16"]);
    expect(job!.survey.setUps[0]!.readings[0]!.place.lineText).toBe("        A  14  12  11.5   9");
  });

  test.each([
    ["commas", "A, 14, 12, 11.5, 9"],
    ["commas without blanks", "A,14,12,11.5,9"],
    ["tabs", "A\t14\t12\t11.5\t9"],
    ["a remark", "A 14 12 11.5 9   # read at noon"],
    ["a blank line and a remark above", "# south row\n\n        A 14 12 11.5 9"],
  ])("may be written with %s", (_, line) => {
    expect(levels(`numbers_are: below zero\n      readings: |\n        ${line}\n`.replaceAll("\t", "\u0009"))).toEqual({
      A1: -14,
      A2: -12,
      A3: -11.5,
      A4: -9,
    });
  });

  test.each(["-", "–", "—", "−"])("a point not read is %s", (dash) => {
    expect(levels(`numbers_are: below zero\n      readings: |\n        A 14 ${dash} 11\n`)).toEqual({
      A1: -14,
      A3: -11,
    });
  });

  test("an empty block is a floor that was not read yet", () => {
    expect(readingsOf("numbers_are: below zero\n      readings: |\n")).toEqual([]);
    expect(readingsOf("numbers_are: below zero\n")).toEqual([]);
  });
});

describe("sign and unit, turned once", () => {
  const one = (side: string, unit: string, value: string): number =>
    levels(`numbers_are: ${side}\n      unit: ${unit}\n      readings: |\n        A ${value}\n`).A1!;

  // The same place, 14.2875 mm (9/16 in, exact) below zero, in all its spellings.
  test.each([
    ["below zero", "mm", "14.2875"],
    ["above zero", "mm", "-14.2875"],
    ["below zero", "in", "9/16"],
    ["below zero", "in", "0.5625"],
    ["below zero", "in", ".5625"],
    ["above zero", "in", "-9/16"],
    ["above zero", "in", "−9/16"],
    ["below zero, minus is above", "in", "9/16"],
    ["above zero, minus is below", "mm", "-14.2875"],
  ])("%s, %s: %s", (side, unit, value) => {
    expect(one(side, unit, value)).toBeCloseTo(-14.2875, 12);
  });

  test("a mixed fraction is written with a hyphen", () => {
    expect(one("below zero", "in", "1-1/2")).toBeCloseTo(-38.1, 12);
    expect(one("above zero", "in", "-1-1/2")).toBeCloseTo(-38.1, 12);
  });

  test("zero is a height, and no minus zero", () => {
    for (const side of ["below zero", "above zero"]) {
      const [reading] = readingsOf(`numbers_are: ${side}\n      readings: |\n        A 0\n`);
      expect(Object.is(reading!.level, 0)).toBe(true);
    }
  });

  test("a whole number with a fraction behind it is asked about, never guessed", () => {
    const block = (row: string) => `numbers_are: below zero\n      unit: in\n      readings: |\n        ${row}\n`;
    expect(withSetUp(block("A 1 1/2 3/4")).codes).toEqual(["fraction-or-two-readings"]);
    expect(levels(block("A 1, 1/2, 3/4"))).toEqual({ A1: -25.4, A2: -12.7, A3: -19.05 });
    expect(levels(block("A 1-1/2 3/4"))).toEqual({ A1: -38.1, A2: -19.05 });
    // Behind a decimal or another fraction it cannot be a mixed number.
    expect(levels(block("A 0.5 1/2 3/4"))).toEqual({ A1: -12.7, A2: -12.7, A3: -19.05 });
  });

  test("a minus is doubted unless the sheet says that it has both sides", () => {
    const block = (side: string, row: string) => `numbers_are: ${side}\n      readings: |\n        ${row}\n`;
    expect(withSetUp(block("below zero", "A 14 -1 12")).codes).toEqual(["mixed-signs"]);
    expect(withSetUp(block("below zero", "A -14 -1 0")).codes).toEqual(["every-reading-negative"]);
    expect(withSetUp(block("below zero, minus is above", "A 14 -1 12")).codes).toEqual([]);
    expect(levels(block("below zero, minus is above", "A 14 -1 12"))).toEqual({ A1: -14, A2: 1, A3: -12 });
  });

  test("what was typed is kept with how it is to be read", () => {
    const [reading] = readingsOf('numbers_are: above zero\n      unit: in\n      readings: |\n        A −1-1/2"\n');
    expect(reading!.typed).toEqual({ text: "-1-1/2", unit: "in", side: "above" });
  });
});

describe("what the office adds", () => {
  const SHEET = `numbers_are: below zero
      readings: |
        A  14  12  11
        B  15  13  10
        drain  16
`;

  test("repeats, times, zero checks, what the handset stood on, and struck readings", () => {
    const { job, text } = withSetUp(`${SHEET}      repeats: |
        A2  12.5
      times: [{ of: A, at: "9:40" }, { of: drain, at: 10:05 }]
      zero_checks: [{ after: 0, reading: 0 }, { after: 6, reading: 0.5, at: 10:15 }]
      stood_on: [{ points: [B], thickness: 3 mm, what: vinyl tile }]
      struck: [{ point: A2, which: first, reason: hose was kicked }]
      temperature: { coolest: 60 °F, warmest: 25 °C, vertical_leg: 4' }
`);
    expect(text).toBe("");
    const setUp = job!.survey.setUps[0]!;
    const at = (pointId: string) => setUp.readings.filter((reading) => reading.pointId === pointId);
    expect(at("A2").map(({ level }) => level)).toEqual([-12, -12.5]);
    expect(at("A2").map(({ struck }) => struck?.reason)).toEqual(["hose was kicked", undefined]);
    // 9:40 is 580 minutes after midnight.
    expect(at("A1")[0]!.time).toBe(580);
    expect(at("drain")[0]!.time).toBe(605);
    expect(at("B1")[0]!.time).toBeUndefined();
    // The handset stood 3 mm above the slab: 15 mm below zero there is 18 mm below zero on the slab.
    expect(at("B1")[0]).toMatchObject({ level: -18, reducedBy: 3 });
    expect(setUp.zeroChecks!.map(({ afterReadings, level, time }) => [afterReadings, level, time])).toEqual([
      [0, 0, undefined],
      [6, -0.5, 615],
    ]);
    // 60 °F is 15.56 °C.
    expect(setUp.temperature!.coolest).toBeCloseTo(15.5556, 4);
    expect(setUp.temperature!.verticalLeg).toBeCloseTo(1.2192, 12);
  });

  test.each([
    ["times: [{ of: C, at: 9:40 }]", "label-without-reading"],
    ["times: [{ of: A, at: 25:00 }]", "bad-time"],
    ["struck: [{ point: A9, reason: doubtful }]", "label-without-reading"],
    ["stood_on: [{ points: [A, A1], thickness: 3 mm }]", "stood-on-twice"],
    ["zero_checks: [{ after: 8, reading: 0 }]", "zero-check-after-last-reading"],
    ["repeats: |\n        C1  9\n", "repeat-of-unread-point"],
    ["temperature: { coolest: 25 °C, warmest: 20 °C, vertical_leg: 1 m }", "temperatures-turned-round"],
    ["temperature: { coolest: 25, warmest: 20 °C, vertical_leg: 1 m }", "bad-temperature"],
    ["after_work: { work: ground H1, ties: [C4] }", "label-without-reading"],
  ])("%s is refused", (more, code) => {
    expect(withSetUp(`${SHEET}      ${more}\n`).codes).toEqual([code]);
  });

  test("water in a hose at 31 °F is refused, at 32 °F it is read", () => {
    const at = (coolest: string) =>
      read(
        changed(
          BLOCK,
          `${SHEET}      temperature: { coolest: ${coolest}, warmest: 20 °C, vertical_leg: 1 m }\n`,
        ).replace("instrument: hose-level", "instrument: hose-level-50"),
      ).diagnostics.map(({ code }) => code);
    expect([at("31 °F"), at("32 °F")]).toEqual([["water-freezes"], []]);
  });

  test("which of two readings is struck has to be said", () => {
    const more = "repeats: |\n        A2  12.5\n      struck: [{ point: A2, reason: doubtful }]\n";
    expect(withSetUp(`${SHEET}      ${more}`).codes).toEqual(["struck-reading-unclear"]);
  });

  test("a set-up after work names the points that tie it", () => {
    const { job } = withSetUp(`${SHEET}      after_work: { work: ground H1, ties: [A1, B] }\n`);
    expect(job!.survey.setUps[0]!.afterWork).toEqual({ work: "ground H1", ties: ["A1", "B1", "B2", "B3"] });
  });
});

test("a run of readings has no gaps", () => {
  expect(readRun("0 0.5 -1\n2, 3", "mm")).toEqual({ values: [0, 0.5, -1, 2, 3], problems: [] });
  expect(readRun("0 - 1", "mm").problems.map(({ code, offset }) => [code, offset])).toEqual([["line-with-gap", 2]]);
});

test("numbers laid out on a sheet come back as they were, whatever parts them", () => {
  const value = fc.integer({ min: -4000, max: 4000 }).map((hundredths) => hundredths / 100);
  const row = fc.array(fc.option(value, { nil: undefined }), { minLength: 1, maxLength: 12 });
  fc.assert(
    fc.property(fc.array(row, { minLength: 1, maxLength: 8 }), fc.constantFrom("  ", ", ", "\t"), (rows, between) => {
      const block = rows
        .map((cells, k) =>
          ["ABCDEFGH"[k], ...cells.map((cell) => (cell === undefined ? "-" : String(cell)))].join(between),
        )
        .join("\n");
      const sheet = readSheet(block, "mm", new Set());
      expect(sheet.problems).toEqual([]);
      const expected = rows.flatMap((cells, k) =>
        cells.flatMap((cell, column) => (cell === undefined ? [] : [[`${"ABCDEFGH"[k]}${column + 1}`, cell]])),
      );
      expect(sheet.readings.map(({ pointId, value: typed }) => [pointId, typed])).toEqual(expected);
      for (const { offset, span, text } of sheet.readings) expect(block.slice(offset, offset + span)).toBe(text);
    }),
    { seed: 21, numRuns: 300 },
  );
});
