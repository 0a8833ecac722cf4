import { describe, expect, test } from "vitest";
import { distance } from "../../src/geometry/point.ts";
import { nearestOnRing, polygonArea, polygonContains } from "../../src/geometry/polygon.ts";
import { layOut } from "../../src/layout/lay-out.ts";
import type { Plan } from "../../src/layout/model.ts";
import { keepRecord } from "../../src/record/keep-record.ts";
import type { PourRecord } from "../../src/record/model.ts";
import { standardCount } from "../../src/record/readiness.ts";
import { spreadPlaces } from "../../src/record/spread-places.ts";
import { squareMetres } from "../../src/units.ts";
import { changed, printed, read } from "../job/job-text.ts";

const FT2 = 0.09290304;

describe("places by area, on both sides of each threshold", () => {
  // ASTM F2170 and F1869: three in the first 1000 ft², one more each further 1000 ft².
  const PER_THOUSAND = [
    [1, 3],
    [999, 3],
    [1000, 3],
    [1000.01, 4],
    [1999, 4],
    [2000, 4],
    [2000.01, 5],
    [10_000, 12],
    [10_001, 13],
    [200_000, 202],
  ] as const;
  test.each(PER_THOUSAND)("humidity and emission on %f ft²: %i", (ft2, wanted) => {
    expect(standardCount("relative-humidity", squareMetres(ft2 * FT2))).toBe(wanted);
    expect(standardCount("vapour-emission", squareMetres(ft2 * FT2))).toBe(wanted);
  });

  // ASTM F3191, second hand: three in the first 2000 ft², one more each further 3000 ft².
  test.each([
    [1999, 3],
    [2000, 3],
    [2000.01, 4],
    [5000, 4],
    [5000.01, 5],
    [8000, 5],
    [8001, 6],
  ] as const)("water drops on %f ft²: %i", (ft2, wanted) => {
    expect(standardCount("water-drop", squareMetres(ft2 * FT2))).toBe(wanted);
  });

  test("standards that leave the number to the contract count none", () => {
    expect(standardCount("pull-off", squareMetres(100))).toBeUndefined();
    expect(standardCount("surface-profile", squareMetres(100))).toBeUndefined();
  });
});

/** A hall of these walls and nothing else, with what is owed and found. */
const hall = (walls: string, readiness: string): string => `job: small-hall
title: Small hall
units: { plan: ft-in, height: mm }
rooms:
  - id: hall
    walls: ${walls}
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [2', 2'], spacing: 4' }
target: { top: 0 mm }
material: cement-50lb
${readiness}`;

function recordOf(text: string): { record: PourRecord; plan: Plan } {
  const { job, diagnostics } = read(text);
  if (job === undefined) throw new Error(printed(diagnostics));
  const plan = layOut(job);
  if (plan.kind !== "ready") throw new Error(JSON.stringify(plan));
  const record = keepRecord({ job, plan: plan.value });
  if (record.kind !== "ready") throw new Error(record.kind);
  return { record: record.value, plan: plan.value };
}

const HUMIDITY = `readiness:
  tests:
    - test: relative-humidity
      owed_by: Marrow Lane Builders
      limits:
        - { at_most: 85 %, source: Section 3.2 }
        - { at_most: 80 %, source: data sheet of the covering }
  results:
`;
const result = (id: string, value: string, day = "2027-02-24"): string =>
  `    - { test: relative-humidity, id: ${id}, value: ${value}, date: ${day}, by: P. Lindquist }\n`;

const SQUARE = "E 20', N 20', W 20', S 20'";
const humidity = (results: string) => {
  const { record } = recordOf(hall(SQUARE, results === "" ? HUMIDITY.replace("  results:\n", "") : HUMIDITY + results));
  return { ...record.readiness.tests[0]!, holds: record.holds, whole: record.readiness.verdict };
};

describe("the area is that of the floor", () => {
  test.each([
    ["1000 ft² to the hair", "E 40', N 25', W 40', S 25'", 3],
    ["an eighth of an inch more", "E 40' 1/8\", N 25', W 40' 1/8\", S 25'", 4],
    ["an eighth of an inch less", "E 39' 11-7/8\", N 25', W 39' 11-7/8\", S 25'", 3],
  ] as const)("%s", (_, walls, wanted) => {
    const { record } = recordOf(hall(walls, HUMIDITY.replace("  results:\n", "")));
    expect(record.readiness.tests[0]).toMatchObject({ required: wanted, requiredBy: "standard" });
    expect(record.readiness.places).toHaveLength(wanted);
  });

  test("the contract's own number goes before the standard's", () => {
    const { record } = recordOf(
      hall(SQUARE, HUMIDITY.replace("owed_by", "places: 7\n      owed_by").replace("  results:\n", "")),
    );
    expect(record.readiness.tests[0]).toMatchObject({ required: 7, requiredBy: "contract" });
  });
});

