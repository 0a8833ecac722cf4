/** The contract's rules, and the floor read again after the pour. */
import { describe, expect, test } from "vitest";
import { GOOD, printed, read } from "./job-text.ts";

const jobOf = (more: string) => {
  const { job, diagnostics } = read(`${GOOD}${more}`);
  if (job === undefined) throw new Error(printed(diagnostics));
  return job;
};

const codes = (more: string): string[] => read(`${GOOD}${more}`).diagnostics.map(({ code }) => code);

test("rules of acceptance, each with where the contract says so", () => {
  const { rules } = jobOf(`contract:
  rules:
    - { kind: trade-rule, name: resilient-covering, source: clause 1 }
    - { kind: straightedge, edge: 10 ft, gap: 3/16 in, contact: between-contacts, most: { share: 90 %, gap: 1/8 in }, source: clause 2 }
    - { kind: f-numbers, flatness: 35, section_flatness: 21, within_days: 3, source: clause 3 }
    - { kind: din-18202, row: finished, source: clause 4 }
    - { kind: level, plus_minus: 3, source: clause 5 }
`).contract;
  expect(rules!.map(({ place, ...rule }) => [place.line, rule])).toEqual([
    [34, { kind: "trade-rule", name: "resilient-covering", source: "clause 1" }],
    [
      35,
      {
        kind: "straightedge",
        // 10 ft and 3/16 in, 1/8 in.
        edge: expect.closeTo(3.048, 9),
        gap: expect.closeTo(4.7625, 9),
        contact: "between-contacts",
        most: { share: 0.9, gap: 3.175 },
        source: "clause 2",
      },
    ],
    [36, { kind: "f-numbers", flatness: 35, sectionFlatness: 21, withinDays: 3, source: "clause 3" }],
    [37, { kind: "din-18202", row: "finished", source: "clause 4" }],
    [38, { kind: "level", plusMinus: 3, source: "clause 5" }],
  ]);
});

describe("rules refused", () => {
  test.each([
    ["{ kind: strait-edge, source: x }", "unknown-value"],
    ["{ source: x }", "missing-key"],
    ["{ kind: f-numbers, source: x }", "rule-without-number"],
    ["{ kind: level, plus_minus: 3 mm }", "missing-key"],
    ["{ kind: level, plus_minus: 3 mm, edge: 2 m, source: x }", "unknown-key"],
    [
      "{ kind: straightedge, edge: 10 ft, gap: 1/8 in, contact: whole-edge, most: { share: 90 %, gap: 1/4 in }, source: x }",
      "rule-turned-round",
    ],
  ])("%s", (rule, code) => {
    expect(codes(`contract:\n  rules:\n    - ${rule}\n`)).toEqual([code]);
  });

  test("a misspelt kind is answered with the kinds that there are", () => {
    const { diagnostics } = read(`${GOOD}contract:\n  rules:\n    - { kind: strait-edge, source: x }\n`);
    expect(diagnostics[0]).toMatchObject({
      expected: "trade-rule or straightedge or f-numbers or din-18202 or level",
      hint: 'Did you mean "straightedge"?',
    });
  });
});

const FINISHED = `finished:
  poured: 2027-03-04
  date: 2027-03-09
  set_ups:
    - id: F1
      instrument: hose-level
      numbers_are: above zero
      readings: |
        A  0  1  0.5
        drain 2
  lines:
    - { id: L1, from: [2', 2'], to: [2', 11'], spacing: 1 ft, numbers_are: below zero, readings: 0 1 2 3 2 1 0 1 2 3 }
  gaps:
    - { id: G1, edge: 10 ft, gap: 1/8 in, at: [5', 5'] }
`;

