/** Figures that stand beside the volumes: extremes, bands, lifts, primer and loads, each worked out again. */
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import { topAgainMm, visitFloor } from "./second-top.ts";

/** Depths are kept to a millionth of a millimetre, and a top that falls to a drain is cut along its planes. */
const SAME_MM = 1e-4;

/** Straight pieces of floor: room, area, and the depths at the corners, rising. A scan has millions, so no object each. */
interface Pieces {
  readonly room: number[];
  readonly areaM2: number[];
  readonly lowMm: number[];
  readonly middleMm: number[];
  readonly highMm: number[];
}

/** The area of piece k that lies less deep than a level: sorted depths cut a triangle in similar ones. */
function shallowerM2({ areaM2, lowMm, middleMm, highMm }: Pieces, k: number, levelMm: number): number {
  const [area, a, b, c] = [areaM2[k], lowMm[k], middleMm[k], highMm[k]] as [number, number, number, number];
  if (levelMm <= a + SAME_MM) return 0;
  if (levelMm > c + SAME_MM) return area;
  if (levelMm <= b) return (area * (levelMm - a) ** 2) / ((b - a) * (c - a));
  if (c - b < SAME_MM) return area * Math.min(1, (levelMm - a) / (b - a)) ** 2;
  return area * (1 - (c - levelMm) ** 2 / ((c - a) * (c - b)));
}

/** The same over all pieces, or those of some rooms. */
function allShallowerM2(pieces: Pieces, levelMm: number, rooms?: readonly number[]): number {
  let sum = 0;
  for (let k = 0; k < pieces.room.length; k++)
    if (rooms === undefined || rooms.includes(pieces.room[k] as number)) sum += shallowerM2(pieces, k, levelMm);
  return sum;
}

/** Lines of equal depth lie at every multiple of one step that the floor has, every fifth of them heavier. */
function checkContours({ findings: { depths } }: Evidence, disagree: Disagree): void {
  if (depths.kind !== "ready") return;
  const { contours, least, greatest } = depths.value;
  const [first, second] = contours;
  if (first === undefined || second === undefined) return;
  const stepMm = second.depth - first.depth;
  for (const [k, { depth, index }] of contours.entries()) {
    const multiple = Math.round(depth / stepMm);
    const isNext = agrees(depth - first.depth, k * stepMm, SAME_MM) && agrees(depth, multiple * stepMm, SAME_MM);
    if (!isNext || depth < least - SAME_MM || depth > greatest + SAME_MM || index !== (multiple % 5 === 0))
      disagree("contours-differ", `the line of ${depth} mm is none of every ${stepMm} mm from ${least} to ${greatest}`);
  }
}

export function checkFigures(evidence: Evidence, disagree: Disagree): void {
  const { slab, target, plan } = evidence.findings;
  checkPrimer(evidence, disagree);
  checkLoads(evidence, disagree);
  checkContours(evidence, disagree);
  if (slab.kind !== "ready" || target.kind !== "ready") return;
  const pieces: Pieces = { room: [], areaM2: [], lowMm: [], middleMm: [], highMm: [] };
  const whole = visitFloor(slab.value, target.value, plan, ({ room, zone, corners: [p, q, r], areaM2 }) => {
    if (p === undefined || q === undefined || r === undefined) return;
    const [a, b, c] = [
      topAgainMm(zone, p) - p.levelMm,
      topAgainMm(zone, q) - q.levelMm,
      topAgainMm(zone, r) - r.levelMm,
    ];
    pieces.room.push(room);
    pieces.areaM2.push(areaM2);
    pieces.lowMm.push(Math.min(a, b, c));
    pieces.middleMm.push(Math.max(Math.min(a, b), Math.min(Math.max(a, b), c)));
    pieces.highMm.push(Math.max(a, b, c));
  });
  if (!whole) return;
  checkExtremes(evidence, pieces, disagree);
  checkBands(evidence, pieces, disagree);
  checkLifts(evidence, pieces, disagree);
}

