/**
 * What the sheets are made from, and what a sheet is. A sheet is a plain view model: every decision
 * about what is printed, and on which page, has been made; templates place it.
 */
import type { Conformity } from "../conformity/model.ts";
import type { Depths } from "../depths/model.ts";
import type { Diagnostic, Outcome } from "../diagnostics.ts";
import type { Job, Language } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { PourPlan } from "../pour/model.ts";
import type { BagsByTarget } from "../quantities/bags-by-target.ts";
import type { Quantities } from "../quantities/model.ts";
import type { PourRecord } from "../record/model.ts";
import type { Revisions, Standing } from "../revision/model.ts";
import type { Slab } from "../slab/model.ts";
import type { AdjustedLevels, SurveyPlan } from "../survey/model.ts";
import type { Target } from "../target/model.ts";
import type { TargetStudy } from "../target/study-target.ts";
import type { Block } from "./page/blocks.ts";

/** The results of the stages, in the order of the pipeline. */
export interface Findings {
  readonly job: Job;
  readonly plan: Plan;
  /** Ready only where the job states what to plan from and nothing was read yet. */
  readonly surveyPlan: Outcome<SurveyPlan>;
  readonly levels: Outcome<AdjustedLevels>;
  readonly slab: Outcome<Slab>;
  readonly target: Outcome<Target>;
  readonly depths: Outcome<Depths>;
  readonly quantities: Outcome<Quantities>;
  readonly targetStudy: Outcome<TargetFindings>;
  /** Whether or not the floor can be poured. */
  readonly schedule: Outcome<PourPlan>;
  /** The slab as it was handed over, by the contract's rules; not yet where the contract gives none in figures. */
  readonly rawSlab: Outcome<Conformity>;
  /** The floor read again after the pour, by the same rules; not yet where it was not read. */
  readonly finished: Outcome<FinishedFloor>;
  /** What is proved and held before the pour and accounted for after it; ready for every job. */
  readonly record: Outcome<PourRecord>;
  /** What reading the job and laying out the plan warned of: the other stages carry their own. */
  readonly earlierWarnings?: readonly Diagnostic[];
  /** What was issued of this job, and what has changed since; absent where nothing was and nothing is being issued. */
  readonly revisions?: Revisions;
}

/** The finished floor as its own readings give it. */
export interface FinishedFloor {
  readonly plan: Plan;
  readonly levels: AdjustedLevels;
  readonly slab: Slab;
  readonly conformity: Conformity;
}

/** What a higher or lower top would cost, with its bags by material. */
export interface TargetFindings extends TargetStudy {
  readonly bags: readonly BagsByTarget[];
}

export type SetId = "survey" | "crew" | "gc" | "closeout";
export const SET_IDS: readonly SetId[] = ["survey", "crew", "gc", "closeout"];
export type PaperSize = "letter" | "tabloid" | "a4" | "a3";
export type Orientation = "portrait" | "landscape";

/** A sheet that says what it says, before it knows its hash and the packet that it stands in. */
export interface SheetContent {
  /** Kebab case; its template is templates/sheets/<id>.njk. */
  readonly id: string;
  readonly title: string;
  readonly sets: readonly SetId[];
  readonly pages: readonly PageContent[];
}

/** A page of a fixed size and the blocks that stand on it, top to bottom; each has its height. */
export interface PageContent {
  readonly paper: PaperSize;
  readonly orientation: Orientation;
  readonly blocks: readonly Block[];
}

export interface Sheet {
  /** Kebab case; its template is templates/sheets/<id>.njk. */
  readonly id: string;
  readonly title: string;
  readonly language: Language;
  readonly sets: readonly SetId[];
  readonly pages: readonly SheetPage[];
  /** First eight hex digits of the SHA-256 of what the sheet says. */
  readonly hash: string;
  /** Against the issued revisions. */
  readonly standing: Standing;
}

export interface SheetPage extends PageContent {
  readonly number: number;
  readonly of: number;
  /** Of the paper as it lies, in mm. */
  readonly widthMm: number;
  readonly heightMm: number;
  readonly head: PageHead;
  /** The identity line, left to right: job, sheet, revision, date, status, hash, page. */
  readonly foot: readonly string[];
}

/** The title block that stands over every page (fields as ISO 7200 names them). */
export interface PageHead {
  readonly title: string;
  /** The job's title, and the company that answers for the sheet. */
  readonly job: string;
  readonly owner: string;
}

/** A sheet that the job has no numbers for yet. */
export interface SheetNotYet {
  readonly id: string;
  readonly title: string;
  readonly why: string;
}
