/** The pages over all jobs: the index, the reference of the job file, the docs. */
import { existsSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { packetFolders, readBuiltFrom, readSummary } from "../archive/built-packets.ts";
import { putFile } from "../archive/packet-folder.ts";
import type { JobFile } from "../job/files.ts";
import type { LibraryFiles } from "../job/library.ts";
import { schemaReference } from "../job/schema-reference.ts";
import { type BrokenRow, jobIndex } from "../pages/job-index.ts";
import type { JobSummary } from "../pages/job-summary.ts";
import { renderPages } from "../print/render-pages.ts";
import { jobHash, readJobText, sourceHash } from "./compute-jobs.ts";
import type { JobReport, Workshop } from "./model.ts";
import { textsHash } from "./program-hash.ts";

/** Says what the pages over all jobs were made from, so that they are made again only when that changed. */
const SITE_FROM = ".site-from";

async function renderSite(
  outputFolder: string,
  program: string,
  summaries: readonly JobSummary[],
  broken: readonly BrokenRow[],
  fresh: boolean,
): Promise<void> {
  const index = jobIndex(summaries, broken);
  const from = textsHash([program, JSON.stringify(index)]);
  const stamp = join(outputFolder, SITE_FROM);
  if (
    !fresh &&
    existsSync(join(outputFolder, "index.html")) &&
    (await readFile(stamp, "utf8").catch(() => "")) === from
  )
    return;
  const pages = await renderPages(
    [
      { template: "index", path: "index.html", view: index },
      {
        template: "reference",
        path: "job-file.html",
        view: { job: schemaReference("job"), library: schemaReference("library") },
      },
    ],
    "docs",
  );
  for (const [path, html] of pages) await putFile(join(outputFolder, path), html);
  await putFile(stamp, from);
}

/** The index over all jobs, those of this run and those of runs before. @returns packets whose job file is gone. */
export async function bringIndexUpToDate(
  { settings, program }: Workshop,
  files: readonly JobFile[],
  library: LibraryFiles,
  reports: readonly JobReport[],
): Promise<string[]> {
  const { outputFolder } = settings;
  const built = new Set(await packetFolders(outputFolder));
  const summaries: JobSummary[] = [];
  const broken: BrokenRow[] = [];
  for (const { id: jobId, path, file } of files) {
    const report = reports.find((each) => each.jobId === jobId);
    const summary = built.has(jobId) ? await readSummary(outputFolder, jobId) : undefined;
    if (summary) summaries.push(summary);
    const older = summary === undefined ? {} : { olderHref: `${jobId}/index.html` };
    if (report?.outcome === "refused" || report?.outcome === "failed")
      broken.push({ jobId, why: whyNotBuilt(report), ...older });
    else if (report === undefined && summary !== undefined) {
      const from = await readBuiltFrom(outputFolder, jobId);
      const { text, beside } = readJobText(path, file);
      if (from?.job !== sourceHash(settings.jobsFolder, jobId, jobHash(text, beside, library)))
        broken.push({ jobId, why: "its job file or the library has changed since", ...older });
    }
  }
  await renderSite(outputFolder, program, summaries, broken, settings.fresh);
  const known = new Set(files.map((file) => file.id));
  return [...built].filter((id) => !known.has(id));
}

function whyNotBuilt({ diagnostics, failure }: JobReport): string {
  if (failure !== undefined) return "it could not be rendered or printed, see what the command said";
  const errors = diagnostics.filter((each) => each.severity === "error").length;
  return errors === 1
    ? "its job file has a problem, see what the command said"
    : `its job file has ${errors} problems, see what the command said`;
}
