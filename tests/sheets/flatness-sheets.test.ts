/** The flatness reports and the blank sheet of the shipped studio: the rules of print, and what they say. */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, test } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { composeSheets, sheetsNotYet } from "../../src/sheets/compose-sheets.ts";
import type { Findings, Sheet } from "../../src/sheets/model.ts";
import { uncoveredCharacters } from "../../src/sheets/type/text-metrics.ts";
import { ALL_RULES, textsOf } from "./sheet-rules.ts";

const FILE = "jobs/larch-yard-studio.yaml";
const MINE = ["flatness", "flatness-raw-slab", "finished-floor"];

async function findingsOfText(text: string): Promise<Findings> {
  const { job } = readJob(text, FILE, loadLibrary("jobs").library);
  const found = job ? findingsOf(job, await loadSolver()) : undefined;
  if (found?.kind !== "ready") throw new Error("the studio does not compute");
  return found.value;
}

let english: readonly Sheet[];
let spanish: readonly Sheet[];
beforeAll(async () => {
  const findings = await findingsOfText(readFileSync(FILE, "utf8"));
  english = composeSheets(findings, "en").filter(({ id }) => MINE.includes(id));
  spanish = composeSheets(findings, "es").filter(({ id }) => MINE.includes(id));
}, 120_000);

const said = (sheets: readonly Sheet[], id: string): string =>
  textsOf(sheets.find((sheet) => sheet.id === id)!)
    .map(({ text }) => text)
    .join(" ")
    .replaceAll("\u00a0", " ");

describe("the flatness reports", () => {
  test.each(Object.entries(ALL_RULES))("keep the rules of print: %s", (_, breachesOf) => {
    expect([...english, ...spanish].flatMap(breachesOf)).toEqual([]);
  });

  test("are in both languages, in the sets that they belong to, in the embedded font", () => {
    expect(english.map(({ id, sets }) => [id, sets])).toEqual([
      ["flatness-raw-slab", ["gc"]],
      ["finished-floor", ["closeout"]],
      ["flatness", ["closeout"]],
    ]);
    expect(spanish.map(({ id }) => id)).toEqual(english.map(({ id }) => id));
    expect(uncoveredCharacters(JSON.stringify([english, spanish]))).toEqual([]);
  });

  test("say method, date, readings, margin, survival, worst place, conditions, formulas and places", () => {
    const text = said(english, "flatness");
    for (const words of [
      /Read on.*2027-06-16/,
      /Days from pour to reading.*2/,
      /284 readings/,
      /does not survive/,
      /W1: \d\.\d mm \(0\.\d\d in\), .* wall and .* wall/,
      /Lines at least 3\.300 m .* long.*yes/,
      /to a joint yes.*Every condition is known to hold/,
      /115\.8 \/ \(3·S\(q\) \+ \|M\(q\)\|\)/,
      /from memory: compare with your copy of the standard/,
      /G1.*grind/,
      /F1.*fill/,
    ]) {
      expect(text).toMatch(words);
    }
    expect(said(spanish, "flatness")).toMatch(/de memoria: compare con su copia de la norma/);
  });

  test("what the contract's method needs is on the blank sheet, with a box for every reading of a line", () => {
    const sheet = english.find(({ id }) => id === "finished-floor")!;
    const boxes = sheet.pages
      .flatMap(({ blocks }) => blocks)
      .flatMap((block) => (block.kind === "table" && block.caption.startsWith("Boxes for line") ? block.rows : []))
      .flatMap(({ cells }) => cells.filter(({ blank }) => blank));
    const readings = /6 sample lines with (\d+) readings/.exec(said(english, "finished-floor"))?.[1];
    expect(boxes.length).toBe(Number(readings));
  });
});

describe("not yet", () => {
  test("a contract without figures, and a floor not read again, are told with their reason", async () => {
    const text = readFileSync(FILE, "utf8");
    const unread = text.slice(0, text.indexOf("# The floor read again"));
    const reasons = sheetsNotYet(await findingsOfText(unread), "en");
    expect(reasons).toContainEqual({
      id: "flatness",
      title: "Flatness report, finished floor",
      why: "The finished floor was not read.",
    });
    const withoutRules = unread.replace(/ {2}rules:\n(?: {4}- .*\n)+/, "");
    expect(sheetsNotYet(await findingsOfText(withoutRules), "en").map(({ id }) => id)).toEqual(
      expect.arrayContaining(["flatness-raw-slab", "flatness"]),
    );
  });
});
