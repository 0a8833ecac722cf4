/** Where the top of the pour goes, for the GC: how it came about, what another would cost, how sure the order is. */
import { type BothUnits, decimal, fall, fineHeight, interval, planLength, smallArea, volume } from "../format.ts";
import type { Job, PlanUnit } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Quantities } from "../quantities/model.ts";
import { facetsOf } from "../target/drain-falls.ts";
import type { Meet, Placement, Target, TargetStep, TargetZone } from "../target/model.ts";
import type { GrindingTrial } from "../target/relax.ts";
import type { Transition } from "../target/transitions.ts";
import type { Millimetres } from "../units.ts";
import type { SheetContent, TargetFindings } from "./model.ts";
import { riskBlocks } from "./order-risk.ts";
import type { Block } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import { type CellText, cell, DESK, drawingBlock, heading, list, paragraph, table } from "./page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { tradeOffPlot } from "./trade-off-plot.ts";
import { tradeOffTable } from "./trade-off-table.ts";
import { DESK_MM } from "./type/type-sizes.ts";
import { bindingText, trialText } from "./wish-text.ts";
import type { Words } from "./words/en.ts";

export interface TopSubject {
  readonly job: Job;
  readonly plan: Plan;
  readonly target: Target;
  readonly quantities: Quantities;
  readonly study: TargetFindings;
  readonly greatestAllowed: Millimetres | undefined;
  readonly words: Words;
}

const text = (content: string): CellText => cell(content, DESK_MM);
const strong = (content: string): CellText => cell(content, DESK_MM, 700);
const pair = ({ large, small }: BothUnits): [CellText, CellText] => [text(large.text), text(small.text)];
const bothIn =
  (words: Words) =>
  ({ large, small }: BothUnits): string =>
    words.both(large.text, small.text);

const roomNames = ({ plan, words }: TopSubject, roomIndices: readonly number[]): string =>
  words.listOf(roomIndices.map((index) => plan.floors[index]!.name));

export function composeTopOfPour(subject: TopSubject): SheetContent {
  const { job, words } = subject;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const blocks: Block[] = [
    ...stepBlocks(subject, width),
    ...drainBlocks(subject, width),
    ...bindingBlocks(subject, width),
    ...tradeOffBlocks(subject, width),
    ...doorBlocks(subject, width),
    ...meetBlocks(subject, width),
    ...riskBlocks(subject, width),
    paragraph(words.planningAid, width, DESK),
  ];
  return flowSheet("top-of-pour", words, ["gc"], paper, blocks);
}

export const targetStepText = (step: TargetStep, words: Words): string =>
  words.topOfPour.steps[step.kind](step.name ?? "");

/** A fall of less than this, in mm/m, prints as nothing. */
const LEAST_FALL = 0.05;

/** Which way the top falls: `fallEast` above nothing rises to the east, so it falls to the west. */
export function fallsText(
  { fallEast, fallNorth }: Pick<TargetZone, "fallEast" | "fallNorth">,
  plan: PlanUnit,
  words: Words,
): string {
  const { sides, fallTo, falls } = words.topOfPour;
  const part = (rise: number, falling: string, rising: string): string[] => {
    if (Math.abs(rise) < LEAST_FALL) return [];
    const { large, small } = fall(Math.abs(rise), plan);
    return [fallTo(words.both(large.text, small.text), rise > 0 ? falling : rising)];
  };
  const parts = [...part(fallEast, sides.west, sides.east), ...part(fallNorth, sides.south, sides.north)];
  return falls(words.listOf(parts));
}

function stepBlocks(subject: TopSubject, width: number): Block[] {
  const { job, target, words } = subject;
  const w = words.topOfPour;
  const rows = target.zones.flatMap((zone, index) => {
    const steps = target.placements?.[index]?.steps ?? target.steps;
    const isLevel = Math.abs(zone.fallEast) < LEAST_FALL && Math.abs(zone.fallNorth) < LEAST_FALL;
    const whole = target.zones.length === 1 ? w.top : w.topOf(roomNames(subject, zone.roomIndices));
    const name = zone.drain ? w.alongWalls(whole) : whole;
    return [
      ...steps.map((step) => ({
        cells: [text(targetStepText(step, words)), ...pair(fineHeight(step.amount, job.units.height))],
      })),
      {
        cells: [
          strong(isLevel ? name : `${name}, ${fallsText(zone, job.units.plan, words)}`),
          ...pair(fineHeight(zone.top, job.units.height)),
        ],
        sum: true,
      },
    ];
  });
  return [
    heading(w.stepsTitle, width),
    table(
      w.captionSteps,
      [
        { heading: w.columnsSteps.step, widthMm: width * 0.56, namesRow: true },
        { heading: w.columnsSteps.amount, widthMm: width * 0.22, align: "end" },
        { heading: w.columnsSteps.other, widthMm: width * 0.22, align: "end" },
      ],
      rows,
      DESK_MM,
    ),
  ];
}

