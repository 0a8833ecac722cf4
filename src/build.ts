/**
 * One job file in, a whole packet out. This is the one file that calls every stage, in the order in
 * which values flow; each stage gets what stands to its left and gives its own result or says "not yet".
 *
 *     jobs/<id>.yaml, jobs/_library/*.yaml
 *        │ job         text → a validated job in SI units, or diagnostics with their lines
 *        │ layout      rooms → floors, grid, points, pins
 *        │ survey      readings → levels of points, with standard deviations; before them, what to read from where
 *        │ slab        levels + outlines → a triangulated surface, walls included
 *        │ target      the top of the pour
 *        │ depths      target − slab: at every vertex and pin, in bands, contours, high spots
 *        │ quantities  volume, bags, water, primer, weight, lifts
 *        │ pour        batches in time
 *        │ conformity  the slab as handed over, and the floor read again, against the contract's rules
 *        │ record      tests owed and holds before the pour, bags and time accounted for after it
 *        │ revision    what was issued, and what has changed since
 *        │ sheets      one plain view model a sheet, and packet.json
 *        │ check       derives the numbers again by another way; what does not agree is not printed
 *        │ pages       the view models of the job's page and of the index
 *        │ print       view models → HTML through Eleventy → PDF through a browser
 *        ▼ archive     the finished folder put in its place by rename; the index over all jobs
 *     output/<id>/…, output/index.html
 *
 * All of it here is pure, and runs in a thread that can be stopped; `build/open-builder.ts` is the rim
 * round it: files, browser, lock.
 */
import type { ComputeAnswer, ComputeRequest } from "./build/compute-pool.ts";
import { verifyPacket, verifySheets } from "./check/verify-packet.ts";
import { judgeFloor } from "./conformity/judge.ts";
import type { Conformity } from "./conformity/model.ts";
import { pouredByClock } from "./depths/filled-parts.ts";
import { measureDepths } from "./depths/measure-depths.ts";
import type { Depths } from "./depths/model.ts";
import { type Diagnostic, notYet, type Outcome, placedAt, ready, type SourcePlace } from "./diagnostics.ts";
import { twelveDigits } from "./format.ts";
import type { Job, SurveySpec } from "./job/model.ts";
import { readJob } from "./job/read-job.ts";
import { layOut } from "./layout/lay-out.ts";
import type { Plan } from "./layout/model.ts";
import type { SolveBinary } from "./numeric/integer-program.ts";
import type { JobSummary } from "./pages/index-entry.ts";
import { allOutcomesOf, type JobPage, jobPage, warningsOf } from "./pages/job-page.ts";
import { summaryOf } from "./pages/job-summary.ts";
import type { MixingSchedule } from "./pour/model.ts";
import { planPour } from "./pour/plan-pour.ts";
import { bagsByTarget } from "./quantities/bags-by-target.ts";
import { countQuantities } from "./quantities/count-quantities.ts";
import { withLearnedLoss } from "./quantities/learned-loss.ts";
import type { Quantities } from "./quantities/model.ts";
import { keepRecord } from "./record/keep-record.ts";
import type { PourRecord } from "./record/model.ts";
import { changesBetween } from "./revision/changes.ts";
import { CUT_SHEETS, composeOnly, composePacket, packetHashOf, sheetsNotYet } from "./sheets/compose-sheets.ts";
import type { LabelMemory } from "./sheets/map/label-memory.ts";
import type { Findings, FinishedFloor, Sheet, TargetFindings } from "./sheets/model.ts";
import { toPacket, withSheets } from "./sheets/packet.ts";
import type { Packet } from "./sheets/packet-schema.ts";
import { pinsCsv } from "./sheets/pins-csv.ts";
import { withIsolatedTexts } from "./sheets/type/isolate.ts";
import type { Slab } from "./slab/model.ts";
import { surfaceOf } from "./slab/surface-of.ts";
import { adjustLevels } from "./survey/adjust-levels.ts";
import type { AdjustedLevels, SurveyPlan } from "./survey/model.ts";
import { isStillRead, planSurvey } from "./survey/plan-survey.ts";
import type { Target } from "./target/model.ts";
import { placeTarget } from "./target/place-target.ts";
import { studyTarget } from "./target/study-target.ts";