function checkExtremes({ findings: { depths, slab } }: Evidence, pieces: Pieces, disagree: Disagree): void {
  if (depths.kind !== "ready" || slab.kind !== "ready") return;
  const { least, greatest, mean, area, volumeToOrder, rooms } = depths.value;
  const nothing = { low: Number.POSITIVE_INFINITY, high: Number.NEGATIVE_INFINITY };
  const floor = { ...nothing };
  const byRoom = new Map(rooms.map(({ roomIndex }) => [roomIndex, { ...nothing }]));
  for (let k = 0; k < pieces.room.length; k++)
    for (const ends of [floor, byRoom.get(pieces.room[k] as number) ?? floor]) {
      ends.low = Math.min(ends.low, pieces.lowMm[k] as number);
      ends.high = Math.max(ends.high, pieces.highMm[k] as number);
    }
  const compare = (where: string, { low, high }: typeof nothing, theirs: { least: number; greatest: number }) => {
    if (!agrees(low, theirs.least, SAME_MM) || !agrees(high, theirs.greatest, SAME_MM)) {
      disagree(
        "depth-differs",
        `${where} is ${low} to ${high} mm deep by another way, ${theirs.least} to ${theirs.greatest} mm in the packet`,
      );
    }
  };
  compare("the floor", floor, { least, greatest });
  for (const room of rooms) compare(`room ${room.roomIndex + 1}`, byRoom.get(room.roomIndex) ?? nothing, room);
  if (!agrees(mean * area, volumeToOrder))
    disagree("depth-differs", `a mean of ${mean} mm over ${area} m² is not ${volumeToOrder} L`);
  if (!agrees(slab.value.area, area, 1e-6 * Math.max(1, area)))
    disagree("area-differs", `the slab has ${slab.value.area} m², the pour ${area} m²`);
}

/** Bands follow each other from the shallowest to the deepest place, and each has the floor that lies between its ends. */
function checkBands({ findings: { depths } }: Evidence, pieces: Pieces, disagree: Disagree): void {
  if (depths.kind !== "ready") return;
  const { bands, area, least, greatest } = depths.value;
  const upTo = (levelMm: number) => allShallowerM2(pieces, levelMm);
  for (const [k, { number, from, to, area: theirs }] of bands.entries()) {
    const next = bands[k + 1];
    if (number !== k + 1 || (next !== undefined && next.from !== to))
      disagree("bands-differ", `band ${number} ends at ${to} mm, the next one begins at ${next?.from} mm`);
    const last = next === undefined;
    if (
      (k === 0 && from !== undefined && from > least + SAME_MM) ||
      (last && to !== undefined && to < greatest - SAME_MM)
    )
      disagree("bands-differ", `bands from ${bands[0]?.from} to ${to} mm do not hold ${least} to ${greatest} mm`);
    const mine = (last || to === undefined ? area : upTo(to)) - (k === 0 || from === undefined ? 0 : upTo(from));
    if (!agrees(mine, theirs, 1e-4 * Math.max(1, area)))
      disagree("bands-differ", `band ${number} is ${mine} m² by another way, ${theirs} m² in the packet`);
  }
}

/** Lifts are equally thick at the deepest place of their material; each takes the floor that lies deeper than its top. */
function checkLifts({ findings }: Evidence, pieces: Pieces, disagree: Disagree): void {
  const { depths, quantities } = findings;
  if (depths.kind !== "ready" || quantities.kind !== "ready") return;
  const parts = depths.value.parts;
  const orders = [
    { lifts: quantities.value.lifts, rooms: parts?.[0]?.roomIndices },
    ...(quantities.value.otherMaterials ?? []).map(({ lifts, roomIndices }) => ({ lifts, rooms: roomIndices })),
  ];
  for (const { lifts, rooms } of orders) {
    let [deepest, areaM2] = [Number.NEGATIVE_INFINITY, 0];
    for (let k = 0; k < pieces.room.length; k++) {
      if (rooms !== undefined && !rooms.includes(pieces.room[k] as number)) continue;
      deepest = Math.max(deepest, pieces.highMm[k] as number);
      areaM2 += pieces.areaM2[k] as number;
    }
    if (areaM2 === 0) continue;
    for (const [k, { number, thickness, topBelowTarget, area }] of lifts.entries()) {
      const above = (lifts.length - 1 - k) * thickness;
      const mine = above === 0 ? areaM2 : areaM2 - allShallowerM2(pieces, above, rooms);
      if (
        number !== k + 1 ||
        !agrees(thickness * lifts.length, deepest, SAME_MM * lifts.length) ||
        !agrees(topBelowTarget, above, SAME_MM) ||
        !agrees(area, mine, 1e-4 * Math.max(1, areaM2))
      ) {
        disagree(
          "lift-differs",
          `lift ${number} of ${lifts.length} is ${thickness} mm thick on ${area} m², its top ${topBelowTarget} mm below; ` +
            `the floor is ${deepest} mm deep, and ${mine} m² of it lie deeper than ${above} mm`,
        );
      }
    }
  }
}

