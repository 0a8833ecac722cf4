/** The library: what jobs share, who answers for what is wrong in it, and what the office usually does. */
import { describe, expect, test } from "vitest";
import { checkLibrary } from "../../src/job/check-library.ts";
import type { LibraryFiles } from "../../src/job/library.ts";
import { readJob } from "../../src/job/read-job.ts";
import { changed, FILE, GOOD, library, printed } from "./job-text.ts";

const withFile = (file: string, change: (text: string) => string): LibraryFiles => ({
  files: library.files.map((entry) => (entry.file.endsWith(file) ? { ...entry, text: change(entry.text) } : entry)),
});

test("what ships is in order, and says of every material and primer that it is an example", () => {
  expect(printed(checkLibrary(library))).toBe("");
  const { job } = readJob(GOOD, FILE, library);
  expect(job!.material.dataSheet.example).toBe(true);
  expect(job!.primer.dataSheet.example).toBe(true);
});

test("values come out in the units of the model", () => {
  const { material, pins, crew, pour, primer } = readJob(GOOD, FILE, library).job!;
  // 50 lb, 0.49 ft³ (28.316846592 L each), 5 qt (231/4 in³ each), 123 lb/ft³, 8 ft.
  expect(material.bag).toBeCloseTo(22.6796, 4);
  expect(material.yieldPerBag).toBeCloseTo(13.8753, 4);
  expect(material.waterPerBag).toBeCloseTo(4.7318, 4);
  expect(material.wetDensity).toBeCloseTo(1.9703, 4);
  expect(material.pinSpacing).toBeCloseTo(2.4384, 9);
  expect(material.walkOn).toBe(180);
  expect(material.depthOn.concrete).toEqual({ least: 3.175, greatest: expect.closeTo(50.8, 9) });
  expect(material.depthOn.wood).toBeUndefined();
  expect(pins).toMatchObject({ foot: 1.5875, scaleCountsFoot: true, leastCut: 3.175 });
  expect(crew.laneWidth).toBeCloseTo(3.048, 9);
  expect(pour).toMatchObject({ lossAllowance: 0.05, profileAllowance: 0.5, bagsPerPallet: 56 });
  // 40 × 48 in is 1.016 × 1.2192 m.
  expect([pour.palletWidth, pour.palletLength]).toEqual([expect.closeTo(1.016, 9), expect.closeTo(1.2192, 9)]);
  // 200 ft²/gal: 200 × 0.09290304 m² / 3.785411784 L.
  expect(primer.coatsOn.porous[0]).toEqual({ waterToOne: 3, coverage: expect.closeTo(4.90848, 4) });
});

describe("a fault in the library", () => {
  test("is told by the job that uses the entry, at the line in the library", () => {
    const files = withFile("materials.yaml", (text) => text.replace("yield: 0.49 ft³", "yeild: 0.49 ft³"));
    const { job, diagnostics } = readJob(GOOD, FILE, files);
    expect(job).toBeUndefined();
    expect(diagnostics).toHaveLength(1);
    expect(diagnostics[0]).toMatchObject({
      code: "unknown-key",
      hint: 'Did you mean "yield"?',
      place: { file: "jobs/_library/materials.yaml", lineText: "    yeild: 0.49 ft³" },
    });
    expect(diagnostics[0]!.message).toContain("cement-50lb");
  });

  test("does not stop a job that does not use the entry, but is found when the library is checked", () => {
    const files = withFile("materials.yaml", (text) => text.replace("yield: 0.53 ft³", "yield: 0.83 ft³"));
    expect(readJob(GOOD, FILE, files).job).toBeDefined();
    expect(checkLibrary(files).map(({ code }) => code)).toEqual(["material-does-not-balance"]);
    const { diagnostics } = readJob(changed("cement-50lb", "gypsum-50lb"), FILE, files);
    expect(diagnostics.map(({ code }) => code)).toEqual(["material-does-not-balance"]);
  });

  test("of syntax stops every job, at its line", () => {
    const files = withFile("crews.yaml", (text) => text.replace("crews:", "crews: ["));
    const { job, diagnostics } = readJob(GOOD, FILE, files);
    expect(job).toBeUndefined();
    expect(diagnostics.some(({ place }) => place?.file === "jobs/_library/crews.yaml")).toBe(true);
  });

  test("an id given twice is refused, over all files", () => {
    const files = {
      files: [
        ...library.files,
        { file: "jobs/_library/z.yaml", text: library.files.find(({ file }) => file.endsWith("crews.yaml"))!.text },
      ],
    };
    const { diagnostics } = readJob(GOOD, FILE, files);
    expect(diagnostics[0]).toMatchObject({ code: "duplicate-id", place: { file: "jobs/_library/z.yaml" } });
    expect(diagnostics[0]!.message).toContain("crews.yaml");
  });

  test("bare numbers have no unit there", () => {
    const files = withFile("pins.yaml", (text) => text.replace("foot: 1/16 in", "foot: 1/16"));
    expect(readJob(GOOD, FILE, files).diagnostics.map(({ code }) => code)).toEqual(["missing-unit"]);
  });
});

describe("what the office usually does", () => {
  const without = (key: string): LibraryFiles =>
    withFile("company.yaml", (text) => text.replace(new RegExp(`^  ${key}: .*\\n`, "m"), ""));

  test.each(["paper", "primer", "pins", "crew"])("without a usual %s the job has to name one", (key) => {
    const { diagnostics } = readJob(GOOD, FILE, without(key));
    expect(diagnostics.map(({ code, message }) => [code, message.includes(`"${key}"`)])).toEqual([
      ["missing-key", true],
    ]);
  });

  test("the job's own word goes before it", () => {
    const { job } = readJob(`${GOOD}paper: a4\ncrew: one-barrel\npour: { loss: 0 % }\n`, FILE, library);
    expect(job!.paper).toBe("a4");
    expect(job!.crew.id).toBe("one-barrel");
    // Nothing lost is a value, not a gap for the usual five per cent.
    expect(job!.pour.lossAllowance).toBe(0);
    expect(job!.pour.profileAllowance).toBe(0.5);
  });

  test("without any library a job says all that it misses", () => {
    const { diagnostics } = readJob(GOOD, FILE, { files: [] });
    expect(diagnostics.map(({ code }) => code).sort()).toEqual([
      "missing-key",
      "missing-key",
      "missing-key",
      "missing-key",
      "missing-key",
      "missing-key",
      "missing-key",
      "missing-key",
      "not-in-library",
      "not-in-library",
    ]);
  });
});
