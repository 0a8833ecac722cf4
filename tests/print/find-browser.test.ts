import { spawn } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, describe, expect, test } from "vitest";
import { commandThatHelps, launchFlags, NoBrowserError, usualPaths } from "../../src/print/find-browser.ts";

const folder = mkdtempSync(join(tmpdir(), "find-browser-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("where a browser is looked for", () => {
  test("on Linux the headless one first, in the folders of PATH and the usual ones, each once", () => {
    const paths = usualPaths("linux", { PATH: "/opt/own:/usr/bin:relative" }, "/h/x");
    expect(paths[0]).toBe("/opt/own/chrome-headless-shell");
    expect(paths).toContain("/usr/bin/chromium");
    expect(paths).toContain("/usr/bin/google-chrome");
    expect(paths.every((path) => path.startsWith("/"))).toBe(true);
    expect(new Set(paths).size).toBe(paths.length);
  });

  test("on Windows and on a Mac in the program folders", () => {
    const windows = usualPaths("win32", { PROGRAMFILES: "C:\\Program Files" }, "C:\\Users\\x");
    expect(windows.some((path) => path.includes("Edge"))).toBe(true);
    expect(usualPaths("darwin", {}, "/h/x")).toContain("/Applications/Chromium.app/Contents/MacOS/Chromium");
  });

  test("the sandbox is off for root and for nobody else; names resolve nowhere", () => {
    expect(launchFlags(0)).toContain("--no-sandbox");
    expect(launchFlags(1000)).not.toContain("--no-sandbox");
    expect(launchFlags(undefined)).not.toContain("--no-sandbox");
    expect(launchFlags(1000)).toContain("--host-resolver-rules=MAP * ~NOTFOUND");
  });

  test("where none runs the message lists what was tried and gives one command", () => {
    const { message } = new NoBrowserError([
      { what: "the operating system", why: "nothing at the usual places" },
      { what: "the bundled browser", why: "error while loading shared libraries: libnss3.so" },
    ]);
    expect(message).toContain("libnss3.so");
    expect(message).toContain("nothing at the usual places");
    expect(message).toContain(commandThatHelps(process.platform));
  });
});

// The bundled browser exists for this system alone.
if (process.platform === "linux" && process.arch === "x64")
  test("two processes that unpack the bundled browser at once leave one whole copy", async () => {
    const script = `import { bundledBrowser } from ${JSON.stringify(new URL("../../src/print/bundled-browser.ts", import.meta.url).href)};
      process.stdout.write(await bundledBrowser(${JSON.stringify(folder)}));`;
    const run = () =>
      new Promise<string>((done, fail) => {
        const child = spawn(process.execPath, ["--import", "tsx", "--input-type=module", "--eval", script], {
          cwd: fileURLToPath(new URL("../..", import.meta.url)),
          stdio: ["ignore", "pipe", "inherit"],
        });
        let out = "";
        child.stdout.on("data", (chunk) => {
          out += String(chunk);
        });
        child.on("close", (code) => (code === 0 ? done(out) : fail(new Error(`ended with ${code}`))));
      });
    const [first, second] = await Promise.all([run(), run()]);
    expect(first).toBe(second);
    expect(readdirSync(join(folder, "browser"))).toHaveLength(1);
  });
