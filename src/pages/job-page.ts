/**
 * What the page of a job shows: the map, the figures that matter, what stops or warns, every pin with
 * its cut length, and the way to every sheet. Numbers come from the findings, text from `format`.
 */
import type { PinDepth } from "../depths/model.ts";
import type { Diagnostic, Outcome } from "../diagnostics.ts";
import { area, batchWater, bulkLiquid, count, height, limit, percent, planLength, volume } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { Plan, PlanPin, WallOffset } from "../layout/model.ts";
import type { Hold } from "../quantities/model.ts";
import type { Standing } from "../revision/model.ts";
import { standingInFileName } from "../revision/standing.ts";
import { type BandLook, bandLook } from "../sheets/map/floor-marks.ts";
import type { Findings, SetId, Sheet, SheetNotYet } from "../sheets/model.ts";
import { recordHoldText } from "../sheets/record/test-text.ts";
import { en } from "../sheets/words/en.ts";
import type { Millimetres } from "../units.ts";
import { drawFloorMap, type FloorMap } from "./floor-map.ts";
import { type FloorVerdicts, floorVerdicts } from "./floor-verdicts.ts";
import type { IndexEntry } from "./index-entry.ts";
import { phaseOf } from "./phase.ts";
import { type PourOnPage, pourOnPage } from "./pour-account.ts";
import { pourFigures } from "./pour-figures.ts";
import { type RevisionOnPage, revisionOnPage } from "./revision-on-page.ts";
import { type TopTradeOff, topTradeOff } from "./top-trade-off.ts";
import { asValue, type Value } from "./value.ts";

export interface JobPage {
  readonly jobId: string;
  readonly title: string;
  readonly facts: readonly { readonly name: string; readonly text: string }[];
  readonly metricLeads: boolean;
  readonly phase: IndexEntry["phase"];
  /** Why there is nothing to cut or order yet, in office words. */
  readonly notYet: readonly string[];
  readonly holds: readonly string[];
  readonly warnings: readonly string[];
  readonly figures: readonly Figure[];
  readonly bands: readonly BandRow[];
  readonly highSpots: readonly HighSpotRow[];
  /** The floors judged by the contract's rules; none before its rules are given in figures. */
  readonly floors: readonly FloorVerdicts[];
  /** Absent until the pour is in the job file. */
  readonly pour?: PourOnPage;
  /** Absent until the floor is read. */
  readonly topTradeOff?: TopTradeOff;
  readonly map: FloorMap;
  readonly pins: readonly PinRow[];
  readonly sets: readonly SetLink[];
  readonly sheets: readonly SheetLink[];
  readonly sheetsNotYet: readonly { readonly title: string; readonly why: string }[];
  readonly revision: RevisionOnPage;
  readonly packetHash: string;
  /** False where no browser was there to print: the page then links no PDF. */
  readonly printed: boolean;
  /** Shown while the rest of the packet is being worked out. */
  readonly isFirstLook?: true;
}

export interface Figure {
  readonly name: string;
  readonly value: Value | string;
  readonly note?: string;
}

export interface BandRow extends BandLook {
  readonly number: string;
  readonly range: Value;
  readonly area: Value;
}

export interface HighSpotRow {
  readonly id: string;
  readonly room: string;
  readonly grind: Value;
  readonly area: Value;
}

export interface PinRow {
  readonly id: string;
  readonly room: string;
  /** Absent where there is nothing to cut, see `instead`. */
  readonly cut?: Value;
  readonly instead?: string;
  readonly depth?: Value;
  readonly where: string;
  readonly interpolated: boolean;
  readonly check: boolean;
}

export interface SetLink extends PdfLink {
  /** The set that the phase of the job asks for. */
  readonly first: boolean;
}

export interface PdfLink {
  readonly title: string;
  /** Code, for the page's own language tags, and name where it is another than that of the page. */
  readonly language: string;
  readonly inLanguage?: string;
  readonly href: string;
}

export interface SheetLink extends PdfLink {
  readonly pdfHref: string;
  readonly pages: number;
  readonly hash: string;
}

