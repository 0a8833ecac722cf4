/**
 * Key pages of the shipped jobs against images that were looked at. `npm run paper:images` writes those images again:
 * look at each before it is committed.
 */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { listJobs } from "../../src/job/files.ts";
import { projectFolder } from "../../src/print/cache-folder.ts";
import type { Printer } from "../../src/print/print-pages.ts";
import { en } from "../../src/sheets/words/en.ts";
import { differenceOf, fromPng, imageOf, toPng } from "./page-image.ts";
import { partsOf, textOf } from "./page-parts.ts";
import { openTestPrinter, printJob } from "./print-job.ts";

/** The first page of each of these. */
const SHEETS = ["cover", "key-map", "pin-map", "cut-table"];
const FOLDER = join(projectFolder, "tests", "paper", "images");
const rewrites = process.env.PAGE_IMAGES === "write";

let printer: Printer;
beforeAll(() => {
  printer = openTestPrinter();
  mkdirSync(FOLDER, { recursive: true });
});
afterAll(async () => {
  await printer.close();
});

const wanted = process.env.PAGE_IMAGES_OF?.split(",");
const jobs = listJobs(join(projectFolder, "jobs")).jobs.filter(({ id }) => wanted?.includes(id) ?? true);

describe.each(jobs)("$id", ({ id, path }) => {
  test("looks as it did when its pages were looked at", async () => {
    const [printed] = await printJob(
      printer,
      id,
      readFileSync(path, "utf8"),
      (set, _, isFirst) => set === "crew" && isFirst,
    );
    const seen = new Set<string>();
    const apart: string[] = [];
    for (const paper of printed?.papers ?? [])
      for (const page of paper.pages) {
        const parts = partsOf(paper, page, printed!.expected);
        // A pin map of many tiles begins with its key map.
        const isKeyMap = parts.sheetId === "pin-map" && parts.body.some((mark) => textOf(mark) === en.map.keyMap);
        const sheetId = isKeyMap ? "key-map" : parts.sheetId;
        if (!SHEETS.includes(sheetId) || seen.has(sheetId)) continue;
        seen.add(sheetId);
        const file = join(FOLDER, `${id}-${sheetId}.png`);
        const image = imageOf(page);
        if (rewrites) writeFileSync(file, toPng(image));
        else {
          const why = existsSync(file) ? differenceOf(image, fromPng(readFileSync(file))) : "has no reviewed image";
          if (why !== undefined) apart.push(`${sheetId}: ${why}`);
        }
      }
    expect(apart).toEqual([]);
  });
});
