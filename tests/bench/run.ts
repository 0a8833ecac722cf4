/**
 * Every benchmark, one after the other, each in a process of its own. Each prints ratios of this run.
 *
 *     npm run bench [-- name …]
 */
import { spawnSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { cpus } from "node:os";
import { fileURLToPath } from "node:url";

const folder = fileURLToPath(new URL(".", import.meta.url));
const all = readdirSync(folder)
  .filter((name) => name.endsWith(".ts") && !["run.ts", "made-archive.ts"].includes(name))
  .map((name) => name.replace(/\.ts$/, ""))
  .sort();
const wanted = process.argv.slice(2);
const strangers = wanted.filter((name) => !all.includes(name));
if (strangers.length > 0) {
  console.error(`There is no benchmark ${strangers.join(", ")}; there are ${all.join(", ")}.`);
  process.exit(2);
}
console.log(`Node ${process.version}, ${cpus().length} × ${cpus()[0]?.model ?? "unknown processor"}`);
let failed = 0;
for (const name of wanted.length > 0 ? wanted : all) {
  console.log(`\n${name}`);
  const { status } = spawnSync(process.execPath, ["--import", "tsx", "--expose-gc", `${folder}${name}.ts`], {
    stdio: "inherit",
  });
  if (status !== 0) failed += 1;
}
process.exitCode = failed === 0 ? 0 : 1;
