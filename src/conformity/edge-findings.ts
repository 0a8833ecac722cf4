/** What a straightedge says of the floor: laid on the surface, on the measured lines, and as measured by hand. */
import { pointAlong } from "../geometry/point.ts";
import type { MeasuredGap, SampleLine } from "../job/contract-model.ts";
import type { Metres } from "../units.ts";
import type { Correction, Evidence } from "./evidence.ts";
import { type EdgeSearch, searchFloor, USUAL_STEP_M } from "./floor-straightedge.ts";
import { findPlace } from "./found-place.ts";
import type { EdgePlace } from "./lay-edge.ts";
import { sdOfSum, survivalOf } from "./level-noise.ts";
import type { Finding, FoundPlace, Measured, Remark, Result, RulePart } from "./model.ts";
import { type Profile, worstOnProfile } from "./straightedge.ts";

export type EdgePart = Extract<RulePart, { kind: "straightedge" }>;

/** No set of placements is begun that brings their number past this: about ten seconds of work. */
const GREATEST_PLACES = 7_000_000;

/** A gap measured under another edge says nothing: lengths must agree within 1 % (10 ft is not 3 m). */
const SAME_EDGE_SHARE = 0.01;

/** Everything that the evidence has to say of one straightedge, and the places where it fails. */
export function edgeFindings(
  evidence: Evidence,
  part: EdgePart,
): { readonly findings: readonly Finding[]; readonly corrections: readonly Correction[] } {
  const surface = onSurface(evidence, part);
  const lines = onLines(evidence, part);
  const gaps = byHand(evidence, part);
  const all = [surface, lines, gaps].filter((one) => one !== undefined);
  return { findings: all.map(({ finding }) => finding), corrections: all.flatMap(({ corrections }) => corrections) };
}

interface Said {
  readonly finding: Finding;
  readonly corrections: readonly Correction[];
}

const resultOf = (margin: number): Result => (margin >= 0 ? "within" : "outside");

function onSurface(evidence: Evidence, part: EdgePart): Said {
  const { slab, levels } = evidence;
  const search = searchFloor(evidence.surface, {
    length: part.edge,
    contact: part.contact,
    limit: part.gap,
    ...(part.most && { most: part.most.gap }),
    firstDirection: alongLongestWall(evidence),
    step: USUAL_STEP_M,
    greatestPlaces: GREATEST_PLACES,
  });
  const { worst, decided, places, shareWithin } = search;
  const shared = {
    method: {
      kind: "edge-on-surface",
      directions: search.directions,
      step: search.step,
      settled: search.settled,
      ...(search.moved !== undefined && { moved: search.moved }),
    },
    ...dateOf(evidence),
    readings: levels.points.length,
    ...(places > 0 && { decided: decided / places }),
  } as const;
  if (!worst) {
    return {
      finding: { ...shared, result: "not-decidable", remarks: [whyUndecided(part, search)] },
      corrections: [],
    };
  }
  const pointOf = pointOfVertex(evidence);
  const weights = new Map<number, number>();
  for (const [vertex, weight] of worst.weights) {
    const index = pointOf.get(vertex);
    if (index !== undefined) weights.set(index, weight);
    else if (Math.abs(weight) > 1e-9)
      throw new Error(`a gap on read floor leans on vertex ${vertex}, which was not read`);
  }
  const sd = sdOfSum(levels, weights);
  const margin = part.gap - worst.gap;
  const enoughWithin = !part.most || shareWithin!.most! >= part.most.share;
  const measured: Measured = {
    quantity: "gap",
    value: worst.gap,
    limit: part.gap,
    margin,
    sd,
    survives: survivalOf(margin, sd),
    over: part.edge,
    where: find(evidence, worst.gapAt, { ends: worst.ends, contacts: worst.contacts }),
  };
  const within = part.most ? shareWithin!.most! : shareWithin!.limit;
  return {
    finding: {
      ...shared,
      result: margin >= 0 && enoughWithin ? "within" : "outside",
      shareWithin: within,
      worst: measured,
      remarks: [
        ...(decided < places ? [whyUndecided(part, search)] : []),
        ...(search.settled ? [] : [{ kind: "search-not-settled" as const }]),
        ...(slab.extrapolatedArea > 0 ? [{ kind: "carried-levels-left-out" as const }] : []),
      ],
    },
    corrections: search.over.map((place) => correctionAt(place, part)),
  };
}

/** Grinding a contact closes the gap by its leverage only; below this share it is no remedy (taken here). */
const LEAST_LEVERAGE = 0.2;

/**
 * A bump is ground, a dip filled: whichever stands farther from the straight line of best fit under
 * the edge, and at the most down, or up, to where it is true. The other way is given where it would help.
 */
function correctionAt(place: EdgePlace, part: EdgePart): Correction {
  const { contacts, aboveFit, leverage, gap, gapAt, ends } = place;
  const over = gap - part.gap;
  const fill = { work: "fill", at: gapAt, least: over, whole: gap } as const;
  const higher = aboveFit.contacts[0] >= aboveFit.contacts[1] ? 0 : 1;
  const lever = leverage[higher];
  if (lever < LEAST_LEVERAGE) return { ...fill, ends };
  const least = over / lever;
  const grind = {
    work: "grind",
    at: contacts[higher],
    least,
    whole: Math.max(least, aboveFit.contacts[higher]),
  } as const;
  return aboveFit.contacts[higher] > -aboveFit.gap
    ? { ...grind, instead: fill, ends }
    : { ...fill, instead: grind, ends };
}

