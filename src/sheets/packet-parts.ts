/** Parts that the schema of packet.json is made of. */
import { z } from "zod";

/** A quantity: its value in the unit named by its key, and as the sheets print it, the leading unit first. */
export const quantity = z.object({ value: z.number(), printed: z.tuple([z.string(), z.string()]) });
export const place = z.object({ eastM: z.number(), northM: z.number() });

/** What a stage gave, or why it has not yet. */
export const stage = <T extends z.ZodType>(result: T) =>
  z.discriminatedUnion("kind", [
    z.object({
      kind: z.literal("ready"),
      result,
      warnings: z.array(z.object({ code: z.string(), message: z.string() })),
    }),
    z.object({ kind: z.literal("not-yet"), why: z.string() }),
  ]);
