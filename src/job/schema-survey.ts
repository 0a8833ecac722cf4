/** The vocabulary of the survey, before the pour and after it: grid, points, set-ups, lines and gaps by hand. */
import { z } from "zod";
import {
  choice,
  clock,
  count,
  date,
  filePoint,
  height,
  idOrEntry,
  measure,
  partId,
  planLength,
  planOffset,
  planPoint,
  planSize,
  temperature,
  thickness,
  words,
} from "./schema-leaves.ts";
import { instrumentSchema } from "./schema-library.ts";
import { LIMITS } from "./schema-limits.ts";

export const benchMarkSchema = z
  .strictObject({
    id: partId("Label on the plan.", "BM1"),
    at: planPoint("Where it is.", "[2', 0]"),
    level: height("Its level above the job's zero.", "12 mm"),
    sd: thickness("Standard deviation of its level; without it the level is held.", "1 mm").optional(),
    description: words("What it is.", "Brass plug in the sill of the street door").optional(),
  })
  .meta({ description: "A bench mark." });

const SIDES = ["below zero", "above zero", "below zero, minus is above", "above zero, minus is below"] as const;

const numbersAre = () =>
  choice(
    SIDES,
    "Which side of zero a number without a sign means. The long forms say that the sheet has both sides on purpose.",
    "below zero",
  );

const unitOfReadings = () =>
  choice(["mm", "in"], "Unit of the readings, where it is not the job's unit of height.", "mm").optional();

const LABELS = "Points by their ids, or rows by their letters.";

const labels = (description: string) =>
  z
    .array(partId("A point by its id, or a row by its letter.", "A3"))
    .min(1)
    .max(LIMITS.points)
    .meta({ description, example: "[A3, A4, C]", measure: "list" });

const fileName = (description: string, example: string) =>
  z
    .string()
    .regex(/^[A-Za-z0-9][A-Za-z0-9._-]{0,80}\.csv$/, {
      error: () => `the name of a CSV file beside the job, such as ${example}`,
    })
    .meta({ description, example, measure: "file name" });

const knownPoints = () =>
  z
    .array(
      z
        .strictObject({
          point: words("What it is.", "north-east corner of the hall"),
          in_file: filePoint("Where the file has it, east first.", "[1012.345, 2013.456]"),
          on_plan: planPoint("Where the job's plan has it.", "[24' 6\", 18']"),
        })
        .meta({ description: "A point known in the file and on the plan." }),
    )
    .max(LIMITS.list)
    .optional()
    .meta({
      description:
        "For a file in coordinates of its own: two points or more that are known in both, such as corners. The file is shifted and turned onto the plan, not stretched; where a point is then more than 20 mm off, the job is refused.",
    });

const sheet = (description: string, example: string) =>
  z
    .string({ error: () => "readings as a block: `readings: |`, then a row to a line" })
    .meta({ description, example, measure: "readings" });

export const setUpSchema = z
  .strictObject({
    id: partId("Name of the set-up.", "S1"),
    instrument: idOrEntry("level", "hose-level", instrumentSchema),
    reservoir: planPoint("Where the reservoir or the tripod stood.", "[12', 2']").optional(),
    date: date("Day of the readings.", "2027-02-26").optional(),
    numbers_are: numbersAre(),
    unit: unitOfReadings(),
    readings: sheet(
      "The sheet as written, a row to a line: letter, then one reading a grid point from number 1 on, - where none was read. A line with a whole point id holds one reading.",
      "A  14  12  11.5  9",
    ).optional(),
    readings_file: fileName(
      "A CSV file beside the job, in the folder of its name, in place of the readings: a row to a reading, its columns recognised by their names (point; height, rod or reading; and where there are any north, east, description, time, set-up), units in brackets behind them. A point's second row is a repeat. Where most rows that are named like grid points lie elsewhere, the names are the list's own, and the plan has them behind the set-up's.",
      "points.csv",
    ).optional(),
    file_zero: planLength("Which height in the file counts as zero; without it 0.", "100 m").optional(),
    known_points: knownPoints(),
    repeats: sheet("Points read a second time in this set-up, written like the readings.", "A3  11").optional(),
    times: z
      .array(
        z
          .strictObject({
            of: partId("A row by its letter, or a point by its id.", "A"),
            at: clock("When it was read.", "9:40"),
          })
          .meta({ description: "When a row or a point was read." }),
      )
      .max(LIMITS.points)
      .optional()
      .meta({ description: "Times of rows and points, where the sheet has them." }),
    zero_checks: z
      .array(
        z
          .strictObject({
            after: count("How many readings stood before it.", 20, {
              least: 0,
              greatest: LIMITS.readings,
              whole: true,
            }),
            reading: height("Reading at the zero mark, on the side that `numbers_are` says.", "0.5 mm"),
            at: clock("When it was read.", "10:15").optional(),
          })
          .meta({ description: "The zero mark, read again." }),
      )
      .max(LIMITS.points)
      .optional()
      .meta({ description: "The zero mark, read again." }),
    struck: z
      .array(
        z
          .strictObject({
            point: partId("The point.", "B3"),
            which: choice(
              ["first", "repeat", "both"],
              "Which of its readings, where it was read twice.",
              "first",
            ).optional(),
            reason: words("Why; it is printed.", "Hose was kicked; read again in S2"),
          })
          .meta({ description: "A reading that does not count." }),
      )
      .max(LIMITS.points)
      .optional()
      .meta({ description: "Readings that the office strikes. They are kept and printed, and count for nothing." }),
    stood_on: z
      .array(
        z
          .strictObject({
            points: labels(LABELS),
            thickness: thickness("How thick it is: taken off, so that the level is that of the slab.", "3 mm"),
            what: words("What the handset stood on.", "vinyl tile").optional(),
          })
          .meta({ description: "A covering, patch or sheet under the handset." }),
      )
      .max(LIMITS.points)
      .optional()
      .meta({ description: "Where the handset stood on something of known thickness." }),
    temperature: z
      .strictObject({
        coolest: temperature("At the cooler leg of the hose.", "16 °C"),
        warmest: temperature("At the warmer leg.", "22 °C"),
        vertical_leg: planLength("How far the fluid stands above the lowest part of the hose.", "1.2 m"),
      })
      .optional()
      .meta({ description: "Temperatures along the hose." }),
    after_work: z
      .strictObject({
        work: words("What was done to the floor before this set-up.", "ground high spot H1"),
        ties: labels("Points that were not worked on and tie this set-up to the others, by their ids."),
      })
      .optional()
      .meta({ description: "For a set-up after grinding or patching: only its points change." }),
  })
  .meta({ id: "set-up", description: "One position and zero of the level." });

