/** The cover: what can stop the pour, the key figures, and every sheet with its hash. */
import { encode } from "uqr";
import type { Diagnostic, Outcome } from "../diagnostics.ts";
import { area, batchWater, count, elapsed, floorLoad, height } from "../format.ts";
import { materialsOf } from "./contract-sheets.ts";
import { type RevisionSubject, revisionBlocks, revisionCell } from "./cover-revision.ts";
import type { Findings, SheetContent, SheetNotYet } from "./model.ts";
import type { Block, CodeBlock } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import {
  cell,
  type FigureText,
  figures,
  GAP_MM,
  heading,
  list,
  paragraph,
  READING,
  signal,
  table,
} from "./page/make-blocks.ts";
import { pageHead } from "./page/page-head.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { recordStops } from "./record/cover-stops.ts";
import { wrapText } from "./type/text-metrics.ts";
import { HEADING_MM, READING_MM } from "./type/type-sizes.ts";

export interface CoverSubject extends RevisionSubject {
  readonly findings: Findings;
  readonly notYet: readonly SheetNotYet[];
  /** Made from the hashes of the sheets. */
  readonly packetHash: string;
  /** Characters of the job that the embedded font does not have. */
  readonly unprintable: readonly string[];
}

export function composeCover(subject: CoverSubject): SheetContent {
  const { findings, words } = subject;
  const { job } = findings;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const isShortened = pageHead("", job, width).job !== job.title;
  const blocks: Block[] = [
    ...(isShortened ? [paragraph(job.title, width, { ...READING, weight: 700 })] : []),
    ...scopeBlocks(subject, width),
    ...revisionBlocks(subject, width),
    ...stopBlocks(subject, width),
    ...figureBlocks(subject, width),
    ...sheetBlocks(subject, width),
    ...cautionBlocks(subject, width),
    ...codeBlocks(subject, width),
  ];
  return flowSheet("cover", words, ["survey", "crew", "gc", "closeout"], paper, blocks);
}

function scopeBlocks({ findings: { job }, words }: CoverSubject, width: number): Block[] {
  const { scope } = words.cover;
  const rows: (readonly [string, string | undefined])[] = [
    [scope.place, job.place],
    [scope.client, job.client],
    [scope.gc, job.generalContractor],
    [scope.contract, job.contractReference],
    [scope.section, job.contract.section],
    [scope.start, job.pour.start],
  ];
  const stated = rows.flatMap(([label, value]) => (value === undefined ? [] : [`${label}: ${value}`]));
  return stated.length === 0 ? [] : [paragraph(stated.join("\n"), width, READING)];
}

/** All warnings that rode along with the results, in the order of the pipeline. */
export function warningsOf(findings: Findings): Diagnostic[] {
  const stages: readonly Outcome<unknown>[] = [
    findings.surveyPlan,
    findings.levels,
    findings.slab,
    findings.target,
    findings.depths,
    findings.quantities,
    findings.schedule,
    findings.record,
  ];
  return [
    ...(findings.earlierWarnings ?? []),
    ...stages.flatMap((stage) => (stage.kind === "ready" ? stage.warnings : [])),
  ];
}

function stopBlocks({ findings, words, unprintable }: CoverSubject, width: number): Block[] {
  const { cover } = words;
  const blocks: Block[] = [heading(cover.stops, width)];
  const plan = findings.job.units.plan;
  const holds = findings.quantities.kind === "ready" ? findings.quantities.value.holds : [];
  for (const hold of holds) {
    const load = hold.valueKgM2 === undefined ? undefined : floorLoad(hold.valueKgM2, plan);
    blocks.push(
      signal(
        "danger",
        words.hold,
        words.holds[hold.kind](load ? words.both(load.large.text, load.small.text) : ""),
        width,
      ),
    );
  }
  const recorded = recordStops(findings, words, width);
  blocks.push(...recorded.holds, ...recorded.stop);
  const warnings = warningsOf(findings).map((warning) => words.warning(warning, namesOf(findings)));
  if (unprintable.length > 0) warnings.push(cover.unprintable(unprintable.join(" ")));
  if (warnings.length > 0) {
    blocks.push(heading(cover.warnings, width, 3), list(warnings, width, READING));
  }
  if (holds.length + recorded.holds.length === 0 && warnings.length === 0)
    blocks.push(paragraph(cover.nothingStops, width, READING));
  return blocks;
}

/** What a warning may name: rooms by name or id, doors, columns and openings, set-ups of the level. */
const namesOf = ({ job, plan }: Findings): string[] => [
  ...plan.floors.flatMap(({ name, roomId, doors, obstacles }) => [
    name,
    roomId,
    ...[...doors, ...obstacles].map(({ id }) => id),
  ]),
  ...job.survey.setUps.map(({ id }) => id),
];

