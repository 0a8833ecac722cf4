/** The joint survey record: one page, signed before the pour, on what was measured and how many bags it means. */

import type { Depths } from "../../depths/model.ts";
import { area, type BothUnits, count, height, money, volume } from "../../format.ts";
import type { Job } from "../../job/model.ts";
import { JOINT_PARTIES } from "../../job/record-model.ts";
import type { Plan } from "../../layout/model.ts";
import type { Quantities } from "../../quantities/model.ts";
import type { BagStop } from "../../record/model.ts";
import type { SheetContent } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import { flowSheet } from "../page/flow-sheet.ts";
import { BLANK_CELL, type CellText, cell, DESK, heading, paragraph, table } from "../page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { DESK_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";
import { partyText } from "./test-text.ts";

export interface JointSubject {
  readonly job: Job;
  readonly plan: Plan;
  readonly words: Words;
  readonly depths: Depths;
  readonly quantities: Quantities;
  readonly stop: BagStop;
}

const text = (content: string): CellText => cell(content, DESK_MM);
const strong = (content: string): CellText => cell(content, DESK_MM, 700);
/** How much is given to what: a page that would run over is set closer, rooms counted instead of named. */
type Setting = "roomy" | "close";

/** A signature needs this much, and less where the page is full. */
const SIGNATURE_ROW_MM: Readonly<Record<Setting, number>> = { roomy: 14, close: 10 };

/** One page: who signs must see everything that is signed. */
export function composeJointSurvey(subject: JointSubject): SheetContent {
  const roomy = laidOut(subject, "roomy");
  return roomy.pages.length === 1 ? roomy : laidOut(subject, "close");
}

function laidOut(subject: JointSubject, setting: Setting): SheetContent {
  const { job, words, stop } = subject;
  const { joint } = words.record;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const { signatures = [], notRequired } = job.jointSurvey ?? {};
  const agreed = joint.agreedText(words.bags(count(stop.bags)));
  const blocks: Block[] = [
    paragraph(joint.intro(job.contract.section ?? words.notStated), width, DESK),
    ...(setting === "roomy" ? [heading(joint.measured, width)] : []),
    measuredTable(subject, setting, width),
    ...(setting === "roomy" ? [heading(joint.means, width)] : []),
    meansTable(subject, width),
    ...(setting === "roomy" ? [heading(joint.agreed, width)] : []),
    paragraph(agreed, width, { ...DESK, weight: 700 }),
    ...(notRequired === undefined
      ? []
      : [paragraph(joint.notMade(notRequired.by, notRequired.date, notRequired.reason), width, DESK)]),
    ...(signatures.length === 0
      ? []
      : [
          paragraph(
            joint.signed(
              words.listOf(signatures.map(({ party, by, date }) => joint.signatureBy(joint.parties[party], by, date))),
            ),
            width,
            DESK,
          ),
        ]),
    signatureTable(subject, setting, width),
  ];
  return flowSheet("joint-survey", words, ["gc"], paper, blocks);
}

const columnsOf = ({ words: { record } }: JointSubject, width: number) => [
  { heading: record.joint.columns.what, widthMm: width * 0.38, namesRow: true },
  { heading: record.joint.columns.value, widthMm: width * 0.42 },
  { heading: record.joint.columns.other, widthMm: width * 0.2 },
];

/** Who signed by the job file stands there; the signature itself is on the paper that the office keeps. */
function signatureTable({ job, words }: JointSubject, setting: Setting, width: number) {
  const { signature } = words.record.joint;
  return table(
    signature.caption,
    [
      { heading: signature.columns.party, widthMm: width * 0.26, namesRow: true },
      { heading: signature.columns.name, widthMm: width * 0.26 },
      { heading: signature.columns.signature, widthMm: width * 0.28 },
      { heading: signature.columns.date, widthMm: width * 0.2 },
    ],
    JOINT_PARTIES.map((party) => {
      const signed = job.jointSurvey?.signatures.find((one) => one.party === party);
      return {
        cells: [
          text(partyText(party, job, words)),
          signed === undefined ? BLANK_CELL : text(signed.by),
          BLANK_CELL,
          signed === undefined ? BLANK_CELL : text(signed.date),
        ],
      };
    }),
    DESK_MM,
    SIGNATURE_ROW_MM[setting],
  );
}

