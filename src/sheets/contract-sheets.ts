/** Sheets of the GC set that say how the work is done and by what it is accepted. */
import {
  area,
  type BothUnits,
  bagWeight,
  batchWater,
  count,
  density,
  duration,
  limit,
  planLength,
  volume,
} from "../format.ts";
import type { Material } from "../job/library-model.ts";
import type { Job } from "../job/model.ts";
import type { Findings, SheetContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import { BLANK_CELL, blanks, type CellText, cell, DESK, heading, list, paragraph, table } from "./page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { criteriaBlocks } from "./record/criteria.ts";
import { protectionBlocks } from "./record/protection.ts";
import { documentBlocks } from "./record/submittals.ts";
import { DESK_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

const text = (content: string): CellText => cell(content, DESK_MM);
const both = ({ large, small }: BothUnits, words: Words): string => words.both(large.text, small.text);
const widthOf = ({ job }: Findings): number => pageFrame(SMALL_PAPER[job.paper], "portrait").widthMm;
const roomNames = ({ plan }: Findings, words: Words): string => words.listOf(plan.floors.map(({ name }) => name));

/** Area of the floors: of the measured surface where there is one. */
export function floorAreaText(findings: Findings, words: Words, planArea: number): string {
  const { depths, job } = findings;
  const printed = area(depths.kind === "ready" ? depths.value.area : planArea, job.units.plan);
  return words.both(printed.large.text, printed.small.text);
}

/** The job's material, then those that zones and ramps have of their own. */
export const materialsOf = ({ job, quantities }: Pick<Findings, "job" | "quantities">): Material[] => [
  job.material,
  ...(quantities.kind === "ready" ? (quantities.value.otherMaterials ?? []) : []).map(({ material }) => material),
];

/** A material's name, its figures from the data sheet, and that it is an example where it is one. */
function materialBlocks(material: Material, { job }: Findings, words: Words, width: number): Block[] {
  const { method } = words;
  const plan = job.units.plan;
  const limits = material.depthOn[job.floor.substrate];
  const row = (name: string, value: BothUnits | string): { cells: CellText[] } =>
    typeof value === "string"
      ? { cells: [text(name), text(value), text("")] }
      : { cells: [text(name), text(value.large.text), text(value.small.text)] };
  const rows = [
    row(method.bag, bagWeight(material.bag, plan)),
    row(method.yield, volume(material.yieldPerBag, plan)),
    row(method.water, batchWater(material.waterPerBag, plan)),
    row(method.density, density(material.wetDensity, plan)),
    row(method.flow, duration(material.flowTime).text),
    ...(material.healingTime === undefined ? [] : [row(method.healing, duration(material.healingTime).text)]),
    ...(material.walkOn === undefined ? [] : [row(method.walkOn, duration(material.walkOn).text)]),
    ...(limits
      ? [
          row(method.least, limit(limits.least, "least", job.units.height)),
          row(method.greatest, limit(limits.greatest, "greatest", job.units.height)),
        ]
      : []),
    row(method.lift, limit(material.greatestLift, "greatest", job.units.height)),
    row(method.spacing, planLength(material.pinSpacing, plan)),
    row(method.spacingDoors, planLength(material.pinSpacingAtDoors, plan)),
  ];
  return [
    paragraph(material.name, width, { ...DESK, weight: 700 }),
    table(
      method.captionMaterial,
      [
        { heading: method.columns.what, widthMm: width * 0.5, namesRow: true },
        { heading: method.columns.amount, widthMm: width * 0.25, align: "end" },
        { heading: method.columns.other, widthMm: width * 0.25, align: "end" },
      ],
      rows,
      DESK_MM,
    ),
    ...(material.dataSheet.example ? [paragraph(words.exampleMaterial(material.name), width, DESK)] : []),
  ];
}

export function composeMethod(findings: Findings, words: Words, planArea: number): SheetContent {
  const { job } = findings;
  const { method } = words;
  const width = widthOf(findings);
  const { crew, floor } = job;
  const plan = job.units.plan;
  const materials = materialsOf(findings);
  const blocks: Block[] = [
    heading(method.scope, width),
    paragraph(
      method.scopeText(
        floorAreaText(findings, words, planArea),
        roomNames(findings, words),
        words.listOf(materials.map(({ name }) => name)),
      ),
      width,
      DESK,
    ),
    heading(method.floor, width),
    paragraph(
      method.floorText(
        method.support[floor.support],
        method.substrate[floor.substrate],
        words.quantities.absorbency[floor.absorbency],
      ),
      width,
      DESK,
    ),
    ...(floor.acceptedBy
      ? [paragraph(method.accepted(floor.acceptedBy.name, floor.acceptedBy.date), width, DESK)]
      : []),
    heading(method.sequence, width),
    list(method.steps, width, DESK, true),
    heading(method.conditions, width),
    list(method.conditionsList, width, DESK),
    heading(method.crew, width),
    paragraph(
      crew.pump?.mixesItself
        ? method.pumpCrewText(
            words.people(count(crew.people)),
            words.bags(count(crew.bagsPerBarrel)),
            both(planLength(crew.laneWidth, plan), words),
          )
        : method.crewText(
            words.people(count(crew.people)),
            count(crew.barrels),
            words.bags(count(crew.bagsPerBarrel)),
            both(planLength(crew.laneWidth, plan), words),
          ),
      width,
      DESK,
    ),
    heading(method.material, width),
    ...materials.flatMap((material) => materialBlocks(material, findings, words, width)),
    paragraph(words.planningAid, width, DESK),
  ];
  return flowSheet("method", words, ["gc"], SMALL_PAPER[job.paper], blocks);
}

export function composeDataSheets(findings: Findings, words: Words): SheetContent {
  const { job } = findings;
  const { register } = words;
  const width = widthOf(findings);
  const title = (sheet: { readonly title: string; readonly example: boolean }): string =>
    sheet.example ? `${sheet.title} (${register.example})` : sheet.title;
  const known = [
    ...materialsOf(findings).map(({ name, dataSheet }) => ({
      what: name,
      sheet: title(dataSheet),
      date: dataSheet.date,
    })),
    { what: job.primer.name, sheet: title(job.primer.dataSheet), date: job.primer.dataSheet.date },
  ];
  const blocks: Block[] = [
    paragraph(register.intro, width, DESK),
    table(
      register.caption,
      [
        { heading: register.columns.what, widthMm: width * 0.27, namesRow: true },
        { heading: register.columns.sheet, widthMm: width * 0.31 },
        { heading: register.columns.date, widthMm: width * 0.15 },
        { heading: register.columns.checked, widthMm: width * 0.27 },
      ],
      [
        ...known.map(({ what, sheet, date }) => ({
          cells: [text(what), text(sheet), date === undefined ? BLANK_CELL : text(date), BLANK_CELL],
        })),
        ...safetySheetsWanting(job, register).map((what) => ({
          cells: [text(what), BLANK_CELL, BLANK_CELL, BLANK_CELL],
        })),
      ],
      DESK_MM,
    ),
    ...documentBlocks(job, words, width),
  ];
  return flowSheet("data-sheets", words, ["gc"], SMALL_PAPER[job.paper], blocks);
}

/** Safety data sheets that the job does not name among its documents: rows to write in. */
function safetySheetsWanting({ documents = [], material, primer }: Job, register: Words["register"]): string[] {
  const isNamed = ({ id, name }: { readonly id: string; readonly name: string }): boolean =>
    documents.some(({ kind, what }) => kind === "safety-data-sheet" && (what === id || what === name));
  return [
    ...(isNamed(material) ? [] : [register.safetySheet]),
    ...(isNamed(primer) ? [] : [register.primerSafetySheet]),
  ];
}

export function composeMeeting(findings: Findings, words: Words): SheetContent {
  const { job } = findings;
  const { meeting } = words;
  const width = widthOf(findings);
  const blocks: Block[] = [
    paragraph(meeting.intro, width, DESK),
    table(
      meeting.caption,
      [
        { heading: meeting.columns.item, widthMm: width * 0.44, namesRow: true },
        { heading: meeting.columns.decided, widthMm: width * 0.4 },
        { heading: meeting.columns.by, widthMm: width * 0.16 },
      ],
      meeting.items.map((item) => ({ cells: [text(item), BLANK_CELL, BLANK_CELL] })),
      DESK_MM,
      15,
    ),
    blanks(meeting.present, 70, DESK, 11),
  ];
  return flowSheet("meeting", words, ["gc"], SMALL_PAPER[job.paper], blocks);
}

export function composeAcceptance(findings: Findings, words: Words): SheetContent {
  const { job } = findings;
  const { acceptance } = words;
  const width = widthOf(findings);
  const { tolerance } = job.contract;
  const blocks: Block[] = [
    heading(acceptance.tolerance, width),
    ...(tolerance
      ? [
          paragraph(tolerance.text, width, { ...DESK, weight: 700 }),
          paragraph(acceptance.source(tolerance.source), width, DESK),
        ]
      : [paragraph(acceptance.none, width, { ...DESK, weight: 700 })]),
    paragraph(acceptance.notMeasured, width, DESK),
    ...criteriaBlocks(findings, words, width),
    heading(acceptance.how, width),
    list(acceptance.howList, width, DESK, true),
    ...(findings.record.kind === "ready" ? protectionBlocks(job, findings.record.value.holdOffs, words, width) : []),
    heading(acceptance.also, width),
    list(acceptance.alsoList, width, DESK),
    blanks(acceptance.signed, 80, DESK, 12),
  ];
  return flowSheet("acceptance", words, ["gc"], SMALL_PAPER[job.paper], blocks);
}
