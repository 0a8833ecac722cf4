/**
 * Findings → sheets. Each sheet is composed from what it needs, numbered, and given the hash of
 * what it says; a sheet whose stage has no result yet is left out, with the reason, which the cover lists.
 */
import type { Outcome } from "../diagnostics.ts";
import { count } from "../format.ts";
import { polygonArea } from "../geometry/polygon.ts";
import type { Job, Language } from "../job/model.ts";
import type { PourablePlan } from "../pour/model.ts";
import type { Quantities } from "../quantities/model.ts";
import { bagStop } from "../record/bags.ts";
import { shortHash } from "../revision/canonical-json.ts";
import { NEVER_ISSUED, type Revisions, type Standing } from "../revision/model.ts";
import { changesShown, differences, ifItDiffers, lastIssued, sheetStanding } from "../revision/standing.ts";
import { isStillRead } from "../survey/plan-survey.ts";
import { squareMetres } from "../units.ts";
import { composeBatchLog } from "./batch-log.ts";
import { composeChangeSheet } from "./change-sheet.ts";
import { composeAcceptance, composeDataSheets, composeMeeting, composeMethod } from "./contract-sheets.ts";
import { composeCover } from "./cover.ts";
import { composeCutOrder } from "./cut-order.ts";
import { composeCutTable } from "./cut-table.ts";
import { composeFlatnessReport } from "./flatness-report.ts";
import type { LabelMemory } from "./map/label-memory.ts";
import { composePourClock } from "./mixing-schedule.ts";
import type { Findings, Sheet, SheetContent, SheetNotYet, SheetPage } from "./model.ts";
import { pageHead } from "./page/page-head.ts";
import { pageFrame, paperSize } from "./page/paper.ts";
import { composePauseCards } from "./pause-cards.ts";
import { composePinMap } from "./pin-map.ts";
import { composeBayMap } from "./pour/bay-map.ts";
import { composePourPlan } from "./pour/pour-plan.ts";
import { composeQuantities } from "./quantities-sheet.ts";
import { composeDailyRecord, plannedMinutes } from "./record/daily-record.ts";
import { composeDoorNotice, composeHandover } from "./record/handover.ts";
import { composeJointSurvey } from "./record/joint-survey.ts";
import { composeNonConformances } from "./record/non-conformances.ts";
import { composeReadiness } from "./record/readiness-record.ts";
import { composeSubmittals } from "./record/submittals.ts";
import { composeSafety } from "./safety.ts";
import { composeSilicaPlan } from "./silica-plan.ts";
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

type SheetId = keyof Words["titles"];

/** How a sheet is composed, or the reason for which it is not there yet: whoever asks for reasons composes nothing. */
type Planned =
  | { readonly kind: "can-be-composed"; readonly id?: SheetId; readonly compose: () => SheetContent }
  | { readonly kind: "not-yet"; readonly sheet: SheetNotYet };

