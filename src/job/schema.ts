/**
 * The vocabulary of the job file and of the library files, in one place. From here come the checks,
 * the JSON Schema for editors (`schema-files.ts`) and the reference page (`schema-reference.ts`).
 */
import { z } from "zod";
import {
  choice,
  count,
  date,
  dateAndTime,
  flag,
  height,
  jobId,
  libraryLength,
  measure,
  partId,
  planOffset,
  planPoint,
  planRectangle,
  planSize,
  thickness,
  words,
} from "./schema-leaves.ts";

/** Most entries of each list. Stated so that a slip of the mouse cannot stall the office's machine. */
export const LIMITS = {
  rooms: 200,
  wallsOfRoom: 400,
  columnsOfRoom: 400,
  doorsOfRoom: 60,
  benchMarks: 200,
  setUps: 200,
  points: 5_000,
  readings: 1_000_000,
  list: 200,
} as const;

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

const MINUTES = { least: 0, greatest: 60 * 24 * 60, above: true };

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
    depth_on: z
      .strictObject({
        concrete: depthRange.optional(),
        wood: depthRange.optional(),
        "old-covering": depthRange.optional(),
      })
      .meta({ description: "Depths by what it is poured on. A substrate that is not named here is refused." }),
    greatest_lift: libraryLength("Greatest depth of one lift.", "1-1/2 in"),
    wait_between_lifts: measure("time", "Least wait before the next lift.", "16 h", MINUTES).optional(),
    greatest_fall: measure("fall", "Steepest fall that it can be poured to: 0 for a mix that seeks level.", "0 mm/m", {
      least: 0,
      greatest: 1000,
    }),
    pin_spacing: libraryLength("Greatest distance between height pins.", "8 ft"),
    pin_spacing_at_doors: libraryLength(
      "Greatest distance between height pins along doors and critical heights.",
      "3 ft",
    ),
  })
  .meta({ description: "A levelling material and what its data sheet says." });

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
    coats_on: z
      .strictObject({
        porous: primerCoats("Coats on a porous slab, in order."),
        dense: primerCoats("Coats on a dense slab, in order."),
      })
      .meta({ description: "Coats by how the slab absorbs water." }),
  })
  .meta({ description: "A primer." });

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
  .meta({ description: "A kind of height pin." });

export const instrumentSchema = z
  .strictObject({
    id: partId("What jobs call this instrument.", "hose-level"),
    name: words("Name for the sheets.", "Hydrostatic hose level, 75 ft"),
    kind: choice(["hose", "other"], "Whether a hose limits its reach.", "hose"),
    reading_sd: libraryLength("Standard deviation of one reading.", "0.5 mm"),
    hose_length: libraryLength("Length of the hose.", "75 ft").optional(),
    range: libraryLength("Greatest height above or below zero that it reads.", "60 mm").optional(),
  })
  .meta({ description: "A level." });

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
    lane_width: libraryLength("Width of a lane that this crew rakes.", "10 ft"),
  })
  .meta({ description: "A crew and its mixers." });

export const companySchema = z
  .strictObject({
    name: words("The contractor's name, for the title block.", "Harbor Level Floors"),
    address: words("Postal address.", "14 Quay Lane, Port Ellery").optional(),
    phone: words("Telephone.", "555-0142").optional(),
    site: words("Address of the contractor's site, for the code that a telephone scans.", "floors.example").optional(),
  })
  .meta({ description: "The contractor." });

const pallet = z
  .strictObject({
    length: libraryLength("Length of a pallet.", "48 in"),
    width: libraryLength("Width of a pallet.", "40 in"),
    tare: measure("mass", "Weight of the empty pallet.", "40 lb", { least: 0, greatest: 500 }),
    bags: count("Bags on a full pallet.", 56, { least: 1, greatest: 500, whole: true }),
  })
  .meta({ description: "How bags are delivered." });

