/** Crews that cannot, and what cannot be: said with hours, with what would do, and at its line. */
import { describe, expect, test } from "vitest";
import { formatDiagnostic } from "../../src/diagnostics.ts";
import { point } from "../../src/geometry/point.ts";
import type { Crew } from "../../src/job/library-model.ts";
import type { Job } from "../../src/job/model.ts";
import { FOOT, madeDoor, madeJob, madeRoom, madeSurvey, rectangle } from "../layout/made-job.ts";
import { doorOut, doorTo, outcomeOf, planned, pourable, pourJob, unpourable, withDoors } from "./made-pour.ts";

const hall = madeRoom("hall", rectangle(0, 0, 6, 4));
const oneHall = withDoors(hall, doorOut(hall, 1, 0.2, 1));

describe("12,000 ft² at 3/8 in with two barrels", () => {
  const floor = madeRoom("floor", rectangle(0, 0, 120 * FOOT, 100 * FOOT));
  const spacing = { spacingEast: 8 * FOOT, spacingNorth: 8 * FOOT };
  const base = madeJob([withDoors(floor, madeDoor(floor, "OUT", 0, 4 * FOOT, 3 * FOOT, 0))], {
    survey: madeSurvey([], { origin: point(1, 1), ...spacing }),
  });
  const job: Job = { ...base, material: { ...base.material, healingTime: 10 } };
  const { plan, warnings, quantities } = unpourable(job, () => (3 / 8) * 25.4);

  test("is refused, with the hours it would take", () => {
    // 12,000 ft² × 3/8 in = 375 ft³, 750 bags of 0.50 ft³, 375 batches one every 2.5 min, the last mixed for 2.5.
    expect(quantities.bags.toOrder).toBe(750);
    expect(plan.duration).toBeCloseTo(374 * 2.5 + 2.5, 9);
    expect(plan.reasons.map(({ kind }) => kind)).toEqual(["edge-late", "longer-than-a-day"]);
    expect(plan.reasons[1]).toMatchObject({ longest: 480 });
    const [warning] = warnings;
    expect(warning!.code).toBe("cannot-be-poured");
    expect(warning!.message.replaceAll("\u00a0", " ")).toContain("mixing alone would take 15 h 38 min");
    expect(formatDiagnostic(warning!)).toContain("to do: planned through, this would do:");
  });

  test("and what would do is planned through: dams and days, or a pump", () => {
    const kinds = plan.remedies.map(({ measures }) => measures.map(({ kind }) => kind).join("+"));
    expect(kinds).toContain("dams+days");
    expect(kinds.some((kind) => kind === "pump")).toBe(true);
    for (const { measures, bays } of plan.remedies) {
      expect(bays).toBeGreaterThan(1);
      const dams = measures.find((one) => one.kind === "dams");
      if (!dams) continue;
      const lines = dams.dams.map(({ from, to }, k) => ({ id: `DAM${k + 1}`, from, to }));
      const crew: Crew = { ...job.crew, longestPour: 5000 };
      const { plan: dammed } = pourable({ ...job, crew, pour: { ...job.pour, dams: lines } }, () => (3 / 8) * 25.4);
      expect(dammed.bays.length).toBeLessThanOrEqual(bays);
      for (const { margin } of dammed.edges) expect(margin).toBeGreaterThan(-1e-9);
    }
  });
});

test("a pour that only takes too long is spread over days, where whole rooms make a day", () => {
  const back = madeRoom("back", rectangle(0, 4.2, 6, 4));
  const rooms = [oneHall, withDoors(back, doorTo(back, "hall", 0, 3, 0.9, 0.2, "D1"))];
  const { plan } = unpourable(pourJob(rooms, { crew: { longestPour: 20 } }), () => 10);
  expect(plan.reasons).toMatchObject([{ kind: "longer-than-a-day", longest: 20 }]);
  expect(plan.remedies[0]!.measures).toEqual([{ kind: "days", days: 2 }]);
});

test("a material whose healing time was not read is not poured, and nothing is offered but to read it", () => {
  const job = pourJob([oneHall]);
  const { healingTime: _, ...material } = job.material;
  const { plan, warnings } = unpourable({ ...job, material }, () => 10);
  expect(plan.reasons).toEqual([{ kind: "time-missing", what: "healing-time" }]);
  expect(plan.remedies).toEqual([]);
  expect(warnings[0]!.message).toContain("healing time");
  expect(warnings[0]!.hint).toContain("read the time off the data sheet");
});

