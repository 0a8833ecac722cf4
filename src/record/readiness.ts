/** Whether the substrate is ready: each test's places, limits and results, and a verdict that nothing passes by default. */
import { findPlace } from "../conformity/found-place.ts";
import { distance, type Point } from "../geometry/point.ts";
import { polygonArea } from "../geometry/polygon.ts";
import type { Job } from "../job/model.ts";
import { type SubstrateTest, type SubstrateTestName, TEST_DIMENSION, type TestLimit } from "../job/record-model.ts";
import type { Plan } from "../layout/model.ts";
import { M2_PER_SQUARE_FOOT, type SquareMetres } from "../units.ts";
import type { JudgedResult, Readiness, TestPlace, TestState, TestVerdict } from "./model.ts";
import { spreadPlaces } from "./spread-places.ts";

interface CountRule {
  /** Tests in the first `firstFt2`, and one more for each further `eachFt2` or part of it. */
  readonly first: number;
  readonly firstFt2: number;
  readonly eachFt2: number;
}

/**
 * How many places the standards ask for. ASTM F2170 and F1869: three in the first 1000 ft², one more each further
 * 1000 (published). ASTM F3191: three in the first 2000 ft², one more each further 3000 (second hand). The others
 * leave the number to the contract: without one it is one a room (common practice).
 */
const COUNT_RULES: Partial<Record<SubstrateTestName, CountRule>> = {
  "relative-humidity": { first: 3, firstFt2: 1000, eachFt2: 1000 },
  "vapour-emission": { first: 3, firstFt2: 1000, eachFt2: 1000 },
  "water-drop": { first: 3, firstFt2: 2000, eachFt2: 3000 },
};

/** A floor this little past a threshold, as a share of it, has just its area: rounding of feet turned to metres. */
const AREA_GUARD = 1e-9;

/** Places to test on a floor of this area, by the standard of the test; undefined where its standard counts none. */
export function standardCount(test: SubstrateTestName, area: SquareMetres): number | undefined {
  const rule = COUNT_RULES[test];
  if (rule === undefined) return undefined;
  const beyond = area / M2_PER_SQUARE_FOOT - rule.firstFt2;
  return rule.first + Math.max(0, Math.ceil(beyond / rule.eachFt2 - AREA_GUARD));
}

/** What a floor is usually tested for, shown where the job names no test. Vapour emission is measured on concrete only. */
const USUAL_TESTS: Readonly<Record<Job["floor"]["substrate"], readonly SubstrateTestName[]>> = {
  concrete: ["relative-humidity", "vapour-emission", "water-drop", "pull-off", "surface-profile"],
  "old-tile": ["relative-humidity", "water-drop", "pull-off"],
  "old-adhesive": ["relative-humidity", "water-drop", "pull-off"],
  wood: ["wood-moisture"],
};

/** @throws Error for a result whose place is on no floor: the job file's reader objects to those. */
export function judgeReadiness(job: Job, plan: Plan): Readiness {
  const area = plan.floors.reduce((sum, { polygon }) => sum + polygonArea(polygon), 0);
  const named = job.readiness?.tests ?? [];
  const asked: readonly (SubstrateTest | { readonly test: SubstrateTestName })[] =
    named.length > 0 ? named : USUAL_TESTS[job.floor.substrate].map((test) => ({ test }));
  const counted = asked.map((test) => ({ test, ...requiredOf(test, area, plan.floors.length) }));
  const most = counted.reduce((greatest, { required }) => Math.max(greatest, required), 0);
  const places = spreadPlaces(plan, most).map(
    (at, k): TestPlace => ({ id: `T${k + 1}`, found: findPlace(job, plan, at) }),
  );
  const tests = counted.map(({ test, required, requiredBy }) =>
    judgeTest(job, plan, test, { required, requiredBy }, places),
  );
  return { verdict: wholeVerdict(job, tests, named.length > 0), testsNamed: named.length > 0, tests, places };
}

function wholeVerdict(job: Job, tests: readonly TestState[], named: boolean): Readiness["verdict"] {
  if (!named) return job.readiness?.notRequired === undefined ? "missing" : "not-required";
  if (tests.some(({ verdict }) => verdict === "refuse")) return "refuse";
  return tests.every(({ verdict }) => verdict === "accept") ? "accept" : "missing";
}

