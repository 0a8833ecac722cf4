/**
 * Printing against the browser printing the same HTML with nothing around it: the pages of a shipped
 * job, each set and each sheet, in turns, both in this run; and the same pages by one browser and by two side by side,
 * as on one core and on two. Prints the ratios of the middle rounds.
 *
 *     node --import tsx tests/bench/print.ts
 */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { COMPUTE_LIMITS, openComputePool } from "../../src/build/compute-pool.ts";
import { packetPages } from "../../src/build/packet-pages.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { defaultCacheFolder, projectFolder } from "../../src/print/cache-folder.ts";
import { findBrowser } from "../../src/print/find-browser.ts";
import { openPrinter } from "../../src/print/print-pages.ts";
import { renderPages } from "../../src/print/render-pages.ts";
import { middle, tell } from "./tell.ts";

const ROUNDS = 5;

const file = "jobs/maple-loft-bath.yaml";
const pool = openComputePool(COMPUTE_LIMITS);
const { library } = loadLibrary(join(projectFolder, "jobs"));
const text = readFileSync(join(projectFolder, file), "utf8");
const answer = await pool.compute({ jobId: "maple-loft-bath", file, text, library });
await pool.close();
if (answer.kind !== "made")
  throw new Error(`${file} is refused: ${answer.problems.map(({ message }) => message).join(" ")}`);
const pages = packetPages(answer.packet, true);
const rendered = await renderPages(pages, "no-docs");
const htmls = pages.filter(({ pdf }) => pdf !== undefined).map(({ path }) => rendered.get(path) as string);

const printer = openPrinter(defaultCacheFolder, undefined, 1);
const { browser } = await findBrowser(defaultCacheFolder);
const bare = await browser.newPage();
await bare.setJavaScriptEnabled(false);
const printBare = async (html: string) => {
  await bare.setContent(html, { waitUntil: "load" });
  await bare.pdf({ preferCSSPageSize: true, printBackground: true, tagged: true, outline: true });
};
const seconds = async (print: (html: string) => Promise<unknown>): Promise<number> => {
  const from = performance.now();
  for (const html of htmls) await print(html);
  return (performance.now() - from) / 1000;
};
// The first round of each warms up and does not count.
await seconds(printBare);
await seconds((html) => printer.print("warm", html));
const ours: number[] = [];
const theirs: number[] = [];
for (let round = 0; round < ROUNDS; round += 1) {
  theirs.push(await seconds(printBare));
  ours.push(await seconds((html) => printer.print("page", html)));
}
await browser.close();
const ratio = middle(ours.map((time, round) => time / (theirs[round] as number)));
tell(`printing ${htmls.length} PDFs`, middle(ours), "s", {
  floor: `× the browser alone (${middle(theirs).toFixed(2)} s)`,
  ratio,
  aim: "1.10",
});

// As many browsers as a build has on two cores, all pages asked for at once.
const two = openPrinter(defaultCacheFolder, undefined, 2);
const atOnce = async (by: typeof printer): Promise<number> => {
  const from = performance.now();
  await Promise.all(htmls.map((html) => by.print("page", html)));
  return (performance.now() - from) / 1000;
};
await atOnce(two);
const gained: number[] = [];
const sideBySide: number[] = [];
for (let round = 0; round < ROUNDS; round += 1) {
  const alone = await atOnce(printer);
  const both = await atOnce(two);
  sideBySide.push(both);
  gained.push(alone / both);
}
await printer.close();
await two.close();
tell("the same by two browsers side by side", middle(sideBySide), "s", {
  floor: "times as fast as by one",
  ratio: middle(gained),
  aim: "1.5 at least",
});
