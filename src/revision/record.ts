/**
 * The record of an issued revision: what its files are, the digest over them, and reading it back. A
 * record stands in `jobs/<job-id>/revision-<number>/`:
 *
 *     record.json          who, when, why, by which program; the SHA-256 of every other file; the digest
 *     packet.json          every number
 *     from/job.yaml        the job file, and from/<library file>: what it was computed from
 *     <language>/<id>.html the sheets in their final form; sets and fonts beside them
 *
 * The digest covers record.json itself and the digest of the revision before: nothing in a record can
 * be changed, and no record before the last be exchanged, without it showing.
 */
import { z } from "zod";
import type { Diagnostic } from "../diagnostics.ts";
import { canonicalJson, textHash } from "./canonical-json.ts";
import { type IssuedNumbers, issuedNumbersSchema } from "./issued-numbers.ts";
import type { IssuedRevision } from "./model.ts";
import { type FoundRecord, PACKET_FILE, RECORD_FILE, type RecordFile } from "./record-files.ts";

/** Changes when a record is written in a way that an older reader would misread. */
const RECORD_FORMAT = 1;

const sheetSchema = z.object({
  id: z.string(),
  title: z.string(),
  language: z.string(),
  hash: z.string(),
  revision: z.int().min(1),
  date: z.string(),
});

const recordSchema = z.object({
  recordFormat: z.literal(RECORD_FORMAT),
  job: z.string(),
  revision: z.int().min(1),
  date: z.string(),
  reason: z.string(),
  program: z.object({ version: z.string(), hash: z.string() }),
  inputHash: z.string(),
  /** Digest of the revision before; null in the first. */
  previous: z.string().nullable(),
  sheets: z.array(sheetSchema),
  files: z.record(z.string(), z.string()),
  digest: z.string(),
});

export type RevisionRecord = z.infer<typeof recordSchema>;

const digestOf = (record: Omit<RevisionRecord, "digest">): string => textHash(canonicalJson(record));

/** The files of a record, record.json last: where that one is whole the others are. */
export function sealRecord(
  about: Omit<RevisionRecord, "recordFormat" | "files" | "digest">,
  files: readonly RecordFile[],
): { readonly record: RevisionRecord; readonly files: readonly RecordFile[] } {
  const hashes = files.map(({ path, text }) => [path, textHash(text)] as const).sort(([p], [q]) => (p < q ? -1 : 1));
  const unsealed = { recordFormat: RECORD_FORMAT, ...about, files: Object.fromEntries(hashes) } as const;
  const record = { ...unsealed, digest: digestOf(unsealed) };
  return { record, files: [...files, { path: RECORD_FILE, text: `${JSON.stringify(record, null, 1)}\n` }] };
}

export type ReadRecords =
  | { readonly issued: readonly IssuedRevision[]; readonly problems?: never }
  | { readonly issued?: never; readonly problems: readonly Diagnostic[] };

/**
 * The issued revisions of a job from its records, in order; or what is wrong with the records, each with its file
 * and what to do. Nothing is taken from records of which one is wrong.
 */
export function readRecords(jobId: string, found: readonly FoundRecord[]): ReadRecords {
  const problems: Diagnostic[] = [];
  const read: { readonly at: FoundRecord; readonly record: RevisionRecord; readonly numbers: IssuedNumbers }[] = [];
  for (const at of found) {
    const one = readOne(jobId, at);
    if ("problem" in one) problems.push(one.problem);
    else read.push({ at, ...one });
  }
  if (problems.length > 0) return { problems };
  read.sort((p, q) => p.record.revision - q.record.revision);
  for (const [index, { at, record }] of read.entries()) {
    const before = read[index - 1];
    if (before?.record.revision === record.revision) problems.push(twice(before.at.place, at.place, record.revision));
    else if (record.revision !== (before?.record.revision ?? 0) + 1)
      problems.push(missing(at.place, (before?.record.revision ?? 0) + 1));
    else if (record.previous !== (before?.record.digest ?? null))
      problems.push(exchanged(before?.at.place ?? at.place, at.place));
  }
  if (problems.length > 0) return { problems };
  return {
    issued: read.map(({ at, record, numbers }) => ({
      folder: at.folder,
      number: record.revision,
      date: record.date,
      reason: record.reason,
      program: record.program,
      inputHash: record.inputHash,
      sheets: record.sheets,
      numbers,
      digest: record.digest,
    })),
  };
}