export const scanSchema = z
  .strictObject({
    file: fileName(
      "A CSV file beside the job, in the folder of its name, a row to a point: columns north, east and height recognised by their names, units in brackets behind them. Others are let alone.",
      "scan.csv",
    ),
    file_zero: planLength("Which height in the file counts as the job's zero; without it 0.", "100 m").optional(),
    known_points: knownPoints(),
    sd: thickness("Standard deviation of one height against its neighbours.", "1 mm"),
    pin_reach: planSize(
      "How far from a pin the heights may stand that its own is made of; without it one and a half times the usual distance between points, from 0.15 m to 0.5 m.",
      "0.15 m",
    ).optional(),
    date: date("Day of the scan.", "2027-02-26").optional(),
  })
  .meta({
    id: "scan",
    description:
      "The slab as a laser scan or a dense point list, in place of set-ups: every point on a floor counts in areas and volumes; maps show a part of them.",
  });

export const extraPointSchema = z
  .strictObject({
    id: partId("Label on the plan; not one of the grid's.", "drain-1"),
    at: planPoint("Where it is.", "[7', 11']"),
    note: words("What is there.", "Edge of the floor drain").optional(),
  })
  .meta({ id: "point", description: "A point that is read off the grid." });

export const gridSchema = z
  .strictObject({
    origin: planPoint("Where A1 is.", "[2', 2']"),
    spacing: planSize("Distance between grid lines, both ways.", "6'").optional(),
    spacing_east: planSize("Distance between numbered lines.", "8'").optional(),
    spacing_north: planSize("Distance between lettered lines.", "6'").optional(),
  })
  .meta({
    id: "grid",
    description:
      "The grid: letters count north from A (I and O are skipped), numbers count east from 1. Give `spacing`, or both of the others.",
  });

export const adjustmentSchema = z
  .strictObject({
    alpha: measure("share", "Chance of calling a good reading suspect.", "0.1 %", { least: 1e-6, greatest: 0.2 }),
    power: measure("share", "Chance of finding a slip of the least size that can be found.", "80 %", {
      least: 0.5,
      greatest: 0.999,
    }),
    sigma: choice(["instrument", "residuals"], "Where standard deviations come from.", "instrument"),
    drift: choice(["linear", "none"], "Whether a steady drift is solved for from the zero checks.", "linear"),
    closing: z
      .strictObject({
        k: thickness("The factor.", "5 mm"),
        per: choice(
          ["root-set-up", "root-km"],
          "Times the root of set-ups in the loop, or of kilometres.",
          "root-set-up",
        ),
        source: words("Where the rule comes from.", "Contract, clause 6"),
      })
      .optional()
      .meta({ description: "The closing error that is allowed." }),
  })
  .meta({ id: "adjustment", description: "How readings are adjusted and tested." });

