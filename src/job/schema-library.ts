/**
 * The vocabulary of the library files: materials, primers, pins, levels, crews, the company, and what
 * the office usually does.
 */
import { z } from "zod";
import { learnedSchema } from "./schema-learned.ts";
import { choice, count, date, flag, libraryLength, measure, partId, temperature, words } from "./schema-leaves.ts";
import { LIMITS } from "./schema-limits.ts";

const dataSheet = z
  .strictObject({
    title: words("The data sheet that the values were read from.", "Maker's data sheet, underlayment, 2026-02"),
    date: date("Date of the data sheet.", "2026-02-01").optional(),
    example: flag("True for values that ship with the program: check them against the bag.", true).optional(),
  })
  .meta({ description: "Where the values come from." });

const depthRange = z
  .strictObject({
    least: libraryLength("Least depth on this substrate.", "1/8 in"),
    greatest: libraryLength("Greatest depth on this substrate, in as many lifts as it takes.", "1-1/2 in"),
  })
  .meta({ description: "Least and greatest depth on one kind of substrate." });

export const MINUTES = { least: 0, greatest: 60 * 24 * 60, above: true };

const temperatures = (description: string) =>
  z
    .strictObject({
      least: temperature("Coldest.", "50 °F"),
      greatest: temperature("Warmest.", "80 °F"),
    })
    .optional()
    .meta({ description });

const ofData = {
  yield_tolerance: measure("share", "By which share the yield may be off either way.", "3 %", {
    least: 0,
    greatest: 0.5,
  }).optional(),
  aggregate: z
    .strictObject({
      name: words("The aggregate.", "pea gravel 3/8 in, damp, surface-dry"),
      per_bag: measure("mass", "The most that goes into one bag.", "25 lb", { least: 0, greatest: 2000, above: true }),
      yield: measure("volume", "Volume of mix that a bag makes with that much in it.", "0.64 ft³", {
        least: 0.1,
        greatest: 2000,
      }),
      water: measure("volume", "Water for a bag with that much in it.", "5.25 qt", { least: 0.1, greatest: 2000 }),
      least_depth: libraryLength("Thinner than this no lift with aggregate is laid.", "1-1/2 in"),
      neat_on_top: libraryLength("So much on top of it is poured neat.", "1/4 in"),
    })
    .optional()
    .meta({
      description: "How deep lifts may be stretched with aggregate; absent where the data sheet does not allow it.",
    }),
  times_at: z
    .array(
      z
        .strictObject({
          temperature: temperature("Temperature of the slab.", "85 °F"),
          flow_time: measure("time", "Flow time at it.", "10 min", MINUTES),
          healing_time: measure("time", "Healing time at it.", "7 min", MINUTES).optional(),
        })
        .meta({ description: "Times at one temperature." }),
    )
    .max(20)
    .optional()
    .meta({ description: "Flow and healing times at other temperatures, as the data sheet tabulates them." }),
  flow_ring: z
    .strictObject({
      least: libraryLength("Least spread.", "5 in"),
      greatest: libraryLength("Greatest spread.", "5-3/4 in"),
      every_batches: count("Checked again after so many batches.", 10, { least: 1, greatest: 10_000, whole: true }),
    })
    .optional()
    .meta({ description: "Spread of the flow ring that is accepted." }),
  slab_temperatures: temperatures("Temperatures of the slab's surface that are allowed."),
  water_temperatures: temperatures("Temperatures of the mixing water that are allowed."),
  prime_between_lifts: flag("True where the data sheet asks for primer between two lifts.", false).optional(),
};

