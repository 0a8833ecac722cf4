/** A scan against its file: every row on a floor is a point of the surface, what maps show stands for its square, and the pins. */
import { load } from "js-yaml";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import { lengthMm, writtenPoints } from "./second-reading.ts";

interface WrittenScan {
  readonly file: string;
  readonly file_zero?: unknown;
  readonly pin_reach?: unknown;
}

interface XY {
  readonly x: number;
  readonly y: number;
}

const MM_IN: Readonly<Record<string, number>> = { mm: 1, in: 25.4, m: 1000, ft: 304.8, "ft-in": 304.8 };

/** As near to a wall a row may be taken for either side of it; a tape tells no less. */
const AT_WALL_M = 1e-3;
/** On the floor, and in height: rounding of a shift and a turn at map scale. */
const NOTHING_M = 1e-7;
const NOTHING_MM = 1e-6;

export function checkScan(evidence: Evidence, disagree: Disagree): void {
  const { jobText, beside, findings } = evidence;
  const written = load(jobText) as {
    readonly units: { readonly plan: string; readonly height: string };
    readonly survey?: { readonly scan?: WrittenScan };
  };
  const spec = written.survey?.scan;
  if (spec === undefined || findings.levels.kind !== "ready") return;
  const { scan, points } = findings.levels.value;
  const text = beside?.find(({ name }) => name === spec.file)?.text;
  if (scan === undefined || text === undefined) {
    disagree("scan-lost", `the job has a scan ${spec.file}, the packet none`);
    return;
  }
  const planMm = MM_IN[written.units.plan] as number;
  const zeroMm = spec.file_zero === undefined ? 0 : lengthMm(spec.file_zero, planMm);
  const rows = writtenPoints(text, MM_IN[written.units.height] as number, planMm, zeroMm);
  if (scan.fit !== undefined) checkFit(scan.fit, disagree);
  const at = placing(scan.fit);
  if (rows.length !== scan.rows)
    disagree("scan-lost", `${spec.file} has ${rows.length} points, the packet ${scan.rows}`);
  checkRows(
    evidence,
    rows.map((row) => ({ ...at(row), levelMm: row.levelMm, line: row.line })),
    disagree,
  );
  checkShown(evidence, disagree);
  const floorM2 = findings.slab.kind === "ready" ? findings.slab.value.area : Number.NaN;
  const usual = Math.min(0.5, Math.max(0.15, 1.5 * Math.sqrt(floorM2 / scan.xM.length)));
  const reach = spec.pin_reach === undefined ? usual : lengthMm(spec.pin_reach, planMm) / 1000;
  if (!agrees(reach, scan.pinReach))
    disagree("scan-lost", `pins reach ${reach} m into the scan, ${scan.pinReach} m are told`);
  const near = buckets(scan, reach);
  for (const point of points) {
    if (point.ofScan !== undefined) continue;
    const level = levelByPlane(scan, near(point.at), point.at, point.roomIndex, reach);
    if (!agrees(point.level, level, NOTHING_MM))
      disagree(
        "level-off-readings",
        `${point.id} is levelled at ${point.level} mm; the scan round it gives ${level} mm`,
      );
  }
}

type Scan = NonNullable<Extract<Evidence["findings"]["levels"], { kind: "ready" }>["value"]["scan"]>;

/** Where a row of the file lies on the plan. */
function placing(fit: Scan["fit"]): (row: XY) => XY {
  if (fit === undefined) return ({ x, y }) => ({ x, y });
  const [cos, sin] = [Math.cos(fit.turn), Math.sin(fit.turn)];
  return ({ x, y }) => ({ x: fit.origin.x + x * cos - y * sin, y: fit.origin.y + x * sin + y * cos });
}

/** At the least of their squares the residuals add up to nothing, and so do their moments about any point of the plan. */
function checkFit(fit: NonNullable<Scan["fit"]>, disagree: Disagree): void {
  const at = placing(fit);
  let [east, north, moment] = [0, 0, 0];
  const [first] = fit.points;
  for (const { inFile, onPlan, residual } of fit.points) {
    const here = at(inFile);
    const [dx, dy] = [onPlan.x - here.x, onPlan.y - here.y];
    east += dx;
    north += dy;
    moment += (here.x - (first?.onPlan.x ?? 0)) * dy - (here.y - (first?.onPlan.y ?? 0)) * dx;
    if (!agrees(Math.hypot(dx, dy), residual, NOTHING_M) || residual > 0.02 + NOTHING_M)
      disagree("fit-differs", `a known point is off by ${Math.hypot(dx, dy)} m, told as ${residual} m`);
  }
  if (!(Math.max(Math.abs(east), Math.abs(north), Math.abs(moment)) <= 1e-6))
    disagree("fit-differs", `the residuals of the known points add up to ${east} and ${north} m, moment ${moment}`);
}

