/** What the contract's rules need read on the finished floor: said rule by rule, with lines and boxes to write in. */
import { findPlace } from "../conformity/found-place.ts";
import type { Conformity, PlannedLine, ReadingPlan } from "../conformity/model.ts";
import { count } from "../format.ts";
import type { Point } from "../geometry/point.ts";
import { plannedLinePages } from "./flatness-map.ts";
import { type FloorText, lengthText, partText, placeText, remarkText } from "./flatness-text.ts";
import type { PageContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { BLANK_CELL, type CellText, cell, DESK, heading, list, paragraph, table } from "./page/make-blocks.ts";
import { flowOntoPages } from "./page/page-flow.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { DESK_MM } from "./type/type-sizes.ts";

const text = (content: string): CellText => cell(content, DESK_MM);
const strong = (content: string): CellText => cell(content, DESK_MM, 700);

/** Pages behind the map with its boxes; none where the contract has no rule in figures. */
export function readingPlanPages(floor: FloorText, conformity: Conformity): PageContent[] {
  const paper = SMALL_PAPER[floor.job.paper];
  const frame = pageFrame(paper, "portrait");
  const width = frame.widthMm;
  const { plan: words } = floor.words.flatness;
  const lines = linesOf(conformity.readingPlans);
  const blocks: Block[] = [
    heading(words.title, width),
    paragraph(words.intro, width, DESK),
    ...conformity.readingPlans.flatMap((plan) => planBlocks(floor, conformity, plan, width)),
    ...lineTable(floor, lines, width),
    ...lines.flatMap((line) => boxesOf(floor, line, width)),
    ...gapTable(floor, conformity.readingPlans, width),
  ];
  return [
    ...flowOntoPages(blocks, frame.heightMm).map(
      (content): PageContent => ({ paper, orientation: "portrait", blocks: content }),
    ),
    ...plannedLinePages("finished-floor-lines", floor, lines),
  ];
}

/** The lines that any rule needs: the rules for flatness and for levelness ask for the same ones. */
const linesOf = (plans: readonly ReadingPlan[]): readonly PlannedLine[] =>
  plans.map(({ needs }) => (needs.kind === "lines" ? needs.lines : [])).find((lines) => lines.length > 0) ?? [];

function planBlocks(floor: FloorText, conformity: Conformity, plan: ReadingPlan, width: number): Block[] {
  const { flatness: words } = floor.words;
  const index = conformity.rules.findIndex(({ rule }) => rule.id === plan.ruleId);
  const { rule } = conformity.rules[index]!;
  return [
    heading(`${count(index + 1)}  ${words.rules[rule.name]}`, width, 3),
    paragraph(partText(floor, plan.part), width, { ...DESK, weight: 700 }),
    list(
      [
        ...needsText(floor, plan),
        ...plan.remarks.map((remark) => remarkText(floor, remark)),
        isEnough(floor, conformity, plan) ? words.plan.enough : words.plan.notEnough,
      ],
      width,
      DESK,
    ),
  ];
}

/**
 * Whether the points on the sheet's map can decide the part. Before the floor is read again only the grid tells:
 * the slab may have been judged by gaps or lines that nobody has read on the finished floor yet.
 */
function isEnough({ job }: FloorText, { floor }: Conformity, { enough, needs, part }: ReadingPlan): boolean {
  if (floor === "finished") return enough;
  if (part.kind !== "straightedge" && part.kind !== "f-number") return enough;
  const { spacingEast, spacingNorth } = job.survey.grid;
  return needs.kind === "grid" && Math.max(spacingEast, spacingNorth) <= needs.spacing + SAME_SPACING_M;
}

/** Spacings this near are one: less than a chalk line is wide. */
const SAME_SPACING_M = 0.001;

function needsText(floor: FloorText, { needs, part }: ReadingPlan): string[] {
  const { plan: words } = floor.words.flatness;
  switch (needs.kind) {
    case "grid":
      return [
        words.grid(count(needs.points.length), lengthText(floor, needs.spacing)),
        ...(needs.layings !== undefined && part.kind === "straightedge"
          ? [words.layings(count(needs.layings), lengthText(floor, part.edge))]
          : []),
      ];
    case "lines":
      return [words.lines(count(needs.lines.length), count(needs.readings))];
    case "edge-by-hand":
      return [words.byHand(count(needs.places), count(needs.gridPoints))];
    case "points-of-the-plan":
      return [words.points(count(needs.points))];
  }
}

function lineTable(floor: FloorText, lines: readonly PlannedLine[], width: number): Block[] {
  if (lines.length === 0) return [];
  const { plan: words } = floor.words.flatness;
  const columns = words.lineColumns;
  const where = (at: Point): CellText => text(placeText(floor, findPlace(floor.job, floor.plan, at)));
  return [
    heading(words.linesTitle, width),
    table(
      words.captionLines,
      [
        { heading: columns.line, widthMm: width * 0.09, namesRow: true },
        { heading: columns.from, widthMm: width * 0.32 },
        { heading: columns.to, widthMm: width * 0.32 },
        { heading: columns.readings, widthMm: width * 0.13, align: "end" },
        { heading: columns.spacing, widthMm: width * 0.14, align: "end" },
      ],
      lines.map((line) => ({
        cells: [
          strong(line.id),
          where(line.ends[0]),
          where(line.ends[1]),
          text(count(line.readings)),
          text(lengthText(floor, line.spacing)),
        ],
      })),
      DESK_MM,
    ),
  ];
}

const BOXES_IN_A_ROW = 10;

/** Boxes for the readings of a line, ten in a row, each row named by the first reading in it. */
function boxesOf(floor: FloorText, line: PlannedLine, width: number): Block[] {
  const { plan: words } = floor.words.flatness;
  const rows = Math.ceil(line.readings / BOXES_IN_A_ROW);
  const each = width / (BOXES_IN_A_ROW + 1);
  return [
    heading(words.lineBoxes(line.id), width, 3),
    table(
      words.captionBoxes(line.id),
      [
        { heading: words.firstInRow, widthMm: each, namesRow: true },
        ...Array.from({ length: BOXES_IN_A_ROW }, (_, k) => ({ heading: `+${count(k)}`, widthMm: each })),
      ],
      Array.from({ length: rows }, (_, row) => ({
        cells: [
          strong(count(row * BOXES_IN_A_ROW + 1)),
          ...Array.from({ length: BOXES_IN_A_ROW }, (__, k) =>
            row * BOXES_IN_A_ROW + k < line.readings ? BLANK_CELL : text(""),
          ),
        ],
      })),
      DESK_MM,
    ),
  ];
}

/** Rows for gaps under an edge laid by hand: as many as the rule that asks for most of them needs. */
function gapTable(floor: FloorText, plans: readonly ReadingPlan[], width: number): Block[] {
  const { plan: words } = floor.words.flatness;
  const columns = words.gapColumns;
  const edges = new Map<string, number>();
  for (const { needs, part } of plans) {
    if (part.kind !== "straightedge") continue;
    const places = needs.kind === "grid" ? (needs.layings ?? 0) : needs.kind === "edge-by-hand" ? needs.places : 0;
    const edge = lengthText(floor, part.edge);
    edges.set(edge, Math.max(places, edges.get(edge) ?? 0));
  }
  const rows = [...edges].flatMap(([edge, places]) =>
    Array.from({ length: places }, (_, k) => ({
      cells: [text(count(k + 1)), text(edge), BLANK_CELL, BLANK_CELL, BLANK_CELL],
    })),
  );
  if (rows.length === 0) return [];
  return [
    heading(words.gapsTitle, width),
    table(
      words.captionGaps,
      [
        { heading: columns.number, widthMm: width * 0.08, namesRow: true },
        { heading: columns.edge, widthMm: width * 0.17 },
        { heading: columns.at, widthMm: width * 0.43 },
        { heading: columns.direction, widthMm: width * 0.16 },
        { heading: columns.gap, widthMm: width * 0.16 },
      ],
      rows,
      DESK_MM,
    ),
  ];
}
