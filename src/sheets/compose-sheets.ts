/**
 * Findings → sheets. Each sheet is composed from what it needs, numbered, and given the hash of
 * what it says; a sheet whose stage has no result yet is left out, with the reason.
 */
import { createHash } from "node:crypto";

import { count } from "../format.ts";
import type { Language } from "../job/model.ts";
import type { Findings, PageHead, Sheet, SheetContent, SheetPage } from "./model.ts";
import { paperSize } from "./page/paper.ts";
import { composePinMap } from "./pin-map.ts";
import { en, type Words } from "./words/en.ts";
import { es } from "./words/es.ts";

export const WORDS: Readonly<Record<Language, Words>> = { en, es };

/** Text of a value with the keys of every object in order, so that equal values have equal text. */
export function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_, part: unknown) =>
    part !== null && typeof part === "object" && !Array.isArray(part)
      ? Object.fromEntries(Object.entries(part).sort(([p], [q]) => (p < q ? -1 : 1)))
      : part,
  );
}

/** First eight hex digits of the SHA-256 of a value's canonical JSON. */
export const shortHash = (value: unknown): string =>
  createHash("sha256").update(canonicalJson(value)).digest("hex").slice(0, 8);

/** The sheets of a job in one language. */
export function composeSheets(findings: Findings, language: Language): Sheet[] {
  const words = WORDS[language];
  const contents: SheetContent[] = [];
  if (findings.depths.kind === "ready") {
    contents.push(composePinMap({ job: findings.job, plan: findings.plan, depths: findings.depths.value, words }));
  }
  return contents.map((content) => finish(content, findings, language));
}

function finish(content: SheetContent, findings: Findings, language: Language): Sheet {
  const { job } = findings;
  const words = WORDS[language];
  const head: PageHead = { title: content.title, job: job.title, owner: job.company.name };
  const hash = shortHash({ language, head, content });
  const of = content.pages.length;
  const pages = content.pages.map((page, index): SheetPage => {
    return {
      ...page,
      ...paperSize(page.paper, page.orientation),
      number: index + 1,
      of,
      head,
      foot: [
        job.id,
        content.title,
        words.revision("0"),
        job.dated ?? words.notDated,
        words.status.draft,
        hash,
        words.page(count(index + 1), count(of)),
      ],
    };
  });
  return { id: content.id, title: content.title, language, sets: content.sets, pages, hash };
}