/** Rows that lie on a floor are points of the scan, as they stand in the file, and vertices of the surface. */
function checkRows(
  { findings }: Evidence,
  rows: readonly (XY & { readonly levelMm: number; readonly line: number })[],
  disagree: Disagree,
): void {
  const { plan, levels, slab } = findings;
  if (levels.kind !== "ready" || slab.kind !== "ready") return;
  const scan = levels.value.scan as Scan;
  const { mesh, levelMm, vertexOfScan } = slab.value;
  const inside = floorTest(plan.floors.map(({ polygon }) => polygon));
  const lowest = new Float64Array(levelMm.length).fill(Number.POSITIVE_INFINITY);
  const highest = new Float64Array(levelMm.length).fill(Number.NEGATIVE_INFINITY);
  for (const [k, point] of levels.value.points.entries()) {
    const vertex = slab.value.vertexOfPoint[k] as number;
    lowest[vertex] = Math.min(lowest[vertex] as number, point.level);
    highest[vertex] = Math.max(highest[vertex] as number, point.level);
  }
  let next = 0;
  for (const row of rows) {
    if (scan.line[next] !== row.line) {
      if (inside(row) === "in") disagree("scan-lost", `line ${row.line} of the scan lies on a floor and is left out`);
      continue;
    }
    const k = next++;
    if (inside(row) === "out") disagree("scan-off-floor", `line ${row.line} of the scan lies on no floor and counts`);
    const same =
      agrees(scan.xM[k] as number, row.x, NOTHING_M) &&
      agrees(scan.yM[k] as number, row.y, NOTHING_M) &&
      agrees(scan.levelMm[k] as number, row.levelMm, NOTHING_MM);
    if (!same) {
      disagree(
        "reading-differs",
        `line ${row.line} of the scan gives ${row.levelMm} mm at ${row.x}, ${row.y}; the packet has ${scan.levelMm[k]} mm at ${scan.xM[k]}, ${scan.yM[k]}`,
      );
    }
    const vertex = vertexOfScan?.[k] ?? -1;
    const off = Math.hypot((mesh.xM[vertex] ?? Number.NaN) - row.x, (mesh.yM[vertex] ?? Number.NaN) - row.y);
    if (!(off <= AT_WALL_M))
      disagree("surface-misses-reading", `the surface has no vertex at line ${row.line} of the scan`);
    lowest[vertex] = Math.min(lowest[vertex] as number, row.levelMm);
    highest[vertex] = Math.max(highest[vertex] as number, row.levelMm);
  }
  if (next !== scan.xM.length)
    disagree("scan-lost", `${scan.xM.length} points of the scan, ${next} of them in the file`);
  for (let v = 0; v < levelMm.length; v++) {
    if (lowest[v] === Number.POSITIVE_INFINITY) continue;
    const level = levelMm[v] as number;
    if (!(level >= (lowest[v] as number) - NOTHING_MM && level <= (highest[v] as number) + NOTHING_MM))
      disagree(
        "surface-misses-reading",
        `the surface lies at ${level} mm where the scan has ${lowest[v]} to ${highest[v]} mm`,
      );
  }
}

/** By the sum of turns at the place (winding number), with what is next to an edge told apart. */
function floorTest(
  floors: readonly { readonly outline: readonly XY[]; readonly holes: readonly (readonly XY[])[] }[],
): (p: XY) => "in" | "out" | "edge" {
  const rings = floors.map(({ outline, holes }) => [outline, ...holes].map(ringWithBox));
  return (p) => {
    let answer: "in" | "out" = "out";
    for (const [outline, ...holes] of rings) {
      const where = outline === undefined ? 0 : outline(p);
      if (where === "edge") return "edge";
      if (where === 0) continue;
      let within = true;
      for (const hole of holes) {
        const there = hole(p);
        if (there === "edge") return "edge";
        if (there !== 0) within = false;
      }
      if (within) answer = "in";
    }
    return answer;
  };
}

function ringWithBox(ring: readonly XY[]): (p: XY) => number | "edge" {
  const west = Math.min(...ring.map(({ x }) => x)) - AT_WALL_M;
  const east = Math.max(...ring.map(({ x }) => x)) + AT_WALL_M;
  const south = Math.min(...ring.map(({ y }) => y)) - AT_WALL_M;
  const north = Math.max(...ring.map(({ y }) => y)) + AT_WALL_M;
  return (p) => {
    if (p.x < west || p.x > east || p.y < south || p.y > north) return 0;
    let turns = 0;
    for (let k = 0; k < ring.length; k++) {
      const a = ring[k] as XY;
      const b = ring[(k + 1) % ring.length] as XY;
      const [dx, dy] = [b.x - a.x, b.y - a.y];
      const along = Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy)));
      if (Math.hypot(a.x + along * dx - p.x, a.y + along * dy - p.y) <= AT_WALL_M) return "edge";
      const side = dx * (p.y - a.y) - dy * (p.x - a.x);
      if (a.y <= p.y && b.y > p.y && side > 0) turns += 1;
      if (a.y > p.y && b.y <= p.y && side < 0) turns -= 1;
    }
    return turns;
  };
}