const loss = measure("share", "Material lost in barrels, hoses and spills, as a share of the volume.", "5 %", {
  least: 0,
  greatest: 0.5,
});
const profile = thickness("Mean depth that the roughness of the prepared surface swallows.", "0.5 mm");

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
    materials: z.array(materialSchema).max(LIMITS.list).optional().meta({ description: "Levelling materials." }),
    primers: z.array(primerSchema).max(LIMITS.list).optional().meta({ description: "Primers." }),
    pins: z.array(pinSchema).max(LIMITS.list).optional().meta({ description: "Height pins." }),
    instruments: z.array(instrumentSchema).max(LIMITS.list).optional().meta({ description: "Levels." }),
    crews: z.array(crewSchema).max(LIMITS.list).optional().meta({ description: "Crews." }),
  })
  .meta({ description: "A library file: what jobs share." });

const vertices = (description: string) =>
  z
    .array(planPoint("A corner.", "[24', 0]"))
    .min(3)
    .max(LIMITS.wallsOfRoom)
    .meta({ description, example: "[[0, 0], [24', 0], [24', 18'], [0, 18']]", measure: "corners" });

const obstacleSchema = z
  .strictObject({
    id: partId("Label on the plan.", "C1"),
    center: planPoint("Its middle.", "[12', 9']").optional(),
    size: planRectangle("East–west by north–south; one length for a square.", '16" x 16"').optional(),
    diameter: planSize("For a round one.", '18"').optional(),
    vertices: vertices("Its corners, for any other shape.").optional(),
  })
  .meta({
    description: "A column, shaft or hole in the floor: by `center` with `size` or `diameter`, or by `vertices`.",
  });

const doorSchema = z
  .strictObject({
    id: partId("Label on the plan.", "D1"),
    wall: count("Number of the wall that it is in, counted as taped.", 1, {
      least: 1,
      greatest: LIMITS.wallsOfRoom,
      whole: true,
    }),
    from: planOffset("Along the wall, from the corner where its taping began to the near jamb.", "3' 2\""),
    width: planSize("Clear width between the jambs.", "3'"),
    joins: words("The room on the other side by its id, or the name of a place outside the job.", "hall"),
    thickness: planOffset(
      "Thickness of the wall. Between two rooms it is found from their walls; without it a door to the outside ends at the inside face.",
      '4 1/2"',
    ).optional(),
    finish_level: height("Level of the finished floor on the other side, above the job's zero.", "-2 mm").optional(),
    entrance: flag("True for the way in and out of the crew.", true).optional(),
  })
  .meta({ description: "A doorway." });

/** The most text that LIMITS.wallsOfRoom walls could need. */
const LONGEST_RUN = 60 * LIMITS.wallsOfRoom;

export const roomSchema = z
  .strictObject({
    id: partId("What the job calls the room.", "waiting"),
    name: words("Name for the sheets, where it is not the id.", "Waiting room").optional(),
    start: planPoint("The corner where the taping began. Without it, the plan's origin.", "[0, 0]").optional(),
    walls: z
      .union([z.string().max(LONGEST_RUN), z.array(z.string().max(LONGEST_RUN)).max(LIMITS.wallsOfRoom)], {
        error: () => `a run of walls, such as E 24' 6", N 18', W 24' 6", S 18'`,
      })
      .optional()
      .meta({
        description: "The walls as taped round the room: direction (N, NE, or a bearing such as N 30 E) and length.",
        example: `E 24' 6", N 18', W 24' 6", S 18'`,
        measure: "wall run",
      }),
    vertices: vertices("The corners, in place of `walls`. Wall 1 runs from the first to the second.").optional(),
    closing_tolerance: planSize(
      "How far the walls may miss the start. Without it, 1/2 in or 1/2000 of the way round, whichever is more.",
      '3/4"',
    ).optional(),
    columns: z.array(obstacleSchema).max(LIMITS.columnsOfRoom).optional().meta({ description: "Columns." }),
    openings: z
      .array(obstacleSchema)
      .max(LIMITS.columnsOfRoom)
      .optional()
      .meta({ description: "Shafts, stairs and other holes where nothing is poured." }),
    doors: z
      .array(doorSchema)
      .max(LIMITS.doorsOfRoom)
      .optional()
      .meta({ description: "Doorways; each is given in one room only." }),
  })
  .meta({ description: "A room by the inside faces of its walls: `walls` or `vertices`." });

