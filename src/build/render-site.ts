/** The pages and tables over all jobs: the index, the CSV and the JSON of all jobs, the reference of the job file, the docs. */
import { existsSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { putFile } from "../archive/packet-folder.ts";
import type { IndexEntry } from "../pages/index-entry.ts";
import { type BrokenRow, jobIndex } from "../pages/job-index.ts";
import { jobsCsv, jobsJson } from "../pages/jobs-table.ts";
import type { PastPage } from "../pages/past-page.ts";
import type { Workshop } from "./model.ts";
import { textsHash } from "./texts-hash.ts";

/** What the past says: made by the command that learns; until then a page that says so. */
export const LEARNED_PAGE = "learned.html";

/** Says what the pages over all jobs were made from, so that each is made again only when that changed. */
const SITE_FROM = ".site-from";

/** Whether the pages over all jobs are there and were made by this program; not whether of the same jobs. */
export async function siteIsMade({ settings: { outputFolder }, program }: Workshop): Promise<boolean> {
  const { docs } = (await readStamp(outputFolder)) ?? {};
  return docs === program && SITE_FILES.every((path) => existsSync(join(outputFolder, path)));
}

const SITE_FILES = ["index.html", "jobs.csv", "jobs.json", "job-file.html", "docs/index.html", LEARNED_PAGE];

/** Renders what is not made from the same. */
export async function renderSite(
  { settings: { outputFolder, fresh }, program }: Workshop,
  entries: readonly IndexEntry[],
  broken: readonly BrokenRow[],
): Promise<void> {
  const index = jobIndex(entries, broken);
  const now = { docs: program, index: textsHash([program, index.data, JSON.stringify(broken)]) };
  const before = fresh ? undefined : await readStamp(outputFolder);
  const isThere = (path: string) => existsSync(join(outputFolder, path));
  const sameDocs = before?.docs === now.docs && isThere("job-file.html") && isThere("docs/index.html");
  const sameIndex = before?.index === now.index && isThere("index.html") && isThere("jobs.csv") && isThere("jobs.json");
  const learnedIsThere = isThere(LEARNED_PAGE);
  if (sameDocs && sameIndex && learnedIsThere) return;
  // Loaded when there is something to render.
  const { renderPages } = await import("../print/render-pages.ts");
  const pages = await renderPages(
    [
      ...(sameIndex ? [] : [{ template: "index" as const, path: "index.html", view: index }]),
      ...(sameDocs ? [] : [await referencePage()]),
      ...(learnedIsThere ? [] : [{ template: "past" as const, path: LEARNED_PAGE, view: NOTHING_LEARNED }]),
    ],
    sameDocs ? "no-docs" : "docs",
  );
  for (const [path, html] of pages) await putFile(join(outputFolder, path), html);
  if (!sameIndex) {
    await putFile(join(outputFolder, "jobs.csv"), jobsCsv(entries));
    await putFile(join(outputFolder, "jobs.json"), jobsJson(entries));
  }
  await putFile(join(outputFolder, SITE_FROM), `${JSON.stringify(now)}\n`);
}

const NOTHING_LEARNED: PastPage = {
  intro: ["Nothing has been learned from this archive yet: npm start -- learn reads its poured jobs."],
  sections: [],
};

async function referencePage() {
  const { schemaReference } = await import("../job/schema-reference.ts");
  const view = { job: schemaReference("job"), library: schemaReference("library") };
  return { template: "reference" as const, path: "job-file.html", view };
}

async function readStamp(outputFolder: string): Promise<{ docs?: unknown; index?: unknown } | undefined> {
  try {
    return JSON.parse(await readFile(join(outputFolder, SITE_FROM), "utf8"));
  } catch {
    // Absent, or of an older form: all of it is made again.
    return undefined;
  }
}
