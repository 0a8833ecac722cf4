/**
 * Builds shipped jobs with several versions of Node, each in another locale and time zone, and compares every file with
 * those of the first, byte for byte, PDFs included.
 *
 *     npm run same-on-nodes -- /path/to/node22 /path/to/node24
 */
import { execFileSync } from "node:child_process";
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { runCommand } from "./run-command.ts";
import { projectFolder } from "./small-job.ts";

const JOBS = ["maple-loft-bath", "alder-court-laundry", "test-pad"];
const SETTINGS = [
  { LC_ALL: "en_US.UTF-8", TZ: "UTC" },
  { LC_ALL: "tr_TR.UTF-8", TZ: "Pacific/Kiritimati" },
  { LC_ALL: "C", TZ: "America/St_Johns" },
];

const folder = mkdtempSync(join(tmpdir(), "on-nodes-"));
const filesOf = (output: string): Map<string, Buffer> =>
  new Map(
    readdirSync(output, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name))
      .sort()
      .map((path) => [path.slice(output.length + 1), readFileSync(path)]),
  );
const versionOf = (node: string): string => execFileSync(node, ["--version"], { encoding: "utf8" }).trim();

try {
  const jobs = join(folder, "jobs");
  cpSync(join(projectFolder, "jobs", "_library"), join(jobs, "_library"), { recursive: true });
  for (const id of JOBS) {
    cpSync(join(projectFolder, "jobs", `${id}.yaml`), join(jobs, `${id}.yaml`));
    const beside = join(projectFolder, "jobs", id);
    if (existsSync(beside)) cpSync(beside, join(jobs, id), { recursive: true });
  }
  let first: Map<string, Buffer> | undefined;
  for (const [index, node] of [process.execPath, ...process.argv.slice(2)].entries()) {
    const output = join(folder, `output-${index}`);
    const environment = SETTINGS[index % SETTINGS.length] as Record<string, string>;
    const ran = await runCommand(["--fresh", "--jobs", jobs, "--output", output], { node, environment });
    if (ran.code !== 0) throw new Error(`${versionOf(node)} ended with ${ran.code}:\n${ran.errors}`);
    const files = filesOf(output);
    const different =
      first === undefined
        ? []
        : [...new Set([...first.keys(), ...files.keys()])].filter(
            (path) => !(first?.get(path)?.equals(files.get(path) ?? Buffer.alloc(0)) ?? false),
          );
    console.log(
      `${versionOf(node)}, ${environment.LC_ALL}, ${environment.TZ}: ${files.size} files, ` +
        `${[...files.keys()].filter((path) => path.endsWith(".pdf")).length} of them PDFs; ` +
        (first === undefined ? "the pattern" : `${different.length} not as in the pattern`),
    );
    for (const path of different) console.error(`  ${path}`);
    if (different.length > 0) process.exitCode = 1;
    first ??= files;
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