describe("bad input is named at its line", () => {
  const problemsOf = (job: Job) => {
    const { outcome } = outcomeOf(job, () => 10);
    if (outcome.kind !== "refused") throw new Error(`expected a refusal, got ${outcome.kind}`);
    return outcome.problems;
  };
  const crewOf = (crew: Partial<Crew>): Job => pourJob([oneHall], { crew });

  test.each([
    ["no barrels", { barrels: 0 }, "barrels"],
    ["no bags in a barrel", { bagsPerBarrel: 0 }, "bags in a barrel"],
    ["a cycle of nothing", { barrelCycle: 0, mixTime: 0 }, "barrel cycle"],
    ["lanes of no width", { laneWidth: 0 }, "lane width"],
    ["nobody", { people: 0 }, "people"],
    ["a pump that delivers nothing", { pump: { rate: 0 } }, "pump rate"],
    ["carried at no pace", { carryingPace: 0 }, "carrying pace"],
    ["a cycle that is not a number", { barrelCycle: Number.NaN }, "barrel cycle"],
  ])("%s", (_, crew, what) => {
    const problems = problemsOf(crewOf(crew));
    expect(problems.every(({ code, place }) => code === "rate-of-nothing" && place !== undefined)).toBe(true);
    expect(problems.map(({ message }) => message).join()).toContain(what);
  });

  test("at the crew's entry in its file, where it has one", () => {
    const place = { file: "jobs/_library/crews.yaml", line: 7, column: 5, length: 4, lineText: "  - id: crew" };
    expect(problemsOf(crewOf({ barrels: 0, place }))[0]!.place).toEqual(place);
  });

  test("a flow time shorter than the mixing of a batch", () => {
    const [problem] = problemsOf(pourJob([oneHall], { material: { flowTime: 2 } }));
    expect(problem).toMatchObject({ code: "mix-outlasts-flow" });
    expect(problem!.place?.lineText).toBe("crew");
  });

  test("a flow time that outlasts the mixing but not the next batch: no lanes, said with the age", () => {
    const { plan } = unpourable(pourJob([oneHall], { material: { flowTime: 3.2, healingTime: 3.2 } }), () => 10);
    expect(plan.reasons[0]!.kind === "edge-late" || plan.reasons[0]!.kind === "no-order").toBe(true);
  });

  test("a way out that lies outside the floor, and one that lies inside it", () => {
    const exits = [
      { id: "FAR", at: point(9, 2) },
      { id: "INSIDE", at: point(3, 2) },
    ];
    const problems = problemsOf(pourJob([hall], { pour: { exits }, rest: { units: { plan: "m", height: "mm" } } }));
    expect(problems.map(({ code }) => code)).toEqual(["exit-off-the-floor", "exit-off-the-floor"]);
    const said = problems.map(({ message }) => message.replaceAll("\u00a0", " "));
    expect(said[0]).toContain("outside the floor, 3.000 m from its edge");
    expect(said[1]).toContain("inside room hall, 2.000 m from its edge");
    expect(problems.map(({ place }) => place?.lineText)).toEqual(["pour.exits.0", "pour.exits.1"]);
  });

  test("a place to step off at the floor's edge serves as the way out", () => {
    const { plan } = pourable(pourJob([hall], { pour: { exits: [{ id: "EDGE", at: point(6.1, 0.8) }] } }), () => 10);
    expect(plan.station).toMatchObject({ exitId: "EDGE", placed: "by-plan" });
    expect(plan.dams).toMatchObject([{ why: "open-edge", id: "EDGE" }]);
  });

  test("no door out at all is warned of, room by room", () => {
    const other = madeRoom("other", rectangle(10, 0, 3, 3));
    const { warnings } = planned(pourJob([hall, other]), () => 10);
    const found = warnings.filter(({ code }) => code === "no-way-out");
    expect(found.map(({ place }) => place?.lineText)).toEqual(["rooms.0", "rooms.1"]);
  });

  test("a door that joins a room that is nowhere near", () => {
    const other = madeRoom("other", rectangle(20, 0, 3, 3));
    const rooms = [
      withDoors(hall, doorOut(hall, 1, 0.2, 1), doorTo(hall, "other", 3, 1)),
      withDoors(other, doorOut(other, 0, 1, 0.9, 0, "O2")),
    ];
    const { warnings } = planned(pourJob(rooms), () => 10);
    expect(warnings.map(({ code }) => code)).toContain("door-joins-nothing");
  });
});

describe("what the crew lead is told", () => {
  test("too few people for the mixers", () => {
    const { plan, warnings } = planned(pourJob([oneHall], { crew: { people: 3 } }), () => 10);
    expect(plan.pace.bottleneck).toBe("people");
    expect(warnings.map(({ code }) => code)).toContain("too-few-people");
  });

  test("a station too far for the cycle", () => {
    const { plan, warnings } = planned(pourJob([oneHall], { pour: { station: point(60, 0.7) } }), () => 10);
    expect(plan.station).toMatchObject({ placed: "by-job", at: { x: 60 } });
    expect(plan.pace.bottleneck).toBe("carrying");
    expect(warnings.find(({ code }) => code === "carried-too-far")?.place?.lineText).toBe("pour.station");
  });

  test("rests that the order has no bags for are left out, and said", () => {
    const back = madeRoom("back", rectangle(0, 4.2, 6, 3.9));
    const rooms = [oneHall, withDoors(back, doorTo(back, "hall", 0, 3, 0.9, 0.2, "D1"))];
    const job = pourJob(rooms, { crew: { changeover: 10 }, material: { yieldPerBag: 10.9 } });
    const { plan, warnings, quantities } = planned(job, () => 10);
    expect(plan.batches.at(-1)!.cumulativeBags).toBe(quantities.bags.toOrder);
    expect(plan.bagsShortForStops > 0).toBe(warnings.some(({ code }) => code === "no-bags-for-stops"));
    expect(plan.bagsShortForStops).toBe(1);
  });
});
