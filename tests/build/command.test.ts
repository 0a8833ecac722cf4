/** The command as a person runs it: in a process, killed, in another folder, without a browser, served. */
import {
  cpSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { request as httpRequest } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { BUILT_FROM } from "../../src/archive/built-packets.ts";
import { runCommand, startCommand } from "./run-command.ts";
import { projectFolder, smallJobText, temporaryOffice } from "./small-job.ts";

const folders: string[] = [];
const officeOf = (jobs: Readonly<Record<string, string>>) => {
  const office = temporaryOffice(jobs);
  folders.push(office.folder);
  return { ...office, words: ["--jobs", office.jobs, "--output", office.output] };
};
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

/** Every file below a folder with its bytes. */
function treeOf(folder: string): Map<string, Buffer> {
  const names = readdirSync(folder, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
  return new Map(
    names
      .map((entry) => join(entry.parentPath, entry.name))
      .sort()
      .map((path) => [path.slice(folder.length + 1), readFileSync(path)]),
  );
}

test("two builds are the same to the byte: another folder, time zone, locale, nothing kept from before", async () => {
  const job = { "small-room": smallJobText("small-room") };
  const [here, there] = [officeOf(job), officeOf(job)];
  const clone = mkdtempSync(join(tmpdir(), "another clone "));
  folders.push(clone);
  for (const part of ["src", "templates", ".eleventy.js", "package.json", "package-lock.json", "tsconfig.json"])
    cpSync(join(projectFolder, part), join(clone, part), { recursive: true });
  symlinkSync(join(projectFolder, "node_modules"), join(clone, "node_modules"), "junction");
  const ran = await Promise.all([
    runCommand(["--fresh", ...here.words], {
      environment: { TZ: "Pacific/Kiritimati", LANG: "tr_TR.UTF-8", LC_ALL: "tr_TR.UTF-8" },
    }),
    runCommand(["--fresh", ...there.words], {
      project: clone,
      environment: { TZ: "America/St_Johns", LANG: "C", LC_ALL: "C" },
    }),
  ]);
  expect(ran.map(({ code, errors }) => [code, errors])).toEqual([
    [0, ""],
    [0, ""],
  ]);
  const [mine, theirs] = [treeOf(here.output), treeOf(there.output)];
  expect([...theirs.keys()]).toEqual([...mine.keys()]);
  const different = [...mine]
    .filter(([path, bytes]) => !bytes.equals(theirs.get(path) as Buffer))
    .map(([path]) => path);
  expect(different).toEqual([]);
  expect([...mine.keys()].filter((path) => path.endsWith(".pdf")).length).toBeGreaterThan(10);
}, 240_000);

test("killed at any moment, the packet is the old one or the new one, and the next run puts it right", async () => {
  const { jobs, output, words } = officeOf({ "small-room": smallJobText("small-room", { title: "Version 0" }) });
  const build = ["--no-pdf", ...words];
  expect((await runCommand(build)).code).toBe(0);
  /** The one version that every file of the packet speaks of. */
  const versionOf = (folder: string) => {
    const page = readFileSync(join(folder, "index.html"), "utf8");
    const packet = JSON.parse(readFileSync(join(folder, "packet.json"), "utf8")) as { job: { title: string } };
    expect(existsSync(join(folder, BUILT_FROM))).toBe(true);
    expect(page).toContain(`<h1>${packet.job.title}</h1>`);
    return packet.job.title;
  };
  let killed = 0;
  for (let round = 1; round <= 4; round += 1) {
    writeFileSync(join(jobs, "small-room.yaml"), smallJobText("small-room", { title: `Version ${round}` }));
    const child = startCommand(build);
    const ended = new Promise<NodeJS.Signals | null>((done) => child.once("close", (_, signal) => done(signal)));
    // From the moment that it is at work, at moments spread over the work.
    await new Promise((started) => child.stdout?.once("data", started));
    await new Promise((later) => setTimeout(later, round * 250));
    child.kill("SIGKILL");
    if ((await ended) === "SIGKILL") killed += 1;
    const folder = existsSync(join(output, "small-room"))
      ? join(output, "small-room")
      : join(output, ".making", "small-room.old");
    expect(["Version 0", `Version ${round - 1}`, `Version ${round}`, ...earlier(round)]).toContain(versionOf(folder));
  }
  expect(killed).toBeGreaterThan(0);
  const last = await runCommand(build);
  expect([last.code, last.errors]).toEqual([0, ""]);
  expect(versionOf(join(output, "small-room"))).toBe("Version 4");
  expect(readdirSync(output).filter((name) => name === ".making" || name === ".building")).toEqual([]);
}, 240_000);

const earlier = (round: number) => Array.from({ length: round }, (_, index) => `Version ${index}`);

test("without a browser: HTML, JSON and CSV are there, the message says what helps, the exit code says that PDFs are not", async () => {
  const { folder, output, words } = officeOf({ "small-room": smallJobText("small-room") });
  const ran = await runCommand(words, { environment: { PUPPETEER_EXECUTABLE_PATH: join(folder, "no-browser") } });
  expect(ran.code).toBe(3);
  expect(ran.errors).toContain("PDFs are NOT there");
  expect(ran.errors).toMatch(/To do: run `[^`]+`/);
  const files = readdirSync(join(output, "small-room"), { recursive: true, encoding: "utf8" });
  expect(files).toEqual(expect.arrayContaining(["index.html", "packet.json", "pins.csv", join("en", "pin-map.html")]));
  expect(files.filter((name) => name.endsWith(".pdf"))).toEqual([]);
  const page = readFileSync(join(output, "small-room", "index.html"), "utf8");
  expect(page).toContain("No PDFs");
  expect(page).not.toContain(".pdf");
}, 120_000);

test("two builds at once: the second waits, both end well", async () => {
  const { output, words } = officeOf({ "small-room": smallJobText("small-room") });
  const ran = await Promise.all([runCommand(["--no-pdf", ...words]), runCommand(["--no-pdf", ...words])]);
  expect(ran.map(({ code, errors }) => [code, errors])).toEqual([
    [0, ""],
    [0, ""],
  ]);
  expect(existsSync(join(output, "small-room", "index.html"))).toBe(true);
}, 120_000);

test("new, then build, then check: a job file from a room size, with blanks, that is in order", async () => {
  const { jobs, output } = officeOf({});
  const made = await runCommand(["new", "birch-lane-bath", "--room", `8' x 6' 6"`, "--jobs", jobs]);
  expect([made.code, made.errors]).toEqual([0, ""]);
  expect(made.out).toContain("npm start -- birch-lane-bath");
  const again = await runCommand(["new", "birch-lane-bath", "--room", "8' x 6'", "--jobs", jobs]);
  expect(again.code).toBe(2);
  expect(again.errors).toContain("there already");
  const checked = await runCommand(["check", "birch-lane-bath", "--jobs", jobs]);
  expect(checked.code).toBe(0);
  expect(existsSync(output)).toBe(false);
  const misspelt = await runCommand(["check", "birch-lane-bat", "--jobs", jobs]);
  expect([misspelt.code, misspelt.errors.trim()]).toEqual([
    2,
    "There is no job birch-lane-bat in the folder of jobs. Did you mean birch-lane-bath?",
  ]);
}, 120_000);

test("a full disk or a folder that cannot be written is said, with its own exit code", async () => {
  const { folder, jobs } = officeOf({ "small-room": smallJobText("small-room") });
  writeFileSync(join(folder, "a-file"), "");
  const ran = await runCommand(["--no-pdf", "--jobs", jobs, "--output", join(folder, "a-file", "output")]);
  expect(ran.code).toBe(4);
  expect(ran.errors).toMatch(/^error: /);
}, 60_000);

test("serve: shows the pages on this machine alone, and a saved job in the open page", async () => {
  const { jobs, output } = officeOf({ "small-room": smallJobText("small-room") });
  const child = startCommand(["serve", "--no-pdf", "--port", "48217", "--jobs", jobs, "--output", output]);
  const ended = new Promise((done) => child.once("close", done));
  try {
    let out = "";
    const address = await new Promise<string>((found, fail) => {
      child.stdout?.on("data", (chunk) => {
        out += String(chunk);
        const url = /http:\/\/localhost:\d+\//.exec(out)?.[0];
        if (url) found(url);
      });
      child.once("close", () => fail(new Error(`serve ended: ${out}`)));
    });
    const port = Number(new URL(address).port);
    const get = (path: string, host = `localhost:${port}`) =>
      new Promise<{ status: number; body: string; policy: string }>((done, fail) => {
        const asked = httpRequest({ host: "127.0.0.1", port, path, headers: { host } }, (response) => {
          let body = "";
          response.on("data", (chunk) => {
            body += String(chunk);
          });
          response.on("end", () =>
            done({
              status: response.statusCode ?? 0,
              body,
              policy: String(response.headers["content-security-policy"]),
            }),
          );
        });
        asked.on("error", fail);
        asked.end();
      });

    const page = await get("/small-room/");
    expect(page.status).toBe(200);
    expect(page.body).toContain("<h1>Small room</h1>");
    expect(page.policy).toContain("connect-src 'self'");
    // What lies in output/ knows nothing of the serving.
    expect(readFileSync(join(output, "small-room", "index.html"), "utf8")).not.toContain("EventSource");
    expect((await get("/small-room/", "evil.example")).status).toBe(403);
    for (const path of [
      "/../jobs/small-room.yaml",
      "/%2e%2e/jobs/small-room.yaml",
      "/.building",
      "/.making/x",
      "/small-room/%00",
    ])
      expect((await get(path)).status).toBe(404);

    const news = new Promise<string>((done, fail) => {
      const asked = httpRequest(
        { host: "127.0.0.1", port, path: "/.news", headers: { host: `localhost:${port}` } },
        (response) => {
          let text = "";
          response.on("data", (chunk) => {
            text += String(chunk);
            const data = /event: built\ndata: (.*)\n\n/.exec(text)?.[1];
            if (data !== undefined) {
              done(data);
              asked.destroy();
            }
          });
        },
      );
      asked.on("error", fail);
      asked.end();
    });
    await new Promise((later) => setTimeout(later, 100));
    writeFileSync(join(jobs, "small-room.yaml"), smallJobText("small-room", { title: "Saved again" }));
    expect(await news).toBe('["small-room"]');
    expect((await get("/small-room/")).body).toContain("<h1>Saved again</h1>");
  } finally {
    child.kill("SIGTERM");
    await ended;
  }
}, 120_000);

test("serve: a page that is opened, or loads again, still says why the job is refused, until it is mended", async () => {
  const right = smallJobText("small-room");
  const { jobs, output } = officeOf({ "small-room": right });
  const child = startCommand(["serve", "--no-pdf", "--port", "48227", "--jobs", jobs, "--output", output]);
  const ended = new Promise((done) => child.once("close", done));
  try {
    const port = await new Promise<number>((found, fail) => {
      let out = "";
      child.stdout?.on("data", (chunk) => {
        out += String(chunk);
        const at = /http:\/\/localhost:(\d+)\//.exec(out)?.[1];
        if (at !== undefined) found(Number(at));
      });
      child.once("close", () => fail(new Error(`serve ended: ${out}`)));
    });
    /** What a page that begins to listen now is told, until `isEnough`. */
    const told = (isEnough: (news: string) => boolean) =>
      new Promise<string>((done, fail) => {
        let news = "";
        const asked = httpRequest({ host: "127.0.0.1", port, path: "/.news" }, (response) => {
          response.on("data", (chunk) => {
            news += String(chunk);
            if (isEnough(news)) end(() => done(news));
          });
        });
        const end = (settle: () => void) => {
          clearTimeout(waiting);
          settle();
          asked.destroy();
        };
        const waiting = setTimeout(() => end(() => fail(new Error(`waited in vain, told only: ${news}`))), 25_000);
        asked.on("error", fail);
        asked.end();
      });
    const opened = told((news) => news.includes("event: problems"));
    await new Promise((later) => setTimeout(later, 100));
    // Its pins can be cut, so it is shown at once; only the pour plan finds that no mix would flow by then.
    writeFileSync(
      join(jobs, "small-room.yaml"),
      `${right}crew: { id: slow, name: Slow, people: 3, barrels: 1, bags_per_barrel: 2, barrel_cycle: 90 min, mix_time: 60 min, lane_width: 8 ft }\n`,
    );
    const first = await opened;
    expect(first).toContain("event: shown");
    expect(first).toContain("mix-outlasts-flow");
    // The page loaded again when the look gave way: it listens anew.
    const again = told((news) => news.includes("event: problems") && news.includes('data: ""'));
    const reloaded = await told((news) => news.includes("event: problems"));
    expect(reloaded).toContain("mix-outlasts-flow");
    writeFileSync(join(jobs, "small-room.yaml"), right);
    expect(await again).toContain("mix-outlasts-flow");
    const later = await told((news) => news.includes("retry"));
    expect(later).not.toContain("event: problems");
  } finally {
    child.kill("SIGTERM");
    await ended;
  }
}, 120_000);
