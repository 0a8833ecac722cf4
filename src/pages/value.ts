/** A printed number in both systems of units, for pages on which the reader chooses the system. */
import type { BothUnits } from "../format.ts";

export interface Value {
  readonly metric: string;
  readonly inch: string;
  /** Which one the job leads with: it stands first where both are shown. */
  readonly leads: "metric" | "inch";
}

/** From what `format` gave, for a job whose leading unit is (or is not) the metric one. */
export const asValue = (both: BothUnits, metricLeads: boolean): Value =>
  metricLeads
    ? { metric: both.large.text, inch: both.small.text, leads: "metric" }
    : { metric: both.small.text, inch: both.large.text, leads: "inch" };
