/** The surface: it has the floor's area, leaks nowhere, passes through the readings, and holds the volume. */
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import { topAgainMm, visitFloor } from "./second-top.ts";
import { triangleVolumeByLayersL } from "./second-volume.ts";

interface XY {
  readonly x: number;
  readonly y: number;
}

/** Half the cross products round a ring (the surveyor's area formula), from its first corner. */
function ringArea(ring: readonly XY[]): number {
  const [first] = ring;
  if (first === undefined) return 0;
  let twice = 0;
  for (let k = 1; k + 1 < ring.length; k++) {
    const a = ring[k] as XY;
    const b = ring[k + 1] as XY;
    twice += (a.x - first.x) * (b.y - first.y) - (b.x - first.x) * (a.y - first.y);
  }
  return twice / 2;
}

const ringLength = (ring: readonly XY[]): number =>
  ring.reduce((sum, { x, y }, k) => {
    const next = ring[(k + 1) % ring.length] as XY;
    return sum + Math.hypot(next.x - x, next.y - y);
  }, 0);

/** A strip along a wall that may be no triangle's: thinner than a hair by far. */
const SLIVER_M = 2e-6;

export function checkSurface({ findings }: Evidence, disagree: Disagree): void {
  const { plan, levels, slab } = findings;
  if (levels.kind !== "ready" || slab.kind !== "ready") return;
  const { mesh, levelMm, vertexOfPoint } = slab.value;

  const areaByOutlines = plan.floors.map(
    ({ polygon }) =>
      Math.abs(ringArea(polygon.outline)) - polygon.holes.reduce((sum, hole) => sum + Math.abs(ringArea(hole)), 0),
  );
  const areaByTriangles = areaByOutlines.map(() => 0);
  /** Each side of each triangle as one number: where it begins times the count of vertices, and where it ends. */
  const sides = new Float64Array(mesh.corners.length);
  const vertices = mesh.xM.length;
  for (let t = 0; t < mesh.regionOf.length; t++) {
    const [a, b, c] = [0, 1, 2].map((k) => mesh.corners[3 * t + k] as number) as [number, number, number];
    const area = triangleArea(mesh, a, b, c);
    if (!(area > 0)) disagree("triangle-turned-over", `triangle ${t} of the surface has an area of ${area} m²`);
    areaByTriangles[mesh.regionOf[t] as number] = (areaByTriangles[mesh.regionOf[t] as number] ?? 0) + area;
    sides[3 * t] = a * vertices + b;
    sides[3 * t + 1] = b * vertices + c;
    sides[3 * t + 2] = c * vertices + a;
  }
  sides.sort();
  for (let k = 1; k < sides.length; k++) {
    const side = sides[k] as number;
    if (side === sides[k - 1]) {
      const from = Math.floor(side / vertices);
      disagree(
        "triangles-overlap",
        `two triangles lie on the same side of the edge from vertex ${from} to ${side - from * vertices}`,
      );
    }
  }
  for (const [room, area] of areaByOutlines.entries()) {
    const { outline = [], holes = [] } = plan.floors[room]?.polygon ?? {};
    const alongWalls = [outline, ...holes].reduce((sum, ring) => sum + ringLength(ring), 0);
    if (!agrees(area, areaByTriangles[room] ?? 0, Math.max(1e-6 * Math.max(1, area), SLIVER_M * alongWalls))) {
      disagree(
        "area-differs",
        `room ${plan.floors[room]?.roomId} has ${area} m² by its outline, ${areaByTriangles[room]} m² by its triangles`,
      );
    }
  }
  // Of a scan the points are held against the file besides.
  const scanned = levels.value.scan !== undefined;
  const spans = new Map<number, { least: number; greatest: number }>();
  for (const [k, point] of levels.value.points.entries()) {
    const vertex = vertexOfPoint[k] as number;
    const span = spans.get(vertex) ?? { least: point.level, greatest: point.level };
    spans.set(vertex, { least: Math.min(span.least, point.level), greatest: Math.max(span.greatest, point.level) });
  }
  for (const [k, point] of levels.value.points.entries()) {
    const vertex = vertexOfPoint[k] as number;
    const there =
      Math.hypot((mesh.xM[vertex] as number) - point.at.x, (mesh.yM[vertex] as number) - point.at.y) <= 1e-3;
    if (!there) disagree("surface-misses-reading", `the surface has no vertex at ${point.id}`);
    if (scanned) continue;
    // Two readings at one place share a vertex, whose level lies between them.
    const { least, greatest } = spans.get(vertex) as { least: number; greatest: number };
    const level = levelMm[vertex] as number;
    if (level < least - 1e-6 || level > greatest + 1e-6) {
      disagree(
        "surface-misses-reading",
        `the surface lies at ${level} mm at ${point.id}, which was read at ${point.level} mm`,
      );
    }
  }
}

