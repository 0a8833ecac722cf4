/** What is printed at a pin, and how large that is. */
import type { PinDepth } from "../../depths/model.ts";
import { height } from "../../format.ts";
import type { HeightUnit } from "../../job/model.ts";
import { box, type Mark, text } from "../drawing.ts";
import { DIGIT_HEIGHT, textWidthMm } from "../type/text-metrics.ts";
import { CUT_MM, DEPTH_MM, KNEELING_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";
import type { Box } from "./occupancy.ts";

/** Pins are larger than reading points, which are dots in them. */
export const PIN_RADIUS_MM = 1.5;
export const READING_POINT_RADIUS_MM = 0.45;

const PADDING_MM = 0.8;
const BETWEEN_MM = 1.8;
const LINE_MM = Math.round(DEPTH_MM * 1.26 * 100) / 100;

/** Id and cut length in the unit that governs; below it the other unit, or what has to be done first. */
export interface PinLabel {
  readonly id: string;
  /** Empty where the length stays blank. */
  readonly cut: string;
  readonly below: string;
  readonly belowMm: number;
  readonly width: number;
  readonly height: number;
}

const BLANK_WIDTH_MM = 9;

export function pinLabel(pin: PinDepth, unit: HeightUnit, words: Words): PinLabel {
  const { id } = pin.pin;
  const printed = pin.cut.kind === "cut" ? height(pin.cut.length, unit) : undefined;
  const cut = printed ? printed.large.number : "";
  const below = printed ? printed.small.text : words.map.noPin;
  const belowMm = printed ? DEPTH_MM : KNEELING_MM;
  const first = textWidthMm(id, DEPTH_MM) + BETWEEN_MM + (printed ? textWidthMm(cut, CUT_MM, 700) : BLANK_WIDTH_MM);
  const second = textWidthMm(below, belowMm);
  return {
    id,
    cut,
    below,
    belowMm,
    width: Math.max(first, second) + 2 * PADDING_MM,
    height: 2 * PADDING_MM + CUT_MM * DIGIT_HEIGHT + LINE_MM + 0.3,
  };
}

export function pinLabelMarks(label: PinLabel, place: Box): Mark[] {
  const x = place.minX + PADDING_MM;
  const baseline = place.minY + PADDING_MM + CUT_MM * DIGIT_HEIGHT;
  const cutX = x + textWidthMm(label.id, DEPTH_MM) + BETWEEN_MM;
  return [
    box(place.minX, place.minY, place.maxX - place.minX, place.maxY - place.minY, "label-box"),
    text(x, baseline, label.id, DEPTH_MM),
    label.cut === ""
      ? box(cutX, baseline - DEPTH_MM * DIGIT_HEIGHT, BLANK_WIDTH_MM - 0.6, DEPTH_MM * DIGIT_HEIGHT, "blank-box")
      : text(cutX, baseline, label.cut, CUT_MM, "start", 700),
    text(x, baseline + LINE_MM, label.below, label.belowMm),
  ];
}