/** Every sheet but the cover, in the order in which the packet is read. */
function planSheets(findings: Findings, language: Language, memory?: LabelMemory): Planned[] {
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
    record,
  } = findings;
  const kept = record.kind === "ready" ? record.value : undefined;
  const planArea = squareMetres(plan.floors.reduce((sum, { polygon }) => sum + polygonArea(polygon), 0));
  const composed = (compose: () => SheetContent, id?: SheetId): Planned => ({
    kind: "can-be-composed",
    ...(id && { id }),
    compose,
  });
  const needs = (id: SheetId, outcomes: readonly Outcome<unknown>[], compose: () => SheetContent): Planned => {
    const wanting = outcomes.find((outcome) => outcome.kind !== "ready");
    if (wanting === undefined) return composed(compose, id);
    const why = wanting.kind === "not-yet" ? words.notYet(wanting.why) : words.refused;
    return { kind: "not-yet", sheet: { id, title: words.titles[id], why } };
  };
  const stopOf = ({ bags }: Quantities) => bagStop(job.contract, bags.toOrder);
  const cut = () => ({ job, plan, depths: resultOf(depths), words });
  /** A sheet that a crew mixes by: there is none where it cannot pour the floor. */
  const needsPour = (
    id: SheetId,
    outcomes: readonly Outcome<unknown>[],
    compose: (pour: PourablePlan) => SheetContent,
  ): Planned => {
    const pour = schedule.kind === "ready" ? schedule.value : undefined;
    return pour?.kind === "cannot-be-poured"
      ? { kind: "not-yet", sheet: { id, title: words.titles[id], why: words.cannotBePoured } }
      : needs(id, [schedule, ...outcomes], () => compose(pour as PourablePlan));
  };
  return [
    // Once every set-up is read, the survey's own sheets are done with.
    ...(levels.kind === "ready" && !isStillRead(job.survey)
      ? []
      : [
          composed(() => composeSurveyBrief(findings, words, planArea)),
          composed(() => composeSurveyPlan(findings, words)),
          ...(surveyPlan.kind === "ready"
            ? [composed(() => composeSurveyForm({ job, plan, words }, surveyPlan.value))]
            : []),
          ...(readsDepths(job) ? [composed(() => composeSameDay({ job, plan, words }))] : []),
        ]),
    needs("pin-map", [depths], () => composePinMap(cut(), memory)),
    needs("cut-table", [depths], () => composeCutTable(cut())),
    needs("cut-order", [depths], () => composeCutOrder(cut())),
    needsPour("bay-map", [], (pour) => composeBayMap({ job, plan, pour, words })),
    needs("mixing-schedule", [schedule, quantities], () =>
      composePourClock({ job, plan, words, stop: stopOf(resultOf(quantities)) }, resultOf(schedule)),
    ),
    needsPour("batch-log", [], (pour) => composeBatchLog({ job, plan, pour, words })),
    needsPour("pause-cards", [depths], (pour) => composePauseCards({ ...cut(), pour })),
    needs("survey-summary", [levels], () => composeSurveySummary({ job, plan, words }, resultOf(levels))),
    composed(() => composeSafety(job, words)),
    needs("quantities", [levels, slab, depths, quantities, targetStudy], () =>
      composeQuantities({
        ...cut(),
        quantities: resultOf(quantities),
        slab: resultOf(slab),
        study: resultOf(targetStudy),
        levels: resultOf(levels),
        ...(kept?.difference === undefined ? {} : { difference: kept.difference }),
      }),
    ),
    needs("joint-survey", [depths, quantities], () =>
      composeJointSurvey({
        job,
        plan,
        words,
        depths: resultOf(depths),
        quantities: resultOf(quantities),
        stop: stopOf(resultOf(quantities)),
      }),
    ),
    needs("pour-plan", [schedule], () => composePourPlan({ job, plan, words, pour: resultOf(schedule) })),
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
    composed(() => composeMethod(findings, words, planArea)),
    needs("readiness", [record], () => composeReadiness({ job, plan, words }, resultOf(record).readiness)),
    composed(() => composeSilicaPlan(findings, words)),
    composed(() => composeSubmittals(job, words)),
    composed(() => composeDataSheets(findings, words)),
    composed(() => composeMeeting(findings, words)),
    composed(() => composeAcceptance(findings, words)),
    needs("flatness-raw-slab", [levels, rawSlab], () =>
      composeFlatnessReport({ job, plan, words, conformity: resultOf(rawSlab) }),
    ),
    needs("finished-floor", [levels], () => composeFinishedFloor(findings, words)),
    needs("flatness", [floorAfter], () => {
      const after = resultOf(floorAfter);
      return composeFlatnessReport({ job, plan: after.plan, words, conformity: after.conformity });
    }),
    needs("daily-record", [quantities, schedule, record], () =>
      composeDailyRecord({
        job,
        words,
        planned: {
          bags: resultOf(quantities).bags.toOrder,
          batches: resultOf(schedule).batches.length,
          minutes: plannedMinutes(resultOf(schedule)),
        },
        ...(kept?.account === undefined ? {} : { account: kept.account }),
      }),
    ),
    needs("non-conformances", [depths, record], () =>
      composeNonConformances(
        {
          job,
          plan: floorAfter.kind === "ready" ? floorAfter.value.plan : plan,
          words,
          floorRead: floorAfter.kind === "ready",
        },
        resultOf(record).nonConformances,
      ),
    ),
    needs("handover", [depths, record], () => composeHandover(job, resultOf(record), words)),
    needs("door-notice", [depths, record], () => composeDoorNotice(job, resultOf(record), words)),
  ];
}

function resultOf<T>(outcome: Outcome<T>): T {
  if (outcome.kind !== "ready") throw new Error(`a sheet was composed from a stage that is ${outcome.kind}`);
  return outcome.value;
}

/** The sheets of a job in one language, the cover first, as if it had no other. */
export const composeSheets = (findings: Findings, language: Language): Sheet[] => composePacket(findings, [language]);

/**
 * The sheets of a job, language by language, the cover first. A packet stands as one: where a sheet of one language
 * says something else than the last revision, the covers and change sheets of all of them are those of a draft.
 */
