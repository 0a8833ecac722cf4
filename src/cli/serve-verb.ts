/**
 * `npm start -- serve`: shows the built pages on this machine and builds again on every save. The
 * pages are those of `npm start`; only while they are served do they get a line that listens for news.
 */
import { readFile, realpath } from "node:fs/promises";
import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import { extname, join, relative, sep } from "node:path";
import type { Shown } from "../build/first-look.ts";
import type { BuildReport, BuildSettings, PdfWish, Progress } from "../build/model.ts";
import { openBuilder } from "../build/open-builder.ts";
import { type Diagnostic, formatDiagnostic } from "../diagnostics.ts";
import { projectFolder } from "../print/cache-folder.ts";
import { scriptHash } from "../print/content-policy.ts";
import { plural, showJob, type Terminal } from "./build-verb.ts";
import { EXIT } from "./usage.ts";
import { type FolderWatch, watchFolders } from "./watch-folders.ts";

/** Saves come in bursts: an editor writes, renames, touches. */
const SETTLED_AFTER_MS = 20;
/** PDFs are printed when nothing was saved for this long: the pages come first, and the changed sheet's PDF soon after. */
const PRINT_AFTER_MS = 250;
const PORTS_TRIED = 20;
/** Of more jobs saved at once none is shown before its packet is made. */
const MOST_LOOKS = 4;

/** What the open page does: reload when its job was built, show the problems when it could not be. */
const LISTENER = `
(() => {
  const news = new EventSource("/.news");
  news.addEventListener("built", (event) => {
    const jobs = JSON.parse(event.data);
    const [folder, ...below] = location.pathname.split("/").slice(1);
    const ofAnotherJob = below.length > 0 && folder !== "docs" && !jobs.includes(folder);
    if (!ofAnotherJob) location.reload();
  });
  news.addEventListener("shown", (event) => {
    const here = location.pathname.slice(1);
    const paths = JSON.parse(event.data);
    if (paths.includes(here) || paths.includes(here + "index.html")) location.reload();
  });
  news.addEventListener("problems", (event) => {
    let box = document.getElementById("build-problems");
    if (JSON.parse(event.data) === "") {
      box?.remove();
      return;
    }
    if (!box) {
      box = document.createElement("pre");
      box.id = "build-problems";
      box.setAttribute("role", "alert");
      box.style.cssText = "position:fixed;inset:auto 0 0 0;margin:0;max-height:60vh;overflow:auto;padding:1rem;background:#111;color:#fff;font:14px/1.4 monospace;white-space:pre-wrap;z-index:9";
      document.body.append(box);
    }
    box.textContent = JSON.parse(event.data);
  });
})();`;

const newsOf = (name: string, data: unknown): string => `event: ${name}\ndata: ${JSON.stringify(data)}\n\n`;