export const lineSchema = z
  .strictObject({
    id: partId("Name of the line.", "L1"),
    section: words("Section that the line belongs to; without it, the room.", "bay 4").optional(),
    from: planPoint("Where the first reading stands.", "[3', 3']").optional(),
    to: planPoint("Where the last reading stands.", "[3', 15']").optional(),
    spacing: planSize("Distance from reading to reading.", "12 in"),
    numbers_are: numbersAre(),
    unit: unitOfReadings(),
    readings: z
      .string({ error: () => "readings with blanks between them, such as 0 0.5 1.2 0.8" })
      .max(20 * LIMITS.readingsOfLine)
      .meta({
        description: "Readings in order, above or below any one zero.",
        example: "0 0.5 1.2 0.8",
        measure: "readings",
      }),
    sd: thickness("Standard deviation of one reading.", "0.1 mm").optional(),
    date: date("Day of the readings.", "2027-03-09").optional(),
  })
  .meta({ id: "line", description: "A sample line for flatness and levelness." });

export const gapSchema = z
  .strictObject({
    id: partId("Name of the place.", "G1"),
    edge: planSize("Length of the straightedge.", "10 ft"),
    gap: thickness("Greatest gap under it.", "1/8 in"),
    at: planPoint("Where it was.", "[12', 9']").optional(),
    sd: thickness("Standard deviation of the gap.", "0.3 mm").optional(),
    date: date("Day of the measurement.", "2027-03-09").optional(),
  })
  .meta({ id: "gap", description: "The greatest gap under a straightedge, measured by hand." });

export const planningSchema = z
  .strictObject({
    instrument: idOrEntry("level", "hose-level", instrumentSchema),
    slack: planOffset("Hose that bends, the stand and the handset take.", "6'"),
    expected: z
      .array(
        z
          .strictObject({
            room: partId("The room.", "hall"),
            lowest: height("Lowest level of the slab there, against any one zero.", "-20 mm"),
            highest: height("Highest level.", "5 mm"),
          })
          .meta({ description: "What is expected of the slab in a room." }),
      )
      .max(LIMITS.rooms)
      .optional()
      .meta({ description: "Relief that is expected. A room that is not named is taken as level with the rest." }),
    positions: z
      .array(planPoint("A place for the level.", "[12', 2']"))
      .max(LIMITS.setUps)
      .optional()
      .meta({ description: "Places for the level that are settled already.", example: "[[12', 2']]", measure: "list" }),
    tie_spread: planSize("Least distance between points that two set-ups share.", "8'"),
  })
  .meta({ description: "What the survey is planned from." });

export const jointSchema = z
  .strictObject({
    id: partId("Name of the joint.", "CJ1"),
    from: planPoint("Where it begins.", "[12', 0]"),
    to: planPoint("Where it ends.", "[12', 18']"),
  })
  .meta({ id: "joint", description: "A construction joint of the floor." });

const surveyKeys = {
  joints: z.array(jointSchema).max(LIMITS.list).optional().meta({
    description:
      "Construction joints of the floor; an empty list where it has none. Moving joints and dams of the pour count with them. Without the key nobody knows, and rules that ask for it stay open.",
  }),
  points: z.array(extraPointSchema).max(LIMITS.points).optional().meta({ description: "Points off the grid." }),
  set_ups: z.array(setUpSchema).max(LIMITS.setUps).optional().meta({ description: "Set-ups with their readings." }),
  adjustment: adjustmentSchema.optional(),
  lines: z.array(lineSchema).max(LIMITS.lines).optional().meta({ description: "Sample lines, read by hand." }),
  gaps: z.array(gapSchema).max(LIMITS.gaps).optional().meta({ description: "Straightedge gaps, measured by hand." }),
};

export const surveySchema = z
  .strictObject({
    grid: gridSchema,
    planning: planningSchema.optional(),
    scan: scanSchema.optional(),
    ...surveyKeys,
  })
  .meta({ description: "What is read, where, and what was read." });

export const finishedSchema = z
  .strictObject({
    poured: date("Day of the pour.", "2027-03-04").optional(),
    date: date("Day of the readings.", "2027-03-09"),
    grid: gridSchema.optional(),
    ...surveyKeys,
  })
  .meta({ description: "The floor read again after the pour. Without a grid of its own it is the survey's." });

export type BenchMarkText = z.output<typeof benchMarkSchema>;
export type SetUpText = z.output<typeof setUpSchema>;
export type ScanText = z.output<typeof scanSchema>;
export type KnownPointText = NonNullable<ScanText["known_points"]>[number];
export type GridText = z.output<typeof gridSchema>;
export type ExtraPointText = z.output<typeof extraPointSchema>;
export type LineText = z.output<typeof lineSchema>;
export type JointText = z.output<typeof jointSchema>;
export type GapText = z.output<typeof gapSchema>;
export type AdjustmentText = z.output<typeof adjustmentSchema>;
export type PlanningText = z.output<typeof planningSchema>;
