/** The loss that a job asks of what the archive taught: taken for its material, crew and depth, or refused at its line. */
import { expect, test } from "vitest";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { withLearnedLoss } from "../../src/quantities/learned-loss.ts";
import { millimetres } from "../../src/units.ts";
import { FILE, GOOD } from "./job-text.ts";

const { library } = loadLibrary("jobs");
const LEARNED = `learned:
  loss:
    depth: 20 mm
    per_10_mm: -0.5 %
    per_10_mm_sd: 0.1 %
    spread: 1.2 %
    materials:
      - { material: MATERIAL, loss: 7 %, sd: 0.5 %, jobs: 12 }
    crews:
      - { crew: two-barrel, more: -1 %, sd: 0 %, jobs: 5 }
`;
const ASKED = `${GOOD}pour: { loss: 4 %, learned_loss: true }\n`;
const material = /^material: (\S+)/m.exec(GOOD)?.[1] ?? "";
const read = (text: string, learned?: string) =>
  readJob(text, FILE, {
    files: [
      ...library.files,
      ...(learned === undefined ? [] : [{ file: "jobs/_library/learned.yaml", text: learned }]),
    ],
  });

test("is that of the material, with what the crew loses more, at the mean depth of the floor", () => {
  const { job, diagnostics } = read(`${ASKED}`, LEARNED.replace("MATERIAL", material));
  expect(diagnostics.filter(({ severity }) => severity === "error")).toEqual([]);
  const crewMore = job!.crew.id === "two-barrel" ? -0.01 : 0;
  expect(job!.pour.lossAllowance).toBeCloseTo(0.07 + crewMore, 12);
  expect(job!.pour.learnedLoss).toMatchObject({ usual: 0.04, jobs: 12 });
  // 10 mm deeper: half a per cent less; never below nothing.
  const { pour } = withLearnedLoss(job!, { mean: millimetres(30) });
  expect(pour.lossAllowance).toBeCloseTo(0.065 + crewMore, 12);
  // √(1.2² + 0.5² + 0.1²) %.
  expect(pour.learnedLoss?.sd).toBeCloseTo(Math.sqrt(1.44 + 0.25 + 0.01) / 100, 12);
  expect(withLearnedLoss(job!, { mean: millimetres(400) }).pour.lossAllowance).toBe(0);
});

test("a job that does not ask is not touched by it", () => {
  const { job } = read(`${GOOD}pour: { loss: 4 % }\n`, LEARNED.replace("MATERIAL", material));
  expect(job!.pour.lossAllowance).toBeCloseTo(0.04, 12);
  expect(withLearnedLoss(job!, { mean: millimetres(30) })).toBe(job);
});

test.each([
  ["no learned library", undefined, "the library holds none"],
  ["another material", LEARNED.replace("MATERIAL", "sand"), "The archive taught nothing of"],
])("%s is refused at the line that asks", (_, learned, said) => {
  const { job, diagnostics } = read(ASKED, learned);
  expect(job).toBeUndefined();
  const [problem] = diagnostics.filter(({ code }) => code === "nothing-learned");
  expect(problem?.message).toContain(said);
  expect(problem?.place?.line).toBe(ASKED.slice(0, ASKED.indexOf("learned_loss")).split("\n").length);
});

test("what is wrong in the learned file is named there", () => {
  const { diagnostics } = read(ASKED, LEARNED.replace("MATERIAL", material).replace("spread: 1.2 %", "spread: 1.2"));
  expect(diagnostics.map(({ code, place }) => [code, place?.file])).toContainEqual([
    "missing-unit",
    "jobs/_library/learned.yaml",
  ]);
});
