/** The floors judged, as packet.json holds them: the schema, and how it is filled. */
import { z } from "zod";
import type { Conformity, FNumber, FoundPlace, LineNumber, Measured } from "../conformity/model.ts";
import { survivalOfRule } from "../conformity/rule-survival.ts";
import { decimal, fineHeight, planLength } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Metres, Millimetres } from "../units.ts";
import { place, quantity } from "./packet-parts.ts";

/** A value without a unit, and as printed. */
const plain = z.object({ number: z.number(), text: z.string() });
const result = z.enum(["within", "outside", "not-decidable"]);
const survival = z.enum(["survives", "does-not-survive", "uncertainty-not-known"]);

const found = z.object({
  room: z.string(),
  at: place,
  /** Square from two walls; empty in a doorway. */
  offsets: z.array(z.object({ wall: z.string(), distanceM: quantity })),
  door: z.string().nullable(),
  name: z.string().nullable(),
  /** Ends of the edge or run on which it was found. */
  ends: z.tuple([place, place]).nullable(),
});

/** Heights in mm, or a number without unit. */
const measured = z.discriminatedUnion("of", [
  z.object({
    of: z.enum(["gap", "deviation", "level-difference"]),
    valueMm: quantity,
    limitMm: quantity,
    marginMm: quantity,
    sdMm: z.number().nullable(),
    survives: survival,
    where: found.nullable(),
  }),
  z.object({
    of: z.literal("f-number"),
    /** Null: without bound. */
    value: plain.nullable(),
    limit: plain,
    margin: plain.nullable(),
    sd: z.number().nullable(),
    survives: survival,
    where: found.nullable(),
  }),
]);

const lineNumber = z.object({
  count: z.int(),
  /** Null: without bound. */
  value: plain.nullable(),
  sd: z.number().nullable(),
});

const correction = z.object({
  id: z.string(),
  work: z.enum(["grind", "fill"]),
  rules: z.array(z.string()),
  where: found,
  leastMm: quantity.nullable(),
  wholeMm: quantity,
});

export const conformityResult = z.object({
  floor: z.enum(["raw-slab", "finished"]),
  date: z.string().nullable(),
  poured: z.string().nullable(),
  daysSincePour: z.int().nullable(),
  readings: z.int(),
  coverage: z.number(),
  rules: z.array(
    z.object({
      id: z.string(),
      name: z.string(),
      askedBy: z.string(),
      figuresFrom: z.object({ text: z.string(), standing: z.string() }),
      result,
      survives: survival.nullable(),
      parts: z.array(
        z.object({
          kind: z.string(),
          result,
          findings: z.array(
            z.object({
              method: z.string(),
              section: z.string().nullable(),
              result,
              readings: z.int(),
              decidedShare: z.number().nullable(),
              shareWithin: z.number().nullable(),
              worst: measured.nullable(),
              remarks: z.array(z.string()),
            }),
          ),
        }),
      ),
    }),
  ),
  fNumbers: z
    .object({
      toTheMethod: z.boolean(),
      conditions: z.array(
        z.object({
          condition: z.string(),
          standing: z.enum(["holds", "fails", "not-known"]),
          lines: z.array(z.string()),
        }),
      ),
      lines: z.array(
        z.object({
          id: z.string(),
          section: z.string(),
          form: z.enum(["12-in", "300-mm"]),
          levelsMm: z.array(z.number()),
          flatness: lineNumber,
          levelness: lineNumber,
        }),
      ),
      composite: z.object({ readings: z.int(), flatness: lineNumber, levelness: lineNumber }),
      formulas: z.array(z.object({ text: z.string(), standing: z.string() })),
    })
    .nullable(),
  /** Lines of which only parts count, by readings counted from 1. */
  lineCuts: z.array(
    z.object({
      line: z.string(),
      parts: z.array(
        z.object({
          first: z.int(),
          last: z.int(),
          becomes: z.string().nullable(),
          leftOut: z.enum(["near-joint", "near-edge", "too-short"]).nullable(),
          joint: z.string().nullable(),
        }),
      ),
    }),
  ),
  level: z
    .object({
      meanMm: quantity,
      spreadMm: quantity,
      points: z.array(
        z.object({ id: z.string(), levelMm: quantity, targetMm: quantity, offMm: quantity, sdMm: z.number() }),
      ),
    })
    .nullable(),
  places: z.array(correction),
});

type ConformityPacket = z.infer<typeof conformityResult>;

