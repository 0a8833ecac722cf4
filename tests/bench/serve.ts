/**
 * The serving command: a job of 400 pins is saved with one reading changed; how long until the page shows it, and how
 * long until the changed sheet's PDF is there. Against two floors of the same run: computing the job in a process that
 * has computed before, and the browser alone printing the changed sheet. Middle of the rounds.
 *
 *     node --import tsx tests/bench/serve.ts [rounds]
 */
import { readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { get } from "node:http";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { COMPUTE_LIMITS, openComputePool } from "../../src/build/compute-pool.ts";
import { packetPages } from "../../src/build/packet-pages.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { defaultCacheFolder } from "../../src/print/cache-folder.ts";
import { findBrowser } from "../../src/print/find-browser.ts";
import { renderPages } from "../../src/print/render-pages.ts";
import { startCommand } from "../build/run-command.ts";
import { temporaryOffice } from "../build/small-job.ts";
import { largeJobText } from "./large-job.ts";
import { middle, tell } from "./tell.ts";

const JOB = "hall";
const rounds = Number(process.argv[2] ?? 3);
const PORT = 18_432;

const office = temporaryOffice({ [JOB]: largeJobText(JOB) });
const text = (round: number) => largeJobText(JOB, 11 + (round % 7), Math.floor(round / 7));
/** As an editor saves: whole, by rename. */
const save = (round: number) => {
  const path = join(office.jobs, `${JOB}.yaml`);
  writeFileSync(join(office.folder, "saved"), text(round));
  renameSync(join(office.folder, "saved"), path);
};
const pinMapPdf = (): string | undefined => {
  try {
    return readdirSync(join(office.output, JOB, "en")).find((name) => /pin-map.*\.pdf$/.test(name));
  } catch {
    // The folder is being put in its place.
    return undefined;
  }
};
const page = (): string => {
  try {
    return readFileSync(join(office.output, JOB, "index.html"), "utf8");
  } catch {
    return "";
  }
};
const until = async (what: string, isSo: () => boolean, seconds: number): Promise<number> => {
  const from = performance.now();
  while (!isSo()) {
    if (performance.now() - from > seconds * 1000) throw new Error(`${what}: waited ${seconds} s in vain`);
    await wait(5);
  }
  return performance.now();
};

async function floors(): Promise<{ computeSeconds: number; printSeconds: number }> {
  const { library } = loadLibrary(office.jobs);
  const pool = openComputePool(COMPUTE_LIMITS);
  const request = (round: number) => ({ jobId: JOB, file: `jobs/${JOB}.yaml`, text: text(round), library });
  await pool.compute(request(100));
  const times: number[] = [];
  let answer = await pool.compute(request(101));
  for (let round = 0; round < rounds; round += 1) {
    const from = performance.now();
    answer = await pool.compute(request(102 + round));
    times.push((performance.now() - from) / 1000);
  }
  await pool.close();
  if (answer.kind !== "made") throw new Error("the hall is refused");
  const pages = packetPages(answer.packet, true).filter(({ path }) => path.endsWith("/pin-map.html"));
  const html = (await renderPages(pages, "no-docs")).get(pages[0]?.path ?? "") as string;
  const { browser } = await findBrowser(defaultCacheFolder);
  const tab = await browser.newPage();
  const prints: number[] = [];
  for (let round = 0; round < rounds + 1; round += 1) {
    const from = performance.now();
    await tab.setContent(html, { waitUntil: "load" });
    await tab.pdf({ preferCSSPageSize: true, printBackground: true, tagged: true, outline: true });
    prints.push((performance.now() - from) / 1000);
  }
  await browser.close();
  return { computeSeconds: middle(times), printSeconds: middle(prints.slice(1)) };
}

const { computeSeconds, printSeconds } = await floors();
const serving = startCommand(["serve", JOB, "--port", String(PORT), "--jobs", office.jobs, "--output", office.output]);
let errors = "";
serving.stderr?.on("data", (chunk) => {
  errors += String(chunk);
});
try {
  // The listener of an open page: what it is told is when the page shows the job.
  let told = 0;
  let listening = false;
  const listen = () =>
    get({ host: "127.0.0.1", port: PORT, path: "/.news" }, (answer) => {
      listening = true;
      answer.on("data", (chunk) => {
        if (String(chunk).includes("event: built")) told += 1;
      });
      answer.on("error", () => undefined);
    }).on("error", () => void wait(100).then(listen));
  listen();
  await until("serving", () => listening, 120);
  await until("first PDFs", () => pinMapPdf() !== undefined, 180);
  const shown: number[] = [];
  const printed: number[] = [];
  // The first round warms up.
  for (let round = 0; round < rounds + 1; round += 1) {
    await wait(1_000);
    const [before, pdfBefore, toldBefore] = [page(), pinMapPdf(), told];
    const from = performance.now();
    save(round);
    const at = await until("the page", () => told > toldBefore && page() !== before && page() !== "", 120);
    const pdfAt = await until("the PDF", () => pinMapPdf() !== undefined && pinMapPdf() !== pdfBefore, 180);
    if (round === 0) continue;
    shown.push((at - from) / 1000);
    printed.push((pdfAt - from) / 1000);
  }
  tell("saved → the open page is told, 400 pins", middle(shown), "s", {
    floor: `× computing it (${computeSeconds.toFixed(2)} s)`,
    ratio: middle(shown) / computeSeconds,
    aim: "0.3 s",
  });
  tell("saved → the changed pin map's PDF is there", middle(printed), "s", {
    floor: `× computing it and the browser printing that sheet (${printSeconds.toFixed(2)} s)`,
    ratio: middle(printed) / (computeSeconds + printSeconds),
    aim: "1 s",
  });
} catch (error) {
  console.error(errors);
  throw error;
} finally {
  serving.kill("SIGTERM");
  await new Promise((ended) => serving.once("close", ended));
  rmSync(office.folder, { recursive: true, force: true });
}
