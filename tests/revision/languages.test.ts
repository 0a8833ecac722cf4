/** A packet of two languages stands as one: a sheet that differs in one of them makes all of it a draft. */
import { expect, test } from "vitest";
import { changesBetween } from "../../src/revision/changes.ts";
import type { IssuedRevision, Revisions } from "../../src/revision/model.ts";
import { composePacket } from "../../src/sheets/compose-sheets.ts";
import type { Findings, Sheet } from "../../src/sheets/model.ts";
import { toPacket } from "../../src/sheets/packet.ts";
import { findings } from "../sheets/fixtures/small-clinic.ts";

const numbers = toPacket(findings, []);
const LANGUAGES = ["en", "es"] as const;

const revision = (number: number, sheets: readonly Sheet[]): IssuedRevision => ({
  folder: `revision-${number}`,
  number,
  date: `2027-03-0${number}`,
  reason: "pour",
  program: { version: "1", hash: "" },
  inputHash: "",
  // A sheet that says what it said keeps the revision in which it said it first.
  sheets: sheets.map(({ id, title, language, hash, standing }) => {
    const at = standing.kind === "issued" ? standing.revision : number;
    return { id, title, language, hash, revision: at, date: `2027-03-0${at}` };
  }),
  numbers,
  digest: "",
});
const after = (issued: readonly IssuedRevision[], issuing?: Revisions["issuing"]): Findings => ({
  ...findings,
  revisions: {
    issued,
    ...(issuing === undefined ? {} : { issuing }),
    changesSince: issued.slice(-2).map((one) => changesBetween(one, numbers)),
    inputAsIssued: issuing === undefined,
  },
});
const issuing = (number: number) => ({ date: `2027-03-0${number}`, reason: "pour" });

const first = revision(1, composePacket(after([], issuing(1)), LANGUAGES));
const second = revision(2, composePacket(after([first], issuing(2)), LANGUAGES));
const coverOf = (sheets: readonly Sheet[], language: string) =>
  sheets.find((sheet) => sheet.id === "cover" && sheet.language === language)?.standing;

test("as issued it is the last revision in both languages", () => {
  const sheets = composePacket(after([first, second]), LANGUAGES);
  expect(
    sheets.filter(({ standing }) => standing.kind !== "issued").map(({ id, language }) => `${id} ${language}`),
  ).toEqual([]);
});

test("where a Spanish sheet was issued otherwise, the English cover and change sheet are a draft's too", () => {
  const other = {
    ...second,
    sheets: second.sheets.map((sheet) =>
      sheet.language === "es" && sheet.id === "safety" ? { ...sheet, hash: "00000000" } : sheet,
    ),
  };
  const sheets = composePacket(after([first, other]), LANGUAGES);
  for (const language of LANGUAGES) expect(coverOf(sheets, language)).toEqual({ kind: "draft-after", revision: 2 });
});
