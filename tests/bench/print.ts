/**
 * Printing against the browser printing the same HTML with nothing around it: the pages of a shipped
 * job, each set and each sheet, in turns, both in this run. Prints the ratio of the middle rounds.
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

const ROUNDS = 7;

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
const middle = (times: readonly number[]): number => [...times].sort((a, b) => a - b)[times.length >> 1] as number;

// The first round of each warms up and does not count.
await seconds(printBare);
await seconds((html) => printer.print("warm", html));
const ours: number[] = [];
const theirs: number[] = [];
for (let round = 0; round < ROUNDS; round += 1) {
  theirs.push(await seconds(printBare));
  ours.push(await seconds((html) => printer.print("page", html)));
}
await printer.close();
await browser.close();
const ratio = middle(ours.map((time, round) => time / (theirs[round] as number)));
console.log(
  `printing ${htmls.length} PDFs: ${middle(ours).toFixed(2)} s, the browser alone ${middle(theirs).toFixed(2)} s; ${ratio.toFixed(3)} times (aim: within 1.10)`,
);