export const benchMarkSchema = z
  .strictObject({
    id: partId("Label on the plan.", "BM1"),
    at: planPoint("Where it is.", "[2', 0]"),
    level: height("Its level above the job's zero.", "12 mm"),
    description: words("What it is.", "Brass plug in the sill of the street door").optional(),
  })
  .meta({ description: "A bench mark." });

export const floorSchema = z
  .strictObject({
    support: choice(["on-ground", "suspended"], "Whether the floor spans.", "on-ground"),
    substrate: choice(["concrete", "wood", "old-covering"], "What is poured on.", "concrete"),
    absorbency: choice(["porous", "dense"], "How it takes water, by the drop test.", "porous"),
    accepted_by: z
      .strictObject({
        name: words("The engineer.", "R. Ashdown, PE"),
        date: date("Date of the acceptance.", "2027-02-20"),
      })
      .optional()
      .meta({ description: "Who accepted the added load. Without it a suspended floor is on HOLD." }),
  })
  .meta({ description: "The floor that is poured on." });

export const setUpSchema = z
  .strictObject({
    id: partId("Name of the set-up.", "S1"),
    instrument: partId("The level, by its id in the library.", "hose-level"),
    reservoir: planPoint("Where the reservoir or the tripod stood.", "[12', 2']").optional(),
    date: date("Day of the readings.", "2027-02-26").optional(),
    numbers_are: choice(
      ["below zero", "above zero", "below zero, minus is above", "above zero, minus is below"],
      "Which side of zero a number without a sign means. The long forms say that the sheet has both sides on purpose.",
      "below zero",
    ),
    unit: choice(["mm", "in"], "Unit of the readings, where it is not the job's unit of height.", "mm").optional(),
    readings: z
      .string({ error: () => "readings as a block: `readings: |`, then a row to a line" })
      .optional()
      .meta({
        description:
          "The sheet as written, a row to a line: letter, then one reading a grid point from number 1 on, - where none was read. A line with a whole point id holds one reading.",
        example: "A  14  12  11.5  9",
        measure: "readings",
      }),
  })
  .meta({ description: "One position and zero of the level." });

export const extraPointSchema = z
  .strictObject({
    id: partId("Label on the plan; not one of the grid's.", "drain-1"),
    at: planPoint("Where it is.", "[7', 11']"),
    note: words("What is there.", "Edge of the floor drain").optional(),
  })
  .meta({ description: "A point that is read off the grid." });

export const gridSchema = z
  .strictObject({
    origin: planPoint("Where A1 is.", "[2', 2']"),
    spacing: planSize("Distance between grid lines, both ways.", "6'").optional(),
    spacing_east: planSize("Distance between numbered lines.", "8'").optional(),
    spacing_north: planSize("Distance between lettered lines.", "6'").optional(),
  })
  .meta({
    description:
      "The grid: letters count north from A (I and O are skipped), numbers count east from 1. Give `spacing`, or both of the others.",
  });

export const surveySchema = z
  .strictObject({
    grid: gridSchema,
    points: z.array(extraPointSchema).max(LIMITS.points).optional().meta({ description: "Points off the grid." }),
    set_ups: z.array(setUpSchema).max(LIMITS.setUps).optional().meta({ description: "Set-ups with their readings." }),
  })
  .meta({ description: "What is read, where, and what was read." });

const layerSchema = z
  .strictObject({
    name: words("The layer.", "porcelain tile"),
    thickness: thickness("Its thickness.", "10 mm"),
  })
  .meta({ description: "One layer of the new covering." });

export const targetSchema = z
  .strictObject({
    top: height(
      "The top of the pour above the job's zero: 0 where zero was set at the top of the pour.",
      "0 mm",
    ).optional(),
    bench_mark: partId("Take it from a bench mark.", "BM1").optional(),
    above: height("How far the top of the pour is above the bench mark.", "-10 mm").optional(),
    door: partId("Take it from the finished level beyond a door, less the new covering.", "D1").optional(),
    build_up: z
      .array(layerSchema)
      .max(20)
      .optional()
      .meta({ description: "The new covering here, layer by layer. An empty list where nothing is laid on the pour." }),
  })
  .meta({ description: "The top of the pour: `top`, or `bench_mark` with `above`, or `door` with `build_up`." });

