/** What jobs share: materials, primers, pins, instruments, crews, the company, from the library files. */
import type { z } from "zod";
import type { Diagnostic, SourcePlace } from "../diagnostics.ts";
import type {
  Kilograms,
  KilogramsPerLitre,
  Litres,
  Metres,
  Millimetres,
  MillimetresPerMetre,
  Minutes,
  SquareMetresPerLitre,
} from "../units.ts";
import { KG_PER_L_PER_POUND_PER_CUBIC_FOOT } from "../units.ts";
import type { Company, Crew, Fluid, Instrument, Material, PinSpec, Primer } from "./model.ts";
import {
  companySchema,
  crewSchema,
  instrumentSchema,
  librarySchema,
  materialSchema,
  pinSchema,
  primerSchema,
  usualSchema,
} from "./schema-library.ts";
import { schemaProblems } from "./schema-problems.ts";
import { nodeAt, type Path, placeOf, valueAt } from "./yaml-places.ts";
import { parseYaml, type YamlDocument } from "./yaml-text.ts";

/** The library as read from disk: each file by the name that the office knows it by. */
export interface LibraryFiles {
  readonly files: readonly { readonly file: string; readonly text: string }[];
}

/** Raw entries by their id, not checked yet: only those that a job uses have to be right for it. */
export interface Library {
  readonly company?: Entry;
  readonly usual?: Entry;
  readonly materials: ReadonlyMap<string, Entry>;
  readonly primers: ReadonlyMap<string, Entry>;
  readonly pins: ReadonlyMap<string, Entry>;
  readonly instruments: ReadonlyMap<string, Entry>;
  readonly crews: ReadonlyMap<string, Entry>;
}

/** Something that stands in a file: in the library, or written out in the job. */
export interface Entry {
  readonly document: YamlDocument;
  readonly path: Path;
  readonly value: unknown;
  /** True for one written out in a job: what the schema objects to was said with the rest of the job. */
  readonly inJob?: boolean;
}

const LISTS = ["materials", "primers", "pins", "instruments", "crews"] as const;
type ListName = (typeof LISTS)[number];

/**
 * Reads the library files as far as finding their entries.
 * @returns the entries, and what is wrong with the files themselves: syntax, unknown keys, an id given twice
 */
export function readLibrary(library: LibraryFiles): { readonly library: Library; readonly diagnostics: Diagnostic[] } {
  const diagnostics: Diagnostic[] = [];
  const lists = Object.fromEntries(LISTS.map((name) => [name, new Map<string, Entry>()])) as Record<
    ListName,
    Map<string, Entry>
  >;
  const single: { company?: Entry; usual?: Entry } = {};
  const files = [...library.files].sort((a, b) => (a.file < b.file ? -1 : a.file > b.file ? 1 : 0));
  for (const { file, text } of files) {
    const parsed = parseYaml(text.replace(/^\ufeff/, ""), file);
    diagnostics.push(...parsed.diagnostics);
    if (parsed.document === undefined) continue;
    const { document } = parsed;
    diagnostics.push(...fileProblems(document));
    for (const name of ["company", "usual"] as const) {
      const entry = entryAt(document, [name]);
      if (entry === undefined) continue;
      const earlier = single[name];
      if (earlier === undefined) single[name] = entry;
      else diagnostics.push(givenTwice(name, earlier, entry));
    }
    for (const name of LISTS) {
      const { node } = nodeAt(document.root, [name]);
      if (node === document.root || node.kind !== "list") continue;
      for (const k of node.items.keys()) {
        const entry = entryAt(document, [name, k])!;
        const id = idOf(entry);
        if (id === undefined) continue;
        const earlier = lists[name].get(id);
        if (earlier === undefined) lists[name].set(id, entry);
        else diagnostics.push(givenTwice(id, earlier, entry));
      }
    }
  }
  return { library: { ...single, ...lists }, diagnostics };
}

/** Everything that is wrong with the library, whether a job uses it or not. */
export function checkLibrary(files: LibraryFiles): Diagnostic[] {
  const { library, diagnostics } = readLibrary(files);
  const problems = [...diagnostics];
  if (library.company) readEntry(library.company, companySchema, "the company", problems);
  if (library.usual) readEntry(library.usual, usualSchema, '"usual"', problems);
  for (const entry of library.materials.values()) readMaterial(entry, problems);
  for (const entry of library.primers.values()) readPrimer(entry, problems);
  for (const entry of library.pins.values()) readPins(entry, problems);
  for (const entry of library.instruments.values()) readInstrument(entry, problems);
  for (const entry of library.crews.values()) readCrew(entry, problems);
  return problems;
}

