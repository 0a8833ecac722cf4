/** What `learn` writes for a person to review: the loss as the poured jobs of the archive have it. */
import { z } from "zod";
import { count, libraryLength, measure, partId } from "./schema-leaves.ts";
import { LIMITS } from "./schema-limits.ts";

const signedShare = (description: string, example: string) =>
  measure("share", description, example, { least: -0.5, greatest: 0.5 });
const spread = (description: string, example: string) =>
  measure("share", description, example, { least: 0, greatest: 1 });
const jobs = () => count("Poured jobs behind it.", 23, { least: 1, greatest: 1_000_000, whole: true });

export const learnedSchema = z
  .strictObject({
    loss: z
      .strictObject({
        depth: libraryLength("Mean depth for which the losses hold.", "14 mm"),
        per_10_mm: signedShare("Change of the loss with 10 mm more of mean depth.", "-0.4 %").optional(),
        per_10_mm_sd: spread("Its standard deviation.", "0.2 %").optional(),
        spread: spread("Standard deviation from job to job besides.", "1.2 %"),
        materials: z
          .array(
            z
              .strictObject({
                material: partId("The material by its id.", "cement-25kg"),
                loss: signedShare("Its loss, with the mean of the crews.", "5.1 %"),
                sd: spread("Standard deviation of it.", "0.5 %"),
                jobs: jobs(),
              })
              .meta({ description: "One material." }),
          )
          .min(1)
          .max(LIMITS.list)
          .meta({ description: "Loss by material, as a share of what lies in the floor." }),
        crews: z
          .array(
            z
              .strictObject({
                crew: partId("The crew by its id.", "two-barrel"),
                more: signedShare("What it loses more than the mean of the crews.", "-0.6 %"),
                sd: spread("Standard deviation of it.", "0.3 %"),
                jobs: jobs(),
              })
              .meta({ description: "One crew." }),
          )
          .max(LIMITS.list)
          .optional()
          .meta({ description: "What crews lose more or less." }),
      })
      .meta({
        description: "The loss by material, crew and depth; jobs ask for it with `pour: { learned_loss: true }`.",
      }),
  })
  .meta({ description: "What the poured jobs of the archive taught, reviewed by a person." });
