/** Poured jobs built as any job is, learned from, and what was learned used by a job to come. */
import { existsSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterAll, beforeAll, expect, test } from "vitest";
import { taughtJobs } from "../../src/archive/taught-jobs.ts";
import type { PdfWish } from "../../src/build/model.ts";
import { openBuilder } from "../../src/build/open-builder.ts";
import { runLearn } from "../../src/cli/learn-verb.ts";
import { pastOf } from "../../src/pages/past.ts";
import { defaultCacheFolder } from "../../src/print/cache-folder.ts";
import { findBrowser } from "../../src/print/find-browser.ts";
import { temporaryOffice } from "../build/small-job.ts";
import { comingJobText, offTruth, pouredId, pouredJobText } from "./poured-archive.ts";

const POURED = 10;
const office = temporaryOffice({
  ...Object.fromEntries(Array.from({ length: POURED }, (_, k) => [pouredId(k), pouredJobText(k)])),
  coming: comingJobText("coming", ""),
});
const build = async (jobIds: readonly string[] | "all") => {
  const builder = openBuilder({
    jobsFolder: office.jobs,
    outputFolder: office.output,
    cacheFolder: defaultCacheFolder,
    pdfFolder: join(office.folder, "pdf"),
    fresh: false,
    limits: { seconds: 300, megabytes: 2000 },
    lanes: 1,
  });
  const report = await builder.build(jobIds, "no-pdfs" satisfies PdfWish, () => undefined);
  await builder.close();
  return report;
};
const said: string[] = [];
const wrong: string[] = [];
const terminal = { out: (text: string) => said.push(text), error: (text: string) => wrong.push(text) };
const learned = join(office.folder, "learned.yaml");
const packetOf = (id: string) => JSON.parse(readFileSync(join(office.output, id, "packet.json"), "utf8"));

beforeAll(async () => {
  const { jobs } = await build("all");
  expect(jobs.map(({ outcome }) => outcome)).toEqual(Array(POURED + 1).fill("built"));
  expect(await runLearn(office.output, { estimateFor: "coming", file: learned }, terminal)).toBe(0);
}, 900_000);
afterAll(() => rmSync(office.folder, { recursive: true, force: true }));

test("what is learned is the truth, within the spread that is stated", () => {
  const past = pastOf(taughtJobs(office.output).jobs);
  expect(past.pouredJobs).toBe(POURED);
  // Every fourth job has two materials, each with a loss of its own.
  expect(past.loss.seen.length).toBe(POURED + Math.floor(POURED / 4));
  const off = offTruth(past);
  expect(off.map(({ what }) => what)).toEqual(
    expect.arrayContaining([
      "loss of cement-25kg",
      "loss of gypsum-50lb",
      "noise of hose-level",
      "noise of optical-level",
    ]),
  );
  // Next to no figure is off by more than three and a half standard deviations.
  for (const { what, off: by } of off) expect(Math.abs(by), what).toBeLessThan(3.5);
});

test("the command says loss, noise and conformity, and by how much the order of a job to come would move", () => {
  const text = said.join("\n");
  expect(wrong).toEqual([]);
  expect(text).toMatch(/gypsum-50lb: loss \d+\.\d\s%\s±\s\d/);
  expect(text).toMatch(/hose-level: in the library 0\.50 mm, found 0\.\d\d ± /);
  expect(text).toMatch(/Level against the target.*within \d+ of \d+/);
  expect(text).toMatch(/coming, \S+: \d+ bags are ordered/);
  expect(text).toMatch(/bags (less|more) than now/);
});

test("a file that is there is not written over", async () => {
  const before = readFileSync(learned, "utf8");
  expect(await runLearn(office.output, { estimateFor: undefined, file: learned }, terminal)).toBe(4);
  expect(readFileSync(learned, "utf8")).toBe(before);
});