function entryAt(document: YamlDocument, path: Path): Entry | undefined {
  const value = valueAt(document, path);
  return value === undefined ? undefined : { document, path, value };
}

function idOf(entry: Entry): string | undefined {
  const { value } = entry;
  if (value === null || typeof value !== "object" || !Object.hasOwn(value, "id")) return undefined;
  const { id } = value as { id: unknown };
  return typeof id === "string" ? id : undefined;
}

/** Problems of the file itself; those inside of an entry are left to whoever uses it. */
function fileProblems(document: YamlDocument): Diagnostic[] {
  const result = librarySchema.safeParse(document.value);
  if (result.success) return [];
  const ofFile = result.error.issues.filter((issue) => {
    const [key] = issue.path;
    const isEntry = key === "company" || key === "usual" || issue.path.length > 1;
    return !isEntry || (issue.path.length === 2 && issue.code === "invalid_type");
  });
  return schemaProblems(ofFile, librarySchema, document, [], "the library file");
}

const givenTwice = (id: string, earlier: Entry, later: Entry): Diagnostic => {
  const first = placeOf(earlier.document, earlier.path);
  return {
    code: "duplicate-id",
    severity: "error",
    message: `"${id}" is given twice in the library, first in ${first.file} on line ${first.line}.`,
    expected: "one entry for each id, over all library files",
    place: placeOf(later.document, later.path),
  };
};

/** The entry against its schema; undefined after adding what is wrong with it. */
export function readEntry<T extends z.ZodType>(
  entry: Entry,
  schema: T,
  where: string,
  problems: Diagnostic[],
): z.output<T> | undefined {
  const result = schema.safeParse(entry.value);
  if (result.success) return result.data;
  if (entry.inJob !== true)
    problems.push(...schemaProblems(result.error.issues, schema, entry.document, entry.path, where));
  return undefined;
}

export const placeOfEntry = (entry: Entry): SourcePlace => placeOf(entry.document, [...entry.path, "id"]);

const named = (what: string, entry: Entry): string => `${what} ${idOf(entry) ?? "without an id"}`;

/** How far bag and water may be from yield × wet density. */
const BALANCE_SHARE = 0.05;

/** Fresh levelling mixes, kg/L: gypsum-based 110 to 120 lb/ft³, cement-based 120 to 130, and a little over. Common practice. */
const USUAL_WET_DENSITY = [1.6, 2.2] as const;

/** A litre of water weighs a kilogram within 0.3 % at any site temperature (998.2071 kg/m³ at 20 °C). */
const KG_PER_L_WATER = 1;

