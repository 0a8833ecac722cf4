/** Tables of the pour plan: rate, crew, bays, stops, and what happens when a mixer fails. */
import { bulkLiquid, count, duration, height, longDuration, meteredWater, planLength, volume } from "../../format.ts";
import type { EdgeLimit, FreshEdge, PourPlan } from "../../pour/model.ts";
import { type Litres, type LitresPerMinute, litres, minutes } from "../../units.ts";
import type { ClockSubject } from "../mixing-schedule.ts";
import type { Block } from "../page/blocks.ts";
import { type CellText, cell, DESK, heading, paragraph, table } from "../page/make-blocks.ts";
import { DESK_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";
import { bayFigures } from "./bay-figures.ts";
import { ageText, leftText, rangeText, rateText, startText } from "./pour-text.ts";

/** Whether or not the floor can be poured. */
export type PlanSubject = Omit<ClockSubject, "pour"> & { readonly pour: PourPlan };

export const text = (content: string): CellText => cell(content, DESK_MM);
export const strong = (content: string): CellText => cell(content, DESK_MM, 700);
export const part = (width: number, of: number): number => Math.floor(width * of * 100) / 100;

/** Both units of a length on the floor. */
export function lengthText({ job, words }: Pick<PlanSubject, "job" | "words">, value: number): string {
  const { large, small } = planLength(value, job.units.plan);
  return words.both(large.text, small.text);
}

export function liquidText({ job, words }: Pick<PlanSubject, "job" | "words">, value: Litres): string {
  const { large, small } = bulkLiquid(value, job.units.plan);
  return words.both(large.text, small.text);
}

/** What the flow meter of a pump that mixes by itself is set to, in both units. */
export function meterText({ job, words }: Pick<PlanSubject, "job" | "words">, value: LitresPerMinute): string {
  const { large, small } = meteredWater(value, job.units.plan);
  return words.both(large.text, small.text);
}

export function rateBlocks(subject: PlanSubject, width: number): Block[] {
  const { job, pour, words } = subject;
  const w = words.pourPlan;
  const { pace } = pour;
  const carry = job.crew.pump
    ? [w.rateRows.carryPumped, lengthText(subject, pour.station.farthestCarry)]
    : [
        w.rateRows.carry,
        words.listOf([lengthText(subject, pour.station.farthestCarry), lengthText(subject, pace.farthestCarry)]),
      ];
  const rows: (readonly string[])[] = [
    [w.rateRows.needed, rateText(pace.bagsPerMinuteNeeded)],
    [w.rateRows.have, rateText(pace.bagsPerMinute)],
    [w.rateRows.volume, liquidText(subject, litres(pace.litresPerMinute))],
    [w.rateRows.bottleneck, w.bottlenecks[pace.bottleneck]],
    [w.rateRows.interval, ageText(pace.interval)],
    carry,
    ...(pour.kind === "can-be-poured" ? [[w.rateRows.way, lengthText(subject, pour.way)]] : []),
  ];
  return [
    heading(w.rate, width),
    table(
      w.captionRate,
      [
        { heading: w.rateColumns.what, widthMm: part(width, 0.6), namesRow: true },
        { heading: w.rateColumns.value, widthMm: part(width, 0.4), align: "end" },
      ],
      rows.map(([what, value]) => ({ cells: [text(what as string), strong(value as string)] })),
      DESK_MM,
    ),
  ];
}

/** Where the limit of an edge's age comes from, and the oldest edge of the plan. */
export function edgeBlocks({ pour, words }: PlanSubject, width: number): Block[] {
  const w = words.pourPlan;
  const { least, limit, margin, missing } = pour.edgeLimit;
  const times = timesText(pour.edgeLimit, words);
  const blocks: Block[] = [heading(w.edge, width)];
  if (least !== undefined && limit !== undefined)
    blocks.push(
      paragraph(w.edgeText(times, duration(least).text, duration(margin).text, duration(limit).text), width, DESK),
    );
  else
    blocks.push(
      paragraph([w.edgeMissing(times), ...missing.map((what) => words.doNotMix.missing[what])].join(" "), width, DESK),
    );
  if (pour.kind === "can-be-poured") {
    const oldest = pour.edges.reduce<FreshEdge | undefined>(
      (most, one) => (most && most.age >= one.age ? most : one),
      undefined,
    );
    blocks.push(
      paragraph(
        oldest ? w.edgeOldest(ageText(oldest.age), count(oldest.earlier), count(oldest.later)) : w.edgeNone,
        width,
        DESK,
      ),
    );
  }
  return blocks;
}

const timesText = ({ times }: EdgeLimit, words: Words): string =>
  times.length === 0
    ? words.pourPlan.noTimes
    : words.listOf(
        times.map(({ name, time }) =>
          name === "flow-time"
            ? words.pourPlan.flowTime(duration(time).text)
            : words.pourPlan.healingTime(duration(time).text),
        ),
      );

export function roleBlocks({ job, pour, words }: PlanSubject, width: number): Block[] {
  const w = words.pourPlan;
  const sum = pour.roles.reduce((people, one) => people + one.people, 0);
  return [
    heading(w.roles, width),
    paragraph(w.ofCrew(job.crew.name, words.people(count(job.crew.people))), width, DESK),
    table(
      w.captionRoles,
      [
        { heading: w.roleColumns.role, widthMm: part(width, 0.6), namesRow: true },
        { heading: w.roleColumns.people, widthMm: part(width, 0.4), align: "end" },
      ],
      [
        ...pour.roles.map(({ role, people }) => ({ cells: [text(w.roleNames[role]), text(count(people))] })),
        { cells: [text(w.rolesSum), strong(count(sum))], sum: true },
      ],
      DESK_MM,
    ),
  ];
}

export function bayBlocks(subject: ClockSubject, width: number): Block[] {
  const { job, plan, pour, words } = subject;
  const w = words.pourPlan;
  const unit = job.units.plan;
  const rows = bayFigures(subject).map(({ bay, oldest }) => {
    const [wide, long] = [planLength(bay.width, unit), planLength(bay.length, unit)];
    const depth = height(bay.meanDepth, job.units.height);
    const litre = volume(bay.volume, unit);
    const two = (first: string, second: string): CellText => ({
      runs: [
        { text: first, sizeMm: DESK_MM },
        { text: second, sizeMm: DESK_MM },
      ],
    });
    return {
      cells: [
        strong(count(bay.number)),
        text(plan.floors[bay.roomIndex]?.name ?? ""),
        two(w.by(wide.large.text, long.large.text), w.by(wide.small.text, long.small.text)),
        two(depth.large.text, depth.small.text),
        two(litre.large.text, litre.small.text),
        text(rangeText(bay.firstBatch, bay.lastBatch, words)),
        two(
          startText(job, minutes(Math.floor(bay.begins + 1e-9))),
          startText(job, minutes(Math.floor(bay.ends + 1e-9))),
        ),
        oldest ? two(ageText(oldest.age), leftText(Math.max(0, oldest.margin))) : text(words.clock.none),
      ],
    };
  });
  const sum = volume(litres(pour.bays.reduce((all, bay) => all + bay.volume, 0)), unit);
  const columns = w.bayColumns;
  return [
    heading(w.bays, width),
    table(
      w.captionBays,
      [
        { heading: columns.bay, widthMm: part(width, 0.08), align: "end", namesRow: true },
        { heading: columns.room, widthMm: part(width, 0.14) },
        { heading: columns.size, widthMm: part(width, 0.24), align: "end" },
        { heading: columns.depth, widthMm: part(width, 0.1), align: "end" },
        { heading: columns.volume, widthMm: part(width, 0.115), align: "end" },
        { heading: columns.batches, widthMm: part(width, 0.105), align: "end" },
        { heading: columns.times, widthMm: part(width, 0.125), align: "end" },
        { heading: columns.edge, widthMm: part(width, 0.095), align: "end" },
      ],
      [
        ...rows,
        {
          cells: [
            text(""),
            text(w.baysSum),
            text(""),
            text(""),
            {
              runs: [sum.large, sum.small].map(({ text: said }) => ({
                text: said,
                sizeMm: DESK_MM,
                weight: 700 as const,
              })),
            },
            text(""),
            text(""),
            text(""),
          ],
          sum: true,
        },
      ],
      DESK_MM,
    ),
    paragraph(w.order, width, DESK),
  ];
}

export function stopBlocks({ job, pour, words }: ClockSubject, width: number): Block[] {
  const w = words.pourPlan;
  const columns = w.stopColumns;
  const blocks: Block[] = [heading(w.stops, width)];
  blocks.push(
    table(
      w.captionStops,
      [
        { heading: columns.run, widthMm: part(width, 0.12), align: "end", namesRow: true },
        { heading: columns.before, widthMm: part(width, 0.43) },
        { heading: columns.starts, widthMm: part(width, 0.15), align: "end" },
        { heading: columns.ends, widthMm: part(width, 0.15), align: "end" },
        { heading: columns.bags, widthMm: part(width, 0.15), align: "end" },
      ],
      pour.runs.map((run) => {
        const { before } = run;
        const said =
          before.kind === "start"
            ? w.stopKinds.start
            : w.stopKinds[before.kind](
                before.kind === "lift" ? longDuration(before.minutes) : duration(before.minutes).text,
              );
        return {
          cells: [
            strong(count(run.number)),
            text(run.flushBefore ? words.listOf([said, w.flushed]) : said),
            text(startText(job, minutes(Math.floor(run.starts + 1e-9)))),
            text(startText(job, minutes(Math.floor(run.ends + 1e-9)))),
            text(count(run.bags)),
          ],
        };
      }),
      DESK_MM,
    ),
  );
  if (pour.bagsShortForStops > 0)
    blocks.push(paragraph(w.bagsShort(words.bags(count(pour.bagsShortForStops))), width, DESK));
  return blocks;
}

/** One mixer lost at the worst batch of every bay. */
export function failureBlocks({ pour, words }: ClockSubject, width: number): Block[] {
  const w = words.pourPlan;
  const columns = w.wrongColumns;
  const alone = pour.bays.every(({ mixerFails }) => mixerFails.margin === undefined);
  if (alone) return [heading(w.wrong, width), paragraph(w.oneMixer, width, DESK)];
  return [
    heading(w.wrong, width),
    paragraph(w.wrongText, width, DESK),
    table(
      w.captionWrong,
      [
        { heading: columns.bay, widthMm: part(width, 0.12), align: "end", namesRow: true },
        { heading: columns.batch, widthMm: part(width, 0.18), align: "end" },
        { heading: columns.spare, widthMm: part(width, 0.25), align: "end" },
        { heading: columns.next, widthMm: part(width, 0.45) },
      ],
      pour.bays.map(({ number, mixerFails: { worstBatch, margin, reachesStopLine } }) => ({
        cells: [
          strong(count(number)),
          text(count(worstBatch)),
          text(
            margin === undefined
              ? words.clock.none
              : margin < 0
                ? w.noSpare(ageText(-margin))
                : w.spare(leftText(margin)),
          ),
          text(reachesStopLine ? w.finishBay : w.damAtOnce),
        ],
      })),
      DESK_MM,
    ),
  ];
}
