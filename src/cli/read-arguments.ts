/** Words of the command line → what is to be done, or what was not understood. */
import { nearName } from "../job/suggest.ts";
import { OPTIONS, VERBS, type Verb } from "./usage.ts";

export interface Command {
  readonly verb: Verb;
  /** Job ids, in the order given. */
  readonly jobIds: readonly string[];
  /** By name; an option without a value is "yes". */
  readonly options: ReadonlyMap<string, string>;
  readonly help: boolean;
  /** False where `build` was meant by saying nothing: `--help` then shows every verb. */
  readonly verbGiven: boolean;
}

const isVerb = (word: string): word is Verb => (VERBS as readonly string[]).includes(word);

/** @returns the command, or one sentence on what was not understood. */
export function readArguments(words: readonly string[]): Command | { readonly problem: string } {
  const [first] = words;
  const verbGiven = first !== undefined && isVerb(first);
  const verb: Verb = verbGiven ? first : "build";
  const known = OPTIONS[verb];
  const jobIds: string[] = [];
  const options = new Map<string, string>();
  const rest = verbGiven ? words.slice(1) : words;
  for (let at = 0; at < rest.length; at += 1) {
    const word = rest[at] as string;
    if (word === "-h") options.set("help", "yes");
    else if (!word.startsWith("-")) jobIds.push(word);
    else {
      const [name, inline] = splitOption(word);
      const spec = known[name];
      if (spec === undefined || !word.startsWith("--")) return { problem: unknownOption(word, verb) };
      if (options.has(name)) return { problem: `--${name} is given twice.` };
      if (spec.value === undefined) {
        if (inline !== undefined) return { problem: `--${name} takes no value.` };
        options.set(name, "yes");
      } else {
        const value = inline ?? rest[++at];
        if (value === undefined || value.startsWith("--"))
          return { problem: `--${name} needs a value: --${name} ${spec.value}.` };
        options.set(name, value);
      }
    }
  }
  return { verb, jobIds, options, help: options.has("help"), verbGiven };
}

function splitOption(word: string): [string, string | undefined] {
  const equals = word.indexOf("=");
  return equals < 0 ? [word.slice(2), undefined] : [word.slice(2, equals), word.slice(equals + 1)];
}

function unknownOption(word: string, verb: Verb): string {
  const [name] = splitOption(word);
  const near = nearName(name, Object.keys(OPTIONS[verb]));
  return `${verb} has no option ${word}.${near === undefined ? "" : ` Did you mean --${near}?`}`;
}

/** What to say of job ids for which there is no file: a near job, or a near verb. */
export function unknownJobs(wanted: readonly string[], known: readonly string[]): string[] {
  return wanted
    .filter((id) => !known.includes(id))
    .map((id) => {
      const near = nearName(id, [...known, ...VERBS]);
      const hint =
        near === undefined ? ` Jobs: ${known.length === 0 ? "none yet" : known.join(", ")}.` : ` Did you mean ${near}?`;
      return `There is no job ${id} in the folder of jobs.${hint}`;
    });
}
