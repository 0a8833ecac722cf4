/**
 * The last look before printing: every number that a crew cuts, mixes or orders by is worked out a
 * second time, by other ways and from the job file's own text, and held against what is about to be
 * printed. Shares no code with the rooms that computed it, so that one fault cannot stand in both.
 */
import type { Diagnostic } from "../diagnostics.ts";
import { checkBays } from "./check-bays.ts";
import { checkChanges } from "./check-changes.ts";
import { checkDams } from "./check-dams.ts";
import { checkFigures } from "./check-figures.ts";
import { checkFlatness } from "./check-flatness.ts";
import { checkMixing } from "./check-mixing.ts";
import { checkOrder, checkPins } from "./check-order.ts";
import { checkPour } from "./check-pour.ts";
import { checkBothUnits, checkSheets } from "./check-print.ts";
import { checkLevels, checkPlaces, checkReadings } from "./check-readings.ts";
import { checkRecord } from "./check-record.ts";
import { checkScan } from "./check-scan.ts";
import { checkStation } from "./check-station.ts";
import { checkStatistics } from "./check-statistics.ts";
import { checkSurface, checkVolume } from "./check-surface.ts";
import { checkSurvey, checkSurveyPlan } from "./check-survey.ts";
import { checkTape } from "./check-tape.ts";
import { checkTarget } from "./check-target.ts";
import { type Evidence, gatherDisagreements } from "./evidence.ts";

/** What the sheets that a crew cuts by say otherwise than a packet whose numbers were found to agree. */
export const verifySheets = (evidence: Evidence): Diagnostic[] =>
  gatherDisagreements((disagree) => checkSheets(evidence, disagree));

/** What does not agree; nothing is printed unless this is empty. */
export function verifyPacket(evidence: Evidence): Diagnostic[] {
  return gatherDisagreements((disagree) => {
    checkReadings(evidence, disagree);
    checkPlaces(evidence, disagree);
    checkTape(evidence, disagree);
    checkLevels(evidence, disagree);
    checkScan(evidence, disagree);
    checkSurvey(evidence, disagree);
    checkStatistics(evidence, disagree);
    checkSurveyPlan(evidence, disagree);
    checkSurface(evidence, disagree);
    checkVolume(evidence, disagree);
    checkFigures(evidence, disagree);
    checkPins(evidence, disagree);
    checkOrder(evidence, disagree);
    checkPour(evidence, disagree);
    checkBays(evidence, disagree);
    checkMixing(evidence, disagree);
    checkDams(evidence, disagree);
    checkStation(evidence, disagree);
    checkTarget(evidence, disagree);
    checkFlatness(evidence, disagree);
    checkBothUnits(evidence, disagree);
    checkSheets(evidence, disagree);
    checkRecord(evidence, disagree);
    checkChanges(evidence, disagree);
  });
}
