/** Blocks of a flatness report: verdicts rule by rule, conditions and numbers of the method, places to mend. */
import type {
  CombinedNumber,
  Conformity,
  CorrectionPlace,
  Finding,
  FNumberReport,
  FoundPlace,
  LineNumber,
  RuleVerdict,
} from "../conformity/model.ts";
import { survivalOfRule } from "../conformity/rule-survival.ts";
import { count, decimal } from "../format.ts";
import {
  type FloorText,
  foundText,
  gapText,
  measuredText,
  methodText,
  numberText,
  partText,
  placeText,
  remarkText,
  wantedText,
} from "./flatness-text.ts";
import type { Block } from "./page/blocks.ts";
import { type CellText, cell, DESK, heading, list, paragraph, table } from "./page/make-blocks.ts";
import { DESK_MM } from "./type/type-sizes.ts";

const text = (content: string): CellText => cell(content, DESK_MM);
const strong = (content: string): CellText => cell(content, DESK_MM, 700);
/** One line a unit: the one that leads is heavier. */
const stacked = (lines: readonly string[]): CellText => ({
  runs: lines.map((line, index) => ({ text: line, sizeMm: DESK_MM, weight: index === 0 ? 700 : 400 })),
});

/** A place that a finding names, with the id under which the map and the tables have it. */
export interface WorstPlace {
  readonly id: string;
  readonly found: FoundPlace;
  readonly value: string;
}

/** The worst place of every finding, `W1` … in the order of the report. */
export function worstPlaces(floor: FloorText, conformity: Conformity): ReadonlyMap<Finding, WorstPlace> {
  const places = new Map<Finding, WorstPlace>();
  for (const { parts } of conformity.rules) {
    for (const finding of parts.flatMap(({ findings }) => findings)) {
      const { worst } = finding;
      // All lines of one section have the worst place of the whole.
      if (worst?.where === undefined || finding.method.kind === "f-number-section") continue;
      const value =
        worst.quantity === "f-number"
          ? ""
          : bothOf(floor, measuredText(floor, worst.quantity, worst.value!, worst.quantity !== "gap"));
      places.set(finding, { id: `W${places.size + 1}`, found: worst.where, value });
    }
  }
  return places;
}

const bothOf = ({ words }: FloorText, [large, small]: readonly string[]): string => words.both(large!, small!);

const ruleTitle = ({ words }: FloorText, { rule }: RuleVerdict): string => words.flatness.rules[rule.name];

/** Every rule in one row: what the general contractor asks first. */
export function verdictBlocks(floor: FloorText, conformity: Conformity, width: number): Block[] {
  const { flatness: words } = floor.words;
  const columns = words.verdictColumns;
  return [
    heading(words.sections.verdicts, width),
    table(
      words.captionVerdicts,
      [
        { heading: columns.rule, widthMm: width * 0.36, namesRow: true },
        { heading: columns.asked, widthMm: width * 0.28 },
        { heading: columns.verdict, widthMm: width * 0.17 },
        { heading: columns.survives, widthMm: width * 0.19 },
      ],
      conformity.rules.map((verdict, index) => {
        const survival = survivalOfRule(verdict);
        return {
          cells: [
            text(`${count(index + 1)}  ${ruleTitle(floor, verdict)}`),
            text(verdict.rule.askedBy),
            strong(words.results[verdict.result]),
            text(survival === undefined ? words.none : words.survivals[survival]),
          ],
        };
      }),
      DESK_MM,
    ),
    paragraph(words.coverage(decimal(conformity.coverage, 0)), width, DESK),
  ];
}

/** One rule: what it asks, every way in which it was measured, what narrows the finding, the worst places. */
export function ruleBlocks(
  floor: FloorText,
  conformity: Conformity,
  places: ReadonlyMap<Finding, WorstPlace>,
  width: number,
): Block[] {
  const { flatness: words } = floor.words;
  const each = conformity.rules.flatMap((verdict, index) => {
    const { rule, parts, result } = verdict;
    const title = ruleTitle(floor, verdict);
    const findings = parts.flatMap((part) => part.findings);
    const said = findings.flatMap(({ remarks }) => remarks.map((remark) => remarkText(floor, remark)));
    const worst = findings.flatMap((finding) => {
      const place = places.get(finding);
      return place
        ? [
            words.worstPlace(
              place.id,
              place.value === "" ? words.numberBend : place.value,
              placeText(floor, place.found),
            ),
          ]
        : [];
    });
    return [
      heading(words.ruleHeading(count(index + 1), title, words.results[result]), width, 3),
      paragraph(
        [
          words.askedBy(rule.askedBy),
          ...(rule.source.standing === "contract"
            ? []
            : [words.figuresFrom(rule.source.text, words.standings[rule.source.standing])]),
          ...(rule.needs === "any" ? [words.anyPart] : []),
        ].join(" "),
        width,
        DESK,
      ),
      ...parts.flatMap((part) => [
        partHeading(partText(floor, part.part), width),
        findingsTable(floor, conformity, part.findings, title, places, width),
      ]),
      ...listOf([...new Set([...worst, ...said, ...beforeThePour(floor, conformity, verdict)])], width),
    ];
  });
  return [heading(words.sections.rules, width), ...each];
}