describe("verdicts", () => {
  test("nothing passes without results", () => {
    expect(humidity("")).toMatchObject({ verdict: "missing", placesTested: 0, whole: "missing" });
  });

  test("two of three are missing, with the place that is left", () => {
    const state = humidity(result("RH1", "70 %") + result("RH2", "71 %"));
    expect(state).toMatchObject({ verdict: "missing", placesTested: 2 });
    expect(state.toTest).toHaveLength(1);
  });

  test("three inside the strictest limit are accepted; at the limit is inside", () => {
    const state = humidity(result("RH1", "70 %") + result("RH2", "71 %") + result("RH3", "80 %"));
    expect(state).toMatchObject({ verdict: "accept", greatest: 0.8, whole: "accept", holds: [] });
  });

  test("one past the covering's limit is refused, though the contract's allows it", () => {
    const state = humidity(result("RH1", "70 %") + result("RH2", "80.1 %") + result("RH3", "71 %"));
    expect(state.verdict).toBe("refuse");
    expect(state.holds).toMatchObject([{ kind: "test-refused", places: ["RH2"] }]);
  });

  test("a refused result is refused before the others are there", () => {
    const state = humidity(result("RH1", "90 %"));
    expect(state.verdict).toBe("refuse");
    expect(state.holds.map(({ kind }) => kind)).toEqual(["test-refused", "test-missing"]);
  });

  test("of one place the latest result counts, wherever it stands in the file", () => {
    const good = result("RH1", "75 %", "2027-02-28");
    const rest = result("RH2", "71 %") + result("RH3", "72 %");
    const bad = result("RH1", "90 %", "2027-02-20");
    expect(humidity(bad + good + rest)).toMatchObject({ verdict: "accept", placesTested: 3 });
    expect(humidity(good + rest + bad).verdict).toBe("accept");
    expect(humidity(bad.replace("02-20", "03-01") + good + rest).verdict).toBe("refuse");
  });

  test("a test without a limit accepts nothing", () => {
    const text = HUMIDITY.replace(/ {6}limits:\n.*\n.*\n/, "");
    const { record } = recordOf(
      hall(SQUARE, text + result("RH1", "10 %") + result("RH2", "10 %") + result("RH3", "10 %")),
    );
    expect(record.readiness.tests[0]).toMatchObject({ verdict: "missing", placesTested: 3 });
    expect(record.holds.map(({ kind }) => kind)).toEqual(["test-without-limit"]);
  });

  test("a job that names no test is on hold, unless that is settled in writing", () => {
    expect(recordOf(hall(SQUARE, "")).record.holds).toEqual([{ kind: "tests-not-named" }]);
    const settled = "readiness: { not_required: { by: R. Amsel, date: 2027-02-20, reason: tested before } }\n";
    const { record } = recordOf(hall(SQUARE, settled));
    expect(record.holds).toEqual([]);
    expect(record.readiness.verdict).toBe("not-required");
  });

  test.each([
    ["vapour-emission", "at_most: 3 lb/1000 ft²/24 h", "14.6 g/m²/24 h", "14.7 g/m²/24 h"],
    ["water-drop", "at_most: 60 s", "1 min", "61 s"],
    ["pull-off", "at_least: 200 psi", "1.38 MPa", "1.37 MPa"],
    ["surface-profile", "at_least: 3", "CSP 3", "2"],
    ["slab-temperature", "at_least: 50 °F, at_most: 85 °F", "10 C", "9 C"],
  ] as const)("%s in one unit against its limit in the other", (name, limit, inside, outside) => {
    const verdict = (value: string) =>
      recordOf(
        hall(
          SQUARE,
          `readiness:
  tests: [{ test: ${name}, owed_by: GC, places: 1, limits: [{ ${limit}, source: spec }] }]
  results: [{ test: ${name}, id: X1, value: ${value}, date: 2027-02-01, by: someone }]
`,
        ),
      ).record.readiness.verdict;
    // 3 lb on 1000 ft² are 14.647 g on a square metre, 200 psi are 1.379 MPa (from the definitions of pound, foot and gravity).
    expect(verdict(inside)).toBe("accept");
    expect(verdict(outside)).toBe("refuse");
  });
});

describe("proposed places", () => {
  const { plan } = recordOf(changed("target:", "pour: { start: 2027-03-04 07:30 }\ntarget:"));
  const planOf = (walls: string) => recordOf(hall(walls, "")).plan;

  test("lie in the rooms, beside columns, clear of walls, the same each time", () => {
    const places = spreadPlaces(plan, 9);
    expect(places).toHaveLength(9);
    for (const at of places) {
      const floor = plan.floors.find(({ polygon }) => polygonContains(polygon, at))!;
      expect(floor).toBeDefined();
      for (const ring of [floor.polygon.outline, ...floor.polygon.holes])
        expect(nearestOnRing(at, ring).distance).toBeGreaterThan(0.89);
    }
    expect(spreadPlaces(plan, 9)).toEqual(places);
  });

  test.each([
    ["a square", SQUARE],
    ["a corridor", "E 200', N 7', W 200', S 7'"],
    ["an L", "E 40', N 10', W 25', N 30', W 15', S 40'"],
  ])("are spread: on %s nobody stands much further from one than a share of the floor is wide", (_, walls) => {
    const wide = planOf(walls);
    const [floor] = wide.floors;
    for (const count of [3, 6, 12]) {
      const places = spreadPlaces(wide, count);
      const apart = Math.min(...places.flatMap((at, k) => places.slice(k + 1).map((other) => distance(at, other))));
      // Discs of this radius round each would cover about the floor.
      const share = Math.sqrt(polygonArea(floor!.polygon) / count / Math.PI);
      expect(places).toHaveLength(count);
      expect(apart).toBeGreaterThan(0.9 * share);
    }
  });

  test("the first few of many are spread too", () => {
    const places = spreadPlaces(planOf("E 60', N 60', W 60', S 60'"), 20).slice(0, 4);
    const apart = places.flatMap((at, k) => places.slice(k + 1).map((other) => distance(at, other)));
    expect(Math.min(...apart)).toBeGreaterThan(6);
  });

  test("a closet gets as many as it can take", () => {
    const closet = planOf("E 2', N 2', W 2', S 2'");
    const places = spreadPlaces(closet, 3);
    expect(places).toHaveLength(3);
    for (const at of places) expect(polygonContains(closet.floors[0]!.polygon, at)).toBe(true);
  });
});
