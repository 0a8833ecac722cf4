/** The floor on a map: depth bands, contours, high spots, walls, doors, columns. */
import type { Depths } from "../../depths/model.ts";
import { type Point, type Polygon, point } from "../../geometry/point.ts";
import { intersectionOf } from "../../geometry/polygon.ts";
import type { Door } from "../../job/model.ts";
import type { Plan } from "../../layout/model.ts";
import { circle, line, type Mark, type MarkStyle, type PaperPoint, pathThrough } from "../drawing.ts";
import { brokenAtLabels, insideBox } from "./clip-lines.ts";
import { hatchPath } from "./hatching.ts";
import type { Projection, Window } from "./map-scale.ts";
import type { Box, Occupancy } from "./occupancy.ts";

/** How a depth band is told from its neighbours: a grey, a hatch, or both; its number stands on it as well. */
export interface BandLook {
  readonly tint?: "tint-1" | "tint-2" | "tint-3";
  readonly hatchDegrees: readonly number[];
}

const TINTS = ["tint-1", "tint-2", "tint-3"] as const;
const BAND_HATCHES: readonly (readonly number[])[] = [[], [45], [135], [90], [0], [45, 135]];

/** Band 1 is white; three greys; then the greys again under hatches. */
export function bandLook(number: number): BandLook {
  if (number <= 1) return { hatchDegrees: [] };
  const tint = TINTS[(number - 2) % 3] as (typeof TINTS)[number];
  const round = Math.min(Math.floor((number - 2) / 3), BAND_HATCHES.length - 1);
  return { tint, hatchDegrees: BAND_HATCHES[round] as readonly number[] };
}

const BAND_HATCH_MM = 3.2;
const HIGH_SPOT_HATCH_MM = 1.7;

const windowPolygon = (window: Window): Polygon => ({
  outline: [
    point(window.minX, window.minY),
    point(window.maxX, window.minY),
    point(window.maxX, window.maxY),
    point(window.minX, window.maxY),
  ],
  holes: [],
});

const ringsOf = (polygon: Polygon, projection: Projection): PaperPoint[][] =>
  [polygon.outline, ...polygon.holes].map((ring) => ring.map((at) => projection.toPaper(at)));

const areaPath = (rings: readonly PaperPoint[][]): string => rings.map((ring) => pathThrough(ring, true)).join("");

/** The parts of shapes that fall into the window, as rings on paper. */
export function shapesOnPaper(regions: readonly Polygon[], projection: Projection): PaperPoint[][][] {
  return intersectionOf(regions, [windowPolygon(projection.window)]).map((part) => ringsOf(part, projection));
}

export function bandMarks(shapes: readonly PaperPoint[][][], look: BandLook): Mark[] {
  const marks: Mark[] = [];
  for (const rings of shapes) {
    if (look.tint) marks.push({ kind: "path", d: areaPath(rings), style: look.tint });
    for (const degrees of look.hatchDegrees) {
      const d = hatchPath(rings, degrees, BAND_HATCH_MM);
      if (d !== "") marks.push({ kind: "path", d, style: "hatch" });
    }
  }
  return marks;
}

export function highSpotMarks(shapes: readonly PaperPoint[][][], labels: Occupancy): Mark[] {
  return shapes.flatMap((rings) => {
    const outline = rings.flatMap((ring) => brokenAtLabels([...ring, ring[0]!], labels));
    const hatch = [45, 135].map((degrees) => hatchPath(rings, degrees, HIGH_SPOT_HATCH_MM)).filter((d) => d !== "");
    return [
      ...hatch.map((d): Mark => ({ kind: "path", d, style: "high-spot-hatch" })),
      ...outline.map((part): Mark => ({ kind: "path", d: pathThrough(part, false), style: "high-spot" })),
    ];
  });
}

export const frameOf = (projection: Projection): Box => {
  const { window } = projection;
  const [a, b] = [
    projection.toPaper(point(window.minX, window.maxY)),
    projection.toPaper(point(window.maxX, window.minY)),
  ];
  return { minX: a.x, minY: a.y, maxX: b.x, maxY: b.y };
};

/** Contours nearer than this on paper run together. */
const LEAST_CONTOUR_GAP_MM = 1;
const CONTOUR_STEPS = [1, 2, 5, 10, 20, 50];

export interface PaperContour {
  readonly depth: number;
  readonly index: boolean;
  readonly lines: readonly PaperPoint[][];
}

