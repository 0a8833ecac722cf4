/**
 * How often the volume that is to be enough nine times in ten is enough: made floors of three kinds, read on a grid with
 * noise, their slab made and their volume worked out as for a job, against the volume of the very floor.
 *
 *     npm run study:volume
 *
 * prints the table that the documentation quotes and keeps it in volume-study.json. Yield and datum are taken for certain here: what is on trial is what
 * reading noise and the slab between readings do.
 */
import { writeFileSync } from "node:fs";
import { fileURLToPath, pathToFileURL } from "node:url";
import { point } from "../../src/geometry/point.ts";
import type { Plan } from "../../src/layout/model.ts";
import { type RandomSource, randomFrom } from "../../src/numeric/random.ts";
import { surfaceOf } from "../../src/slab/surface-of.ts";
import type { AdjustedLevels } from "../../src/survey/model.ts";
import { type VolumeUncertainty, volumeUncertainty } from "../../src/target/volume-uncertainty.ts";
import { zoneFloor } from "../../src/target/zone-floor.ts";
import { planOf } from "./floors.ts";

export const KINDS = ["gentle waves", "rough", "curled panels"] as const;
export type Kind = (typeof KINDS)[number];

export type Surface = (x: number, y: number) => number;

/** Four waves 4 to 15 m long, some mm high in all, on a slight tilt. */
function waves(random: RandomSource): Surface {
  const parts = Array.from({ length: 4 }, () => {
    const length = 4 + 11 * random.uniform();
    const angle = 2 * Math.PI * random.uniform();
    return {
      kx: (2 * Math.PI * Math.cos(angle)) / length,
      ky: (2 * Math.PI * Math.sin(angle)) / length,
      phase: 2 * Math.PI * random.uniform(),
      height: 1 + 2 * random.uniform(),
    };
  });
  const [tiltX, tiltY] = [0.3 * random.normal(), 0.3 * random.normal()];
  return (x, y) =>
    parts.reduce(
      (sum, { kx, ky, phase, height }) => sum + height * Math.sin(kx * x + ky * y + phase),
      tiltX * x + tiltY * y,
    );
}

/**
 * Jagged: covariance s²·exp(−h/range) with a range of 0.5 to 2.5 m and s of 1 to 3 mm, as a sum of 200 waves whose numbers
 * are drawn from its spectrum (in the plane a Cauchy density: Cressie, Statistics for Spatial Data, 1993, section 2.5).
 */
function rough(random: RandomSource): Surface {
  const range = 0.5 + 2 * random.uniform();
  const height = 1 + 2 * random.uniform();
  const count = 200;
  const parts = Array.from({ length: count }, () => {
    const divisor = Math.abs(random.normal()) * range;
    return {
      kx: random.normal() / divisor,
      ky: random.normal() / divisor,
      phase: 2 * Math.PI * random.uniform(),
    };
  });
  const [tiltX, tiltY] = [0.4 * random.normal(), 0.4 * random.normal()];
  const scale = height * Math.sqrt(2 / count);
  return (x, y) => {
    let sum = 0;
    for (const { kx, ky, phase } of parts) sum += Math.cos(kx * x + ky * y + phase);
    return tiltX * x + tiltY * y + scale * sum;
  };
}

/** Panels 3.5 to 6 m long, their rims 1 to 5 mm up, each a little tilted and about a millimetre off its neighbours. */
function curled(random: RandomSource): Surface {
  const [lengthX, lengthY] = [3.5 + 2.5 * random.uniform(), 3.5 + 2.5 * random.uniform()];
  const [offsetX, offsetY] = [lengthX * random.uniform(), lengthY * random.uniform()];
  const curl = 1 + 4 * random.uniform();
  const panels = new Map<string, { lift: number; tiltX: number; tiltY: number }>();
  // All panels of the largest hall are drawn at once, so that none depends on where one looks first.
  for (let i = -1; i < 6; i++) {
    for (let j = -1; j < 6; j++) {
      panels.set(`${i},${j}`, {
        lift: random.normal(),
        tiltX: 0.3 * random.normal(),
        tiltY: 0.3 * random.normal(),
      });
    }
  }
  return (x, y) => {
    const [i, j] = [Math.floor((x - offsetX) / lengthX), Math.floor((y - offsetY) / lengthY)];
    const panel = panels.get(`${i},${j}`)!;
    // From −1 to 1 over the panel.
    const px = (2 * (x - offsetX - i * lengthX)) / lengthX - 1;
    const py = (2 * (y - offsetY - j * lengthY)) / lengthY - 1;
    return panel.lift + panel.tiltX * px + panel.tiltY * py + (curl * (Math.abs(px) ** 3 + Math.abs(py) ** 3)) / 2;
  };
}

const MAKERS: Record<Kind, (random: RandomSource) => Surface> = {
  "gentle waves": waves,
  rough,
  "curled panels": curled,
};

export interface Trial {
  readonly truth: number;
  readonly sure: VolumeUncertainty;
}

