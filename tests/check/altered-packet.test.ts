import { holdAltered } from "./hold-altered.ts";

holdAltered({
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
    // What was taken for the difference, and from where the stop comes.
    "record.value.difference.assumed",
    "record.value.difference.rooms[].deeperBags",
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
    "targetStudy.value.sure.leaveOneOut",
    "targetStudy.value.sure.volume",
    "targetStudy.value.yieldToleranceKnown",
  ],
});
