/** What the office is told about the plan: that the floor cannot be poured, and what the crew lead should know. */
import type { Diagnostic } from "../diagnostics.ts";
import { area, count, duration, longDuration, planLength } from "../format.ts";
import type { Job, Room } from "../job/model.ts";
import { peopleIn } from "./crew-pace.ts";
import type { CannotReason, Measure, PourPlan } from "./model.ts";

export function warningsOf(job: Job, plan: PourPlan): Diagnostic[] {
  const { crew, pour, source } = job;
  const ofCrew = crew.place ?? source.place(["crew"]);
  const warnings: Diagnostic[] = [];
  if (plan.kind === "cannot-be-poured") {
    const helps = plan.remedies.map(({ measures, duration: takes }) => `${inWords(measures)}, ${longDuration(takes)}`);
    warnings.push({
      code: "cannot-be-poured",
      severity: "warning",
      message: `crew ${crew.id} cannot pour this floor: ${reasonsInWords(job, plan.reasons)}; mixing alone would take ${longDuration(plan.duration)}`,
      expected: `every fresh edge renewed ${plan.edgeLimit.limit === undefined ? "within the data sheet's times" : `within ${duration(plan.edgeLimit.limit).text}`}, and the pour done in a day`,
      hint: helps.length > 0 ? `planned through, this would do: ${helps.join("; or ")}` : cure(plan.reasons),
      place: ofCrew,
    });
    if (plan.tooSlow) warnings.push(slowerThanALane(job, plan));
  }
  if (plan.bagsShortForStops > 0) {
    warnings.push({
      code: "no-bags-for-stops",
      severity: "warning",
      message: `the last batch before every rest and move is cut to what is left: that takes ${count(plan.bagsShortForStops)} bags more than are ordered, so the pour is planned without a stop`,
      expected: "an order that holds them",
      hint: "raise loss under pour, or leave the rest to be taken by turns",
      place: ofCrew,
    });
  }
  const people = peopleIn(plan.roles);
  if (people > crew.people) {
    warnings.push({
      code: "too-few-people",
      severity: "warning",
      message: `crew ${crew.id} has ${count(crew.people)} people, and ${count(people)} are needed to mix, carry, rake and smooth at its pace`,
      expected: `${count(people)} people, or fewer mixers`,
      place: ofCrew,
    });
  }
  if (!crew.pump && plan.station.farthestCarry > plan.pace.farthestCarry) {
    const far = planLength(plan.station.farthestCarry, job.units.plan).large.text;
    const allows = planLength(plan.pace.farthestCarry, job.units.plan).large.text;
    warnings.push({
      code: "carried-too-far",
      severity: "warning",
      message: `material is carried up to ${far} from the mixing station, and the barrel's cycle of ${duration(crew.barrelCycle).text} holds ${allows} there and back`,
      expected: "a station nearer to the far rooms, or a longer cycle",
      hint: "give station under pour, or the cycle as timed on site",
      place: pour.station ? source.place(["pour", "station"]) : ofCrew,
    });
  }
  if (plan.goNoGo.primerLatestStart !== undefined && plan.goNoGo.primerLatestStart <= 0) {
    warnings.push({
      code: "primer-closes",
      severity: "warning",
      message: `the pour takes ${longDuration(plan.duration)}, longer than the primer's open time of ${longDuration(plan.goNoGo.primerOpen as number)}`,
      expected: "the last batch placed inside the primer's open time",
      hint: "prime room by room, or ask the maker",
      place: job.primer.place ?? source.place(["primer"]),
    });
  }
  return warnings;
}

function reasonsInWords(job: Job, reasons: readonly CannotReason[]): string {
  const late = reasons.filter((reason) => reason.kind === "edge-late");
  const worst = late.reduce<(typeof late)[0] | undefined>((w, r) => (w && w.age >= r.age ? w : r), undefined);
  const others = reasons.filter((reason) => reason.kind !== "edge-late");
  const said = others.map((reason) => reasonInWords(job, reason));
  if (worst) {
    const where =
      late.length > 1
        ? `in ${count(late.length)} rooms, worst in ${roomId(job, worst.roomIndex)},`
        : `in room ${roomId(job, worst.roomIndex)}`;
    const length = planLength(worst.laneLength, job.units.plan).large.text;
    const width = planLength(worst.laneWidth, job.units.plan).large.text;
    said.unshift(
      `${where} the edge of a lane ${length} long and only ${width} wide would be ${duration(worst.age).text} old before it is renewed, against ${duration(worst.limit).text}`,
    );
  }
  return said.join("; ");
}

const roomId = (job: Job, index: number): string => (job.rooms[index] as Room).id;

function reasonInWords(job: Job, reason: Exclude<CannotReason, { kind: "edge-late" }>): string {
  switch (reason.kind) {
    case "no-order":
      return `no order of bays in room ${roomId(job, reason.roomIndex)} keeps every edge in time and everyone's way out open`;
    case "longer-than-a-day":
      return `the pour takes ${longDuration(reason.duration)}, and a day's pour is ${longDuration(reason.longest)} at most`;
    case "time-missing":
      return MISSING[reason.what];
    case "hose-too-short":
      return `the hose must reach ${planLength(reason.needed, job.units.plan).large.text}, and is ${planLength(reason.hose, job.units.plan).large.text} long`;
    case "bag-over-lifts":
      return `the floor takes ${count(reason.lifts)} lifts, and ${count(reason.bags)} ${reason.bags === 1 ? "bag" : "bags"} in all leave none for one of them: bags are mixed whole`;
  }
}

const MISSING = {
  "healing-time": "the material's data sheet was not read for its healing time",
  "times-at-temperature": "the material's table of times does not cover the slab temperature expected",
  "wait-between-lifts": "the material's data sheet was not read for the wait between two lifts",
} as const;

const cure = (reasons: readonly CannotReason[]): string =>
  reasons.some(({ kind }) => kind === "time-missing")
    ? "read the time off the data sheet, or ask the maker, and type it in"
    : "another material, another crew, or smaller pours agreed with the contractor";

const inWords = (measures: readonly Measure[]): string => measures.map(measureInWords).join(" and ");

function measureInWords(measure: Measure): string {
  switch (measure.kind) {
    case "ways-out":
      return `ways out at ${measure.doorIds.join(", ")}`;
    case "mixers":
      return `${count(measure.mixers)} mixers`;
    case "pump":
      return `a pump of ${count(measure.rate)} L a minute`;
    case "dams":
      return measure.dams.length === 1 ? "a dam" : `${count(measure.dams.length)} dams`;
    case "days":
      return `${count(measure.days)} days`;
  }
}

function slowerThanALane(job: Job, { areaInFlowTime, laneArea, tightestRoomIndex }: PourPlan): Diagnostic {
  const { crew, material, units } = job;
  return {
    code: "slower-than-a-lane",
    severity: "warning",
    message: `in room ${roomId(job, tightestRoomIndex)} crew ${crew.id} covers ${area(areaInFlowTime, units.plan).large.text} while a batch flows, but a lane across it, ${planLength(crew.laneWidth, units.plan).large.text} wide, has ${area(laneArea, units.plan).large.text}: its edge sets before the next lane meets it`,
    expected: `a lane covered within the flow time of ${duration(material.flowTime).text}`,
    hint: "another barrel, a pump, a narrower lane, or a dam across it",
    place: job.source.place(["crew"]),
  };
}
