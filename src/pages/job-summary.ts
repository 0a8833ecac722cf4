/** The summary of a job from what was found and from its sheets. */

import { area, height } from "../format.ts";
import type { Quantities } from "../quantities/model.ts";
import { NEVER_ISSUED } from "../revision/model.ts";
import { packetStanding, standingInFileName } from "../revision/standing.ts";
import type { Findings, Sheet } from "../sheets/model.ts";
import type { IndexEntry, JobSummary, PrintMark } from "./index-entry.ts";
import { warningsOf } from "./job-page.ts";
import { phaseOf } from "./phase.ts";
import { statusText } from "./revision-on-page.ts";
import { taughtBy } from "./taught.ts";
import { asValue } from "./value.ts";

export function summaryOf(findings: Findings, sheets: readonly Sheet[], packetHash: string): JobSummary {
  const { job, plan, depths, quantities, record } = findings;
  const account = record.kind === "ready" ? record.value.account : undefined;
  const standing = packetStanding(
    sheets.map((sheet) => sheet.standing),
    findings.revisions ?? NEVER_ISSUED,
  );
  const taught = taughtBy(findings);
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
    phase: phaseOf(findings),
    hold:
      (quantities.kind === "ready" && quantities.value.holds.length > 0) ||
      (record.kind === "ready" && record.value.holds.length > 0),
    warnings: warningsOf(findings).length,
    revision: statusText(standing),
    crew: job.crew.name,
    instruments: [...new Set(job.survey.setUps.map(({ instrument }) => instrument.name))],
    ...(job.contract.tolerance === undefined ? {} : { tolerance: job.contract.tolerance.text }),
    ...(depths.kind === "ready"
      ? {
          area: asValue(area(depths.value.area, job.units.plan), job.units.plan === "m"),
          areaM2: depths.value.area,
          greatestDepth: asValue(height(depths.value.greatest, job.units.height), job.units.height === "mm"),
          greatestDepthMm: depths.value.greatest,
          meanDepthMm: depths.value.mean,
          volumeL: depths.value.volumeToOrder,
        }
      : {}),
    ...(quantities.kind === "ready" ? bagsOf(quantities.value) : {}),
    ...(account === undefined ? {} : { bagsPastOrder: account.bags.difference }),
    packetHash,
    ...(taught === undefined ? {} : { taught }),
    sheets: sheets.map(({ id, title, language, hash, standing }) => ({
      id,
      title,
      language,
      hash,
      standing: standingInFileName(standing),
    })),
  };
}

const bagsOf = ({ bags, againstAllowed }: Quantities): Pick<IndexEntry, "bags" | "bagsPastAllowed"> => ({
  bags: bags.toOrder,
  ...(againstAllowed === undefined ? {} : { bagsPastAllowed: againstAllowed.differenceBags }),
});

/** Which sheets are to be printed again. */
export function changedSheets(before: readonly PrintMark[], now: readonly PrintMark[]): PrintMark[] {
  const printed = new Set(before.map(({ language, id, hash, standing }) => [language, id, hash, standing].join(" ")));
  return now.filter(({ language, id, hash, standing }) => !printed.has([language, id, hash, standing].join(" ")));
}
