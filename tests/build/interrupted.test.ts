/** A build of several jobs that is killed half way: the next one goes on where it stopped. */
import { execFileSync } from "node:child_process";
import { existsSync, readdirSync, readFileSync, rmSync, statSync } from "node:fs";
import { join } from "node:path";
import { expect, onTestFinished, test } from "vitest";
import { BUILT_FROM } from "../../src/archive/built-packets.ts";
import { runCommand, startCommand } from "./run-command.ts";
import { smallJobText, temporaryOffice } from "./small-job.ts";

test("killed in the middle of six jobs, the next run makes the unfinished ones and no other", async () => {
  const ids = Array.from({ length: 6 }, (_, index) => `room-${index}`);
  const office = temporaryOffice(Object.fromEntries(ids.map((id) => [id, smallJobText(id, { title: id })])));
  onTestFinished(() => rmSync(office.folder, { recursive: true, force: true }));
  const words = ["--no-pdf", "--jobs", office.jobs, "--output", office.output];

  const child = startCommand(words);
  const ended = new Promise<NodeJS.Signals | null>((done) => child.once("close", (_, signal) => done(signal)));
  await new Promise<void>((third) => {
    let out = "";
    child.stdout?.on("data", (chunk) => {
      out += String(chunk);
      if (out.includes("[3/6]")) third();
    });
  });
  child.kill("SIGKILL");
  expect(await ended).toBe("SIGKILL");

  const stampOf = (id: string) => {
    const path = join(office.output, id, BUILT_FROM);
    return existsSync(path) ? `${statSync(path).mtimeMs} ${statSync(path).ino}` : undefined;
  };
  const before = new Map(ids.map((id) => [id, stampOf(id)]));
  const finished = ids.filter((id) => before.get(id) !== undefined);
  expect(finished.length).toBeGreaterThanOrEqual(3);
  expect(finished.length).toBeLessThan(6);

  const next = await runCommand(words);
  expect([next.code, next.errors]).toEqual([0, ""]);
  const computed = [...next.out.matchAll(/(room-\d): computing/g)].map(([, id]) => id);
  // One that lay finished beside its place when the kill came is moved in, not made again.
  const mended = [...next.out.matchAll(/packet of (room-\d) was put right/g)].map(([, id]) => id);
  expect(computed).toEqual(ids.filter((id) => !finished.includes(id) && !mended.includes(id)));
  for (const id of finished) if (!mended.includes(id)) expect(stampOf(id)).toBe(before.get(id));
  for (const id of ids) expect(readFileSync(join(office.output, id, "index.html"), "utf8")).toContain(`<h1>${id}</h1>`);
  expect(readdirSync(office.output).filter((name) => name.startsWith(".making"))).toEqual([]);
  const table = JSON.parse(readFileSync(join(office.output, "jobs.json"), "utf8")) as { jobs: { jobId: string }[] };
  expect(table.jobs.map(({ jobId }) => jobId).sort()).toEqual(ids);
}, 240_000);

/** Processes by their number: whose child each is, and whether it still runs (a zombie has ended). */
const processes = (): Map<number, number> =>
  new Map(
    execFileSync("ps", ["-A", "-o", "pid=,ppid=,stat="], { encoding: "utf8" })
      .split("\n")
      .map((line) => line.trim().split(/\s+/))
      .filter(([, , state]) => state !== undefined && !state.startsWith("Z"))
      .map(([pid, parent]) => [Number(pid), Number(parent)]),
  );

test("killed while it prints, no browser stays behind", async () => {
  const office = temporaryOffice({ "small-room": smallJobText("small-room", { title: `Killed ${Date.now()}` }) });
  onTestFinished(() => rmSync(office.folder, { recursive: true, force: true }));
  const child = startCommand(["--jobs", office.jobs, "--output", office.output]);
  const ended = new Promise((done) => child.once("close", done));
  const below = (): number[] => {
    const parents = processes();
    const isBelow = (pid: number): boolean => {
      const parent = parents.get(pid);
      return parent !== undefined && (parent === child.pid || isBelow(parent));
    };
    return [...parents.keys()].filter(isBelow);
  };
  await expect.poll(() => below().length, { timeout: 60_000, interval: 50 }).toBeGreaterThan(2);
  const browser = below();
  child.kill("SIGKILL");
  await ended;
  await expect.poll(() => browser.filter((pid) => processes().has(pid)), { timeout: 20_000 }).toEqual([]);
}, 120_000);
