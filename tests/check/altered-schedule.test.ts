import { holdAltered } from "./hold-altered.ts";

holdAltered({
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
});
