/** From the job's set-ups to the plain arrays that `network.ts` solves. */
import type { Diagnostic } from "../diagnostics.ts";
import type { Point } from "../geometry/point.ts";
import type { AdjustmentRules, BenchMark, SetUp } from "../job/model.ts";
import type { PlanPoint } from "../layout/model.ts";
import type { ReadingRef } from "./model.ts";
import type { GivenLevel, Network } from "./network.ts";

/** A network together with the names of what is in it. */
export interface Observations {
  readonly network: Network;
  readonly setUps: readonly SetUp[];
  /** Per point of the network. */
  readonly places: readonly NetworkPlace[];
  /** Per reading of the network, in the order of the job; zero checks of a set-up follow its readings. */
  readonly refs: readonly ReadingRef[];
  /** Readings of no known point: left out of the network. */
  readonly unknown: readonly ReadingRef[];
  /** Per set-up: the clock of its drift, and how much of it the set-up took. */
  readonly clocks: readonly SetUpClock[];
  readonly warnings: readonly Diagnostic[];
}

export interface NetworkPlace {
  readonly id: string;
  /** Absent for the zero mark of a set-up, which need not be on the plan. */
  readonly at?: Point;
  readonly planPoint?: PlanPoint;
  readonly benchMark?: BenchMark;
}

export type SetUpClock = { readonly kind: "none" } | { readonly kind: "minutes" | "readings"; readonly whole: number };

/**
 * Gathers the readings of some set-ups. `given` says what is known of a place beforehand: a held or
 * weighted bench mark, or a level from an earlier adjustment.
 */
export function gatherObservations(
  setUps: readonly SetUp[],
  points: readonly PlanPoint[],
  benchMarks: readonly BenchMark[],
  rules: AdjustmentRules,
  given: (place: NetworkPlace) => GivenLevel,
): Observations {
  const planPoints = new Map(points.map((planPoint) => [planPoint.id, planPoint]));
  const marks = new Map(benchMarks.map((mark) => [mark.id, mark]));
  const places: NetworkPlace[] = [];
  const placeIndex = new Map<string, number>();
  const refs: ReadingRef[] = [];
  const unknown: ReadingRef[] = [];
  const warnings: Diagnostic[] = [];
  const pointOf: number[] = [];
  const setUpOf: number[] = [];
  const clock: number[] = [];
  const readMm: number[] = [];
  const sdMm: number[] = [];
  const used: number[] = [];
  const clocks: SetUpClock[] = [];

  setUps.forEach((setUp, s) => {
    const { taken, setUpClock } = clockOf(setUp, rules, warnings);
    clocks.push(setUpClock);
    const add = (place: number, ref: ReadingRef, level: number, at: number, counts: boolean) => {
      pointOf.push(place);
      setUpOf.push(s);
      clock.push(at);
      readMm.push(level);
      sdMm.push(setUp.instrument.readingSd);
      used.push(counts ? 1 : 0);
      refs.push(ref);
    };
    setUp.readings.forEach((reading, index) => {
      const { pointId, place } = reading;
      const ref: ReadingRef = { setUpId: setUp.id, index, kind: "reading", pointId, place };
      let at = placeIndex.get(pointId);
      if (at === undefined) {
        const planPoint = planPoints.get(pointId);
        const benchMark = marks.get(pointId);
        const where = planPoint?.at ?? benchMark?.at;
        if (where === undefined) {
          unknown.push(ref);
          return;
        }
        at = places.length;
        placeIndex.set(pointId, at);
        places.push({ id: pointId, at: where, ...(planPoint && { planPoint }), ...(benchMark && { benchMark }) });
      }
      add(at, ref, reading.level, taken(index + 0.5, reading.time), reading.struck === undefined);
    });
    const checks = setUp.zeroChecks ?? [];
    if (checks.length > 0) {
      const mark = places.length;
      places.push({ id: `zero mark of ${setUp.id}` });
      const first = checks[0]!;
      const refOf = (index: number): ReadingRef => ({
        setUpId: setUp.id,
        index,
        kind: "zero-check",
        pointId: places[mark]!.id,
        place: checks[Math.max(index, 0)]!.place,
      });
      // Setting the zero at the start is a reading of the mark too, and nobody writes that one down.
      if (first.afterReadings > 0) add(mark, refOf(-1), 0, 0, true);
      checks.forEach((check, index) => {
        add(mark, refOf(index), check.level, taken(check.afterReadings, check.time), true);
      });
    }
  });

  return {
    network: {
      setUpCount: setUps.length,
      given: places.map(given),
      zeroHeld: setUps.map(() => false),
      withDrift: clocks.map((setUpClock) => setUpClock.kind !== "none"),
      pointOf: Int32Array.from(pointOf),
      setUpOf: Int32Array.from(setUpOf),
      clock: Float64Array.from(clock),
      readMm: Float64Array.from(readMm),
      sdMm: Float64Array.from(sdMm),
      used: Uint8Array.from(used),
    },
    setUps,
    places,
    refs,
    unknown,
    clocks,
    warnings,
  };
}

interface TakenAt {
  /** The time, 0 to 1, of what stood at a position among the set-up's readings, or at a time as typed. */
  readonly taken: (position: number, time: number | undefined) => number;
  readonly setUpClock: SetUpClock;
}

/**
 * The clock of a set-up's drift. Where its zero checks carry times the clock counts minutes, and a
 * reading without a time stands evenly between the times around it; else it counts readings.
 */
function clockOf(setUp: SetUp, rules: AdjustmentRules, warnings: Diagnostic[]): TakenAt {
  const checks = setUp.zeroChecks ?? [];
  const none: TakenAt = { taken: () => 0, setUpClock: { kind: "none" } };
  // Two looks at the mark at different times are the least that shows a drift; the first is the setting of the zero.
  if (rules.drift === "none" || !checks.some((check) => check.afterReadings > 0)) return none;

  const knots: { position: number; time: number }[] = [];
  for (const check of checks)
    if (check.time !== undefined) knots.push({ position: check.afterReadings, time: check.time });
  setUp.readings.forEach((reading, index) => {
    if (reading.time !== undefined) knots.push({ position: index + 0.5, time: reading.time });
  });
  knots.sort((a, b) => a.position - b.position);
  const first = knots[0];
  const last = knots[knots.length - 1];
  const backwards = knots.findIndex((knot, k) => k > 0 && knot.time < knots[k - 1]!.time);
  if (backwards > 0) {
    warnings.push({
      code: "times-run-backwards",
      severity: "warning",
      message: `the times of set-up ${setUp.id} run backwards; its drift is worked out by the count of readings instead`,
      expected: "times in the order of the readings",
      place: checks[0]!.place,
    });
  }
  const timed = checks.every((check) => check.time !== undefined);
  if (timed && backwards < 0 && first && last && last.time > first.time && first.position <= 1) {
    const whole = last.time - first.time;
    const timeAt = (position: number): number => {
      const next = knots.findIndex((knot) => knot.position >= position);
      if (next === 0) return first.time;
      if (next < 0) return last.time;
      const before = knots[next - 1]!;
      const after = knots[next]!;
      const share = (position - before.position) / (after.position - before.position);
      return before.time + share * (after.time - before.time);
    };
    return {
      taken: (position, time) => ((time ?? timeAt(position)) - first.time) / whole,
      setUpClock: { kind: "minutes", whole },
    };
  }
  const whole = Math.max(setUp.readings.length, ...checks.map((check) => check.afterReadings));
  return { taken: (position) => position / whole, setUpClock: { kind: "readings", whole } };
}
