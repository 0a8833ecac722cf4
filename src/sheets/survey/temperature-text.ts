/** When unequal temperature of the hose matters: held against what the floor has to keep. */
import { TRADE_RULE } from "../../conformity/rules.ts";
import { fineHeight } from "../../format.ts";
import type { ContractRule } from "../../job/contract-model.ts";
import type { Job } from "../../job/model.ts";
import type { SurveyReport, TemperatureBound } from "../../survey/model.ts";
import type { Block } from "../page/blocks.ts";
import { DESK, heading, list, signal } from "../page/make-blocks.ts";
import { bothText, type PlaceSubject } from "./point-place.ts";
import { levelText } from "./read-again-rows.ts";

/** From this share of the tolerance an error of the reading is no longer small beside it (common practice). */
const MATTERS_FROM = 1 / 4;
/** Shorter edges lie within one pull of the hose: its temperature does not change along them. */
const LEAST_EDGE_M = 1.5;

/** Tightest figure of the contract over more than an arm's length, mm; undefined where it states none. */
export function tightestToleranceMm({ contract }: Pick<Job, "contract">): number | undefined {
  const figures = (contract.rules ?? []).flatMap(figuresOf);
  return figures.length === 0 ? undefined : Math.min(...figures);
}

function figuresOf(rule: ContractRule): number[] {
  switch (rule.kind) {
    case "straightedge":
      return rule.edge >= LEAST_EDGE_M ? [rule.gap] : [];
    case "level":
      return [rule.plusMinus];
    case "trade-rule":
      return TRADE_RULE[rule.name].parts.flatMap((part) =>
        part.kind === "straightedge" && part.edge >= LEAST_EDGE_M ? [part.gap] : [],
      );
    case "f-numbers":
    case "din-18202":
      return [];
  }
}

/** Against the tolerance; where the contract has none in figures, against the error of one reading. */
export function temperatureMatters({ bound, setUpId }: TemperatureBound, job: Job): boolean {
  const tolerance = tightestToleranceMm(job);
  const sd = job.survey.setUps.find(({ id }) => id === setUpId)?.instrument.readingSd ?? 0;
  return bound >= (tolerance === undefined ? sd : MATTERS_FROM * tolerance);
}

/** What the crew is told: the set-ups whose hose has to come to one temperature before it is read again. */
export const warmHoses = ({ temperatures }: SurveyReport, job: Job): string[] =>
  temperatures.filter((one) => temperatureMatters(one, job)).map(({ setUpId }) => setUpId);

export function temperatureBlocks(subject: PlaceSubject, report: SurveyReport, width: number): Block[] {
  const { job, words } = subject;
  const w = words.surveyReport;
  const { temperatures } = report;
  if (temperatures.length === 0) return [];
  const warm = warmHoses(report, job);
  const tolerance = tightestToleranceMm(job);
  const measure =
    tolerance === undefined
      ? w.temperatureAgainstReading
      : w.temperatureAgainst(bothText(fineHeight(tolerance, job.units.height), words));
  return [
    heading(w.temperatures, width),
    list(
      temperatures.map((one) =>
        w.temperature(one.setUpId, levelText(one.perMetreOfLeg, subject), levelText(one.bound, subject)),
      ),
      width,
      DESK,
    ),
    ...(warm.length === 0
      ? []
      : [signal("caution", words.signal.caution, w.temperatureMatters(words.listOf(warm), measure), width, DESK)]),
  ];
}
