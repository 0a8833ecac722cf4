/**
 * Findings → sheets. Each sheet is composed from what it needs, numbered, and given the hash of
 * what it says; a sheet whose stage has no result yet is left out, with the reason, which the cover lists.
 */
import { createHash } from "node:crypto";
import type { Outcome } from "../diagnostics.ts";
import { count } from "../format.ts";
import { polygonArea } from "../geometry/polygon.ts";
import type { Language } from "../job/model.ts";
import { squareMetres } from "../units.ts";
import { composeBatchLog } from "./batch-log.ts";
import { composeAcceptance, composeDataSheets, composeMeeting, composeMethod } from "./contract-sheets.ts";
import { composeCover } from "./cover.ts";
import { composeCutOrder } from "./cut-order.ts";
import { composeCutTable } from "./cut-table.ts";
import { composeFlatnessReport } from "./flatness-report.ts";
import { composeMixingSchedule } from "./mixing-schedule.ts";
import type { Findings, Sheet, SheetContent, SheetNotYet, SheetPage } from "./model.ts";
import { pageHead } from "./page/page-head.ts";
import { pageFrame, paperSize } from "./page/paper.ts";
import { composePauseCards } from "./pause-cards.ts";
import { composePinMap } from "./pin-map.ts";
import { composeQuantities } from "./quantities-sheet.ts";
import { composeReadiness, composeSilicaPlan } from "./readiness.ts";
import { composeSafety } from "./safety.ts";
import { composeSurveyForm } from "./survey/forms.ts";
import { composeSurveyReport } from "./survey/report.ts";
import { composeSameDay, readsDepths } from "./survey/same-day.ts";
import { composeSurveySummary } from "./survey/summary.ts";
import { composeFinishedFloor, composeSurveyBrief, composeSurveyPlan } from "./survey-sheets.ts";
import { composeTopOfPour } from "./top-of-pour.ts";
import { oneGreatestDepth } from "./trade-off-table.ts";
import { uncoveredCharacters } from "./type/text-metrics.ts";
import { en, type Words } from "./words/en.ts";
import { es } from "./words/es.ts";

export const WORDS: Readonly<Record<Language, Words>> = { en, es };

/** Text of a value with the keys of every object in order, so that equal values have equal text. */
export function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_, part: unknown) =>
    part !== null && typeof part === "object" && !Array.isArray(part)
      ? Object.fromEntries(Object.entries(part).sort(([p], [q]) => (p < q ? -1 : 1)))
      : part,
  );
}

/** First eight hex digits of the SHA-256 of a value's canonical JSON. */
export const shortHash = (value: unknown): string =>
  createHash("sha256").update(canonicalJson(value)).digest("hex").slice(0, 8);

type SheetId = keyof Words["titles"];

/** A sheet as it will be, or the reason for which it is not there yet. */
type Planned =
  | { readonly kind: "composed"; readonly content: SheetContent }
  | { readonly kind: "not-yet"; readonly sheet: SheetNotYet };

