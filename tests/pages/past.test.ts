/** What a simulated archive says of yield and reading noise is its truth, within the spread that is stated. */
import { expect, test } from "vitest";
import { randomFrom } from "../../src/numeric/random.ts";
import { pastOf, type TaughtJob, wilson } from "../../src/pages/past.ts";
import { pastLines, pastPage } from "../../src/pages/past-page.ts";

const MATERIALS = { cement: { yieldL: 15, ratio: 0.97, loss: 0.05 }, gypsum: { yieldL: 14, ratio: 1.02, loss: 0.09 } };
const FACTORS = { hose: 1.6, rod: 0.8 };

function simulated(seed: number, jobs: number): TaughtJob[] {
  const random = randomFrom(seed);
  return Array.from({ length: jobs }, (_, k): TaughtJob => {
    const materialId = random.uniform() < 0.5 ? "cement" : "gypsum";
    const { yieldL, ratio, loss } = MATERIALS[materialId];
    const truth = yieldL * ratio * (1 + 0.006 * random.normal());
    const sd = 0.005 + 0.01 * random.uniform();
    const own = loss + 0.01 * random.normal();
    const instrumentId = random.uniform() < 0.5 ? "hose" : "rod";
    const redundancy = 12 + random.below(20);
    let sumOfSquares = 0;
    for (let check = 0; check < redundancy; check += 1)
      sumOfSquares += (FACTORS[instrumentId as keyof typeof FACTORS] * random.normal()) ** 2;
    return {
      jobId: `j${k}`,
      title: "job",
      taught: {
        crewId: random.uniform() < 0.5 ? "north" : "south",
        orders: [
          {
            materialId,
            meanDepthMm: 10 + 20 * random.uniform(),
            neat: 100,
            profile: 2,
            loss: 5,
            toOrder: 107,
            dataSheetYieldL: yieldL,
            poured: {
              inFloorBags: 107,
              loss: { share: ((1 + own) * yieldL) / truth - 1 + sd * random.normal(), sd },
              weighedYield: { litres: truth * (1 + 0.003 * random.normal()), batches: 3, sd: 0.003 * yieldL },
            },
          },
        ],
        noise: [{ instrumentId, statedSdMm: 0.5, sumOfSquares, redundancy }],
        rules: [],
      },
    };
  });
}

test("over many archives yield, loss apart from it, and noise lie within one and two stated standard deviations as often as they should", () => {
  const off: number[] = [];
  for (let seed = 1; seed <= 120; seed += 1) {
    const { yields, weighed, lossApart, noise } = pastOf(simulated(seed, 50));
    for (const { materialId, dataSheetL, inFloorL } of yields) {
      const { yieldL, ratio, loss } = MATERIALS[materialId as keyof typeof MATERIALS];
      expect(dataSheetL).toBe(yieldL);
      off.push((inFloorL.value - (yieldL * ratio) / (1 + loss)) / inFloorL.sd);
      const ofWeighed = weighed.fit?.groups.get(materialId);
      off.push(((ofWeighed?.value ?? Number.NaN) - (ratio - 1)) / (ofWeighed?.sd ?? Number.NaN));
      const apart = lossApart.fit?.groups.get(materialId);
      off.push(((apart?.value ?? Number.NaN) - loss) / (apart?.sd ?? Number.NaN));
    }
    for (const { instrumentId, factor, factorSd } of noise)
      off.push((factor - FACTORS[instrumentId as keyof typeof FACTORS]) / factorSd);
  }
  expect(off).toHaveLength(120 * 8);
  const share = (within: number) => off.filter((by) => Math.abs(by) < within).length / off.length;
  // Of a normal distribution 68.3 % and 95.4 %; the widths are four standard deviations of such counts.
  expect(Math.abs(share(1) - 0.683)).toBeLessThan(0.06);
  expect(Math.abs(share(2) - 0.954)).toBeLessThan(0.03);
});

test("yields are said to be apart from losses only where mix was weighed", () => {
  const jobs = simulated(5, 40).map((job): TaughtJob => {
    const [order] = job.taught.orders;
    const { weighedYield: _, ...poured } = order!.poured!;
    return { ...job, taught: { ...job.taught, orders: [{ ...order!, poured }] } };
  });
  const past = pastOf(jobs);
  expect(past.weighed.seen).toHaveLength(0);
  expect(past.yields.every(({ weighedL }) => weighedL === undefined)).toBe(true);
  expect(past.lossApart.fit).toBeUndefined();
  expect(pastLines(pastPage(past, [])).join("\n")).toContain("Weighed for 0 floors: too few");
});

test.each([
  // Newcombe, Statistics in Medicine 17 (1998) 857, Table I, score method (from memory).
  [81, 263, 0.2553, 0.3662],
  [15, 148, 0.0624, 0.1605],
  [0, 20, 0, 0.1611],
  [1, 29, 0.0061, 0.1718],
])("%d of %d: the 95 %% interval is %f to %f", (hits, of, from, to) => {
  const found = wilson(hits, of);
  expect(found.from).toBeCloseTo(from, 4);
  expect(found.to).toBeCloseTo(to, 4);
});
