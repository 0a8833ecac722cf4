/**
 * For a pour on the day of the survey, with no office between: the strip from the reading to the cut
 * length, and a tally by which the lead sees before mixing whether the bags on site are enough.
 */
import { count, decimal, height, limit, percent } from "../../format.ts";
import { polygonArea } from "../../geometry/polygon.ts";
import type { Job } from "../../job/model.ts";
import type { Plan } from "../../layout/model.ts";
import { MM_PER_INCH, millimetres } from "../../units.ts";
import type { SheetContent } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import {
  BLANK_CELL,
  blanks,
  type CellText,
  cell,
  heading,
  KNEELING,
  list,
  paragraph,
  table,
} from "../page/make-blocks.ts";
import { flowOntoPages } from "../page/page-flow.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { DEPTH_MM, KNEELING_MM } from "../type/type-sizes.ts";
import { bothText, type PlaceSubject } from "./point-place.ts";

/** The reading is the depth only where zero is the top of the pour, and the material has limits on this floor. */
export const readsDepths = ({ target, material, floor }: Job): boolean =>
  target.kind === "level" && target.zeroIsTop && target.top === 0 && material.depthOn[floor.substrate] !== undefined;

/** One step of the hand-written depths: a millimetre, or a sixteenth of an inch. */
const stepMm = ({ units }: Job): number => (units.height === "mm" ? 1 : MM_PER_INCH / 16);

export interface TallyRow {
  readonly roomIndex: number;
  readonly points: number;
  /** Bags that one step of mean depth takes over the room, loss included. */
  readonly bagsEach: number;
  /** Bags that the rough surface takes, loss included. */
  readonly fixedBags: number;
}

/**
 * What the tally multiplies by, room by room: area · step / yield, and the profile's allowance the same way, both with
 * the loss on top as `quantities` adds it. Points of the grid stand for equal areas; a room without any counts all it has.
 */
export function tallyRows(job: Job, plan: Plan): TallyRow[] {
  const { material, pour } = job;
  return plan.floors.map((floor, roomIndex) => {
    const here = plan.points.filter((point) => point.roomIndex === roomIndex);
    const onGrid = here.filter(({ kind }) => kind === "grid");
    const bagsPerMm = (polygonArea(floor.polygon) / material.yieldPerBag) * (1 + pour.lossAllowance);
    return {
      roomIndex,
      points: onGrid.length > 0 ? onGrid.length : here.length,
      bagsEach: bagsPerMm * stepMm(job),
      fixedBags: bagsPerMm * pour.profileAllowance,
    };
  });
}

/** @throws Error where the reading is not the depth: `readsDepths` tells. */
export function composeSameDay(subject: PlaceSubject): SheetContent {
  const { job, words } = subject;
  const limits = job.material.depthOn[job.floor.substrate];
  if (!limits) throw new Error(`material ${job.material.id} has no depth over ${job.floor.substrate}`);
  const w = words.sameDay;
  const paper = SMALL_PAPER[job.paper];
  const frame = pageFrame(paper, "portrait");
  const width = frame.widthMm;
  const { pins } = job;
  const unit = job.units.height;
  const shortest = pins.leastCut + (pins.scaleCountsFoot ? 0 : pins.foot);
  const longest = pins.greatestCut + (pins.scaleCountsFoot ? 0 : pins.foot);
  const from = Math.max(limits.least, shortest);
  const to = Math.min(limits.greatest, longest);
  const text = (valueMm: number): string => bothText(height(millimetres(valueMm), unit), words);
  const strip: Block[] = [
    paragraph(w.intro, width, KNEELING),
    list(
      [
        w.least(bothText(limit(limits.least, "least", unit), words)),
        w.greatest(bothText(limit(limits.greatest, "greatest", unit), words)),
        ...(shortest > limits.least ? [w.leastCut(text(shortest))] : []),
        ...(longest < limits.greatest ? [w.longer(text(longest))] : []),
      ],
      width,
      { ...KNEELING, weight: 700 },
    ),
    heading(w.strip, width),
    stripTable(subject, from, to, width),
  ];
  const tally: Block[] = [
    heading(w.tally, width),
    paragraph(
      w.tallyHow(unit === "mm" ? "mm" : w.sixteenth, bothText(limit(limits.least, "least", unit), words)),
      width,
      KNEELING,
    ),
    tallyTable(subject, width),
    paragraph(w.tallyNote(percent(job.pour.lossAllowance, 0).text), width, KNEELING),
    blanks(w.onSite, 100, KNEELING, 12),
  ];
  const pages = [...flowOntoPages(strip, frame.heightMm), ...flowOntoPages(tally, frame.heightMm)];
  return {
    id: "same-day",
    title: words.titles["same-day"],
    sets: ["survey"],
    pages: pages.map((blocks) => ({ paper, orientation: "portrait", blocks })),
  };
}