/** Serves until the process is told to stop. @returns the exit code. */
export async function runServe(
  settings: BuildSettings,
  jobIds: readonly string[] | "all",
  print: PdfWish,
  wantedPort: number | undefined,
  terminal: Terminal,
): Promise<number> {
  const builder = openBuilder(settings);
  const listeners = new Set<ServerResponse>();
  const looks = openLooks();
  const problems = openProblems();
  const server = createServer((request, response) => {
    void answer(request, response, settings.outputFolder, looks, listeners, problems.text);
  });
  const watchers: FolderWatch[] = [];
  let stopping = false;
  try {
    const tell = (name: string, data: unknown) => {
      for (const listener of listeners) listener.write(newsOf(name, data));
    };
    /** @param save the number of the last save that it can have seen */
    const build = async (ids: readonly string[] | "all", wish: PdfWish, save: number, isStopped?: () => boolean) => {
      const show = (progress: Progress) => {
        if (progress.kind === "job" && progress.report.outcome !== "unchanged") showJob(progress.report, " ", terminal);
      };
      const report = await builder.build(ids, wish, show, undefined, isStopped);
      // A page that shows a later save already stays. Where nothing changed, a look still gives way to the packet.
      const news = report.jobs.filter(({ jobId, outcome }) => {
        const pdfsToCome = wish === "no-pdfs" && (outcome === "built" || outcome === "unchanged");
        const gaveWay = looks.settle(jobId, save, pdfsToCome);
        return outcome === "built" ? gaveWay !== "later look" : gaveWay === "look";
      });
      const gone = isStopped?.() ? [] : looks.jobIds().filter((id) => isGone(report, ids, id));
      for (const jobId of gone) looks.settle(jobId, save, false);
      if (news.length > 0)
        tell(
          "built",
          news.map(({ jobId }) => jobId),
        );
      // After the news: a page that reloads for them is told again when it listens.
      if (problems.take(report, ids, isStopped?.() ?? false)) tell("problems", problems.text());
      if (report.noBrowser !== undefined) terminal.error(report.noBrowser);
    };

    terminal.out("Building …");
    await build(jobIds, "no-pdfs", 0);
    const port = await listen(server, wantedPort);
    terminal.out(
      `Serving on http://localhost:${port}/ (this machine only). Every save is built again; Ctrl-C ends it.`,
    );

    const look = async (jobId: string, save: number, isStopped: () => boolean): Promise<void> => {
      const show: Shown = (files) => {
        looks.show(jobId, save, files);
        tell("shown", [...files.keys()]);
      };
      // Whatever goes wrong here goes wrong again for the packet, which says it.
      await builder.lookFirst(jobId, print, isStopped, show).catch(() => undefined);
    };
    const queue = buildQueue(jobIds, print, look, build, () => builder.reload(), terminal);
    for (const [folder, kind] of [
      [settings.jobsFolder, "jobs"],
      [join(projectFolder, "templates"), "templates"],
      [join(projectFolder, "src"), "src"],
    ] as const) {
      watchers.push(
        watchFolders(
          folder,
          (path) => queue.saved(kind, path),
          (error) => terminal.error(`Cannot watch ${folder}: ${error.message}`),
        ),
      );
    }
    queue.printSoon();
    // The first look of a thread takes three times as long as the next: nobody waits for this one.
    const served = jobIds === "all" ? [] : jobIds.slice(0, MOST_LOOKS);
    void (async () => {
      for (const jobId of served)
        await builder.lookFirst(
          jobId,
          "no-pdfs",
          () => stopping,
          () => undefined,
        );
    })().catch(() => undefined);
    await new Promise<void>((stop) => {
      for (const signal of ["SIGINT", "SIGTERM"] as const) process.once(signal, () => stop());
    });
    stopping = true;
    await queue.idle();
    return EXIT.done;
  } catch (error) {
    terminal.error(`error: ${error instanceof Error ? error.message : String(error)}`);
    return EXIT.machine;
  } finally {
    if (stopping) terminal.out("Ending …");
    for (const watcher of watchers) watcher.close();
    for (const listener of listeners) listener.end();
    server.closeAllConnections();
    server.close();
    await builder.close();
  }
}

/** Whether a job that was to be built has no file any more. */
const isGone = ({ jobs }: BuildReport, ids: readonly string[] | "all", jobId: string): boolean =>
  (ids === "all" || ids.includes(jobId)) && jobs.every((job) => job.jobId !== jobId);

/** What is wrong now with what is served, job by job: a page that is opened or loaded again must show it too. */
export function openProblems() {
  let ofFolder = "";
  const ofJobs = new Map<string, string>();
  const textOf = (diagnostics: readonly Diagnostic[]) =>
    diagnostics.filter(({ severity }) => severity === "error").map(formatDiagnostic);
  const text = () => [ofFolder, ...ofJobs.values()].filter((one) => one !== "").join("\n\n");
  return {
    /** @returns whether it is not what it was */
    take(report: BuildReport, ids: readonly string[] | "all", isStopped: boolean): boolean {
      const before = text();
      ofFolder = textOf(report.folder).join("\n\n");
      for (const { jobId, outcome, diagnostics, failure } of report.jobs) {
        ofJobs.delete(jobId);
        if (outcome !== "refused" && outcome !== "failed") continue;
        const failed = failure === undefined ? [] : [`${jobId}: ${failure}`];
        ofJobs.set(jobId, [...textOf(diagnostics), ...failed].join("\n\n"));
      }
      // Of a build that was stopped, jobs are left out that are there.
      if (!isStopped) for (const jobId of [...ofJobs.keys()]) if (isGone(report, ids, jobId)) ofJobs.delete(jobId);
      return text() !== before;
    },
    text,
  };
}

