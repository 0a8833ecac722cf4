/**
 * What is read back from the packet.json of an issued record. It takes no more than is compared, and
 * lets everything else pass, so that a record is read by later versions of the program, whose packets
 * hold other things besides.
 */
import { z } from "zod";

const printed = z.object({ value: z.number(), printed: z.tuple([z.string(), z.string()]) });
const stage = <T extends z.ZodType>(result: T) =>
  z.discriminatedUnion("kind", [
    z.object({ kind: z.literal("ready"), result }),
    z.object({ kind: z.literal("not-yet"), why: z.string() }),
  ]);

export const issuedNumbersSchema = z.object({
  packetFormat: z.literal(1),
  job: z.object({
    id: z.string(),
    dated: z.string().nullable(),
    start: z.string().nullable().optional(),
    material: z.object({ id: z.string(), name: z.string() }),
  }),
  plan: z.object({ rooms: z.array(z.object({ id: z.string(), name: z.string() })) }),
  depths: stage(
    z.object({
      pins: z.array(
        z.object({
          id: z.string(),
          room: z.string(),
          order: z.int(),
          at: z.object({ eastM: z.number(), northM: z.number() }),
          cut: z.enum(["cut", "after-grinding", "too-short"]),
          cutMm: printed.nullable(),
        }),
      ),
    }),
  ),
  quantities: stage(
    z.object({
      bags: z.object({ toOrder: z.int() }),
      otherMaterials: z.array(z.object({ material: z.string(), bags: z.object({ toOrder: z.int() }) })).optional(),
      pallets: z.int(),
    }),
  ),
  schedule: stage(
    z.object({
      durationMin: z.number(),
      batches: z.array(z.object({ number: z.int(), printed: z.tuple([z.string(), z.string()]) })),
      bays: z.array(z.object({ number: z.int() })).optional(),
    }),
  ),
});

export type IssuedNumbers = z.infer<typeof issuedNumbersSchema>;
