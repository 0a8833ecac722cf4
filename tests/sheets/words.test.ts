import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { uncoveredCharacters } from "../../src/sheets/type/text-metrics.ts";
import { en } from "../../src/sheets/words/en.ts";
import { es } from "../../src/sheets/words/es.ts";
import { SPANISH_WARNING_CODES, spanishWarning } from "../../src/sheets/words/es-warnings.ts";

/** What stands in for the printed values, so that the words around them can be compared. */
const VALUES = ["⟨1⟩", "⟨2⟩", "⟨3⟩", "⟨4⟩", "⟨5⟩"];

/** Every string of a catalogue by its path; a function gives what it prints round values. */
function strings(of: unknown, path: string): Map<string, string> {
  const found = new Map<string, string>();
  const visit = (at: unknown, where: string): void => {
    if (typeof at === "string") found.set(where, at);
    else if (typeof at === "function") {
      if (where.endsWith(".wall")) {
        for (const side of ["north", "east", "south-west"]) found.set(`${where} ${side}`, String(at(side, 2, false)));
      } else if (where.endsWith(".warning")) found.set(where, String(at({ code: "no-such-code", message: "⟨1⟩" })));
      else if (where.endsWith(".listOf")) found.set(where, String(at(["⟨1⟩", "⟨2⟩"])));
      else found.set(where, String(at(...VALUES.slice(0, at.length))));
    } else if (typeof at === "object" && at !== null) {
      for (const [key, value] of Object.entries(at)) visit(value, `${where}.${key}`);
    }
  };
  visit(of, path);
  return found;
}

const english = strings(en, "words");
const spanish = strings(es, "words");

/** The same in both languages, and rightly so. */
const SAME_IN_BOTH = new Set([
  "words.topOfPour.columnsOthers.material",
  "words.both",
  "words.listOf",
  "words.north",
  "words.no",
  "words.cut.columns.pin",
  "words.revisions.columnsPins.pin",
  "words.cut.offWall",
  "words.cut.noCheck",
  "words.cut.route",
  "words.cards.minutes",
  "words.cards.hours",
  "words.clock.minutesSeconds",
  "words.log.columns.at",
  "words.pourPlan.hours",
  "words.survey.benchMarkRow",
  "words.silica.columns.control",
  "words.flatness.conditionStanding.fails",
  "words.surveyReport.columnsClosures.error",
  "words.surveyReport.columnsSure.pin",
  "words.surveyForm.columnsOrder.number",
  "words.topOfPour.columnsOthers.material",
]);

/** An argument of these is no value but chooses between wordings. */
const CHOOSING = /\.(warning|notYet|remark|drift|typed)$/;

/** Names of standards, units and symbols are the same everywhere. */
const withoutNames = (text: string): string =>
  text.replace(/ASTM \w+|ICRI [\w.]+|ADA Standards for Accessible Design|FF|FL|± 2 s|\b(?:in|mm)\b/g, "");

/** English words that no Spanish sentence has; short ones that Spanish shares are left out. */
const ENGLISH_ONLY =
  /\b(the|of|and|with|for|before|after|from|is|are|not|floor|wall|pour|bag|bags|sheet|water|slab|depth|read|cut|check|level|grind|batch|crew|height|what|who|when|every|each|door)\b/i;

describe("the two catalogues", () => {
  test("have the same strings, lists of the same length included", () => {
    expect([...spanish.keys()]).toEqual([...english.keys()]);
    expect(english.size).toBeGreaterThan(300);
  });

  test("say nothing in the same words, but for what is the same in both languages", () => {
    const same = [...english].filter(
      ([key, text]) => spanish.get(key) === text && /\p{L}/u.test(withoutNames(text)) && !CHOOSING.test(key),
    );
    expect(same.map(([key]) => key).filter((key) => !SAME_IN_BOTH.has(key))).toEqual([]);
  });

  test("no English word is left in the Spanish one", () => {
    const left = [...spanish].filter(([, text]) => ENGLISH_ONLY.test(withoutNames(text)));
    expect(left.map(([key, text]) => `${key}: ${text}`)).toEqual([]);
  });

  test("print the same values in each sentence", () => {
    const values = (text: string): string[] => [...new Set(text.match(/⟨\d⟩/g))].sort();
    for (const [key, text] of english) {
      if (CHOOSING.test(key)) continue;
      expect(values(spanish.get(key) ?? ""), key).toEqual(values(text));
    }
  });

  test("have the same numbers in each sentence", () => {
    const numbers = (text: string): string[] => [...new Set(text.match(/\d+(?:[.,/]\d+)*/g))].sort();
    const written: Readonly<Record<string, string>> = { ten: "10", diez: "10" };
    for (const [key, text] of english) {
      const digits = (of: string): string[] => numbers(of.replace(/\b(ten|diez)\b/g, (word) => written[word] ?? word));
      if (CHOOSING.test(key)) continue;
      expect(digits(spanish.get(key) ?? ""), key).toEqual(digits(text));
    }
  });

  test("print only characters of the embedded font", () => {
    const text = [...english.values(), ...spanish.values()].join("").replace(/[⟨⟩]/g, "");
    expect(uncoveredCharacters(text)).toEqual([]);
  });

  test("have a signal word and a text for every hazard", () => {
    expect(Object.keys(es.signal)).toEqual(["danger", "warning", "caution", "notice"]);
    for (const text of Object.values(es.safety)) expect(String(text).length).toBeGreaterThan(5);
  });
});

describe("warnings in Spanish", () => {
  /** Codes of warnings in the stages' source: those that reach the cover. */
  function warningCodes(): string[] {
    const stages = ["job", "layout", "survey", "slab", "target", "depths", "quantities", "pour", "record"];
    const codes = stages.flatMap((stage) => {
      const folder = new URL(`../../src/${stage}/`, import.meta.url);
      return readdirSync(folder)
        .filter((name) => name.endsWith(".ts"))
        .flatMap((name) => {
          const text = readFileSync(new URL(name, folder), "utf8");
          const found = [
            ...text.matchAll(/code: "([a-z-]+)",\s*severity: "warning"/g),
            ...text.matchAll(/warnAt(?:Place)?\([^{}]*\{\s*code: "([a-z-]+)"/g),
          ];
          return found.map(([, code]) => code as string);
        });
    });
    return [...new Set(codes)].sort();
  }

  test("every warning of a stage has its own sentence", () => {
    const codes = warningCodes();
    expect(codes.length).toBeGreaterThan(8);
    expect(codes.filter((code) => !SPANISH_WARNING_CODES.has(code))).toEqual([]);
  });

  test("an unknown one still says that there is a warning, by its code", () => {
    expect(spanishWarning("brand-new", "")).toContain("brand-new");
  });
});
