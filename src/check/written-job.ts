/** A job file as it is typed, as far as checks read it again for themselves. */
import { CORE_SCHEMA, load } from "js-yaml";

export interface WrittenLimit {
  readonly at_least?: string | number;
  readonly at_most?: string | number;
}

export interface WrittenTest {
  readonly test: string;
  readonly places?: number;
  readonly limits?: readonly WrittenLimit[];
}

export interface WrittenResult {
  readonly test: string;
  readonly id: string | number;
  readonly value: string | number;
  readonly date: string;
}

export interface WrittenBatch {
  readonly bags: number | string;
  readonly lot?: string | number;
  readonly material?: string;
  readonly water?: string | number;
  readonly density?: string | number;
  readonly mixed: string;
  readonly placed?: string;
  readonly date?: string;
}

export interface WrittenJob {
  readonly pour?: { readonly start?: string };
  readonly contract?: {
    readonly allowed_bags?: number | string;
    readonly approved_bags?: { readonly bags: number | string };
  };
  readonly joint_survey?: {
    readonly signatures?: readonly { readonly for: string }[];
    readonly bags?: number | string;
    readonly not_required?: unknown;
  };
  readonly readiness?: {
    readonly tests?: readonly WrittenTest[];
    readonly results?: readonly WrittenResult[];
    readonly not_required?: unknown;
  };
  readonly results?: {
    readonly poured: string;
    readonly lots: readonly {
      readonly lot: string | number;
      readonly bags: number | string;
      readonly material?: string;
    }[];
    readonly batches: readonly WrittenBatch[];
    readonly burst_bags?: number | string;
    readonly thrown_bags?: number | string;
  };
}

/** The file that is being checked: it was read once already, and is one mapping. */
export const writtenJob = (jobText: string): WrittenJob => load(jobText, { schema: CORE_SCHEMA }) as WrittenJob;
