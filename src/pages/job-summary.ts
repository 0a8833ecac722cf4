/**
 * What the index says of a job, and what the next build must know of this one. It lies in the job's
 * folder as summary.json, so that the index over many jobs reads a kilobyte each.
 */
import { area, count, height } from "../format.ts";
import type { SheetMark } from "../revision/model.ts";
import { standingInFileName } from "../revision/standing.ts";
import type { Findings, Sheet } from "../sheets/model.ts";
import { warningsOf } from "./job-page.ts";
import { asValue, type Value } from "./value.ts";

export interface JobSummary {
  readonly jobId: string;
  readonly title: string;
  readonly place: string;
  readonly client: string;
  readonly generalContractor: string;
  readonly material: string;
  readonly rooms: readonly string[];
  /** Year of the pour's start or of the job file's date; absent where neither is given. */
  readonly year?: string;
  readonly phase: "planned" | "surveyed";
  readonly hold: boolean;
  readonly warnings: number;
  readonly area?: Value;
  readonly areaM2?: number;
  readonly greatestDepth?: Value;
  readonly bags?: string;
  readonly packetHash: string;
  readonly sheets: readonly PrintMark[];
}

/** What a sheet says, and whether it says it as a draft or as which revision: either makes another print. */
export interface PrintMark extends SheetMark {
  readonly standing: string;
}

export function summaryOf(findings: Findings, sheets: readonly Sheet[], packetHash: string): JobSummary {
  const { job, plan, depths, quantities } = findings;
  const year = /^\d{4}/.exec(job.pour.start ?? job.dated ?? "")?.[0];
  return {
    jobId: job.id,
    title: job.title,
    place: job.place ?? "",
    client: job.client ?? "",
    generalContractor: job.generalContractor ?? "",
    material: job.material.name,
    rooms: plan.floors.map((floor) => floor.name),
    ...(year === undefined ? {} : { year }),
    phase: depths.kind === "ready" ? "surveyed" : "planned",
    hold: quantities.kind === "ready" && quantities.value.holds.length > 0,
    warnings: warningsOf(findings).length,
    ...(depths.kind === "ready"
      ? {
          area: asValue(area(depths.value.area, job.units.plan), job.units.plan === "m"),
          areaM2: depths.value.area,
          greatestDepth: asValue(height(depths.value.greatest, job.units.height), job.units.height === "mm"),
        }
      : {}),
    ...(quantities.kind === "ready" ? { bags: count(quantities.value.bags.toOrder) } : {}),
    packetHash,
    sheets: sheets.map(({ id, title, language, hash, standing }) => ({
      id,
      title,
      language,
      hash,
      standing: standingInFileName(standing),
    })),
  };
}

/** Which sheets are to be printed again. */
export function changedSheets(before: readonly PrintMark[], now: readonly PrintMark[]): PrintMark[] {
  const printed = new Set(before.map(({ language, id, hash, standing }) => [language, id, hash, standing].join(" ")));
  return now.filter(({ language, id, hash, standing }) => !printed.has([language, id, hash, standing].join(" ")));
}