test("a job that asks for it is ordered by what was learned, and says by how much that moved it", async () => {
  const before = packetOf("coming").quantities.result;
  expect(before.learnedLoss).toBeNull();
  writeFileSync(join(office.jobs, "_library", "learned.yaml"), readFileSync(learned, "utf8"));
  writeFileSync(join(office.jobs, "coming.yaml"), comingJobText("coming", "pour: { learned_loss: true }\n"));
  const { jobs } = await build(["coming"]);
  expect(jobs[0]?.outcome).toBe("built");
  const { bags, learnedLoss } = packetOf("coming").quantities.result;
  // What the command said of it, to the tenth of a per cent to which it speaks and the file writes.
  const told = /archive’s loss of ([\d.]+)\u00a0%\s±\s([\d.]+)\u00a0%: ([\d.]+) bags/.exec(said.join("\n"));
  expect(100 * learnedLoss.share).toBeCloseTo(Number(told?.[1]), 0);
  expect(Math.abs(bags.sum - Number(told?.[3]))).toBeLessThan(0.3);
  // The order with and without it differ by what it says to move, before rounding.
  expect(bags.sum - before.bags.sum).toBeCloseTo(learnedLoss.movedBags, 6);
  expect(learnedLoss.usualShare).toBeCloseTo(0.05, 12);
  const sheet = readFileSync(join(office.output, "coming", "en", "quantities.html"), "utf8");
  expect(sheet.replace(/<[^>]*>/g, " ").replace(/\s+/g, " ")).toContain("is what the archive taught of gypsum-50lb");
}, 300_000);

test("the page of it in a browser from the file system: charts, no fault of access, as wide as a phone", async () => {
  const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
  const { browser } = await findBrowser(defaultCacheFolder);
  try {
    const page = await browser.newPage();
    const asked: string[] = [];
    page.on("request", (request) => {
      if (!request.url().startsWith("data:")) asked.push(request.url());
    });
    await page.setViewport({ width: 360, height: 740 });
    const url = pathToFileURL(join(office.output, "learned.html")).href;
    await page.goto(url);
    expect(await page.evaluate("document.documentElement.scrollWidth - window.innerWidth")).toBeLessThanOrEqual(0);
    expect(await page.evaluate("document.querySelectorAll('svg[role=img]').length")).toBeGreaterThanOrEqual(4);
    // Letters of a plot are no smaller than 11 px on a phone.
    const letters = (await page.evaluate(
      "[...document.querySelectorAll('svg text')].map((text) => text.getBoundingClientRect().height)",
    )) as number[];
    expect(Math.min(...letters)).toBeGreaterThan(11);
    await page.evaluate(axe);
    const { violations } = (await page.evaluate("axe.run()")) as { violations: { id: string }[] };
    expect(violations.map(({ id }) => id)).toEqual([]);
    expect(asked).toEqual([url]);
    // A poured job's own page: planned against used, of both of its materials.
    await page.goto(pathToFileURL(join(office.output, pouredId(3), "index.html")).href);
    expect(await page.evaluate("document.documentElement.scrollWidth - window.innerWidth")).toBeLessThanOrEqual(0);
    const pour = (await page.evaluate(
      "document.querySelector('section[aria-labelledby=pour-heading]').innerText",
    )) as string;
    expect(pour).toMatch(/Bags used in all/);
    expect(pour).toMatch(/(cement-25kg|gypsum-50lb): bags/);
    await page.evaluate(axe);
    const ofJob = (await page.evaluate("axe.run()")) as { violations: { id: string }[] };
    expect(ofJob.violations.map(({ id }) => id)).toEqual([]);
    // The index leads there.
    await page.goto(pathToFileURL(join(office.output, "index.html")).href);
    const link = (await page.evaluate("document.querySelector('a[href=\"learned.html\"]').href")) as string;
    expect(existsSync(new URL(link))).toBe(true);
  } finally {
    await browser.close();
  }
}, 120_000);
