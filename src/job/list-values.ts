/** What the numbers of a list of points are held against. */
import { M_PER_FOOT } from "../units.ts";
import type { JobReader } from "./job-reader.ts";
import type { LengthText } from "./lengths.ts";

/** No level reads further than this from its zero, and no floor lies further from its own. */
export const FURTHEST_FROM_ZERO_MM = 10_000;

/** Further than any floor reaches, or any map's coordinates from their origin. */
export const furthestPlaceM = (onMap: boolean): number => (onMap ? 10_000_000 : 10_000);

/** A bare number is feet or metres, as plan lengths are: heights of a point list come in those. */
export const toMillimetresOfPlan = (reader: JobReader, length: LengthText): number =>
  length.kind === "length"
    ? length.millimetres
    : length.value * (reader.units.plan === "ft-in" ? M_PER_FOOT * 1000 : 1000);