export function composePacket(findings: Findings, languages: readonly Language[]): Sheet[] {
  const composed = languages.map((language) => {
    const planned = planSheets(findings, language);
    return {
      language,
      contents: planned.flatMap((one) => (one.kind === "can-be-composed" ? [one.compose()] : [])),
      notYet: planned.flatMap((one) => (one.kind === "not-yet" ? [one.sheet] : [])),
    };
  });
  const inAll = (standing: Standing): Sheet[][] =>
    composed.map(({ language, contents, notYet }) => wholePacket(findings, language, contents, notYet, standing));
  const revisions = findings.revisions ?? NEVER_ISSUED;
  const last = lastIssued(revisions);
  if (last !== undefined && revisions.issuing === undefined) {
    // Made as the last revision was: where every sheet says the same, this packet is that revision.
    const sheets = inAll({ kind: "issued", revision: last.number, date: last.date });
    const isLast = sheets.every(
      (ofOne, k) =>
        differences(ofOne, languages[k] ?? "", revisions).withdrawn.length === 0 &&
        ofOne.every(({ standing }) => standing.kind === "issued"),
    );
    if (isLast) return sheets.flat();
  }
  return inAll(ifItDiffers(revisions)).flat();
}

/** What a crew cuts by, what takes longest to print first. */
export const CUT_SHEETS = [["cut-table", "cut-order"], ["pin-map"]] as const satisfies readonly (readonly SheetId[])[];

/** Some of the sheets of a job that was never issued: to the letter those of its packet, however much is remembered. */
export const composeOnly = (
  findings: Findings,
  languages: readonly Language[],
  ids: readonly SheetId[],
  memory?: LabelMemory,
): Sheet[] =>
  languages.flatMap((language) =>
    planSheets(findings, language, memory).flatMap((one) =>
      one.kind === "can-be-composed" && one.id !== undefined && ids.includes(one.id)
        ? [finished(one.compose(), findings, language, NEVER_ISSUED)]
        : [],
    ),
  );

/** The hash of the sheets of one language, made from theirs; the cover, which prints it, does not count. */
export const packetHashOf = (sheets: readonly Pick<Sheet, "id" | "hash">[]): string =>
  shortHash(sheets.filter(({ id }) => id !== "cover").map(({ id, hash }) => ({ id, hash })));

/** Cover, change sheet and the others, for a packet that stands so. */
function wholePacket(
  findings: Findings,
  language: Language,
  contents: readonly SheetContent[],
  notYet: readonly SheetNotYet[],
  standing: Standing,
): Sheet[] {
  const words = WORDS[language];
  const revisions = findings.revisions ?? NEVER_ISSUED;
  const changes = changesShown(revisions, standing);
  const changeSheet = changes === undefined ? [] : [composeChangeSheet(findings.job, changes, words)];
  const sheets = [...changeSheet, ...contents].map((content) => finished(content, findings, language, revisions));
  const packetHash = packetHashOf(sheets);
  // Paths and numbers of the drawings are ASCII: what is left to find is text.
  const unprintable = uncoveredCharacters(JSON.stringify(sheets));
  const cover = composeCover({
    findings,
    words,
    sheets,
    notYet,
    packetHash,
    unprintable,
    revision: { standing, revisions, ...(changes === undefined ? {} : { changes }) },
  });
  return [finished(cover, findings, language, revisions), ...sheets];
}

/** The sheets that the job has no numbers for yet, each with the reason. */
export const sheetsNotYet = (findings: Findings, language: Language): SheetNotYet[] =>
  planSheets(findings, language).flatMap((one) => (one.kind === "not-yet" ? [one.sheet] : []));

/** Numbers the pages and puts head and foot on each. The hash is of what is said, not of revision and date. */
function finished(content: SheetContent, findings: Findings, language: Language, revisions: Revisions): Sheet {
  const { job } = findings;
  const words = WORDS[language];
  const said = { title: content.title, job: job.title, owner: job.company.name };
  const hash = shortHash({ language, head: said, content });
  const { id, title, sets } = content;
  const standing = sheetStanding({ id, title, language, hash }, revisions);
  const of = content.pages.length;
  const pages = content.pages.map(
    (page, index): SheetPage => ({
      ...page,
      ...paperSize(page.paper, page.orientation),
      number: index + 1,
      of,
      head: pageHead(title, job, pageFrame(page.paper, page.orientation).widthMm),
      foot: [job.id, title, ...standingTexts(standing, job, words), hash, words.page(count(index + 1), count(of))],
    }),
  );
  return { id, title, language, sets, pages, hash, standing };
}

/** Revision, date and status, as they stand at the foot of a page. */
function standingTexts(standing: Standing, job: Job, words: Words): [string, string, string] {
  const dated = job.dated ?? words.notDated;
  switch (standing.kind) {
    case "never-issued":
      return [words.revision("0"), dated, words.status.draft];
    case "issued":
      return [words.revision(count(standing.revision)), standing.date, words.revisions.issued];
    case "draft-after":
      return [words.revisions.afterRevision(count(standing.revision)), dated, words.status.draft];
  }
}
