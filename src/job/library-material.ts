/** A levelling material: its values in the units of the model, and whether they can be true. */

import type { Diagnostic } from "../diagnostics.ts";
import { decimal } from "../format.ts";
import {
  type Celsius,
  KG_PER_L_PER_POUND_PER_CUBIC_FOOT,
  type Kilograms,
  type KilogramsPerLitre,
  type Litres,
  type Metres,
  type Millimetres,
  type MillimetresPerMetre,
  type Minutes,
  minutes,
  share,
} from "../units.ts";
import { given } from "./given.ts";
import { type Entry, namedEntry, placeOfEntry, readEntry } from "./library.ts";
import { dataSheetOf } from "./library-entries.ts";
import {
  type AggregateExtension,
  type Material,
  SUBSTRATES,
  type TemperatureRange,
  type TimesAtTemperature,
} from "./library-model.ts";
import { type MaterialText, materialSchema } from "./schema-library.ts";
import { placeOf } from "./yaml-places.ts";

/** How far bag and water may be from yield × wet density. */
const BALANCE_SHARE = 0.05;

/** Fresh levelling mixes, kg/L: gypsum-based 110 to 120 lb/ft³, cement-based 120 to 130, and a little over. Common practice. */
const USUAL_WET_DENSITY = [1.6, 2.2] as const;

/** A litre of water weighs a kilogram within 0.3 % at any site temperature (998.2071 kg/m³ at 20 °C). */
const KG_PER_L_WATER = 1;

export function readMaterial(entry: Entry, problems: Diagnostic[]): Material | undefined {
  const text = readEntry(entry, materialSchema, namedEntry("material", entry), problems);
  if (text === undefined) return undefined;
  const at = (key: string) => placeOf(entry.document, [...entry.path, key]);
  const mixed = text.bag + text.water * KG_PER_L_WATER;
  const made = text.yield * text.wet_density;
  const balances = Math.abs(mixed - made) <= BALANCE_SHARE * mixed;
  if (!balances) {
    const per = (value: number) => `${decimal(value, 2)} kg`;
    problems.push({
      code: "material-does-not-balance",
      severity: "error",
      message: `Material ${text.id}: bag and water weigh ${per(mixed)}, but yield × wet density makes ${per(made)}, ${Math.round((made / mixed - 1) * 100)} % off.`,
      expected: `within ${BALANCE_SHARE * 100} %: with this bag, water and density the yield would be ${decimal(mixed / text.wet_density, 2)} L`,
      hint: "Check bag, water, yield and wet density against the data sheet: one of them is wrong.",
      place: at("yield"),
    });
  }
  const [lightest, heaviest] = USUAL_WET_DENSITY;
  if (text.wet_density < lightest || text.wet_density > heaviest) {
    problems.push({
      code: "unusual-wet-density",
      severity: "warning",
      message: `Material ${text.id}: ${decimal(text.wet_density, 2)} kg/L is not the density of a levelling mix.`,
      expected: `${lightest} to ${heaviest} kg/L (${Math.round(lightest / KG_PER_L_PER_POUND_PER_CUBIC_FOOT)} to ${Math.round(heaviest / KG_PER_L_PER_POUND_PER_CUBIC_FOOT)} lb/ft³)`,
      hint: "Check yield and wet density against the data sheet: they may balance and both be wrong.",
      place: at("wet_density"),
    });
  }
  const rangesTurned = objectToRanges(text, entry, problems);
  const aggregateGains = objectToAggregate(text, entry, problems);
  if (!balances || rangesTurned || !aggregateGains) return undefined;
  return {
    id: text.id,
    name: text.name,
    binder: text.binder,
    dataSheet: dataSheetOf(text.data_sheet),
    bag: text.bag as Kilograms,
    yieldPerBag: text.yield as Litres,
    waterPerBag: text.water as Litres,
    wetDensity: text.wet_density as KilogramsPerLitre,
    flowTime: text.flow_time as Minutes,
    ...given("healingTime", text.healing_time, minutes),
    ...given("walkOn", text.walk_on, minutes),
    ...given("protection", text.protection, ({ light_trades, covering, heavy_loads, heating }) => ({
      ...given("lightTrades", light_trades, minutes),
      ...given("covering", covering, minutes),
      ...given("heavyLoads", heavy_loads, minutes),
      ...given("heating", heating, minutes),
    })),
    depthOn: {
      ...given("concrete", text.depth_on.concrete, rangeOf),
      ...given("wood", text.depth_on.wood, rangeOf),
      ...given("old-tile", text.depth_on["old-tile"], rangeOf),
      ...given("old-adhesive", text.depth_on["old-adhesive"], rangeOf),
    },
    greatestLift: text.greatest_lift as Millimetres,
    ...given("waitBetweenLifts", text.wait_between_lifts, minutes),
    greatestFall: text.greatest_fall as MillimetresPerMetre,
    ...given("feathers", text.feathers, (allowed) => allowed),
    ...given("aggregate", text.aggregate, aggregateOf),
    ...given("yieldTolerance", text.yield_tolerance, share),
    ...given("timesAt", text.times_at, (times) => times.map(timesAtTemperature)),
    ...given("flowRing", text.flow_ring, ({ least, greatest, every_batches }) => ({
      ...rangeOf({ least, greatest }),
      everyBatches: every_batches,
    })),
    ...given("slabTemperatures", text.slab_temperatures, temperaturesOf),
    ...given("waterTemperatures", text.water_temperatures, temperaturesOf),
    ...given("primeBetweenLifts", text.prime_between_lifts, (asked) => asked),
    pinSpacing: (text.pin_spacing / 1000) as Metres,
    pinSpacingAtDoors: (text.pin_spacing_at_doors / 1000) as Metres,
    place: placeOfEntry(entry),
  };
}

