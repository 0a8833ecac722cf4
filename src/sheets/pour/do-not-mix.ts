/** The pour clock of a floor that this crew cannot pour: the reasons, and what would do. Nothing to mix by. */
import { area, bulkLiquid, count, duration, elapsed, longDuration, planLength, smallArea } from "../../format.ts";
import { distance } from "../../geometry/point.ts";
import type { Job } from "../../job/model.ts";
import type { Plan } from "../../layout/model.ts";
import type { CannotReason, Measure, PlannedDam, UnpourablePlan } from "../../pour/model.ts";
import { litres, metres } from "../../units.ts";
import type { SheetContent } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import { flowSheet } from "../page/flow-sheet.ts";
import { figures, heading, list, paragraph, READING, signal } from "../page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { KEY_VALUE_MM, READING_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";
import { linePlace } from "./bay-places.ts";
import { ageText, leftText, rateText, wallText } from "./pour-text.ts";

export interface UnpourableSubject {
  readonly job: Job;
  readonly plan: Plan;
  readonly pour: UnpourablePlan;
  readonly words: Words;
}

export function composeDoNotMix(subject: UnpourableSubject): SheetContent {
  const { job, pour, words } = subject;
  const { doNotMix } = words;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const { bagsPerMinuteNeeded: needed, bagsPerMinute: have } = pour.pace;
  const blocks: Block[] = [
    heading(doNotMix.title, width),
    signal("notice", words.hold, doNotMix.text(job.crew.name), width),
    figures(
      [
        { label: doNotMix.rates.needed, value: rateText(needed) },
        { label: doNotMix.rates.have, value: rateText(have) },
        { label: doNotMix.rates.takes, value: elapsed(pour.duration) },
      ],
      width,
      3,
      KEY_VALUE_MM,
      READING_MM,
    ),
    heading(doNotMix.why, width),
    list(reasonTexts(subject), width, READING),
    heading(doNotMix.would, width),
    ...remedyBlocks(subject, width),
    paragraph(words.planningAid, width, READING),
  ];
  return flowSheet("mixing-schedule", words, ["crew"], paper, blocks);
}

/** Why it cannot be poured, each reason a sentence. */
export function reasonTexts({ job, plan, pour, words }: UnpourableSubject): string[] {
  const { doNotMix } = words;
  const room = (index: number): string => plan.floors[index]?.name ?? "";
  const length = (value: number): string => {
    const { large, small } = planLength(metres(value), job.units.plan);
    return words.both(large.text, small.text);
  };
  const said = pour.reasons.map((reason) => reasonText(reason, room, length, words));
  if (pour.tooSlow) {
    const [covers, lane] = [smallArea(pour.areaInFlowTime, job.units.plan), area(pour.laneArea, job.units.plan)];
    said.push(
      doNotMix.tooSlow(
        room(pour.tightestRoomIndex),
        words.both(covers.large.text, covers.small.text),
        words.both(lane.large.text, lane.small.text),
        duration(job.material.flowTime).text,
      ),
    );
  }
  return said;
}

function reasonText(
  reason: CannotReason,
  room: (index: number) => string,
  length: (metres: number) => string,
  words: Words,
): string {
  const { doNotMix } = words;
  switch (reason.kind) {
    case "edge-late":
      return doNotMix.edgeLate(
        room(reason.roomIndex),
        length(reason.laneLength),
        length(reason.laneWidth),
        ageText(reason.age),
        leftText(reason.limit),
      );
    case "no-order":
      return doNotMix.noOrder(room(reason.roomIndex));
    case "longer-than-a-day":
      return doNotMix.longerThanADay(longDuration(reason.duration), longDuration(reason.longest));
    case "time-missing":
      return doNotMix.missing[reason.what];
    case "hose-too-short":
      return doNotMix.hose(length(reason.needed), length(reason.hose));
    case "bag-over-lifts":
      return doNotMix.bagOverLifts(count(reason.lifts), words.bags(count(reason.bags)));
  }
}

/** What would do, or that nothing that was tried does. */
export function remedyBlocks(subject: UnpourableSubject, width: number, type = READING): Block[] {
  const { pour, words } = subject;
  const { doNotMix } = words;
  if (pour.remedies.length > 0) return [list(remedyTexts(subject), width, type)];
  const timesMissing = pour.reasons.some(({ kind }) => kind === "time-missing");
  return [paragraph(timesMissing ? doNotMix.readTimes : doNotMix.nothing, width, type)];
}

export const remedyTexts = ({ job, plan, pour, words }: UnpourableSubject): string[] =>
  pour.remedies.map(({ measures, duration: takes, bays }) => {
    const named = measures.map((measure) => measureText(job, plan, measure, words)).join(words.doNotMix.and);
    return words.doNotMix.remedy(
      `${named.slice(0, 1).toUpperCase()}${named.slice(1)}`,
      words.bays(count(bays)),
      longDuration(takes),
    );
  });

/** So many dams are told by their place; what follows is told by its number. */
const DAMS_TOLD = 8;

/** Where dams would go: each square from a wall of its room. */
function damPlaces(job: Job, plan: Plan, dams: readonly PlannedDam[], words: Words): string {
  const { doNotMix, both } = words;
  const told = dams.slice(0, DAMS_TOLD).map(({ roomIndex, from, to }) => {
    const room = plan.floors[roomIndex]?.name ?? "";
    const at = linePlace(plan, roomIndex, from, to);
    if (!at) return doNotMix.damAcross(room);
    const { large, small } = planLength(at.distance, job.units.plan);
    const wall = wallText(plan, roomIndex, at.wallIndex, words);
    return doNotMix.damAt(room, doNotMix.damFrom(both(large.text, small.text), wall));
  });
  if (dams.length > DAMS_TOLD) told.push(doNotMix.moreDams(count(dams.length - DAMS_TOLD)));
  return told.join("; ");
}

function measureText(job: Job, plan: Plan, measure: Measure, words: Words): string {
  const { doNotMix, both } = words;
  const length = (value: number): string => {
    const { large, small } = planLength(metres(value), job.units.plan);
    return both(large.text, small.text);
  };
  switch (measure.kind) {
    case "ways-out":
      return doNotMix.waysOut(measure.doorIds.join(", "));
    case "mixers":
      return doNotMix.mixers(count(measure.mixers));
    case "pump": {
      const { large, small } = bulkLiquid(litres(measure.rate), job.units.plan);
      return doNotMix.pump(both(large.text, small.text), length(measure.laneWidth));
    }
    case "dams":
      return doNotMix.dams(
        count(measure.dams.length),
        length(measure.dams.reduce((sum, { from, to }) => sum + distance(from, to), 0)),
        damPlaces(job, plan, measure.dams, words),
      );
    case "days":
      return doNotMix.days(count(measure.days));
  }
}
