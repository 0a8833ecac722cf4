/** What the jobs of the archive teach: read from each packet's summary.json. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { z } from "zod";
import type { TaughtJob } from "../pages/past.ts";
import { packetFolders, SUMMARY } from "./built-packets.ts";

const number = z.number();
/** No more than is learned from; summaries of other versions may hold other things besides. */
const summarySchema = z.object({
  jobId: z.string(),
  title: z.string(),
  crew: z.string(),
  taught: z
    .object({
      crewId: z.string(),
      orders: z.array(
        z.object({
          materialId: z.string(),
          meanDepthMm: number,
          neat: number,
          profile: number,
          loss: number,
          toOrder: z.int(),
          dataSheetYieldL: number,
          poured: z
            .object({
              inFloorBags: number,
              loss: z.object({ share: number, sd: number }).optional(),
              weighedYield: z.object({ litres: number, batches: z.int(), sd: number.optional() }).optional(),
            })
            .optional(),
        }),
      ),
      noise: z.array(
        z.object({ instrumentId: z.string(), statedSdMm: number, sumOfSquares: number, redundancy: number }),
      ),
      rules: z.array(
        z.object({
          asked: z.string(),
          result: z.enum(["within", "outside", "not-decidable"]),
          used: number.optional(),
        }),
      ),
    })
    .optional(),
});

/** @returns the jobs that teach something, and the ids of those whose summary is of a form that is not known */
export function taughtJobs(outputFolder: string): { readonly jobs: TaughtJob[]; readonly unread: string[] } {
  const jobs: TaughtJob[] = [];
  const unread: string[] = [];
  for (const folder of packetFolders(outputFolder)) {
    const summary = parsed(join(outputFolder, folder, SUMMARY));
    if (summary === undefined) continue;
    const read = summarySchema.safeParse(summary);
    if (!read.success) unread.push(folder);
    else if (read.data.taught !== undefined) {
      const { jobId, title, taught } = read.data;
      jobs.push({ jobId, title, taught: taught as TaughtJob["taught"] });
    }
  }
  return { jobs, unread };
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
