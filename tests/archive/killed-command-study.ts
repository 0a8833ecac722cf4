/**
 * The whole command with its browser, killed at random moments of its work, each time on a changed job file: the job's
 * folder has to be the packet of one version of the file, whole, and the next run has to make the last one.
 *
 *     npm run study:killed-command [-- rounds]
 */
import { existsSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { LOCK } from "../../src/archive/build-lock.ts";
import { BUILT_FROM } from "../../src/archive/built-packets.ts";
import { MAKING } from "../../src/archive/packet-folder.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { runCommand, startCommand } from "../build/run-command.ts";
import { smallJobText, temporaryOffice } from "../build/small-job.ts";

const ROUNDS_TO_AN_END = 10;
const ID = "small-room";
const rounds = Number(process.argv[2] ?? 200);
const textOf = (round: number): string => smallJobText(ID, { title: `Round ${round}` });
const office = temporaryOffice({ [ID]: textOf(0) });
const words = ["--jobs", office.jobs, "--output", office.output];

/** The one round whose packet lies whole in the folder, or what is wrong with it. */
function roundIn(folder: string, countOfFiles: number | undefined): number | string {
  const paths = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));
  if (!existsSync(join(folder, BUILT_FROM))) return "does not say what it was built from";
  if (countOfFiles !== undefined && paths.length !== countOfFiles)
    return `has ${paths.length} files, ${countOfFiles} wanted`;
  const named = new Set<number>();
  for (const path of paths) {
    if (path.endsWith(".pdf")) {
      const bytes = readFileSync(path);
      if (!bytes.subarray(-8).toString("latin1").includes("%%EOF")) return `${path} is no whole PDF`;
    } else for (const [, round] of readFileSync(path, "utf8").matchAll(/Round (\d+)/g)) named.add(Number(round));
  }
  return named.size === 1 ? ([...named][0] as number) : `speaks of rounds ${[...named].join(", ")}`;
}

const place = join(office.output, ID);
const began = performance.now();
const first = await runCommand(words);
if (first.code !== 0) throw new Error(first.errors);
/** Of the last run to its end; kills come up to half as long again after the start, so that the end is among the moments. */
let wholeRunMs = performance.now() - began;
const LATEST = 2;
const countOfFiles = readdirSync(place, { recursive: true, withFileTypes: true }).filter((one) => one.isFile()).length;
const random = randomFrom(20270415);
const wrong: string[] = [];
const found = { asBefore: 0, new: 0, empty: 0, ended: 0 };
let last = 0;
for (let round = 1; round <= rounds; round += 1) {
  writeFileSync(join(office.jobs, `${ID}.yaml`), textOf(round));
  const child = startCommand(words);
  const ended = new Promise<NodeJS.Signals | null>((done) => child.once("close", (_, signal) => done(signal)));
  await new Promise((later) => setTimeout(later, random.uniform() * LATEST * wholeRunMs));
  child.kill("SIGKILL");
  if ((await ended) !== "SIGKILL") found.ended += 1;
  const isEmpty = !existsSync(place);
  if (isEmpty) found.empty += 1;
  const seen = roundIn(isEmpty ? join(office.output, MAKING, `${ID}.old`) : place, countOfFiles);
  if (seen === round) found.new += 1;
  else if (seen === last) found.asBefore += 1;
  else wrong.push(`round ${round}: ${typeof seen === "string" ? seen : `the packet of round ${seen}, not of ${last}`}`);
  if (typeof seen === "number") last = seen;
  if (round % ROUNDS_TO_AN_END === 0) {
    const from = performance.now();
    const next = await runCommand(words);
    wholeRunMs = performance.now() - from;
    const after = roundIn(place, countOfFiles);
    if (next.code !== 0 || after !== round) wrong.push(`round ${round}: the next run left ${after}: ${next.errors}`);
    // What was moved aside a moment ago may be another process's, and is left to the next run.
    const isYoung = (name: string) => Date.now() - statSync(join(office.output, name)).ctimeMs < 10_000;
    const left = readdirSync(office.output).filter(
      (name) => name === MAKING || name === LOCK || /\.part$/.test(name) || (name.startsWith(LOCK) && !isYoung(name)),
    );
    if (left.length > 0) wrong.push(`round ${round}: the next run left ${left.join(", ")} behind`);
    last = round;
  }
}
console.log(
  `${rounds} kills of runs of ${(wholeRunMs / 1000).toFixed(1)} s: ${found.asBefore} times the old packet, ` +
    `${found.new} times the new one, ${found.empty} times in the moment between (the old one whole beside its place), ` +
    `${found.ended} runs ended before the kill; ${wrong.length} times it was neither.`,
);
for (const line of wrong) console.error(line);
rmSync(office.folder, { recursive: true, force: true });
process.exitCode = wrong.length === 0 ? 0 : 1;