test("the finished floor: grid and points of the survey hold on, lines fall to the room that they lie in", () => {
  const { finished, survey } = jobOf(FINISHED);
  expect(finished).toMatchObject({ poured: "2027-03-04", date: "2027-03-09" });
  expect(finished!.survey.grid).toEqual(survey.grid);
  expect(finished!.survey.extraPoints).toEqual(survey.extraPoints);
  expect(finished!.survey.setUps[0]!.readings.map(({ pointId, level }) => [pointId, level])).toEqual([
    ["A1", 0],
    ["A2", 1],
    ["A3", 0.5],
    ["drain", 2],
  ]);
  const { lines, gaps } = finished!.survey.byHand!;
  expect(lines[0]).toMatchObject({ id: "L1", section: "hall", spacing: expect.closeTo(0.3048, 9) });
  // Below zero: each a level with a minus, but for zero.
  expect(lines[0]!.levelsMm).toEqual([0, -1, -2, -3, -2, -1, 0, -1, -2, -3]);
  expect(gaps[0]).toMatchObject({ id: "G1", edge: expect.closeTo(3.048, 9), gap: 3.175 });
});

test("a grid of its own goes before the survey's", () => {
  const { finished } = jobOf(FINISHED.replace("  set_ups:", "  grid: { origin: [1', 1'], spacing: 1' }\n  set_ups:"));
  expect(finished!.survey.grid.spacingEast).toBeCloseTo(0.3048, 9);
});

describe("lines refused", () => {
  test.each([
    ["a gap in the readings", "0 1 2 3 2 1 0 1 2 3", "0 1 - 3 2 1 0 1 2 3 3", "line-with-gap"],
    ["one end only", "from: [2', 2'], ", "", "line-with-one-end"],
    ["ends that the readings do not reach", "to: [2', 11']", "to: [2', 9']", "line-length-disagrees"],
    ["a line of one reading", "0 1 2 3 2 1 0 1 2 3", "0", "too-few"],
  ])("%s", (_, from, to, code) => {
    expect(codes(FINISHED.replace(from, to))).toContain(code);
  });

  test("a line that lies nowhere has to name its section", () => {
    const text = FINISHED.replace("from: [2', 2'], to: [2', 11'], ", "");
    expect(codes(text)).toEqual(["line-without-section"]);
    expect(codes(text.replace("id: L1,", "id: L1, section: hall,"))).toEqual([]);
  });
});

test("how readings are adjusted, and what the survey is planned from", () => {
  const { job, diagnostics } = read(
    GOOD.replace(
      "  points:\n",
      `  planning: { instrument: hose-level, slack: 6', tie_spread: 8', positions: [[2', 2']], expected: [{ room: hall, lowest: -20, highest: 5 mm }] }
  adjustment: { alpha: 0.1 %, power: 80 %, sigma: instrument, drift: none, closing: { k: 5 mm, per: root-set-up, source: clause 6 } }
  points:\n`,
    ),
  );
  expect(printed(diagnostics)).toBe("");
  expect(job!.survey.adjustment).toEqual({
    alpha: 0.001,
    power: 0.8,
    sigma: "instrument",
    drift: "none",
    closing: { per: "root-set-up", k: 5, source: "clause 6" },
  });
  expect(job!.survey.planning).toMatchObject({
    slack: expect.closeTo(1.8288, 9),
    tieSpread: expect.closeTo(2.4384, 9),
    expected: [{ roomId: "hall", lowest: -20, highest: 5 }],
  });
});

test("construction joints: given, none, not said, and one without length", () => {
  const finished = (joints: string) => `${GOOD}finished:\n  date: 2027-03-09\n${joints}`;
  expect(read(finished("")).job!.finished!.survey.joints).toBeUndefined();
  expect(read(finished("  joints: []\n")).job!.finished!.survey.joints).toEqual([]);
  const { job } = read(finished("  joints:\n    - { id: CJ1, from: [10', 0], to: [10', 12'] }\n"));
  expect(job!.finished!.survey.joints).toEqual([
    {
      id: "CJ1",
      from: { x: expect.closeTo(3.048, 9), y: 0 },
      to: { x: expect.closeTo(3.048, 9), y: expect.closeTo(3.6576, 9) },
    },
  ]);
  const { diagnostics } = read(finished("  joints:\n    - { id: CJ1, from: [10', 0], to: [10', 0] }\n"));
  expect(diagnostics.map(({ code }) => code)).toEqual(["line-without-length"]);
});