/**
 * The contours at the smallest multiple of their interval at which hardly any two of different
 * depth come nearer than 1 mm; what is still nearer is left out of the lighter one.
 */
export function contoursOnPaper(
  depths: Depths,
  projection: Projection,
): { readonly contours: PaperContour[]; readonly step: number } {
  const frame = frameOf(projection);
  const all = depths.contours.map((contour) => ({
    depth: contour.depth,
    index: contour.index,
    lines: contour.lines.flatMap((points) =>
      insideBox(
        points.map((at) => projection.toPaper(at)),
        frame,
      ),
    ),
  }));
  const interval = contourInterval(depths);
  for (const step of CONTOUR_STEPS) {
    const kept = all
      .filter(({ depth }) => Math.round(depth / interval) % step === 0)
      .map((contour) => ({ ...contour, index: Math.round(contour.depth / interval) % (5 * step) === 0 }));
    const { contours, lost } = keptApart(kept);
    if (lost < 0.02 || step === CONTOUR_STEPS.at(-1)) return { contours, step };
  }
  throw new Error("no contour step was tried");
}

/** The least difference between two contours of the floor. */
export function contourInterval(depths: Depths): number {
  const sorted = depths.contours.map(({ depth }) => depth).sort((p, q) => p - q);
  const gaps = sorted.slice(1).map((depth, k) => depth - sorted[k]!);
  return Math.min(...gaps, sorted.length > 1 ? Infinity : 1);
}

const isNear = (p: PaperPoint, q: PaperPoint): boolean => Math.hypot(p.x - q.x, p.y - q.y) < LEAST_CONTOUR_GAP_MM;

/** A point of a line that is drawn already, and how far along its line it lies. */
interface Drawn {
  readonly at: PaperPoint;
  readonly depth: number;
  readonly line: number;
  readonly along: number;
  /** Of its line. */
  readonly ends: readonly [PaperPoint, PaperPoint];
}

/** Ends of two lines nearer than this are one place: less than half of the finest line. */
const ONE_PLACE_MM = 0.05;

/** Whether a drawn line of the same depth goes on where this one ends, away from it: beside it, it would be in the way. */
const goesOn = (at: PaperPoint, ends: Drawn["ends"], drawn: Drawn): boolean =>
  ends.some(
    (end) =>
      isNear(at, end) &&
      drawn.ends.some((other) => Math.hypot(other.x - end.x, other.y - end.y) < ONE_PLACE_MM) &&
      (at.x - end.x) * (drawn.at.x - end.x) + (at.y - end.y) * (drawn.at.y - end.y) <= 0,
  );

/** So far along a line two of its points are neighbours still, and no hairpin. */
const NEIGHBOURS_MM = 3 * LEAST_CONTOUR_GAP_MM;

/**
 * Cuts away, from every contour line, what comes within 1 mm of a line that was drawn before it, or of itself: heavier
 * ones first. `lost` is the share that lines of other depths took.
 */
function keptApart(contours: readonly PaperContour[]): { readonly contours: PaperContour[]; readonly lost: number } {
  const cells = new Map<string, Drawn[]>();
  const cellOf = (value: number): number => Math.floor(value / LEAST_CONTOUR_GAP_MM);
  const nearby = (at: PaperPoint): Drawn[] => {
    const near: Drawn[] = [];
    for (let i = cellOf(at.x) - 1; i <= cellOf(at.x) + 1; i++) {
      for (let j = cellOf(at.y) - 1; j <= cellOf(at.y) + 1; j++) {
        for (const drawn of cells.get(`${i} ${j}`) ?? []) if (isNear(drawn.at, at)) near.push(drawn);
      }
    }
    return near;
  };
  let total = 0;
  let lost = 0;
  let line = 0;
  const heavierFirst = [...contours].sort((p, q) => Number(q.index) - Number(p.index) || p.depth - q.depth);
  const made = heavierFirst.map(({ depth, index, lines }): PaperContour => {
    const kept: PaperPoint[][] = [];
    for (const points of lines) {
      line += 1;
      const ends: Drawn["ends"] = [points[0]!, points.at(-1)!];
      const ring = ends[0].x === ends[1].x && ends[0].y === ends[1].y;
      const places = alongLine(stepped(points));
      const length = places.at(-1)!.along;
      let current: PaperPoint[] = [];
      for (const { at, along } of places) {
        total += 1;
        const inTheWay = nearby(at).filter((drawn) => {
          if (drawn.line !== line) return drawn.depth !== depth || !goesOn(at, ends, drawn);
          const apart = Math.abs(drawn.along - along);
          return Math.min(apart, ring ? length - apart : apart) > NEIGHBOURS_MM;
        });
        if (inTheWay.length > 0) {
          // A wider step parts contours of two depths, and not those of one.
          if (inTheWay.some((drawn) => drawn.depth !== depth)) lost += 1;
          if (current.length > 1) kept.push(current);
          current = [];
          continue;
        }
        current.push(at);
        const key = `${cellOf(at.x)} ${cellOf(at.y)}`;
        const drawn = { at, depth, line, along, ends };
        const there = cells.get(key);
        if (there) there.push(drawn);
        else cells.set(key, [drawn]);
      }
      if (current.length > 1) kept.push(current);
    }
    return { depth, index, lines: kept.map(withoutMiddles) };
  });
  return { contours: made, lost: total === 0 ? 0 : lost / total };
}

