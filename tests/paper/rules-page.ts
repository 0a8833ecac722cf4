/** Rules of pages and files: identity, margins, sizes, tables, cards, boxes, ink, what the file says of itself. */
import { en } from "../../src/sheets/words/en.ts";
import { es } from "../../src/sheets/words/es.ts";
import { type Expected, type Finding, FOOT_MM, found, HEAD_MM, type PageParts, textOf, wordsOf } from "./page-parts.ts";
import { inkCoverage, type Picture } from "./raster.ts";
import type { Extent, Paper, PaperMark, StructureNode } from "./read-paper.ts";
import { isMap, MAPS } from "./rules-map.ts";

const whole = ({ page }: PageParts): Extent => ({ minX: 0, minY: 0, maxX: page.widthMm, maxY: page.heightMm });
const shows = (mark: PaperMark): boolean => mark.luminance < 0.98;
/** By how much a mark is larger than its extent: a line by half its width to both sides, and not at its ends. */
function spread(mark: PaperMark): { readonly x: number; readonly y: number } {
  if (mark.kind !== "stroke") return { x: 0, y: 0 };
  const half = mark.widthMm / 2;
  const isFlat = (from: number, to: number): boolean => to - from < 0.01;
  return {
    x: isFlat(mark.extent.minY, mark.extent.maxY) ? 0 : half,
    y: isFlat(mark.extent.minX, mark.extent.maxX) ? 0 : half,
  };
}

/** Rule 10: the identity line, whole on every page: job, sheet, revision, date, status, hash, page x of y. */
export function identityBad(parts: PageParts, expected: Expected): Finding[] {
  const texts = parts.foot.map(textOf);
  const wanting: string[] = [];
  const [job, title, revision, date, status, hash, page] = texts;
  if (job !== expected.jobId) wanting.push("the job");
  if (title === undefined || !expected.sheetIds.has(title)) wanting.push("the sheet");
  if (!/^(Revision|Revisión) \S+$/.test(revision ?? "")) wanting.push("the revision");
  if (!/^(\d{4}-\d{2}-\d{2}|not dated|sin fecha)$/.test(date ?? "")) wanting.push("the date");
  if (!/^\p{Lu}+( \p{Lu}+)*$/u.test(status ?? "")) wanting.push("the status");
  if (!/^[0-9a-f]{8}$/.test(hash ?? "")) wanting.push("the hash");
  if (!/^(Page|Página) \d+ (of|de) \d+$/.test(page ?? "")) wanting.push("page x of y");
  if (title !== undefined && parts.head[0] && textOf(parts.head[0]) !== title)
    wanting.push("the title that stands at the head");
  return wanting.length > 0
    ? [
        found(
          "identity",
          parts,
          parts.foot[0]?.extent ?? whole(parts),
          texts.join(" | "),
          `lacks ${wanting.join(", ")}`,
        ),
      ]
    : [];
}

/** Rule 10: pages count 1 to y within a sheet of one hash, and the cover's list has every sheet with that hash. */
export function identityApart(pages: readonly PageParts[]): Finding[] {
  const breaches: Finding[] = [];
  const sheets = new Map<string, { readonly parts: PageParts; readonly hash: string; readonly count: string }[]>();
  for (const parts of pages) {
    const foot = parts.foot.map(textOf);
    sheets.set(parts.sheetId, [
      ...(sheets.get(parts.sheetId) ?? []),
      { parts, hash: foot[5] ?? "", count: foot[6] ?? "" },
    ]);
  }
  const listed = (sheets.get("cover") ?? []).flatMap(({ parts }) => parts.body.map(textOf));
  for (const [id, those] of sheets) {
    const { parts, hash } = those[0]!;
    for (const [index, one] of those.entries()) {
      const [number, of] = (one.count.match(/\d+/g) ?? []).map(Number);
      if (number !== index + 1 || of !== those.length || one.hash !== hash)
        breaches.push(
          found(
            "identity",
            one.parts,
            one.parts.foot[0]?.extent ?? whole(one.parts),
            one.count,
            `is page ${index + 1} of ${those.length} of ${hash}`,
          ),
        );
    }
    if (id === "cover" || listed.length === 0) continue;
    const at = listed.indexOf(hash);
    if (at < 0)
      breaches.push(
        found("identity", parts, parts.foot[5]?.extent ?? whole(parts), hash, "does not stand in the cover's list"),
      );
    // The row reads: sheet, pages, sets, hash.
    else if (!listed.slice(Math.max(0, at - 4), at).includes(String(those.length)))
      breaches.push(
        found("identity", parts, whole(parts), hash, `has ${those.length} pages, the cover's list says otherwise`),
      );
  }
  return breaches;
}