/** Every sheet but the cover, in the order in which the packet is read. */
function planSheets(findings: Findings, language: Language): Planned[] {
  const words = WORDS[language];
  const {
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
    finished: floorAfter,
  } = findings;
  const planArea = squareMetres(plan.floors.reduce((sum, { polygon }) => sum + polygonArea(polygon), 0));
  const composed = (content: SheetContent): Planned => ({ kind: "composed", content });
  const needs = (id: SheetId, outcomes: readonly Outcome<unknown>[], compose: () => SheetContent): Planned => {
    const wanting = outcomes.find((outcome) => outcome.kind !== "ready");
    if (wanting === undefined) return composed(compose());
    const why = wanting.kind === "not-yet" ? words.notYet(wanting.why) : words.refused;
    return { kind: "not-yet", sheet: { id, title: words.titles[id], why } };
  };
  const cut = () => ({ job, plan, depths: resultOf(depths), words });
  return [
    // Once the floor is read, the survey's own sheets are done with.
    ...(levels.kind === "ready"
      ? []
      : [
          composed(composeSurveyBrief(findings, words, planArea)),
          composed(composeSurveyPlan(findings, words)),
          ...(surveyPlan.kind === "ready" ? [composed(composeSurveyForm({ job, plan, words }, surveyPlan.value))] : []),
          ...(readsDepths(job) ? [composed(composeSameDay({ job, plan, words }))] : []),
        ]),
    needs("pin-map", [depths], () => composePinMap(cut())),
    needs("cut-table", [depths], () => composeCutTable(cut())),
    needs("cut-order", [depths], () => composeCutOrder(cut())),
    needs("mixing-schedule", [schedule], () => composeMixingSchedule(job, resultOf(schedule), words)),
    needs("batch-log", [schedule], () => composeBatchLog(job, resultOf(schedule), words)),
    needs("pause-cards", [depths, schedule], () => composePauseCards(cut(), resultOf(schedule))),
    needs("survey-summary", [levels], () => composeSurveySummary({ job, plan, words }, resultOf(levels))),
    composed(composeSafety(job, words)),
    needs("quantities", [levels, slab, depths, quantities, targetStudy], () =>
      composeQuantities({
        ...cut(),
        quantities: resultOf(quantities),
        slab: resultOf(slab),
        study: resultOf(targetStudy),
        levels: resultOf(levels),
      }),
    ),
    needs("top-of-pour", [target, depths, quantities, targetStudy], () =>
      composeTopOfPour({
        ...cut(),
        target: resultOf(target),
        quantities: resultOf(quantities),
        study: resultOf(targetStudy),
        greatestAllowed: oneGreatestDepth(resultOf(depths)),
      }),
    ),
    needs("survey-report", [levels], () => composeSurveyReport({ job, plan, words }, resultOf(levels))),
    composed(composeMethod(findings, words, planArea)),
    composed(composeReadiness(findings, words, planArea)),
    composed(composeSilicaPlan(findings, words)),
    composed(composeDataSheets(findings, words)),
    composed(composeMeeting(findings, words)),
    composed(composeAcceptance(findings, words)),
    needs("flatness-raw-slab", [levels, rawSlab], () =>
      composeFlatnessReport({ job, plan, words, conformity: resultOf(rawSlab) }),
    ),
    needs("finished-floor", [levels], () => composeFinishedFloor(findings, words)),
    needs("flatness", [floorAfter], () => {
      const after = resultOf(floorAfter);
      return composeFlatnessReport({ job, plan: after.plan, words, conformity: after.conformity });
    }),
  ];
}

function resultOf<T>(outcome: Outcome<T>): T {
  if (outcome.kind !== "ready") throw new Error(`a sheet was composed from a stage that is ${outcome.kind}`);
  return outcome.value;
}

/** The sheets of a job in one language, the cover first. */
export function composeSheets(findings: Findings, language: Language): Sheet[] {
  const words = WORDS[language];
  const planned = planSheets(findings, language);
  const sheets = planned.flatMap((one) => (one.kind === "composed" ? [finished(one.content, findings, language)] : []));
  const notYet = planned.flatMap((one) => (one.kind === "not-yet" ? [one.sheet] : []));
  const packetHash = shortHash(sheets.map(({ id, hash }) => ({ id, hash })));
  // Paths and numbers of the drawings are ASCII: what is left to find is text.
  const unprintable = uncoveredCharacters(JSON.stringify(sheets));
  const cover = composeCover({ findings, words, sheets, notYet, packetHash, unprintable });
  return [finished(cover, findings, language), ...sheets];
}

/** The sheets that the job has no numbers for yet, each with the reason. */
export const sheetsNotYet = (findings: Findings, language: Language): SheetNotYet[] =>
  planSheets(findings, language).flatMap((one) => (one.kind === "not-yet" ? [one.sheet] : []));

/** Numbers the pages and puts head and foot on each. The hash is of what is said, not of revision and date. */
function finished(content: SheetContent, findings: Findings, language: Language): Sheet {
  const { job } = findings;
  const words = WORDS[language];
  const said = { title: content.title, job: job.title, owner: job.company.name };
  const hash = shortHash({ language, head: said, content });
  const of = content.pages.length;
  const pages = content.pages.map(
    (page, index): SheetPage => ({
      ...page,
      ...paperSize(page.paper, page.orientation),
      number: index + 1,
      of,
      head: pageHead(content.title, job, pageFrame(page.paper, page.orientation).widthMm),
      foot: [
        job.id,
        content.title,
        words.revision(NOT_ISSUED),
        job.dated ?? words.notDated,
        words.status.draft,
        hash,
        words.page(count(index + 1), count(of)),
      ],
    }),
  );
  return { id: content.id, title: content.title, language, sets: content.sets, pages, hash };
}

/** The revision of a packet that was never issued. */
const NOT_ISSUED = "0";