/** Each coat covers the floor at its rate, and is as thin as the data sheet says. */
function checkPrimer({ findings: { job, depths, quantities } }: Evidence, disagree: Disagree): void {
  if (depths.kind !== "ready" || quantities.kind !== "ready") return;
  const { area, coats, concentrate } = quantities.value.primer;
  const given = job.primer.coatsOn[job.floor.absorbency];
  const wrong = coats.find(
    (coat, k) =>
      coat.number !== k + 1 ||
      !agrees(coat.mixed * (given[k]?.coverage ?? Number.NaN), depths.value.area) ||
      !agrees(coat.concentrate * (given[k]?.waterToOne ?? Number.NaN), coat.water) ||
      !agrees(coat.concentrate + coat.water, coat.mixed),
  );
  const sum = coats.reduce((so, coat) => so + coat.concentrate, 0);
  if (
    wrong !== undefined ||
    coats.length !== given.length ||
    !agrees(area, depths.value.area) ||
    !agrees(sum, concentrate)
  )
    disagree(
      "primer-differs",
      wrong === undefined
        ? `${coats.length} coats with ${concentrate} L of primer on ${area} m² are not those of the data sheet`
        : `coat ${wrong.number} of primer, ${wrong.mixed} L with ${wrong.concentrate} L of concentrate, is not as the data sheet says`,
    );
}

function checkLoads({ findings: { job, quantities } }: Evidence, disagree: Disagree): void {
  if (quantities.kind !== "ready") return;
  const { bags, otherMaterials, palletLoad, againstAllowed, holds, greatestDeadLoad } = quantities.value;
  const { bagsPerPallet, palletTare, palletLength, palletWidth } = job.pour;
  const loadKg = Math.min(bags.toOrder, bagsPerPallet) * job.material.bag + palletTare;
  if (!agrees(palletLoad * palletLength * palletWidth, loadKg))
    disagree("pallet-load-differs", `a pallet weighs ${loadKg} kg; the packet has ${palletLoad} kg/m² under it`);
  for (const { material, bags: one } of [{ material: job.material, bags }, ...(otherMaterials ?? [])]) {
    if (
      !agrees(one.neat * material.yieldPerBag, one.volume) ||
      !agrees(one.profile * material.yieldPerBag, one.profileVolume)
    )
      disagree(
        "bags-differ",
        `${one.neat} and ${one.profile} bags of ${material.id} are not ${one.volume} and ${one.profileVolume} L`,
      );
  }
  const ordered = (otherMaterials ?? []).reduce((sum, other) => sum + other.bags.toOrder, bags.toOrder);
  if (
    againstAllowed !== undefined &&
    (againstAllowed.allowedBags !== job.contract.allowedBags ||
      againstAllowed.differenceBags !== ordered - againstAllowed.allowedBags)
  )
    disagree("allowed-differs", `${ordered} bags are ordered, and ${job.contract.allowedBags} allowed`);
  for (const { kind, valueKgM2 } of holds)
    if (valueKgM2 !== undefined && !agrees(valueKgM2, greatestDeadLoad))
      disagree("hold-differs", `${kind} says ${valueKgM2} kg/m², the greatest dead load is ${greatestDeadLoad} kg/m²`);
}