const SIZES: Readonly<Record<Expected["family"], readonly (readonly [number, number])[]>> = {
  // ANSI/ASME Y14.1 A and B; ISO 216.
  letter: [
    [215.9, 279.4],
    [279.4, 431.8],
  ],
  a4: [
    [210, 297],
    [297, 420],
  ],
};

/** Rule 11: paper of the job's family; margins; nothing clipped or past the edge; nothing of the body in the foot. */
export function pageBad(parts: PageParts, { family }: Expected): Finding[] {
  const { page } = parts;
  const breaches: Finding[] = [];
  const [short, long] = [Math.min(page.widthMm, page.heightMm), Math.max(page.widthMm, page.heightMm)];
  // Chrome sets pages in whole points.
  if (!SIZES[family].some(([a, b]) => Math.abs(a - short) < 0.6 && Math.abs(b - long) < 0.6))
    breaches.push(
      found(
        "paper size",
        parts,
        whole(parts),
        `${page.widthMm.toFixed(1)} × ${page.heightMm.toFixed(1)} mm`,
        `is no size of the ${family} family`,
      ),
    );
  for (const mark of page.marks) {
    if (!shows(mark)) continue;
    const half = spread(mark);
    const { minX, minY, maxX, maxY } = mark.extent;
    const what = mark.kind === "text" ? textOf(mark) : mark.kind;
    const clipped = Math.max(
      mark.clip.minX - minX,
      mark.clip.minY - minY,
      maxX - mark.clip.maxX,
      maxY - mark.clip.maxY,
    );
    if (clipped > 0.05)
      breaches.push(found("clipped", parts, mark.extent, what, `${clipped.toFixed(1)} mm of it is cut off`));
    // The foot of a J hangs out of its place to the left, as its drawer meant: a text begins where its first glyph stands.
    const left = mark.kind === "text" && mark.turned === 0 ? Math.max(minX, mark.glyphs[0]!.origin.x) : minX - half.x;
    const out = Math.max(
      20 - left,
      10 - (minY - half.y),
      maxX + half.x - (page.widthMm - 10),
      maxY + half.y - (page.heightMm - 10),
    );
    // A line along the edge of the frame has half its width outside.
    if (out > 0.5)
      breaches.push(found("margins", parts, mark.extent, what, `stands ${out.toFixed(1)} mm in the margin`));
    if (mark.kind === "text" && !parts.foot.includes(mark) && maxY > page.heightMm - FOOT_MM + 1)
      breaches.push(found("overflow", parts, mark.extent, what, "runs into the identity line"));
  }
  return breaches;
}

const nodesOf = (node: StructureNode, role: string): StructureNode[] => [
  ...(node.role === role ? [node] : []),
  ...(node.children ?? []).flatMap((child) => nodesOf(child, role)),
];

/** Rule 12: every table has its head on the page, with two rows under it where it goes on. */
export function tablesTorn(parts: PageParts): Finding[] {
  return nodesOf(parts.page.structure, "Table").flatMap((table) => {
    const rows = nodesOf(table, "TR");
    // A row of data may begin with its name, which is a header cell too; it does not end with one.
    const isHead = (row: StructureNode | undefined): boolean =>
      row?.children?.findLast(({ role }) => role === "TH" || role === "TD")?.role === "TH";
    if (rows.length > 0 && !isHead(rows[0]))
      return [found("table head", parts, whole(parts), "table", "goes on without its head")];
    return rows.length === 1 ? [found("table head", parts, whole(parts), "table", "a head stands alone")] : [];
  });
}

/** What a page says in tags: its headings, texts and tables in their order. */
const contentOf = (node: StructureNode): StructureNode[] =>
  (node.children ?? []).flatMap((child) =>
    /^(H\d|P|L|Table|Figure)$/.test(child.role ?? "") ? [child] : contentOf(child),
  );
