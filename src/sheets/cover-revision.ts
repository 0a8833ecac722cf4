/** What the cover says of revisions: which one this is, why, what is other than in the one before, what to print again. */
import { count } from "../format.ts";
import type { Changes, Revisions, Standing } from "../revision/model.ts";
import { lastIssued } from "../revision/standing.ts";
import { CHANGE_SHEET, figureTexts } from "./change-sheet.ts";
import type { Sheet } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { heading, list, paragraph, READING, signal } from "./page/make-blocks.ts";
import type { Words } from "./words/en.ts";

/** Where the packet stands, and what it says otherwise than the revision that it follows. */
export interface CoverRevision {
  readonly standing: Standing;
  readonly revisions: Revisions;
  readonly changes?: Changes;
}

export interface RevisionSubject {
  readonly words: Words;
  readonly sheets: readonly Sheet[];
  readonly revision: CoverRevision;
}

/** In the list of sheets: the revision in which a sheet last said something new, or that it is a draft. */
export function revisionCell(standing: Standing, { status }: Words): string {
  return standing.kind === "issued" ? count(standing.revision) : status.draft;
}

export function revisionBlocks({ revision, sheets, words }: RevisionSubject, width: number): Block[] {
  const { standing, revisions, changes } = revision;
  const { revisions: say } = words;
  const last = lastIssued(revisions);
  if (standing.kind === "never-issued") return [];
  const blocks: Block[] = [];
  if (standing.kind === "issued") {
    const reason = revisions.issuing?.reason ?? last?.reason ?? "";
    blocks.push(
      heading(say.coverIssued(count(standing.revision), standing.date), width),
      paragraph(say.reason(reason), width, READING),
    );
  } else if (last !== undefined) {
    blocks.push(signal("caution", words.status.draft, say.coverDraft(count(last.number), last.date), width));
    if (revisions.inputAsIssued) blocks.push(paragraph(say.programDiffers(count(last.number)), width, READING));
  }
  if (changes === undefined) return blocks;
  const kinds = ["recut", "new", "gone", "moved"] as const;
  const pins = kinds.flatMap((kind) => {
    const affected = changes.pins.filter((pin) => pin.kind === kind).length;
    return affected === 0 ? [] : [say.pinCount(words.pins(count(affected)), say.pinCounts[kind])];
  });
  const items = [
    ...pins,
    ...(pins.length === 0 ? [say.noPins] : [say.seeChangeSheet]),
    ...changes.figures.map((figure) => {
      const { name, before, now } = figureTexts(figure, words);
      return say.figureChange(name, before, now);
    }),
    ...sheetItems(revision, sheets, words),
  ];
  blocks.push(heading(say.changedSince(count(changes.since.number)), width, 3), list(items, width, READING));
  return blocks;
}

/** Of a draft: the sheets that say something else. Of an issued revision: those that it brought. */
function sheetItems(
  { standing, revisions }: RevisionSubject["revision"],
  sheets: RevisionSubject["sheets"],
  words: Words,
): string[] {
  const { revisions: say } = words;
  const isNew = (one: Standing) =>
    one.kind === "draft-after" ||
    (standing.kind === "issued" && one.kind === "issued" && one.revision === standing.revision);
  const toPrint = sheets.filter((sheet) => sheet.id !== CHANGE_SHEET && isNew(sheet.standing));
  const language = sheets[0]?.language ?? "en";
  const against =
    revisions.issuing === undefined && standing.kind === "issued" ? revisions.issued.at(-2) : lastIssued(revisions);
  const withdrawn = (against?.sheets ?? []).filter(
    (one) =>
      one.language === language && !["cover", CHANGE_SHEET].includes(one.id) && !sheets.some(({ id }) => id === one.id),
  );
  return [
    ...(toPrint.length === 0 ? [] : [say.toPrint(words.listOf(toPrint.map(({ title }) => title)))]),
    ...(withdrawn.length === 0 ? [] : [say.withdrawn(words.listOf(withdrawn.map(({ title }) => title)))]),
  ];
}
