/** The long look at paper: jobs printed and every page held against the rules. Each file of tests has its own process. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { listJobs } from "../../src/job/files.ts";
import type { PaperFamily } from "../../src/job/model.ts";
import { projectFolder } from "../../src/print/cache-folder.ts";
import type { Printer } from "../../src/print/print-pages.ts";
import type { SetId } from "../../src/sheets/model.ts";
import { checkLanguages, checkPapers } from "./check-pdf.ts";
import { openTestPrinter, printJob } from "./print-job.ts";

export interface LongLook {
  readonly id: string;
  /** The text of a job file. */
  readonly text: () => string;
  readonly family: PaperFamily;
  readonly sets: (set: SetId) => boolean;
}

/** One test a job: what it prints keeps every rule. The last lines say how many pages were looked at. */
export function lookAt(jobs: readonly LongLook[]): void {
  let printer: Printer;
  let [pages, pdfs] = [0, 0];
  beforeAll(() => {
    printer = openTestPrinter();
  });
  afterAll(async () => {
    await printer.close();
    console.log(`${pages} pages of ${pdfs} PDFs looked at`);
  });
  describe.each([...jobs])("$id on $family", ({ id, text, family, sets }) => {
    test("keeps every rule that can be read off its pages", async () => {
      const printed = await printJob(printer, id, text(), (set) => sets(set));
      expect(printed.length).toBeGreaterThan(0);
      const findings = printed.flatMap(({ papers, expected }) => {
        expect(expected.family).toBe(family);
        pdfs += papers.length;
        pages += papers.reduce((sum, paper) => sum + paper.pages.length, 0);
        return checkPapers(papers, expected);
      });
      const [first, ...others] = printed;
      expect([...findings, ...others.flatMap((other) => checkLanguages(first!, other))]).toEqual([]);
    });
  });
}

/** Every shipped job as if its office had this paper. */
export function shippedJobsOn(family: PaperFamily): LongLook[] {
  return listJobs(join(projectFolder, "jobs")).jobs.map(({ id, path }) => ({
    id,
    family,
    text: () => readFileSync(path, "utf8").replace(/^paper: .*$/m, `paper: ${family}`),
    sets: () => true,
  }));
}
