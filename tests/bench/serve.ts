/**
 * The serving command: a job of 400 pins is saved with its readings changed; how long until the open page shows the pins,
 * until the PDFs of the sheets that are cut by are there, and until the whole packet is. Against two floors of the same
 * run: computing the job in a process that has computed before, and the browser alone printing the changed sheet. Middle
 * of the rounds; what the first look shows is held against the packet. Then the same job with one thing changed at a time:
 * a reading, a note, a figure of the crew, its title.
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
const WARM_UP = 4;
const RUN = Date.now().toString(36);

/** Named after the run, so that no PDF is one that an earlier run left. */
const text = (round: number) =>
  largeJobText(JOB, 11 + (round % 7), Math.floor(round / 7)).replace(
    /^title: .*$/m,
    `title: Hall, run ${process.pid}-${RUN}`,
  );
/** One thing that an office changes, another value of it each round, in a job that is else the same. */
const EDITS: Readonly<Record<string, (round: number) => string>> = {
  "one reading": (round) => largeJobText(JOB, 20 + round),
  "a note": (round) => `${largeJobText(JOB)}notes: ["Read on day ${round + 1}"]\n`,
  "a figure of the crew": (round) => largeJobText(JOB).replace(/^crew: pump$/m, crewOf(round)),
  "the title": (round) => largeJobText(JOB).replace(/^title: .*$/m, `title: Hall ${round + 1}`),
};
const crewOf = (round: number) =>
  `crew: { id: pump, name: A pump, people: 10, barrels: 2, bags_per_barrel: 10, barrel_cycle: ${120 + round} s, mix_time: 90 s, lane_width: 8 m }`;
