/** Scales of maps, and how a place on the floor comes onto the paper. */
import { decimal } from "../../format.ts";
import type { PlanUnit } from "../../job/model.ts";
import type { PaperPoint } from "../drawing.ts";

export interface MapScale {
  /** 50 for 1:50. */
  readonly ratio: number;
  /** As the people of this job name it: `1:48, 1/4 in = 1 ft`. */
  readonly text: string;
}

const ratioText = (ratio: number): string => `1:${decimal(ratio, 0)}`;

/** Paper round the walls for what is printed outside them. */
export const MARGIN_ON_PAPER_MM = 8;

/** ISO 5455 series, with 1:25 and 1:75 between (common practice on building drawings). */
const METRIC: readonly MapScale[] = [5, 10, 20, 25, 50, 75, 100, 200, 500, 1000, 2000, 5000].map((ratio) => ({
  ratio,
  text: ratioText(ratio),
}));

/** Inches to the foot as on an architect's scale, feet to the inch as on an engineer's (common practice), and 1:50. */
const ARCHITECTS: readonly MapScale[] = (
  [
    [4, "3 in = 1 ft"],
    [8, "1 1/2 in = 1 ft"],
    [12, "1 in = 1 ft"],
    [16, "3/4 in = 1 ft"],
    [24, "1/2 in = 1 ft"],
    [32, "3/8 in = 1 ft"],
    [48, "1/4 in = 1 ft"],
    [50, ""],
    [60, "1 in = 5 ft"],
    [64, "3/16 in = 1 ft"],
    [96, "1/8 in = 1 ft"],
    [120, "1 in = 10 ft"],
    [192, "1/16 in = 1 ft"],
    [240, "1 in = 20 ft"],
    [480, "1 in = 40 ft"],
    [1200, "1 in = 100 ft"],
    [2400, "1 in = 200 ft"],
    [4800, "1 in = 400 ft"],
  ] as const
).map(([ratio, inches]) => ({ ratio, text: inches === "" ? ratioText(ratio) : `${ratioText(ratio)}, ${inches}` }));

/** The scales that a job uses, largest drawing first. */
export const scalesFor = (plan: PlanUnit): readonly MapScale[] => (plan === "m" ? METRIC : ARCHITECTS);

/** A rectangle of the floor, in metres. */
export interface Window {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

export interface Projection {
  readonly scale: MapScale;
  readonly window: Window;
  toPaper(at: { readonly x: number; readonly y: number }): PaperPoint;
  /** A length on the floor in metres as mm of paper. */
  lengthOnPaper(lengthM: number): number;
}

/** North up; the window's north-west corner comes to (left, top) of the drawing. */
export function projectionOf(scale: MapScale, window: Window, left: number, top: number): Projection {
  const mmPerM = 1000 / scale.ratio;
  return {
    scale,
    window,
    toPaper: ({ x, y }) => ({ x: left + (x - window.minX) * mmPerM, y: top + (window.maxY - y) * mmPerM }),
    lengthOnPaper: (lengthM) => lengthM * mmPerM,
  };
}

export const windowSize = (window: Window): { readonly width: number; readonly height: number } => ({
  width: window.maxX - window.minX,
  height: window.maxY - window.minY,
});

export const inWindow = (window: Window, at: { readonly x: number; readonly y: number }): boolean =>
  at.x >= window.minX && at.x <= window.maxX && at.y >= window.minY && at.y <= window.maxY;

/** The part of a window inside another. */
export const inside = (window: Window, outer: Window): Window => ({
  minX: Math.max(window.minX, outer.minX),
  minY: Math.max(window.minY, outer.minY),
  maxX: Math.min(window.maxX, outer.maxX),
  maxY: Math.min(window.maxY, outer.maxY),
});
