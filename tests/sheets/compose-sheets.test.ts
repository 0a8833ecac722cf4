import { describe, expect, test } from "vitest";
import { notYet } from "../../src/diagnostics.ts";
import type { Job } from "../../src/job/model.ts";
import { composeSheets, sheetsNotYet } from "../../src/sheets/compose-sheets.ts";
import type { Findings, Sheet } from "../../src/sheets/model.ts";
import { uncoveredCharacters } from "../../src/sheets/type/text-metrics.ts";
import { findings, findingsFor, job, rectangle, room } from "./fixtures/small-clinic.ts";
import { ALL_RULES, textMarksOf, textsOf } from "./sheet-rules.ts";

const english = composeSheets(findings, "en");
const spanish = composeSheets(findings, "es");

const FOOT = 0.3048;
const grid = (feet: number): Job["survey"] => ({
  ...job.survey,
  grid: { ...job.survey.grid, spacingEast: feet * FOOT, spacingNorth: feet * FOOT },
  extraPoints: [],
});
const oneRoom = (eastFt: number, northFt: number, name = "Hall"): Job["rooms"] => [
  room("hall", name, rectangle(0, 0, eastFt, northFt), [
    { id: "D1", wallIndex: 0, from: 1, joins: "outside", joinsRoom: false, entrance: true },
  ]),
];

/** Floors that are small, large, narrow, named at length; in both paper families and both leading units. */
const FLOORS: readonly (readonly [string, Findings])[] = [
  ["a clinic in ft-in and mm", findings],
  ["the clinic on A4 in metres", findingsFor({ ...job, paper: "a4", units: { plan: "m", height: "mm" } })],
  ["the clinic cut in inches", findingsFor({ ...job, units: { plan: "ft-in", height: "in" } })],
  ["a closet of 4 ft by 6 ft", findingsFor({ ...job, rooms: oneRoom(4, 6), survey: grid(3), benchMarks: [] })],
  ["a corridor of 200 ft by 7 ft", findingsFor({ ...job, rooms: oneRoom(200, 7), survey: grid(8), benchMarks: [] })],
  [
    "names with accents, long names, long notes",
    findingsFor({
      ...job,
      title: "Ångström–Şehir Żółć clinic of a name that goes on and on, ground floor, second phase",
      rooms: oneRoom(30, 20, "Salle d’attente n° 2 « très longue »"),
      survey: grid(6),
      benchMarks: [],
      notes: ["A note of many words. ".repeat(40).trim(), "x".repeat(300)],
    }),
  ],
];

describe.each(FLOORS)("%s", (_, of) => {
  const sheets = [...composeSheets(of, "en"), ...composeSheets(of, "es")];
  test.each(Object.entries(ALL_RULES))("%s", (__, breachesOf) => {
    expect(sheets.flatMap(breachesOf)).toEqual([]);
  });

  test("every pin has its label on the map, once on a page, and its row in the cut table", () => {
    const ids = of.plan.pins.map(({ id }) => id).sort();
    for (const sheet of sheets.filter(({ id }) => id === "pin-map")) {
      const onPages = sheet.pages.map((page) =>
        textMarksOf(page).flatMap((m) => (m.role === "pin-id" ? [m.text] : [])),
      );
      expect([...new Set(onPages.flat())].sort()).toEqual(ids);
      // Details repeat what stands on the map; the map's own pages do not repeat each other.
      const first = onPages[0] as string[];
      expect(new Set(first).size).toBe(first.length);
    }
    const table = sheets.find(({ id }) => id === "cut-table") as Sheet;
    const rows = table.pages.flatMap((page) =>
      page.blocks.flatMap((block) =>
        block.kind === "table" && block.columns.length === 6
          ? block.rows.map((row) => row.cells[0]?.lines.map(({ text }) => text).join(""))
          : [],
      ),
    );
    expect(rows.sort()).toEqual(ids);
  });

  test("every printed character is in the embedded font", () => {
    expect(uncoveredCharacters(JSON.stringify(sheets))).toEqual([]);
  });
});