const columnsOf = (table: StructureNode): number => nodesOf(table, "TR")[0]?.children?.length ?? 0;

/** Rule 12: a table that goes on at the next page has two rows at least under each of its heads. */
export function rowsAlone(pages: readonly PageParts[]): Finding[] {
  return pages.flatMap((parts, index) => {
    const next = pages[index + 1];
    if (next === undefined || next.sheetId !== parts.sheetId) return [];
    const last = contentOf(parts.page.structure).at(-1);
    const first = contentOf(next.page.structure).find(({ role }) => !/^(H1|P)$/.test(role ?? ""));
    if (last?.role !== "Table" || first?.role !== "Table" || columnsOf(last) !== columnsOf(first)) return [];
    return [
      { table: last, on: parts },
      { table: first, on: next },
    ].flatMap(({ table, on }) =>
      nodesOf(table, "TR").length === 2
        ? [found("two rows", on, whole(on), "table", "has one row alone on this page")]
        : [],
    );
  });
}

/** Rule 12: no heading alone at the foot. Headings begin at the margin; names within a map are as large and as heavy. */
export function headingAlone(parts: PageParts): Finding[] {
  const margin = Math.min(...parts.head.map(({ extent }) => extent.minX));
  const below = (y: number): boolean =>
    parts.page.marks.some(
      (mark) => shows(mark) && mark.extent.minY > y && mark.extent.maxY < parts.page.heightMm - FOOT_MM,
    );
  return parts.body
    .filter((mark) => mark.fontName.includes("Bold") && mark.emMm > 5.7 && mark.emMm < 5.82)
    .filter(({ extent }) => extent.minX < margin + 1 && !below(extent.maxY))
    .map((mark) => found("heading alone", parts, mark.extent, textOf(mark), "has nothing under it"));
}

/** How much of the height between title block and identity line a page uses. */
function usedShare({ page, body }: PageParts): number {
  const top = HEAD_MM;
  const bottom = page.heightMm - FOOT_MM;
  const lowest = Math.max(
    top,
    ...body.map(({ extent }) => extent.maxY),
    ...page.marks.flatMap((mark) =>
      mark.kind !== "text" && shows(mark) && mark.extent.maxY < bottom ? [mark.extent.maxY] : [],
    ),
  );
  return (lowest - top) / (bottom - top);
}

/** A page that uses less of its height is a scrap, where the page before it could have handed it more. */
const SCRAP = 0.15;
const HAS_TO_GIVE = 0.6;

/** Nobody turns over for a line or two: a page is no scrap behind one that is full of text. A map cannot be divided. */
export function scrapsLeft(pages: readonly PageParts[]): Finding[] {
  return pages.flatMap((parts, index) => {
    const before = pages[index - 1];
    if (before === undefined || before.sheetId !== parts.sheetId || isMap(before)) return [];
    const [share, shareBefore] = [usedShare(parts), usedShare(before)];
    return share < SCRAP && shareBefore > HAS_TO_GIVE
      ? [
          found(
            "scrap",
            parts,
            parts.body[0]?.extent ?? whole(parts),
            parts.body[0] ? textOf(parts.body[0]) : "page",
            `${(100 * share).toFixed(0)} % of the page used after one that is ${(100 * shareBefore).toFixed(0)} % full`,
          ),
        ]
      : [];
  });
}

/** Answer boxes and blanks: closed upright frames of a thin line on white, the frame of a cell for its cell. */
function framesOf(parts: PageParts): Extent[] {
  const { marks } = parts.page;
  return marks.flatMap((mark, index) => {
    if (mark.kind !== "stroke" || mark.lines.length !== 1 || Math.abs(mark.widthMm - 0.28) > 0.04) return [];
    const line = mark.lines[0]!;
    const upright =
      line.length === 5 &&
      line.slice(1).every((at, k) => Math.abs(at.x - line[k]!.x) < 0.02 || Math.abs(at.y - line[k]!.y) < 0.02);
    if (!upright) return [];
    const ground = marks[index - 1];
    const white =
      ground?.kind === "fill" &&
      !shows(ground) &&
      Math.abs(ground.extent.minX - mark.extent.minX) < 0.4 &&
      Math.abs(ground.extent.maxX - mark.extent.maxX) < 0.4;
    return white || parts.sheetId === "pause-cards" ? [mark.extent] : [];
  });
}

