/**
 * The vocabulary of the job file. Together with `schema-library.ts`, `schema-survey.ts`,
 * `schema-target.ts` and `schema-contract.ts` it is the one place where it stands: from it come the checks, the JSON Schema
 * for editors (`schema-files.ts`) and the reference page (`schema-reference.ts`).
 */
import { z } from "zod";
import { SUBSTRATES } from "./library-model.ts";
import { contractSchema } from "./schema-contract.ts";
import {
  choice,
  count,
  date,
  dateAndTime,
  flag,
  height,
  idOrEntry,
  jobId,
  measure,
  partId,
  planOffset,
  planPoint,
  planRectangle,
  planSize,
  temperature,
  thickness,
  words,
} from "./schema-leaves.ts";
import {
  companySchema,
  crewSchema,
  loss,
  MINUTES,
  materialSchema,
  pallet,
  pinSchema,
  primerSchema,
} from "./schema-library.ts";
import { LIMITS } from "./schema-limits.ts";
import { documentSchema, jointSurveySchema, readinessSchema, resultsSchema, submittalSchema } from "./schema-record.ts";
import { benchMarkSchema, finishedSchema, surveySchema } from "./schema-survey.ts";
import { targetSchema } from "./schema-target.ts";

const vertices = (description: string) =>
  z
    .array(planPoint("A corner.", "[24', 0]"))
    .min(3)
    .max(LIMITS.wallsOfRoom)
    .meta({ description, example: "[[0, 0], [24', 0], [24', 18'], [0, 18']]", measure: "corners" });

export const obstacleSchema = z
  .strictObject({
    id: partId("Label on the plan.", "C1"),
    center: planPoint("Its middle.", "[12', 9']").optional(),
    size: planRectangle("East–west by north–south; one length for a square.", '16" x 16"').optional(),
    diameter: planSize("For a round one.", '18"').optional(),
    vertices: vertices("Its corners, for any other shape.").optional(),
  })
  .meta({
    id: "obstacle",
    description: "A column, shaft or hole in the floor: by `center` with `size` or `diameter`, or by `vertices`.",
  });

export const doorSchema = z
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
    finish_read_in: partId(
      "The set-up from whose zero the finished level was read; absent where it stands in the job's zero.",
      "S2",
    ).optional(),
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

export const floorSchema = z
  .strictObject({
    support: choice(["on-ground", "suspended"], "Whether the floor spans.", "on-ground"),
    substrate: choice(SUBSTRATES, "What is poured on.", "concrete"),
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

const placed = (description: string, one: string, example: string) =>
  z
    .array(
      z
        .strictObject({
          id: partId("Label on the plan.", example),
          at: planPoint("Where it is.", "[12', 9']"),
        })
        .meta({ description: one }),
    )
    .max(LIMITS.list)
    .optional()
    .meta({ description });

const floorLines = (description: string, one: string, example: string) =>
  z
    .array(
      z
        .strictObject({
          id: partId("Label on the plan.", example),
          from: planPoint("Its one end.", "[0, 9']"),
          to: planPoint("Its other end.", "[24', 9']"),
        })
        .meta({ description: one }),
    )
    .max(LIMITS.list)
    .optional()
    .meta({ description });

export const pourSchema = z
  .strictObject({
    start: dateAndTime("First batch.", "2027-03-04 07:30").optional(),
    loss: loss.optional(),
    learned_loss: flag(
      "True to take the loss that the archive taught, from `learned` in the library.",
      true,
    ).optional(),
    profile: thickness("Mean depth that the roughness of the prepared surface swallows.", "0.5 mm").optional(),
    pallet: pallet.optional(),
    edge_margin: measure("time", "Taken off the time within which a fresh edge is renewed.", "1 min", {
      least: 0,
      greatest: 600,
    }).optional(),
    station: planPoint(
      "Where material is mixed; absent where it is at the way in with the least carrying.",
      "[2', -4']",
    ).optional(),
    exits: placed(
      "Places at the edge of the floor, other than doors, where the crew can step off.",
      "A way off.",
      "X1",
    ),
    moving_joints: floorLines("Joints that move and are carried through the pour.", "A moving joint.", "J1"),
    dams: floorLines("Dams that are decided on: one side may harden before the other is poured.", "A dam.", "DAM1"),
    drains: placed("Drains and pipes to be plugged or sleeved.", "A drain or pipe.", "FD1"),
    pallets_at: z.array(planPoint("Where a pallet is set down.", "[4', 20']")).max(LIMITS.list).optional().meta({
      description: "Where pallets are set down, in the order in which they are emptied.",
      example: "[[4', 20']]",
      measure: "list",
    }),
    goods_lift: z
      .strictObject({
        load: measure("mass", "What may be loaded besides the person who rides along.", "900 kg", {
          least: 0,
          greatest: 100_000,
          above: true,
        }),
        round_trip: measure("time", "Load, ride up, unload, ride down.", "8 min", MINUTES),
        way: planSize("Way from the lift to the mixing station.", "60'").optional(),
      })
      .optional()
      .meta({ description: "The building's lift or hoist by which the material comes to this floor." }),
    slab_temperature: temperature("Temperature of the slab that is expected on the day.", "68 °F").optional(),
    bag_check_share: measure(
      "share",
      "Share of the planned bags that may be used beyond plan before the pour is stopped.",
      "5 %",
      {
        least: 0,
        greatest: 1,
      },
    ).optional(),
  })
  .meta({ description: "The pour." });

export const jobSchema = z
  .strictObject({
    job: jobId("The job's id: the name of the file.", "tern-street-clinic"),
    title: words("Title for the sheets.", "Tern Street Clinic, ground floor"),
    place: words("Where it is.", "3 Tern Street, Port Ellery").optional(),
    client: words("Client.", "Tern Street Health").optional(),
    general_contractor: words("General contractor.", "Marrow Lane Builders").optional(),
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
    joint_survey: jointSurveySchema.optional(),
    readiness: readinessSchema.optional(),
    documents: z
      .array(documentSchema)
      .max(LIMITS.list)
      .optional()
      .meta({ description: "Data sheets and other documents that the packet names." }),
    submittals: z.array(submittalSchema).max(LIMITS.list).optional().meta({ description: "What was submitted." }),
    results: resultsSchema.optional(),
    finished: finishedSchema.optional(),
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
export type PourText = z.output<typeof pourSchema>;