/** What stands beside the findings on the page: the sheets as they were laid out, and where they lie. */
export interface PageLinks {
  readonly sheets: readonly Sheet[];
  readonly notYet: readonly SheetNotYet[];
  readonly packetHash: string;
  readonly printed: boolean;
  readonly isFirstLook?: true;
}

export const SET_NAMES: Readonly<Record<SetId, string>> = {
  survey: "Survey set",
  crew: "Crew set",
  gc: "General contractor's set",
  closeout: "Closeout set",
};

const OTHER_LANGUAGES: Readonly<Record<string, string>> = { es: "Spanish" };

function languageOf(language: string): Pick<PdfLink, "language" | "inLanguage"> {
  const inLanguage = OTHER_LANGUAGES[language];
  return inLanguage === undefined ? { language } : { language, inLanguage };
}

/** Address of a sheet's page, below the job's folder. */
export const sheetPath = (sheet: Pick<Sheet, "id" | "language">): string => `${sheet.language}/${sheet.id}.html`;

/** File name of a sheet's PDF; it carries job, sheet, language and the sheet's hash, as it may end up alone in a mailbox. */
export const sheetPdfPath = (jobId: string, sheet: Pick<Sheet, "id" | "language" | "hash">): string =>
  `${sheet.language}/${jobId}-${sheet.id}-${sheet.language}-${sheet.hash}.pdf`;

/** File name of a set's PDF. It carries job, set, language and revision, or that it is a draft. */
export const setPdfPath = (jobId: string, set: SetId, language: string, standing: Standing): string =>
  `${jobId}-${set}-set-${language}-${standingInFileName(standing)}.pdf`;

/** The sets that these sheets make up, in the order of the work, each with its sheets in their order. */
export function setsOf(sheets: readonly Sheet[]): { id: SetId; language: string; sheets: readonly Sheet[] }[] {
  const order: readonly SetId[] = ["survey", "crew", "gc", "closeout"];
  const languages = [...new Set(sheets.map((sheet) => sheet.language))];
  return order.flatMap((id) =>
    languages
      .map((language) => ({
        id,
        language,
        sheets: sheets.filter((sheet) => sheet.language === language && sheet.sets.includes(id)),
      }))
      .filter((set) => set.sheets.length > 0),
  );
}

/** The set that is opened first, by how far the job is. */
const FIRST_SET: Readonly<Record<IndexEntry["phase"], SetId>> = {
  planned: "survey",
  surveyed: "crew",
  poured: "closeout",
  accepted: "closeout",
};

/** The view of the job's page. */
export function jobPage(findings: Findings, links: PageLinks): JobPage {
  const { job, plan } = findings;
  const depths = findings.depths.kind === "ready" ? findings.depths.value : undefined;
  const roomName = (index: number) => plan.floors[index]?.name ?? "";
  const tradeOff = topTradeOff(findings);
  const pour = pourOnPage(findings);
  const revision = revisionOnPage(findings, links.sheets);
  const { standing } = revision;
  const phase = phaseOf(findings);
  return {
    jobId: job.id,
    title: job.title,
    facts: factsOf(job),
    metricLeads: job.units.plan === "m",
    phase,
    notYet: reasonsNotYet(findings),
    holds: [
      ...(findings.quantities.kind === "ready" ? findings.quantities.value.holds.map(holdText) : []),
      ...(findings.record.kind === "ready"
        ? findings.record.value.holds.map((hold) => recordHoldText(hold, job, en))
        : []),
    ],
    warnings: warningsOf(findings).map((warning) => warning.message),
    figures: figuresOf(findings),
    bands: (depths?.bands ?? []).map((band) => ({
      ...bandLook(band.number),
      number: count(band.number),
      range: rangeOf(band.from, band.to, job),
      area: areaValue(job, band.area),
    })),
    highSpots: (depths?.highSpots ?? []).map((spot) => ({
      id: spot.id,
      room: roomName(spot.roomIndex),
      grind: heightValue(job, spot.grind),
      area: areaValue(job, spot.area),
    })),
    floors: floorVerdicts(findings),
    ...(pour === undefined ? {} : { pour }),
    ...(tradeOff === undefined ? {} : { topTradeOff: tradeOff }),
    map: drawFloorMap(plan, depths, job.units.height),
    pins:
      depths === undefined
        ? plan.pins.map((pin) => ({
            id: pin.id,
            room: roomName(pin.roomIndex),
            instead: "not read yet",
            where: whereText(job, plan, pin),
            interpolated: false,
            check: false,
          }))
        : depths.pins.map((depth) => pinRow(job, plan, depth)),
    sets: setsOf(links.sheets).map((set) => ({
      title: SET_NAMES[set.id],
      ...languageOf(set.language),
      href: setPdfPath(job.id, set.id, set.language, standing),
      first: set.id === FIRST_SET[phase] && set.language === job.languages[0],
    })),
    sheets: links.sheets.map((sheet) => ({
      title: sheet.title,
      ...languageOf(sheet.language),
      href: sheetPath(sheet),
      pdfHref: sheetPdfPath(job.id, sheet),
      pages: sheet.pages.length,
      hash: sheet.hash,
    })),
    sheetsNotYet: links.notYet.map(({ title, why }) => ({ title, why })),
    revision,
    packetHash: links.packetHash,
    printed: links.printed,
    ...(links.isFirstLook && { isFirstLook: links.isFirstLook }),
  };
}

