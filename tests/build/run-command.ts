/** Runs the command line as a person would, in a process of its own. */
import { type ChildProcess, spawn } from "node:child_process";
import { projectFolder } from "./small-job.ts";

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly errors: string;
}

export interface RunOptions {
  readonly project?: string;
  readonly environment?: Readonly<Record<string, string>>;
  /** Another Node than this one, by its path. */
  readonly node?: string;
}

export function startCommand(words: readonly string[], options: RunOptions = {}): ChildProcess {
  return spawn(options.node ?? process.execPath, ["src/start.mjs", ...words], {
    cwd: options.project ?? projectFolder,
    env: { ...process.env, ...options.environment },
    stdio: ["ignore", "pipe", "pipe"],
  });
}

export function runCommand(words: readonly string[], options: RunOptions = {}): Promise<Ran> {
  const child = startCommand(words, options);
  let out = "";
  let errors = "";
  child.stdout?.on("data", (chunk) => {
    out += String(chunk);
  });
  child.stderr?.on("data", (chunk) => {
    errors += String(chunk);
  });
  return new Promise((done, fail) => {
    child.on("error", fail);
    child.on("close", (code) => done({ code, out, errors }));
  });
}
