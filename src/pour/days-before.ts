/** The days before, counted back from the first powder, and the values that the lead checks just before it. */
import type { Job } from "../job/model.ts";
import type { Quantities } from "../quantities/model.ts";
import type { Minutes } from "../units.ts";
import type { Dam, GoNoGo, Plug, PrepStep, PrepStepKind } from "./model.ts";

const HOUR: Minutes = 60;
const DAY: Minutes = 24 * HOUR;

/** Air conditioning from 48 h before (common practice). */
const CONDITIONING: Minutes = 2 * DAY;
/** Moisture probes need 24 h to come to equilibrium, at 48 h of service conditions (ASTM F2170). */
const MOISTURE: Minutes = 3 * DAY;
/** Material and water stand in the room overnight to come to its temperature (common practice). */
const TEMPERING: Minutes = DAY;
/** Slab surface at least 5 °F above the dew point (common practice; 5 °F is 2.8 K). */
export const ABOVE_DEW_POINT_C = 5 / 1.8;
/** Drying counted on for planning where the primer's data sheet was not read for it; the step says that it is unknown. */
const DRYING_UNKNOWN: Minutes = DAY;
/** What one pass over the floor takes, for planning in whole steps of half a day (our own choice). */
const HALF_DAY: Minutes = 4 * HOUR;

type Who = PrepStep["who"];

/**
 * The steps that this floor needs, earliest first: by its substrate, its high spots, its primer, its doors and drains.
 * Nothing is put before the data sheet's own times; where one was not read, the step says so.
 */
export function daysBefore(
  job: Job,
  quantities: Quantities,
  { grinds, dams, plugs }: { readonly grinds: boolean; readonly dams: readonly Dam[]; readonly plugs: readonly Plug[] },
): PrepStep[] {
  const { primer, floor } = job;
  const coats = primer.coatsOn[floor.absorbency].length;
  const drying = primer.dryingTime ?? DRYING_UNKNOWN;
  const unknownPrimer = coats > 0 && primer.dryingTime === undefined;
  const primed = coats === 0 ? 0 : drying;
  const steps: PrepStep[] = [];
  const add = (step: PrepStepKind, who: Who, doneBefore: Minutes, more: Partial<PrepStep> = {}): void => {
    steps.push({ step, who, doneBefore, timeUnknown: false, ...more });
  };
  // Primer goes on after the last vacuum, and the pour follows inside its open time.
  const firstCoat = drying * coats;
  const prepared = firstCoat + HALF_DAY;
  if (coats > 0) {
    add("prime", "crew", firstCoat, {
      ...(primer.openTime === undefined ? {} : { notBefore: primer.openTime + drying * (coats - 1) }),
      timeUnknown: unknownPrimer,
    });
    if (coats > 1) {
      add("second-coat", "crew", primed, {
        ...(primer.openTime === undefined ? {} : { notBefore: primer.openTime }),
        timeUnknown: unknownPrimer,
      });
    }
    add("pinholes", "lead", HOUR);
  }
  add("vacuum", "crew", coats > 0 ? firstCoat + HOUR : HALF_DAY, { timeUnknown: unknownPrimer });
  add("clean", "crew", prepared, { timeUnknown: unknownPrimer });
  if (floor.substrate === "concrete") {
    add("moisture-tests", "contractor", prepared + MOISTURE);
    add("cracks-filled", "crew", prepared + DAY);
    add("profile", "crew", prepared + HALF_DAY);
    add("joints-located", "lead", prepared + DAY);
    add("asbestos-and-lead", "licensed", prepared + 2 * DAY);
  } else if (floor.substrate === "wood") {
    add("boards-fastened", "crew", prepared + DAY);
    add("gaps-sealed", "crew", prepared + HALF_DAY);
  } else {
    // What lies under either is a slab that still gives off moisture.
    add("moisture-tests", "contractor", prepared + MOISTURE);
    add("asbestos-and-lead", "licensed", prepared + 4 * DAY);
    if (floor.substrate === "old-tile") {
      add("tiles-sounded", "crew", prepared + 2 * DAY);
      add("tiles-abraded", "crew", prepared + HALF_DAY);
    } else {
      add("adhesive-removed", "crew", prepared + 2 * DAY);
      add("profile", "crew", prepared + HALF_DAY);
    }
  }
  if (floor.support === "suspended") add("structure-accepted", "licensed", prepared + 3 * DAY);
  if (grinds) add("grind", "crew", prepared + HALF_DAY);
  const dry = Math.max(HALF_DAY / 2, primed / 2);
  add("perimeter-strip", "crew", dry, { timeUnknown: unknownPrimer });
  if (dams.length > 0) add("dams", "crew", dry, { timeUnknown: unknownPrimer });
  if (plugs.length > 0) add("plugs", "crew", dry, { timeUnknown: unknownPrimer });
  add("pins-placed", "crew", dry, { timeUnknown: unknownPrimer });
  add("pins-checked", "lead", HOUR);
  add("conditioning-on", "contractor", CONDITIONING);
  if (quantities.bags.toOrder > 0) add("material-staged", "crew", TEMPERING);
  add("material-to-temperature", "crew", TEMPERING);
  add("spare-mixer", "lead", HOUR);
  return steps.sort((p, q) => q.doneBefore - p.doneBefore);
}

/** What the lead checks before the first batch, with its values. `duration`: from the first powder to the last placing. */
export function goNoGo(job: Job, bags: number, batches: number, duration: Minutes): GoNoGo {
  const { material, primer } = job;
  const { flowRing } = material;
  return {
    aboveDewPointC: ABOVE_DEW_POINT_C,
    bags,
    ...(material.slabTemperatures ? { slabTemperatures: material.slabTemperatures } : {}),
    ...(material.waterTemperatures ? { waterTemperatures: material.waterTemperatures } : {}),
    ...(primer.dryingTime === undefined ? {} : { primerDry: primer.dryingTime }),
    ...(primer.openTime === undefined
      ? {}
      : { primerOpen: primer.openTime, primerLatestStart: primer.openTime - duration }),
    ...(flowRing ? { flowRing: { ...flowRing, batches: ringBatches(batches, flowRing.everyBatches) } } : {}),
  };
}

/** The first batch and every nth after it. */
const ringBatches = (batches: number, every: number): number[] =>
  Array.from({ length: Math.ceil(batches / every) }, (_, k) => 1 + k * every);