/** Every stage's outcome, in the order of the pipeline. */
export function outcomesOf(findings: Findings): Outcome<unknown>[] {
  const { levels, slab, target, depths, quantities, schedule } = findings;
  return [levels, slab, target, depths, quantities, schedule];
}

/** The outcomes that a packet can be whole without, besides: a plan of the survey, and the floors judged. */
export const allOutcomesOf = (findings: Findings): Outcome<unknown>[] => [
  findings.surveyPlan,
  ...outcomesOf(findings),
  findings.rawSlab,
  findings.finished,
  findings.record,
];

/** What the job file and the stages warn of, each once. */
export function warningsOf(findings: Findings): Diagnostic[] {
  const stages = allOutcomesOf(findings);
  const ofStages = stages.flatMap((outcome) => (outcome.kind === "ready" ? outcome.warnings : []));
  const all = [...(findings.earlierWarnings ?? []), ...ofStages];
  return all.filter((warning, index) => all.findIndex((other) => other.message === warning.message) === index);
}

function reasonsNotYet(findings: Findings): string[] {
  const reasons = outcomesOf(findings).flatMap((outcome) => (outcome.kind === "not-yet" ? [outcome.why] : []));
  return [...new Set(reasons)];
}

export function holdText(hold: Hold): string {
  switch (hold.kind) {
    case "suspended-floor-not-accepted":
      return "Suspended floor: a named engineer must accept the weight of the pour and of the staged pallets before anything is brought in.";
    case "dead-load-past-allowed":
      return "The pour weighs more than the contract allows. Nobody pours until an engineer has cleared it.";
  }
}

function factsOf(job: Job): { name: string; text: string }[] {
  const facts: [string, string | undefined][] = [
    ["Place", job.place],
    ["Client", job.client],
    ["General contractor", job.generalContractor],
    ["Contract", job.contractReference],
    ["Material", job.material.name],
    ["Crew", job.crew.name],
    ["Start", job.pour.start],
    ["Job file dated", job.dated],
  ];
  return facts.flatMap(([name, text]) => (text === undefined ? [] : [{ name, text }]));
}

const heightValue = (job: Job, value: Millimetres): Value =>
  asValue(height(value, job.units.height), job.units.height === "mm");
const areaValue = (job: Job, value: Parameters<typeof area>[0]): Value =>
  asValue(area(value, job.units.plan), job.units.plan === "m");

function rangeOf(from: Millimetres | undefined, to: Millimetres | undefined, job: Job): Value {
  const low = from === undefined ? undefined : heightValue(job, from);
  const high = to === undefined ? undefined : heightValue(job, to);
  const join = (system: "metric" | "inch") => {
    if (low === undefined) return high === undefined ? "any depth" : `less than ${high[system]}`;
    return high === undefined ? `${low[system]} and more` : `${low[system]} to ${high[system]}`;
  };
  return { metric: join("metric"), inch: join("inch"), leads: job.units.height === "mm" ? "metric" : "inch" };
}

