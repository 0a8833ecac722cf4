/**
 * A job file's text into a validated job in SI units, or everything that is wrong with it.
 * Pure: the text and the library are handed in.
 */

import type { Diagnostic } from "../diagnostics.ts";
import { decimal } from "../format.ts";
import { buildContract } from "./contract-text.ts";
import { checkJobId } from "./job-id.ts";
import { buildBenchMarks, buildFloor, companyOf, libraryEntry, paperOf } from "./job-parts.ts";
import type { BesideFile, JobReader } from "./job-reader.ts";
import { buildLearnedLoss } from "./learned-loss.ts";
import { type Library, type LibraryFiles, readEntry, readLibrary } from "./library.ts";
import { readCrew, readPins, readPrimer } from "./library-entries.ts";
import { readMaterial } from "./library-material.ts";
import type { HeightUnit, Job, PlanUnit } from "./model.ts";
import { buildPour } from "./pour-text.ts";
import { buildReadiness, type PourDay } from "./readiness-text.ts";
import { buildDocuments, buildJointSurvey, buildSubmittals, refuseUnknownBidRooms } from "./record-text.ts";
import { buildResults } from "./results-text.ts";
import { buildRooms, refuseUnknownSetUps, warnOfPointNames } from "./rooms.ts";
import { materialsOf } from "./same-material.ts";
import { floorSchema, type JobText, jobSchema, pourSchema } from "./schema.ts";
import { usualSchema } from "./schema-library.ts";
import { LIMITS } from "./schema-limits.ts";
import { part, parts } from "./schema-parts.ts";
import { schemaProblems } from "./schema-problems.ts";
import { benchMarkSchema, finishedSchema } from "./schema-survey.ts";
import { targetSchema } from "./schema-target.ts";
import { nearName } from "./suggest.ts";
import { buildFinished, buildSurvey, isOnGrid } from "./survey-text.ts";
import { buildTarget } from "./target-text.ts";
import { placeOf, valueAt } from "./yaml-places.ts";
import { parseYaml, type YamlDocument } from "./yaml-text.ts";

export interface ReadJob {
  /** Absent where anything is wrong; warnings alone leave it there. */
  readonly job?: Job;
  /** In the order of the file. */
  readonly diagnostics: readonly Diagnostic[];
}

/** More than this is no help to anyone: the last says how many more there are. */
const MOST_DIAGNOSTICS = 100;

/**
 * Reads a job.
 * @param text of the file, as UTF-8
 * @param file the name under which the office knows it, such as `jobs/tern-street-clinic.yaml`; the id must agree with it
 * @param libraryFiles what `jobs/_library` holds
 * @param beside the CSV files in the job's folder that its text names
 */
export function readJob(
  text: string,
  file: string,
  libraryFiles: LibraryFiles,
  beside: readonly BesideFile[] = [],
): ReadJob {
  if (text.length > LIMITS.fileBytes) return { diagnostics: [tooLarge(text, file)] };
  const { document, diagnostics } = parseYaml(text.replace(/^\ufeff/, ""), file);
  if (document === undefined) return { diagnostics };
  const fromLibrary = readLibrary(libraryFiles);
  const problems: Diagnostic[] = [...diagnostics, ...fromLibrary.diagnostics];
  const whole = jobSchema.safeParse(document.value);
  if (!whole.success) problems.push(...schemaProblems(whole.error.issues, jobSchema, document, [], "the job"));

  const job = buildJob(document, whole.success ? whole.data : undefined, fromLibrary.library, beside, problems);
  const listed = inOrder(problems, file);
  if (job === undefined || listed.some(({ severity }) => severity === "error")) return { diagnostics: listed };
  return { job, diagnostics: listed };
}

const tooLarge = (text: string, file: string): Diagnostic => ({
  code: "file-too-large",
  severity: "error",
  message: `${file} has ${decimal(text.length / 1e6, 1)} million characters.`,
  expected: `at most ${LIMITS.fileBytes / 1e6} million`,
  hint: "Check what was saved there: no job is this long.",
});

/** By file, line and column, the job's own file first, each once, and not more than anyone reads. */
function inOrder(problems: readonly Diagnostic[], file: string): Diagnostic[] {
  const at = ({ place }: Diagnostic) => `${place?.file}:${place?.line}:${place?.column}`;
  // What stands in the place of an alias is not missing besides.
  const aliases = new Set(problems.flatMap((problem) => (problem.code === "yaml-alias" ? [at(problem)] : [])));
  const told = problems.filter((problem) => problem.code !== "missing-value" || !aliases.has(at(problem)));
  const once = [
    ...new Map(told.map((problem) => [`${at(problem)} ${problem.code} ${problem.message}`, problem])).values(),
  ];
  const rank = (problem: Diagnostic) => (problem.place?.file === file ? "" : (problem.place?.file ?? ""));
  once.sort(
    (a, b) =>
      (rank(a) < rank(b) ? -1 : rank(a) > rank(b) ? 1 : 0) ||
      (a.place?.line ?? 0) - (b.place?.line ?? 0) ||
      (a.place?.column ?? 0) - (b.place?.column ?? 0),
  );
  if (once.length <= MOST_DIAGNOSTICS) return once;
  // Errors come before warnings where there is no room for all.
  const kept = [
    ...once.filter(({ severity }) => severity === "error"),
    ...once.filter(({ severity }) => severity === "warning"),
  ].slice(0, MOST_DIAGNOSTICS);
  return [
    ...once.filter((problem) => kept.includes(problem)),
    {
      code: "more-problems",
      severity: once.some(({ severity }) => severity === "error") ? "error" : "warning",
      message: `There are ${once.length - MOST_DIAGNOSTICS} more problems like these.`,
      hint: "Put these right first, then check again.",
    },
  ];
}

