/** Bad input named at its line: what cannot be right refuses the proof, what only weakens it is a warning. */
import type { Diagnostic, SourcePlace } from "../diagnostics.ts";
import { count as countText, planLength } from "../format.ts";
import { distance } from "../geometry/point.ts";
import { polygonContains } from "../geometry/polygon.ts";
import type { SampleLine } from "../job/contract-model.ts";
import { daysBetween } from "./dates.ts";
import type { Evidence } from "./evidence.ts";
import { FEWEST_ON_LINE, methodFor } from "./f-numbers.ts";
import { jointAcross } from "./joints.ts";
import {
  distanceBetween,
  edgesOf,
  LEAST_FROM_EDGE_M,
  lengthOf,
  onFloor,
  type Segment,
  TAPE_M,
} from "./line-conditions.ts";
import type { LineCut, LinePart } from "./model.ts";

/** A point read farther from its place on the plan than this was read on another plan: twice what a taped point may be off. */
const SAME_PLACE_M = 0.02;

/** All problems of the evidence, errors and warnings, in the order of the job. */
export function checkEvidence(
  evidence: Evidence,
  floor: "raw-slab" | "finished",
  cuts: readonly LineCut[] = [],
): Diagnostic[] {
  const edges = edgesOf(evidence.plan.floors);
  return [
    ...otherPlan(evidence),
    ...(floor === "finished" ? beforeThePour(evidence) : []),
    ...sameId(evidence.lines, "line"),
    ...sameId(evidence.gaps, "gap"),
    ...evidence.lines.flatMap((line) =>
      checkLine(
        line,
        evidence,
        edges,
        cuts.find((cut) => cut.line === line.id),
      ),
    ),
    ...evidence.gaps.flatMap((gap): Diagnostic[] =>
      gap.at === undefined || evidence.plan.floors.some(({ polygon }) => polygonContains(polygon, gap.at!))
        ? []
        : [
            {
              code: "gap-off-the-plan",
              severity: "error",
              message: `gap ${gap.id} was measured at a place that is on no floor of this plan`,
              expected: "a place inside a room, from the same corner as the rooms",
              hint: "check the place, and that the gap belongs to this job",
              place: gap.place,
            },
          ],
    ),
  ];
}

function otherPlan({ levels, plan, job }: Evidence): Diagnostic[] {
  const placeOf = new Map(plan.points.map(({ id, at }) => [id, at]));
  const wrong = levels.points.filter(({ id, at }) => {
    const planned = placeOf.get(id);
    return planned === undefined || distance(planned, at) > SAME_PLACE_M;
  });
  if (wrong.length === 0) return [];
  const names = wrong.slice(0, 5).map(({ id }) => id);
  const more = wrong.length > names.length ? ` and ${countText(wrong.length - names.length)} more` : "";
  return [
    {
      code: "read-on-another-plan",
      severity: "error",
      message: `${names.join(", ")}${more} were read at places that this plan does not have under those names`,
      expected: "the readings of the plan that they are judged on",
      hint: "if the grid was laid out anew for this survey, give its origin and spacing with the readings",
      place: job.source.place(["finished"]),
    },
  ];
}

function beforeThePour({ job, lines, gaps, poured }: Evidence): Diagnostic[] {
  const { finished } = job;
  if (poured === undefined || !finished) return [];
  const dated: { what: string; date: string | undefined; place: SourcePlace }[] = [
    { what: "the finished floor", date: finished.date, place: job.source.place(["finished", "date"]) },
    ...finished.survey.setUps.map(({ id, date }, k) => ({
      what: `set-up ${id}`,
      date,
      place: job.source.place(["finished", "set_ups", k, "date"]),
    })),
    ...lines.map(({ id, date, place }) => ({ what: `line ${id}`, date, place })),
    ...gaps.map(({ id, date, place }) => ({ what: `gap ${id}`, date, place })),
  ];
  return dated.flatMap(({ what, date, place }): Diagnostic[] => {
    const days = date === undefined ? undefined : daysBetween(poured, date);
    if (days === undefined || days >= 0) return [];
    return [
      {
        code: "read-before-the-pour",
        severity: "error",
        message: `${what} is dated ${date}, before the pour of ${poured}`,
        expected: "a date on or after the day of the pour",
        hint: "readings of the slab before the pour belong under the survey, not under the finished floor",
        place,
      },
    ];
  });
}