function figureBlocks({ findings, words }: CoverSubject, width: number): Block[] {
  const { job, depths, quantities, schedule } = findings;
  const { plan, height: unit } = job.units;
  const names = words.cover.figures;
  const values: FigureText[] = [];
  const add = (label: string, value: { large: { text: string }; small: { text: string } }): void => {
    values.push({ label, value: value.large.text, second: value.small.text });
  };
  if (depths.kind === "ready") {
    add(names.floor, area(depths.value.area, plan));
    add(names.mean, height(depths.value.mean, unit));
    add(names.greatest, height(depths.value.greatest, unit));
    values.push({ label: names.pins, value: count(depths.value.pins.length) });
    values.push({ label: names.highSpots, value: count(depths.value.highSpots.length) });
  }
  if (quantities.kind === "ready") {
    const { bags, otherMaterials = [] } = quantities.value;
    values.push({ label: names.bags, value: count(bags.toOrder) });
    for (const other of otherMaterials)
      values.push({ label: `${names.bags}: ${other.material.id}`, value: count(other.bags.toOrder) });
  }
  add(names.waterPerBag, batchWater(job.material.waterPerBag, plan));
  if (schedule.kind === "ready" && schedule.value.kind === "can-be-poured") {
    const last = schedule.value.batches.at(-1);
    values.push({ label: names.batches, value: count(schedule.value.batches.length) });
    if (last) values.push({ label: names.duration, value: elapsed(last.poured) });
  }
  return [heading(words.cover.keyFigures, width), figures(values, width, 3, HEADING_MM * 1.2, READING_MM)];
}

function sheetBlocks({ sheets, notYet, packetHash, words, revision }: CoverSubject, width: number): Block[] {
  const { cover } = words;
  // Before anything was issued every sheet stands the same, and the column would say nothing.
  const told = revision.standing.kind !== "never-issued";
  const blocks: Block[] = [
    heading(cover.sheets, width),
    table(
      cover.sheets,
      [
        { heading: cover.columns.sheet, widthMm: width * (told ? 0.34 : 0.44), namesRow: true },
        { heading: cover.columns.pages, widthMm: width * (told ? 0.12 : 0.13), align: "end" },
        { heading: cover.columns.sets, widthMm: width * (told ? 0.18 : 0.23) },
        { heading: cover.columns.hash, widthMm: width * (told ? 0.19 : 0.2) },
        ...(told ? [{ heading: words.revisions.columnRevision, widthMm: width * 0.17 }] : []),
      ],
      sheets.map((sheet) => ({
        cells: [
          cell(sheet.title, READING_MM),
          cell(count(sheet.pages.length), READING_MM),
          cell(words.listOf(sheet.sets.map((set) => cover.setLetters[set])), READING_MM),
          cell(sheet.hash, READING_MM),
          ...(told ? [cell(revisionCell(sheet.standing, words), READING_MM)] : []),
        ],
      })),
      READING_MM,
    ),
    paragraph(cover.packetHash(packetHash), width, READING),
    paragraph(cover.compareHash, width, READING),
  ];
  if (notYet.length > 0) {
    blocks.push(
      heading(cover.notYet, width),
      list(
        notYet.map(({ title, why }) => `${title}: ${why}`),
        width,
        READING,
      ),
    );
  }
  return blocks;
}

function cautionBlocks({ findings, words }: CoverSubject, width: number): Block[] {
  const { job } = findings;
  const examples = materialsOf(findings).filter(({ dataSheet }) => dataSheet.example);
  return [
    heading(words.cover.cautions, width),
    ...examples.map(({ name }) => signal("notice", words.signal.notice, words.exampleMaterial(name), width)),
    signal("notice", words.signal.notice, words.planningAid, width),
    ...job.notes.map((note) => paragraph(note, width, READING)),
  ];
}

const CODE_MM = 38;
/** ISO/IEC 18004, 5.3.8 (from memory): a light zone four modules wide on every side. */
const QUIET_MODULES = 4;

/** The address that the office sets, for a phone; the hashes say the same without a network. */
function codeBlocks({ findings: { job }, words }: CoverSubject, width: number): Block[] {
  const { site } = job.company;
  if (site === undefined) return [];
  const { data, size } = encode(site, { ecc: "M", border: QUIET_MODULES });
  const path = data
    .flatMap((row, y) => row.map((dark, x) => (dark ? `M${x} ${y}h1v1h-1z` : "")))
    .filter((step) => step !== "")
    .join("");
  const block: CodeBlock = {
    kind: "code",
    path,
    modules: size,
    sizeMm: CODE_MM,
    caption: [
      ...wrapText(site, width - CODE_MM - 8, READING_MM),
      ...wrapText(words.cover.codeCaption, width - CODE_MM - 8, READING_MM),
    ],
    type: READING,
    heightMm: CODE_MM + GAP_MM,
  };
  return [block];
}
