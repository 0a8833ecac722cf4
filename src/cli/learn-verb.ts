/** `npm start -- learn`: what the poured jobs of the archive say, for a person to judge and to write into the library. */
import { writeFileSync } from "node:fs";
import { type Estimate, fitLoss, type LossFit } from "../archive/fit-loss.ts";
import { type SeenJob, seenJobs } from "../archive/poured-jobs.ts";
import { count, decimal, percent } from "../format.ts";
import { share } from "../units.ts";
import { plural, type Terminal } from "./build-verb.ts";
import { EXIT } from "./usage.ts";

/** @returns the exit code. */
export function runLearn(
  outputFolder: string,
  { estimateFor, file }: { readonly estimateFor: string | undefined; readonly file: string | undefined },
  terminal: Terminal,
): number {
  const { jobs, unread } = seenJobs(outputFolder);
  const lossSeen = jobs.flatMap(({ loss }) => (loss === undefined ? [] : [loss]));
  const fit = fitLoss(lossSeen);
  const lines = [
    `${plural(jobs.length, "job")} in the archive; of ${count(lossSeen.length)} the loss is known, from the finished floor's readings.`,
    ...(unread.length === 0 ? [] : [`Not read, they were built by another version: ${unread.join(", ")}.`]),
    "",
    ...(fit === undefined
      ? ["Loss: too few poured jobs to say anything. Half a dozen of one material are a beginning."]
      : lossLines(fit)),
    ...noiseLines(jobs),
    ...conformityLines(jobs),
  ];
  terminal.out(lines.join("\n"));
  if (estimateFor !== undefined) {
    const job = jobs.find(({ jobId }) => jobId === estimateFor);
    if (job === undefined) {
      terminal.error(`There is no packet of ${estimateFor} in the output folder: build it first.`);
      return EXIT.notUnderstood;
    }
    terminal.out(["", ...estimateLines(job, fit)].join("\n"));
  }
  if (file === undefined) return EXIT.done;
  if (fit === undefined) {
    terminal.error("Nothing was written: there is nothing to write yet.");
    return EXIT.jobProblems;
  }
  try {
    // Never over a file that is there: what a person has reviewed is not replaced by what nobody has.
    writeFileSync(file, libraryText(fit, lines), { flag: "wx" });
  } catch (error) {
    terminal.error(`${file} was not written: ${error instanceof Error ? error.message : String(error)}`);
    return EXIT.machine;
  }
  terminal.out(`\nWrote ${file}. Read it, compare it with what you know, and commit what you agree with.`);
  return EXIT.done;
}

const asShare = (value: number): string => percent(share(value), 1).text;
const within = ({ value, sd, jobs }: Estimate): string =>
  `${asShare(value)} ± ${asShare(sd)}, from ${plural(jobs, "job")}`;

function lossLines({ materials, crews, slope, spread, meanDepthMm }: LossFit): string[] {
  return [
    `Loss at a mean depth of ${decimal(meanDepthMm, 0)} mm, ± one standard deviation:`,
    ...[...materials].map(([material, estimate]) => `  ${material}: ${within(estimate)}`),
    ...[...crews].map(([crew, estimate]) => `  ${crew}, against the mean of the crews: ${within(estimate)}`),
    ...(crews.size === 0 ? ["  Crews cannot be told from each other, or from the materials that each poured."] : []),
    ...(slope === undefined
      ? []
      : [`  for every 10 mm more of depth: ${asShare(10 * slope.value)} ± ${asShare(10 * slope.sd)}`]),
    `  from job to job, besides: ± ${asShare(spread)}`,
  ];
}