export const materialSchema = z
  .strictObject({
    id: partId("What jobs call this material.", "cement-50lb"),
    name: words("Name for the sheets.", "Cement-based levelling underlayment, 50 lb"),
    binder: choice(["cement", "gypsum"], "What it sets by.", "cement"),
    data_sheet: dataSheet,
    bag: measure("mass", "Weight of a bag.", "50 lb", { least: 1, greatest: 2000 }),
    yield: measure("volume", "Volume of mix that a bag makes.", "0.49 ft³", { least: 0.1, greatest: 2000 }),
    water: measure("volume", "Water for a bag.", "5 qt", { least: 0.1, greatest: 2000 }),
    wet_density: measure(
      "density",
      "Density of the fresh mix. Bag and water must balance yield × density within 5 %.",
      "123 lb/ft³",
      { least: 0.2, greatest: 5 },
    ),
    flow_time: measure("time", "How long the mix flows, from powder meeting water.", "15 min", MINUTES),
    healing_time: measure(
      "time",
      "How long a fresh edge still closes with the mix beside it.",
      "10 min",
      MINUTES,
    ).optional(),
    walk_on: measure("time", "When the floor may be walked on.", "3 h", MINUTES).optional(),
    protection: z
      .strictObject({
        light_trades: measure("time", "Before light trades, on boards.", "8 h", MINUTES).optional(),
        covering: measure("time", "Before anything covers it, where its own test allows.", "24 h", MINUTES).optional(),
        heavy_loads: measure("time", "Before heavy loads.", "72 h", MINUTES).optional(),
        heating: measure("time", "Before heating in or on the floor.", "7 d", MINUTES).optional(),
      })
      .optional()
      .meta({ description: "What the data sheet holds off, counted from the last batch." }),
    depth_on: z
      .strictObject({
        concrete: depthRange.optional(),
        wood: depthRange.optional(),
        "old-tile": depthRange.optional(),
        "old-adhesive": depthRange.optional(),
      })
      .meta({ description: "Depths by what it is poured on. A substrate that is not named here is refused." }),
    greatest_lift: libraryLength("Greatest depth of one lift.", "1-1/2 in"),
    wait_between_lifts: measure("time", "Least wait before the next lift.", "16 h", MINUTES).optional(),
    greatest_fall: measure("fall", "Steepest fall that it can be poured to: 0 for a mix that seeks level.", "0 mm/m", {
      least: 0,
      greatest: 1000,
    }),
    feathers: flag("True where the data sheet allows it to be run out to nothing.", true).optional(),
    ...ofData,
    pin_spacing: libraryLength("Greatest distance between height pins.", "8 ft"),
    pin_spacing_at_doors: libraryLength(
      "Greatest distance between height pins along doors and critical heights.",
      "3 ft",
    ),
  })
  .meta({ id: "material", description: "A levelling material and what its data sheet says." });

const primerCoat = z
  .strictObject({
    water_to_one: count("Parts of water to one part of concentrate: 0 for neat.", 3, {
      least: 0,
      greatest: 100,
      whole: false,
    }),
    coverage: measure("coverage", "What a unit of the diluted primer covers.", "200 ft²/gal", {
      least: 0,
      greatest: 1000,
      above: true,
    }),
  })
  .meta({ description: "One coat of primer." });

const primerCoats = (description: string) => z.array(primerCoat).min(1).max(10).meta({ description });

export const primerSchema = z
  .strictObject({
    id: partId("What jobs call this primer.", "acrylic-primer"),
    name: words("Name for the sheets.", "Acrylic primer"),
    data_sheet: dataSheet,
    drying_time: measure("time", "Drying of one coat before the next, or before the pour.", "2 h", MINUTES).optional(),
    open_time: measure("time", "Time from the last coat within which the pour is done.", "24 h", MINUTES).optional(),
    coats_on: z
      .strictObject({
        porous: primerCoats("Coats on a porous slab, in order."),
        dense: primerCoats("Coats on a dense slab, in order."),
      })
      .meta({ description: "Coats by how the slab absorbs water." }),
  })
  .meta({ id: "primer", description: "A primer." });