/** Before the pour the slab lies below the target: that is what the pour is for. */
const beforeThePour = ({ words }: FloorText, conformity: Conformity, { rule }: RuleVerdict): string[] =>
  conformity.floor === "raw-slab" && rule.parts.some(({ kind }) => kind === "level") ? [words.flatness.rawLevel] : [];

/** A heading of the size of the text: it stays with its table. */
function partHeading(content: string, width: number): Block {
  const { lines, heightMm } = paragraph(content, width, { ...DESK, weight: 700 });
  return { kind: "heading", level: 3, type: { ...DESK, weight: 700 }, lines, heightMm };
}

const listOf = (items: readonly string[], width: number): Block[] =>
  items.length === 0 ? [] : [list(items, width, DESK)];

function findingsTable(
  floor: FloorText,
  { coverage }: Conformity,
  findings: readonly Finding[],
  title: string,
  places: ReadonlyMap<Finding, WorstPlace>,
  width: number,
): Block {
  const { flatness: words } = floor.words;
  const columns = words.findingColumns;
  return table(
    words.captionFindings(title),
    [
      { heading: columns.how, widthMm: width * 0.32, namesRow: true },
      { heading: columns.limit, widthMm: width * 0.12, align: "end" },
      { heading: columns.worst, widthMm: width * 0.14, align: "end" },
      { heading: columns.margin, widthMm: width * 0.13, align: "end" },
      { heading: columns.uncertainty, widthMm: width * 0.12, align: "end" },
      { heading: columns.verdict, widthMm: width * 0.17 },
    ],
    findings.map((finding) => {
      const { worst, result } = finding;
      const place = places.get(finding);
      const value = (amount: number | undefined, signed: boolean): CellText =>
        worst === undefined || amount === undefined
          ? text(words.none)
          : stacked(measuredText(floor, worst.quantity, amount, signed));
      const worstCell =
        worst !== undefined && worst.value === undefined
          ? text(words.unbounded)
          : value(worst?.value, worst?.quantity === "level-difference" || worst?.quantity === "deviation");
      return {
        cells: [
          text(methodText(floor, finding)),
          value(worst?.limit, false),
          place === undefined
            ? worstCell
            : { runs: [...worstCell.runs, { text: place.id, sizeMm: DESK_MM, weight: 700 as const }] },
          value(worst?.margin, true),
          value(worst?.sd === undefined ? undefined : coverage * worst.sd, false),
          {
            runs: [
              { text: words.results[result], sizeMm: DESK_MM, weight: 700 as const },
              ...(worst === undefined || result === "not-decidable"
                ? []
                : [{ text: words.survivals[worst.survives], sizeMm: DESK_MM }]),
            ],
          },
        ],
      };
    }),
    DESK_MM,
  );
}

/** Conditions, numbers and formulas of the method of sample lines; nothing where no line was read. */
export function numberBlocks(floor: FloorText, { fNumbers, lineCuts, coverage }: Conformity, width: number): Block[] {
  if (fNumbers === undefined) return cutBlocks(floor, lineCuts, width);
  const { flatness: words } = floor.words;
  return [
    heading(words.sections.conditions, width),
    table(
      words.captionConditions,
      [
        { heading: words.conditionColumns.condition, widthMm: width * 0.42, namesRow: true },
        { heading: words.conditionColumns.standing, widthMm: width * 0.14 },
        { heading: words.conditionColumns.found, widthMm: width * 0.44 },
      ],
      fNumbers.conditions.map((condition) => ({
        cells: [
          text(wantedText(floor, condition)),
          strong(words.conditionStanding[condition.standing]),
          text(foundText(floor, condition)),
        ],
      })),
      DESK_MM,
    ),
    paragraph(fNumbers.toTheMethod ? words.toTheMethod : words.notToTheMethod, width, DESK),
    ...cutBlocks(floor, lineCuts, width),
    ...numbersTable(floor, fNumbers, coverage, width),
    heading(words.sections.formulas, width),
    table(
      words.captionFormulas,
      [
        { heading: words.formulaColumns.what, widthMm: width * 0.22, namesRow: true },
        { heading: words.formulaColumns.formula, widthMm: width * 0.48 },
        { heading: words.formulaColumns.standing, widthMm: width * 0.3 },
      ],
      fNumbers.formulas.map(({ of, text: formula, standing }) => ({
        cells: [text(words.formulas[of]), text(formula), text(words.standings[standing])],
      })),
      DESK_MM,
    ),
  ];
}

