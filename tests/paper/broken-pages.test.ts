import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { projectFolder } from "../../src/print/cache-folder.ts";
import type { Printer } from "../../src/print/print-pages.ts";
import { DEPTH_MM } from "../../src/sheets/type/type-sizes.ts";
import { type Change, drawing, findingsOn, foot, type HandPage, line, printPages, svgText } from "./broken-page.ts";
import { openTestPrinter } from "./print-job.ts";
import type { Paper, PaperPage } from "./read-paper.ts";
import { RULES } from "./rules.ts";

const NORTH = svgText(0, 10, "N");
const SCALE = svgText(0, 130, "Scale") + svgText(20, 130, "1:50", 6);
const bar = (y: number, partMm: number, label: string): string =>
  [0, 1, 2, 3]
    .map(
      (k) =>
        `<rect class="${k % 2 === 0 ? "solid" : "frame"}" x="${k * partMm}" y="${y}" width="${partMm}" height="2.4"/>`,
    )
    .join("") + svgText(4 * partMm, y - 1, label, 4.5, 'text-anchor="end"');
const CHECK = `<path class="bar" d="M0 180L76.2 180"/>${svgText(0, 188, "Check: this bar is 3.00 in (76.2 mm).", 4.5)}`;
/** Pins of 1:50 with their labels; walls, which make it a map. */
const pin = (x: number, y: number, [id, large, small]: readonly string[], size = 5.9): string =>
  `<circle class="pin" cx="${x}" cy="${y}" r="1.5"/>${svgText(x + 3, y - 1, id ?? "", size)}${svgText(x + 13, y - 1, large ?? "", size, 'font-weight="700"')}${svgText(x + 3, y + 7, small ?? "", size)}`;
const WALLS = `<path class="outline" d="M110 5L150 5L150 10L110 10Z"/>`;
const [A1, A2, B1] = [
  ["A1", "15", "9/16 in"],
  ["A2", "12", "1/2 in"],
  ["B1", "9", "3/8 in"],
] as const;
const map = (marks: string, parts: { bars?: string; north?: string; check?: string } = {}): HandPage => ({
  title: "Pin map",
  body: drawing(
    `${WALLS}${parts.north ?? NORTH}${SCALE}${parts.bars ?? bar(145, 10, "2 m") + bar(160, 12.192, "8 ft")}${parts.check ?? CHECK}${marks}`,
  ),
});
const PINS = pin(30, 90, A1) + pin(70, 90, A2) + pin(30, 50, B1);

const SOUND: readonly (readonly [string, HandPage])[] = [
  ["a page of text", { body: line("The slab is tested, cleaned and primed.") }],
  ["a map", map(PINS)],
];

const ROW = `<tr><th scope="row">A1</th><td>15</td></tr>`;
const table = (head: string, rows: string): string =>
  `<table style="font-size:4.9mm">${head}<tbody>${rows}</tbody></table>`;
const HEAD = `<thead><tr><th scope="col">Pin</th><th scope="col">Length</th></tr></thead>`;
const cards = (count: number, text = "Answer with a value"): string =>
  `<ol class="checks" style="font-size:4.9mm;line-height:6.5mm">${Array.from(
    { length: count },
    (_, k) =>
      `<li style="height:13mm"><b class="number">${k + 1}</b><span class="question">${k + 1 === count ? "Card complete: time and initials" : text}</span><span class="answer"><span class="box"></span></span></li>`,
  ).join("")}</ol>`;

/** The embedded font has tabular digits only: here one digit takes half a millimetre less. */
const withProportionalDigits = (paper: Paper): Paper => ({
  ...paper,
  pages: paper.pages.map((page) => ({
    ...page,
    marks: page.marks.map((mark) =>
      mark.kind !== "text" || mark.text !== "1117"
        ? mark
        : {
            ...mark,
            glyphs: mark.glyphs.map((glyph, index) =>
              index < 2 ? glyph : { ...glyph, origin: { x: glyph.origin.x - 0.5, y: glyph.origin.y } },
            ),
          },
    ),
  })),
});