/** A judged floor for packet.json. `plan` is the one that it was read by. */
export function conformityPacket(job: Job, plan: Plan, conformity: Conformity): ConformityPacket {
  const mm = (value: Millimetres) => {
    const { large, small } = fineHeight(value, job.units.height);
    return { value, printed: [large.text, small.text] as [string, string] };
  };
  const distanceM = (value: Metres) => {
    const { large, small } = planLength(value, job.units.plan);
    return { value, printed: [large.text, small.text] as [string, string] };
  };
  const number = (value: number) => ({ number: value, text: decimal(value, 1) });
  const bounded = (value: FNumber) => (value.kind === "unbounded" ? null : number(value.value));
  const at = (point: { readonly x: number; readonly y: number }) => ({ eastM: point.x, northM: point.y });
  const where = (one: FoundPlace) => ({
    room: plan.floors[one.roomIndex]!.roomId,
    at: at(one.at),
    offsets: (one.offsets ?? []).map(({ roomIndex, wallIndex, distance }) => ({
      wall: plan.floors[roomIndex]!.walls[wallIndex]!.name,
      distanceM: distanceM(distance),
    })),
    door: one.doorId ?? null,
    name: one.name ?? null,
    ends: one.ends ? ([at(one.ends[0]), at(one.ends[1])] as [ReturnType<typeof at>, ReturnType<typeof at>]) : null,
  });
  const worst = (
    one: Measured,
  ): NonNullable<ConformityPacket["rules"][number]["parts"][number]["findings"][number]["worst"]> => {
    const shared = { survives: one.survives, where: one.where ? where(one.where) : null };
    if (one.quantity === "f-number") {
      return {
        of: one.quantity,
        value: one.value === undefined ? null : number(one.value),
        limit: number(one.limit),
        margin: one.margin === undefined ? null : number(one.margin),
        sd: one.sd ?? null,
        ...shared,
      };
    }
    if (one.value === undefined || one.margin === undefined) throw new Error(`a ${one.quantity} without a value`);
    return {
      of: one.quantity,
      valueMm: mm(one.value),
      limitMm: mm(one.limit),
      marginMm: mm(one.margin),
      sdMm: one.sd ?? null,
      ...shared,
    };
  };
  const line = ({ count, number: value, sd }: Pick<LineNumber, "count" | "number" | "sd">) => ({
    count,
    value: bounded(value),
    sd: sd ?? null,
  });
  const { fNumbers, level } = conformity;
  return {
    floor: conformity.floor,
    date: conformity.date ?? null,
    poured: conformity.poured ?? null,
    daysSincePour: conformity.daysSincePour ?? null,
    readings: conformity.readings,
    coverage: conformity.coverage,
    rules: conformity.rules.map((verdict) => ({
      id: verdict.rule.id,
      name: verdict.rule.name,
      askedBy: verdict.rule.askedBy,
      figuresFrom: { ...verdict.rule.source },
      result: verdict.result,
      survives: survivalOfRule(verdict) ?? null,
      parts: verdict.parts.map((part) => ({
        kind: part.part.kind,
        result: part.result,
        findings: part.findings.map((finding) => ({
          method: finding.method.kind,
          section: finding.method.kind === "f-number-section" ? finding.method.section : null,
          result: finding.result,
          readings: finding.readings,
          decidedShare: finding.decided ?? null,
          shareWithin: finding.shareWithin ?? null,
          worst: finding.worst ? worst(finding.worst) : null,
          remarks: finding.remarks.map(({ kind }) => kind),
        })),
      })),
    })),
    fNumbers: fNumbers
      ? {
          toTheMethod: fNumbers.toTheMethod,
          conditions: fNumbers.conditions.map(({ condition, standing, lines }) => ({
            condition,
            standing,
            lines: [...lines],
          })),
          lines: fNumbers.lines.map((report) => ({
            id: report.line.id,
            section: report.line.section,
            form: report.method.name,
            levelsMm: [...report.line.levelsMm],
            flatness: line(report.flatness),
            levelness: line(report.levelness),
          })),
          composite: {
            readings: fNumbers.composite.readings,
            flatness: line(fNumbers.composite.flatness),
            levelness: line(fNumbers.composite.levelness),
          },
          formulas: fNumbers.formulas.map(({ text, standing }) => ({ text, standing })),
        }
      : null,
    lineCuts: conformity.lineCuts.map(({ line, parts }) => ({
      line,
      parts: parts.map(({ first, last, becomes, leftOut, joint }) => ({
        first,
        last,
        becomes: becomes ?? null,
        leftOut: leftOut ?? null,
        joint: joint ?? null,
      })),
    })),
    level: level
      ? {
          meanMm: mm(level.mean),
          spreadMm: mm(level.spread),
          points: level.points.map((one) => ({
            id: one.id,
            levelMm: mm(one.level),
            targetMm: mm(one.target),
            offMm: mm(one.difference),
            sdMm: one.sd,
          })),
        }
      : null,
    places: conformity.places.map(({ id, work, ruleIds, found: one, least, whole }) => ({
      id,
      work,
      rules: [...ruleIds],
      where: where(one),
      leastMm: least === undefined ? null : mm(least),
      wholeMm: mm(whole),
    })),
  };
}