/** First looks at saved jobs, kept until the packets are made that say the same and more. */
export function openLooks() {
  const shown = new Map<string, { readonly save: number; readonly files: Map<string, string | Uint8Array> }>();
  return {
    show(jobId: string, save: number, files: ReadonlyMap<string, string | Uint8Array>) {
      const before = shown.get(jobId);
      if (before !== undefined && before.save > save) return;
      shown.set(jobId, { save, files: new Map([...(before?.save === save ? before.files : []), ...files]) });
    },
    /**
     * This save was built or refused: its look gives way, and stays where a later save is shown already.
     * @param pdfsToCome whether the packet of this save stands and is still to be printed
     */
    settle(jobId: string, save: number, pdfsToCome: boolean): "look" | "later look" | "none" {
      const look = shown.get(jobId);
      if (look === undefined) return "none";
      if (look.save > save) return "later look";
      // The name of a PDF goes by what is said, not by date, revision or template: it stands for its own save alone.
      const pdfs = pdfsToCome && look.save === save ? [...look.files].filter(([path]) => path.endsWith(".pdf")) : [];
      const showedPages = [...look.files.keys()].some((path) => !path.endsWith(".pdf"));
      if (pdfs.length > 0) shown.set(jobId, { save, files: new Map(pdfs) });
      else shown.delete(jobId);
      return showedPages ? "look" : "none";
    },
    jobIds: (): string[] => [...shown.keys()],
    at: (path: string): string | Uint8Array | undefined => shown.get(path.split("/")[0] as string)?.files.get(path),
  };
}

type Watched = "jobs" | "templates" | "src";

/** Gathers saves, builds what they touch, one build after the other, and prints when it is quiet. */
function buildQueue(
  served: readonly string[] | "all",
  print: PdfWish,
  look: (jobId: string, save: number, isStopped: () => boolean) => Promise<void>,
  build: (ids: readonly string[] | "all", wish: PdfWish, save: number, isStopped?: () => boolean) => Promise<void>,
  reload: () => Promise<void>,
  terminal: Terminal,
) {
  const touched = new Set<string>();
  let saves = 0;
  let all = false;
  let reloadFirst = false;
  let timer: NodeJS.Timeout | undefined;
  let printTimer: NodeJS.Timeout | undefined;
  let running: Promise<void> = Promise.resolve();

  const enqueue = (work: () => Promise<void>) => {
    running = running.then(work).catch((error: unknown) => {
      terminal.error(`error: ${error instanceof Error ? error.message : String(error)}`);
    });
  };
  const printSoon = () => {
    clearTimeout(printTimer);
    // A save while it prints has the page first.
    const savesBefore = saves;
    const printAll = () => build(served, "pdfs", savesBefore, () => saves !== savesBefore);
    if (print === "pdfs") printTimer = setTimeout(() => enqueue(printAll), PRINT_AFTER_MS);
  };
  const flush = () => {
    const ids = all ? served : [...touched];
    const fresh = reloadFirst;
    const save = saves;
    const looksFirst = !fresh && !all && touched.size <= MOST_LOOKS ? [...touched] : [];
    const looked = Promise.all(looksFirst.map((id) => look(id, save, () => saves !== save)));
    touched.clear();
    all = false;
    reloadFirst = false;
    enqueue(async () => {
      // The packet takes both cores: what is looked at first has them for itself.
      await looked;
      if (fresh) await reload();
      terminal.out(`Saved: building ${ids === "all" ? "all jobs" : plural(ids.length, "job")} again …`);
      await build(ids, "no-pdfs", save);
      printSoon();
    });
  };
  return {
    saved(kind: Watched, name: string) {
      const job = /^([^_./\\][^/\\]*?)(?:\.yaml|[/\\].*)$/.exec(name)?.[1];
      if (kind === "jobs" && /(^|[/\\])\.|~$/.test(name)) return;
      if (kind === "jobs" && job !== undefined) {
        if (served !== "all" && !served.includes(job)) return;
        touched.add(job);
      } else all = true;
      if (kind === "src") reloadFirst = true;
      saves += 1;
      clearTimeout(printTimer);
      clearTimeout(timer);
      timer = setTimeout(flush, SETTLED_AFTER_MS);
    },
    printSoon,
    async idle() {
      clearTimeout(timer);
      clearTimeout(printTimer);
      await running;
    },
  };
}

