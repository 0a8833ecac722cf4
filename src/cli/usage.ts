/** What the command line takes, in words: the help texts, the options, the exit codes. */

export type Verb = "build" | "check" | "serve" | "new" | "issue" | "reprint" | "join" | "history" | "learn";

export const VERBS: readonly Verb[] = [
  "build",
  "check",
  "serve",
  "new",
  "issue",
  "reprint",
  "join",
  "history",
  "learn",
];

export const EXIT = {
  done: 0,
  jobProblems: 1,
  notUnderstood: 2,
  noPdfs: 3,
  machine: 4,
} as const;

const EXIT_CODES = `Exit codes
  0  everything asked for is there
  1  a job has problems, or could not be printed; the other jobs were built
  2  the command line was not understood
  3  built, but no browser was found: HTML, JSON and CSV are there, PDFs are not
  4  the machine said no: a full disk, a folder that cannot be written, another build at work`;

/** An option: does it take a value, and what --help says of it. */
export interface OptionSpec {
  readonly value?: string;
  readonly about: string;
}

const FOLDERS: Record<string, OptionSpec> = {
  jobs: { value: "FOLDER", about: "where the job files lie (jobs)" },
  output: { value: "FOLDER", about: "where the packets go (output)" },
};
const HELP: Record<string, OptionSpec> = { help: { about: "say this" } };

export const OPTIONS: Readonly<Record<Verb, Readonly<Record<string, OptionSpec>>>> = {
  build: {
    "no-pdf": { about: "HTML, JSON and CSV only" },
    fresh: { about: "take nothing from earlier runs: compute and print all of it again" },
    "limit-seconds": { value: "N", about: "stop computing a job after this long (300)" },
    shard: { value: "I/N", about: "build the I-th of N parts of the jobs, to be joined" },
    ...FOLDERS,
    ...HELP,
  },
  check: { jobs: FOLDERS.jobs as OptionSpec, ...HELP },
  serve: {
    port: { value: "N", about: "port on this machine (8080, or the next free one)" },
    "no-pdf": { about: "do not print while serving" },
    ...FOLDERS,
    ...HELP,
  },
  new: {
    room: { value: "SIZE", about: `inside size of a room, east by north, such as "24' 6\\" x 18'"` },
    walls: { value: "RUN", about: `a wall run instead of a size, such as "E 24' 6\\", N 18', W 24' 6\\", S 18'"` },
    from: { value: "JOB", about: "another job, whose survey is planned and laid out anew" },
    spacing: { value: "LENGTH", about: "between grid lines (the pin spacing of the material)" },
    material: { value: "ID", about: "a material of jobs/_library (the first)" },
    height: { value: "UNIT", about: "mm or in, for readings and depths (mm)" },
    title: { value: "TEXT", about: "the job's title" },
    jobs: FOLDERS.jobs as OptionSpec,
    ...HELP,
  },
  issue: {
    reason: { value: "TEXT", about: "why it is issued; it stands on the cover" },
    date: { value: "DAY", about: "the day of issuing, such as 2027-03-05 (today)" },
    "no-pdf": { about: "write the record, print later" },
    "limit-seconds": { value: "N", about: "stop computing a job after this long (300)" },
    ...FOLDERS,
    ...HELP,
  },
  join: { ...FOLDERS, ...HELP },
  history: { jobs: FOLDERS.jobs as OptionSpec, ...HELP },
  learn: {
    write: { value: "FILE", about: "write what was learned as a library file, to be reviewed" },
    ...FOLDERS,
    ...HELP,
  },
  reprint: {
    revision: { value: "N", about: "which revision (the last one)" },
    "no-pdf": { about: "HTML only" },
    "limit-seconds": { value: "N", about: "stop computing a job after this long (300)" },
    ...FOLDERS,
    ...HELP,
  },
};

const INTRO: Readonly<Record<Verb, string>> = {
  build: `npm start -- [job-id …]        builds these jobs, or all in jobs/, and prints their PDFs

  Ends by saying where the packets are, what to open first, and which sheets differ from
  the last print. A job with problems does not keep the others from being built.`,
  check: `npm start -- check [job-id …]  reads and computes jobs, says what is wrong, writes nothing`,
  serve: `npm start -- serve [job-id …]  builds, shows the pages in a browser, and builds again on every save

  A saved job, library file or template shows in the open page. Only this machine can see it.`,
  new: `npm start -- new <job-id> --room SIZE | --walls RUN | --from JOB

  Writes jobs/<job-id>.yaml with the room, the grid laid out, the set-ups of the survey planned, and a blank
  for every reading in the order of the survey set's forms.
  From another job it takes everything but the readings; its set-ups are planned anew from its survey: planning.`,
  issue: `npm start -- issue <job-id> --reason TEXT

  Freezes what the packet says as the job's next revision: a record in jobs/<job-id>/, to be committed.
  From then on the packet says which revision it is, and after a change of the job file what differs from it.`,
  history: `npm start -- history <job-id>       what was issued of a job, and what git has of it`,
  learn: `npm start -- learn [job-id] [--write FILE]

  What the poured jobs of the archive say, and what it would mean for the order of this job: loss by material,
  crew and depth, yield by material, reading noise by instrument, conformity by tolerance asked, each with its
  spread and the number of jobs behind it; with charts in output/learned.html. The library file that it writes is
  to be read by a person before it is used. In jobs/_library it serves jobs that ask: pour: { learned_loss: true }`,
  join: `npm start -- join FOLDER …       puts the parts of a build by --shard together in output/

  Every part must be there once, built from the same jobs by the same program. What comes out is to the
  byte what one build would have made.`,
  reprint: `npm start -- reprint <job-id> [--revision N]

  Prints an issued revision again from its record, in output/_issued/. It stays as it was issued; what
  today's program would give otherwise is told. A superseded revision says so across its pages.`,
};

/** The text behind --help: of one verb, or of all. */
export function helpText(verb: Verb | undefined): string {
  const verbs: readonly Verb[] = verb === undefined ? VERBS : [verb];
  const parts = verbs.map((each) => [INTRO[each], "", ...optionLines(OPTIONS[each])].join("\n"));
  return [...parts, EXIT_CODES].join("\n\n");
}

function optionLines(options: Readonly<Record<string, OptionSpec>>): string[] {
  return Object.entries(options).map(([name, { value, about }]) => {
    const left = value === undefined ? `--${name}` : `--${name} ${value}`;
    return `  ${left.padEnd(20)} ${about}`;
  });
}
