/**
 * Type sizes by reading distance, in mm. What must be legible is a glyph's height, so each size is
 * made from the height that its role needs and the font's own proportions.
 *
 * A digit subtends 20 minutes of arc at 0.5 m when it is 2.9 mm high, at 0.7 m 4.1 mm, at 1.6 m
 * 9.3 mm (calculated; 20′ preferred, 15′ least, after NUREG-0700). x-height at least 0.10 in for
 * documents used in action, leading 25–33 % (NASA CR-177605).
 */
import { CAP_HEIGHT, DIGIT_HEIGHT, X_HEIGHT } from "./text-metrics.ts";

/** Margin over the least height, so that a printer's rounding does not take a glyph below it. */
const CLEARANCE = 1.015;
const sized = (heightMm: number, share: number): number => Math.ceil(((heightMm * CLEARANCE) / share) * 20) / 20;

/** Read standing over the sheet: pour clock. */
export const KEY_VALUE_MM = sized(9.3, DIGIT_HEIGHT);
/** Read kneeling: depths and cut lengths. */
export const DEPTH_MM = sized(4.1, DIGIT_HEIGHT);
/** The governing unit of a cut length on the map: a step larger, to be told from the other unit by size. */
export const CUT_MM = sized(4.7, DIGIT_HEIGHT);
/** Anything else on a map or a cut table. */
export const KNEELING_MM = sized(3.1, CAP_HEIGHT);
/** Cover, pause cards, safety. */
export const READING_MM = sized(2.54, X_HEIGHT);
/** Sheets for the desk. */
export const DESK_MM = sized(2.5, CAP_HEIGHT);
/** The identity line at the foot. */
export const FOOT_MM = 2.8;
export const TITLE_MM = 7.6;
export const HEADING_MM = 5.8;

export const LEADING = 1.32;
/** Headings of one or two lines stand closer, still within the rule of 1.25. */
export const HEADING_LEADING = 1.26;
