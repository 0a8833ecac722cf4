/**
 * Every benchmark, one after the other, each in a process of its own, with ratios of this run. After a run of all of
 * them the table of the docs is written: templates/partials/speed-table.njk.
 *
 *     npm run bench [-- name …]
 */
import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { cpus, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { speedTable } from "./speed-table.ts";
import { ROWS_FILE, type Told } from "./tell.ts";

/** What each is about, as the caption of its table. */
const BENCHMARKS = {
  surface: "The slab's surface against bare delaunator on the same points, processor time",
  scipy: "The same surface and volume against Python's SciPy on the same points",
  scan: "A laser scan from its file to the packet, processor time",
  survey: "Readings of 12 set-ups adjusted, and the reach of the hose, processor time",
  target: "The top of the pour over 100,000 vertices",
  conformity: "A straightedge over the floor read again, processor time",
  pour: "The pour plan",
  print: "Printing",
  command: "The whole command on small jobs of one room and 27 sheets",
  serve: "The serving command, a job of 400 pins",
  archive: "An archive of 10,000 jobs, HTML only, against reading and hashing their files",
} as const;
type Name = keyof typeof BENCHMARKS;

const folder = fileURLToPath(new URL(".", import.meta.url));
const all = Object.keys(BENCHMARKS) as Name[];
const wanted = process.argv.slice(2);
const strangers = wanted.filter((name) => !(name in BENCHMARKS));
if (strangers.length > 0) {
  console.error(`There is no benchmark ${strangers.join(", ")}; there are ${all.join(", ")}.`);
  process.exit(2);
}
const machine = `Node ${process.version.slice(1)}, ${cpus().length} × ${cpus()[0]?.model.trim() || "unknown processor"}`;
console.log(machine);
const scratch = mkdtempSync(join(tmpdir(), "bench-"));
const tables: { readonly caption: string; readonly rows: readonly Told[] }[] = [];
let failed = 0;
for (const name of wanted.length > 0 ? (wanted as Name[]) : all) {
  console.log(`\n${name}`);
  const rows = join(scratch, name);
  const from = performance.now();
  const { status } = spawnSync(process.execPath, ["--import", "tsx", "--expose-gc", `${folder}${name}.ts`], {
    stdio: "inherit",
    env: { ...process.env, [ROWS_FILE]: rows },
  });
  console.log(`(${((performance.now() - from) / 1000).toFixed(0)} s)`);
  if (status !== 0) {
    failed += 1;
    console.error(`${name} did not run to its end.`);
  }
  const told = existsSync(rows) ? readFileSync(rows, "utf8").trim().split("\n") : [];
  if (told.length > 0) tables.push({ caption: BENCHMARKS[name], rows: told.map((line) => JSON.parse(line) as Told) });
}
rmSync(scratch, { recursive: true, force: true });
if (wanted.length === 0 && failed === 0) {
  const path = new URL("../../templates/partials/speed-table.njk", import.meta.url);
  writeFileSync(path, speedTable(tables, machine, new Date()));
  console.log(`\nThe table of the docs is written: ${fileURLToPath(path)}`);
}
process.exitCode = failed === 0 ? 0 : 1;
