/** What a pour is planned from: the day, the crew, the data sheet. */
import { describe, expect, test } from "vitest";
import { changed, GOOD, printed, read } from "./job-text.ts";

const jobOf = (text: string) => {
  const { job, diagnostics } = read(text);
  if (job === undefined) throw new Error(printed(diagnostics));
  return job;
};

const codes = (text: string): string[] => read(text).diagnostics.map(({ code }) => code);

const POUR = `pour:
  start: 2027-03-04 07:30
  edge_margin: 1 min
  station: [2', -4']
  exits: [{ id: X1, at: [0, 6'] }]
  moving_joints: [{ id: J1, from: [10', 0], to: [10', 12'] }]
  dams: [{ id: DAM1, from: [0, 6'], to: [20', 6'] }]
  drains: [{ id: FD1, at: [15', 3'] }]
  pallets_at: [[1', 1'], [1', 5']]
  slab_temperature: 68 °F
  bag_check_share: 5 %
`;

test("the day", () => {
  expect(jobOf(`${GOOD}${POUR}`).pour).toMatchObject({
    start: "2027-03-04 07:30",
    edgeMargin: 1,
    station: { x: expect.closeTo(0.6096, 9), y: expect.closeTo(-1.2192, 9) },
    exits: [{ id: "X1", at: { x: 0 } }],
    movingJoints: [{ id: "J1", to: { y: expect.closeTo(3.6576, 9) } }],
    dams: [{ id: "DAM1" }],
    drains: [{ id: "FD1" }],
    palletsAt: [{ x: expect.closeTo(0.3048, 9) }, {}],
    // 68 °F is 20 °C.
    slabTemperature: expect.closeTo(20, 9),
    bagCheckShare: 0.05,
    // The library's, for the job gives none.
    lossAllowance: 0.05,
  });
});

const CREW = `crew:
  id: own
  name: Own crew
  people: 6
  barrels: 2
  bags_per_barrel: 2
  barrel_cycle: 6 min
  mix_time: 2.5 min
  lane_width: 10 ft
  least_lane_width: 3 ft
  carrying_pace: 150 ft/min
  pump: { rate: 30 gal/min, hose_length: 100 ft, hose_bore: 1-1/2 in, restart_limit: 15 min, starting_waste: 10 gal }
  roles: [{ role: lead, people: 1 }, { role: mix, people: 2 }]
  longest_pour: 6 h
  changeover: 10 min
  rest: { after: 2 h, length: 15 min }
  mixer_power: 2 hp
`;

test("the crew", () => {
  expect(jobOf(`${GOOD}${CREW}`).crew).toMatchObject({
    // 150 ft × 0.3048; 30 gal × 3.785411784 L; 1 hp = 0.74569987 kW.
    carryingPace: expect.closeTo(45.72, 9),
    leastLaneWidth: expect.closeTo(0.9144, 9),
    pump: {
      rate: expect.closeTo(113.562354, 6),
      hoseBore: expect.closeTo(38.1, 9),
      restartLimit: 15,
      startingWaste: expect.closeTo(37.854118, 6),
    },
    roles: [
      { role: "lead", people: 1 },
      { role: "mix", people: 2 },
    ],
    longestPour: 360,
    rest: { after: 120, length: 15 },
    mixerPower: expect.closeTo(1.49139974, 6),
  });
});

const MATERIAL = `material:
  id: own
  name: Own
  binder: cement
  data_sheet: { title: Sheet, date: 2026-02-01 }
  bag: 50 lb
  yield: 0.49 ft³
  water: 5 qt
  wet_density: 123 lb/ft³
  flow_time: 15 min
  depth_on: { concrete: { least: 1/8 in, greatest: 5 in } }
  greatest_lift: 1 in
  greatest_fall: 0 mm/m
  yield_tolerance: 3 %
  aggregate: { name: pea gravel, per_bag: 25 lb, yield: 0.64 ft³, water: 5.25 qt, least_depth: 1-1/2 in, neat_on_top: 1/4 in }
  times_at: [{ temperature: 85 °F, flow_time: 10 min, healing_time: 7 min }]
  flow_ring: { least: 5 in, greatest: 5-3/4 in, every_batches: 10 }
  slab_temperatures: { least: 50 °F, greatest: 80 °F }
  water_temperatures: { least: 50 °F, greatest: 70 °F }
  prime_between_lifts: true
  pin_spacing: 8 ft
  pin_spacing_at_doors: 3 ft`;

describe("the data sheet", () => {
  const text = changed("material: cement-50lb", MATERIAL);

  test("gives what the pour is planned and checked by", () => {
    expect(jobOf(text).material).toMatchObject({
      yieldTolerance: 0.03,
      aggregate: { perBag: expect.closeTo(11.3398, 4), neatOnTop: 6.35, leastDepth: expect.closeTo(38.1, 9) },
      timesAt: [{ temperature: expect.closeTo(29.4444, 4), flowTime: 10, healingTime: 7 }],
      flowRing: { least: 127, greatest: expect.closeTo(146.05, 9), everyBatches: 10 },
      slabTemperatures: { least: expect.closeTo(10, 9), greatest: expect.closeTo(26.6667, 4) },
      primeBetweenLifts: true,
    });
  });

  test.each([
    ["a ring turned round", "least: 5 in,", "least: 6 in,", "range-turned-round"],
    [
      "temperatures turned round",
      "least: 50 °F, greatest: 70 °F",
      "least: 75 °F, greatest: 70 °F",
      "range-turned-round",
    ],
    ["a depth turned round", "least: 1/8 in", "least: 6 in", "range-turned-round"],
    ["aggregate that gains nothing", "yield: 0.64 ft³", "yield: 0.45 ft³", "aggregate-without-gain"],
  ])("refused: %s", (_, from, to, code) => {
    expect(codes(changed(from, to, text))).toEqual([code]);
  });
});

describe("refused", () => {
  test.each([
    ["a dam without length", POUR.replace("to: [20', 6']", "to: [0, 6']"), "line-without-length"],
    ["a joint and a dam of one name", POUR.replace("DAM1", "J1"), "duplicate-id"],
    ["more roles than people", CREW.replace("people: 6", "people: 2"), "more-roles-than-people"],
    ["mixing longer than its cycle", CREW.replace("mix_time: 2.5 min", "mix_time: 7 min"), "mixing-longer-than-cycle"],
    ["a pump without a rate", CREW.replace("rate: 30 gal/min, ", ""), "missing-key"],
    ["a rate of nothing", CREW.replace("30 gal/min", "0 gal/min"), "out-of-range"],
  ])("%s", (_, more, code) => {
    expect(codes(`${GOOD}${more}`)).toEqual([code]);
  });
});