/** Hands a ready value on; "not yet" and refusals pass through, so that a later stage says the same reason. */
function after<A, B>(outcome: Outcome<A>, next: (value: A) => Outcome<B>): Outcome<B> {
  return outcome.kind === "ready" ? next(outcome.value) : outcome;
}

/** What is to be read from where, for a floor that is not wholly read yet and whose file states what to plan from. */
function surveyPlanOf(job: Job, plan: Plan, solve: SolveBinary): Outcome<SurveyPlan> {
  if (job.survey.planning === undefined) return notYet("the job file does not state what to plan the survey from");
  if (!isStillRead(job.survey)) return notYet("the floor is read already");
  return planSurvey(plan, job.survey.planning, solve, job.benchMarks);
}

/** The job with the finished floor's survey in place of the slab's; what is wrong with it is named at its own lines. */
function afterThePour(job: Job, survey: SurveySpec): Job {
  const place: Job["source"]["place"] = ([first, ...rest]) =>
    job.source.place(first === "survey" ? ["finished", ...rest] : first === undefined ? [] : [first, ...rest]);
  return { ...job, survey, source: { ...job.source, place } };
}

/** Where a job's readings begin. */
const readingsPlace = (job: Job): SourcePlace => job.source.place(["survey", "set_ups"]);

/** The floor read again: through the same rooms as the slab, and judged. */
function finishedFloorOf(job: Job, target: Outcome<Target>): Outcome<FinishedFloor> {
  const { finished } = job;
  if (finished === undefined) return notYet("the finished floor was not read");
  const jobAfter = afterThePour(job, finished.survey);
  return after(layOut(jobAfter), (plan) =>
    after(adjustLevels(jobAfter, plan), (levels) =>
      after(placedAt(surfaceOf(plan, levels), readingsPlace(jobAfter)), (slab): Outcome<FinishedFloor> => {
        const judged = judgeFloor({ job, floor: "finished", plan, levels, slab, ...targetOf(target) });
        return judged.kind === "ready"
          ? ready({ plan, levels, slab, conformity: judged.value }, judged.warnings)
          : judged;
      }),
    ),
  );
}

const targetOf = (target: Outcome<Target>): { target?: Target } =>
  target.kind === "ready" ? { target: target.value } : {};

/** What a higher or lower top would cost, and how sure the order is. */
function studyOf(
  job: Job,
  plan: Plan,
  levels: AdjustedLevels,
  slab: Slab,
  target: Target,
  depths: Depths,
  quantities: Quantities,
): Outcome<TargetFindings> {
  const study = studyTarget(job, plan, levels, slab, target);
  const zoneRooms = target.zones.map(({ roomIndices }) => roomIndices);
  return ready({ ...study, bags: bagsByTarget(job, depths, quantities, study, zoneRooms) });
}

/** The record from whatever the stages before it gave. */
function recordOf(
  of: Pick<Findings, "job" | "plan" | "levels" | "slab" | "target" | "depths" | "quantities" | "schedule" | "finished">,
): Outcome<PourRecord> {
  const { job, plan, levels, slab, target, depths, quantities, schedule, finished } = of;
  const read = levels.kind === "ready" && slab.kind === "ready";
  return keepRecord({
    job,
    plan,
    ...(read ? { before: { plan, levels: levels.value, slab: slab.value } } : {}),
    ...(depths.kind === "ready" ? { depths: depths.value } : {}),
    ...(quantities.kind === "ready" ? { quantities: quantities.value } : {}),
    ...(schedule.kind === "ready" ? { planned: plannedPour(schedule.value) } : {}),
    ...(finished.kind === "ready" ? { after: finished.value } : {}),
    ...(target.kind === "ready" ? { meets: target.value.meets } : {}),
  });
}

const plannedPour = ({ batches }: MixingSchedule) => ({
  batches: batches.length,
  time: batches.reduce((latest, { poured }) => Math.max(latest, poured), 0),
});

/** Said of the stages that a first look leaves out. */
const LATER = "The cost of other tops, the pour plan and the other sheets are being worked out";

