/** Tests of the substrate as typed: values in the unit of their test, limits, and results that belong to a test. */
import type { Point } from "../geometry/point.ts";
import { ringContains } from "../geometry/polygon.ts";
import { given } from "./given.ts";
import { type JobReader, objectAt, objectAtKey, toPoint } from "./job-reader.ts";
import { DIMENSIONS, parseMeasure } from "./measures.ts";
import type { Room } from "./model.ts";
import {
  type ReadinessSpec,
  type SubstrateTest,
  type SubstrateTestName,
  TEST_DIMENSION,
  type TestDimension,
  type TestLimit,
  type TestResult,
} from "./record-model.ts";
import { temperature } from "./schema-leaves.ts";
import { type At, part, parts } from "./schema-parts.ts";
import { readinessSchema, type TestText, testResultSchema, testSchema } from "./schema-record.ts";
import { type Path, placeOf, valueAt } from "./yaml-places.ts";

/** The day on which a pour began or is to begin, and the key that says so. */
export interface PourDay {
  readonly date: string;
  readonly key: string;
}

export function buildReadiness(
  reader: JobReader,
  rooms: readonly Room[],
  pour: PourDay | undefined,
): ReadinessSpec | undefined {
  const { document } = reader;
  if (valueAt(document, ["readiness"]) === undefined) return undefined;
  const whole = part(document, ["readiness"], readinessSchema, ["tests", "results"]);
  const testTexts = parts(document, ["readiness", "tests"], testSchema);
  refuseTestTwice(reader, testTexts);
  const tests = testTexts.map((one) => buildTest(reader, one));
  const asked = new Set(namesAskedFor(reader));
  const results = parts(document, ["readiness", "results"], testResultSchema).flatMap(
    ({ text, path }): TestResult[] => {
      if (!asked.has(text.test)) {
        objectAt(reader, [...path, "test"], {
          code: "result-without-test",
          message: `${text.id} is a result of ${text.test}, which the job does not ask for.`,
          expected: `an entry in readiness: tests, such as { test: ${text.test}, owed_by: …, limits: … }`,
          hint: "Write the test down with its limits and who owes it, or take the result out.",
        });
      }
      if (pour !== undefined && text.date > pour.date) {
        objectAt(reader, [...path, "date"], {
          code: "test-after-pour",
          message: `${text.id} was tested on ${text.date}, after the pour of ${pour.date} (${pour.key}).`,
          expected: "a test made before the floor is covered",
          hint: "Put the date right, or the day of the pour.",
        });
      }
      const value = readTestValue(reader, [...path, "value"], text.value, text.test);
      if (value === undefined) return [];
      const at =
        text.at === undefined ? undefined : onFloor(reader, [...path, "at"], toPoint(reader, text.at), text.id, rooms);
      return [
        {
          test: text.test,
          id: text.id,
          ...given("at", at, (place) => place),
          value,
          date: text.date,
          by: text.by,
          ...given("note", text.note, (note) => note),
          place: placeOf(document, [...path, "id"]),
        },
      ];
    },
  );
  refuseResultTwice(reader, results);
  return { tests, results, ...given("notRequired", whole?.not_required, (settled) => settled) };
}

/** Of those tests too that did not pass the schema for another reason. */
function namesAskedFor({ document }: JobReader): string[] {
  const list = valueAt(document, ["readiness", "tests"]);
  if (!Array.isArray(list)) return [];
  return list.map((_, k) => String(valueAt(document, ["readiness", "tests", k, "test"])));
}

function refuseTestTwice(reader: JobReader, tests: readonly At<TestText>[]): void {
  for (const [k, { text, path }] of tests.entries()) {
    const earlier = tests.slice(0, k).find((one) => one.text.test === text.test);
    if (earlier === undefined) continue;
    objectAt(reader, [...path, "test"], {
      code: "test-given-twice",
      message: `${text.test} is asked for twice, first on line ${placeOf(reader.document, earlier.path).line}.`,
      expected: "one entry a test, with all its limits",
    });
  }
}

/** The same place of the same test on the same day: one of the two is a slip, and nobody knows which. */
function refuseResultTwice(reader: JobReader, results: readonly TestResult[]): void {
  const seen = new Map<string, TestResult>();
  for (const result of results) {
    const key = `${result.test} ${result.id} ${result.date}`;
    const earlier = seen.get(key);
    if (earlier === undefined) seen.set(key, result);
    else {
      reader.problems.push({
        code: "result-given-twice",
        severity: "error",
        message: `${result.test} at ${result.id} has two results of ${result.date}, the first on line ${earlier.place.line}.`,
        expected: "an id of its own for each place; a retest has a later date",
        place: result.place,
      });
    }
  }
}

