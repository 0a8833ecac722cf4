/** Entries of the library but materials: each against its schema, in the units of the model. */
import type { Diagnostic } from "../diagnostics.ts";
import {
  type Kilowatts,
  type Litres,
  type LitresPerMinute,
  type Metres,
  type MetresPerMinute,
  type Millimetres,
  type Minutes,
  millimetres,
  minutes,
  type SquareMetresPerLitre,
} from "../units.ts";
import { given } from "./given.ts";
import { type Entry, namedEntry, placeOfEntry, readEntry } from "./library.ts";
import type { Company, Crew, DataSheet, Fluid, Instrument, PinSpec, Primer, Pump } from "./library-model.ts";
import {
  type CrewText,
  companySchema,
  crewSchema,
  instrumentSchema,
  pinSchema,
  primerSchema,
} from "./schema-library.ts";
import { placeOf } from "./yaml-places.ts";

/** Library lengths come in millimetres. */
const inMetres = (length: number): Metres => (length / 1000) as Metres;
const asIs = <T>(value: T): T => value;

export const dataSheetOf = (text: {
  title: string;
  date?: string | undefined;
  example?: boolean | undefined;
}): DataSheet => ({
  title: text.title,
  ...given("date", text.date, asIs),
  example: text.example ?? false,
});

export function readPrimer(entry: Entry, problems: Diagnostic[]): Primer | undefined {
  const text = readEntry(entry, primerSchema, namedEntry("primer", entry), problems);
  if (text === undefined) return undefined;
  const coats = (list: readonly { water_to_one: number; coverage: number }[]) =>
    list.map(({ water_to_one, coverage }) => ({
      waterToOne: water_to_one,
      coverage: coverage as SquareMetresPerLitre,
    }));
  return {
    id: text.id,
    name: text.name,
    dataSheet: dataSheetOf(text.data_sheet),
    coatsOn: { porous: coats(text.coats_on.porous), dense: coats(text.coats_on.dense) },
    ...given("dryingTime", text.drying_time, minutes),
    ...given("openTime", text.open_time, minutes),
    place: placeOfEntry(entry),
  };
}

export function readPins(entry: Entry, problems: Diagnostic[]): PinSpec | undefined {
  const text = readEntry(entry, pinSchema, namedEntry("pins", entry), problems);
  if (text === undefined) return undefined;
  if (text.least_cut > text.greatest_cut) {
    problems.push({
      code: "range-turned-round",
      severity: "error",
      message: `Pins ${text.id}: the shortest cut is longer than the longest.`,
      expected: "least_cut no more than greatest_cut",
      place: placeOf(entry.document, [...entry.path, "least_cut"]),
    });
    return undefined;
  }
  return {
    id: text.id,
    name: text.name,
    foot: text.foot as Millimetres,
    scaleCountsFoot: text.scale_counts_foot,
    leastCut: text.least_cut as Millimetres,
    greatestCut: text.greatest_cut as Millimetres,
    recutAt: text.recut_at as Millimetres,
    place: placeOfEntry(entry),
  };
}

export function readInstrument(entry: Entry, problems: Diagnostic[]): Instrument | undefined {
  const text = readEntry(entry, instrumentSchema, namedEntry("instrument", entry), problems);
  if (text === undefined) return undefined;
  return {
    id: text.id,
    name: text.name,
    kind: text.kind,
    readingSd: text.reading_sd as Millimetres,
    ...given("hoseLength", text.hose_length, inMetres),
    ...given("range", text.range, millimetres),
    ...given("fluid", text.fluid, fluidOf),
    place: placeOfEntry(entry),
  };
}

const fluidOf = (text: "water" | { name: string; expansion: number }): Fluid =>
  text === "water" ? { kind: "water" } : { kind: "other", name: text.name, expansionPerKelvin: text.expansion };

const pumpOf = (text: NonNullable<CrewText["pump"]>): Pump => ({
  rate: text.rate as LitresPerMinute,
  ...given("mixesItself", text.mixes_itself, (itself) => itself),
  ...given("hoseLength", text.hose_length, inMetres),
  ...given("hoseBore", text.hose_bore, millimetres),
  ...given("restartLimit", text.restart_limit, minutes),
  ...given("startingWaste", text.starting_waste, (waste) => waste as Litres),
});

export function readCrew(entry: Entry, problems: Diagnostic[]): Crew | undefined {
  const text = readEntry(entry, crewSchema, namedEntry("crew", entry), problems);
  if (text === undefined) return undefined;
  const inRoles = (text.roles ?? []).reduce((sum, { people }) => sum + people, 0);
  if (inRoles > text.people) {
    problems.push({
      code: "more-roles-than-people",
      severity: "error",
      message: `Crew ${text.id}: ${inRoles} people have roles, but there are ${text.people}.`,
      expected: `roles of at most ${text.people} people`,
      place: placeOf(entry.document, [...entry.path, "roles"]),
    });
    return undefined;
  }
  if (text.mix_time > text.barrel_cycle) {
    problems.push({
      code: "mixing-longer-than-cycle",
      severity: "error",
      message: `Crew ${text.id}: mixing takes longer than the whole cycle of a barrel.`,
      expected: "mix_time less than barrel_cycle, which holds measuring, mixing, carrying, emptying and rinsing",
      place: placeOf(entry.document, [...entry.path, "mix_time"]),
    });
    return undefined;
  }
  return {
    id: text.id,
    name: text.name,
    people: text.people,
    barrels: text.barrels,
    bagsPerBarrel: text.bags_per_barrel,
    barrelCycle: text.barrel_cycle as Minutes,
    mixTime: text.mix_time as Minutes,
    laneWidth: inMetres(text.lane_width),
    ...given("leastLaneWidth", text.least_lane_width, inMetres),
    ...given("carryingPace", text.carrying_pace, (pace) => pace as MetresPerMinute),
    ...given("pump", text.pump, pumpOf),
    ...given("roles", text.roles, asIs),
    ...given("longestPour", text.longest_pour, minutes),
    ...given("changeover", text.changeover, minutes),
    ...given("rest", text.rest, ({ after, length }) => ({ after: minutes(after), length: minutes(length) })),
    ...given("mixerPower", text.mixer_power, (power) => power as Kilowatts),
    place: placeOfEntry(entry),
  };
}

export function readCompany(entry: Entry, problems: Diagnostic[]): Company | undefined {
  const text = readEntry(entry, companySchema, "the company", problems);
  if (text === undefined) return undefined;
  const { name, address, phone, site } = text;
  return {
    name,
    ...given("address", address, asIs),
    ...given("phone", phone, asIs),
    ...given("site", site, asIs),
  };
}