/** Rule 14: boxes to write in are 8 mm high and wide. */
export function boxesTooSmall(parts: PageParts): Finding[] {
  // Nothing is written on the bay map: its small squares are pallets.
  if (parts.sheetId === "bay-map") return [];
  return framesOf(parts).flatMap((extent) => {
    const least = Math.min(extent.maxX - extent.minX, extent.maxY - extent.minY);
    return least < 8 - 0.01 ? [found("box", parts, extent, "blank", `${least.toFixed(1)} mm, 8 wanted`)] : [];
  });
}

const COMPLETE = new Set([en.cards.complete, es.cards.complete]);

/** Rule 13: at most nine items, each with its box, the last says that the card is complete; at most 120 words. */
export function cardBad(parts: PageParts): Finding[] {
  if (parts.sheetId !== "pause-cards") return [];
  const texts = parts.body.map(textOf);
  const items = parts.body.filter((mark) => /^\d+$/.test(textOf(mark)) && mark.extent.minX < 30);
  const boxes = framesOf(parts).length;
  const words = texts
    .join(" ")
    .split(/\s+/)
    .filter((word) => word !== "").length;
  const wrong = [
    ...(items.length > 9 ? [`${items.length} items, 9 allowed`] : []),
    ...(items.length === 0 ? ["no items"] : []),
    ...(boxes < items.length ? [`${items.length} items and ${boxes} boxes`] : []),
    ...(words > 120 ? [`${words} words, 120 allowed`] : []),
    ...(texts.some((text) => COMPLETE.has(text)) &&
    COMPLETE.has(texts.filter((text) => wordsOf(text).length > 1).at(-1) ?? "")
      ? []
      : ["its last item does not say that it is complete"]),
  ];
  return wrong.length > 0 ? [found("pause card", parts, whole(parts), texts[0] ?? "", wrong.join("; "))] : [];
}

/** Rule 15: ink. */
export function tooMuchInk(parts: PageParts, picture: Picture): Finding[] {
  const share = inkCoverage(picture);
  const most = MAPS.has(parts.sheetId) ? 0.35 : 0.15;
  return share > most
    ? [found("ink", parts, whole(parts), "page", `${(100 * share).toFixed(0)} % covered, ${100 * most} allowed`)]
    : [];
}

/** Rule 15: what the file says of itself, and its name. */
export function fileBad(paper: Paper, expected: Expected): Finding[] {
  const finding = (rule: string, what: string, why: string): Finding => ({
    rule,
    page: paper.fileName,
    what,
    at: "",
    why,
  });
  const breaches: Finding[] = [];
  if (paper.title === undefined || paper.title.trim() === "") breaches.push(finding("title", "file", "has no title"));
  if (paper.language !== expected.language)
    breaches.push(finding("language", paper.language ?? "none", `is not ${expected.language}`));
  if (!paper.tagged) breaches.push(finding("tags", "file", "is not tagged"));
  if (paper.outline.length === 0) breaches.push(finding("bookmarks", "file", "has none"));
  if (paper.headerCells !== paper.scopedHeaderCells)
    breaches.push(
      finding(
        "table headers",
        `${paper.headerCells}`,
        `only ${paper.scopedHeaderCells} say for what they are the head`,
      ),
    );
  if (paper.fonts.length === 0) breaches.push(finding("fonts", "file", "has none"));
  for (const { name, embedded } of paper.fonts) {
    if (!embedded) breaches.push(finding("fonts", name, "is not embedded"));
    if (!name.startsWith("NotoSans")) breaches.push(finding("fonts", name, "is a font that only this machine has"));
  }
  const name = paper.fileName.split("/").at(-1) ?? "";
  // A set carries its revision, or that it is a draft; a sheet by itself carries the hash of what it says.
  const kind = "(?:(?:survey|crew|gc|closeout)-set-LANGUAGE-(?:draft|r\\w+)|[a-z-]+-LANGUAGE-[0-9a-f]{8})".replaceAll(
    "LANGUAGE",
    expected.language,
  );
  const form = new RegExp(`^${expected.jobId}-${kind}\\.pdf$`);
  if (!form.test(name)) breaches.push(finding("file name", name, "does not carry job, set, language and revision"));
  return breaches;
}
