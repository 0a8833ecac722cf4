/** Where sheets and packets stand against what was issued. Text and numbers decide, never the job file. */
import type { Changes, IssuedRevision, IssuedSheet, Revisions, SheetMark, Standing } from "./model.ts";

export const lastIssued = ({ issued }: Revisions): IssuedRevision | undefined => issued.at(-1);

/** The number that the packet gets when it is issued now. */
export const nextNumber = (revisions: Revisions): number => (lastIssued(revisions)?.number ?? 0) + 1;

/** A sheet that says what the last revision says stands as issued, in whichever revision it last said something new. */
export function sheetStanding(sheet: SheetMark, revisions: Revisions): Standing {
  const last = lastIssued(revisions);
  const same = last?.sheets.find((one) => isSame(one, sheet));
  if (same !== undefined) return { kind: "issued", revision: same.revision, date: same.date };
  return ifItDiffers(revisions);
}

/** The standing of what says something else than the last revision, or of a packet while it is being issued. */
export function ifItDiffers(revisions: Revisions): Standing {
  const { issuing } = revisions;
  if (issuing !== undefined) return { kind: "issued", revision: nextNumber(revisions), date: issuing.date };
  const last = lastIssued(revisions);
  return last === undefined ? { kind: "never-issued" } : { kind: "draft-after", revision: last.number };
}

const isSame = (issued: IssuedSheet, sheet: SheetMark): boolean =>
  issued.id === sheet.id && issued.language === sheet.language && issued.hash === sheet.hash;

/** What these sheets of one language say otherwise than the last revision, and which of its sheets are not among them. */
export function differences(
  sheets: readonly SheetMark[],
  language: string,
  revisions: Revisions,
): { readonly changed: readonly SheetMark[]; readonly withdrawn: readonly IssuedSheet[] } {
  const before = (lastIssued(revisions)?.sheets ?? []).filter((sheet) => sheet.language === language);
  return {
    changed: sheets.filter((sheet) => !before.some((one) => isSame(one, sheet))),
    withdrawn: before.filter(({ id }) => !sheets.some((sheet) => sheet.id === id)),
  };
}

/** The packet's standing from those of its sheets: one sheet that differs makes it a draft. */
export function packetStanding(standings: readonly Standing[], revisions: Revisions): Standing {
  if (revisions.issuing !== undefined || standings.some(({ kind }) => kind !== "issued")) return ifItDiffers(revisions);
  const last = lastIssued(revisions);
  return last === undefined ? { kind: "never-issued" } : { kind: "issued", revision: last.number, date: last.date };
}

/** What an issued packet says otherwise than the revision before it, a draft than the last one. */
export function changesShown({ issued, issuing, changesSince }: Revisions, standing: Standing): Changes | undefined {
  if (standing.kind === "never-issued") return undefined;
  const isLast = standing.kind === "issued" && issuing === undefined;
  const against = isLast ? issued.at(-2) : issued.at(-1);
  return changesSince.find(({ since }) => since.number === against?.number);
}

/** How a file is called that holds what stands so: `draft`, `revision-2`, `draft-after-revision-2`. */
export function standingInFileName(standing: Standing): string {
  switch (standing.kind) {
    case "never-issued":
      return "draft";
    case "issued":
      return `revision-${standing.revision}`;
    case "draft-after":
      return `draft-after-revision-${standing.revision}`;
  }
}
