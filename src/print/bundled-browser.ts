/**
 * The browser that comes inside a registry package, for machines that have none: Linux on x64 only.
 * The package unpacks into the temporary folder and takes whatever already lies there under its
 * name, so two processes could write over each other, or run a stranger's file. Here it unpacks in a
 * folder of its own inside the cache, in a child process, and the finished folder is moved into
 * place by rename: the first to finish wins, the other throws its copy away.
 */
import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import { mkdir, mkdtemp, readFile, rename, rm } from "node:fs/promises";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const PACKAGE = "@sparticuz/chromium";

/** Path of the package's entry, or undefined where the optional package was not installed. */
function packageEntry(): string | undefined {
  try {
    return createRequire(import.meta.url).resolve(PACKAGE);
  } catch {
    return undefined;
  }
}

/** The package's folder carries its version in package.json, which it does not export. */
async function packageVersion(entry: string): Promise<string> {
  const folder = entry.slice(0, entry.lastIndexOf("chromium") + "chromium".length);
  const manifest = JSON.parse(await readFile(join(folder, "package.json"), "utf8")) as { version: string };
  return manifest.version;
}

/**
 * Path of the bundled browser, unpacked now if it was not yet (about 2 s, 200 MB).
 * @throws Error in office words where the package is absent or cannot be unpacked here.
 */
export async function bundledBrowser(cacheFolder: string): Promise<string> {
  const entry = packageEntry();
  if (process.platform !== "linux" || process.arch !== "x64" || entry === undefined)
    throw new Error(`the bundled browser (${PACKAGE}) is for Linux on x64 and was not installed here`);
  const home = join(cacheFolder, "browser");
  const folder = join(home, await packageVersion(entry));
  const binary = join(folder, "chromium");
  if (existsSync(binary)) return binary;

  await mkdir(home, { recursive: true });
  const unpacking = await mkdtemp(join(home, ".unpacking-"));
  try {
    await unpackInto(unpacking, entry);
    await rename(unpacking, folder);
  } catch (error) {
    // Another process was first: its folder is whole, since it too appeared by rename.
    if (!existsSync(binary)) throw error;
  } finally {
    await rm(unpacking, { recursive: true, force: true });
  }
  return binary;
}

function unpackInto(folder: string, entry: string): Promise<void> {
  const script = `await (await import(${JSON.stringify(pathToFileURL(entry).href)})).default.executablePath();`;
  // The package unpacks into the temporary folder of its process: give that process this one.
  const child = spawn(process.execPath, ["--input-type=module", "--eval", script], {
    env: { ...process.env, TMPDIR: folder, NODE_OPTIONS: "" },
    stdio: ["ignore", "ignore", "pipe"],
  });
  let complaint = "";
  child.stderr.on("data", (chunk) => {
    complaint += String(chunk);
  });
  return new Promise((done, fail) => {
    child.on("error", fail);
    child.on("close", (code) => {
      if (code === 0) done();
      else fail(new Error(`the bundled browser could not be unpacked: ${complaint.trim().slice(0, 300)}`));
    });
  });
}