function requiredOf(
  test: SubstrateTest | { readonly test: SubstrateTestName },
  area: SquareMetres,
  rooms: number,
): Pick<TestState, "required" | "requiredBy"> {
  if ("count" in test && test.count !== undefined) return { required: test.count, requiredBy: "contract" };
  const standard = standardCount(test.test, area);
  return standard === undefined
    ? { required: rooms, requiredBy: "practice" }
    : { required: standard, requiredBy: "standard" };
}

function judgeTest(
  job: Job,
  plan: Plan,
  asked: SubstrateTest | { readonly test: SubstrateTestName },
  count: Pick<TestState, "required" | "requiredBy">,
  places: readonly TestPlace[],
): TestState {
  const limits = [...("limits" in asked ? asked.limits : []), ...limitsOfMaterial(job, asked.test)];
  const leasts = limits.flatMap(({ least }) => (least === undefined ? [] : [least]));
  const greatests = limits.flatMap(({ greatest }) => (greatest === undefined ? [] : [greatest]));
  const range = {
    ...(leasts.length === 0 ? {} : { least: Math.max(...leasts) }),
    ...(greatests.length === 0 ? {} : { greatest: Math.min(...greatests) }),
  };
  const own = (job.readiness?.results ?? []).filter(({ test }) => test === asked.test);
  const results = own.map((result): JudgedResult => {
    const replaced = own.some(({ id, date }) => id === result.id && date > result.date);
    const judged = replaced
      ? "replaced"
      : limits.length === 0
        ? "not-judged"
        : keeps(result.value, range)
          ? "within"
          : "outside";
    return {
      result,
      judged,
      ...(result.at === undefined ? {} : { found: findPlace(job, plan, result.at) }),
    };
  });
  const counting = results.filter(({ judged }) => judged !== "replaced");
  return {
    test: asked.test,
    dimension: TEST_DIMENSION[asked.test],
    ...("owedBy" in asked ? { owedBy: asked.owedBy } : {}),
    ...count,
    limits,
    ...range,
    results,
    placesTested: counting.length,
    verdict: verdictOf(counting, limits, count.required),
    toTest: placesLeft(counting, places.slice(0, count.required), count.required),
  };
}

/** A value within this much of its limit, relative to it, is at the limit: `80 %` is 0.8 whichever way it was turned. */
const LIMIT_GUARD = 1e-9;

function keeps(value: number, { least, greatest }: { readonly least?: number; readonly greatest?: number }): boolean {
  const room = LIMIT_GUARD * Math.max(1, Math.abs(value));
  return (least === undefined || value >= least - room) && (greatest === undefined || value <= greatest + room);
}

function verdictOf(counting: readonly JudgedResult[], limits: readonly TestLimit[], required: number): TestVerdict {
  if (counting.some(({ judged }) => judged === "outside")) return "refuse";
  if (limits.length === 0 || counting.length < required) return "missing";
  return "accept";
}

/** Temperatures of the slab that the material's data sheet allows are limits too. */
function limitsOfMaterial({ material }: Job, test: SubstrateTestName): TestLimit[] {
  if (test !== "slab-temperature" || material.slabTemperatures === undefined) return [];
  return [{ ...material.slabTemperatures, source: `${material.name}: ${material.dataSheet.title}` }];
}

/** Each result with a place stands for the proposed one nearest to it; so many of the others as tests are owed. */
function placesLeft(counting: readonly JudgedResult[], places: readonly TestPlace[], required: number): string[] {
  const open = [...places];
  for (const { found } of counting) {
    if (found === undefined || open.length === 0) continue;
    open.splice(indexOfNearest(open, found.at), 1);
  }
  return open.slice(0, Math.max(0, required - counting.length)).map(({ id }) => id);
}

const indexOfNearest = (places: readonly TestPlace[], at: Point): number =>
  places.reduce((best, { found }, k) => (distance(found.at, at) < distance(places[best]!.found.at, at) ? k : best), 0);