const sameId = (
  entries: readonly { readonly id: string; readonly place: SourcePlace }[],
  what: "line" | "gap",
): Diagnostic[] =>
  entries
    .filter(({ id }, k) => entries.findIndex((other) => other.id === id) < k)
    .map(({ id, place }) => ({
      code: `${what}-named-twice`,
      severity: "error",
      message: `there are two ${what}s ${id}`,
      expected: `a name of its own for each ${what}`,
      place,
    }));

function checkLine(
  line: SampleLine,
  { plan, planUnit, joints }: Evidence,
  edges: readonly Segment[],
  cut: LineCut | undefined,
): Diagnostic[] {
  const { id, ends, spacing, place, levelsMm } = line;
  const text = (length: number): string => planLength(length, planUnit).large.text;
  const problems: Diagnostic[] = [];
  const say = (
    severity: Diagnostic["severity"],
    code: string,
    message: string,
    expected: string,
    hint: string,
  ): void => {
    problems.push({ code, severity, message, expected, hint, place });
  };
  if (methodFor(spacing) === undefined) {
    say(
      "warning",
      "line-spacing",
      `line ${id} was read every ${text(spacing)}: no flatness and levelness numbers come from it`,
      "12 in or 300 mm from reading to reading",
      "check the spacing; a line with another one still counts under a straightedge",
    );
  }
  if (levelsMm.length < FEWEST_ON_LINE) {
    say(
      "warning",
      "line-too-short",
      `line ${id} has ${countText(levelsMm.length)} readings: no flatness and levelness numbers come from it`,
      `at least ${FEWEST_ON_LINE} readings`,
      "make the line longer, or lay it the other way through the room",
    );
  }
  if (ends === undefined) return problems;
  const taped = distance(ends[0], ends[1]);
  if (Math.abs(taped - lengthOf(line)) > spacing / 2) {
    const whole = Math.round(taped / spacing) + 1;
    say(
      "error",
      "line-ends-do-not-fit",
      `line ${id} is ${text(taped)} from end to end, but ${countText(levelsMm.length)} readings every ${text(spacing)} make ${text(lengthOf(line))}`,
      `${countText(whole)} readings between these ends`,
      "look for a reading left out or typed twice, or correct the ends",
    );
    return problems;
  }
  if (!onFloor(ends, plan.floors, edges)) {
    say(
      "error",
      "line-off-the-plan",
      `line ${id} leaves the floor of this plan`,
      "a straight line on the floor, its ends given from the same corner as the rooms",
      "check the ends, and that the line belongs to this job",
    );
    return problems;
  }
  const across = jointAcross(line, joints.known);
  if (across !== undefined) {
    const along = distance(ends[0], across.at);
    say(
      "warning",
      "line-across-a-joint",
      `line ${id} runs across joint ${across.joint.id}, ${text(along)} from its first reading: no section may, so ${cut ? countedAs(cut) : "its numbers are not to the method"}`,
      `lines that end ${text(LEAST_FROM_EDGE_M)} before a joint, each side in a section of its own`,
      `at least ${countText(FEWEST_ON_LINE)} readings on each side of the joint count there`,
    );
    return problems;
  }
  const nearest = Math.min(
    ...[...edges, ...joints.known.map(({ from, to }): Segment => [from, to])].map((edge) =>
      distanceBetween(ends, edge),
    ),
  );
  if (nearest < LEAST_FROM_EDGE_M - TAPE_M) {
    say(
      "warning",
      "line-near-an-edge",
      `line ${id} comes within ${text(nearest)} of an edge of the floor or a joint: ${cut ? countedAs(cut) : "its numbers are not to the method"}`,
      `${text(LEAST_FROM_EDGE_M)} from every wall, column, opening and joint`,
      "lay the line anew where too few readings remain",
    );
  }
  return problems;
}

/** What is left of a line that was cut, and what is not. */
function countedAs({ parts }: LineCut): string {
  const readings = ({ first, last }: LinePart): string =>
    first === last ? `reading ${countText(first)}` : `readings ${countText(first)} to ${countText(last)}`;
  const kept = parts.flatMap((part) =>
    part.becomes === undefined ? [] : [`${readings(part)} count as ${part.becomes}`],
  );
  const left = parts.filter(({ leftOut }) => leftOut !== undefined).map(readings);
  return kept.length === 0
    ? `none of it is long enough to count: at least ${countText(FEWEST_ON_LINE)} readings in a row`
    : `${kept.join(", ")}; left out are ${left.join(", ")}`;
}
