/** Floors that no shipped job has, as PDFs. Those of thousands of pins have a run of their own. */
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Printer } from "../../src/print/print-pages.ts";
import { checkPapers } from "./check-pdf.ts";
import { type FloorOrder, generatedFloor } from "./generated-floor.ts";
import { textOf } from "./page-parts.ts";
import { openTestPrinter, printJob } from "./print-job.ts";

const FLOORS: readonly (readonly [string, FloorOrder])[] = [
  [
    "2 m² and three pins",
    { id: "two-square-metres", eastM: 1.4, northM: 1.43, spacingM: 0.7, family: "letter", lastNotRead: true },
  ],
  [
    "a corridor of 60 m by 2 m, ids of ten characters, long notes, names with accents",
    {
      id: "corridor10",
      eastM: 60,
      northM: 2,
      spacingM: 2,
      family: "a4",
      title: "Ångström–Şehir Żółć, couloir très long du rez-de-chaussée, deuxième phase",
      roomName: "Couloir d’évacuation nº 2 « côté cour »",
      columnId: "COLUMN-100",
      pointId: "DRAIN-EAST",
      notes: ["A note of many words that has to be broken. ".repeat(10).trim(), "x".repeat(300)],
    },
  ],
  ...(["letter", "a4"] as const).map((family): readonly [string, FloorOrder] => [
    `names and notes that run from right to left, on ${family}`,
    {
      id: `right-to-left-${family}`,
      eastM: 8,
      northM: 5,
      spacingM: 1.8,
      family,
      title: "בניין 7, קומת מרתף – الطابق السفلي",
      roomName: "מעבדה 12 (مختبر)",
      notes: [
        "יש לבדוק את הלחות לפני היציקה, בשלושה מקומות לפחות. ".repeat(6).trim(),
        "لا يُصب قبل أن يجف السطح (75 %).",
      ],
    },
  ]),
];

let printer: Printer;
beforeAll(() => {
  printer = openTestPrinter();
});
afterAll(async () => {
  await printer.close();
});

describe.each(FLOORS)("%s", (_, order) => {
  test("keeps every rule that can be read off its pages", { timeout: 300_000 }, async () => {
    for (const { papers, expected } of await printJob(printer, order.id, generatedFloor(order))) {
      expect(checkPapers(papers, expected)).toEqual([]);
    }
  });
});

test("letters that the font lacks are named on the cover, and break no other rule than that of fonts", {
  timeout: 300_000,
}, async () => {
  const order: FloorOrder = {
    id: "other-letters",
    eastM: 4,
    northM: 3,
    spacingM: 1.5,
    family: "letter",
    roomName: "कमरा 2",
  };
  const [english] = await printJob(printer, order.id, generatedFloor(order));
  const { papers, expected } = english!;
  const cover = papers
    .flatMap(({ pages }) =>
      pages.flatMap(({ marks }) => marks.flatMap((mark) => (mark.kind === "text" ? [textOf(mark)] : []))),
    )
    .join(" ");
  expect(cover).toContain("The printed font lacks these characters of the job file");
  expect(checkPapers(papers, expected).filter(({ rule }) => rule !== "fonts")).toEqual([]);
});