/** The units in which bare numbers are read. Where the word is misspelt, the one that it is near to, so that the rest can be checked. */
function unitsOf(document: YamlDocument): JobReader["units"] {
  const word = <T extends string>(key: string, words: readonly T[], otherwise: T): T => {
    const typed = valueAt(document, ["units", key]);
    if (typeof typed !== "string") return otherwise;
    return words.find((candidate) => candidate === typed) ?? (nearName(typed, words) as T | undefined) ?? otherwise;
  };
  return {
    plan: word<PlanUnit>("plan", ["ft-in", "m"], "ft-in"),
    height: word<HeightUnit>("height", ["mm", "in"], "mm"),
  };
}

/** The day of the pour by what is most certain: its own results, the finished floor's record, the plan. */
function pourDayOf(
  byResults: string | undefined,
  byFinished: string | undefined,
  start: string | undefined,
): PourDay | undefined {
  if (byResults !== undefined) return { date: byResults, key: "results: poured" };
  if (byFinished !== undefined) return { date: byFinished, key: "finished: poured" };
  return start === undefined ? undefined : { date: start.slice(0, 10), key: "pour: start" };
}

/** Ids of all set-ups of the survey, of those too that did not pass the schema. */
function idsOfSetUps(document: YamlDocument): string[] {
  const setUps = valueAt(document, ["survey", "set_ups"]);
  if (!Array.isArray(setUps)) return [];
  return setUps.flatMap((_, k) => {
    const id = valueAt(document, ["survey", "set_ups", k, "id"]);
    return typeof id === "string" ? [id] : [];
  });
}

/**
 * Builds every part that can be built, so that each can be objected to, and the job where all are there.
 * @param whole the file as the schema let it through; absent where it did not
 */
function buildJob(
  document: YamlDocument,
  whole: JobText | undefined,
  library: Library,
  beside: readonly BesideFile[],
  problems: Diagnostic[],
): Job | undefined {
  const besideFolder = document.source.file.replace(/\.yaml$/, "");
  const reader: JobReader = { document, units: unitsOf(document), beside, besideFolder, problems };
  const usual = library.usual ? readEntry(library.usual, usualSchema, '"usual"', problems) : undefined;

  const rooms = buildRooms(reader);
  const benchMarks = buildBenchMarks(reader, parts(document, ["bench_marks"], benchMarkSchema));
  const context = { library, rooms, benchMarks };
  const survey = buildSurvey(reader, context);
  if (survey !== undefined) warnOfPointNames(reader, (id) => isOnGrid(id, survey.grid, rooms));
  refuseUnknownSetUps(reader, idsOfSetUps(document));
  const finishedText = part(document, ["finished"], finishedSchema, [
    "points",
    "set_ups",
    "adjustment",
    "lines",
    "gaps",
    "joints",
  ]);
  const finished = finishedText && buildFinished(reader, survey, finishedText, context);
  const targetText = part(document, ["target"], targetSchema);
  const target = targetText && buildTarget(reader, targetText, context);
  const material = libraryEntry(reader, "material", library, undefined, readMaterial);
  const primer = libraryEntry(reader, "primer", library, usual?.primer, readPrimer);
  const pins = libraryEntry(reader, "pins", library, usual?.pins, readPins);
  const crew = libraryEntry(reader, "crew", library, usual?.crew, readCrew);
  const company = companyOf(reader, library);
  const materialIds = material && target && materialsOf({ material, target }).map(({ id }) => id);
  const pour = buildPour(reader, part(document, ["pour"], pourSchema), usual?.pour, (loss) =>
    buildLearnedLoss(reader, library, loss, materialIds, crew?.id),
  );
  const contract = buildContract(reader);
  refuseUnknownBidRooms(reader, contract, rooms);
  const results = buildResults(reader, rooms, finished?.poured, materialIds);
  const pourDay = pourDayOf(results?.poured, finished?.poured, pour?.start);
  const readiness = buildReadiness(reader, rooms, pourDay);
  const jointSurvey = buildJointSurvey(reader, pourDay);
  const documents = buildDocuments(reader);
  const submittals = buildSubmittals(reader);
  const paper = paperOf(reader, usual?.paper);
  const floor = part(document, ["floor"], floorSchema);
  checkJobId(reader);

  if (!whole || !floor || !survey || !target || !material || !primer || !pins || !crew || !company || !pour || !paper) {
    return undefined;
  }
  return {
    id: whole.job,
    title: whole.title,
    ...(whole.place === undefined ? {} : { place: whole.place }),
    ...(whole.client === undefined ? {} : { client: whole.client }),
    ...(whole.general_contractor === undefined ? {} : { generalContractor: whole.general_contractor }),
    ...(whole.contract_reference === undefined ? {} : { contractReference: whole.contract_reference }),
    ...(whole.dated === undefined ? {} : { dated: whole.dated }),
    company,
    units: reader.units,
    paper,
    languages: whole.languages ?? ["en"],
    rooms,
    benchMarks,
    floor: buildFloor(floor),
    survey,
    target,
    material,
    primer,
    pins,
    crew,
    pour,
    contract,
    ...(finished === undefined ? {} : { finished }),
    ...(readiness === undefined ? {} : { readiness }),
    ...(jointSurvey === undefined ? {} : { jointSurvey }),
    ...(documents.length === 0 ? {} : { documents }),
    ...(submittals.length === 0 ? {} : { submittals }),
    ...(results === undefined ? {} : { results }),
    notes: whole.notes ?? [],
    source: {
      file: document.source.file,
      text: document.source.text,
      place: (path) => placeOf(document, path),
    },
  };
}
