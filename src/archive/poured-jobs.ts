/** What the packets of poured jobs say for others to learn from: read from packet.json, which holds every number. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { z } from "zod";
import { packetFolders } from "./built-packets.ts";
import type { LossSeen } from "./fit-loss.ts";

/** No more than is learned from; packets of earlier versions hold other things besides, and may lack some of it. */
const packetSchema = z.object({
  job: z.object({ id: z.string(), material: z.object({ id: z.string() }) }),
  depths: z.object({ result: z.object({ meanMm: z.object({ value: z.number() }) }).optional() }),
  quantities: z.object({
    result: z
      .object({
        bags: z.object({ neat: z.number(), profile: z.number(), loss: z.number(), sum: z.number(), toOrder: z.int() }),
      })
      .optional(),
  }),
  levels: z.object({
    result: z
      .object({
        report: z.object({
          global: z.object({ redundancy: z.number().optional(), sumOfSquares: z.number().optional() }),
        }),
      })
      .optional(),
  }),
  record: z
    .object({
      result: z
        .object({
          account: z
            .object({
              foundLossShare: z.number().nullable(),
              plannedLossShare: z.number(),
              placedVolumeL: z.object({ value: z.number() }).nullable(),
              placedVolumeSdL: z.number().nullable(),
            })
            .nullable(),
        })
        .optional(),
    })
    .optional(),
  finished: z
    .object({ result: z.object({ rules: z.array(z.object({ name: z.string(), result: z.string() })) }).optional() })
    .optional(),
});

const summarySchema = z.object({
  crew: z.string(),
  instruments: z.array(z.string()),
  tolerance: z.string().optional(),
});

export interface SeenJob {
  readonly jobId: string;
  readonly material: string;
  readonly crew: string;
  readonly instruments: readonly string[];
  /** As the contract words it. */
  readonly tolerance?: string;
  readonly meanDepthMm?: number;
  readonly bags?: {
    readonly neat: number;
    readonly profile: number;
    readonly loss: number;
    readonly sum: number;
    readonly toOrder: number;
  };
  /** Only where the finished floor was read, so that loss and volume can be told apart. */
  readonly loss?: LossSeen;
  /** Of the survey: residuals, each over its stated standard deviation, squared and added; and how many check each other. */
  readonly residuals?: { readonly sumOfSquares: number; readonly redundancy: number };
  /** By the contract's rules, of the finished floor. */
  readonly rules: readonly { readonly name: string; readonly result: string }[];
}

/** @returns the jobs whose packet can be read, and the ids of those that are not of a form that is known */
export function seenJobs(outputFolder: string): { readonly jobs: SeenJob[]; readonly unread: string[] } {
  const jobs: SeenJob[] = [];
  const unread: string[] = [];
  for (const folder of packetFolders(outputFolder)) {
    const [packet, summary] = ["packet.json", "summary.json"].map((name) => parsed(join(outputFolder, folder, name)));
    if (packet === undefined || summary === undefined) continue;
    const [read, about] = [packetSchema.safeParse(packet), summarySchema.safeParse(summary)];
    if (read.success && about.success) jobs.push(seenJob(read.data, about.data));
    else unread.push(folder);
  }
  return { jobs, unread };
}

function seenJob(packet: z.infer<typeof packetSchema>, about: z.infer<typeof summarySchema>): SeenJob {
  const meanDepthMm = packet.depths.result?.meanMm.value;
  const account = packet.record?.result?.account;
  const { foundLossShare, placedVolumeL, placedVolumeSdL } = account ?? {};
  const { redundancy, sumOfSquares } = packet.levels.result?.report.global ?? {};
  const material = packet.job.material.id;
  const bags = packet.quantities.result?.bags;
  const known = foundLossShare !== undefined && foundLossShare !== null && placedVolumeL && placedVolumeSdL !== null;
  return {
    jobId: packet.job.id,
    material,
    crew: about.crew,
    instruments: about.instruments,
    ...(about.tolerance === undefined ? {} : { tolerance: about.tolerance }),
    ...(meanDepthMm === undefined ? {} : { meanDepthMm }),
    ...(bags === undefined ? {} : { bags }),
    ...(known && placedVolumeSdL !== undefined && meanDepthMm !== undefined
      ? {
          loss: {
            material,
            crew: about.crew,
            meanDepthMm,
            loss: foundLossShare,
            // Loss = bags in the floor × yield / volume − 1: it is as uncertain as the volume, in shares.
            sd: ((1 + foundLossShare) * placedVolumeSdL) / placedVolumeL.value,
          },
        }
      : {}),
    ...(redundancy === undefined || sumOfSquares === undefined || redundancy <= 0
      ? {}
      : { residuals: { redundancy, sumOfSquares } }),
    rules: packet.finished?.result?.rules ?? [],
  };
}

function parsed(path: string): unknown {
  try {
    return JSON.parse(readFileSync(path, "utf8"));
  } catch (error) {
    if (error instanceof SyntaxError || ["ENOENT", "ENOTDIR"].includes((error as NodeJS.ErrnoException).code ?? ""))
      return undefined;
    throw error;
  }
}
