/**
 * Finds a browser that prints: the first that, launched here and now, answers with its version.
 * Order: what the person set → Puppeteer's cache → what the operating system has → the bundled one.
 */
import { existsSync } from "node:fs";
import { homedir } from "node:os";
import { join } from "node:path";
import type { Browser } from "puppeteer";
import { bundledBrowser } from "./bundled-browser.ts";

export interface FoundBrowser {
  readonly path: string;
  /** Such as `HeadlessChrome/143.0.7499.0`: part of the key of every cached PDF. */
  readonly version: string;
}

/** What was tried and why it would not do, for the message where nothing was found. */
export interface Attempt {
  readonly what: string;
  readonly why: string;
}

/** No browser runs here. `message` says what was tried and the one command that helps. */
export class NoBrowserError extends Error {
  readonly attempts: readonly Attempt[];
  constructor(attempts: readonly Attempt[]) {
    super(
      [
        "No browser that can print was found. Tried:",
        ...attempts.map((attempt) => `  - ${attempt.what}: ${attempt.why}`),
        `To do: run \`${commandThatHelps(process.platform)}\`, then the same command again.`,
      ].join("\n"),
    );
    this.name = "NoBrowserError";
    this.attempts = attempts;
  }
}

/** One command, by operating system, after which the next run finds a browser. */
export function commandThatHelps(platform: NodeJS.Platform): string {
  if (platform === "linux") return "sudo apt-get install --yes chromium";
  if (platform === "darwin") return "brew install --cask chromium";
  if (platform === "win32") return "winget install --exact --id Chromium.Chromium";
  return "npx puppeteer browsers install chrome-headless-shell";
}

/** Usual places of a browser, best first: the headless one before those with windows. */
export function usualPaths(platform: NodeJS.Platform, environment: NodeJS.ProcessEnv, home: string): string[] {
  if (platform === "win32") {
    const roots = [environment.PROGRAMFILES, environment["PROGRAMFILES(X86)"], environment.LOCALAPPDATA];
    return [
      ["Chromium", "Application", "chrome.exe"],
      ["Google", "Chrome", "Application", "chrome.exe"],
      ["Microsoft", "Edge", "Application", "msedge.exe"],
    ].flatMap((tail) => roots.filter((root) => root !== undefined).map((root) => join(root, ...tail)));
  }
  if (platform === "darwin")
    return ["Chromium", "Google Chrome", "Microsoft Edge"].flatMap((app) =>
      ["/Applications", join(home, "Applications")].map((root) => `${root}/${app}.app/Contents/MacOS/${app}`),
    );
  const names = [
    "chrome-headless-shell",
    "chromium-headless-shell",
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "microsoft-edge",
  ];
  const folders = [...(environment.PATH ?? "").split(":"), "/usr/bin", "/usr/local/bin", "/snap/bin", "/opt/bin"];
  return [...new Set(names.flatMap((name) => folders.filter((f) => f.startsWith("/")).map((f) => join(f, name))))];
}

/** Flags for a browser that draws pages that it was handed, and asks nobody for anything. */
export function launchFlags(userId: number | undefined): string[] {
  return [
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
    "--font-render-hinting=none",
    "--force-color-profile=srgb",
    "--host-resolver-rules=MAP * ~NOTFOUND",
    // The sandbox of Chromium refuses to start for root; for anyone else it stays on.
    ...(userId === 0 ? ["--no-sandbox"] : []),
  ];
}

/** Launches the browser at this path, quiet and without a window. @throws where it does not start within 30 s. */
export async function launchBrowser(path: string): Promise<Browser> {
  const { default: puppeteer } = await import("puppeteer");
  return puppeteer.launch({
    executablePath: path,
    headless: "shell",
    args: launchFlags(process.getuid?.()),
    // By a pipe, which ends with this process however that ends: a browser that listened on a port would stay behind.
    pipe: true,
    timeout: 30_000,
    // One slow page must not end a batch; each print has its own limit.
    protocolTimeout: 300_000,
    handleSIGINT: true,
    handleSIGTERM: true,
  });
}

async function puppeteersOwn(): Promise<string | undefined> {
  const { default: puppeteer } = await import("puppeteer");
  for (const choice of [{ headless: "shell" as const }, { headless: true }]) {
    try {
      const path = await puppeteer.executablePath(choice);
      if (existsSync(path)) return path;
    } catch {
      // Nothing downloaded of this kind: the next one, then the operating system's.
    }
  }
  return undefined;
}

/**
 * The first browser that starts, still running, so that the launch which proved it is not wasted.
 * @throws NoBrowserError with everything that was tried.
 */
export async function findBrowser(cacheFolder: string): Promise<FoundBrowser & { readonly browser: Browser }> {
  const attempts: Attempt[] = [];
  const tryPath = async (what: string, path: string) => {
    try {
      const browser = await launchBrowser(path);
      return { path, version: await browser.version(), browser };
    } catch (error) {
      attempts.push({ what, why: firstLine(error) });
      return undefined;
    }
  };

  const wanted = process.env.PUPPETEER_EXECUTABLE_PATH;
  if (wanted !== undefined && wanted !== "") {
    // Whoever names a browser means that one: no other is taken in its place.
    const found = await tryPath(`PUPPETEER_EXECUTABLE_PATH (${wanted})`, wanted);
    if (found) return found;
    throw new NoBrowserError(attempts);
  }

  const own = await puppeteersOwn();
  if (own === undefined) attempts.push({ what: "Puppeteer's cache", why: "empty" });
  else {
    const found = await tryPath(`Puppeteer's cache (${own})`, own);
    if (found) return found;
  }

  const installed = usualPaths(process.platform, process.env, homedir()).filter((path) => existsSync(path));
  if (installed.length === 0)
    attempts.push({ what: "the operating system", why: "no Chromium, Chrome or Edge at the usual places" });
  for (const path of installed) {
    const found = await tryPath(path, path);
    if (found) return found;
  }

  try {
    const path = await bundledBrowser(cacheFolder);
    const found = await tryPath("the bundled browser", path);
    if (found) return found;
  } catch (error) {
    attempts.push({ what: "the bundled browser", why: firstLine(error) });
  }
  throw new NoBrowserError(attempts);
}

function firstLine(error: unknown): string {
  const text = error instanceof Error ? error.message : String(error);
  const lines = text
    .split("\n")
    .map((line) => line.trim())
    .filter((line) => line !== "");
  // A missing library stands a line below the general complaint, and is what helps.
  return lines.find((line) => line.includes("shared libraries")) ?? lines[0] ?? "no reason given";
}