/** More names than this take too many lines of the one page: they are then counted. */
const MOST_NAMED = 8;

const roomsText = ({ plan, words }: JointSubject, setting: Setting): string =>
  setting === "close" || plan.floors.length > MOST_NAMED
    ? count(plan.floors.length)
    : words.listOf(plan.floors.map(({ name }) => name));

function measuredTable(subject: JointSubject, setting: Setting, width: number) {
  const { job, words, depths, quantities } = subject;
  const { joint } = words.record;
  const { jointSurvey, survey, units } = job;
  const typed = (name: string, value: string | undefined) => ({
    cells: [text(name), value === undefined ? BLANK_CELL : text(value), text("")],
  });
  const measured = (name: string, { large, small }: BothUnits) => ({
    cells: [text(name), text(large.text), text(small.text)],
  });
  const readings = survey.setUps.reduce((sum, setUp) => sum + setUp.readings.length, 0);
  const instruments = [...new Set(survey.setUps.map(({ instrument }) => instrument.name))];
  const present = jointSurvey?.present.map(({ name, company }) => joint.person(name, company)) ?? [];
  return table(
    joint.caption,
    columnsOf(subject, width),
    [
      typed(joint.rooms, roomsText(subject, setting)),
      measured(joint.area, area(depths.area, units.plan)),
      typed(joint.readings, count(readings)),
      typed(joint.instrument, words.listOf(instruments)),
      typed(joint.date, jointSurvey?.date),
      typed(joint.by, jointSurvey?.measuredBy),
      typed(joint.present, present.length === 0 ? undefined : words.listOf(present)),
      measured(joint.mean, height(depths.mean, units.height)),
      measured(joint.greatest, height(depths.greatest, units.height)),
      measured(joint.volume, volume(quantities.bags.volume, units.plan)),
    ],
    DESK_MM,
  );
}

function meansTable(subject: JointSubject, width: number) {
  const { job, words, quantities } = subject;
  const { joint, stop: stopWords } = words.record;
  const { allowedBags, unitRate, approvedBags } = job.contract;
  const { bags, otherMaterials = [] } = quantities;
  const more = allowedBags === undefined ? undefined : bags.toOrder - allowedBags;
  const row = (name: string, value: string | undefined, beside = "") => ({
    cells: [text(name), value === undefined ? BLANK_CELL : text(value), text(beside)],
  });
  return table(
    joint.captionMeans,
    columnsOf(subject, width),
    [
      row(joint.bags, count(bags.toOrder), job.material.id),
      ...otherMaterials.map((order) => row(joint.bags, count(order.bags.toOrder), order.material.id)),
      row(joint.allowed, allowedBags === undefined ? undefined : count(allowedBags)),
      ...(more === undefined ? [] : [row(more < 0 ? joint.less : joint.more, count(Math.abs(more)))]),
      row(joint.rate, unitRate && money(unitRate.amount, unitRate.currency)),
      ...(more !== undefined && more > 0 && unitRate !== undefined
        ? [row(joint.priced, money(more * unitRate.amount, unitRate.currency))]
        : []),
      ...(approvedBags === undefined
        ? []
        : [
            row(
              joint.approved,
              `${count(approvedBags.bags)}: ${joint.approvedBy(approvedBags.by, approvedBags.date)}`,
              approvedBags.reference,
            ),
          ]),
      { cells: [strong(stopWords.figure), strong(count(subject.stop.bags)), text("")], sum: true },
    ],
    DESK_MM,
  );
}
