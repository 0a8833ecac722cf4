/** Actual against planned: the level of the floor against the target, point by point and as a map. */
import { depthSurface } from "../depths/depth-surface.ts";
import { connectedRegions } from "../geometry/bands.ts";
import { sumOf } from "../numeric/sum.ts";
import type { Target } from "../target/model.ts";
import { topAt } from "../target/top-at.ts";
import type { Correction, Evidence } from "./evidence.ts";
import { findPlace } from "./found-place.ts";
import { survivalOf } from "./level-noise.ts";
import type { Finding, LevelAtPoint, LevelReport, RulePart } from "./model.ts";

export type LevelPart = Extract<RulePart, { kind: "level" }>;

/** Level less target at every point that was read, and over the floor. `plusMinus` judges the points where it is given. */
export function levelReport(evidence: Evidence, target: Target, part: LevelPart | undefined): LevelReport {
  const { levels, slab, plan } = evidence;
  const points = levels.points.map(({ id, at, roomIndex, level, sd }): LevelAtPoint => {
    const top = topAt(target, roomIndex, at);
    const difference = level - top;
    const margin = part && part.plusMinus - Math.abs(difference);
    return {
      id,
      at,
      roomIndex,
      level,
      target: top,
      difference,
      sd,
      ...(margin !== undefined && {
        verdict: { result: margin >= 0 ? "within" : "outside", survives: survivalOf(margin, sd) },
      }),
    };
  });
  const mean = sumOf(points.map(({ difference }) => difference)) / points.length;
  const squares = sumOf(points.map(({ difference }) => (difference - mean) ** 2));
  const rising = points.toSorted((a, b) => a.difference - b.difference);
  const { mesh, depthMm } = depthSurface(slab, target, plan.floors.length);
  return {
    points,
    mesh,
    differenceMm: depthMm.map((depth) => (depth === 0 ? 0 : -depth)),
    mean,
    spread: points.length > 1 ? Math.sqrt(squares / (points.length - 1)) : 0,
    lowest: rising[0]!,
    highest: rising.at(-1)!,
  };
}

/** The level rule at the points that were read; places are listed from the surface, carried levels included. */
export function levelFindings(
  evidence: Evidence,
  part: LevelPart,
  report: LevelReport | undefined,
): { readonly findings: readonly Finding[]; readonly corrections: readonly Correction[] } {
  const { date, levels } = evidence;
  const shared = {
    method: { kind: "level-at-points" },
    readings: levels.points.length,
    ...(date !== undefined && { date }),
  } as const;
  if (!report) {
    const remarks = [{ kind: "no-target" }] as const;
    return { findings: [{ ...shared, result: "not-decidable", remarks }], corrections: [] };
  }
  const worst = -report.lowest.difference > report.highest.difference ? report.lowest : report.highest;
  const margin = part.plusMinus - Math.abs(worst.difference);
  const within = report.points.filter(({ difference }) => Math.abs(difference) <= part.plusMinus).length;
  const finding: Finding = {
    ...shared,
    result: margin >= 0 ? "within" : "outside",
    shareWithin: within / report.points.length,
    worst: {
      quantity: "level-difference",
      value: worst.difference,
      limit: part.plusMinus,
      margin,
      sd: worst.sd,
      survives: survivalOf(margin, worst.sd),
      where: findPlace(evidence.job, evidence.plan, worst.at, { name: worst.id }),
    },
    remarks: [{ kind: "levels-from-zero" }],
  };
  const { mesh, differenceMm } = report;
  const high = connectedRegions(mesh, differenceMm, part.plusMinus).map(
    ({ area, greatest }): Correction => ({
      work: "grind",
      at: greatest.at,
      least: greatest.value - part.plusMinus,
      whole: greatest.value,
      area,
    }),
  );
  const low = connectedRegions(mesh, differenceMm, undefined, -part.plusMinus).map(
    ({ area, least }): Correction => ({
      work: "fill",
      at: least.at,
      least: -least.value - part.plusMinus,
      whole: -least.value,
      area,
    }),
  );
  return { findings: [finding], corrections: [...high, ...low].filter(({ least }) => least! > 0) };
}
