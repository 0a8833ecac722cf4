/** The command line: reads the words, and hands over to a verb. Says everything that the program says. */
import { availableParallelism } from "node:os";
import { resolve } from "node:path";
import { COMPUTE_LIMITS } from "./build/compute-pool.ts";
import type { BuildSettings, PdfWish, Shard } from "./build/model.ts";
import type { Terminal } from "./cli/build-verb.ts";
import { type Command, readArguments, unknownJobs } from "./cli/read-arguments.ts";
import { EXIT, helpText } from "./cli/usage.ts";
import { listJobs } from "./job/files.ts";
import { defaultCacheFolder, projectFolder } from "./print/cache-folder.ts";

/** Browsers that print side by side, one a core: each takes some 200 MB. */
const MOST_BROWSERS = 8;

const terminal: Terminal = {
  out: (text) => console.log(text),
  error: (text) => console.error(text),
};

/** @returns the exit code. */
async function run(words: readonly string[]): Promise<number> {
  const command = readArguments(words);
  if ("problem" in command) {
    terminal.error(`${command.problem}\nnpm start -- --help says what there is.`);
    return EXIT.notUnderstood;
  }
  if (command.help) {
    terminal.out(helpText(command.verbGiven ? command.verb : undefined));
    return EXIT.done;
  }
  const jobsFolder = folderOf(command, "jobs");
  if (command.verb === "new") return startNewJob(command, jobsFolder);

  const numbers = readNumbers(command);
  if ("problem" in numbers) {
    terminal.error(numbers.problem);
    return EXIT.notUnderstood;
  }
  if (command.verb === "join") {
    if (command.jobIds.length === 0)
      return notUnderstood("Name the folders of the parts. Such as: npm start -- join part-1 part-2");
    const { runJoin } = await import("./cli/join-verb.ts");
    return runJoin(settingsOf(command, jobsFolder, numbers.limitSeconds), command.jobIds.map(asTyped), terminal);
  }
  const shard = readShard(command.options.get("shard"));
  if (shard !== undefined && "problem" in shard) return notUnderstood(shard.problem);
  let known: string[];
  try {
    known = listJobs(jobsFolder).jobs.map(({ id }) => id);
  } catch (error) {
    terminal.error(`The folder of jobs cannot be read: ${error instanceof Error ? error.message : String(error)}`);
    return EXIT.machine;
  }
  const unknown = unknownJobs(command.jobIds, known);
  if (unknown.length > 0) {
    terminal.error(unknown.join("\n"));
    return EXIT.notUnderstood;
  }
  const jobIds = command.jobIds.length === 0 ? "all" : command.jobIds;
  // Each verb loads what it needs: a build that finds nothing to do is done before the pipeline would be loaded.
  if (command.verb === "check") return (await import("./cli/check-verb.ts")).runCheck(jobsFolder, jobIds, terminal);

  const settings = settingsOf(command, jobsFolder, numbers.limitSeconds);
  const print = command.options.has("no-pdf") ? "no-pdfs" : "pdfs";
  switch (command.verb) {
    case "serve":
      return (await import("./cli/serve-verb.ts")).runServe(settings, jobIds, print, numbers.port, terminal);
    case "issue":
      return startIssue(command, settings, print);
    case "history": {
      const [id] = command.jobIds;
      if (id === undefined || command.jobIds.length > 1)
        return notUnderstood("Name one job. Such as: npm start -- history birch-lane-bath");
      return (await import("./cli/history-verb.ts")).runHistory(jobsFolder, id, terminal);
    }
    case "learn":
      return (await import("./cli/learn-verb.ts")).runLearn(
        settings.outputFolder,
        { estimateFor: command.jobIds[0], file: asTypedOr(command.options.get("write")) },
        terminal,
      );
    case "reprint": {
      const [id] = command.jobIds;
      if (id === undefined || command.jobIds.length > 1)
        return notUnderstood("Name one job. Such as: npm start -- reprint birch-lane-bath --revision 1");
      const { runReprint } = await import("./cli/reprint-verb.ts");
      return runReprint(settings, id, numbers.revision ?? "last", print, terminal);
    }
    default:
      return (await import("./cli/build-verb.ts")).runBuild(settings, jobIds, print, terminal, shard);
  }
}

function notUnderstood(complaint: string): number {
  terminal.error(complaint);
  return EXIT.notUnderstood;
}

