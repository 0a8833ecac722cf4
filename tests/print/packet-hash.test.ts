/** What the cover says of the whole packet: its hash, the same as on the page and in packet.json, and the code for a phone. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { makePacket } from "../../src/build.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { projectFolder } from "../../src/print/cache-folder.ts";
import type { Packet } from "../../src/sheets/packet-schema.ts";
import type { CodeBlock } from "../../src/sheets/page/blocks.ts";

const SITE = "https://floors.example/packets/";
const { library } = loadLibrary(join(projectFolder, "jobs"));
const own = readFileSync(join(projectFolder, "jobs", "maple-loft-bath.yaml"), "utf8");
const text = `${own.replace(/^languages:.*$\n/m, "").replace(/^company:(\n {2}.*)*\n/m, "")}languages: [es, en]\ncompany: { name: Example Floors, site: "${SITE}" }\n`;
const made = makePacket(
  { jobId: "maple-loft-bath", file: "jobs/maple-loft-bath.yaml", text, library },
  await loadSolver(),
);
if (made.kind !== "made") throw new Error(made.problems.map(({ message }) => message).join("; "));
const { sheets, page, packetJson } = made.packet;
const packet = JSON.parse(packetJson) as Packet;
const cover = (language: string) => sheets.find((sheet) => sheet.id === "cover" && sheet.language === language)!;
const blocks = (language: string) => cover(language).pages.flatMap((one) => one.blocks);

describe("the packet's hash", () => {
  test("is the same on the cover of the first language, on the page, and in packet.json", () => {
    const inPacket = new Map(packet.packetHashes?.map(({ language, hash }) => [language, hash]));
    expect(page.packetHash).toMatch(/^[0-9a-f]{8}$/);
    expect(inPacket.get("es")).toBe(page.packetHash);
    for (const language of ["es", "en"] as const)
      expect(JSON.stringify(blocks(language))).toContain(inPacket.get(language));
    expect(inPacket.get("en")).not.toBe(inPacket.get("es"));
  });
});

describe("the code for a phone", () => {
  const code = blocks("en").find((block): block is CodeBlock => block.kind === "code")!;
  const dark = new Set([...code.path.matchAll(/M(\d+) (\d+)h1v1h-1z/g)].map(([, x, y]) => `${x} ${y}`));
  const at = (x: number, y: number): boolean => dark.has(`${x} ${y}`);

  test("stands beside the address in plain text", () => {
    expect(code.caption.join("")).toContain(SITE);
  });

  test("has finder patterns, timing patterns and a light zone of four modules (ISO/IEC 18004, from memory)", () => {
    const size = code.modules - 8;
    expect((size - 17) % 4).toBe(0);
    for (let k = 0; k < code.modules; k++)
      for (let edge = 0; edge < 4; edge++)
        for (const [x, y] of [
          [k, edge],
          [edge, k],
          [k, code.modules - 1 - edge],
          [code.modules - 1 - edge, k],
        ] as const)
          expect(at(x, y)).toBe(false);
    // A finder pattern is a dark ring 7 wide, a light one 5 wide, a dark square 3 wide.
    for (const [left, top] of [
      [4, 4],
      [4 + size - 7, 4],
      [4, 4 + size - 7],
    ] as const)
      for (let x = 0; x < 7; x++)
        for (let y = 0; y < 7; y++)
          expect(at(left + x, top + y)).toBe(Math.max(Math.abs(x - 3), Math.abs(y - 3)) !== 2);
    for (let k = 8; k < size - 8; k++) expect([at(4 + k, 10), at(10, 4 + k)]).toEqual([k % 2 === 0, k % 2 === 0]);
  });

  test("has modules of 0.8 mm at least, for a phone at arm's length over a wet sheet (common practice)", () => {
    expect(code.sizeMm / code.modules).toBeGreaterThanOrEqual(0.8);
  });
});
