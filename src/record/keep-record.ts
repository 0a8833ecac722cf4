/** The record of a pour: what is proved before it, what is held until it is, and what is accounted for after it. */
import type { Conformity } from "../conformity/model.ts";
import type { Depths } from "../depths/model.ts";
import { type Diagnostic, type Outcome, ready, refused } from "../diagnostics.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Quantities } from "../quantities/model.ts";
import type { Meet } from "../target/model.ts";
import type { Minutes } from "../units.ts";
import { accountFor, holdUntil, type ReadFloor } from "./account.ts";
import { bagDifference, bagStop } from "./bags.ts";
import { jointSurveyHold } from "./joint-survey.ts";
import type { BagStop, HoldOff, PourAccount, PourRecord, Readiness, RecordHold } from "./model.ts";
import { nonConformancesOf, unknownPlaces } from "./non-conformances.ts";
import { judgeReadiness } from "./readiness.ts";

/** What the stages before it gave; absent where one has no result yet. */
export interface RecordSubject {
  readonly job: Job;
  readonly plan: Plan;
  readonly before?: ReadFloor;
  readonly depths?: Depths;
  readonly quantities?: Quantities;
  readonly planned?: { readonly batches: number; readonly time: Minutes };
  readonly after?: ReadFloor & { readonly conformity: Conformity };
  /** Where zones of the target meet. */
  readonly meets?: readonly Meet[];
}

/** Ready for every job, surveyed or not; refused where an entry answers for a place that there is not. */
export function keepRecord(subject: RecordSubject): Outcome<PourRecord> {
  const { job, plan, depths, quantities, after } = subject;
  const problems = unknownPlaces(job.results, after?.conformity);
  if (problems.length > 0) return refused(problems);
  const readiness = judgeReadiness(job, plan);
  const stop = quantities && bagStop(job.contract, quantities.bags.toOrder);
  const difference = depths && quantities && bagDifference(job, depths, quantities);
  const account = accountOf(subject);
  const record: PourRecord = {
    readiness,
    ...(stop === undefined ? {} : { stop }),
    ...(difference === undefined ? {} : { difference }),
    holds: holdsOf(job, readiness, stop),
    holdOffs: holdOffsOf(job, account),
    ...(account === undefined ? {} : { account }),
    nonConformances: nonConformancesOf(job, plan, job.results, after?.conformity),
  };
  return ready(record, warningsOf(job, record));
}

function accountOf({ job, before, depths, quantities, planned, after, meets }: RecordSubject): PourAccount | undefined {
  const { results } = job;
  if (!results || !before || !depths || !quantities || !planned) return undefined;
  return accountFor({
    job,
    results,
    before,
    depths,
    quantities,
    plannedBatches: planned.batches,
    plannedTime: planned.time,
    ...(after === undefined ? {} : { after }),
    ...(meets === undefined ? {} : { meets }),
  });
}

/** Refused tests before missing ones, then what is not agreed, bags last. */
export function holdsOf(
  job: Pick<Job, "jointSurvey">,
  { verdict, testsNamed, tests }: Readiness,
  stop: BagStop | undefined,
): RecordHold[] {
  const holds: RecordHold[] = [];
  if (!testsNamed) {
    if (verdict !== "not-required") holds.push({ kind: "tests-not-named" });
  } else {
    for (const test of tests) {
      if (test.verdict !== "refuse") continue;
      const places = test.results.flatMap(({ result, judged }) => (judged === "outside" ? [result.id] : []));
      holds.push({ kind: "test-refused", test, places });
    }
    for (const test of tests) {
      if (test.limits.length === 0) holds.push({ kind: "test-without-limit", test });
      // A test that is refused may be short of places besides.
      if (test.placesTested < test.required) holds.push({ kind: "test-missing", test });
    }
  }
  const unsigned = stop && jointSurveyHold(job, stop);
  if (unsigned !== undefined) holds.push(unsigned);
  if (stop !== undefined && stop.planned > stop.bags) holds.push({ kind: "bags-past-approved", stop });
  return holds;
}

function holdOffsOf({ material }: Job, account: PourAccount | undefined): HoldOff[] {
  const { walkOn, protection = {} } = material;
  const times = [
    { what: "walk-on", after: walkOn },
    { what: "light-trades", after: protection.lightTrades },
    { what: "covering", after: protection.covering },
    { what: "heavy-loads", after: protection.heavyLoads },
    { what: "heating", after: protection.heating },
  ] as const;
  return times.flatMap(({ what, after }): HoldOff[] =>
    after === undefined
      ? []
      : [{ what, after, ...(account === undefined ? {} : { until: holdUntil(account.lastPlaced.at, after) }) }],
  );
}

function warningsOf(job: Job, { account, stop, nonConformances }: PourRecord): Diagnostic[] {
  const warnings: Diagnostic[] = [];
  if (account !== undefined && stop !== undefined && account.bags.used > stop.bags) {
    warnings.push({
      code: "used-past-approved",
      severity: "warning",
      message: `${account.bags.used} bags were used, ${stop.bags} were approved: the difference needs a written approval`,
      place: job.source.place(["results"]),
    });
  }
  const open = nonConformances.filter(({ status }) => status !== "closed");
  if (job.results?.acceptance?.result === "accepted" && open.length > 0) {
    warnings.push({
      code: "accepted-with-open-non-conformances",
      severity: "warning",
      message: `the floor is entered as accepted, but not every non-conformance is closed: ${open.map(({ id }) => id).join(", ")}`,
      place: job.source.place(["results", "acceptance"]),
    });
  }
  return warnings;
}