/** Pairs of reading and cut side by side; each column is read downwards. */
const ABREAST = 4;

function stripTable({ job, words }: PlaceSubject, fromMm: number, toMm: number, width: number): Block {
  const w = words.sameDay;
  const unit = job.units.height;
  const step = stepMm(job);
  // A whole step may come out of the limit's unit a rounding error off.
  const guard = 1e-6;
  const first = Math.ceil(fromMm / step - guard);
  const last = Math.floor(toMm / step + guard);
  const readings = Array.from({ length: Math.max(0, last - first + 1) }, (_, k) => (first + k) * step);
  const rows = Math.ceil(readings.length / ABREAST);
  const foot = job.pins.scaleCountsFoot ? 0 : job.pins.foot;
  const cells = (reading: number | undefined): CellText[] =>
    reading === undefined
      ? [cell("", DEPTH_MM), cell("", DEPTH_MM)]
      : [
          cell(height(millimetres(reading), unit).large.number, DEPTH_MM),
          cell(height(millimetres(reading - foot), unit).small.number, DEPTH_MM, 700),
        ];
  return table(
    w.captionStrip,
    Array.from({ length: ABREAST }, (_, j) => [
      { heading: w.columnsStrip.reading(unit), widthMm: width * 0.11, align: "end" as const, namesRow: j === 0 },
      { heading: w.columnsStrip.cut(unit === "mm" ? "in" : "mm"), widthMm: width * 0.14, align: "end" as const },
    ]).flat(),
    Array.from({ length: rows }, (_, k) => ({
      cells: Array.from({ length: ABREAST }, (__, j) => cells(readings[j * rows + k])).flat(),
    })),
    KNEELING_MM,
  );
}

function tallyTable({ job, plan, words }: PlaceSubject, width: number): Block {
  const { columnsTally: names, captionTally, allRooms } = words.sameDay;
  const rows = tallyRows(job, plan).filter(({ points }) => points > 0);
  const number = (content: string): CellText => cell(content, KNEELING_MM);
  return table(
    captionTally,
    [
      { heading: names.room, widthMm: width * 0.22, namesRow: true },
      { heading: names.sum, widthMm: width * 0.15 },
      { heading: names.points, widthMm: width * 0.12, align: "end" },
      { heading: names.mean, widthMm: width * 0.13 },
      { heading: names.factor, widthMm: width * 0.13, align: "end" },
      { heading: names.fixed, widthMm: width * 0.11, align: "end" },
      { heading: names.bags, widthMm: width * 0.14 },
    ],
    [
      ...rows.map((row) => ({
        cells: [
          number(plan.floors[row.roomIndex]!.name),
          BLANK_CELL,
          number(count(row.points)),
          BLANK_CELL,
          number(decimal(row.bagsEach, 2)),
          number(decimal(row.fixedBags, 1)),
          BLANK_CELL,
        ],
      })),
      {
        cells: [number(allRooms), number(""), number(""), number(""), number(""), number(""), BLANK_CELL],
        sum: true,
      },
    ],
    KNEELING_MM,
    11,
  );
}