/** Loopback only. The port asked for, or the first free one from 8080 on. */
async function listen(server: Server, wanted: number | undefined): Promise<number> {
  const first = wanted ?? 8080;
  for (let port = first; ; port += 1) {
    try {
      await new Promise<void>((ready, fail) => {
        server.once("error", fail);
        server.listen(port, "127.0.0.1", () => {
          server.removeListener("error", fail);
          ready();
        });
      });
      return port;
    } catch (error) {
      const taken = (error as NodeJS.ErrnoException).code === "EADDRINUSE";
      if (!taken || wanted !== undefined || port - first >= PORTS_TRIED) throw error;
    }
  }
}

const TYPES: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".json": "application/json; charset=utf-8",
  ".csv": "text/csv; charset=utf-8",
  ".pdf": "application/pdf",
};

async function answer(
  request: IncomingMessage,
  response: ServerResponse,
  outputFolder: string,
  looks: ReturnType<typeof openLooks>,
  listeners: Set<ServerResponse>,
  problemText: () => string,
): Promise<void> {
  const refuse = (status: number, text: string) => {
    response.writeHead(status, { "content-type": "text/plain; charset=utf-8" }).end(text);
  };
  // Another site must not reach these pages under a name of its own that leads here.
  if (!/^(localhost|127\.0\.0\.1)(:\d+)?$/.test(request.headers.host ?? ""))
    return refuse(403, "For this machine only.");
  if (request.method !== "GET" && request.method !== "HEAD") return refuse(405, "Only reading.");
  let path: string;
  try {
    path = decodeURIComponent((request.url ?? "/").split(/[?#]/)[0] as string);
  } catch {
    return refuse(400, "Not an address.");
  }
  if (path === "/.news") {
    response.writeHead(200, { "content-type": "text/event-stream", "cache-control": "no-store" });
    response.write("retry: 500\n\n");
    if (problemText() !== "") response.write(newsOf("problems", problemText()));
    listeners.add(response);
    request.on("close", () => listeners.delete(response));
    return;
  }
  if (path.includes("\0") || path.split("/").some((part) => part.startsWith("."))) return refuse(404, "Not there.");
  try {
    const wanted = path.endsWith("/") ? `${path}index.html` : path;
    const bytes = looks.at(wanted.replace(/^\/+/, "")) ?? (await readInside(outputFolder, wanted));
    if (bytes === undefined) return refuse(404, "Not there.");
    const type = TYPES[extname(wanted)] ?? "application/octet-stream";
    if (extname(wanted) !== ".html") {
      response.writeHead(200, { "content-type": type, "cache-control": "no-store" }).end(bytes);
      return;
    }
    const { html, policy } = withListener(typeof bytes === "string" ? bytes : Buffer.from(bytes).toString("utf8"));
    response.writeHead(200, { "content-type": type, "cache-control": "no-store", "content-security-policy": policy });
    response.end(html);
  } catch {
    refuse(404, "Not there (yet): it appears when the job is built.");
  }
}

/** A file of the output folder; undefined for one outside of it. @throws Error where it is not there. */
async function readInside(outputFolder: string, path: string): Promise<Uint8Array | undefined> {
  const root = await realpath(outputFolder);
  const file = await realpath(join(root, path));
  const inside = relative(root, file);
  return inside.startsWith("..") || inside.split(sep)[0] === ".." ? undefined : readFile(file);
}

/** The page with the listening line, and the page's own policy widened by exactly that line. */
export function withListener(page: string): { html: string; policy: string } {
  const meta = /<meta http-equiv="Content-Security-Policy" content="([^"]*)">/;
  const own = (meta.exec(page)?.[1] ?? "default-src &#39;none&#39;").replaceAll("&#39;", "'");
  const listens = `connect-src 'self'; script-src ${scriptHash(LISTENER)}`;
  const policy = own.includes("script-src ") ? own.replace("script-src ", `${listens} `) : `${own}; ${listens}`;
  const html = page.replace(meta, "").replace("</body>", () => `<script>${LISTENER}</script></body>`);
  return { html, policy };
}