/** Each square that holds a point shows just one, and no more than half of its points lie above it, or below. */
function checkShown({ findings }: Evidence, disagree: Disagree): void {
  if (findings.levels.kind !== "ready") return;
  const { scan, points } = findings.levels.value;
  if (scan === undefined) return;
  for (const { ofScan, level, id } of points) {
    if (ofScan !== undefined && !agrees(level, scan.levelMm[ofScan] as number, 0))
      disagree("reading-differs", `${id} is shown at ${level} mm; the scan has ${scan.levelMm[ofScan]} mm there`);
  }
  const told = points.filter(({ ofScan }) => ofScan !== undefined).length;
  if (told !== scan.shown.length || (scan.squareSide === undefined && told !== scan.xM.length))
    disagree("scan-lost", `${scan.shown.length} points of the scan are to be shown, ${told} are`);
  const side = scan.squareSide;
  if (side === undefined) return;
  const corners = findings.plan.floors.flatMap(({ polygon }) => polygon.outline);
  const west = corners.reduce((least, { x }) => Math.min(least, x), Number.POSITIVE_INFINITY);
  const south = corners.reduce((least, { y }) => Math.min(least, y), Number.POSITIVE_INFINITY);
  const east = corners.reduce((most, { x }) => Math.max(most, x), Number.NEGATIVE_INFINITY);
  const north = corners.reduce((most, { y }) => Math.max(most, y), Number.NEGATIVE_INFINITY);
  const lastColumn = Math.floor((east - west) / side);
  const lastRow = Math.floor((north - south) / side);
  const squareOf = (k: number): string =>
    [
      scan.roomOf[k],
      Math.min(lastColumn, Math.floor(((scan.xM[k] as number) - west) / side)),
      Math.min(lastRow, Math.floor(((scan.yM[k] as number) - south) / side)),
    ].join(" ");
  const shownIn = new Map<string, number>();
  for (const k of scan.shown) {
    if (shownIn.has(squareOf(k))) disagree("square-shown-twice", `square ${squareOf(k)} shows two points`);
    shownIn.set(squareOf(k), k);
  }
  const counts = new Map<string, { below: number; above: number; all: number }>();
  for (let k = 0; k < scan.xM.length; k++) {
    const square = squareOf(k);
    const shown = shownIn.get(square);
    if (shown === undefined) {
      disagree("square-not-shown", `square ${square} holds line ${scan.line[k]} and shows nothing`);
      continue;
    }
    const count = counts.get(square) ?? { below: 0, above: 0, all: 0 };
    const off = (scan.levelMm[k] as number) - (scan.levelMm[shown] as number);
    count.all += 1;
    if (off < 0) count.below += 1;
    if (off > 0) count.above += 1;
    counts.set(square, count);
  }
  for (const [square, { below, above, all }] of counts) {
    if (below > all / 2 || above > all / 2)
      disagree("square-not-middle", `square ${square} shows a point with ${below} below and ${above} above of ${all}`);
  }
}

/** Points by squares of the reach. */
function buckets({ xM, yM }: Scan, reach: number): (at: XY) => number[] {
  const key = (i: number, j: number): number => i * 2 ** 26 + j;
  const found = new Map<number, number[]>();
  for (let k = 0; k < xM.length; k++) {
    const place = key(Math.floor((xM[k] as number) / reach), Math.floor((yM[k] as number) / reach));
    const there = found.get(place);
    if (there) there.push(k);
    else found.set(place, [k]);
  }
  return ({ x, y }) =>
    [-1, 0, 1].flatMap((i) =>
      [-1, 0, 1].flatMap((j) => found.get(key(Math.floor(x / reach) + i, Math.floor(y / reach) + j)) ?? []),
    );
}

/** The height at a place of the plane with the least squares, by Cramer's rule on the three normal equations. */
function levelByPlane(
  { xM, yM, levelMm, roomOf }: Scan,
  near: readonly number[],
  at: XY,
  roomIndex: number,
  reach: number,
): number {
  let [n, sx, sy, sxx, sxy, syy, sz, sxz, syz] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (const k of near) {
    const x = (xM[k] as number) - at.x;
    const y = (yM[k] as number) - at.y;
    if (roomOf[k] !== roomIndex || Math.hypot(x, y) > reach) continue;
    const z = levelMm[k] as number;
    n += 1;
    sx += x;
    sy += y;
    sxx += x * x;
    sxy += x * y;
    syy += y * y;
    sz += z;
    sxz += x * z;
    syz += y * z;
  }
  const whole = n * (sxx * syy - sxy * sxy) - sx * (sx * syy - sxy * sy) + sy * (sx * sxy - sxx * sy);
  const first = sz * (sxx * syy - sxy * sxy) - sx * (sxz * syy - sxy * syz) + sy * (sxz * sxy - sxx * syz);
  return first / whole;
}