/** Objects to every least that is more than its greatest; true where there is one. */
function objectToRanges(text: MaterialText, entry: Entry, problems: Diagnostic[]): boolean {
  const ranges = [
    ...SUBSTRATES.map((substrate) => ({
      what: `depth on ${substrate}`,
      range: text.depth_on[substrate],
      path: ["depth_on", substrate],
    })),
    { what: "spread of the flow ring", range: text.flow_ring, path: ["flow_ring"] },
    { what: "temperature of the slab", range: text.slab_temperatures, path: ["slab_temperatures"] },
    { what: "temperature of the water", range: text.water_temperatures, path: ["water_temperatures"] },
  ];
  const turned = ranges.filter(({ range }) => range !== undefined && range.least > range.greatest);
  for (const { what, path } of turned) {
    problems.push({
      code: "range-turned-round",
      severity: "error",
      message: `Material ${text.id}: the least ${what} is more than the greatest.`,
      expected: "least no more than greatest",
      place: placeOf(entry.document, [...entry.path, ...path, "least"]),
    });
  }
  return turned.length > 0;
}

/** Aggregate takes room: a bag with it in makes more mix than a neat one. True where it does. */
function objectToAggregate(text: MaterialText, entry: Entry, problems: Diagnostic[]): boolean {
  if (text.aggregate === undefined || text.aggregate.yield > text.yield) return true;
  problems.push({
    code: "aggregate-without-gain",
    severity: "error",
    message: `Material ${text.id}: a bag with aggregate makes no more mix than a neat one.`,
    expected: `a yield above ${decimal(text.yield, 2)} L`,
    place: placeOf(entry.document, [...entry.path, "aggregate", "yield"]),
  });
  return false;
}

const rangeOf = ({ least, greatest }: { least: number; greatest: number }) => ({
  least: least as Millimetres,
  greatest: greatest as Millimetres,
});

const aggregateOf = (text: NonNullable<MaterialText["aggregate"]>): AggregateExtension => ({
  name: text.name,
  perBag: text.per_bag as Kilograms,
  yieldPerBag: text.yield as Litres,
  waterPerBag: text.water as Litres,
  leastDepth: text.least_depth as Millimetres,
  neatOnTop: text.neat_on_top as Millimetres,
});

const timesAtTemperature = (text: NonNullable<MaterialText["times_at"]>[number]): TimesAtTemperature => ({
  temperature: text.temperature as Celsius,
  flowTime: text.flow_time as Minutes,
  ...given("healingTime", text.healing_time, minutes),
});

const temperaturesOf = ({ least, greatest }: { least: number; greatest: number }): TemperatureRange => ({
  least: least as Celsius,
  greatest: greatest as Celsius,
});