const office = temporaryOffice({ [JOB]: text(6) });
/** As an editor saves: whole, by rename. */
const save = (jobText: string) => {
  const path = join(office.jobs, `${JOB}.yaml`);
  writeFileSync(join(office.folder, "saved"), jobText);
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
const readPage = async (): Promise<string> => readFileSync(join(office.output, JOB, "index.html"), "utf8");
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
/** What the server has at a path: nothing where it is not there. */
const fetched = (path: string): Promise<Buffer | undefined> =>
  new Promise((resolve) => {
    get({ host: "127.0.0.1", port: PORT, path }, (answer) => {
      const chunks: Buffer[] = [];
      answer.on("data", (chunk: Buffer) => chunks.push(chunk));
      answer.on("end", () => resolve(answer.statusCode === 200 ? Buffer.concat(chunks) : undefined));
    }).on("error", () => resolve(undefined));
  });
try {
  // The listener of an open page: what it is told is when the page shows the job.
  const told: { readonly event: string; readonly paths: readonly string[]; readonly at: number }[] = [];
  let listening = false;
  const listen = () =>
    get({ host: "127.0.0.1", port: PORT, path: "/.news" }, (answer) => {
      listening = true;
      let text = "";
      answer.on("data", (chunk) => {
        text += String(chunk);
        for (let end = text.indexOf("\n\n"); end >= 0; end = text.indexOf("\n\n")) {
          const [, event, data] = /^event: (.*)\ndata: (.*)$/m.exec(text.slice(0, end)) ?? [];
          text = text.slice(end + 2);
          if (event !== undefined && data !== undefined)
            told.push({ event, paths: event === "problems" ? [] : JSON.parse(data), at: performance.now() });
        }
      });
      answer.on("error", () => undefined);
    }).on("error", () => void wait(100).then(listen));
  listen();
  await until("serving", () => listening, 120);
  await until("first PDFs", () => pinMapPdf() !== undefined, 180);
  const times: Record<"page" | "cut table" | "pin map" | "packet" | "all PDFs", number[]> = {
    page: [],
    "cut table": [],
    "pin map": [],
    packet: [],
    "all PDFs": [],
  };
  // The first rounds warm up: a thread compiles what it does often.
  for (let round = 0; round < rounds + WARM_UP; round += 1) {
    await wait(1_000);
    const [before, pdfBefore, from] = [told.length, pinMapPdf(), performance.now()];
    save(text(round));
    const news = (is: (one: (typeof told)[number]) => boolean) => told.slice(before).find(is);
    const when = async (what: string, is: (one: (typeof told)[number]) => boolean): Promise<string> => {
      await until(what, () => news(is) !== undefined, 180);
      const one = news(is) as (typeof told)[number];
      if (round >= WARM_UP) times[what as keyof typeof times].push((one.at - from) / 1000);
      return one.paths.find((path) => path.includes("/")) ?? "";
    };
    await when("page", ({ paths }) => paths.includes(`${JOB}/index.html`));
    const shows = String(await fetched(`/${JOB}/`));
    for (const sheet of ["cut table", "pin map"]) {
      const name = new RegExp(`-${sheet.replace(" ", "-")}-.*\\.pdf$`);
      const path = await when(sheet, ({ paths }) => paths.some((one) => name.test(one)));
      if ((await fetched(`/${path}`))?.subarray(0, 5).toString() !== "%PDF-") throw new Error(`no PDF at ${path}`);
    }
    await when("packet", ({ event }) => event === "built");
    await until("all PDFs", () => pinMapPdf() !== undefined && pinMapPdf() !== pdfBefore, 180);
    if (round >= WARM_UP) times["all PDFs"].push((performance.now() - from) / 1000);
    const whole = await readPage();
    const cuts = (html: string) => (html.match(/<td class="cut">.*?<\/td>/g) ?? []).join();
    if (cuts(shows) === "" || cuts(shows) !== cuts(whole))
      throw new Error("the first look shows other cuts than the packet");
  }
  tell("saved → the open page shows its pins, 400 pins", middle(times.page), "s", {
    floor: `× computing the packet (${computeSeconds.toFixed(2)} s)`,
    ratio: middle(times.page) / computeSeconds,
    aim: "0.3 s",
  });
  tell("saved → the changed cut table's PDF is there", middle(times["cut table"]), "s", {
    floor: "× the page",
    ratio: middle(times["cut table"]) / middle(times.page),
    aim: "1 s",
  });
  tell("saved → the changed pin map's PDF is there", middle(times["pin map"]), "s", {
    floor: `× the browser alone printing that sheet (${printSeconds.toFixed(2)} s)`,
    ratio: middle(times["pin map"]) / printSeconds,
    aim: "1 s",
  });
  tell("saved → the page shows the whole packet", middle(times.packet), "s", {
    floor: `× computing it (${computeSeconds.toFixed(2)} s)`,
    ratio: middle(times.packet) / computeSeconds,
  });
  tell("saved → every PDF and set of the packet is in its place", middle(times["all PDFs"]), "s", {
    floor: `× computing it`,
    ratio: middle(times["all PDFs"]) / computeSeconds,
  });

  for (const [edit, textOf] of Object.entries(EDITS)) {
    const [pages, packets]: [number[], number[]] = [[], []];
    // The first save goes over from the job of before: more than this one thing changes.
    for (let round = 0; round < rounds + 1; round += 1) {
      await wait(1_000);
      const [before, from] = [told.length, performance.now()];
      save(textOf(round));
      const since = () => told.slice(before);
      const shownAt = () => since().find(({ paths }) => paths.includes(`${JOB}/index.html`))?.at;
      const builtAt = () => since().find(({ event }) => event === "built")?.at;
      await until(`${edit}: the packet`, () => builtAt() !== undefined, 180);
      const [shown, built] = [shownAt(), builtAt() as number];
      if (shown === undefined) throw new Error(`${edit}: no first look`);
      if (round > 0) {
        pages.push((shown - from) / 1000);
        packets.push((built - from) / 1000);
      }
    }
    tell(`${edit} changed → the page shows its pins`, middle(pages), "s", {
      floor: `× computing the packet`,
      ratio: middle(pages) / computeSeconds,
      aim: "0.3 s",
    });
    tell(`${edit} changed → the page shows the whole packet`, middle(packets), "s", {
      floor: `× computing it`,
      ratio: middle(packets) / computeSeconds,
    });
  }
} catch (error) {
  console.error(errors);
  throw error;
} finally {
  serving.kill("SIGTERM");
  await new Promise((ended) => serving.once("close", ended));
  rmSync(office.folder, { recursive: true, force: true });
}