/** Which readings of a line count, and why the others do not; nothing where all count. */
function cutBlocks(floor: FloorText, cuts: Conformity["lineCuts"], width: number): Block[] {
  if (cuts.length === 0) return [];
  const { flatness: words } = floor.words;
  const columns = words.cutColumns;
  return [
    heading(words.sections.cuts, width),
    table(
      words.captionCuts,
      [
        { heading: columns.line, widthMm: width * 0.2, namesRow: true },
        { heading: columns.readings, widthMm: width * 0.2 },
        { heading: columns.becomes, widthMm: width * 0.6 },
      ],
      cuts.flatMap(({ line, parts }) =>
        parts.map(({ first, last, becomes, leftOut, joint }, k) => ({
          cells: [
            strong(k === 0 ? line : ""),
            text(words.fromReading(count(first), count(last))),
            becomes === undefined
              ? text(words.leftOut[leftOut!](joint ?? ""))
              : strong(becomes === line ? words.counts : words.countsAs(becomes)),
          ],
        })),
      ),
      DESK_MM,
    ),
  ];
}

function numbersTable(floor: FloorText, report: FNumberReport, coverage: number, width: number): Block[] {
  const { flatness: words } = floor.words;
  const columns = words.numberColumns;
  const pair = ({ number, sd }: LineNumber | CombinedNumber): CellText[] => [
    text(numberText(number, floor.words)),
    text(sd === undefined ? words.survivals["uncertainty-not-known"] : decimal(coverage * sd, 1)),
  ];
  const row = (
    name: string,
    readings: number,
    numbers: { readonly flatness: LineNumber | CombinedNumber; readonly levelness: LineNumber | CombinedNumber },
    sum: boolean,
  ) => ({
    cells: [
      sum ? strong(name) : text(name),
      text(count(readings)),
      ...pair(numbers.flatness),
      ...pair(numbers.levelness),
    ],
    sum,
  });
  return [
    heading(words.sections.numbers, width),
    table(
      words.captionNumbers,
      [
        { heading: columns.lines, widthMm: width * 0.3, namesRow: true },
        { heading: columns.readings, widthMm: width * 0.14, align: "end" },
        { heading: columns.flatness, widthMm: width * 0.14, align: "end" },
        { heading: columns.plusMinus, widthMm: width * 0.14, align: "end" },
        { heading: columns.levelness, widthMm: width * 0.14, align: "end" },
        { heading: columns.plusMinus, widthMm: width * 0.14, align: "end" },
      ],
      [
        ...report.lines.map((line) => row(line.line.id, line.levels.length, line, false)),
        ...report.sections.map((section) => row(words.section(section.section), section.readings, section, true)),
        row(words.together, report.composite.readings, report.composite, true),
      ],
      DESK_MM,
    ),
  ];
}

/** The list for the grinder and the trowel. */
export function correctionBlocks(floor: FloorText, conformity: Conformity, width: number): Block[] {
  const { flatness: words } = floor.words;
  const { places } = conformity;
  if (places.length === 0) return [heading(words.sections.places, width), paragraph(words.noPlaces, width, DESK)];
  const columns = words.placeColumns;
  const numberOf = (ruleId: string): string => count(conformity.rules.findIndex(({ rule }) => rule.id === ruleId) + 1);
  const depth = (amount: number | undefined): CellText =>
    amount === undefined ? text(words.none) : stacked(measuredText(floor, "gap", amount));
  const where = ({ found, instead }: CorrectionPlace): CellText => ({
    runs: [
      { text: placeText(floor, found), sizeMm: DESK_MM },
      ...(instead
        ? [
            {
              text: words.instead(
                words.work[instead.work],
                gapText(floor, instead.least),
                placeText(floor, instead.found),
              ),
              sizeMm: DESK_MM,
            },
          ]
        : []),
    ],
  });
  return [
    heading(words.sections.places, width),
    table(
      words.captionPlaces,
      [
        { heading: columns.id, widthMm: width * 0.09, namesRow: true },
        { heading: columns.work, widthMm: width * 0.125 },
        { heading: columns.least, widthMm: width * 0.13, align: "end" },
        { heading: columns.whole, widthMm: width * 0.14, align: "end" },
        { heading: columns.where, widthMm: width * 0.405 },
        { heading: columns.rules, widthMm: width * 0.11 },
      ],
      places.map((place) => ({
        cells: [
          strong(place.id),
          strong(words.work[place.work]),
          depth(place.least),
          depth(place.whole),
          where(place),
          text(place.ruleIds.map(numberOf).join(", ")),
        ],
      })),
      DESK_MM,
    ),
    paragraph(conformity.floor === "finished" ? words.placesNote : words.rawPlacesNote, width, DESK),
  ];
}
