/** What is done before the pour: the days before, dams and strip and plugs, logistics. */
import { clockDay, clockTime, count, decimal, floorLoad, height, longDuration, power } from "../../format.ts";
import type { PrepStep } from "../../pour/model.ts";
import { litres, type Minutes } from "../../units.ts";
import type { Block } from "../page/blocks.ts";
import { BLANK_CELL, DESK, heading, list, paragraph, table } from "../page/make-blocks.ts";
import { DESK_MM } from "../type/type-sizes.ts";
import { lengthText, liquidText, meterText, type PlanSubject, part, strong, text } from "./plan-tables.ts";

/** A working day is taken to end at 17:00, and none to begin before 5:00 (our own choice, printed with the deadlines). */
const DAY_ENDS: Minutes = 17 * 60;
const DAY_BEGINS: Minutes = 5 * 60;

/** Minutes from the end of the working day to a moment in the night after it; 0 by day. */
function minutesIntoNight(start: string, before: Minutes): Minutes {
  const [hours, minutes] = clockTime(start, -before).text.split(":").map(Number) as [number, number];
  const ofDay = hours * 60 + minutes;
  if (ofDay > DAY_ENDS) return ofDay - DAY_ENDS;
  return ofDay < DAY_BEGINS ? ofDay + 24 * 60 - DAY_ENDS : 0;
}

/** Steps with who and by when, counted back from the first powder: the day and time where the start is fixed. */
export function dayBlocks({ job, pour, words }: PlanSubject, width: number): Block[] {
  const w = words.pourPlan;
  const { start } = job.pour;
  const hours = (minutes: Minutes): string => w.hours(decimal(minutes / 60, minutes % 60 === 0 ? 0 : 1));
  const at = (minutes: Minutes): string => (start === undefined ? w.before(hours(minutes)) : clockDay(start, -minutes));
  /** By daylight, unless that would be too early. */
  const deadline = ({ doneBefore, notBefore }: PrepStep): string => {
    if (start === undefined) return at(doneBefore);
    const byDay = doneBefore + minutesIntoNight(start, doneBefore);
    return at(notBefore !== undefined && byDay > notBefore ? doneBefore : byDay);
  };
  const when = (step: PrepStep): string =>
    words.listOf([
      deadline(step),
      ...(step.notBefore === undefined ? [] : [w.notBefore(at(step.notBefore))]),
      ...(step.timeUnknown ? [w.timeUnknown] : []),
    ]);
  const columns = w.dayColumns;
  return [
    heading(w.days, width),
    table(
      w.captionDays,
      [
        { heading: columns.step, widthMm: part(width, 0.42), namesRow: true },
        { heading: columns.who, widthMm: part(width, 0.18) },
        { heading: columns.by, widthMm: part(width, 0.28) },
        { heading: columns.done, widthMm: part(width, 0.12) },
      ],
      pour.daysBefore.map((step) => ({
        cells: [text(w.steps[step.step]), text(w.who[step.who]), text(when(step)), BLANK_CELL],
      })),
      DESK_MM,
    ),
    ...(start === undefined ? [] : [paragraph(w.daysNote, width, DESK)]),
  ];
}

export function damBlocks(subject: PlanSubject, width: number): Block[] {
  const { job, plan, pour, words } = subject;
  const w = words.pourPlan;
  const columns = w.damColumns;
  const deep = (value: number): string => {
    const { large, small } = height(value, job.units.height);
    return words.both(large.text, small.text);
  };
  const said = [
    w.strip(lengthText(subject, pour.perimeterStrip)),
    ...pour.plugs.map(({ id, depth }) => w.plug(id, deep(depth))),
  ];
  if (pour.kind === "can-be-poured") {
    for (const join of pour.joins)
      if (join.kind === "door" && join.how === "poured-through")
        said.push(w.through(join.doorId, count(join.bays[0]), count(join.bays[1])));
  }
  const blocks: Block[] = [heading(w.dams, width)];
  if (pour.dams.length === 0) blocks.push(paragraph(w.noDams, width, DESK));
  else {
    const sum = pour.dams.reduce((all, { length }) => all + length, 0);
    blocks.push(
      table(
        w.captionDams,
        [
          { heading: columns.where, widthMm: part(width, 0.3), namesRow: true },
          { heading: columns.why, widthMm: part(width, 0.26) },
          { heading: columns.length, widthMm: part(width, 0.24), align: "end" },
          { heading: columns.height, widthMm: part(width, 0.2), align: "end" },
        ],
        pour.dams.map(({ id, why, roomIndex, length, height: high }) => ({
          cells: [
            text(words.listOf([id, plan.floors[roomIndex]?.name ?? ""])),
            text(w.damKinds[why]),
            text(lengthText(subject, length)),
            text(deep(high)),
          ],
        })),
        DESK_MM,
      ),
      paragraph(w.damsSum(count(pour.dams.length), lengthText(subject, sum)), width, DESK),
    );
  }
  return [...blocks, list(said, width, DESK)];
}