async function startIssue({ jobIds, options }: Command, settings: BuildSettings, print: PdfWish): Promise<number> {
  const { dayOf, runIssue, today } = await import("./cli/issue-verb.ts");
  const [id, ...others] = jobIds;
  const reason = options.get("reason")?.trim() ?? "";
  const typed = options.get("date");
  const date = typed === undefined ? { day: today(new Date()) } : dayOf(typed);
  if ("problem" in date) return notUnderstood(date.problem);
  if (id === undefined || others.length > 0 || reason === "")
    return notUnderstood(
      `${reason === "" ? "Say why it is issued." : "Name one job."} Such as: npm start -- issue birch-lane-bath --reason "For the pour"`,
    );
  return runIssue(settings, id, { date: date.day, reason }, print, terminal);
}

const settingsOf = (command: Command, jobsFolder: string, limitSeconds: number | undefined): BuildSettings => ({
  jobsFolder,
  outputFolder: folderOf(command, "output"),
  cacheFolder: defaultCacheFolder,
  pdfFolder: resolve(defaultCacheFolder, "pdf"),
  fresh: command.options.has("fresh"),
  limits: { ...COMPUTE_LIMITS, seconds: limitSeconds ?? COMPUTE_LIMITS.seconds },
  lanes: Math.min(availableParallelism(), MOST_BROWSERS),
});

/** `2/4` → the second of four parts. */
function readShard(typed: string | undefined): Shard | { readonly problem: string } | undefined {
  if (typed === undefined) return undefined;
  const [, number, of] = (/^(\d{1,4})\/(\d{1,4})$/.exec(typed) ?? []).map(Number);
  if (number === undefined || of === undefined || number < 1 || number > of)
    return { problem: `--shard takes a part and how many there are, such as 1/4, not ${typed}.` };
  return { number, of };
}

/** A folder as typed is seen from where the command was given; without one it is the project's own. */
function folderOf({ options }: Command, name: "jobs" | "output"): string {
  const typed = options.get(name);
  return typed === undefined ? resolve(projectFolder, name) : asTyped(typed);
}

const asTypedOr = (folder: string | undefined): string | undefined =>
  folder === undefined ? undefined : asTyped(folder);

const asTyped = (folder: string): string => resolve(process.env.INIT_CWD ?? process.cwd(), folder);

async function startNewJob({ jobIds, options }: Command, jobsFolder: string): Promise<number> {
  const { runNew, runNewFrom } = await import("./cli/new-verb.ts");
  const [id, ...others] = jobIds;
  const rooms = [options.get("room"), options.get("walls")].filter((each) => each !== undefined);
  const heightUnit = options.get("height") ?? "mm";
  const from = options.get("from");
  const complaint =
    id === undefined || others.length > 0
      ? "Name one job."
      : from !== undefined && options.size > (options.has("jobs") ? 2 : 1)
        ? "With --from everything is taken from the other job: no other option goes with it."
        : from === undefined && rooms.length !== 1
          ? "Give the room as --room or as --walls, one of them."
          : heightUnit !== "mm" && heightUnit !== "in"
            ? `--height takes mm or in, not ${heightUnit}.`
            : undefined;
  if (complaint !== undefined || id === undefined) {
    terminal.error(`${complaint} Such as: npm start -- new birch-lane-bath --room "8' x 6'"`);
    return EXIT.notUnderstood;
  }
  if (from !== undefined) return runNewFrom(jobsFolder, id, from, terminal);
  const material = options.get("material");
  const spacing = options.get("spacing");
  return runNew(
    jobsFolder,
    {
      id,
      title: options.get("title") ?? id.replaceAll("-", " "),
      room: rooms[0] as string,
      heightUnit: heightUnit as "mm" | "in",
      ...(material === undefined ? {} : { material }),
      ...(spacing === undefined ? {} : { spacing }),
    },
    terminal,
  );
}

function readNumbers({
  options,
}: Command): { port?: number; limitSeconds?: number; revision?: number } | { problem: string } {
  const numbers: { port?: number; limitSeconds?: number; revision?: number } = {};
  for (const [name, key, most] of [
    ["port", "port", 65_535],
    ["limit-seconds", "limitSeconds", 86_400],
    ["revision", "revision", 9_999],
  ] as const) {
    const typed = options.get(name);
    if (typed === undefined) continue;
    if (!/^\d{1,5}$/.test(typed) || Number(typed) < 1 || Number(typed) > most)
      return { problem: `--${name} takes a whole number from 1 to ${most}, not ${typed}.` };
    numbers[key] = Number(typed);
  }
  return numbers;
}

process.exitCode = await run(process.argv.slice(2));
