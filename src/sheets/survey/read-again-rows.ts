/** The list of places to read again, told in words: why, what it likely was, what it does to the order. */
import { decimal, difference, fineHeight, volume } from "../../format.ts";
import type { ReadAgain, ReadingRef, SurveyReport, TypicalSlip } from "../../survey/model.ts";
import type { Words } from "../words/en.ts";
import { bothText, type PlaceSubject } from "./point-place.ts";

export const levelText = (levelMm: number, { job, words }: PlaceSubject): string =>
  bothText(fineHeight(levelMm, job.units.height), words);

function slipText(slip: TypicalSlip, words: Words): string {
  const { slips } = words.surveyReport;
  switch (slip.kind) {
    case "digits-swapped":
      return slips["digits-swapped"](slip.text);
    case "row-shifted":
      return slips["row-shifted"](words.listOf(slip.pointIds));
    default:
      return slips[slip.kind];
  }
}

/** A reading by point and set-up, with what was typed: a point may be read twice from one set-up. */
function readingName({ pointId, setUpId, index, kind }: ReadingRef, { job, words }: PlaceSubject): string {
  if (kind === "zero-check") return words.surveyReport.readingOf(words.surveyReport.zeroMark, setUpId, "");
  const typed = job.survey.setUps.find(({ id }) => id === setUpId)?.readings[index]?.typed;
  return words.surveyReport.readingOf(pointId, setUpId, typed ? `${typed.text} ${typed.unit}` : "");
}

/** Why a place is on the list, line by line. */
export function whyLines(one: ReadAgain, subject: PlaceSubject): string[] {
  const { job, words } = subject;
  const report = words.surveyReport;
  const [first, ...others] = one.readings;
  const lines = [
    report.found[one.found](first?.setUpId ?? "", decimal(Math.abs(one.statistic), 1), decimal(one.critical, 1)),
  ];
  if (one.which === "any-of-them" && others.length > 0) {
    lines.push(report.anyOf(words.listOf(one.readings.map((ref) => readingName(ref, subject)))));
  }
  if (one.orGivenLevel) lines.push(report.orMark(one.pointId));
  if (one.typicalSlip) lines.push(slipText(one.typicalSlip, words));
  if (one.effect !== undefined && one.effectBags !== undefined) {
    const { large, small } = volume(one.effect, job.units.plan);
    lines.push(report.effect(words.both(large.text, small.text), difference(one.effectBags, 1)));
  }
  return lines;
}

/** What the likely true reading was, in the unit and on the side of the sheet that the crew wrote. */
export function asOnTheSheet(
  one: ReadAgain,
  { job, words }: PlaceSubject,
): { readonly was: string; readonly likely: string } | undefined {
  const ref = one.readings[0];
  const reading = job.survey.setUps.find(({ id }) => id === ref?.setUpId)?.readings[ref?.index ?? -1];
  if (ref?.kind !== "reading" || !reading) return undefined;
  const { unit, side, zeroMm = 0 } = reading.typed;
  const likely = reading.level + (reading.reducedBy ?? 0) + one.likely - one.asRead;
  const onSide = side === "below" ? -likely : likely;
  return {
    was: `${reading.typed.text} ${unit}`,
    likely:
      unit === "m" || unit === "ft"
        ? `${decimal((onSide + zeroMm) / (unit === "m" ? 1000 : 304.8), 4)} ${unit}`
        : bothText(fineHeight(onSide + zeroMm, unit), words),
  };
}

/** Readings that count, with what the list and the map need of each. */
export const usedReadings = ({ readings }: SurveyReport) => readings.filter((one) => one.kind === "used");
export type UsedReading = ReturnType<typeof usedReadings>[number];
