/** `npm start -- learn`: what the poured jobs of the archive say, for a person to judge and to put into the library. */
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { putFile } from "../archive/packet-folder.ts";
import { taughtJobs } from "../archive/taught-jobs.ts";
import { LEARNED_PAGE } from "../build/render-site.ts";
import { count, decimal, MINUS, percent } from "../format.ts";
import type { EffectsFit } from "../numeric/fit-effects.ts";
import { pastOf, type TaughtJob } from "../pages/past.ts";
import { type PastPage, pastLines, pastPage } from "../pages/past-page.ts";
import { renderPages } from "../print/render-pages.ts";
import { share } from "../units.ts";
import type { Terminal } from "./build-verb.ts";
import { EXIT } from "./usage.ts";

/** @returns the exit code. */
export async function runLearn(
  outputFolder: string,
  { estimateFor, file }: { readonly estimateFor: string | undefined; readonly file: string | undefined },
  terminal: Terminal,
): Promise<number> {
  let archive: ReturnType<typeof taughtJobs>;
  try {
    archive = taughtJobs(outputFolder);
  } catch (error) {
    terminal.error(`The packets cannot be read: ${message(error)}\nBuild the jobs first: npm start`);
    return EXIT.machine;
  }
  const past = pastOf(archive.jobs);
  const { fit } = past.loss;
  const page = pastPage(past, archive.unread);
  terminal.out(pastLines(page).join("\n"));
  if (estimateFor !== undefined) {
    const job = archive.jobs.find(({ jobId }) => jobId === estimateFor);
    if (job === undefined) {
      terminal.error(`There is no packet of ${estimateFor} with bags counted in the output folder: build it first.`);
      return EXIT.notUnderstood;
    }
    terminal.out(["", ...estimateLines(job, fit)].join("\n"));
  }
  try {
    await putPage(outputFolder, page);
    terminal.out(`\nThe same with its charts: ${join(outputFolder, LEARNED_PAGE)}`);
  } catch (error) {
    terminal.error(`The page of what was learned was not written: ${message(error)}`);
    return EXIT.machine;
  }
  if (file === undefined) return EXIT.done;
  if (fit === undefined) {
    terminal.error("Nothing was written: there is nothing to write yet.");
    return EXIT.jobProblems;
  }
  try {
    // Never over a file that is there: what a person has reviewed is not replaced by what nobody has.
    writeFileSync(file, libraryText(fit, pastLines(page)), { flag: "wx" });
  } catch (error) {
    terminal.error(`${file} was not written: ${message(error)}`);
    return EXIT.machine;
  }
  terminal.out(
    `Wrote ${file}. Read it, compare it with what you know, and commit what you agree with. In jobs/_library it is used by each job that asks for it: pour: { learned_loss: true }`,
  );
  return EXIT.done;
}

const message = (error: unknown): string => (error instanceof Error ? error.message : String(error));

async function putPage(outputFolder: string, view: PastPage): Promise<void> {
  const pages = await renderPages([{ template: "past", path: LEARNED_PAGE, view }], "no-docs");
  await putFile(join(outputFolder, LEARNED_PAGE), pages.get(LEARNED_PAGE) as string);
}

const asShare = (value: number): string => percent(share(value), 1).text;

/** What the archive's loss would make of each order of the job. */
function estimateLines({ jobId, taught }: TaughtJob, fit: EffectsFit | undefined): string[] {
  return taught.orders.flatMap((order) => {
    const { materialId, meanDepthMm, neat, profile, loss, toOrder } = order;
    const said = fit?.predict(materialId, taught.crewId, meanDepthMm);
    if (said === undefined) return [`${jobId}: the archive says nothing of ${materialId}; the order stays as it is.`];
    const inFloor = neat + profile;
    const bagsAt = (at: number): number => inFloor * (1 + Math.max(0, at));
    const [low, middle, high] = [-1, 0, 1].map((step) => bagsAt(said.value + step * said.sd)) as [
      number,
      number,
      number,
    ];
    const moved = middle - (inFloor + loss);
    return [
      `${jobId}, ${materialId}: ${count(toOrder)} bags are ordered, with a loss of ${asShare(loss / inFloor)}.`,
      `  With the archive’s loss of ${asShare(said.value)} ± ${asShare(said.sd)}: ${decimal(middle, 1)} bags, from ${decimal(low, 1)} to ${decimal(high, 1)}; that is ${decimal(Math.abs(moved), 1)} bags ${moved < 0 ? "less" : "more"} than now, before rounding.`,
    ];
  });
}

/** A library file with the key `learned`; what else was found stands in it as remarks. */
function libraryText({ groups, teams, slope, spread, meanX }: EffectsFit, lines: readonly string[]): string {
  // As a person types it: a hyphen for minus.
  const plain = (value: number, places: number): string => decimal(value, places).replace(MINUS, "-");
  const figure = (value: number): string => `${plain(100 * value, 2)} %`;
  return [
    "# yaml-language-server: $schema=./library.schema.json",
    "# Learned from the poured jobs of this archive. Nobody has reviewed it yet.",
    ...lines.map((line) => `# ${line}`.trimEnd()),
    "learned:",
    "  loss:",
    `    depth: ${plain(meanX, 1)} mm`,
    ...(slope === undefined
      ? []
      : [`    per_10_mm: ${figure(10 * slope.value)}`, `    per_10_mm_sd: ${figure(10 * slope.sd)}`]),
    `    spread: ${figure(spread)}`,
    "    materials:",
    ...[...groups].map(
      ([id, { value, sd, count: jobs }]) =>
        `      - { material: ${id}, loss: ${figure(value)}, sd: ${figure(sd)}, jobs: ${jobs} }`,
    ),
    ...(teams.size === 0 ? [] : ["    crews:"]),
    ...[...teams].map(
      ([id, { value, sd, count: jobs }]) =>
        `      - { crew: ${id}, more: ${figure(value)}, sd: ${figure(sd)}, jobs: ${jobs} }`,
    ),
    "",
  ].join("\n");
}
