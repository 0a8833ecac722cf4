/** What is learned from a simulated archive is its truth, within the spread that is stated. */
import { expect, test } from "vitest";
import { fitEffects, type Observation } from "../../src/numeric/fit-effects.ts";
import { randomFrom } from "../../src/numeric/random.ts";

const SETTINGS = { withSlope: true, leastSpanX: 1, leastSd: 0.001 };
const fitLoss = (seen: readonly Observation[]) => fitEffects(seen, SETTINGS);

const MATERIALS = { cement: 0.05, gypsum: 0.08 };
const CREWS = { north: -0.01, south: 0.015, west: -0.005 };
const SLOPE = -0.0004;
const SPREAD = 0.012;

function simulated(seed: number, jobs: number): Observation[] {
  const random = randomFrom(seed);
  return Array.from({ length: jobs }, () => {
    const material = random.uniform() < 0.6 ? "cement" : "gypsum";
    const crew = (["north", "south", "west"] as const)[random.below(3)] as keyof typeof CREWS;
    const meanDepthMm = 10 + 40 * random.uniform();
    const sd = 0.004 + 0.02 * random.uniform();
    const loss =
      MATERIALS[material] + CREWS[crew] + SLOPE * (meanDepthMm - 30) + SPREAD * random.normal() + sd * random.normal();
    return { group: material, team: crew, x: meanDepthMm, value: loss, sd };
  });
}

test("over many archives the truth lies within one and two stated standard deviations as often as it should", () => {
  let [within1, within2, all] = [0, 0, 0];
  let spread = 0;
  for (let seed = 1; seed <= 150; seed += 1) {
    const fit = fitLoss(simulated(seed, 60));
    if (fit === undefined) throw new Error("sixty jobs are enough");
    const at = fit.meanX - 30;
    const truths: [number, { value: number; sd: number } | undefined][] = [
      [MATERIALS.cement + SLOPE * at, fit.groups.get("cement")],
      [MATERIALS.gypsum + SLOPE * at, fit.groups.get("gypsum")],
      [CREWS.north, fit.teams.get("north")],
      [CREWS.south, fit.teams.get("south")],
      [SLOPE, fit.slope],
    ];
    for (const [truth, found] of truths) {
      const off = Math.abs((found?.value ?? Number.NaN) - truth) / (found?.sd ?? Number.NaN);
      all += 1;
      if (off < 1) within1 += 1;
      if (off < 2) within2 += 1;
    }
    spread += fit.spread / 150;
  }
  // Of a normal distribution 68.3 % and 95.4 %; the widths are four standard deviations of such a count.
  expect(Math.abs(within1 / all - 0.683)).toBeLessThan(0.075);
  expect(Math.abs(within2 / all - 0.954)).toBeLessThan(0.035);
  expect(spread).toBeGreaterThan(SPREAD * 0.9);
  expect(spread).toBeLessThan(SPREAD * 1.1);
});

test("a job to come loses what is said, within the spread that is said", () => {
  const fit = fitLoss(simulated(7, 200));
  const coming = simulated(8, 400).filter(({ sd }) => sd < 0.012);
  const off = coming.map((job) => {
    const said = fit?.predict(job.group, job.team, job.x);
    return (job.value - (said?.value ?? Number.NaN)) / Math.hypot(said?.sd ?? Number.NaN, job.sd);
  });
  const meanSquare = off.reduce((sum, value) => sum + value * value, 0) / off.length;
  expect(meanSquare).toBeGreaterThan(0.75);
  expect(meanSquare).toBeLessThan(1.3);
});

test("too few jobs say nothing; crews that each pour one material are not told from it", () => {
  expect(fitLoss(simulated(1, 4))).toBeUndefined();
  const tied = simulated(3, 40).map((job) => ({ ...job, team: job.group === "cement" ? "north" : "south" }));
  const fit = fitLoss(tied);
  expect(fit?.teams.size).toBe(0);
  expect(fit?.groups.size).toBe(2);
  expect(fit?.predict("sand", "north", 20)).toBeUndefined();
});

test("one figure that everybody agrees on has no spread", () => {
  const same = Array.from({ length: 10 }, (_, k) => ({
    group: "m",
    team: "c",
    x: 20,
    value: 0.06 + (k % 2) * 0.0002,
    sd: 0.01,
  }));
  const fit = fitLoss(same);
  expect(fit?.spread).toBe(0);
  // Ten jobs of 1 % each: 1 % / √10 (the mean of equal weights).
  expect(fit?.groups.get("m")?.value).toBeCloseTo(0.0601, 6);
  expect(fit?.groups.get("m")?.sd).toBeCloseTo(0.01 / Math.sqrt(10), 9);
});