/**
 * Every stage's result for a validated job, or what is wrong with its plan. Pure; `solve` chooses positions of the level.
 * A first look leaves out what takes longest and what no pin depends on: those stages are not yet there.
 */
export function findingsOf(
  asRead: Job,
  solve: SolveBinary,
  extent: "whole" | "first look" = "whole",
): Outcome<Findings> {
  const inWhole = <T>(stage: () => Outcome<T>): Outcome<T> => (extent === "whole" ? stage() : notYet(LATER));
  const laidOut = layOut(asRead);
  return after(laidOut, (plan) => {
    const surveyPlan = inWhole(() => surveyPlanOf(asRead, plan, solve));
    const levels = adjustLevels(asRead, plan);
    const slab = after(levels, (read) => placedAt(surfaceOf(plan, read), readingsPlace(asRead)));
    const target = after(levels, (read) => after(slab, (surface) => placeTarget(asRead, plan, read, surface)));
    const depths = after(levels, (read) =>
      after(slab, (surface) => after(target, (top) => measureDepths(asRead, plan, read, surface, top))),
    );
    const job = depths.kind === "ready" ? withLearnedLoss(asRead, depths.value) : asRead;
    const quantities = after(target, (top) => after(depths, (depth) => countQuantities(job, depth, top.meets)));
    const targetStudy = after(levels, (read) =>
      after(slab, (surface) =>
        after(target, (top) =>
          after(depths, (depth) =>
            after(quantities, (order) => inWhole(() => studyOf(job, plan, read, surface, top, depth, order))),
          ),
        ),
      ),
    );
    const schedule = after(depths, (depth) =>
      after(quantities, (order) => inWhole(() => planPour(job, plan, pouredByClock(depth), order))),
    );
    const rawSlab = after(levels, (read) =>
      after(slab, (surface) =>
        inWhole(
          (): Outcome<Conformity> =>
            read.scan !== undefined
              ? notYet("the slab was scanned: flatness is judged from a grid or lines read for it")
              : judgeFloor({ job, floor: "raw-slab", plan, levels: read, slab: surface, ...targetOf(target) }),
        ),
      ),
    );
    const finished = inWhole(() => finishedFloorOf(job, target));
    const record = recordOf({ job, plan, levels, slab, target, depths, quantities, schedule, finished });
    const warnings = laidOut.kind === "ready" ? laidOut.warnings : [];
    return {
      kind: "ready",
      value: {
        job,
        plan,
        surveyPlan,
        levels,
        slab,
        target,
        depths,
        quantities,
        targetStudy,
        schedule,
        rawSlab,
        finished,
        record,
      },
      warnings,
    };
  });
}

/** Everything that the pages and files of one job's packet say. Plain values: it crosses a thread. */
export interface MadePacket {
  readonly sheets: readonly Sheet[];
  /** As it is where PDFs are there. */
  readonly page: JobPage;
  readonly summary: JobSummary;
  readonly packetJson: string;
  /** Absent until there is something to cut. */
  readonly pinsCsv?: string;
}

/** A job's text → every stage's result, or every problem found. */
function findingsFrom(
  { file, text, beside, library }: ComputeRequest,
  solve: SolveBinary,
  extent: "whole" | "first look",
): Findings | { readonly kind: "refused"; readonly problems: readonly Diagnostic[] } {
  const read = readJob(text, file, library, beside);
  const errors = read.diagnostics.filter((diagnostic) => diagnostic.severity === "error");
  if (read.job === undefined || errors.length > 0) return { kind: "refused", problems: read.diagnostics };
  const found = findingsOf(read.job, solve, extent);
  if (found.kind !== "ready") return refusal(found);
  const computed: Findings = { ...found.value, earlierWarnings: [...read.diagnostics, ...found.warnings] };
  const problems = allOutcomesOf(computed).flatMap((outcome) => (outcome.kind === "refused" ? outcome.problems : []));
  return problems.length > 0 ? { kind: "refused", problems: [...new Set(problems)] } : computed;
}

