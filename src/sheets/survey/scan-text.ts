/** What the survey report says of a scan: what counts, what maps show of it, and how files were brought onto the plan. */
import { count, decimal, difference, fineHeight, planLength, smallArea } from "../../format.ts";
import type { PlanFit } from "../../job/plan-fit.ts";
import type { AdjustedLevels, ScanLevels } from "../../survey/model.ts";
import type { Block } from "../page/blocks.ts";
import { type CellText, cell, DESK, heading, list, paragraph, table } from "../page/make-blocks.ts";
import { DESK_MM } from "../type/type-sizes.ts";
import { bothText, type PlaceSubject } from "./point-place.ts";

export function scanBlocks(subject: PlaceSubject, scan: ScanLevels, width: number): Block[] {
  const { job, plan, words } = subject;
  const w = words.surveyReport.scan;
  const inHeight = (mm: number): string => bothText(fineHeight(mm, job.units.height), words);
  const inPlan = (metres: number): string => bothText(planLength(metres, job.units.plan), words);
  const { emptyArea, farthestOff, squareSide } = scan;
  return [
    heading(w.title, width),
    paragraph(w.counts(count(scan.xM.length), count(scan.rows), scan.file), width, DESK),
    list(
      [
        squareSide === undefined ? w.allShown : w.thinned(count(scan.shown.length), inPlan(squareSide)),
        w.pins(count(scan.pinsRead), count(plan.points.length), inPlan(scan.pinReach)),
        ...(emptyArea === undefined
          ? []
          : [w.empty(bothText(smallArea(emptyArea, job.units.plan), words), emptyArea > 0)]),
        ...(farthestOff === undefined
          ? []
          : [
              w.farthest(
                inHeight(Math.abs(farthestOff.by)),
                farthestOff.by > 0,
                String(farthestOff.line),
                words.surveyReport.at(inPlan(farthestOff.at.x), inPlan(farthestOff.at.y)),
              ),
            ]),
        w.noise(inHeight(scan.sd)),
      ],
      width,
      DESK,
    ),
  ];
}

/** Shift, turn and residuals of every file that was brought onto the plan by known points. */
export function fitBlocks(subject: PlaceSubject, { scan }: AdjustedLevels, width: number): Block[] {
  const { job } = subject;
  const fits = [
    ...(scan?.fit === undefined ? [] : [{ of: scan.file, fit: scan.fit }]),
    ...job.survey.setUps.flatMap(({ id, fit }) => (fit === undefined ? [] : [{ of: id, fit }])),
  ];
  return fits.flatMap(({ of, fit }) => fitOf(subject, of, fit, width));
}

function fitOf({ job, words }: PlaceSubject, of: string, fit: PlanFit, width: number): Block[] {
  const w = words.surveyReport.fit;
  const text = (content: string): CellText => cell(content, DESK_MM);
  const metres = (value: number): string => `${decimal(value, 3)} m`;
  const degrees = difference((fit.turn * 180) / Math.PI, 4);
  return [
    heading(w.title(of), width),
    paragraph(
      w.text(
        degrees,
        metres(fit.origin.x),
        metres(fit.origin.y),
        bothText(planLength(fit.greatestResidual, job.units.plan), words),
      ),
      width,
      DESK,
    ),
    table(
      w.caption(of),
      [
        { heading: w.columns.point, widthMm: width * 0.4, namesRow: true },
        { heading: w.columns.inFile, widthMm: width * 0.24, align: "end" },
        { heading: w.columns.onPlan, widthMm: width * 0.22, align: "end" },
        { heading: w.columns.residual, widthMm: width * 0.14, align: "end" },
      ],
      fit.points.map(({ name, inFile, onPlan, residual }) => ({
        cells: [
          text(name),
          text(`${decimal(inFile.x, 3)}, ${decimal(inFile.y, 3)}`),
          text(`${decimal(onPlan.x, 3)}, ${decimal(onPlan.y, 3)}`),
          text(`${decimal(1000 * residual, 1)} mm`),
        ],
      })),
      DESK_MM,
    ),
  ];
}