/** How the bags come up by the building's lift: trips with their time, what goes in at a time, and how far it stands. */
function liftRows({ job, pour: { logistics }, words }: PlanSubject): (readonly [string, string])[] {
  const { goodsLift } = logistics;
  if (!goodsLift) return [];
  const w = words.pourPlan;
  const bags = words.bags(count(goodsLift.bagsATrip));
  return [
    [w.logisticsRows.goodsLift, w.liftTrips(count(goodsLift.trips), longDuration(goodsLift.time))],
    [
      w.logisticsRows.liftLoad,
      goodsLift.palletsATrip > 0 ? w.wholePallets(count(goodsLift.palletsATrip), bags) : w.brokenDown(bags),
    ],
    ...(goodsLift.way === undefined
      ? []
      : ([[w.logisticsRows.liftWay, lengthText({ job, words }, goodsLift.way)]] as const)),
  ];
}

export function logisticsBlocks(subject: PlanSubject, width: number): Block[] {
  const { job, pour, words } = subject;
  const w = words.pourPlan;
  const rows = w.logisticsRows;
  const { logistics, station } = pour;
  const load = floorLoad(logistics.palletLoad, job.units.plan);
  const values: (readonly [string, string])[] = [
    [rows.station, w.stationAt(station.exitId, station.placed === "by-job" ? w.byJob : w.byPlan)],
    [rows.pallets, count(logistics.pallets.length)],
    [rows.palletLoad, words.both(load.large.text, load.small.text)],
    [rows.water, liquidText(subject, logistics.waterTotal)],
    [rows.waterRate, liquidText(subject, litres(logistics.waterRate))],
    [
      rows.power,
      logistics.power === undefined
        ? w.powerUnknown
        : words.both(
            power(logistics.power).text,
            logistics.mixersRunning === 0 ? w.pumpRuns : w.mixersRunning(count(logistics.mixersRunning)),
          ),
    ],
    [logistics.hoseNeeded === undefined ? rows.carry : rows.hose, lengthText(subject, logistics.longestCarry)],
    ...(logistics.startingWaste === undefined
      ? []
      : ([[rows.waste, liquidText(subject, logistics.startingWaste)]] as const)),
    ...(pour.pace.flowMeter === undefined
      ? []
      : ([[rows.flowMeter, meterText(subject, pour.pace.flowMeter)]] as const)),
    ...liftRows(subject),
    [rows.washout, w.washoutText],
  ];
  const placed = logistics.pallets.filter(({ at }) => at !== undefined);
  return [
    heading(w.logistics, width),
    ...(logistics.holdStaging ? [paragraph(`${words.hold}: ${w.holdStaging}`, width, { ...DESK, weight: 700 })] : []),
    table(
      w.captionLogistics,
      [
        { heading: w.rateColumns.what, widthMm: part(width, 0.45), namesRow: true },
        { heading: w.rateColumns.value, widthMm: part(width, 0.55) },
      ],
      values.map(([what, value]) => ({ cells: [text(what), strong(value)] })),
      DESK_MM,
    ),
    ...(placed.length > 0
      ? [
          list(
            placed.map(({ number, firstBag, lastBag }) => w.palletAt(count(number), count(firstBag), count(lastBag))),
            width,
            DESK,
          ),
        ]
      : []),
  ];
}
