/** The title block: what fits beside each other in its one line of job and company. */
import type { Job } from "../../job/model.ts";
import type { PageHead } from "../model.ts";
import { fitText, textWidthMm } from "../type/text-metrics.ts";
import { READING_MM } from "../type/type-sizes.ts";

/** Paper between the job's title and the company; the stylesheet's gap is as wide. */
const GAP_MM = 6;
/** So much of the line the company may take where the job's title needs the rest. */
const SHARE_OF_OWNER = 0.4;

/** The head of a page whose frame is `widthMm` wide. A title that does not fit ends in "…"; the cover has it in full. */
export function pageHead(title: string, job: Job, widthMm: number): PageHead {
  const roomMm = widthMm - GAP_MM;
  const jobWidth = textWidthMm(job.title, READING_MM);
  const owner = fitText(job.company.name, Math.max(SHARE_OF_OWNER * roomMm, roomMm - jobWidth), READING_MM);
  return { title, job: fitText(job.title, roomMm - textWidthMm(owner, READING_MM), READING_MM), owner };
}
