/**
 * Packets of shipped jobs as PDFs: one small job whole, the crew's sets of two others, both paper families and both
 * languages among them. `npm run test:paper` looks at all jobs on both papers; that takes minutes.
 */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { projectFolder } from "../../src/print/cache-folder.ts";
import type { Printer } from "../../src/print/print-pages.ts";
import { checkLanguages, checkPapers } from "./check-pdf.ts";
import { type PageParts, partsOf, textOf } from "./page-parts.ts";
import { openTestPrinter, type PrintedJob, printJob } from "./print-job.ts";
import { entranceMissing, linesUnmeasured, pinsNotFound } from "./rules-map.ts";

let printer: Printer;
beforeAll(() => {
  printer = openTestPrinter();
});
afterAll(async () => {
  await printer.close();
});

/** A breach that is reported under this name. */
const breaks = (rule: string) => expect.objectContaining({ rule });

const textOfJob = (id: string): string => readFileSync(join(projectFolder, "jobs", `${id}.yaml`), "utf8");

describe.each([
  ["larkspur-offices", "en", "letter"],
  ["alder-court-laundry", "es", "a4"],
])("the crew's set of %s in %s on %s", (id, language, family) => {
  test("keeps every rule that can be read off its pages", { timeout: 200_000 }, async () => {
    const printed = await printJob(
      printer,
      id,
      textOfJob(id),
      (set, inLanguage) => set === "crew" && inLanguage === language,
    );
    expect(printed).toHaveLength(1);
    for (const { papers, expected } of printed) {
      expect(expected.family).toBe(family);
      expect(checkPapers(papers, expected)).toEqual([]);
    }
  });
});

describe("a whole job", () => {
  let whole: PrintedJob;
  const pages = (): PageParts[] =>
    whole.papers.flatMap((paper) => paper.pages.map((page) => partsOf(paper, page, whole.expected)));
  beforeAll(async () => {
    [whole] = (await printJob(printer, "maple-loft-bath", textOfJob("maple-loft-bath"))) as [PrintedJob];
  }, 120_000);

  test("keeps every rule in all its sets", { timeout: 60_000 }, () => {
    expect(checkPapers(whole.papers, whole.expected)).toEqual([]);
  });

  test("8 every pin whose offsets lead 15 mm past it is seen, and one that is in no table", () => {
    const { expected } = whole;
    expect(pinsNotFound(pages(), expected)).toEqual([]);
    const astray = expected.pins.map((pin) => ({ ...pin, at: { ...pin.at, eastM: pin.at.eastM + 0.015 } }));
    const found = pinsNotFound(pages(), { ...expected, pins: astray });
    expect(found).toEqual(expected.pins.map(() => breaks("pin found")));
    const unlisted = { ...expected.pins[0]!, id: "Z99" };
    expect(pinsNotFound(pages(), { ...expected, pins: [unlisted] })).toHaveLength(1);
  });

  test("8 a line without its offset at one end is seen, and one whose offset is 5 mm off", () => {
    const { expected } = whole;
    const map = pages().find((parts) => parts.sheetId === "pin-map")!;
    expect(linesUnmeasured(map, expected)).toEqual([]);
    const ends = map.body.filter((mark) => /^A {2}\d/.test(textOf(mark)));
    expect(ends).toHaveLength(2);
    const oneEnd = { ...map, body: map.body.filter((mark) => mark !== ends[1]) };
    expect(linesUnmeasured(oneEnd, expected)).toEqual([breaks("running offset")]);
    expect(linesUnmeasured(oneEnd, expected).map(({ what }) => what)).toEqual(["A"]);
    const plan = expected.plan!;
    const moved = plan.gridLines.map((line) =>
      line.name === "A"
        ? {
            ...line,
            offsets: line.offsets.map((one) => ({ ...one, distance: (one.distance + 0.005) as typeof one.distance })),
          }
        : line,
    );
    expect(linesUnmeasured(map, { ...expected, plan: { ...plan, gridLines: moved } }).length).toBeGreaterThanOrEqual(2);
  });

  test("9 a plan that does not mark the way in is seen", () => {
    expect(entranceMissing(pages(), whole.expected)).toEqual([]);
    const unmarked = pages().map((parts) => ({
      ...parts,
      page: { ...parts.page, marks: parts.page.marks.filter(({ kind }) => kind !== "fill") },
    }));
    expect(entranceMissing(unmarked, whole.expected)).toContainEqual(breaks("entrance"));
  });
});

describe("the crew's set of larch-yard-studio in both languages", () => {
  test("16 says the same values of the same pins, and a value that only one of them has is seen", {
    timeout: 200_000,
  }, async () => {
    const printed = await printJob(
      printer,
      "larch-yard-studio",
      textOfJob("larch-yard-studio"),
      (set) => set === "crew",
    );
    const [english, spanish] = printed as [PrintedJob, PrintedJob];
    expect([english.expected.language, spanish.expected.language]).toEqual(["en", "es"]);
    expect(checkLanguages(english, spanish)).toEqual([]);
    const pin = english.expected.pins[0]!.id;
    const without = {
      ...spanish,
      papers: spanish.papers.map((paper) => ({
        ...paper,
        pages: paper.pages.map((page) => ({
          ...page,
          marks: page.marks.filter((mark) => mark.kind !== "text" || textOf(mark) !== pin),
        })),
      })),
    };
    expect(checkLanguages(english, without)).toContainEqual(breaks("two languages"));
  });
});