export const pinSchema = z
  .strictObject({
    id: partId("What jobs call these pins.", "adhesive-pin-3in"),
    name: words("Name for the sheets.", "Adhesive height pin, 3 in"),
    foot: libraryLength("Thickness of the pin's foot.", "1/16 in", "not-negative"),
    scale_counts_foot: flag("True where the scale on the pin counts from the slab, the foot included.", true),
    least_cut: libraryLength("Shortest length that can be cut: below it no pin, grind.", "1/8 in"),
    greatest_cut: libraryLength("Longest length that the pin gives.", "3 in"),
    recut_at: libraryLength("Difference of the check reading at which a pin is cut again.", "1/16 in"),
  })
  .meta({ id: "pins", description: "A kind of height pin." });

export const instrumentSchema = z
  .strictObject({
    id: partId("What jobs call this instrument.", "hose-level"),
    name: words("Name for the sheets.", "Hydrostatic hose level, 75 ft"),
    kind: choice(["hose", "other"], "Whether a hose limits its reach.", "hose"),
    reading_sd: libraryLength("Standard deviation of one reading.", "0.5 mm"),
    hose_length: libraryLength("Length of the hose.", "75 ft").optional(),
    range: libraryLength("Greatest height above or below zero that it reads.", "60 mm").optional(),
    fluid: z
      .union([
        choice(["water"], "Plain water.", "water"),
        z
          .strictObject({
            name: words("The fluid.", "glycol mix 1:1"),
            expansion: count("Growth of its volume with each kelvin, from its data sheet.", 0.0005, {
              least: 0,
              greatest: 0.01,
              whole: false,
            }),
          })
          .meta({ description: "A fluid other than water." }),
      ])
      .optional()
      .meta({ description: "What is in the hose: water, or another fluid with its expansion.", example: "water" }),
  })
  .meta({ id: "level", description: "A level." });

export const crewSchema = z
  .strictObject({
    id: partId("What jobs call this crew.", "two-barrel"),
    name: words("Name for the sheets.", "Two barrels, five people"),
    people: count("People at the pour.", 5, { least: 1, greatest: 200, whole: true }),
    barrels: count("Mixing barrels.", 2, { least: 1, greatest: 50, whole: true }),
    bags_per_barrel: count("Bags mixed in one barrel at a time.", 2, { least: 1, greatest: 200, whole: true }),
    barrel_cycle: measure(
      "time",
      "The whole cycle of one barrel: measure, charge, mix, carry, empty, rinse.",
      "6 min",
      MINUTES,
    ),
    mix_time: measure("time", "Mixing time inside that cycle.", "2.5 min", MINUTES),
    least_lane_width: libraryLength("Narrowest lane that it pours: the width of its rake.", "3 ft").optional(),
    carrying_pace: measure("pace", "Pace at which mixed material is carried.", "150 ft/min", {
      least: 0,
      greatest: 500,
      above: true,
    }).optional(),
    pump: z
      .strictObject({
        rate: measure("rate", "Most mixed material that it delivers.", "30 gal/min", {
          least: 0,
          greatest: 5000,
          above: true,
        }),
        mixes_itself: flag(
          "True where powder goes into its hopper and water in by its flow meter; the crew then has one barrel: what is emptied into the hopper at a time.",
          true,
        ).optional(),
        hose_length: libraryLength("Length of its hose.", "100 ft").optional(),
        hose_bore: libraryLength("Inner width of its hose.", "1-1/2 in").optional(),
        restart_limit: measure("time", "Longest standstill before it is flushed.", "15 min", MINUTES).optional(),
        starting_waste: measure("volume", "Slurry run to waste at every start.", "10 gal", {
          least: 0,
          greatest: 5000,
        }).optional(),
      })
      .optional()
      .meta({ description: "A pump fed by the crew's mixers, or one that mixes by itself." }),
    roles: z
      .array(
        z
          .strictObject({
            role: choice(["lead", "mix", "carry", "hose", "rake", "smooth"], "What they do.", "rake"),
            people: count("How many do it.", 1, { least: 1, greatest: 200, whole: true }),
          })
          .meta({ description: "People of one role." }),
      )
      .max(6)
      .optional()
      .meta({ description: "Who does what; absent where that is left to the lead." }),
    longest_pour: measure("time", "Longest pour in one day.", "6 h", MINUTES).optional(),
    changeover: measure("time", "What moving to another room takes.", "10 min", MINUTES).optional(),
    rest: z
      .strictObject({
        after: measure("time", "After so long at work.", "2 h", MINUTES),
        length: measure("time", "So long a rest.", "15 min", MINUTES),
      })
      .optional()
      .meta({ description: "Rests, taken as soon as no edge is fresh." }),
    mixer_power: measure("power", "Electric power of one mixer, or of the pump, running.", "1.8 kW", {
      least: 0,
      greatest: 500,
      above: true,
    }).optional(),
    lane_width: libraryLength("Width of a lane that this crew rakes.", "10 ft"),
  })
  .meta({ id: "crew", description: "A crew and its mixers." });

