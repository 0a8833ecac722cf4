/** What conformity found, as printed text: parts of rules, places on the floor, remarks, conditions. */
import type { Finding, FNumber, FoundPlace, Measured, MethodCondition, Remark, RulePart } from "../conformity/model.ts";
import { type BothUnits, count, decimal, difference, fineHeight, percent, planLength } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Metres, Millimetres } from "../units.ts";
import type { Words } from "./words/en.ts";

/** Where the text of a floor's report comes from. */
export interface FloorText {
  readonly job: Job;
  readonly plan: Plan;
  readonly words: Words;
}

const both = ({ large, small }: BothUnits, words: Words): string => words.both(large.text, small.text);

export const lengthText = ({ job, words }: FloorText, value: Metres): string =>
  both(planLength(value, job.units.plan), words);

export const gapText = ({ job, words }: FloorText, value: Millimetres): string =>
  both(fineHeight(value, job.units.height), words);

/** One decimal: more than a number of sample lines is worth. */
export const numberText = (number: FNumber, words: Words): string =>
  number.kind === "unbounded" ? words.flatness.unbounded : decimal(number.value, 1);

/** What a part of a rule asks for. */
export function partText(text: FloorText, part: RulePart): string {
  const { part: words } = text.words.flatness;
  switch (part.kind) {
    case "straightedge": {
      const contact = words.contact[part.contact];
      return [
        words.straightedge(lengthText(text, part.edge), gapText(text, part.gap)),
        ...(part.most ? [words.most(percent(part.most.share, 0).text, gapText(text, part.most.gap))] : []),
        part.contactFrom === "rule" ? contact : `${contact} (${words.contactTakenHere})`,
      ].join("; ");
    }
    case "f-number":
      return words.fNumber[part.number](decimal(part.overall, 1), decimal(part.section, 1));
    case "din-18202":
      return words.din(text.words.flatness.rows[part.row]);
    case "level":
      return words.level(gapText(text, part.plusMinus));
  }
}

/** Limit, worst value, margin or uncertainty of a measurement: one line a unit. */
export function measuredText(
  { job }: FloorText,
  quantity: Measured["quantity"],
  value: number,
  signed = false,
): string[] {
  if (quantity === "f-number") return [signed ? difference(value, 1) : decimal(value, 1)];
  const { large, small } = fineHeight(value, job.units.height);
  if (!signed || value <= 0) return [large.text, small.text];
  return [large, small].map(({ number, text }) => (/[1-9]/.test(number) ? `+${text}` : text));
}

/** Two distances square from walls, or the doorway; with the name of the line, gap or point there. */
export function placeText(text: FloorText, { roomIndex, offsets, doorId, name }: FoundPlace): string {
  const { flatness: words } = text.words;
  const walls = text.plan.floors[roomIndex]!.walls;
  const [first, second] = (offsets ?? []).map(({ wallIndex, distance }) => {
    const { side, ordinal, onlyOne } = walls[wallIndex]!;
    return words.fromWall(lengthText(text, distance), text.words.wall(side, ordinal, onlyOne));
  });
  const where =
    first !== undefined && second !== undefined
      ? words.fromWalls(first, second)
      : doorId !== undefined
        ? words.inDoorway(doorId)
        : text.plan.floors[roomIndex]!.name;
  return name === undefined ? where : `${words.named(name)}, ${where}`;
}

const LENGTHS: ReadonlySet<MethodCondition["condition"]> = new Set([
  "spacing",
  "line-length",
  "edge-distance",
  "joint-distance",
  "lines-apart",
]);

function conditionValue(text: FloorText, condition: MethodCondition["condition"], value: number): string {
  if (LENGTHS.has(condition)) return lengthText(text, value as Metres);
  return condition === "time-since-pour" ? text.words.flatness.days(count(value)) : count(value);
}

/** What the condition asks for. */
export function wantedText(text: FloorText, { condition, wanted }: MethodCondition): string {
  const value = wanted === undefined ? "" : LENGTHS.has(condition) ? lengthText(text, wanted as Metres) : count(wanted);
  return text.words.flatness.conditions[condition](value);
}

/** What was found: of which lines it fails, or what is not recorded. */
export function foundText(text: FloorText, { condition, standing, found, lines }: MethodCondition): string {
  const { flatness: words } = text.words;
  if (condition === "readings-in-all") {
    const taken = words.taken(count(found[0]!.value!));
    return standing === "not-known" ? `${words.notKnown[condition]}; ${taken}` : taken;
  }
  if (standing === "not-known") return words.notKnown[condition];
  if (standing === "holds") return "";
  const each = found.map(({ line, value }) =>
    words.ofLine(line ?? "", value === undefined ? "" : conditionValue(text, condition, value)),
  );
  return (each.length > 0 ? each : lines.map((line) => words.ofLine(line, ""))).join("; ");
}

export function remarkText(text: FloorText, remark: Remark): string {
  const { flatness: words } = text.words;
  switch (remark.kind) {
    case "edge-fits-nowhere":
    case "no-line-under-edge":
      return words.remark({ kind: remark.kind, edge: lengthText(text, remark.edge) });
    case "too-few-under-edge":
      return words.remark({ ...remark, edge: lengthText(text, remark.edge) });
    case "not-to-the-method":
    case "condition-not-known": {
      const found = foundText(text, remark.condition);
      const wanted = wantedText(text, remark.condition);
      return words.remark({ kind: remark.kind, condition: found === "" ? wanted : `${wanted}: ${found}` });
    }
    case "method-does-not-reach":
      return words.remark({
        kind: remark.kind,
        room: text.plan.floors[remark.roomIndex]!.name,
        line: lengthText(text, remark.line),
        edge: lengthText(text, remark.edge),
      });
    case "fewer-than-asked":
      return words.remark({
        kind: remark.kind,
        readings: count(remark.readings),
        asked: count(remark.asked),
        apart: lengthText(text, remark.apart),
      });
    case "grid-too-fine-by-hand":
      return words.remark({ kind: remark.kind, spacing: lengthText(text, remark.spacing) });
    case "grid-puts-five":
      return words.remark({
        kind: remark.kind,
        spacing: lengthText(text, remark.spacing),
        edge: lengthText(text, remark.edge),
      });
    default:
      return words.remark(remark);
  }
}

/** How a finding was come by: the method, how many readings, how much of the floor it decides. */
export function methodText(text: FloorText, { method, readings, decided, shareWithin, worst }: Finding): string {
  const { flatness: words } = text.words;
  const name =
    method.kind === "f-number-section" ? `${words.methods[method.kind]} ${method.section}` : words.methods[method.kind];
  const number = count(readings);
  return [
    name,
    method.kind === "gap-by-hand" ? words.gaps(number) : words.readings(number),
    ...(method.kind === "edge-on-surface"
      ? [
          words.placings(count(method.directions), lengthText(text, method.step)),
          ...(method.settled && method.moved !== undefined ? [words.settled] : []),
        ]
      : []),
    ...(decided !== undefined && decided < 1 ? [words.decided(percent(decided, 0).text)] : []),
    ...(shareWithin !== undefined ? [words.shareWithin(percent(shareWithin, 1).text)] : []),
    ...(worst?.over !== undefined && (method.kind === "grid" || method.kind === "between-high-points")
      ? [words.over(lengthText(text, worst.over))]
      : []),
  ].join("; ");
}
