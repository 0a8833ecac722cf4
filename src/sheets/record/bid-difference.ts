/** Planned against allowed with the reason in numbers: which room, which depth, what the bid assumed. */
import { area, type BothUnits, decimal, fineHeight, difference as signed } from "../../format.ts";
import type { Job } from "../../job/model.ts";
import type { Plan } from "../../layout/model.ts";
import type { BagDifference } from "../../record/model.ts";
import type { Block } from "../page/blocks.ts";
import { type CellText, cell, DESK, heading, list, paragraph, table } from "../page/make-blocks.ts";
import { DESK_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";

interface DifferenceSubject {
  readonly job: Job;
  readonly plan: Plan;
  readonly words: Words;
}

const text = (content: string): CellText => cell(content, DESK_MM);
const strong = (content: string): CellText => cell(content, DESK_MM, 700);
/** Less than this prints as nothing. */
const SHOWN_BAGS = 0.05;

export function differenceBlocks({ job, plan, words }: DifferenceSubject, of: BagDifference, width: number): Block[] {
  const w = words.record.difference;
  const both = ({ large, small }: BothUnits): string => words.both(large.text, small.text);
  const depth = (mm: number): string => both(fineHeight(mm, job.units.height));
  const floor = (m2: number): string => both(area(m2, job.units.plan));
  const measured = of.rooms.reduce((sum, room) => sum + room.area, 0);
  const named = (roomIndex: number): string => plan.floors[roomIndex]?.name ?? "";
  const other = [
    { what: w.area(floor(measured), floor(of.bidArea ?? measured)), bags: of.areaBags },
    { what: w.wedges, bags: of.wedgeBags },
    { what: w.rounding, bags: of.roundingBags },
    { what: w.unexplained, bags: of.unexplainedBags },
  ].filter(({ bags }) => Math.abs(bags) >= SHOWN_BAGS);
  const deeper = of.rooms.filter((room) => room.deeperBags >= SHOWN_BAGS);
  return [
    heading(w.title, width),
    paragraph(introText(of, job, words, depth), width, DESK),
    table(
      w.caption,
      [
        { heading: w.columns.where, widthMm: width * 0.28, namesRow: true },
        { heading: w.columns.area, widthMm: width * 0.2, align: "end" },
        { heading: w.columns.planned, widthMm: width * 0.2, align: "end" },
        { heading: w.columns.bid, widthMm: width * 0.2, align: "end" },
        { heading: w.columns.bags, widthMm: width * 0.12, align: "end" },
      ],
      [
        ...of.rooms.map((room) => ({
          cells: [
            text(named(room.roomIndex)),
            text(floor(room.area)),
            text(depth(room.plannedDepth)),
            text(depth(room.bidDepth)),
            text(signed(room.bags, 1)),
          ],
        })),
        ...other.map(({ what, bags }) => ({
          cells: [text(what), text(""), text(""), text(""), text(signed(bags, 1))],
        })),
        { cells: [strong(w.sum), text(""), text(""), text(""), strong(signed(of.bags, 0))], sum: true },
      ],
      DESK_MM,
    ),
    ...(deeper.length === 0
      ? []
      : [
          list(
            deeper.map((room) =>
              w.deeper(
                named(room.roomIndex),
                floor(room.deeperArea),
                depth(room.bidDepth),
                bagsText(room.deeperBags, words),
              ),
            ),
            width,
            DESK,
          ),
        ]),
  ];
}

const bagsText = (bags: number, words: Words): string => words.bags(decimal(bags, 1));

function introText(of: BagDifference, job: Job, words: Words, depth: (mm: number) => string): string {
  const { intro } = words.record.difference;
  switch (of.assumed) {
    case "bid":
      return intro.bid(job.contract.bid?.source ?? words.notStated);
    case "allowed-depth":
      return intro["allowed-depth"](depth(job.contract.allowedDepth ?? Number.NaN));
    case "allowed-bags":
      return intro["allowed-bags"](depth(of.rooms[0]?.bidDepth ?? 0));
  }
}
