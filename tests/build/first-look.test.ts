/** What a save is answered with before its packet is made: the same cuts, and nothing that the packet would refuse. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { lookFirst, makePacket } from "../../src/build.ts";
import { openLooks } from "../../src/cli/serve-verb.ts";
import { loadLibrary } from "../../src/job/files.ts";
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
  expect(looks.settle("hall", 1)).toBe("later look");
  expect(looks.at("hall/index.html")).toBe("second");
  looks.show("hall", 2, new Map([["hall/en/hall-pin-map-en-0.pdf", "pdf"]]));
  expect(looks.settle("hall", 2)).toBe("look");
  expect(looks.at("hall/index.html")).toBeUndefined();
  expect(looks.at("hall/en/hall-pin-map-en-0.pdf")).toBe("pdf");
  expect(looks.settle("hall", 2)).toBe("none");
  looks.show("hall", 3, new Map([["hall/index.html", "third"]]));
  expect(looks.at("hall/en/hall-pin-map-en-0.pdf")).toBeUndefined();
});