/** Half the cross product of two of its sides. */
function triangleArea(
  { xM, yM }: { readonly xM: Float64Array; readonly yM: Float64Array },
  a: number,
  b: number,
  c: number,
): number {
  const [ax, ay] = [xM[a] as number, yM[a] as number];
  return (
    (((xM[b] as number) - ax) * ((yM[c] as number) - ay) - ((xM[c] as number) - ax) * ((yM[b] as number) - ay)) / 2
  );
}

export function checkVolume({ findings }: Evidence, disagree: Disagree): void {
  const { job, plan, slab, target, depths } = findings;
  if (slab.kind !== "ready" || target.kind !== "ready" || depths.kind !== "ready") return;
  const toOrder = plan.floors.map(() => 0);
  let asRead = 0;
  const isCovered = visitFloor(slab.value, target.value, plan, ({ room, zone, corners, areaM2 }) => {
    const least = (zone.material ?? job.material).depthOn[job.floor.substrate]?.least ?? Number.NaN;
    const depthsMm = corners.map((corner) => topAgainMm(zone, corner) - corner.levelMm);
    toOrder[room] = (toOrder[room] ?? 0) + triangleVolumeByLayersL(areaM2, depthsMm, least);
    asRead += triangleVolumeByLayersL(areaM2, depthsMm, 0);
  });
  if (!isCovered) {
    disagree("room-without-target", "a room has no top of the pour");
    return;
  }
  const sum = toOrder.reduce((a, b) => a + b, 0);
  // Depths are kept to a millionth of a millimetre: over the floor that is this many litres at the most.
  const within = 1e-6 * depths.value.area + 1e-7 * sum;
  const compare = (what: string, mine: number, theirs: number) => {
    if (!agrees(mine, theirs, within))
      disagree("volume-differs", `${what} is ${mine} L by layers, ${theirs} L in the packet`);
  };
  compare("the volume to order", sum, depths.value.volumeToOrder);
  compare("the volume as read", asRead, depths.value.volumeAsRead);
  for (const { roomIndex, volumeToOrder } of depths.value.rooms) {
    compare(`the volume of room ${plan.floors[roomIndex]?.roomId}`, toOrder[roomIndex] ?? 0, volumeToOrder);
  }
  const { proudArea, thinArea, pouredArea, area, bands } = depths.value;
  const areaWithin = 1e-6 * Math.max(1, area);
  if (!agrees(proudArea + thinArea + pouredArea, area, areaWithin)) {
    disagree(
      "classes-differ",
      `proud, thin and poured floor make ${proudArea + thinArea + pouredArea} m² of ${area} m²`,
    );
  }
  const banded = bands.reduce((total, band) => total + band.area, 0);
  if (!agrees(banded, area, areaWithin)) disagree("bands-differ", `the depth bands make ${banded} m² of ${area} m²`);
  const inBands = bands.reduce((total, band) => total + band.volume, 0);
  if (!agrees(inBands, depths.value.volumeToOrder, within)) {
    disagree("bands-differ", `the depth bands hold ${inBands} L of ${depths.value.volumeToOrder} L`);
  }
}