/** Points with their distance from the first along the line, in mm. */
function alongLine(points: readonly PaperPoint[]): { readonly at: PaperPoint; readonly along: number }[] {
  let along = 0;
  return points.map((at, k) => {
    const before = points[k - 1];
    if (before) along += Math.hypot(at.x - before.x, at.y - before.y);
    return { at, along };
  });
}

/** The points of a polyline with others between them, so that no two neighbours are far apart. */
function stepped(points: readonly PaperPoint[]): PaperPoint[] {
  const made: PaperPoint[] = [];
  for (let k = 0; k < points.length; k++) {
    const a = points[k]!;
    made.push(a);
    const b = points[k + 1];
    if (!b) continue;
    const parts = Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / (0.6 * LEAST_CONTOUR_GAP_MM));
    for (let part = 1; part < parts; part++) {
      made.push({ x: a.x + ((b.x - a.x) * part) / parts, y: a.y + ((b.y - a.y) * part) / parts });
    }
  }
  return made;
}

/** Leaves out the points that lie on the line between their neighbours. */
function withoutMiddles(points: readonly PaperPoint[]): PaperPoint[] {
  const made: PaperPoint[] = [];
  for (const at of points) {
    const [a, b] = [made.at(-2), made.at(-1)];
    // A thousandth of a millimetre off the line cannot be seen.
    if (a && b && Math.abs((b.x - a.x) * (at.y - a.y) - (b.y - a.y) * (at.x - a.x)) < 1e-3) made.pop();
    made.push(at);
  }
  return made;
}

export function contourMarks(contours: readonly PaperContour[], labels: Occupancy): Mark[] {
  return contours.flatMap(({ index, lines }) =>
    lines.flatMap((points) =>
      brokenAtLabels(points, labels).map(
        (part): Mark => ({ kind: "path", d: pathThrough(part, false), style: index ? "contour-index" : "contour" }),
      ),
    ),
  );
}

export interface Building {
  readonly marks: Mark[];
  /** Leaves and arcs of doors: broken at labels. */
  readonly swings: readonly PaperPoint[][];
  /** Walls and columns: no label may cross them. */
  readonly hard: readonly (readonly [PaperPoint, PaperPoint])[];
}

/** Walls, doors, columns and openings. */
export function buildingMarks(plan: Pick<Plan, "floors">, projection: Projection): Building {
  const frame = frameOf(projection);
  const walls: Mark[] = [];
  const gaps: Mark[] = [];
  const swings: PaperPoint[][] = [];
  const posts: Mark[] = [];
  const hard: (readonly [PaperPoint, PaperPoint])[] = [];
  const clipped = (points: readonly PaperPoint[], style: MarkStyle): Mark[] =>
    insideBox(points, frame).map((part): Mark => {
      for (let k = 0; k + 1 < part.length; k++) hard.push([part[k]!, part[k + 1]!]);
      return { kind: "path", d: pathThrough(part, false), style };
    });
  for (const floor of plan.floors) {
    const outline = floor.polygon.outline.map((at) => projection.toPaper(at));
    walls.push(...clipped([...outline, outline[0]!], "outline"));
    for (const obstacle of floor.obstacles) {
      const ring = obstacle.ring.map((at) => projection.toPaper(at));
      const inside = shapesOnPaper([{ outline: [...obstacle.ring].reverse(), holes: [] }], projection);
      for (const rings of inside) {
        posts.push({ kind: "path", d: areaPath(rings), style: obstacle.kind === "column" ? "column" : "opening" });
      }
      if (inside.length > 0) for (let k = 0; k < ring.length; k++) hard.push([ring[k]!, ring[(k + 1) % ring.length]!]);
    }
    for (const door of floor.doors) {
      for (const [a, b] of openingLines(door)) {
        for (const part of insideBox([projection.toPaper(a), projection.toPaper(b)], frame)) {
          gaps.push(
            { kind: "path", d: pathThrough(part, false), style: "door" },
            { kind: "path", d: pathThrough(part, false), style: "fine" },
          );
        }
      }
      for (const swing of swingOf(door)) {
        swings.push(
          ...insideBox(
            swing.map((at) => projection.toPaper(at)),
            frame,
          ),
        );
      }
    }
  }
  return { marks: [...walls, ...gaps, ...posts], swings, hard };
}

