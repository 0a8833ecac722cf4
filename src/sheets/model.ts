/**
 * What the sheets are made from, and what a sheet is. A sheet is a plain view model: every decision
 * about what is printed, and on which page, has been made; templates place it.
 */
import type { Depths } from "../depths/model.ts";
import type { Outcome } from "../diagnostics.ts";
import type { Job, Language } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { MixingSchedule } from "../pour/model.ts";
import type { Quantities } from "../quantities/model.ts";
import type { Slab } from "../slab/model.ts";
import type { Levels } from "../survey/model.ts";
import type { Target } from "../target/model.ts";

/** The results of the stages, in the order of the pipeline. */
export interface Findings {
  readonly job: Job;
  readonly plan: Plan;
  readonly levels: Outcome<Levels>;
  readonly slab: Outcome<Slab>;
  readonly target: Outcome<Target>;
  readonly depths: Outcome<Depths>;
  readonly quantities: Outcome<Quantities>;
  readonly schedule: Outcome<MixingSchedule>;
}

export type SetId = "survey" | "crew" | "gc" | "closeout";
export type PaperSize = "letter" | "tabloid" | "a4" | "a3";

export interface Sheet {
  /** Kebab case; its template is templates/sheets/<id>.njk. */
  readonly id: string;
  readonly title: string;
  readonly language: Language;
  readonly sets: readonly SetId[];
  readonly pages: readonly SheetPage[];
  /** First eight hex digits of the SHA-256 of what the sheet says. */
  readonly hash: string;
}

/** A page of fixed size; what else it holds is between the sheet's composer and its template. */
export interface SheetPage {
  readonly paper: PaperSize;
  readonly orientation: "portrait" | "landscape";
  readonly number: number;
  readonly of: number;
}