type ReadOne = { readonly record: RevisionRecord; readonly numbers: IssuedNumbers } | { readonly problem: Diagnostic };

function readOne(jobId: string, { place, files }: FoundRecord): ReadOne {
  const texts = new Map(files.map(({ path, text }) => [path, text]));
  const raw = parse(texts.get(RECORD_FILE));
  if (raw === undefined) return { problem: unreadable(`${place}/${RECORD_FILE}`, "it is absent or is no JSON") };
  const parsed = recordSchema.safeParse(raw);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    return { problem: unreadable(`${place}/${RECORD_FILE}`, `${issue?.path.join(".") || "it"}: ${issue?.message}`) };
  }
  const { digest, ...unsealed } = parsed.data;
  if (digestOf(unsealed) !== digest)
    return { problem: tampered(`${place}/${RECORD_FILE}`, "what it says does not have the digest that it carries") };
  for (const [path, hash] of Object.entries(unsealed.files)) {
    const text = texts.get(path);
    if (text === undefined) return { problem: tampered(`${place}/${path}`, "it was issued and is not there") };
    if (textHash(text) !== hash) return { problem: tampered(`${place}/${path}`, "it is not what was issued") };
  }
  const stranger = files.find(({ path }) => path !== RECORD_FILE && !Object.hasOwn(unsealed.files, path));
  if (stranger) return { problem: tampered(`${place}/${stranger.path}`, "it was not issued with this revision") };
  if (unsealed.job !== jobId) return { problem: ofAnotherJob(place, unsealed.job, jobId) };
  const numbers = issuedNumbersSchema.safeParse(parse(texts.get(PACKET_FILE)));
  if (!numbers.success) {
    const issue = numbers.error.issues[0];
    return { problem: unreadable(`${place}/${PACKET_FILE}`, `${issue?.path.join(".")}: ${issue?.message}`) };
  }
  return { record: parsed.data, numbers: numbers.data };
}

function parse(text: string | undefined): unknown {
  try {
    return text === undefined ? undefined : JSON.parse(text.replace(/^\ufeff/, ""));
  } catch {
    return undefined;
  }
}

const FROM_HISTORY = "bring the folder back as it was committed, such as with git checkout; a record is never edited";

const unreadable = (file: string, why: string): Diagnostic => ({
  code: "record-unreadable",
  severity: "error",
  message: `The record ${file} cannot be read: ${why}.`,
  expected: "the record of an issued revision, as it was written",
  hint: FROM_HISTORY,
});

const tampered = (file: string, why: string): Diagnostic => ({
  code: "record-tampered",
  severity: "error",
  message: `The record of an issued revision was changed: ${file}: ${why}.`,
  expected: "every file as it was issued",
  hint: `${FROM_HISTORY}; what has to be said otherwise is issued as the next revision`,
});

const twice = (first: string, second: string, number: number): Diagnostic => ({
  code: "record-number-twice",
  severity: "error",
  message: `Two records are revision ${number}: ${first} and ${second}.`,
  expected: "one record for each revision",
  hint: "take away the one that was not issued; of two that were, issue one again as the next revision",
});

const missing = (place: string, number: number): Diagnostic => ({
  code: "record-missing",
  severity: "error",
  message: `The record of revision ${number} is not there, but ${place} is.`,
  expected: "the records of all revisions from 1 on",
  hint: FROM_HISTORY,
});

const exchanged = (earlier: string, later: string): Diagnostic => ({
  code: "record-tampered",
  severity: "error",
  message: `${earlier} is not the record that ${later} was issued after.`,
  expected: "the digest of the revision before, as the later record carries it",
  hint: FROM_HISTORY,
});

const ofAnotherJob = (place: string, ofJob: string, jobId: string): Diagnostic => ({
  code: "record-of-another-job",
  severity: "error",
  message: `${place} is a record of the job ${ofJob}, not of ${jobId}.`,
  expected: `records of ${jobId}`,
  hint: "move it to that job's folder",
});