/** One made floor: a hall of 6 to 16 by 5 to 12 m, read every 5 to 8 ft with a standard deviation of 0.5 to 1 mm. */
export function trial(kind: Kind, seed: number): Trial {
  const random = randomFrom(seed);
  const surface = MAKERS[kind](random);
  const hall = { x0: 0, y0: 0, x1: 6 + 10 * random.uniform(), y1: 5 + 7 * random.uniform() };
  const step = 1.5 + 0.9 * random.uniform();
  const noise = 0.5 + 0.5 * random.uniform();
  const [startX, startY] = [0.3 + 0.5 * random.uniform(), 0.3 + 0.5 * random.uniform()];
  const points: AdjustedLevels["points"][number][] = [];
  for (let y = startY; y < hall.y1 - 0.15; y += step) {
    for (let x = startX; x < hall.x1 - 0.15; x += step) {
      const level = surface(x, y) + noise * random.normal();
      points.push({ id: `P${points.length + 1}`, at: point(x, y), roomIndex: 0, level, sd: noise, timesRead: 1 });
    }
  }
  const covariance = {
    ownMm2: new Float64Array(points.length).fill(noise ** 2),
    common: new Float64Array(points.length),
    setUpsMm2: Float64Array.of(0),
    columns: 1,
  };
  // The report is of no concern to the volume.
  const levels = { points, unchecked: true, covariance } as unknown as AdjustedLevels;
  const plan: Plan = planOf([hall]);
  const outcome = surfaceOf(plan, levels);
  if (outcome.kind !== "ready") throw new Error(`no surface for ${kind} ${seed}: ${JSON.stringify(outcome)}`);
  const slab = outcome.value;
  const floor = zoneFloor(slab, [0]);
  const leastDepth = 4;
  const highest = slab.levelMm.reduce((most, level) => Math.max(most, level), Number.NEGATIVE_INFINITY);
  // Half the tops just keep the least depth on the highest place; the others need some grinding.
  const top = highest + leastDepth - (random.uniform() < 0.5 ? 0 : 3 * random.uniform());
  const plane = { top, fallEast: 0, fallNorth: 0 };
  const sure = volumeUncertainty(slab, levels, 1, [{ floor, plane, leastDepth }], 0);
  if (!sure) throw new Error(`no uncertainty for ${kind} ${seed}`);
  return { truth: trueVolume(surface, hall, top, leastDepth), sure };
}

/** ∫ max(top − surface, least depth) over small squares. */
function trueVolume(surface: Surface, { x1, y1 }: { x1: number; y1: number }, top: number, leastDepth: number): number {
  const nx = Math.ceil(x1 / 0.12);
  const ny = Math.ceil(y1 / 0.12);
  let sum = 0;
  for (let j = 0; j < ny; j++) {
    for (let i = 0; i < nx; i++) {
      sum += Math.max(top - surface(((i + 0.5) * x1) / nx, ((j + 0.5) * y1) / ny), leastDepth);
    }
  }
  return (sum * x1 * y1) / (nx * ny);
}

export interface Tally {
  readonly floors: number;
  /** Floors on which the volume at nine in ten, at even odds, and the one worked out plainly, were enough. */
  readonly nineInTen: number;
  readonly evenOdds: number;
  readonly plain: number;
  /** Mean of what nine in ten adds to the volume, as a share of it. */
  readonly added: number;
  /** Root mean square of (truth − even odds)/sd: 1 where the sd is right. */
  readonly spread: number;
}

export function tally(kind: Kind, floors: number, seed: number): Tally {
  let [nineInTen, evenOdds, plain, added, squares] = [0, 0, 0, 0, 0];
  for (let k = 0; k < floors; k++) {
    const { truth, sure } = trial(kind, seed * 1_000_003 + k);
    if (truth <= sure.nineInTen) nineInTen++;
    if (truth <= sure.evenOdds) evenOdds++;
    if (truth <= sure.volume) plain++;
    added += (sure.nineInTen / sure.volume - 1) / floors;
    // Where every place is to be ground the volume is the least depth over the area, for certain.
    if (sure.sd > 0) squares += ((truth - sure.evenOdds) / sure.sd) ** 2 / floors;
  }
  return { floors, nineInTen, evenOdds, plain, added, spread: Math.sqrt(squares) };
}

/** Floors a kind in the whole study, and in the short one that runs with the tests. */
const WHOLE = 1000;
export const SHORT = 24;
export const SHORT_SEED = 77;

export type Tallies = Readonly<Record<Kind, Tally>>;

export const tallies = (floors: number, seed: number): Tallies =>
  Object.fromEntries(KINDS.map((kind) => [kind, tally(kind, floors, seed)])) as Record<Kind, Tally>;

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  const tables = { whole: tallies(WHOLE, 1), short: tallies(SHORT, SHORT_SEED) };
  writeFileSync(fileURLToPath(new URL("./volume-study.json", import.meta.url)), `${JSON.stringify(tables, null, 1)}\n`);
  console.log("kind            nine in ten   even odds   plain volume   nine in ten adds   spread");
  for (const kind of KINDS) {
    const { floors, nineInTen, evenOdds, plain, added, spread } = tables.whole[kind];
    const share = (count: number) => `${((100 * count) / floors).toFixed(1)} %`.padEnd(14);
    console.log(
      kind.padEnd(16) +
        share(nineInTen) +
        share(evenOdds) +
        share(plain) +
        `${(100 * added).toFixed(1)} %`.padEnd(18) +
        spread.toFixed(2),
    );
  }
}