/** One page for each rule, and the rule that has to see it. */
const BROKEN: readonly (readonly [string, string, readonly HandPage[], Change?])[] = [
  [
    "1 digits of 3.9 mm on the pin map",
    "digit height",
    [map(pin(30, 90, A1, 5.5) + pin(70, 90, A2) + pin(30, 50, B1))],
  ],
  ["1 a batch time of 8 mm on the pour clock", "digit height", [{ title: "Pour clock", body: line("0:03", 11.2) }]],
  ["1 other text of 3 mm on the cut table", "type size", [{ title: "Cut table", body: line("Snap these lines", 4.2) }]],
  ["2 capitals of 2.4 mm at the desk", "type size", [{ body: line("The slab is tested", 3.4) }]],
  ["2 an x-height of 2.5 mm on the cover", "type size", [{ title: "Cover", body: line("Fix wax", 4.65) }]],
  [
    "3 lines that stand too close",
    "leading",
    [{ body: `<p style="font-size:4.9mm;line-height:5.7mm">First line<br>Second line</p>` }],
  ],
  ["3 a line of 80 characters", "line length", [{ body: line("Word ".repeat(16).trim(), 3.6) }]],
  ["3 a sentence in capitals", "mixed case", [{ body: line("NEVER PLACE PINS BY FEEL") }]],
  ["4 figures that are not tabular", "tabular figures", [{ body: line("1117") }], { paper: withProportionalDigits }],
  ["4 units that do not agree", "both units", [{ body: line("Cut to 15 mm (11/16 in)") }]],
  [
    "4 a cut length in one unit",
    "both units",
    [map(pin(30, 90, ["A1", "15", ""]) + pin(70, 90, A2) + pin(30, 50, B1))],
  ],
  [
    "4 a cut length that packet.json does not have",
    "both units",
    [map(pin(30, 90, ["A1", "16", "5/8 in"]) + pin(70, 90, A2) + pin(30, 50, B1))],
  ],
  [
    "4 decimals that do not stand below each other",
    "decimals aligned",
    [
      {
        title: "Cut table",
        body: drawing(
          `${svgText(0, 10, "A1")}${svgText(30, 10, "15 mm")}${svgText(60, 10, "9/16 in")}${svgText(0, 30, "A2")}${svgText(34, 30, "12 mm")}${svgText(60, 30, "1/2 in")}${svgText(0, 50, "B1")}${svgText(34, 50, "9 mm")}${svgText(60, 50, "3/8 in")}`,
        ),
      },
    ],
  ],
  ["5 grey text", "contrast", [{ body: line("Primed and dry", 4.9, "color:#777") }]],
  ["5 black text on a dark tint", "contrast", [{ body: line("Primed and dry", 4.9, "background:#777") }]],
  ["5 a tint that is too dark", "tints", [{ body: drawing(`<rect width="20" height="9" style="fill:#808080"/>`) }]],
  [
    "5 tints that cannot be told apart",
    "tints",
    [
      {
        body: drawing(
          `<rect width="20" height="9" style="fill:#c0c0c0"/><rect y="9" width="20" height="9" style="fill:#d0d0d0"/>`,
        ),
      },
    ],
  ],
  [
    "5 four tints",
    "tints",
    [
      {
        body: drawing(
          ["#f4f4f4", "#d4d4d4", "#b6b6b6", "#999999"]
            .map((fill, k) => `<rect y="${9 * k}" width="20" height="9" style="fill:${fill}"/>`)
            .join(""),
        ),
      },
    ],
  ],
  ["5 a red word", "hue", [{ body: line("Primed and dry", 4.9, "color:#a00000") }]],
  [
    "5 a band of depth without its number",
    "band number",
    [map(`<rect class="tint-1" x="100" y="20" width="50" height="50"/>${PINS}`)],
  ],
  [
    "5 a band whose number stands beside it",
    "band number",
    [
      map(
        `<rect class="tint-1" x="100" y="20" width="50" height="50"/><circle class="label-box" cx="90" cy="40" r="2.6"/>${svgText(90, 42, "2", 4.5, 'text-anchor="middle"')}${PINS}`,
      ),
    ],
  ],
  [
    "6 two labels on each other",
    "label overlap",
    [{ body: drawing(svgText(10, 20, "COL1") + svgText(14, 22, "DR12")) }],
  ],
  [
    "6 a line that runs through a label",
    "contrast",
    [{ body: drawing(`<path class="outline" d="M0 18L60 18"/>${svgText(10, 20, "Office")}`) }],
  ],
  [
    "6 a box that covers a label",
    "covered",
    [{ body: drawing(`${svgText(10, 20, "Office")}<rect class="label-box" x="12" y="15" width="4" height="8"/>`) }],
  ],
  ["6 three labels in a square inch", "label density", [map(pin(30, 90, A1) + pin(31, 77, A2) + pin(53, 84, B1))]],
  [
    "6 text that runs downhill",
    "text upright",
    [map(`${PINS}${svgText(100, 60, "Store", 6, 'transform="rotate(90 100 60)"')}`)],
  ],
  [
    "7 contours 0.6 mm apart",
    "contour spacing",
    [map(`${PINS}<path class="contour" d="M100 30L160 30"/><path class="contour-index" d="M100 30.6L160 30.6"/>`)],
  ],
  [
    "7 a label in the gap of a fine contour",
    "contour label",
    [map(`${PINS}<path class="contour" d="M100 130L117 130M132 130L150 130"/>${svgText(120, 132, "10", DEPTH_MM)}`)],
  ],
  [
    "7 a heavier contour that is not broken at its label",
    "contour label",
    [map(`${PINS}<path class="contour-index" d="M100 130L150 130"/>${svgText(120, 132, "10", DEPTH_MM)}`)],
  ],
  [
    "7 a heavier contour at every fourth depth",
    "contour label",
    [
      map(
        `${PINS}${svgText(100, 180, "Contour every 1 mm (0.04 in)")}<path class="contour-index" d="M100 130L117 130M132 130L150 130"/>${svgText(120, 132, "12", DEPTH_MM)}`,
      ),
    ],
  ],
  [
    "9 a scale bar that is 2 % short",
    "scale bar",
    [map(PINS, { bars: bar(145, 9.8, "2 m") + bar(160, 12.192, "8 ft") })],
  ],
  ["9 a plan without feet", "scale bar", [map(PINS, { bars: bar(145, 10, "2 m") })]],
  ["9 a plan without north", "north", [map(PINS, { north: "" })]],
  ["9 a check length of 75 mm that says 76.2", "check length", [map(PINS, { check: CHECK.replace("L76.2", "L75") })]],
  [
    "9 a pin 1 mm off its place on the paper",
    "drawn to scale",
    [map(pin(30, 90, A1) + pin(71, 90, A2) + pin(30, 50, B1) + pin(30, 20, ["", "", ""]) + pin(50, 20, ["", "", ""]))],
  ],
  ["9 a grid line named I", "grid letters", [map(`${PINS}${svgText(100, 60, "I  1.25 m", 6)}`)]],
  [
    "9 a tile that goes on at one which is not there",
    "tiles",
    [map(`${PINS}${svgText(60, 20, "Tile a1")}${svgText(60, 28, "Match line, goes on at Tile a2", 4.9)}`)],
  ],
  [
    "9 two tiles, one of them not turned as the other",
    "tiles",
    [
      {
        ...map(`${PINS}${svgText(60, 20, "Tile a1")}${svgText(60, 28, "Match line, goes on at Tile a2", 4.9)}`),
        foot: foot("Pin map", 1, 2),
      },
      {
        ...map(`${PINS}${svgText(60, 20, "Tile a2")}${svgText(60, 28, "Match line, goes on at Tile a1", 4.9)}`),
        foot: foot("Pin map", 2, 2),
        paper: "tabloid-landscape",
      },
    ],
  ],
  [
    "10 a page without its revision",
    "identity",
    [{ body: line("Text"), foot: foot("Method").filter((part) => part !== "Revision 0") }],
  ],
  [
    "10 a page that is missing",
    "identity",
    [
      { body: line("One"), foot: foot("Method", 1, 3) },
      { body: line("Three"), foot: foot("Method", 3, 3) },
    ],
  ],
  [
    "10 a hash that the cover does not list",
    "identity",
    [{ title: "Cover", body: line("Method 1 GC 99990000") }, { body: line("Text") }],
  ],
  ["11 paper of another family", "paper size", [{ body: line("Text"), paper: "a4-portrait" }]],
  ["11 text in the margin", "margins", [{ body: line("Text", 4.9, "margin-left:-6mm") }]],
  [
    "11 a word cut off at the edge",
    "clipped",
    [{ body: line("Text that goes on", 4.9, "margin-left:170mm;white-space:nowrap") }],
  ],
  ["11 more text than the page holds", "overflow", [{ body: line("Text<br>".repeat(38)) }]],
  ["12 a table that goes on without its head", "table head", [{ body: table("", ROW + ROW) }]],
  [
    "12 a head with no row under it",
    "table head",
    [{ body: table(`<thead><tr><th scope="col">Pin</th></tr></thead>`, "") }],
  ],
  [
    "12 a table of which one row goes on",
    "two rows",
    [
      { body: table(HEAD, ROW + ROW), foot: foot("Method", 1, 2) },
      { body: table(HEAD, ROW), foot: foot("Method", 2, 2) },
    ],
  ],
  [
    "12 a line alone on a page behind a full one",
    "scrap",
    [
      { body: line("Text<br>".repeat(28)), foot: foot("Method", 1, 2) },
      { body: line("Text"), foot: foot("Method", 2, 2) },
    ],
  ],
  [
    "12 a heading alone at the foot",
    "heading alone",
    [{ body: `${line("Text")}<h2 style="font-size:5.8mm;font-weight:700;margin-top:150mm">Strips</h2>` }],
  ],
  ["13 a card with ten items", "pause card", [{ title: "Pause cards", body: cards(10) }]],
  [
    "13 a card of many words",
    "pause card",
    [
      {
        title: "Pause cards",
        body: cards(9, "Answer this one with a value, and then with another value, and say it aloud to the others"),
      },
    ],
  ],
  [
    "13 a card that does not say that it is complete",
    "pause card",
    [{ title: "Pause cards", body: cards(5).replace("Card complete: time and initials", "Bags used") }],
  ],
  [
    "13 an item without a place for its answer",
    "pause card",
    [{ title: "Pause cards", body: cards(5).replace(`<span class="box"></span>`, "") }],
  ],
  ["14 a box of 7 mm", "box", [{ body: drawing(`<rect class="blank-box" x="10" y="10" width="20" height="7"/>`) }]],
  ["15 too much ink on a page of text", "ink", [{ body: drawing(`<rect class="solid" width="180" height="100"/>`) }]],
  [
    "15 too much ink on a map",
    "ink",
    [
      map(
        `${PINS}<rect class="solid" x="0" y="10" width="150" height="1"/><rect class="solid" x="5" y="190" width="180" height="24"/><rect class="solid" x="70" y="12" width="115" height="176"/>`,
      ),
    ],
  ],
  [
    "15 a font of this machine",
    "fonts",
    [{ body: line("Text") }],
    { paper: (paper) => ({ ...paper, fonts: [{ name: "DejaVuSans", embedded: true }] }) },
  ],
  [
    "15 no title",
    "title",
    [{ body: line("Text") }],
    { html: (html) => html.replace(/<title>.*<\/title>/, "<title></title>") },
  ],
  ["15 no language", "language", [{ body: line("Text") }], { html: (html) => html.replace(' lang="en"', "") }],
  [
    "15 no heading to make a bookmark of",
    "bookmarks",
    [{ body: line("Text") }],
    { html: (html) => html.replace('<h1 class="title">', '<p class="title">').replace("</h1>", "</p>") },
  ],
  [
    "15 header cells without scope",
    "table headers",
    [{ body: line("Text") }],
    { paper: (paper) => ({ ...paper, headerCells: 2, scopedHeaderCells: 1 }) },
  ],
  [
    "15 a font that is not in the file",
    "fonts",
    [{ body: line("Text") }],
    { paper: (paper) => ({ ...paper, fonts: [{ name: "NotoSans-Bold", embedded: false }] }) },
  ],
  ["15 no tags", "tags", [{ body: line("Text") }], { paper: (paper) => ({ ...paper, tagged: false }) }],
  ["15 a file name without the job", "file name", [{ body: line("Text") }], { fileName: "crew-set-en-draft.pdf" }],
  [
    "15 a set's file name without its revision",
    "file name",
    [{ body: line("Text") }],
    { fileName: "small-job-gc-set-en.pdf" },
  ],
  [
    "16 an English word on a Spanish sheet",
    "language",
    [
      {
        body: line("Mezcle con water hasta que fluya"),
        foot: foot("Method").map((part) =>
          part.replace("Page 1 of 1", "Página 1 de 1").replace("DRAFT", "BORRADOR").replace("Revision", "Revisión"),
        ),
      },
    ],
    { expected: { language: "es", ownText: "Method Small room Example Floors small-job" } },
  ],
];

