/**
 * Every shipped job on both papers in all its languages, and vast floors: `npm run test:paper`. Takes minutes; the
 * last lines say how many pages were looked at.
 */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { listJobs } from "../../src/job/files.ts";
import { projectFolder } from "../../src/print/cache-folder.ts";
import type { Printer } from "../../src/print/print-pages.ts";
import { checkPapers } from "./check-pdf.ts";
import { type FloorOrder, generatedFloor } from "./generated-floor.ts";
import { openTestPrinter, printJob } from "./print-job.ts";

const FAMILIES = ["letter", "a4"] as const;
const { jobs } = listJobs(join(projectFolder, "jobs"));
const SHIPPED = jobs.flatMap(({ id, path }) => FAMILIES.map((family) => ({ id, path, family })));

/** 2,000 pins on 2 m centres of an 80 m by 100 m floor; 20,000 m² on a wider grid. */
const VAST: readonly FloorOrder[] = FAMILIES.flatMap((family) => [
  { id: `pins-2000-${family}`, eastM: 80, northM: 100, spacingM: 2, family },
  { id: `square-metres-20000-${family}`, eastM: 200, northM: 100, spacingM: 5, family },
]);

let printer: Printer;
let [pages, pdfs] = [0, 0];
beforeAll(() => {
  printer = openTestPrinter();
});
afterAll(async () => {
  await printer.close();
  console.log(`${pages} pages of ${pdfs} PDFs looked at`);
});

const inFamily = (text: string, family: string): string => text.replace(/^paper: .*$/m, `paper: ${family}`);

async function findingsOf(id: string, text: string, family: string, crewOnly: boolean) {
  const printed = await printJob(printer, id, text, (set) => !crewOnly || set === "crew");
  expect(printed.length).toBeGreaterThan(0);
  return printed.flatMap(({ papers, expected }) => {
    expect(expected.family).toBe(family);
    pdfs += papers.length;
    pages += papers.reduce((sum, paper) => sum + paper.pages.length, 0);
    return checkPapers(papers, expected);
  });
}

describe.each(SHIPPED)("$id on $family", ({ id, path, family }) => {
  test("keeps every rule that can be read off its pages", async () => {
    expect(await findingsOf(id, inFamily(readFileSync(path, "utf8"), family), family, false)).toEqual([]);
  });
});

describe.each(VAST)("$id", (order) => {
  test("its crew's set keeps every rule that can be read off its pages", async () => {
    expect(await findingsOf(order.id, generatedFloor(order), order.family, true)).toEqual([]);
  });
});