/** A job's text → its packet, or every problem found. Pure. */
export function makePacket(request: ComputeRequest, solve: SolveBinary): ComputeAnswer {
  const { file, text, beside } = request;
  const computed = findingsFrom(request, solve, "whole");
  if ("kind" in computed) return computed;
  const { languages } = computed.job;
  const numbers = toPacket(computed, []);
  const findings: Findings = { ...computed, ...revisionsOf(request, numbers) };

  // Numbers and files are of the texts as they were written; sheets and pages show them.
  const shown = withIsolatedTexts(findings, findings.job);
  const sheets = composePacket(shown, languages);
  const packet = withSheets(numbers, findings, sheets);
  const disagreements = verifyPacket({ file, jobText: text, ...(beside && { beside }), findings, packet, sheets });
  if (disagreements.length > 0) return { kind: "refused", problems: disagreements };
  const packetJson = `${JSON.stringify(packet, asWritten, 1)}\n`;
  // The page says the hash that the cover of the job's first language prints.
  const packetHash = packetHashOf(sheets.filter(({ language }) => language === languages[0]));
  return {
    kind: "made",
    warnings: warningsOf(findings),
    packet: {
      sheets,
      page: jobPage(shown, {
        sheets,
        notYet: sheetsNotYet(shown, languages[0] ?? "en"),
        packetHash,
        printed: true,
      }),
      summary: JSON.parse(JSON.stringify(summaryOf(findings, sheets, packetHash), asWritten)) as JobSummary,
      packetJson,
      ...(findings.depths.kind === "ready" ? { pinsCsv: pinsCsv(findings) } : {}),
    },
  };
}

/** What a save is answered with before its packet is made: the page, then the sheets that a crew cuts by. */
export type FirstLook =
  | { readonly kind: "page"; readonly page: JobPage }
  | { readonly kind: "sheets"; readonly title: string; readonly sheets: readonly Sheet[] };

/**
 * A job's text → its page without what takes longest, then the sheets that its pins are cut by, to the letter those of
 * its packet. Nothing where the job is refused, is to be read yet, was issued or was poured: then the whole packet says
 * it. All that is said was checked. Pure but for the memory, which makes it quicker and nothing else.
 */
export function* lookFirst(request: ComputeRequest, solve: SolveBinary, memory?: LabelMemory): Generator<FirstLook> {
  const { file, text, beside, issued = [] } = request;
  if (issued.length > 0) return;
  const findings = findingsFrom(request, solve, "first look");
  if ("kind" in findings || findings.depths.kind !== "ready") return;
  const { job } = findings;
  if (job.finished !== undefined || job.results !== undefined) return;
  const numbers = toPacket(findings, []);
  const shown = withIsolatedTexts(findings, job);
  const evidence = { file, jobText: text, ...(beside && { beside }), findings };
  const packet = withSheets(numbers, findings, []);
  if (verifyPacket({ ...evidence, packet, sheets: [] }).length > 0) return;
  const links = { sheets: [], notYet: [], packetHash: "", printed: false, isFirstLook: true } as const;
  yield { kind: "page", page: jobPage(shown, links) };
  for (const ids of CUT_SHEETS) {
    const sheets = composeOnly(shown, job.languages, ids, memory);
    if (verifySheets({ ...evidence, packet, sheets }).length === 0) yield { kind: "sheets", title: job.title, sheets };
  }
}

const asWritten = (_: string, value: unknown): unknown => (typeof value === "number" ? twelveDigits(value) : value);

/** What was issued, and what these numbers say otherwise than the last two revisions. */
function revisionsOf(
  { issued = [], issuing, inputHash }: ComputeRequest,
  numbers: Packet,
): Pick<Findings, "revisions"> {
  if (issued.length === 0 && issuing === undefined) return {};
  return {
    revisions: {
      issued,
      ...(issuing === undefined ? {} : { issuing }),
      changesSince: issued.slice(-2).map((revision) => changesBetween(revision, numbers)),
      inputAsIssued: inputHash !== undefined && issued.at(-1)?.inputHash === inputHash,
    },
  };
}

function refusal(outcome: Exclude<Outcome<unknown>, { kind: "ready" }>): Exclude<ComputeAnswer, { kind: "made" }> {
  if (outcome.kind === "refused") return { kind: "refused", problems: outcome.problems };
  return { kind: "refused", problems: [{ code: "not-yet", severity: "error", message: outcome.why }] };
}
