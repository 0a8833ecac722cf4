/** A pin of a large floor is found as the crew finds it: by the marks that are printed on the key map, and by nothing else. */
import { describe, expect, test } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { rowIndex } from "../../src/job/grid-names.ts";
import { readJob } from "../../src/job/read-job.ts";
import { type CutSubject, composeCutTable } from "../../src/sheets/cut-table.ts";
import type { TextMark } from "../../src/sheets/drawing.ts";
import type { SheetPage } from "../../src/sheets/model.ts";
import type { Block } from "../../src/sheets/page/blocks.ts";
import { composePinMap } from "../../src/sheets/pin-map.ts";
import { en } from "../../src/sheets/words/en.ts";
import { generatedFloor } from "../paper/generated-floor.ts";

const { library } = loadLibrary("jobs");
const solve = await loadSolver();

/** A hall of 30 m by 26 m with 180 pins on its grid, two at its door, and a point of its own. */
function hall(): CutSubject {
  const text = generatedFloor({ id: "hall", eastM: 30, northM: 26, spacingM: 2, family: "a4", pointId: "DRAIN-EAST" });
  const { job } = readJob(text, "jobs/hall.yaml", library);
  const found = job && findingsOf(job, solve, "first look");
  if (found?.kind !== "ready" || found.value.depths.kind !== "ready") throw new Error("the hall is not there");
  const { plan, depths } = found.value;
  return { job: found.value.job, plan, depths: depths.value, words: en };
}

const subject = hall();
const blocksOf = (page: Pick<SheetPage, "blocks">): readonly Block[] => page.blocks;
const textsOf = (blocks: readonly Block[]): TextMark[] =>
  blocks.flatMap((block) =>
    block.kind === "drawing"
      ? block.drawing.layers.flatMap(({ marks }) => marks.flatMap((mark) => (mark.kind === "text" ? [mark] : [])))
      : [],
  );

describe("the key map", () => {
  const { pages } = composePinMap(subject);
  const key = blocksOf(pages[0]!);
  const marks = textsOf(key);
  const listed = pages
    .flatMap(blocksOf)
    .flatMap((block) => (block.kind === "list" ? block.items.map(({ lines }) => lines.join(" ")) : []));
  const inRange = (range: string, place: (name: string) => number, wanted: string): boolean => {
    const [from, to = from] = range.split("–");
    return place(from!) <= place(wanted) && place(wanted) <= place(to!);
  };

  /** The page that the printed marks give for a pin. */
  function pageFor(id: string): number {
    const line = listed.find((one) => new RegExp(`[ ,:]${id}(,|$| and)`).test(one));
    if (line !== undefined) return Number(/page (\d+)/.exec(line)?.[1]);
    const [, letters, digits] = /^([A-Z]+)(\d+)[a-z]*$/.exec(id) ?? [];
    const row = marks.find(
      ({ text, anchor }) =>
        anchor === "end" && /^[A-Z]+(–[A-Z]+)?$/.test(text) && inRange(text, (name) => rowIndex(name)!, letters!),
    )!;
    const column = marks.find(
      ({ text, weight }) => weight === 700 && /^\d+(–\d+)?$/.test(text) && inRange(text, Number, digits!),
    )!;
    const nearest = (of: readonly TextMark[]): TextMark =>
      of.reduce((best, one) =>
        Math.hypot(one.x - column.x, one.y - row.y) < Math.hypot(best.x - column.x, best.y - row.y) ? one : best,
      );
    const tile = nearest(marks.filter(({ text }) => /^[a-z]\d+$/.test(text)));
    const page = marks.find(({ text, x, y }) => /^\d+$/.test(text) && x === tile.x && y > tile.y && y < tile.y + 8)!;
    return Number(page.text);
  }

  test("leads to the page on which the pin is printed, each of them", () => {
    expect(pages.length).toBeGreaterThan(5);
    expect(subject.depths.pins.length).toBeGreaterThan(180);
    for (const { pin } of subject.depths.pins) {
      const page = pages[pageFor(pin.id) - 1];
      expect(page === undefined ? [] : textsOf(blocksOf(page)).map(({ text }) => text), pin.id).toContain(pin.id);
    }
  });

  test("lists what its lines do not lead to: pins at doors, and points with names of their own", () => {
    const names = listed.join(" ");
    for (const id of ["DRAIN-EAST", "D1a", "D1b"]) expect(names).toContain(id);
    expect(names).not.toContain("C7");
  });
});

test("each page of a long cut table begins with its first and its last pin", () => {
  const { pages } = composeCutTable(subject);
  expect(pages.length).toBeGreaterThan(4);
  const seen: string[] = [];
  for (const page of pages) {
    const blocks = blocksOf(page);
    const ids = blocks.flatMap((block) =>
      block.kind === "table"
        ? block.rows.flatMap(({ cells }) => {
            const id = cells[0]?.lines[0]?.text ?? "";
            return subject.depths.pins.some(({ pin }) => pin.id === id) ? [id] : [];
          })
        : [],
    );
    if (ids.length === 0) continue;
    seen.push(...ids);
    const [first] = blocks;
    expect(first?.kind === "text" ? first.lines : []).toEqual([`This page: from ${ids[0]} to ${ids.at(-1)}`]);
  }
  expect([...seen].sort()).toEqual(subject.depths.pins.map(({ pin }) => pin.id).sort());
});
