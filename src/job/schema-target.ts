/** The vocabulary of the target: where the top of the pour goes. */
import { z } from "zod";
import {
  choice,
  count,
  height,
  idOrEntry,
  measure,
  partId,
  planPoint,
  planSize,
  thickness,
  words,
} from "./schema-leaves.ts";
import { materialSchema } from "./schema-library.ts";
import { LIMITS } from "./schema-limits.ts";

const layers = (description: string) =>
  z
    .array(
      z
        .strictObject({
          name: words("The layer.", "porcelain tile"),
          thickness: thickness("Its thickness.", "10 mm"),
        })
        .meta({ description: "One layer of a covering." }),
    )
    .max(20)
    .optional()
    .meta({ description, example: "[{ name: porcelain tile, thickness: 10 mm }]" });

const coverings = {
  build_up: layers("The new covering here, layer by layer. An empty list where nothing is laid on the pour."),
  neighbour_build_up: layers("What is still to be laid beyond the door, where the floor there was read bare."),
};

const doorHeight = z
  .strictObject({
    door: partId("The door.", "D1"),
    top: height("The top is held at this height.", "3 mm").optional(),
    ...coverings,
    at_least: height("The top is no lower.", "2 mm").optional(),
    at_most: height("The top is no higher.", "6 mm").optional(),
  })
  .meta({
    description:
      "The height of the top at a door: held by `top`, flush by `build_up`, or bounded by `at_least` and `at_most`.",
  });

const MONEY = { least: 0, greatest: 1_000_000, whole: false };

const grinding = z
  .strictObject({
    height: thickness("The most that may be ground off anywhere.", "3 mm"),
    area: measure("area", "The most area that may be ground in all; with a level top only.", "20 ft²", {
      least: 0,
      greatest: 1_000_000,
      above: true,
    }).optional(),
    rooms: z.array(partId("A room.", "hall")).min(1).max(LIMITS.rooms).optional().meta({
      description: "Rooms where it is allowed. Without it, all of them.",
      example: "[hall, lab]",
      measure: "list",
    }),
    costs: z
      .strictObject({
        fill_per_litre: count("Cost of a litre filled.", 2.1, MONEY),
        grind_per_litre: count("Cost of a litre ground off, in the same currency.", 55, MONEY),
      })
      .optional()
      .meta({
        description: "With costs the cheapest split of grinding and filling is sought; without them the lowest top.",
      }),
  })
  .meta({ description: "Grinding that is allowed." });

const limits = z
  .strictObject({
    bags: count("Most bags, allowances included.", 140, { least: 1, greatest: 1_000_000, whole: true }).optional(),
    depth: thickness("Greatest depth anywhere.", "1 in").optional(),
    dead_load: measure("load", "Greatest dead load of the pour over all rooms.", "12 psf", {
      least: 0,
      greatest: 10_000,
    }).optional(),
    room_dead_load: measure("load", "Greatest dead load of the pour over any one room.", "15 psf", {
      least: 0,
      greatest: 10_000,
    }).optional(),
  })
  .meta({ description: "Limits that the top has to keep." });

const oneTop = {
  top: height(
    "The top of the pour above the job's zero: 0 where zero was set at the top of the pour.",
    "0 mm",
  ).optional(),
  bench_mark: partId("Take it from a bench mark.", "BM1").optional(),
  above: height("How far the top of the pour is above the bench mark.", "-10 mm").optional(),
  door: partId("Take it from the finished level beyond a door, less the new covering.", "D1").optional(),
  ...coverings,
  seek: choice(
    ["level", "plane"],
    "Find it: the lowest level, or the plane with the least material, that keeps everything asked for.",
    "level",
  ).optional(),
  fall: measure(
    "fall",
    "How steeply the top falls: from its height at a place, or at least, from every wall to a drain.",
    "1/8 in/ft",
    {
      least: 0,
      greatest: 1000,
      above: true,
    },
  ).optional(),
  at: planPoint("The place where the top has that height.", "[2', 2']").optional(),
  towards: planPoint("The place towards which it falls, one way, such as a drain channel.", "[12', 2']").optional(),
  drain: planPoint(
    "A point drain in the zone's one room: the top is level along the walls, at `top`, `bench_mark` or `door`, and falls from each wall in a plane to the drain. With `fall`, `drain_top` or both.",
    "[5', 4']",
  ).optional(),
  drain_top: height(
    "Height of the top at the drain; without it, as deep as the least fall makes it.",
    "-1/2 in",
  ).optional(),
  greatest_fall: measure("fall", "Greatest fall of a plane; without it, the material's own.", "1/8 in/ft", {
    least: 0,
    greatest: 1000,
  }).optional(),
  at_doors: z
    .array(doorHeight)
    .max(LIMITS.list)
    .optional()
    .meta({ description: "Heights at doors that a sought top has to keep." }),
  grinding: grinding.optional(),
  limits: limits.optional(),
};

export const zoneSchema = z
  .strictObject({
    rooms: z
      .array(partId("A room.", "hall"))
      .min(1)
      .max(LIMITS.rooms)
      .meta({ description: "The rooms that share this top.", example: "[waiting, hall]", measure: "list" }),
    ...oneTop,
    material: idOrEntry("material of this zone, where it is not the job's", "stiff-repair", materialSchema).optional(),
  })
  .meta({ description: "A top over some of the rooms." });

export const meetSchema = z
  .strictObject({
    door: partId("The door at which the zones meet.", "D2"),
    how: choice(
      ["step", "ramp", "feather"],
      "A step with its dam, a ramp in trowelled material, or run out to nothing.",
      "step",
    ),
    length: planSize("Length of the ramp, or of the run-out, from the door.", "4'").optional(),
    material: idOrEntry("material of the ramp", "stiff-repair", materialSchema).optional(),
  })
  .meta({ description: "How two zones meet." });

export const targetSchema = z
  .strictObject({
    ...oneTop,
    zones: z.array(zoneSchema).min(1).max(LIMITS.rooms).optional().meta({
      description: "Several tops, each over rooms of its own, in place of one.",
    }),
    meets: z
      .array(meetSchema)
      .max(LIMITS.list)
      .optional()
      .meta({ description: "How the zones meet at the doors between them." }),
  })
  .meta({
    description:
      "The top of the pour: `top`, or `top` with `fall`, `at` and `towards`, or with `drain`; or `bench_mark` with `above`; or `door` with `build_up`; or `seek`; or `zones`.",
  });

export type TargetText = z.output<typeof targetSchema>;
export type ZoneText = z.output<typeof zoneSchema>;
export type MeetText = z.output<typeof meetSchema>;
export type DoorHeightText = z.output<typeof doorHeight>;
/** The keys that one top may have, of the whole target or of a zone. */
export type OneTopText = Omit<ZoneText, "rooms" | "material">;
