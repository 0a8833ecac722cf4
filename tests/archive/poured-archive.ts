/**
 * An archive of poured jobs whose truth is known: sloped slabs poured level, read by instruments of a known noise,
 * with bags as a known loss, yield and crew make them. Invented.
 */
import { randomFrom } from "../../src/numeric/random.ts";
import type { Past } from "../../src/pages/past.ts";

/** Shares and their standard deviations from job to job; losses are those apart from the yield. */
export const TRUTH = {
  materials: {
    "cement-25kg": { loss: 0.05, yieldRatio: 0.98, yieldL: 15.2, bagKg: 25, waterL: 5 },
    "gypsum-50lb": { loss: 0.08, yieldRatio: 1.01, yieldL: 0.53 * 28.316846592, bagKg: 22.6796185, waterL: 5.205 },
  },
  crews: { "one-barrel": 0.012, "two-barrel": -0.004, "four-barrel": -0.008 },
  /** Change of the loss with a millimetre more of depth, from the depth at which the losses hold. */
  perMm: -0.0004,
  depthMm: 20,
  spread: 0.008,
  yieldSpread: 0.005,
  /** Of one reading, mm; the library states 0.5 and 0.7. */
  noiseMm: { "hose-level": 0.8, "optical-level": 0.5 },
} as const;

type MaterialId = keyof typeof TRUTH.materials;
type CrewId = keyof typeof TRUTH.crews;
type InstrumentId = keyof typeof TRUTH.noiseMm;

/** The library's usual profile allowance, mm. */
const PROFILE_MM = 0.5;
const SPACING_M = 1.5;

interface MadeRoom {
  readonly id: string;
  readonly east: number;
  readonly widthM: number;
  readonly lengthM: number;
  readonly depthMm: number;
  readonly material: MaterialId;
}

export const pouredId = (number: number): string => `poured-${String(number).padStart(4, "0")}`;

/** The loss that the data sheet's yield shows, on the average of jobs. */
export function lossAtDataSheetYield(material: MaterialId, crew: CrewId | undefined, depthMm: number): number {
  const { loss, yieldRatio } = TRUTH.materials[material];
  const own = loss + (crew === undefined ? 0 : TRUTH.crews[crew]) + TRUTH.perMm * (depthMm - TRUTH.depthMm);
  return (1 + own) / yieldRatio - 1;
}