/** Of each instrument the reading noise as a multiple of what the library states; surveys with one instrument only. */
function noiseLines(jobs: readonly SeenJob[]): string[] {
  const sums = new Map<string, { squares: number; freedom: number; jobs: number }>();
  for (const { instruments, residuals } of jobs) {
    const [instrument, ...others] = instruments;
    if (instrument === undefined || others.length > 0 || residuals === undefined) continue;
    const sum = sums.get(instrument) ?? { squares: 0, freedom: 0, jobs: 0 };
    sum.squares += residuals.sumOfSquares;
    sum.freedom += residuals.redundancy;
    sum.jobs += 1;
    sums.set(instrument, sum);
  }
  if (sums.size === 0) return ["", "Reading noise: no survey has readings that check each other."];
  return [
    "",
    "Reading noise, as a multiple of the standard deviation that the library states:",
    ...[...sums]
      .sort(([p], [q]) => (p < q ? -1 : 1))
      .map(([instrument, { squares, freedom, jobs: from }]) => {
        const factor = Math.sqrt(squares / freedom);
        // A standard deviation from f checks has itself one of 1/√(2 f) of its value (normal errors).
        return `  ${instrument}: ${decimal(factor, 2)} ± ${decimal(factor / Math.sqrt(2 * freedom), 2)}, from ${plural(from, "job")} with ${decimal(freedom, 0)} checks`;
      }),
  ];
}

/** Of each rule that was asked, how many finished floors kept it. */
function conformityLines(jobs: readonly SeenJob[]): string[] {
  const counts = new Map<string, { within: number; decided: number; all: number }>();
  for (const { rules, tolerance } of jobs)
    for (const { name, result } of rules) {
      const asked = tolerance === undefined ? name : `${name} (${tolerance})`;
      const one = counts.get(asked) ?? { within: 0, decided: 0, all: 0 };
      one.all += 1;
      if (result !== "not-decidable") one.decided += 1;
      if (result === "within") one.within += 1;
      counts.set(asked, one);
    }
  if (counts.size === 0) return ["", "Conformity: no finished floor has been read yet."];
  return [
    "",
    "Conformity of finished floors, by what was asked:",
    ...[...counts]
      .sort(([p], [q]) => (p < q ? -1 : 1))
      .map(([asked, { within: kept, decided, all }]) => {
        const open = all - decided;
        return `  ${asked}: ${count(kept)} of ${count(decided)} within${open === 0 ? "" : `, ${count(open)} not decidable`}`;
      }),
  ];
}

function estimateLines(job: SeenJob, fit: LossFit | undefined): string[] {
  const { bags, meanDepthMm, material, crew, jobId } = job;
  if (bags === undefined || meanDepthMm === undefined) return [`${jobId}: its bags are not counted yet.`];
  const said = fit?.predict(material, crew, meanDepthMm);
  if (said === undefined) return [`${jobId}: the archive says nothing of ${material}; the order stays as it is.`];
  const inFloor = bags.neat + bags.profile;
  const [low, middle, high] = [-1, 0, 1].map((step) => inFloor * (1 + Math.max(0, said.loss + step * said.sd))) as [
    number,
    number,
    number,
  ];
  const moved = middle - bags.sum;
  return [
    `${jobId}: ${count(bags.toOrder)} bags are ordered, with a loss of ${asShare(bags.loss / inFloor)}.`,
    `  With the archive's loss of ${asShare(said.loss)} ± ${asShare(said.sd)}: ${decimal(middle, 1)} bags, from ${decimal(low, 1)} to ${decimal(high, 1)}; that is ${decimal(Math.abs(moved), 1)} bags ${moved < 0 ? "less" : "more"} than now.`,
    `  To order by it, write into the job file: pour: { loss: ${asShare(Math.max(0, said.loss)).replaceAll("\u00a0", " ")} }`,
  ];
}

/** A library file: the loss over all materials is the one key that the library has for it; the rest are remarks. */
function libraryText(fit: LossFit, lines: readonly string[]): string {
  const all = [...fit.materials.values()];
  const jobs = all.reduce((sum, { jobs: one }) => sum + one, 0);
  const mean = all.reduce((sum, { value, jobs: one }) => sum + value * one, 0) / jobs;
  return [
    "# Learned from the poured jobs of this archive. Nobody has reviewed it yet.",
    "# usual: may stand once in the library: move the loss to where it stands now, and delete this file.",
    ...lines.map((line) => `# ${line}`.trimEnd()),
    "usual:",
    "  pour:",
    `    loss: ${decimal(100 * Math.max(0, mean), 1)} %`,
    "",
  ].join("\n");
}
