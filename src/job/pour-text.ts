/** The pour as typed: allowances, delivery, and what it is planned from. */
import type { z } from "zod";
import { distance } from "../geometry/point.ts";
import { type Celsius, type Kilograms, type Metres, type Millimetres, minutes, share } from "../units.ts";
import { given } from "./given.ts";
import { type JobReader, objectAt, refuseClashes, toMillimetres, toPoint } from "./job-reader.ts";
import type { FloorLine, GoodsLift, LearnedLoss, PourSpec } from "./model.ts";
import type { PourText } from "./schema.ts";
import type { usualSchema } from "./schema-library.ts";
import { valueAt } from "./yaml-places.ts";

type UsualPour = z.output<typeof usualSchema>["pour"];

const EXAMPLES = { loss: "loss: 5 %", profile: "profile: 0.5 mm", pallet: "pallet: (length, width, tare, bags)" };

/**
 * Allowances and delivery: each as the job gives it, else the library's usual one; without either it is asked for.
 * @param learned the loss that the archive taught, given the one that holds without it
 */
export function buildPour(
  reader: JobReader,
  text: PourText | undefined,
  usual: UsualPour,
  learned: (usual: number) => LearnedLoss | undefined,
): PourSpec | undefined {
  const pallet = text?.pallet ?? usual?.pallet;
  const loss = text?.loss ?? usual?.loss;
  const profile = text?.profile === undefined ? usual?.profile : toMillimetres(reader, text.profile);
  // A pour that did not pass the schema was objected to; its keys are not missing.
  if (text !== undefined || valueAt(reader.document, ["pour"]) === undefined) {
    for (const [key, value] of Object.entries({ loss, profile, pallet })) {
      if (value !== undefined) continue;
      objectAt(reader, text === undefined ? [] : ["pour"], {
        code: "missing-key",
        message: `"pour" has no "${key}", and the library names no usual one.`,
        expected: EXAMPLES[key as keyof typeof EXAMPLES],
      });
    }
  }
  if (text !== undefined) refusePlaceClashes(reader, text);
  if (pallet === undefined || loss === undefined || profile === undefined) return undefined;
  const learnedLoss = text?.learned_loss === true ? learned(loss) : undefined;
  return {
    lossAllowance: share(learnedLoss === undefined ? loss : Math.max(0, learnedLoss.loss)),
    ...(learnedLoss === undefined ? {} : { learnedLoss }),
    profileAllowance: profile as Millimetres,
    bagsPerPallet: pallet.bags,
    palletLength: (pallet.length / 1000) as Metres,
    palletWidth: (pallet.width / 1000) as Metres,
    palletTare: pallet.tare as Kilograms,
    ...(text === undefined ? {} : plannedFrom(reader, text)),
  };
}

function plannedFrom(reader: JobReader, text: PourText): Partial<PourSpec> {
  const placed = (places: NonNullable<PourText["exits"]>) =>
    places.map(({ id, at }) => ({ id, at: toPoint(reader, at) }));
  return {
    ...given("start", text.start, (start) => start),
    ...given("edgeMargin", text.edge_margin, minutes),
    ...given("station", text.station, (at) => toPoint(reader, at)),
    ...given("exits", text.exits, placed),
    ...given("movingJoints", text.moving_joints, (lines) => floorLines(reader, lines, "moving_joints")),
    ...given("dams", text.dams, (lines) => floorLines(reader, lines, "dams")),
    ...given("drains", text.drains, placed),
    ...given("palletsAt", text.pallets_at, (places) => places.map((at) => toPoint(reader, at))),
    ...given("goodsLift", text.goods_lift, (lift) => goodsLiftOf(reader, lift)),
    ...given("slabTemperature", text.slab_temperature, (temperature) => temperature as Celsius),
    ...given("bagCheckShare", text.bag_check_share, share),
  };
}

function goodsLiftOf(reader: JobReader, text: NonNullable<PourText["goods_lift"]>): GoodsLift {
  return {
    load: text.load as Kilograms,
    roundTrip: minutes(text.round_trip),
    ...given("way", text.way, (way) => (toMillimetres(reader, way) / 1000) as Metres),
  };
}

function floorLines(
  reader: JobReader,
  lines: NonNullable<PourText["dams"]>,
  key: "moving_joints" | "dams",
): FloorLine[] {
  return lines.map(({ id, from, to }, k) => {
    const line = { id, from: toPoint(reader, from), to: toPoint(reader, to) };
    if (distance(line.from, line.to) === 0) {
      objectAt(reader, ["pour", key, k], {
        code: "line-without-length",
        message: `${key === "dams" ? "Dam" : "Joint"} ${id} ends where it begins.`,
        expected: "from and to at two places",
      });
    }
    return line;
  });
}

function refusePlaceClashes(reader: JobReader, text: PourText): void {
  const ids = (key: "exits" | "moving_joints" | "dams" | "drains") =>
    (text[key] ?? []).map(({ id }, k) => ({ id, path: ["pour", key, k, "id"] }));
  refuseClashes(reader, "exits", ids("exits"));
  refuseClashes(reader, "joints and dams", [...ids("moving_joints"), ...ids("dams")]);
  refuseClashes(reader, "drains", ids("drains"));
}
