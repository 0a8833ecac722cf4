/** The index of a made archive in a real browser, from the file system: searched, sorted, with times. */
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { JobSummary } from "../../src/pages/index-entry.ts";
import { indexEntryOf } from "../../src/pages/index-entry.ts";
import { jobIndex } from "../../src/pages/job-index.ts";
import { defaultCacheFolder } from "../../src/print/cache-folder.ts";
import { findBrowser } from "../../src/print/find-browser.ts";
import { renderPages } from "../../src/print/render-pages.ts";
import { madeSummary } from "../bench/made-archive.ts";

export const PATTERN: JobSummary = {
  jobId: "pattern",
  title: "Pattern",
  place: "",
  client: "",
  generalContractor: "Marrow Lane Builders",
  material: "Cement-based underlayment",
  rooms: [],
  phase: "surveyed",
  hold: false,
  warnings: 0,
  revision: "DRAFT",
  crew: "Two barrels",
  instruments: ["Hose level"],
  packetHash: "0",
  sheets: [],
};

export interface Looked {
  readonly loadMs: number;
  readonly searchMs: number;
  readonly sortMs: number;
  readonly found: string;
  readonly firstHits: readonly string[];
  readonly rowsShown: number;
  readonly deepest: readonly string[];
  readonly errors: readonly string[];
}

const LOOK = `(() => {
  const byId = (id) => document.getElementById(id);
  const titles = () => [...document.querySelectorAll("#jobs tbody tr")].map((row) => row.querySelector("a")?.textContent ?? "");
  const timed = (work) => {
    const start = performance.now();
    work();
    void document.body.offsetHeight;
    return performance.now() - start;
  };
  const searchMs = timed(() => {
    byId("search").value = WORDS;
    byId("search").dispatchEvent(new Event("input"));
  });
  const found = byId("found").textContent;
  const firstHits = titles().slice(0, 5);
  const rowsShown = titles().length;
  const sortMs = timed(() => {
    byId("search").value = "";
    byId("order").value = "depth";
    byId("order").dispatchEvent(new Event("change"));
  });
  return { searchMs, found, firstHits, rowsShown, sortMs, deepest: titles().slice(0, 3) };
})()`;

/** Writes the index of `count` jobs into `folder`, opens it from there, looks for `words`, then sorts by depth. */
export async function lookAtIndex(folder: string, count: number, words: string): Promise<Looked> {
  mkdirSync(folder, { recursive: true });
  const entries = Array.from({ length: count }, (_, number) => indexEntryOf(madeSummary(number, PATTERN)));
  const pages = await renderPages([{ template: "index", path: "index.html", view: jobIndex(entries, []) }], "no-docs");
  writeFileSync(join(folder, "index.html"), pages.get("index.html") as string);
  const { browser } = await findBrowser(defaultCacheFolder);
  try {
    const tab = await browser.newPage();
    const errors: string[] = [];
    tab.on("pageerror", (error) => errors.push(String(error)));
    tab.on("request", (request) => {
      if (!/^(file|data):/.test(request.url())) errors.push(`asked for ${request.url()}`);
    });
    const from = performance.now();
    await tab.goto(pathToFileURL(join(folder, "index.html")).href, { waitUntil: "load" });
    const loadMs = performance.now() - from;
    // As text: a loader that names functions would leave its helper behind.
    const looked = (await tab.evaluate(LOOK.replace("WORDS", JSON.stringify(words)))) as Omit<
      Looked,
      "loadMs" | "errors"
    >;
    return { loadMs, errors, ...looked };
  } finally {
    await browser.close();
  }
}
