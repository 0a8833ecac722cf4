/** What the job's page says of revisions: where the packet stands, what was issued, what is other than in the last one. */
import { count } from "../format.ts";
import {
  type FigureName,
  NEVER_ISSUED,
  type PinChange,
  type PinLength,
  type SheetMark,
  type Standing,
} from "../revision/model.ts";
import { lastIssued, packetStanding } from "../revision/standing.ts";
import type { Findings, Sheet } from "../sheets/model.ts";

export interface RevisionOnPage {
  readonly standing: Standing;
  /** One line: DRAFT, or which revision it is. */
  readonly status: string;
  /** Whether it is a draft, to be told from an issued revision by more than the wording. */
  readonly draft: boolean;
  /** What to work from, and what to do. */
  readonly advice?: string;
  /** Newest first. */
  readonly issued: readonly IssuedRow[];
  /** Of a draft: what is other than in the last revision. */
  readonly changedSince?: string;
  readonly figures: readonly { readonly name: string; readonly before: string; readonly now: string }[];
  readonly pins: readonly PinChangeRow[];
  /** Of a draft: to be printed again once it is issued. */
  readonly sheets: readonly SheetMark[];
}

export interface IssuedRow {
  readonly number: string;
  readonly date: string;
  readonly reason: string;
  readonly program: string;
  readonly folder: string;
}

export interface PinChangeRow {
  readonly id: string;
  readonly room: string;
  readonly before: string;
  readonly now: string;
  readonly todo: string;
}

export function revisionOnPage({ job, revisions = NEVER_ISSUED }: Findings, sheets: readonly Sheet[]): RevisionOnPage {
  const standing = packetStanding(
    sheets.map((sheet) => sheet.standing),
    revisions,
  );
  const last = lastIssued(revisions);
  const changes =
    standing.kind === "draft-after"
      ? revisions.changesSince.find(({ since }) => since.number === standing.revision)
      : undefined;
  return {
    standing,
    status: statusText(standing),
    draft: standing.kind !== "issued",
    ...(last !== undefined && standing.kind === "draft-after"
      ? { advice: adviceText(last.number, last.date, revisions.inputAsIssued) }
      : {}),
    issued: [...revisions.issued].reverse().map(({ number, date, reason, program }) => ({
      number: count(number),
      date,
      reason,
      program: program.version,
      folder: `jobs/${job.id}/revision-${number}`,
    })),
    ...(changes === undefined ? {} : { changedSince: `Changed since revision ${count(changes.since.number)}` }),
    figures: (changes?.figures ?? []).map(({ what, of, before, now }) => ({
      name: of === undefined ? FIGURES[what] : `${FIGURES[what]}: ${of}`,
      before: before ?? "–",
      now: now ?? "–",
    })),
    pins: (changes?.pins ?? []).map((pin) => ({
      id: pin.id,
      room: pin.room,
      before: lengthText(pin.before),
      now: lengthText(pin.now),
      todo: todoText(pin),
    })),
    sheets:
      standing.kind === "draft-after"
        ? sheets
            .filter((sheet) => sheet.standing.kind === "draft-after")
            .map(({ id, title, language, hash }) => ({ id, title, language, hash }))
        : [],
  };
}

/** As the index and the page say it. */
export function statusText(standing: Standing): string {
  switch (standing.kind) {
    case "never-issued":
      return "DRAFT";
    case "issued":
      return `Revision ${count(standing.revision)}, issued ${standing.date}`;
    case "draft-after":
      return `DRAFT after revision ${count(standing.revision)}`;
  }
}

const adviceText = (number: number, date: string, inputAsIssued: boolean): string =>
  inputAsIssued
    ? `The job file is as it was for revision ${count(number)} of ${date}: another version of the program gives other values. Nothing of revision ${count(number)} changes by that; it prints again from its record.`
    : `Work from revision ${count(number)} of ${date} until the next one is issued.`;

const FIGURES: Readonly<Record<FigureName, string>> = {
  material: "Material",
  start: "Start of the pour",
  bags: "Bags to order",
  pallets: "Pallets",
  batches: "Batches",
  bays: "Bays",
  duration: "Last batch poured after, h:min",
};

function lengthText(length: PinLength | undefined): string {
  switch (length?.cut) {
    case undefined:
      return "–";
    case "cut":
      return `${length.printed[0]} (${length.printed[1]})`;
    case "after-grinding":
      return "grind";
    case "too-short":
      return "no pin";
  }
}

function todoText({ kind, now }: PinChange): string {
  if (kind === "gone") return "take it off";
  if (now?.cut === "after-grinding") return "grind, then read again";
  if (now?.cut === "too-short") return "no pin: grind";
  return { recut: "cut again", new: "cut and place", moved: "same length, place it anew" }[kind];
}