function figuresOf({ job, depths, quantities, schedule }: Findings): Figure[] {
  const planMetric = job.units.plan === "m";
  const figures: Figure[] = [];
  if (quantities.kind === "ready") {
    const { bags, water, againstAllowed, pallets } = quantities.value;
    const difference = againstAllowed?.differenceBags;
    figures.push({
      name: "Bags to order",
      value: count(bags.toOrder),
      ...(againstAllowed === undefined || difference === undefined
        ? {}
        : {
            note:
              difference > 0
                ? `${count(difference)} more than the ${count(againstAllowed.allowedBags)} that the contract allows`
                : `within the ${count(againstAllowed.allowedBags)} that the contract allows`,
          }),
    });
    for (const { material, bags: own } of quantities.value.otherMaterials ?? [])
      figures.push({ name: `Bags to order: ${material.id}`, value: count(own.toOrder), note: material.name });
    figures.push({ name: "Pallets", value: count(pallets) });
    figures.push({ name: "Mixing water", value: asValue(bulkLiquid(water, job.units.plan), planMetric) });
    figures.push({
      name: "Water a bag",
      value: asValue(batchWater(job.material.waterPerBag, job.units.plan), planMetric),
    });
  }
  if (depths.kind === "ready") {
    const found = depths.value;
    figures.push({ name: "Floor", value: areaValue(job, found.area) });
    figures.push({
      name: "Volume to order",
      value: asValue(volume(found.volumeToOrder, job.units.plan), planMetric),
      note: `${percent(found.extrapolatedVolume, 0).text} of it beyond the outermost readings`,
    });
    figures.push({ name: "Greatest depth", value: heightValue(job, found.greatest) });
    figures.push({ name: "Mean depth", value: heightValue(job, found.mean) });
    figures.push({
      name: "Least depth of the material",
      value: asValue(limit(found.leastAllowed, "least", job.units.height), job.units.height === "mm"),
    });
    figures.push({ name: "High spots to grind", value: count(found.highSpots.length) });
    figures.push({ name: "Pins", value: count(found.pins.length) });
  }
  if (schedule.kind === "ready") {
    figures.push(...pourFigures(schedule.value));
  }
  return figures;
}

function pinRow(job: Job, plan: Plan, { pin, cut, depth, from, checkOnTheDay }: PinDepth): PinRow {
  const row = {
    id: pin.id,
    room: plan.floors[pin.roomIndex]?.name ?? "",
    depth: heightValue(job, depth),
    where: whereText(job, plan, pin),
    interpolated: from === "interpolated",
    check: checkOnTheDay,
  };
  switch (cut.kind) {
    case "cut":
      return { ...row, cut: heightValue(job, cut.length) };
    case "after-grinding":
      return { ...row, instead: "grind first, then read again" };
    case "too-short":
      return { ...row, instead: "no pin, grind" };
  }
}

/** Two distances, each square from a named wall: of its two grid lines, or its own where it is off the grid. */
function whereText(job: Job, plan: Plan, pin: PlanPin): string {
  return (pin.offsets ?? offsetsOfLines(plan, pin))
    .map(({ roomIndex, wallIndex, distance }) => {
      const wall = plan.floors[roomIndex]?.walls[wallIndex]?.name ?? "";
      const { large, small } = planLength(distance, job.units.plan);
      return `${large.text} (${small.text}) from the ${wall}`;
    })
    .join(", ");
}

/** The lines through a pin on the grid are those that run exactly through its place: it was put there. */
function offsetsOfLines(plan: Plan, { at, roomIndex }: PlanPin): WallOffset[] {
  return plan.gridLines
    .filter((line) => line.at === (line.axis === "lettered" ? at.y : at.x))
    .flatMap((line) => line.offsets.filter((offset) => offset.roomIndex === roomIndex).slice(0, 1));
}