/** How each plane falls to a drain: nothing where no zone has one. */
function drainBlocks(subject: TopSubject, width: number): Block[] {
  const { job, plan, target, words } = subject;
  const w = words.topOfPour;
  const both = bothIn(words);
  return target.zones.flatMap((zone): Block[] => {
    if (zone.drain === undefined) return [];
    const { name, walls } = plan.floors[zone.roomIndices[0]!]!;
    const height = (value: Millimetres): string => both(fineHeight(value, job.units.height));
    return [
      heading(w.drainTitle(name), width, 3),
      paragraph(
        w.drainNote(height(zone.top), height(zone.drain.drop), height(zone.top - zone.drain.drop)),
        width,
        DESK,
      ),
      table(
        w.captionDrain(name),
        [
          { heading: w.columnsDrain.wall, widthMm: width * 0.4, namesRow: true },
          { heading: w.columnsDrain.away, widthMm: width * 0.3, align: "end" },
          { heading: w.columnsDrain.fall, widthMm: width * 0.3, align: "end" },
        ],
        facetsOf(zone.drain).map((facet) => {
          const { side, ordinal, onlyOne } = walls[facet.wall]!;
          return {
            cells: [
              text(words.wall(side, ordinal, onlyOne)),
              text(both(planLength(facet.distance, job.units.plan))),
              text(both(fall(facet.fall, job.units.plan))),
            ],
          };
        }),
        DESK_MM,
      ),
    ];
  });
}

function bindingBlocks(subject: TopSubject, width: number): Block[] {
  const { target, words } = subject;
  const w = words.topOfPour;
  const placements = target.placements ?? [];
  const items = placements.flatMap((placement, index) => placementItems(subject, placement, target.zones[index]!));
  const bound = placements.some(({ how }) => how !== "given");
  return [heading(w.bindingTitle, width), bound ? list(items, width, DESK) : paragraph(w.nothingBinds, width, DESK)];
}

function placementItems(subject: TopSubject, placement: Placement, zone: TargetZone): string[] {
  const { job, study, target, words } = subject;
  const w = words.topOfPour;
  const material = zone.material ?? job.material;
  const how = w.placed[placement.how];
  return [
    target.zones.length === 1 ? how : w.placedIn(roomNames(subject, zone.roomIndices), how),
    ...(placement.cost
      ? [
          w.split(
            bothIn(words)(volume(placement.volume, job.units.plan)),
            bothIn(words)(volume(placement.ground.volume, job.units.plan)),
            bothIn(words)(smallArea(placement.ground.area, job.units.plan)),
            bothIn(words)(fineHeight(placement.ground.height, job.units.height)),
          ),
          w.cost(decimal(placement.cost.total, 0), decimal(placement.cost.bound, 0)),
        ]
      : []),
    ...placement.binding
      .filter(({ wish }) => placement.how !== "lowest-level" || wish.kind !== "greatest-fall")
      .map((binding) => bindingText(subject, binding, material, study.step)),
    ...distinctTrials(placement.trials).map((trial) => trialText(subject, trial, material)),
  ];
}

/** Several places may bind on one high spot: grinding it is one thing, and told once. */
function distinctTrials(trials: readonly GrindingTrial[]): readonly GrindingTrial[] {
  const isSame = (a: GrindingTrial, b: GrindingTrial): boolean =>
    a.height === b.height && Math.abs(a.savedVolume - b.savedVolume) <= 1e-6 * Math.abs(a.savedVolume);
  return trials.filter(
    (trial, index) => trial.savedVolume > 0 && trials.findIndex((other) => isSame(trial, other)) === index,
  );
}

function tradeOffBlocks(subject: TopSubject, width: number): Block[] {
  const { job, study, words } = subject;
  const w = words.topOfPour;
  const both = bothIn(words);
  const step = both(interval(study.step, job.units.height));
  const perStep = (bagsPerMm: number): string => decimal(bagsPerMm * study.step, 1);
  const sensitivity = study.bags.map(({ material, bagsPerMm }) =>
    study.bags.length === 1
      ? w.sensitivity(perStep(bagsPerMm), step)
      : w.sensitivityOf(material.name, perStep(bagsPerMm), step),
  );
  return [
    heading(w.tradeOffTitle, width),
    paragraph([w.tradeOffNote(step), ...sensitivity].join(" "), width, DESK),
    drawingBlock(tradeOffPlot("trade-off", job, study, words, width)),
    ...tradeOffTable(subject, width),
  ];
}