/** Text of a job that was poured and read again; every fourth has a second room in the other material. */
export function pouredJobText(number: number): string {
  const random = randomFrom(7919 * (number + 1));
  const pick = <T>(of: readonly T[]): T => of[random.below(of.length)] as T;
  const materials = Object.keys(TRUTH.materials) as MaterialId[];
  const material = pick(materials);
  const crew = pick(Object.keys(TRUTH.crews) as CrewId[]);
  const instrument = pick(Object.keys(TRUTH.noiseMm) as InstrumentId[]);
  const other = materials.find((one) => one !== material) as MaterialId;
  const size = () => Math.round(60 + 30 * random.uniform()) / 10;
  const first: MadeRoom = {
    id: "hall",
    east: 0,
    widthM: size(),
    lengthM: size(),
    depthMm: 12 + 20 * random.uniform(),
    material,
  };
  const rooms: MadeRoom[] = [first];
  if (number % 4 === 3)
    rooms.push({
      id: "store",
      east: first.widthM + 0.2,
      widthM: size(),
      lengthM: size(),
      depthMm: 12 + 20 * random.uniform(),
      material: other,
    });
  const tilt = { east: 1.2 * (random.uniform() - 0.5), north: 1.2 * (random.uniform() - 0.5) };
  const levelAt = ({ east, widthM, lengthM, depthMm }: MadeRoom, x: number, y: number): number =>
    -depthMm + tilt.east * (x - east - widthM / 2) + tilt.north * (y - lengthM / 2);
  const noise = () => TRUTH.noiseMm[instrument] * random.normal();
  // In the order of rows of letters, every point of every room; `-` where there is no floor.
  const sheet = (value: (room: MadeRoom, x: number, y: number) => number): string => {
    const rows: string[] = [];
    const last = rooms.at(-1) as MadeRoom;
    for (let y = 0.6, k = 0; y < Math.max(...rooms.map(({ lengthM }) => lengthM)); y += SPACING_M, k += 1) {
      const cells: string[] = [];
      for (let x = 0.6; x < last.east + last.widthM; x += SPACING_M) {
        const room = rooms.find(
          ({ east, widthM, lengthM }) => x > east + 0.05 && x < east + widthM - 0.05 && y < lengthM - 0.05,
        );
        cells.push(room === undefined ? "-" : (value(room, x, y) + noise()).toFixed(1));
      }
      rows.push(`        ${"ABCDEFGH"[k]}  ${cells.join("  ")}`);
    }
    return rows.join("\n");
  };
  const survey = (id: string, value: (room: MadeRoom, x: number, y: number) => number): string => `    - id: ${id}
      instrument: ${instrument}
      reservoir: [1, 1]
      numbers_are: above zero, minus is below
      readings: |
${sheet(value)}`;
  const top = 0.4 * random.normal();
  const risen = rooms.map((room) => ({ room, litres: room.widthM * room.lengthM * (room.depthMm + top) }));
  const weighs = number % 2 === 0;
  const poured = risen.map(({ room, litres }) => {
    const truth = TRUTH.materials[room.material];
    const yieldL = truth.yieldL * truth.yieldRatio * (1 + TRUTH.yieldSpread * random.normal());
    const loss =
      truth.loss + TRUTH.crews[crew] + TRUTH.perMm * (room.depthMm - TRUTH.depthMm) + TRUTH.spread * random.normal();
    const filled = litres + PROFILE_MM * room.widthM * room.lengthM;
    return { room, yieldL, bags: Math.round((filled * (1 + loss)) / yieldL) };
  });
  let minute = 7 * 60;
  let batch = 0;
  const batches: string[] = [];
  const clock = (at: number) => `${String(Math.floor(at / 60)).padStart(2, "0")}:${String(at % 60).padStart(2, "0")}`;
  for (const { room, yieldL, bags } of poured) {
    const { bagKg, waterL } = TRUTH.materials[room.material];
    for (let left = bags; left > 0; left -= 2) {
      batch += 1;
      const density =
        weighs && batch % 6 === 1
          ? `, density: ${(((bagKg + waterL) / yieldL) * (1 + 0.004 * random.normal())).toFixed(4)} kg/L`
          : "";
      batches.push(
        `    - { batch: ${batch}, bags: ${Math.min(2, left)}, mixed: ${clock(minute)}, placed: ${clock(minute + 5)}, lot: ${room.id}${density} }`,
      );
      minute += 2;
    }
  }
  return `job: ${pouredId(number)}
title: Poured floor ${number}
units: { plan: m, height: mm }
paper: a4
rooms:
${rooms
  .map(
    ({ id, east, widthM, lengthM }) => `  - id: ${id}
    name: ${id}
    start: [${east.toFixed(1)}, 0]
    walls: E ${widthM} m, N ${lengthM} m, W ${widthM} m, S ${lengthM} m`,
  )
  .join("\n")}
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [0.6, 0.6], spacing: ${SPACING_M} m }
  set_ups:
${survey("S1", levelAt)}
${survey("S2", levelAt)}
target:
${
  rooms.length === 1
    ? "  top: 0 mm"
    : `  zones:
    - { rooms: [hall], top: 0 mm }
    - { rooms: [store], top: 0 mm, material: ${other} }`
}
material: ${material}
crew: ${crew}
contract:
  rules:
    - { kind: straightedge, edge: 2 m, gap: 4 mm, contact: between-contacts, source: spec }
    - { kind: level, plus_minus: 3 mm, source: spec }
results:
  poured: 2027-03-04
  lots: [${poured.map(({ room, bags }) => `{ lot: ${room.id}, bags: ${bags}, material: ${room.material} }`).join(", ")}]
  batches:
${batches.join("\n")}
finished:
  poured: 2027-03-04
  date: 2027-03-06
  grid: { origin: [0.6, 0.6], spacing: ${SPACING_M} m }
  set_ups:
${survey("F1", () => top)}
${survey("F2", () => top)}
`;
}

/** A job like these that is still to be poured. */
export function comingJobText(id: string, extra: string): string {
  return pouredJobText(0)
    .replace(/^job: .*$/m, `job: ${id}`)
    .replace(/^title: .*$/m, "title: A floor to come")
    .replace(/^results:[\s\S]*/m, extra);
}

/** By how many of its stated standard deviations each figure is off the truth. */
export function offTruth(past: Past): { readonly what: string; readonly off: number }[] {
  const { loss, weighed, lossApart, noise } = past;
  const found: { what: string; off: number }[] = [];
  const hold = (what: string, truth: number, estimate: { readonly value: number; readonly sd: number } | undefined) => {
    if (estimate !== undefined) found.push({ what, off: (estimate.value - truth) / estimate.sd });
  };
  for (const [id, truth] of Object.entries(TRUTH.materials)) {
    const material = id as MaterialId;
    hold(`loss of ${id}`, lossAtDataSheetYield(material, undefined, loss.fit?.meanX ?? 0), loss.fit?.groups.get(id));
    hold(`yield of ${id}`, truth.yieldRatio - 1, weighed.fit?.groups.get(id));
    const apart = truth.loss + TRUTH.perMm * ((lossApart.fit?.meanX ?? 0) - TRUTH.depthMm);
    hold(`loss of ${id} apart from its yield`, apart, lossApart.fit?.groups.get(id));
  }
  for (const [id, more] of Object.entries(TRUTH.crews)) hold(`crew ${id}`, more, loss.fit?.teams.get(id));
  hold("change with depth", TRUTH.perMm, loss.fit?.slope);
  for (const { instrumentId, factor, factorSd, statedSdMm } of noise)
    hold(`noise of ${instrumentId}`, TRUTH.noiseMm[instrumentId as InstrumentId] / statedSdMm, {
      value: factor,
      sd: factorSd,
    });
  return found;
}
