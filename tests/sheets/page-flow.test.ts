import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Block, TableBlock } from "../../src/sheets/page/blocks.ts";
import { cell, heading, KNEELING, list, paragraph, table } from "../../src/sheets/page/make-blocks.ts";
import { flowOntoPages } from "../../src/sheets/page/page-flow.ts";

const WIDTH = 180;
const rowsOf = (count: number, name = "row") =>
  Array.from({ length: count }, (_, k) => ({ cells: [cell(`${name} ${k + 1}`, 4.45), cell("x", 4.45)] }));
const tableOf = (count: number): TableBlock =>
  table(
    "caption",
    [
      { heading: "A", widthMm: 90, namesRow: true },
      { heading: "B", widthMm: 90 },
    ],
    rowsOf(count),
    4.45,
  );
const used = (page: readonly Block[]): number => page.reduce((sum, block) => sum + block.heightMm, 0);

describe("blocks on pages", () => {
  test("a table that goes on has its head again, and keeps its rows whole and in order", () => {
    const pages = flowOntoPages([tableOf(60)], 200);
    expect(pages.length).toBeGreaterThan(2);
    const rows = pages.flat().flatMap((block) => (block.kind === "table" ? block.rows : []));
    expect(rows.map((row) => row.cells[0]?.lines[0]?.text)).toEqual(rowsOf(60).map((_, k) => `row ${k + 1}`));
    for (const block of pages.flat()) {
      expect(block.kind === "table" && block.columns.map((column) => column.heading)).toEqual([["A"], ["B"]]);
    }
  });

  test("a heading goes with what it heads", () => {
    const filler = paragraph("text", WIDTH, KNEELING);
    for (let count = 15; count < 25; count++) {
      const blocks = [...Array.from({ length: count }, () => filler), heading("Head", WIDTH), tableOf(3)];
      for (const page of flowOntoPages(blocks, 200)) expect(page.at(-1)?.kind).not.toBe("heading");
    }
  });

  test("two rows at least stand under a head, on whichever page", () => {
    for (let count = 1; count < 22; count++) {
      const blocks = [...Array.from({ length: count }, () => paragraph("t", WIDTH, KNEELING)), tableOf(7)];
      for (const block of flowOntoPages(blocks, 200).flat()) {
        if (block.kind === "table") expect(block.rows.length).toBeGreaterThanOrEqual(2);
      }
    }
  });

  test("no page is left with a line or two: the one before hands it what makes them alike, and no page is added", () => {
    for (let count = 16; count < 80; count++) {
      const pages = flowOntoPages([heading("Head", WIDTH), paragraph("Text.", WIDTH, KNEELING), tableOf(count)], 200);
      const rowMm = tableOf(2).rows[0]!.heightMm;
      // As many pages as rows of one height need: head and text on the first, a table's head on each.
      const first = used([heading("Head", WIDTH), paragraph("Text.", WIDTH, KNEELING)]);
      const room = Math.floor((200 - tableOf(2).headHeightMm) / rowMm);
      const roomOnFirst = Math.floor((200 - first - tableOf(2).headHeightMm) / rowMm);
      expect(pages).toHaveLength(1 + Math.max(0, Math.ceil((count - roomOnFirst) / room)));
      if (pages.length > 1) expect(used(pages.at(-1)!)).toBeGreaterThan(200 / 3 - rowMm);
    }
  });

  test("a page behind one that cannot be divided stays as it is", () => {
    const figure: Block = { ...paragraph("One block as high as a page.", WIDTH, KNEELING), heightMm: 195 };
    const pages = flowOntoPages([figure, paragraph("A line.", WIDTH, KNEELING)], 200);
    expect(pages.map((page) => page.length)).toEqual([1, 1]);
  });

  test("a numbered list goes on with its numbers", () => {
    const pages = flowOntoPages(
      [
        list(
          Array.from({ length: 60 }, (_, k) => `item ${k}`),
          WIDTH,
          KNEELING,
          true,
        ),
      ],
      150,
    );
    let next = 1;
    for (const block of pages.flat()) {
      if (block.kind !== "list") continue;
      expect(block.start).toBe(next);
      next += block.items.length;
    }
    expect(next).toBe(61);
  });

  test("whatever is laid out, nothing is lost and no page overflows", () => {
    const block = fc.oneof(
      fc.integer({ min: 1, max: 30 }).map((count) => tableOf(count)),
      fc.string({ minLength: 1, maxLength: 400 }).map((text) => paragraph(text, WIDTH, KNEELING)),
      fc.string({ minLength: 1, maxLength: 40 }).map((text) => heading(text, WIDTH)),
      fc
        .array(fc.string({ minLength: 1, maxLength: 90 }), { minLength: 1, maxLength: 12 })
        .map((items) => list(items, WIDTH, KNEELING)),
    );
    fc.assert(
      fc.property(fc.array(block, { maxLength: 14 }), fc.integer({ min: 120, max: 260 }), (blocks, height) => {
        const pages = flowOntoPages(blocks, height);
        // The gap below a last table may hang over.
        for (const page of pages) if (page.length > 1) expect(used(page)).toBeLessThanOrEqual(height + 3.001);
        const rows = (of: readonly Block[]): number =>
          of.reduce(
            (sum, one) => sum + (one.kind === "table" ? one.rows.length : one.kind === "list" ? one.items.length : 1),
            0,
          );
        expect(rows(pages.flat())).toBe(rows(blocks));
      }),
      { seed: 20270304, numRuns: 120 },
    );
  });
});