describe("the sheets of a packet", () => {
  test("both languages have the same sheets, pins and cut lengths", () => {
    expect(spanish.map(({ id }) => id)).toEqual(english.map(({ id }) => id));
    const cuts = (sheets: Sheet[]): string[] => {
      const map = sheets.find(({ id }) => id === "pin-map") as Sheet;
      const marks = map.pages.flatMap(textMarksOf);
      return marks.flatMap((mark, k) => {
        const next = marks[k + 1]?.text ?? "";
        return mark.role === "pin-id" && /^\d/.test(next) ? [`${mark.text} ${next}`] : [];
      });
    };
    expect(cuts(spanish).sort()).toEqual(cuts(english).sort());
    expect(cuts(english).length).toBeGreaterThan(40);
  });

  test("numbers in text are the same in both languages, sheet by sheet", () => {
    for (const [index, sheet] of english.entries()) {
      if (sheet.id === "pin-map" || sheet.id === "cover") continue;
      const numbers = (of: Sheet): string[] =>
        [...new Set(textsOf(of).flatMap(({ text }) => text.match(/\d+(?:[.,:/]\d+)*/g) ?? []))].sort();
      expect(numbers(spanish[index] as Sheet)).toEqual(numbers(sheet));
    }
  });

  test("are the same when composed again", () => {
    expect(composeSheets(findings, "en")).toEqual(english);
  });

  test("a change of the crew changes only the sheets that tell of it, and the cover", () => {
    const other = composeSheets({ ...findings, job: { ...findings.job, crew: { ...job.crew, people: 7 } } }, "en");
    const changed = other.filter(({ id, hash }) => english.find((one) => one.id === id)?.hash !== hash);
    expect(changed.map(({ id }) => id).sort()).toEqual(["cover", "method", "pause-cards", "pour-plan"]);
  });

  test("a new date of the job file changes no hash", () => {
    const other = composeSheets({ ...findings, job: { ...findings.job, dated: "2031-01-01" } }, "en");
    expect(other.map(({ hash }) => hash)).toEqual(english.map(({ hash }) => hash));
  });

  test("the cover lists every other sheet with its pages and hash, and every page carries its own", () => {
    const cover = english[0] as Sheet;
    const cells = cover.pages.flatMap((page) =>
      page.blocks.flatMap((block) =>
        block.kind === "table" ? block.rows.map((row) => row.cells.map((cell) => cell.lines[0]?.text ?? "")) : [],
      ),
    );
    expect(cells.map((row) => [row[1], row[3]])).toEqual(
      english.slice(1).map(({ pages, hash }) => [String(pages.length), hash]),
    );
    for (const { id, pages, hash } of english) {
      for (const page of pages) {
        expect(page.foot, id).toContain(hash);
        expect(page.foot.at(-1)).toBe(`Page ${page.number} of ${pages.length}`);
        expect(page.foot.slice(0, 1)).toEqual(["small-clinic"]);
        expect(page.foot).toContain("DRAFT");
      }
    }
  });

  test("a hold stands first on the cover, under DANGER's frame", () => {
    const [block] = english[0]?.pages[0]?.blocks.filter(({ kind }) => kind === "signal") ?? [];
    expect(block).toMatchObject({ signal: "danger", word: "HOLD" });
  });

  test("a pause card has at most nine items and 120 words, each with a place for its value; the last says that it is complete", () => {
    for (const sheet of [...english, ...spanish].filter(({ id }) => id === "pause-cards")) {
      expect(sheet.pages).toHaveLength(3);
      for (const page of sheet.pages) {
        const items = page.blocks.flatMap((block) => (block.kind === "checks" ? block.items : []));
        expect(items.length).toBeLessThanOrEqual(9);
        expect(items.at(-1)?.lines.join(" ")).toMatch(/complet/);
        const words = textsOf({ ...sheet, pages: [page] })
          .flatMap(({ text }) => text.split(/\s+/))
          .filter((word) => word !== "");
        expect(words.length).toBeLessThanOrEqual(120);
      }
    }
  });

  test("every blank of a log and of a test result is empty", () => {
    for (const sheet of [...english, ...spanish]) {
      for (const block of sheet.pages.flatMap(({ blocks }) => blocks)) {
        if (block.kind !== "table") continue;
        for (const cell of block.rows.flatMap(({ cells }) => cells)) if (cell.blank) expect(cell.lines).toEqual([]);
      }
    }
  });
});

describe("a job that is not surveyed", () => {
  const why = "there are no readings yet";
  const planned: Findings = {
    ...findings,
    levels: notYet(why),
    slab: notYet(why),
    target: notYet(why),
    depths: notYet(why),
    quantities: notYet(why),
    targetStudy: notYet(why),
    schedule: notYet(why),
  };
  const sheets = composeSheets(planned, "en");

  test("has its survey set, with a blank box at every point", () => {
    const plan = sheets.find(({ id }) => id === "survey-plan") as Sheet;
    const boxes = plan.pages
      .flatMap(({ blocks }) => blocks)
      .flatMap((block) => (block.kind === "drawing" ? block.drawing.layers.flatMap(({ marks }) => marks) : []))
      .filter((mark) => mark.kind === "box" && mark.style === "blank-box");
    expect(boxes).toHaveLength(findings.plan.points.length);
    for (const box of boxes) if (box.kind === "box") expect(box.height).toBeGreaterThanOrEqual(8);
    expect(sheets.some(({ id }) => id === "survey-brief")).toBe(true);
  });

  test("says of every sheet that is missing why it is", () => {
    const missing = sheetsNotYet(planned, "en");
    const ids = missing.map(({ id }) => id);
    for (const id of [
      "pin-map",
      "cut-table",
      "cut-order",
      "mixing-schedule",
      "batch-log",
      "pause-cards",
      "quantities",
      "top-of-pour",
    ]) {
      expect(ids).toContain(id);
    }
    // A sheet is there, or it is missing with a reason: never both.
    for (const { id } of sheets) expect(ids).not.toContain(id);
    expect(missing[0]?.why).toBe("There are no readings yet.");
    const onCover = textsOf(sheets[0] as Sheet)
      .map(({ text }) => text)
      .join(" ");
    for (const { title } of missing) expect(onCover).toContain(title);
  });

  test.each(Object.entries(ALL_RULES))("%s", (_, breachesOf) => {
    expect(sheets.flatMap(breachesOf)).toEqual([]);
  });
});