function buildTest(reader: JobReader, { text, path }: At<TestText>): SubstrateTest {
  return {
    test: text.test,
    owedBy: text.owed_by,
    limits: (text.limits ?? []).flatMap((limit, k) => buildLimit(reader, text.test, limit, [...path, "limits", k])),
    ...given("count", text.places, (count) => count),
    place: placeOf(reader.document, [...path, "test"]),
  };
}

function buildLimit(
  reader: JobReader,
  test: SubstrateTestName,
  { at_least, at_most, source }: NonNullable<TestText["limits"]>[number],
  path: Path,
): TestLimit[] {
  if (at_least === undefined && at_most === undefined) {
    objectAt(reader, path, {
      code: "limit-without-value",
      message: `This limit of ${test} has no value.`,
      expected: `at_most: ${EXAMPLES[TEST_DIMENSION[test]]}, or at_least, or both`,
    });
    return [];
  }
  const least = at_least === undefined ? undefined : readTestValue(reader, [...path, "at_least"], at_least, test);
  const greatest = at_most === undefined ? undefined : readTestValue(reader, [...path, "at_most"], at_most, test);
  if (least !== undefined && greatest !== undefined && least > greatest) {
    objectAt(reader, [...path, "at_least"], {
      code: "range-turned-round",
      message: `The least ${test} is more than the greatest.`,
      expected: "at_least no more than at_most",
    });
  }
  if (least === undefined && greatest === undefined) return [];
  return [{ ...given("least", least, (value) => value), ...given("greatest", greatest, (value) => value), source }];
}

const EXAMPLES: Readonly<Record<TestDimension, string>> = {
  share: "80 %",
  emission: "3 lb/1000 ft²/24 h",
  time: "60 s",
  pressure: "200 psi",
  profile: "3",
  temperature: "50 °F",
};

/** A share of water, a profile's number and a strength that any substrate can have; past it something else was typed. */
const GREATEST: Readonly<Record<Exclude<TestDimension, "temperature">, number>> = {
  share: 1,
  emission: 1000,
  time: 24 * 60,
  pressure: 100,
  profile: 10,
};

/** The value in the unit of its test; undefined after objecting to it. */
function readTestValue(reader: JobReader, path: Path, typed: string, test: SubstrateTestName): number | undefined {
  const dimension = TEST_DIMENSION[test];
  const read = quantityOf(typed, dimension);
  const range = dimension === "temperature" ? undefined : GREATEST[dimension];
  if (typeof read === "string" || (range !== undefined && (read < 0 || read > range))) {
    objectAt(reader, path, {
      code: "bad-test-value",
      message: typeof read === "string" ? read : `"${typed}" is no value that ${test} can have.`,
      expected: `a value of ${test}, such as ${EXAMPLES[dimension]}`,
    });
    return undefined;
  }
  return read;
}

/** The value, or what is wrong with its text. */
function quantityOf(typed: string, dimension: TestDimension): number | string {
  if (dimension === "temperature") {
    const read = temperature("", "").safeParse(typed);
    return read.success ? read.data : `"${typed}" is not a temperature on a building site.`;
  }
  if (dimension === "profile") {
    const match = /^(?:CSP ?)?(\d+(?:\.\d+)?)$/i.exec(typed);
    return match && Number(match[1]) >= 1
      ? Number(match[1])
      : `"${typed}" is not the number of a surface profile, 1 to 10.`;
  }
  const read = parseMeasure(typed, dimension);
  if (read.kind === "measure") return read.value;
  const missing = read.code === "missing-unit" ? ` (${DIMENSIONS[dimension].example})` : "";
  return `${read.message}${missing}`;
}

/** A place that is on the floor, so that it can be drawn and found again. */
export function onFloor(
  reader: JobReader,
  path: Path,
  at: Point,
  what: string,
  rooms: readonly Room[],
): Point | undefined {
  // A column may reach into a doorway.
  const room = rooms.find(
    ({ outline, columns, doors }) =>
      (ringContains(outline, at) || doors.some(({ doorway }) => doorway !== undefined && ringContains(doorway, at))) &&
      !columns.some(({ ring }) => ringContains(ring, at)),
  );
  // A room that could not be read was objected to itself.
  if (room !== undefined || rooms.length === 0) return at;
  objectAtKey(reader, path, {
    code: "place-off-floor",
    message: `${what} lies on no floor of this job.`,
    expected: "distances east and north that lead into a room, beside its columns",
  });
  return undefined;
}
