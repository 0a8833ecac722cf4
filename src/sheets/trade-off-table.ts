/** Higher and lower tops as a table: bags, bare and ground floor, greatest depth, dead load. */
import type { Depths } from "../depths/model.ts";
import { count, fineHeight, floorLoad, heightDifference, smallArea, volume } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { Target } from "../target/model.ts";
import type { Millimetres } from "../units.ts";
import type { TargetFindings } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { needsOf, widthsWithoutBreak } from "./page/column-widths.ts";
import { type CellText, cell, DESK, paragraph, table } from "./page/make-blocks.ts";
import { DESK_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

export interface TradeOffSubject {
  readonly job: Job;
  readonly target: Target;
  readonly study: TargetFindings;
  /** Greatest depth of the material; undefined where zones have several materials. */
  readonly greatestAllowed: Millimetres | undefined;
  readonly words: Words;
}

/** The greatest depth that a top may come to; undefined where zones have several materials, each with its own. */
export const oneGreatestDepth = ({ parts, greatestAllowed }: Depths): Millimetres | undefined =>
  parts === undefined ? greatestAllowed : undefined;

/** One row of the trade-off as printed, for the sheet and the page. */
export interface TradeOffRowText {
  readonly isHere: boolean;
  readonly tooDeep: boolean;
  readonly lift: readonly [string, string];
  /** The level itself; absent where the top falls or zones have several. */
  readonly top?: string;
  /** One for each material. */
  readonly bags: readonly string[];
  readonly bare: string;
  readonly ground: string;
  readonly deepest: string;
  readonly load: string;
}

export function tradeOffRows({ job, target, study, greatestAllowed }: TradeOffSubject): TradeOffRowText[] {
  const { plan, height: unit } = job.units;
  const [zone] = target.zones;
  const isLevel = zone!.fallEast === 0 && zone!.fallNorth === 0 && zone!.drain === undefined;
  const level = target.zones.length === 1 && isLevel ? zone!.top : undefined;
  return study.tradeOff.map((row, index) => {
    const lift = heightDifference(row.lift, unit);
    return {
      isHere: row.lift === 0,
      tooDeep: greatestAllowed !== undefined && row.greatestDepth > greatestAllowed,
      lift: [lift.large.text, lift.small.text],
      ...(level === undefined ? {} : { top: fineHeight(level + row.lift, unit).large.text }),
      bags: study.bags.map(({ curve }) => count(curve[index]!.toOrder)),
      bare: smallArea(row.bareArea, plan).large.text,
      ground: volume(row.ground.volume, plan).large.text,
      deepest: fineHeight(row.greatestDepth, unit).large.text,
      load: floorLoad(row.deadLoad, plan).large.text,
    };
  });
}

/** Of the width, against the other columns. */
const LIFT_SHARE = 0.95;

export function tradeOffTable(subject: TradeOffSubject, width: number): Block[] {
  const { study, words } = subject;
  const w = words.topOfPour;
  const rows = tradeOffRows(subject);
  const hasTop = rows[0]?.top !== undefined;
  const others: { heading: string; share: number; align: "end" }[] = [
    ...(hasTop ? [{ heading: w.columnsTradeOff.top, share: 1.1, align: "end" as const }] : []),
    ...study.bags.map(({ material }) => ({
      heading: study.bags.length === 1 ? w.columnsTradeOff.bags : w.columnsTradeOff.bagsOf(material.id),
      share: study.bags.length === 1 ? 0.8 : 1.5,
      align: "end" as const,
    })),
    { heading: w.columnsTradeOff.bare, share: 1.35, align: "end" },
    { heading: w.columnsTradeOff.ground, share: 1.1, align: "end" },
    { heading: w.columnsTradeOff.deepest, share: 1.1, align: "end" },
    { heading: w.columnsTradeOff.load, share: 1.1, align: "end" },
  ];
  const cells = rows.map((row) => {
    const set = (content: string): CellText => cell(content, DESK_MM, row.isHere ? 700 : 400);
    const texts = [
      ...row.lift,
      ...(row.top === undefined ? [] : [row.top]),
      ...row.bags,
      row.bare,
      row.ground,
      row.tooDeep ? `* ${row.deepest}` : row.deepest,
      row.load,
    ];
    return texts.map(set);
  });
  const columns = [
    { heading: w.columnsTradeOff.lift, share: LIFT_SHARE, align: "end" as const, namesRow: true },
    { heading: w.columnsTradeOff.other, share: LIFT_SHARE, align: "end" as const },
    ...others,
  ];
  const shares = columns.map(({ share }) => share);
  const whole = shares.reduce((sum, one) => sum + one, 0);
  const widths =
    widthsWithoutBreak(shares, needsOf(columns, cells, DESK_MM), width) ?? shares.map((one) => (width * one) / whole);
  return [
    table(
      w.captionTradeOff,
      columns.map((column, k) => ({ ...column, widthMm: widths[k] as number })),
      cells.map((one) => ({ cells: one })),
      DESK_MM,
    ),
    ...(rows.some(({ tooDeep }) => tooDeep) ? [paragraph(w.tooDeepNote, width, DESK)] : []),
  ];
}