/** The lines that the wall leaves open: across the inside face, and across the far face of the doorway. */
function openingLines(door: Door): (readonly [Point, Point])[] {
  const [a, b] = door.jambs;
  const lines: (readonly [Point, Point])[] = [[a, b]];
  if (!door.doorway) return lines;
  const along = { x: b.x - a.x, y: b.y - a.y };
  const length = Math.hypot(along.x, along.y);
  for (let k = 0; k < door.doorway.length; k++) {
    const c = door.doorway[k]!;
    const d = door.doorway[(k + 1) % door.doorway.length]!;
    const size = Math.hypot(d.x - c.x, d.y - c.y);
    const cross = Math.abs(along.x * (d.y - c.y) - along.y * (d.x - c.x));
    const isJambLine = Math.hypot((c.x + d.x - a.x - b.x) / 2, (c.y + d.y - a.y - b.y) / 2) < length / 1000;
    if (cross < 0.01 * length * size && !isJambLine) lines.push([c, d]);
  }
  return lines;
}

/** A leaf wider than this has a second one; an opening wider than the next has none that swings. */
const WIDEST_LEAF_M = 1.3;
const WIDEST_SWING_M = 2.6;

/** Leaf and quarter circle of each leaf, into the room that declares the door: hung at its first jamb. */
function swingOf(door: Door): Point[][] {
  if (door.width > WIDEST_SWING_M) return [];
  const [a, b] = door.jambs;
  const ux = (b.x - a.x) / door.width;
  const uy = (b.y - a.y) / door.width;
  const leaf = (hinge: Point, towards: 1 | -1, width: number): Point[][] => {
    // The room lies to the left of the jambs' direction.
    const arc = Array.from({ length: 9 }, (_, k) => {
      const angle = (k / 8) * (Math.PI / 2);
      const along = towards * Math.cos(angle) * width;
      const into = Math.sin(angle) * width;
      return point(hinge.x + ux * along - uy * into, hinge.y + uy * along + ux * into);
    });
    return [[hinge, arc[8]!], arc];
  };
  return door.width > WIDEST_LEAF_M
    ? [...leaf(a, 1, door.width / 2), ...leaf(b, -1, door.width / 2)]
    : leaf(a, 1, door.width);
}

/** The way in: a solid arrowhead outside the door, its tip at the opening. */
export function entranceMark(door: Door, projection: Projection): { readonly mark: Mark; readonly at: PaperPoint } {
  const [a, b] = door.jambs.map((at) => projection.toPaper(at)) as [PaperPoint, PaperPoint];
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const [ux, uy] = [(b.x - a.x) / length, (b.y - a.y) / length];
  // Outside lies to the right of the jambs' direction on the floor; y runs down on paper.
  const out = { x: -uy, y: ux };
  const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
  const tip = { x: middle.x + out.x * 1.2, y: middle.y + out.y * 1.2 };
  const base = { x: tip.x + out.x * 6, y: tip.y + out.y * 6 };
  const d = pathThrough(
    [tip, { x: base.x + ux * 3.2, y: base.y + uy * 3.2 }, { x: base.x - ux * 3.2, y: base.y - uy * 3.2 }],
    true,
  );
  return { mark: { kind: "path", d, style: "entrance" }, at: { x: base.x - out.x * 3, y: base.y - out.y * 3 } };
}

/** A bench mark: a circle with a cross in it. */
export function benchMarkMarks(at: PaperPoint): Mark[] {
  return [
    circle(at.x, at.y, 2, "bench-mark"),
    line({ x: at.x - 2, y: at.y }, { x: at.x + 2, y: at.y }, "bench-mark"),
    line({ x: at.x, y: at.y - 2 }, { x: at.x, y: at.y + 2 }, "bench-mark"),
  ];
}