export const pourSchema = z
  .strictObject({
    start: dateAndTime("First batch.", "2027-03-04 07:30").optional(),
    loss: loss.optional(),
    profile: profile.optional(),
    pallet: pallet.optional(),
  })
  .meta({ description: "The pour." });

export const contractSchema = z
  .strictObject({
    tolerance: z
      .strictObject({
        text: words("The tolerance as the contract states it.", "3/16 in in 10 ft"),
        source: words("Where it is stated.", "Section 03 54 16, 3.4"),
      })
      .optional()
      .meta({ description: "Tolerance of the finished floor." }),
    allowed_bags: count("Bags that the price includes.", 140, {
      least: 0,
      greatest: 1_000_000,
      whole: true,
    }).optional(),
    allowed_depth: thickness("Mean depth that the price includes.", "3/8 in").optional(),
    allowed_dead_load: measure("load", "Dead load that the structure may take on.", "15 psf", {
      least: 0,
      greatest: 10_000,
    }).optional(),
  })
  .meta({ description: "What was agreed." });

const idOrEntry = <T extends z.ZodType>(what: string, example: string, entry: T) =>
  z
    .union([partId(`The ${what} by its id in the library.`, example), entry])
    .meta({ description: `The ${what}: by its id in the library, or written out.`, example, measure: "id or entry" });

export const jobSchema = z
  .strictObject({
    job: jobId("The job's id: the name of the file.", "tern-street-clinic"),
    title: words("Title for the sheets.", "Tern Street Clinic, ground floor"),
    place: words("Where it is.", "3 Tern Street, Port Ellery").optional(),
    client: words("Client.", "Tern Street Health").optional(),
    general_contractor: words("General contractor.", "Ostrava Building").optional(),
    contract_reference: words("Contract or order number.", "TSC-031").optional(),
    dated: date("Date of this version of the job file.", "2027-03-01").optional(),
    company: companySchema.optional(),
    units: z
      .strictObject({
        plan: choice(
          ["ft-in", "m"],
          "Unit of plan lengths: of bare numbers (feet or metres), and printed large.",
          "ft-in",
        ),
        height: choice(["mm", "in"], "Unit of heights: of bare numbers, and printed large.", "mm"),
      })
      .meta({ description: "The units that the office works in." }),
    paper: choice(["letter", "a4"], "Paper: letter and tabloid, or A4 and A3.", "letter").optional(),
    languages: z
      .array(choice(["en", "es"], "A language.", "en"))
      .min(1)
      .max(2)
      .optional()
      .meta({
        description: "Languages of the crew's sheets. English where it is absent.",
        example: "[en, es]",
        measure: "list",
      }),
    rooms: z.array(roomSchema).min(1).max(LIMITS.rooms).meta({ description: "Rooms." }),
    bench_marks: z.array(benchMarkSchema).max(LIMITS.benchMarks).optional().meta({ description: "Bench marks." }),
    floor: floorSchema,
    survey: surveySchema,
    target: targetSchema,
    material: idOrEntry("material", "cement-50lb", materialSchema),
    primer: idOrEntry("primer", "acrylic-primer", primerSchema).optional(),
    pins: idOrEntry("height pins", "adhesive-pin-3in", pinSchema).optional(),
    crew: idOrEntry("crew", "two-barrel", crewSchema).optional(),
    pour: pourSchema.optional(),
    contract: contractSchema.optional(),
    notes: z
      .array(words("A note.", "Freight lift holds 4,000 lb."))
      .max(50)
      .optional()
      .meta({ description: "Notes for the cover." }),
  })
  .meta({ description: "A job." });

export type JobText = z.output<typeof jobSchema>;
export type RoomText = z.output<typeof roomSchema>;
export type ObstacleText = z.output<typeof obstacleSchema>;
export type DoorText = z.output<typeof doorSchema>;
export type SetUpText = z.output<typeof setUpSchema>;
export type GridText = z.output<typeof gridSchema>;
export type ExtraPointText = z.output<typeof extraPointSchema>;
export type BenchMarkText = z.output<typeof benchMarkSchema>;
