/** What stands at a pin or a reading point on a map: its symbol and its label, and how large they are. */
import type { PinDepth } from "../../depths/model.ts";
import { height } from "../../format.ts";
import type { Point } from "../../geometry/point.ts";
import type { HeightUnit } from "../../job/model.ts";
import type { PlanPin, PlanPoint } from "../../layout/model.ts";
import { box, circle, type Mark, type MarkStyle, type PaperPoint, text } from "../drawing.ts";
import { CAP_HEIGHT, DIGIT_HEIGHT, textWidthMm } from "../type/text-metrics.ts";
import { CUT_MM, DEPTH_MM, KNEELING_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";
import type { Box } from "./occupancy.ts";

/** Pins are larger than reading points, which are dots in them. */
export const PIN_RADIUS_MM = 1.5;
export const READING_POINT_RADIUS_MM = 0.45;

/** A labelled place on a map. */
export interface MapItem {
  readonly id: string;
  readonly at: Point;
  readonly roomIndex: number;
  readonly kind: PlanPin["kind"];
  readonly labelWidth: number;
  readonly labelHeight: number;
  /** Lines on the floor that belong to the item, such as the straightedge that was laid there. */
  readonly reach?: readonly { readonly line: readonly Point[]; readonly style: MarkStyle }[];
  symbol(at: PaperPoint): Mark[];
  label(place: Box): Mark[];
}

const PADDING_MM = 0.8;
const BETWEEN_MM = 1.8;
const LINE_MM = Math.round(DEPTH_MM * 1.26 * 100) / 100;
/** A place for a length that is only known after grinding: a mark of a wet-erase pen fits in. */
const BLANK_MM = 8.4;

const background = (place: Box): Mark =>
  box(place.minX, place.minY, place.maxX - place.minX, place.maxY - place.minY, "label-box");

export function pinSymbol(from: PinDepth["from"], at: PaperPoint): Mark[] {
  if (from === "interpolated") return [circle(at.x, at.y, PIN_RADIUS_MM, "pin-interpolated")];
  return [circle(at.x, at.y, PIN_RADIUS_MM, "pin"), circle(at.x, at.y, READING_POINT_RADIUS_MM, "reading-point")];
}

/**
 * A pin: id and cut length in the unit that governs, below it the other unit; or a blank for the length
 * and what has to be done first.
 */
export function pinItem(pin: PinDepth, unit: HeightUnit, words: Words): MapItem {
  const { id, at, roomIndex, kind } = pin.pin;
  const printed = pin.cut.kind === "cut" ? height(pin.cut.length, unit) : undefined;
  const cut = printed?.large.number;
  const below = printed ? printed.small.text : words.map.noPin;
  const belowMm = printed ? DEPTH_MM : KNEELING_MM;
  const cutWidth = cut === undefined ? BLANK_MM + 0.3 : textWidthMm(cut, CUT_MM, 700);
  const firstHeight = cut === undefined ? BLANK_MM : CUT_MM * DIGIT_HEIGHT;
  const firstWidth = textWidthMm(id, DEPTH_MM) + BETWEEN_MM + cutWidth;
  return {
    id,
    at,
    roomIndex,
    kind,
    labelWidth: Math.max(firstWidth, textWidthMm(below, belowMm)) + 2 * PADDING_MM,
    labelHeight: 2 * PADDING_MM + firstHeight + LINE_MM + 0.3,
    symbol: (place) => pinSymbol(pin.from, place),
    label(place) {
      const x = place.minX + PADDING_MM;
      const baseline = place.minY + PADDING_MM + firstHeight;
      const cutX = x + textWidthMm(id, DEPTH_MM) + BETWEEN_MM;
      return [
        background(place),
        { ...text(x, baseline, id, DEPTH_MM), role: "pin-id" },
        cut === undefined
          ? box(cutX, baseline - BLANK_MM, BLANK_MM, BLANK_MM, "blank-box")
          : text(cutX, baseline, cut, CUT_MM, "start", 700),
        text(x, baseline + LINE_MM, below, belowMm),
      ];
    },
  };
}

/** A box to write a reading in: high enough for a wet glove and a pen. */
export const READING_BOX_MM = { width: 14, height: 8.5 };

/** A reading point: its id and an empty box. */
export function blankItem(point: PlanPoint): MapItem {
  const { id, at, roomIndex, kind } = point;
  const idWidth = textWidthMm(id, KNEELING_MM, 700);
  return {
    id,
    at,
    roomIndex,
    kind,
    labelWidth: idWidth + 1.2 + READING_BOX_MM.width + 2 * 0.4,
    labelHeight: READING_BOX_MM.height + 2 * 0.4,
    symbol: (place) => [circle(place.x, place.y, 2 * READING_POINT_RADIUS_MM, "reading-point")],
    label: (place) => [
      background(place),
      text(
        place.minX + 0.4,
        (place.minY + place.maxY) / 2 + (KNEELING_MM * CAP_HEIGHT) / 2,
        id,
        KNEELING_MM,
        "start",
        700,
      ),
      box(
        place.maxX - 0.4 - READING_BOX_MM.width,
        place.minY + 0.4,
        READING_BOX_MM.width,
        READING_BOX_MM.height,
        "blank-box",
      ),
    ],
  };
}