function pointOfVertex({ slab }: Evidence): Map<number, number> {
  const points = new Map<number, number>();
  slab.vertexOfPoint.forEach((vertex, index) => {
    points.set(vertex, index);
  });
  return points;
}

function whyUndecided({ edge }: EdgePart, { places, decided }: EdgeSearch): Remark {
  if (places === 0) return { kind: "edge-fits-nowhere", edge };
  return { kind: "too-few-under-edge", edge, where: decided === 0 ? "nowhere" : "in-part" };
}

function alongLongestWall({ job }: Evidence): number {
  let longest = -1;
  let angle = 0;
  for (const { walls } of job.rooms) {
    for (const { from, to } of walls) {
      const length = Math.hypot(to.x - from.x, to.y - from.y);
      // Longer by more than a tape can tell, so that equal walls do not trade places.
      if (length > longest + 0.001) {
        longest = length;
        angle = Math.atan2(to.y - from.y, to.x - from.x);
      }
    }
  }
  return angle;
}

const dateOf = ({ date }: Evidence): { date?: string } => (date === undefined ? {} : { date });

const find = (
  evidence: Evidence,
  at: Parameters<typeof findPlace>[2],
  more?: Pick<FoundPlace, "ends" | "contacts" | "name">,
): FoundPlace => findPlace(evidence.job, evidence.plan, at, more);

/** A sample line as a profile. */
export const profileOf = (line: SampleLine): Profile => ({
  alongM: Float64Array.from(line.levelsMm, (_, k) => k * line.spacing),
  levelMm: Float64Array.from(line.levelsMm),
  count: line.levelsMm.length,
});

/** The point of a line so many metres from its first reading; undefined where its place is not recorded. */
export const onLine = (line: SampleLine, along: Metres) =>
  line.ends && (along === 0 ? line.ends[0] : pointAlong(line.ends[0], line.ends[1], along));

function onLines(evidence: Evidence, part: EdgePart): Said | undefined {
  const { lines } = evidence;
  if (lines.length === 0) return undefined;
  const found = lines.flatMap((line) => {
    const worst = worstOnProfile(profileOf(line), part.edge, part.contact, Math.min(USUAL_STEP_M, line.spacing / 2));
    return worst ? [{ line, worst }] : [];
  });
  const readings = found.reduce((sum, { line }) => sum + line.levelsMm.length, 0);
  const shared = { method: { kind: "edge-on-line" }, readings, decided: found.length / lines.length } as const;
  const [worst] = found.toSorted((a, b) => b.worst.gap - a.worst.gap);
  if (!worst) {
    return {
      finding: {
        ...shared,
        result: "not-decidable",
        remarks: [{ kind: "no-line-under-edge", edge: part.edge }],
      },
      corrections: [],
    };
  }
  const { line, worst: place } = worst;
  const margin = part.gap - place.gap;
  const sd = line.readingSd === undefined ? undefined : line.readingSd * Math.hypot(...place.weights.values());
  const at = onLine(line, place.gapAt);
  const ends = line.ends && ([onLine(line, place.start)!, onLine(line, place.start + part.edge)!] as const);
  const date = line.date ?? evidence.date;
  return {
    finding: {
      ...shared,
      ...(date !== undefined && { date }),
      result: resultOf(margin),
      worst: {
        quantity: "gap",
        value: place.gap,
        limit: part.gap,
        margin,
        ...(sd !== undefined && { sd }),
        survives: survivalOf(margin, sd),
        over: part.edge,
        ...(at && { where: find(evidence, at, { name: line.id, ...(ends && { ends }) }) }),
      },
      remarks: [
        ...(found.length < lines.length ? [{ kind: "some-lines-too-short" as const }] : []),
        ...(at ? [] : [{ kind: "line-place-not-recorded" as const, line: line.id }]),
        { kind: "line-says-nothing-beside" },
      ],
    },
    corrections: found.flatMap(({ line, worst }) => {
      const place = onLine(line, worst.gapAt);
      return place && worst.gap > part.gap
        ? [{ work: "fill" as const, at: place, least: worst.gap - part.gap, whole: worst.gap, name: line.id }]
        : [];
    }),
  };
}

function byHand(evidence: Evidence, part: EdgePart): Said | undefined {
  const gaps = evidence.gaps.filter(({ edge }) => Math.abs(edge - part.edge) <= SAME_EDGE_SHARE * part.edge);
  const [worst] = gaps.toSorted((a, b) => b.gap - a.gap);
  if (!worst) return undefined;
  const margin = part.gap - worst.gap;
  const date = worst.date ?? evidence.date;
  const most = part.most;
  const shareWithin = gaps.filter(({ gap }) => gap <= (most?.gap ?? part.gap)).length / gaps.length;
  return {
    finding: {
      method: { kind: "gap-by-hand" },
      ...(date !== undefined && { date }),
      readings: gaps.length,
      shareWithin,
      result: margin >= 0 && (!most || shareWithin >= most.share) ? "within" : "outside",
      worst: {
        quantity: "gap",
        value: worst.gap,
        limit: part.gap,
        margin,
        ...(worst.sd !== undefined && { sd: worst.sd }),
        survives: survivalOf(margin, worst.sd),
        over: part.edge,
        ...(worst.at && { where: find(evidence, worst.at, { name: worst.id }) }),
      },
      remarks: [{ kind: "gap-as-typed" }],
    },
    corrections: gaps.filter((gap) => gap.gap > part.gap).flatMap((gap) => handCorrection(gap, part)),
  };
}

const handCorrection = (gap: MeasuredGap, part: EdgePart): Correction[] =>
  gap.at ? [{ work: "fill", at: gap.at, least: gap.gap - part.gap, whole: gap.gap, name: gap.id }] : [];