const CASES = BROKEN.map(([name, rule, pages, change]) => ({ name, rule, pages, change }));
/** Cases that one document can hold are printed as one. */
const TOGETHER: (readonly HandPage[])[] = [
  ...SOUND.map(([, page]) => [page]),
  ...CASES.filter(({ change }) => change === undefined).map(({ pages }) => pages),
];

let printer: Printer;
let together: Paper;
beforeAll(async () => {
  printer = openTestPrinter();
  together = await printPages(printer, TOGETHER.flat());
}, 120_000);
afterAll(async () => {
  await printer.close();
});

const pagesOf = (index: number): readonly PaperPage[] => {
  const before = TOGETHER.slice(0, index).flat().length;
  return together.pages.slice(before, before + TOGETHER[index]!.length);
};

const sourceOf = (file: string): string => readFileSync(join(projectFolder, "tests", "paper", file), "utf8");

describe("the list of rules", () => {
  test.each(RULES)("$number $rule: $says", ({ number, rule, brokenOn }) => {
    if (brokenOn === "hand-set page")
      expect(CASES.filter((one) => one.rule === rule && one.name.startsWith(`${number} `))).not.toEqual([]);
    else expect(sourceOf("shipped-jobs.test.ts")).toContain(`breaks("${rule}")`);
  });

  test("has every rule that a checker reports a breach of, and every sheet made to break one", () => {
    const reported = ["rules-type.ts", "rules-map.ts", "rules-page.ts"].flatMap((file) =>
      [...sourceOf(file).matchAll(/\b(?:found|finding)\(\s*"([^"]+)"/g)].map(([, rule]) => rule!),
    );
    expect(reported.length).toBeGreaterThan(RULES.length);
    const listed = new Set(RULES.map(({ rule }) => rule));
    expect([...new Set(reported)].filter((rule) => !listed.has(rule))).toEqual([]);
    const broken = CASES.map(({ name, rule }) => `${Number.parseInt(name, 10)} ${rule}`);
    const wanted = new Set(RULES.map(({ number, rule }) => `${number} ${rule}`));
    expect(broken.filter((one) => !wanted.has(one))).toEqual([]);
  });
});

test("each page set by hand is one page of the file", () => {
  expect(together.pageCount).toBe(TOGETHER.flat().length);
});

describe("pages that break nothing", () => {
  test.each(SOUND)("%s", (name) => {
    expect(findingsOn(together, pagesOf(SOUND.findIndex(([one]) => one === name)))).toEqual([]);
  });
});

describe("each rule sees the page that breaks it", () => {
  test.each(CASES)("$name", async ({ rule, pages, change }) => {
    const paper = change ? await printPages(printer, pages, change) : together;
    const findings = findingsOn(paper, change ? paper.pages : pagesOf(TOGETHER.indexOf(pages)), change?.expected);
    expect(findings.map((finding) => finding.rule)).toContain(rule);
  });
});
