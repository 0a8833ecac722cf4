/** What a save is answered with before its packet is made: the same cuts, and nothing that the packet would refuse. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import type { ComputePool } from "../../src/build/compute-pool.ts";
import { showFirstLook } from "../../src/build/first-look.ts";
import { loadSolver } from "../../src/build/load-solver.ts";
import type { JobReport } from "../../src/build/model.ts";
import { type FirstLook, lookFirst, makePacket } from "../../src/build.ts";
import { openLooks, openProblems } from "../../src/cli/serve-verb.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { NoBrowserError } from "../../src/print/find-browser.ts";
import { renderPages } from "../../src/print/render-pages.ts";
import type { LabelMemory } from "../../src/sheets/map/label-memory.ts";
import { largeJobText } from "../bench/large-job.ts";
import { projectFolder, smallJobText } from "./small-job.ts";

const solve = await loadSolver();
const { library } = loadLibrary(`${projectFolder}jobs`);
const request = (id: string, text: string) => ({ jobId: id, file: `jobs/${id}.yaml`, text, library });
const shipped = (id: string) => request(id, readFileSync(`${projectFolder}jobs/${id}.yaml`, "utf8"));

test.each(["tern-street-clinic", "maple-loft-bath", "alder-court-laundry"])(
  "%s: its first look shows the pins of its packet, and the cut sheets to the letter",
  (id) => {
    const made = makePacket(shipped(id), solve);
    if (made.kind !== "made") throw new Error("refused");
    const [first, ...looks] = lookFirst(shipped(id), solve);
    if (first?.kind !== "page") throw new Error("no look");
    const { page, sheets } = made.packet;
    expect(first.page.pins).toEqual(page.pins);
    expect(first.page.map).toEqual(page.map);
    // Figures of the pour come with the packet.
    expect(page.figures.slice(0, first.page.figures.length)).toEqual(first.page.figures);
    expect(first.page.figures.length).toBeGreaterThan(8);
    expect(first.page.notYet.join()).toContain("being worked out");
    const cut = sheets.filter(({ id: sheet }) => ["cut-table", "cut-order", "pin-map"].includes(sheet));
    expect(cut.length).toBeGreaterThanOrEqual(3);
    expect(new Set(looks.flatMap((look) => (look.kind === "sheets" ? look.sheets : [])))).toEqual(new Set(cut));
  },
);

/** One memory through all of it, as the thread of a serving command has it. */
test("a look that remembers where labels stood says to the letter what one without memory says", () => {
  const hall = largeJobText("hall");
  const edits = [
    hall,
    largeJobText("hall", 9),
    `${hall}notes: ["Read on a Monday"]\n`.replace("languages: [en]", "languages: [es, en]"),
    hall.replace("center: [12.1, 12.3]", "center: [12.0, 12.2]").replace("name: Hall", "name: West hall"),
    hall.replace("paper: a4", "paper: letter"),
    hall,
  ];
  const memory: LabelMemory = new Map();
  for (const [k, text] of edits.entries()) {
    const remembered = [...lookFirst(request("hall", text), solve, memory)];
    expect(remembered, `edit ${k}`).toHaveLength(3);
    expect(remembered).toEqual([...lookFirst(request("hall", text), solve)]);
  }
  for (const id of ["tern-street-clinic", "maple-loft-bath", "tern-street-clinic"])
    expect([...lookFirst(shipped(id), solve, memory)]).toEqual([...lookFirst(shipped(id), solve)]);
});

test("a reading changed leaves the labels of most other tiles where they were, unasked", () => {
  const memory: LabelMemory = new Map();
  const placed = () => [...(memory.get("pin-map English")?.maps.values() ?? [])];
  for (const _ of lookFirst(request("hall", largeJobText("hall", 12)), solve, memory));
  const before = placed();
  for (const _ of lookFirst(request("hall", largeJobText("hall", 9)), solve, memory));
  const kept = placed().filter((map) => before.includes(map));
  expect(before.length).toBeGreaterThan(6);
  expect(kept.length).toBeGreaterThan(6);
  expect(kept.length).toBeLessThan(before.length);
});

test("nothing is shown first of a floor that is refused, not read, or poured", () => {
  expect([...lookFirst(request("a", "job: a\n"), solve)]).toEqual([]);
  expect([...lookFirst(request("a", smallJobText("a", { readings: [] })), solve)]).toEqual([]);
  expect([...lookFirst(shipped("larch-yard-studio"), solve)]).toEqual([]);
});

test("a look gives way to the packet of its save, and never to that of an earlier one", () => {
  const looks = openLooks();
  looks.show("hall", 2, new Map([["hall/index.html", "second"]]));
  looks.show("hall", 1, new Map([["hall/index.html", "first, late"]]));
  expect(looks.at("hall/index.html")).toBe("second");
  expect(looks.settle("hall", 1, true)).toBe("later look");
  expect(looks.at("hall/index.html")).toBe("second");
  looks.show("hall", 2, new Map([["hall/en/hall-pin-map-en-0.pdf", "pdf"]]));
  expect(looks.settle("hall", 2, true)).toBe("look");
  expect(looks.at("hall/index.html")).toBeUndefined();
  expect(looks.at("hall/en/hall-pin-map-en-0.pdf")).toBe("pdf");
  expect(looks.settle("hall", 2, true)).toBe("none");
  looks.show("hall", 3, new Map([["hall/index.html", "third"]]));
  expect(looks.at("hall/en/hall-pin-map-en-0.pdf")).toBeUndefined();
});

