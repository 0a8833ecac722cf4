/** Flatness by DIN 18202: by the grid of levels, and between the high points of measured lines. */
import type { Point } from "../geometry/point.ts";
import {
  aboveNeighbours,
  DIN_DISTANCES_M,
  dinLimit,
  type GridTriple,
  gapsBetweenHighPoints,
  triplesOfRow,
} from "./din.ts";
import { onLine, profileOf } from "./edge-findings.ts";
import type { Correction, Evidence } from "./evidence.ts";
import { findPlace } from "./found-place.ts";
import { sdOfSum, survivalOf } from "./level-noise.ts";
import type { Finding, RulePart } from "./model.ts";
import { rowsOf } from "./reading-rows.ts";

export type DinPart = Extract<RulePart, { kind: "din-18202" }>;

/** Past the last column the table has no distance of its own. */
const LONGEST_M = DIN_DISTANCES_M.at(-1)!;

interface Said {
  readonly finding: Finding;
  readonly corrections: readonly Correction[];
}

export function dinFindings(
  evidence: Evidence,
  part: DinPart,
): { readonly findings: readonly Finding[]; readonly corrections: readonly Correction[] } {
  const all = [byGrid(evidence, part), byLines(evidence, part)].filter((one) => one !== undefined);
  return { findings: all.map(({ finding }) => finding), corrections: all.flatMap(({ corrections }) => corrections) };
}

function byGrid(evidence: Evidence, part: DinPart): Said {
  const { levels, date } = evidence;
  const { points } = levels;
  const triples = triplesOf(evidence);
  const shared = { method: { kind: "grid" }, readings: points.length, ...(date !== undefined && { date }) } as const;
  const levelsMm = points.map(({ level }) => level);
  const judged = triples
    .map((triple) => {
      const above = aboveNeighbours(triple, levelsMm);
      const limit = dinLimit(part.row, triple.distance);
      return { triple, above, limit, margin: limit - Math.abs(above) };
    })
    .sort((a, b) => a.margin - b.margin || a.triple.middle - b.triple.middle || a.triple.distance - b.triple.distance);
  const [worst] = judged;
  if (!worst) {
    const remarks = [{ kind: "no-three-in-a-row" }] as const;
    return { finding: { ...shared, result: "not-decidable", remarks }, corrections: [] };
  }
  const { triple, above, limit, margin } = worst;
  const sd = sdOfSum(
    levels,
    new Map([
      [triple.middle, 1],
      [triple.before, -0.5],
      [triple.after, -0.5],
    ]),
  );
  const at = (index: number): Point => points[index]!.at;
  return {
    finding: {
      ...shared,
      result: margin >= 0 ? "within" : "outside",
      shareWithin: judged.filter((one) => one.margin >= 0).length / judged.length,
      worst: {
        quantity: "deviation",
        value: above,
        limit,
        margin,
        sd,
        survives: survivalOf(margin, sd),
        over: triple.distance,
        where: findPlace(evidence.job, evidence.plan, at(triple.middle), {
          name: points[triple.middle]!.id,
          ends: [at(triple.before), at(triple.after)],
        }),
      },
      remarks: [{ kind: "between-grid-not-seen" }],
    },
    corrections: withoutEchoes(judged.filter((one) => one.margin < 0)).map((one) => ({
      work: one.above > 0 ? "grind" : "fill",
      at: at(one.triple.middle),
      least: -one.margin,
      whole: Math.abs(one.above),
      name: points[one.triple.middle]!.id,
    })),
  };
}

/** A dip makes humps of its neighbours: places next to one that is listed already are its echo. Worst first. */
function withoutEchoes<T extends { readonly triple: GridTriple }>(judged: readonly T[]): T[] {
  const listed = new Set<number>();
  return judged.filter(({ triple }) => {
    if (listed.has(triple.before) || listed.has(triple.after)) return false;
    listed.add(triple.middle);
    return true;
  });
}

/** Every three readings evenly in a row, west to east or south to north, with nothing but floor between them. */
function triplesOf({ levels, plan }: Evidence): GridTriple[] {
  const rows = [...rowsOf(levels.points, plan.floors, "east"), ...rowsOf(levels.points, plan.floors, "north")];
  return rows.flatMap(({ alongM, indices }) => triplesOfRow(alongM, indices, LONGEST_M));
}

function byLines(evidence: Evidence, part: DinPart): Said | undefined {
  const { lines } = evidence;
  if (lines.length === 0) return undefined;
  const judged = lines
    .flatMap((line) =>
      gapsBetweenHighPoints(profileOf(line), LONGEST_M).map((found) => {
        const limit = dinLimit(part.row, found.distance);
        return { line, found, limit, margin: limit - found.gap };
      }),
    )
    .sort((a, b) => a.margin - b.margin);
  const readings = lines.reduce((sum, line) => sum + line.levelsMm.length, 0);
  const shared = { method: { kind: "between-high-points" }, readings } as const;
  const [worst] = judged;
  if (!worst) {
    const remarks = [{ kind: "no-two-high-points" }] as const;
    return { finding: { ...shared, result: "not-decidable", remarks }, corrections: [] };
  }
  const { line, found, limit, margin } = worst;
  const share = (found.low - found.from) / (found.to - found.from);
  const sd = line.readingSd === undefined ? undefined : line.readingSd * Math.hypot(1, share, 1 - share);
  const at = onLine(line, found.low * line.spacing);
  const ends =
    line.ends && ([onLine(line, found.from * line.spacing)!, onLine(line, found.to * line.spacing)!] as const);
  const date = line.date ?? evidence.date;
  return {
    finding: {
      ...shared,
      ...(date !== undefined && { date }),
      result: margin >= 0 ? "within" : "outside",
      shareWithin: judged.filter((one) => one.margin >= 0).length / judged.length,
      worst: {
        quantity: "gap",
        value: found.gap,
        limit,
        margin,
        ...(sd !== undefined && { sd }),
        survives: survivalOf(margin, sd),
        over: found.distance,
        ...(at && { where: findPlace(evidence.job, evidence.plan, at, { name: line.id, ...(ends && { ends }) }) }),
      },
      remarks: [
        ...(at ? [] : [{ kind: "line-place-not-recorded" as const, line: line.id }]),
        { kind: "line-says-nothing-beside" },
      ],
    },
    corrections: judged.flatMap((one) => {
      const place = onLine(one.line, one.found.low * one.line.spacing);
      return place && one.margin < 0
        ? [{ work: "fill" as const, at: place, least: -one.margin, whole: one.found.gap, name: one.line.id }]
        : [];
    }),
  };
}
