/**
 * Every kind of number of a packet made wrong in turn, where the rooms left it, so that sheets, page and packet.json all
 * say the same wrong thing: the check before printing refuses it, but for the kinds that are named here.
 */
import { describe, expect, test } from "vitest";
import { verifyPacket } from "../../src/check/verify-packet.ts";
import { alterInTurn, evidenceOf, type Room } from "./altered-numbers.ts";

interface Altered {
  readonly jobId: string;
  /** Of these rooms alone, and by packet.json alone; else all that sheets and page say too. */
  readonly rooms?: readonly Room[];
  /** Kinds of printed numbers that are altered at least. */
  readonly kinds: number;
  /** Kinds of which an altered number passes when it alone is wrong. */
  readonly pass: readonly string[];
}

const ALTERED: readonly Altered[] = [
  {
    jobId: "maple-loft-bath",
    kinds: 235,
    pass: [
      // Limits of bands and lines of equal depth, of a floor whose areas and volumes agree.
      "depths.value.bands[].from",
      "depths.value.extrapolatedVolume",
      "depths.value.leastAllowed",
      "depths.value.pins[].checkOnTheDay",
      // Statistics of the adjustment.
      "levels.value.points[].sd",
      "levels.value.report.readings[].redundancy",
      "levels.value.report.setUps[].zeroSd",
      "levels.value.unchecked",
      "slab.value.extrapolatedArea",
      "slab.value.leaveOneOutSd",
      "slab.value.method",
      // What is asked of the substrate, and by whom.
      "record.value.difference.assumed",
      "record.value.difference.rooms[].deeperBags",
      "record.value.readiness.tests[].dimension",
      "record.value.readiness.tests[].greatest",
      "record.value.readiness.tests[].placesTested",
      "record.value.readiness.tests[].requiredBy",
      "record.value.readiness.tests[].results[].judged",
      "record.value.readiness.tests[].test",
      "record.value.readiness.verdict",
      "record.value.stop.from",
      // Places, and which of two ways was taken.
      "schedule.value.bays[].mixerFails.worstBatch",
      "schedule.value.plugs[].at.x",
      "schedule.value.plugs[].at.y",
      "schedule.value.station.at.x",
      "schedule.value.station.at.y",
      "schedule.value.way",
      // Why the top lies where it does, and what another would cost.
      "target.value.placements[].how",
      "target.value.steps[].amount",
      "target.value.steps[].kind",
      "targetStudy.value.bags[].bagsPerMm",
      "targetStudy.value.step",
      "targetStudy.value.sure.leaveOneOut",
      "targetStudy.value.sure.volume",
      "targetStudy.value.tradeOff[].bareArea",
      "targetStudy.value.tradeOff[].deadLoad",
      "targetStudy.value.tradeOff[].ground.volume",
      "targetStudy.value.yieldToleranceKnown",
    ],
  },
  {
    // Two set-ups tied and adjusted: what the account of the survey says.
    jobId: "larkspur-offices",
    rooms: ["levels"],
    kinds: 50,
    pass: [
      "levels.value.covariance.columns",
      "levels.value.covariance.common[]",
      "levels.value.covariance.ownMm2[]",
      "levels.value.covariance.setUpsMm2[]",
      "levels.value.points[].roomIndex",
      "levels.value.points[].sd",
      "levels.value.points[].timesRead",
      "levels.value.report.benchMarks[].given",
      "levels.value.report.benchMarks[].held",
      "levels.value.report.benchMarks[].level",
      "levels.value.report.benchMarks[].normalizedResidual",
      "levels.value.report.closures[].kind",
      "levels.value.report.closures[].sd",
      "levels.value.report.closures[].setUpIds[]",
      "levels.value.report.datum.kind",
      "levels.value.report.global.lower",
      "levels.value.report.global.upper",
      "levels.value.report.readAgain[].asRead",
      "levels.value.report.readAgain[].critical",
      "levels.value.report.readAgain[].effect",
      "levels.value.report.readAgain[].effectBags",
      "levels.value.report.readAgain[].found",
      "levels.value.report.readAgain[].likely",
      "levels.value.report.readAgain[].likelySd",
      "levels.value.report.readAgain[].statistic",
      "levels.value.report.readAgain[].which",
      "levels.value.report.readings[].check.kind",
      "levels.value.report.readings[].level",
      "levels.value.report.setUps[].drift.significant",
      "levels.value.report.setUps[].drift.whole",
      "levels.value.report.setUps[].drift.wholeSd",
      "levels.value.report.setUps[].zeroCorrection",
      "levels.value.report.setUps[].zeroSd",
      "levels.value.report.temperatures[].bound",
      "levels.value.report.temperatures[].perMetreOfLeg",
      "levels.value.report.ties[].greatestSpread",
      "levels.value.report.ties[].setUpIds[]",
      "levels.value.report.ties[].strength",
      "levels.value.unchecked",
    ],
  },
  {
    jobId: "tern-street-clinic",
    rooms: ["schedule"],
    kinds: 105,
    pass: [
      "schedule.value.bays[].from.x",
      "schedule.value.bays[].mixerFails.worstBatch",
      "schedule.value.bays[].stop.timeLeft",
      "schedule.value.joins[].bays[]",
      "schedule.value.leftoverBags",
      "schedule.value.runs[].lift",
      "schedule.value.station.at.y",
      "schedule.value.way",
    ],
  },
];

describe.each(ALTERED)("the packet of $jobId", ({ jobId, rooms, kinds, pass }) => {
  test("is refused for a wrong number of any kind but those named", { timeout: 240_000 }, async () => {
    const sound = await evidenceOf(jobId);
    expect(verifyPacket(sound)).toEqual([]);
    const { printed, missed } = alterInTurn(sound, {
      placesOfAKind: 1,
      ...(rooms ? { rooms, packetAlone: true } : {}),
    });
    expect(printed.size).toBeGreaterThan(kinds);
    expect([...new Set(missed.map(({ pattern }) => pattern))].sort()).toEqual([...pass].sort());
    // All of them were put right again.
    expect(verifyPacket(sound)).toEqual([]);
  });
});