const CUTS = "hall/en/hall-cut-table-en-0.pdf";
/** A save was looked at, its packet made without PDFs: what was shown of the sheets is still served. */
const awaitingPrint = () => {
  const looks = openLooks();
  looks.show("hall", 1, new Map([["hall/index.html", "page"]]));
  looks.show("hall", 1, new Map([[CUTS, "of the first save"]]));
  expect(looks.settle("hall", 1, true)).toBe("look");
  expect(looks.at(CUTS)).toBe("of the first save");
  return looks;
};

// A revision that is issued changes the foot of each sheet, and no name of a file.
test("a PDF that was shown first gives way once the packet is printed, and to any later save, also one without a look", () => {
  for (const [save, pdfsToCome] of [
    [1, false],
    [2, true],
    [2, false],
  ] as const) {
    const looks = awaitingPrint();
    looks.settle("hall", save, pdfsToCome);
    expect(looks.at(CUTS)).toBeUndefined();
    expect(looks.jobIds()).toEqual([]);
  }
});

test("of a save that was shown and then refused nothing is served any more", () => {
  const looks = openLooks();
  looks.show("hall", 1, new Map([["hall/index.html", "page"]]));
  looks.show("hall", 1, new Map([[CUTS, "refused"]]));
  expect(looks.settle("hall", 1, false)).toBe("look");
  expect(looks.at("hall/index.html")).toBeUndefined();
  expect(looks.at(CUTS)).toBeUndefined();
});

test("problems stay until their own job is built, found unchanged, or gone", () => {
  const problems = openProblems();
  const job = (jobId: string, outcome: JobReport["outcome"]): JobReport => ({
    jobId,
    outcome,
    diagnostics: [{ code: "a", severity: outcome === "refused" ? "error" : "warning", message: `about ${jobId}` }],
    changed: [],
    sheets: 0,
    pdfs: { printed: 0, kept: 0 },
  });
  const report = (...jobs: JobReport[]) => ({ jobs, folder: [], mended: [], withoutJobFile: [] });
  expect(problems.take(report(job("hall", "built"), job("bath", "refused")), "all", false)).toBe(true);
  expect(problems.text()).toContain("about bath");
  expect(problems.text()).not.toContain("about hall");
  // Another job is built; and a build is stopped before it comes to this one.
  expect(problems.take(report(job("hall", "built")), ["hall"], false)).toBe(false);
  expect(problems.take(report(), "all", true)).toBe(false);
  expect(problems.text()).toContain("about bath");
  expect(problems.take(report(job("bath", "unchanged")), ["bath"], false)).toBe(true);
  expect(problems.text()).toBe("");
  problems.take(report(job("bath", "refused")), ["bath"], false);
  expect(problems.take(report(), ["bath"], false)).toBe(true);
  expect(problems.text()).toBe("");
});

test("a print that fails while the thread still works on ends no process: what it could not print is left to the packet", async () => {
  const [, sheets, pinMap] = [...lookFirst(request("a", smallJobText("a")), solve)];
  if (sheets?.kind !== "sheets" || pinMap?.kind !== "sheets") throw new Error("no look");
  const pool = {
    async lookFirst(_: unknown, onLook: (look: FirstLook) => void) {
      onLook(sheets);
      // The thread goes on for longer than a browser takes to fail.
      await new Promise((later) => setTimeout(later, 1_500));
      onLook(pinMap);
    },
  } as unknown as ComputePool;
  const failing = (error: Error) =>
    ({ print: () => Promise.reject(error) }) as unknown as Parameters<typeof showFirstLook>[1];
  const shown: string[] = [];
  const show = (files: ReadonlyMap<string, unknown>) => shown.push(...files.keys());
  await showFirstLook(pool, failing(new NoBrowserError([])), request("a", ""), "pdfs", () => false, show);
  expect(shown.sort()).toEqual(["a/en/cut-order.html", "a/en/cut-table.html", "a/en/pin-map.html"]);
  await expect(
    showFirstLook(pool, failing(new Error("the disk is full")), request("a", ""), "pdfs", () => false, show),
  ).rejects.toThrow("the disk is full");
});

test("the page of a first look names no file of the packet before", async () => {
  const [look] = [...lookFirst(request("a", smallJobText("a")), solve)];
  if (look?.kind !== "page") throw new Error("no look");
  const path = "a/index.html";
  const html = (await renderPages([{ template: "jobPage", path, view: look.page }], "no-docs")).get(path) ?? "";
  expect(html).toContain("being worked out");
  const links = [...html.matchAll(/ href="([^"]*)"/g)].map(([, href]) => href as string);
  expect(links.filter((href) => !href.startsWith("#"))).toEqual(["../index.html"]);
});