/** A step is said from who leaves: down where the finish here is the higher one. */
function stepText(step: number, { job, words }: TopSubject): string {
  const w = words.topOfPour;
  const size = bothIn(words)(fineHeight(Math.abs(step), job.units.height));
  // A tenth of a millimetre is the finest that is printed.
  if (Math.abs(step) < 0.05) return w.stepNone(size);
  return step > 0 ? w.stepDown(size) : w.stepUp(size);
}

function doorBlocks(subject: TopSubject, width: number): Block[] {
  const { job, plan, target, study, words } = subject;
  const w = words.topOfPour;
  const both = bothIn(words);
  const level = (value: number): CellText => text(both(fineHeight(value, job.units.height)));
  const takes = ({ doorId, kind }: Transition): string => {
    const meet = target.meets?.find((one) => one.doorId === doorId)?.how;
    if (meet?.kind === "ramp" || meet?.kind === "feather") return w.meets[meet.kind](meet.material.name);
    if (kind.kind === "flush") return w.takes.flush;
    if (kind.kind === "vertical") return w.takes.vertical;
    return w.takes[kind.kind](both(planLength(kind.length, job.units.plan)));
  };
  const bare = study.bareRooms.map((index) => plan.floors[index]!.name);
  return [
    heading(w.doorsTitle, width),
    ...(study.transitions.length === 0
      ? [paragraph(w.doorsNone, width, DESK)]
      : [
          table(
            w.captionDoors,
            [
              { heading: w.columnsDoors.door, widthMm: width * 0.1, namesRow: true },
              { heading: w.columnsDoors.here, widthMm: width * 0.19 },
              { heading: w.columnsDoors.beyond, widthMm: width * 0.19 },
              { heading: w.columnsDoors.step, widthMm: width * 0.22 },
              { heading: w.columnsDoors.takes, widthMm: width * 0.3 },
            ],
            study.transitions.map((transition) => {
              const { step, stepAtOtherJamb } = transition;
              const twisted = Math.abs(step - stepAtOtherJamb) >= 0.05;
              const stepCell: CellText = {
                runs: [
                  { text: stepText(step, subject), sizeMm: DESK_MM },
                  ...(twisted ? [{ text: w.otherJamb(stepText(stepAtOtherJamb, subject)), sizeMm: DESK_MM }] : []),
                ],
              };
              return {
                cells: [
                  strong(transition.doorId),
                  level(transition.finish),
                  level(transition.neighbourFinish),
                  stepCell,
                  text(takes(transition)),
                ],
              };
            }),
            DESK_MM,
          ),
          paragraph(w.doorsSource, width, DESK),
          ...(bare.length > 0 ? [paragraph(w.bareRooms(words.listOf(bare)), width, DESK)] : []),
        ]),
  ];
}

function meetBlocks({ job, target, words }: TopSubject, width: number): Block[] {
  const meets = target.meets ?? [];
  if (meets.length === 0) return [];
  const w = words.topOfPour;
  const both = bothIn(words);
  const row = ({ doorId, step, how }: Meet): { cells: CellText[] } => {
    const size = text(both(fineHeight(step, job.units.height)));
    if (how.kind === "level") return { cells: [strong(doorId), text(w.meets.level), size, text(""), text("")] };
    const length = text(both(planLength(how.length, job.units.plan)));
    if (how.kind === "step") return { cells: [strong(doorId), text(w.meets.step), size, length, text("")] };
    return {
      cells: [
        strong(doorId),
        text(w.meets[how.kind](how.material.name)),
        size,
        length,
        text(both(volume(how.volume, job.units.plan))),
      ],
    };
  };
  return [
    heading(w.meetsTitle, width),
    table(
      w.captionMeets,
      [
        { heading: w.columnsMeets.door, widthMm: width * 0.1, namesRow: true },
        { heading: w.columnsMeets.how, widthMm: width * 0.33 },
        { heading: w.columnsMeets.step, widthMm: width * 0.19, align: "end" },
        { heading: w.columnsMeets.length, widthMm: width * 0.19, align: "end" },
        { heading: w.columnsMeets.volume, widthMm: width * 0.19, align: "end" },
      ],
      meets.map(row),
      DESK_MM,
    ),
  ];
}
