/**
 * Distributes blocks over pages of one size. No row is split; a table that goes on has its head
 * again with at least two rows under it; a heading stays with what it heads; no page holds only a scrap.
 */
import type { Block, CheckItem, ListItem, TableRow } from "./blocks.ts";
import { withRows } from "./make-blocks.ts";

const LEAST_ROWS_UNDER_A_HEAD = 2;

/** The smallest height that a block's beginning may take on a page. */
function leastStartMm(block: Block): number {
  switch (block.kind) {
    case "table":
      return block.rows.slice(0, LEAST_ROWS_UNDER_A_HEAD).reduce((sum, row) => sum + row.heightMm, block.headHeightMm);
    case "list":
    case "checks":
      return block.items[0]?.heightMm ?? 0;
    default:
      return block.heightMm;
  }
}

/** How many of the items fit into `roomMm`. */
function countThatFits(items: readonly (TableRow | ListItem | CheckItem)[], roomMm: number): number {
  let used = 0;
  let count = 0;
  for (const item of items) {
    if (used + item.heightMm > roomMm) break;
    used += item.heightMm;
    count += 1;
  }
  return count;
}

/** Cuts a block so that its first part fits into `roomMm`; undefined where it may not be cut there. */
function cutBlock(block: Block, roomMm: number): readonly [Block, Block] | undefined {
  if (block.kind === "table") {
    let count = countThatFits(block.rows, roomMm - block.headHeightMm);
    if (block.rows.length - count < LEAST_ROWS_UNDER_A_HEAD) count = block.rows.length - LEAST_ROWS_UNDER_A_HEAD;
    if (count < LEAST_ROWS_UNDER_A_HEAD) return undefined;
    return [withRows(block, block.rows.slice(0, count)), withRows(block, block.rows.slice(count))];
  }
  if (block.kind === "list" || block.kind === "checks") {
    const count = countThatFits(block.items, roomMm);
    if (count === 0 || count === block.items.length) return undefined;
    const height = (items: readonly (ListItem | CheckItem)[]): number =>
      Math.round(items.reduce((sum, item) => sum + item.heightMm, 0) * 100) / 100;
    if (block.kind === "list") {
      const [first, second] = [block.items.slice(0, count), block.items.slice(count)];
      return [
        { ...block, items: first, heightMm: height(first) },
        { ...block, items: second, start: block.start + count, heightMm: height(second) },
      ];
    }
    const [first, second] = [block.items.slice(0, count), block.items.slice(count)];
    return [
      { ...block, items: first, heightMm: height(first) },
      { ...block, items: second, heightMm: height(second) },
    ];
  }
  return undefined;
}

/** Pages, each a list of blocks, filled from the first on; `heightOf` says how high the page of an index may be. */
function fillPages(blocks: readonly Block[], heightOf: (index: number) => number): Block[][] {
  const pages: Block[][] = [[]];
  let used = 0;
  const page = (): Block[] => pages.at(-1) as Block[];
  const heightMm = (): number => heightOf(pages.length - 1);
  const newPage = (): void => {
    // A heading does not stay behind alone at the foot.
    const carried: Block[] = [];
    while (page().at(-1)?.kind === "heading") carried.unshift(page().pop() as Block);
    if (page().length === 0) pages.pop();
    pages.push(carried);
    used = carried.reduce((sum, block) => sum + block.heightMm, 0);
  };
  const waiting = [...blocks];
  while (waiting.length > 0) {
    const block = waiting.shift() as Block;
    // The gap below the last block of a page may hang over.
    if (used + block.heightMm - (block.kind === "table" ? 3 : 0) <= heightMm() + 1e-6) {
      const next = waiting[0];
      if (block.kind === "heading" && next && page().length > 0) {
        const needed =
          next.kind === "heading" && waiting[1] ? next.heightMm + leastStartMm(waiting[1]) : leastStartMm(next);
        if (used + block.heightMm + needed > heightMm()) newPage();
      }
      page().push(block);
      used += block.heightMm;
      continue;
    }
    const parts = cutBlock(block, heightMm() - used);
    if (parts) {
      page().push(parts[0]);
      waiting.unshift(parts[1]);
      newPage();
      continue;
    }
    const onlyHeadings = page().every((one) => one.kind === "heading");
    if (onlyHeadings) {
      page().push(block);
      used += block.heightMm;
    } else {
      waiting.unshift(block);
      newPage();
    }
  }
  return pages.filter((one) => one.length > 0);
}

/** A page that holds less than this share of its height is a scrap: someone turns over for a line or two. */
const SCRAP_SHARE = 0.33;
/** So much lower is the page before tried, step by step. */
const STEP_MM = 4;
const heightOfBlocks = (blocks: readonly Block[]): number => blocks.reduce((sum, { heightMm }) => sum + heightMm, 0);

/**
 * Pages of at most `heightMm`, each a list of blocks; where a page would hold only a scrap, the one before it hands it
 * as much as makes the two alike. A block higher than a whole page that cannot be cut stands on a page alone.
 */
export function flowOntoPages(blocks: readonly Block[], heightMm: number): Block[][] {
  const limits = new Map<number, number>();
  const fill = (): Block[][] => fillPages(blocks, (index) => limits.get(index) ?? heightMm);
  let pages = fill();
  for (let k = 1; k < pages.length; k++) {
    const scrapMm = heightOfBlocks(pages[k]!);
    if (scrapMm >= SCRAP_SHARE * heightMm) continue;
    let best: number | undefined;
    const before = limits.get(k - 1);
    for (let limit = heightOfBlocks(pages[k - 1]!) - STEP_MM; limit > heightMm / 3; limit -= STEP_MM) {
      limits.set(k - 1, limit);
      const tried = fill();
      const [upper, lower] = [heightOfBlocks(tried[k - 1] ?? []), heightOfBlocks(tried[k] ?? [])];
      if (tried.length !== pages.length || lower > upper) break;
      if (lower > scrapMm) best = limit;
    }
    if (best !== undefined) limits.set(k - 1, best);
    else if (before !== undefined) limits.set(k - 1, before);
    else limits.delete(k - 1);
    pages = fill();
  }
  return pages;
}