export const companySchema = z
  .strictObject({
    name: words("The contractor's name, for the title block.", "Quillhaven Floor Levelling"),
    address: words("Postal address.", "14 Quay Lane, Port Ellery").optional(),
    phone: words("Telephone.", "555-0142").optional(),
    site: words("Address of the contractor's site, for the code that a telephone scans.", "floors.example").optional(),
  })
  .meta({ id: "company", description: "The contractor." });

export const pallet = z
  .strictObject({
    length: libraryLength("Length of a pallet.", "48 in"),
    width: libraryLength("Width of a pallet.", "40 in"),
    tare: measure("mass", "Weight of the empty pallet.", "40 lb", { least: 0, greatest: 500 }),
    bags: count("Bags on a full pallet.", 56, { least: 1, greatest: 500, whole: true }),
  })
  .meta({ description: "How bags are delivered." });

export const loss = measure("share", "Material lost in barrels, hoses and spills, as a share of the volume.", "5 %", {
  least: 0,
  greatest: 0.5,
});
/** What holds for the office's jobs unless a job says otherwise. */
export const usualSchema = z
  .strictObject({
    paper: choice(["letter", "a4"], "Paper: letter and tabloid, or A4 and A3.", "letter").optional(),
    primer: partId("Primer.", "acrylic-primer").optional(),
    pins: partId("Height pins.", "adhesive-pin-3in").optional(),
    crew: partId("Crew.", "two-barrel").optional(),
    pour: z
      .strictObject({
        loss: loss.optional(),
        profile: libraryLength(
          "Mean depth that the roughness of the prepared surface swallows.",
          "0.5 mm",
          "not-negative",
        ).optional(),
        pallet: pallet.optional(),
      })
      .optional()
      .meta({ description: "Allowances and delivery." }),
  })
  .meta({ description: "What holds for every job that does not say otherwise." });

/** A library file holds any of these; entries of several files are taken together. */
export const librarySchema = z
  .strictObject({
    company: companySchema.optional(),
    usual: usualSchema.optional(),
    learned: learnedSchema.optional(),
    materials: z.array(materialSchema).max(LIMITS.list).optional().meta({ description: "Levelling materials." }),
    primers: z.array(primerSchema).max(LIMITS.list).optional().meta({ description: "Primers." }),
    pins: z.array(pinSchema).max(LIMITS.list).optional().meta({ description: "Height pins." }),
    instruments: z.array(instrumentSchema).max(LIMITS.list).optional().meta({ description: "Levels." }),
    crews: z.array(crewSchema).max(LIMITS.list).optional().meta({ description: "Crews." }),
  })
  .meta({ description: "A library file: what jobs share." });

export type MaterialText = z.output<typeof materialSchema>;
export type CrewText = z.output<typeof crewSchema>;