export function readMaterial(entry: Entry, problems: Diagnostic[]): Material | undefined {
  const text = readEntry(entry, materialSchema, named("material", entry), problems);
  if (text === undefined) return undefined;
  const at = (key: string) => placeOf(entry.document, [...entry.path, key]);
  const mixed = text.bag + text.water * KG_PER_L_WATER;
  const made = text.yield * text.wet_density;
  const balances = Math.abs(mixed - made) <= BALANCE_SHARE * mixed;
  if (!balances) {
    const per = (value: number) => `${Number(value.toFixed(2))} kg`;
    problems.push({
      code: "material-does-not-balance",
      severity: "error",
      message: `Material ${text.id}: bag and water weigh ${per(mixed)}, but yield × wet density makes ${per(made)}, ${Math.round((made / mixed - 1) * 100)} % off.`,
      expected: `within ${BALANCE_SHARE * 100} %: with this bag, water and density the yield would be ${Number((mixed / text.wet_density).toFixed(2))} L`,
      hint: "Check bag, water, yield and wet density against the data sheet: one of them is wrong.",
      place: at("yield"),
    });
  }
  const [lightest, heaviest] = USUAL_WET_DENSITY;
  if (text.wet_density < lightest || text.wet_density > heaviest) {
    problems.push({
      code: "unusual-wet-density",
      severity: "warning",
      message: `Material ${text.id}: ${Number(text.wet_density.toFixed(2))} kg/L is not the density of a levelling mix.`,
      expected: `${lightest} to ${heaviest} kg/L (${Math.round(lightest / KG_PER_L_PER_POUND_PER_CUBIC_FOOT)} to ${Math.round(heaviest / KG_PER_L_PER_POUND_PER_CUBIC_FOOT)} lb/ft³)`,
      hint: "Check yield and wet density against the data sheet: they may balance and both be wrong.",
      place: at("wet_density"),
    });
  }
  let rangesTurned = false;
  for (const substrate of ["concrete", "wood", "old-covering"] as const) {
    const range = text.depth_on[substrate];
    if (range === undefined || range.least <= range.greatest) continue;
    rangesTurned = true;
    problems.push({
      code: "depths-turned-round",
      severity: "error",
      message: `Material ${text.id}: the least depth on ${substrate} is more than the greatest.`,
      expected: "least no more than greatest",
      place: placeOf(entry.document, [...entry.path, "depth_on", substrate, "least"]),
    });
  }
  if (!balances || rangesTurned) return undefined;
  const { concrete, wood, "old-covering": oldCovering } = text.depth_on;
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
    ...(text.healing_time === undefined ? {} : { healingTime: text.healing_time as Minutes }),
    ...(text.walk_on === undefined ? {} : { walkOn: text.walk_on as Minutes }),
    depthOn: {
      ...(concrete === undefined ? {} : { concrete: rangeOf(concrete) }),
      ...(wood === undefined ? {} : { wood: rangeOf(wood) }),
      ...(oldCovering === undefined ? {} : { "old-covering": rangeOf(oldCovering) }),
    },
    greatestLift: text.greatest_lift as Millimetres,
    ...(text.wait_between_lifts === undefined ? {} : { waitBetweenLifts: text.wait_between_lifts as Minutes }),
    greatestFall: text.greatest_fall as MillimetresPerMetre,
    ...(text.feathers === undefined ? {} : { feathers: text.feathers }),
    pinSpacing: (text.pin_spacing / 1000) as Metres,
    pinSpacingAtDoors: (text.pin_spacing_at_doors / 1000) as Metres,
    place: placeOfEntry(entry),
  };
}

const rangeOf = ({ least, greatest }: { least: number; greatest: number }) => ({
  least: least as Millimetres,
  greatest: greatest as Millimetres,
});

const dataSheetOf = (text: { title: string; date?: string | undefined; example?: boolean | undefined }) => ({
  title: text.title,
  ...(text.date === undefined ? {} : { date: text.date }),
  example: text.example ?? false,
});

export function readPrimer(entry: Entry, problems: Diagnostic[]): Primer | undefined {
  const text = readEntry(entry, primerSchema, named("primer", entry), problems);
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
    place: placeOfEntry(entry),
  };
}

export function readPins(entry: Entry, problems: Diagnostic[]): PinSpec | undefined {
  const text = readEntry(entry, pinSchema, named("pins", entry), problems);
  if (text === undefined) return undefined;
  if (text.least_cut > text.greatest_cut) {
    problems.push({
      code: "depths-turned-round",
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
  const text = readEntry(entry, instrumentSchema, named("instrument", entry), problems);
  if (text === undefined) return undefined;
  return {
    id: text.id,
    name: text.name,
    kind: text.kind,
    readingSd: text.reading_sd as Millimetres,
    ...(text.hose_length === undefined ? {} : { hoseLength: (text.hose_length / 1000) as Metres }),
    ...(text.range === undefined ? {} : { range: text.range as Millimetres }),
    ...(text.fluid === undefined ? {} : { fluid: fluidOf(text.fluid) }),
    place: placeOfEntry(entry),
  };
}

const fluidOf = (text: "water" | { name: string; expansion: number }): Fluid =>
  text === "water" ? { kind: "water" } : { kind: "other", name: text.name, expansionPerKelvin: text.expansion };

export function readCrew(entry: Entry, problems: Diagnostic[]): Crew | undefined {
  const text = readEntry(entry, crewSchema, named("crew", entry), problems);
  if (text === undefined) return undefined;
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
    laneWidth: (text.lane_width / 1000) as Metres,
    place: placeOfEntry(entry),
  };
}

export function readCompany(entry: Entry, problems: Diagnostic[]): Company | undefined {
  const text = readEntry(entry, companySchema, "the company", problems);
  if (text === undefined) return undefined;
  const { name, address, phone, site } = text;
  return {
    name,
    ...(address === undefined ? {} : { address }),
    ...(phone === undefined ? {} : { phone }),
    ...(site === undefined ? {} : { site }),
  };
}
