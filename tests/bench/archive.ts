/**
 * An archive of many jobs: what the command takes where nothing changed, where one job did, and where nothing was kept
 * from the run before, as seconds and as ratios to the floor: listing, reading and hashing the same files in this run.
 *
 *     node --import tsx --expose-gc tests/bench/archive.ts [jobs]
 */
import { readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { COMPUTE_LIMITS } from "../../src/build/compute-pool.ts";
import { openBuilder } from "../../src/build/open-builder.ts";
import { textsHash } from "../../src/build/texts-hash.ts";
import { runCommand } from "../build/run-command.ts";
import { smallJobText, temporaryOffice } from "../build/small-job.ts";
import { idOf, makeArchive } from "./made-archive.ts";
import { middle, tell } from "./tell.ts";

const count = Number(process.argv[2] ?? 10_000);
const office = temporaryOffice({ pattern: smallJobText("pattern") });
const words = ["--no-pdf", "--jobs", office.jobs, "--output", office.output];
const seconds = (from: number) => (performance.now() - from) / 1000;
const command = async (more: readonly string[] = []) => {
  const from = performance.now();
  const ran = await runCommand([...more, ...words]);
  if (ran.code !== 0) throw new Error(ran.errors);
  return { seconds: seconds(from), out: ran.out };
};
const floor = (): number => {
  const from = performance.now();
  const names = readdirSync(office.jobs).filter((name) => name.endsWith(".yaml"));
  for (const name of names) textsHash([readFileSync(join(office.jobs, name), "utf8")]);
  return seconds(from);
};
const against = (what: string, taken: number, floorSeconds: number, aim?: string) =>
  tell(what, taken, "s", {
    ratio: taken / floorSeconds,
    floor: "× the floor",
    ...(aim === undefined ? {} : { aim }),
  });

const again = async (): Promise<number> => (await command()).seconds;
const changed = async (number: number): Promise<number> => {
  writeFileSync(
    join(office.jobs, `${idOf(number)}.yaml`),
    smallJobText(idOf(number), { title: "Changed", readings: ["A 9 10 8", "B 11 12 9", "C 9 9 9"] }),
  );
  const taken = await again();
  // What was written a moment ago is looked at again by the next run: that is not the next figure's matter.
  await wait(2_500);
  await again();
  return taken;
};

try {
  const alone = await command();
  makeArchive(office.jobs, office.output, count, join(office.output, "pattern"));
  await wait(2_500);
  const read = middle([floor(), floor(), floor()]);
  console.log(`${count} jobs; floor: reading and hashing their files takes ${read.toFixed(3)} s`);
  against("one job and an empty archive, computed and rendered", alone.seconds, read);
  against("nothing kept from the run before: all files read", (await command()).seconds, read);
  await wait(2_500);
  against("nothing changed", middle([await again(), await again(), await again()]), read, "1 s");
  against(
    "one job changed, index with it",
    middle([await changed(7), await changed(8), await changed(9)]),
    read,
    "2 s",
  );
  against("one job named, nothing changed", (await command([idOf(9)])).seconds, read);

  const builder = openBuilder({
    jobsFolder: office.jobs,
    outputFolder: office.output,
    cacheFolder: join(office.folder, "cache"),
    pdfFolder: join(office.folder, "pdf"),
    fresh: false,
    limits: COMPUTE_LIMITS,
    lanes: 1,
  });
  await builder.build([idOf(1)], "no-pdfs", () => undefined);
  globalThis.gc?.();
  const before = process.memoryUsage().heapUsed;
  const from = performance.now();
  const report = await builder.build("all", "no-pdfs", () => undefined);
  const taken = seconds(from);
  globalThis.gc?.();
  const held = (process.memoryUsage().heapUsed - before) / count;
  against("in a process that runs already, nothing changed", taken, read);
  tell(`kept of a job while and after building, with its report`, held, "bytes", { aim: "2,000 at most" });
  if (report.jobs.length !== count + 1) throw new Error(`${report.jobs.length} reports of ${count + 1} jobs`);
  await builder.close();
} finally {
  rmSync(office.folder, { recursive: true, force: true });
}
