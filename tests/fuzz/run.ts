/**
 * The long run: `npm run fuzz -- --runs 100000 --seed 1`. Draws jobs, damaged files and lists of readings, and judges
 * each. Says how far it is, and writes the smallest case of every failure into a folder of its own.
 * Further: `--sort jobs|packets|bytes|lists` for one sort alone, `--to folder`, `--hang seconds`.
 */
import { mkdirSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { parseArgs } from "node:util";
import { Worker } from "node:worker_threads";
import type { Batch, Said } from "./run-worker.ts";
import type { Case, Sort } from "./sorts.ts";

const { values } = parseArgs({
  options: {
    runs: { type: "string", default: "2000" },
    seed: { type: "string", default: "1" },
    sort: { type: "string" },
    to: { type: "string", default: join(tmpdir(), "pour-packet-fuzz") },
    hang: { type: "string", default: "60" },
  },
});
const runs = Number(values.runs);
const seed = Number(values.seed);
const hangMs = 1000 * Number(values.hang);

/** Of 100 cases. Whole packets take the longest and are drawn least. */
const SHARES: Readonly<Record<Sort, number>> = { jobs: 72, bytes: 20, lists: 5, packets: 3 };
const BATCH = 100;

const batches: Batch[] = [];
for (let first = 0; first < runs; first += BATCH) {
  const size = Math.min(BATCH, runs - first);
  const sorts = values.sort === undefined ? (Object.keys(SHARES) as Sort[]) : [values.sort as Sort];
  for (const sort of sorts) {
    const share = values.sort === undefined ? Math.round((size * SHARES[sort]) / 100) : size;
    if (share > 0) batches.push({ sort, seed: seed + first, runs: share });
  }
}

const tally: Record<string, number> = {};
const codes: Record<string, number> = {};
const failures = new Map<string, string>();
let slowestMs = 0;
let done = 0;

function write(name: string, message: string, files: Case["files"]): string {
  const folder = join(values.to, name);
  mkdirSync(folder, { recursive: true });
  for (const [path, content] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), content);
  }
  writeFileSync(join(folder, "message.txt"), `${message}\n`);
  return folder;
}

let worker: Worker | undefined;
const open = () => {
  worker ??= new Worker(new URL("./run-worker.mjs", import.meta.url), { execArgv: [] });
  return worker;
};

function runBatch(batch: Batch): Promise<void> {
  const thread = open();
  return new Promise((resolve) => {
    let at: Case["files"] = {};
    const fail = (message: string, files: Case["files"]) => {
      // One case for each place where it broke, numbers left out.
      const key = message
        .split("\n")
        .slice(0, 2)
        .join(" ")
        .replace(/[-\d.]+/g, "#")
        .slice(0, 160);
      if (failures.has(key)) return;
      failures.set(key, write(`${batch.sort}-${batch.seed}`, message, files));
      console.log(`\nFAILED ${message.split("\n").slice(0, 3).join("\n")}\n  → ${failures.get(key)}`);
    };
    const end = () => {
      clearTimeout(timer);
      thread.off("message", onMessage).off("error", onError);
      resolve();
    };
    const giveUp = (why: string) => {
      fail(why, at);
      worker = undefined;
      void thread.terminate().then(end);
    };
    const hangs = () => giveUp(`still at it after ${hangMs / 1000} s`);
    let timer = setTimeout(hangs, hangMs);
    const onMessage = (said: Said) => {
      clearTimeout(timer);
      timer = setTimeout(hangs, hangMs);
      if (said.kind === "at") {
        at = said.files;
        return;
      }
      for (const kind of ["made", "refused"] as const)
        tally[`${batch.sort} ${kind}`] = (tally[`${batch.sort} ${kind}`] ?? 0) + said[kind];
      for (const [code, count] of Object.entries(said.codes)) codes[code] = (codes[code] ?? 0) + count;
      if (said.slowestMs > slowestMs) {
        slowestMs = said.slowestMs;
        write("slowest", `${Math.round(said.slowestMs)} ms, ${batch.sort} of seed ${batch.seed}`, said.slowest);
      }
      if (said.failure) fail(said.failure.message, said.failure.files);
      end();
    };
    const onError = (error: Error) => giveUp(error.stack ?? error.message);
    thread.on("message", onMessage).on("error", onError);
    thread.postMessage(batch);
  });
}

const began = performance.now();
for (const batch of batches) {
  await runBatch(batch);
  done += batch.runs;
  if (done % 1000 < batch.runs || done === runs) {
    const seconds = (performance.now() - began) / 1000;
    console.log(`${done} of ${runs}, seed ${seed}, ${seconds.toFixed(0)} s, ${failures.size} failed`);
  }
}
await worker?.terminate();
console.log(
  Object.entries(tally)
    .map(([kind, count]) => `${kind}: ${count}`)
    .join(", "),
);
console.log(`slowest ${Math.round(slowestMs)} ms; ${Object.keys(codes).length} different codes said:`);
console.log(
  Object.entries(codes)
    .sort(([, a], [, b]) => b - a)
    .map(([code, count]) => `${code} ${count}`)
    .join(", "),
);
for (const [key, folder] of failures) console.log(`failed: ${key} → ${folder}`);
process.exitCode = failures.size > 0 ? 1 : 0;
