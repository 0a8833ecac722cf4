/**
 * Would the tests notice? Draws faults for the rooms that compute, each as likely as any other, puts one at a time into
 * the source, and runs the tests that enter the function it is in, the quickest first, until one fails.
 *
 *     npm run mutation -- --sample 300 --seed 1 [--room geometry] [--write]
 *
 * A fault that the quickest tests, `--budget` seconds of them and as much again of the kept numbers, do not notice counts
 * as not noticed, whatever slower ones say.
 * `--minutes 30` begins no more faults after that time; `--share 0.02` draws a part of all in place of a number; `--only "words"` goes
 * through every fault of the lines that hold them; `--write` keeps the score for the documentation, and what was not noticed;
 * `--again` goes through that alone, after tests were written or given more time. A fault that no test
 * can notice, since the program does the same with it, is named with its reason in `equivalent.json` and counts for nothing.
 */
import { type ChildProcess, fork } from "node:child_process";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { randomFrom } from "../../src/numeric/random.ts";
import { firstRun, type TestFile } from "./first-run.ts";
import { type Answer, root, type Task } from "./lane.ts";
import { type Mutant, mutantsOf, withFault } from "./mutants.ts";
import {
  EQUIVALENT_FILE,
  type Equivalent,
  type Fault,
  interval,
  SCORE_FILE,
  type Score,
  sameFault,
  UNNOTICED_FILE,
} from "./score.ts";

const { values } = parseArgs({
  options: {
    sample: { type: "string", default: "300" },
    share: { type: "string" },
    seed: { type: "string", default: "1" },
    room: { type: "string" },
    only: { type: "string" },
    lanes: { type: "string", default: "1" },
    budget: { type: "string", default: "25" },
    again: { type: "boolean", default: false },
    minutes: { type: "string" },
    write: { type: "boolean", default: false },
  },
});

const ROOMS = ["units", "geometry", "survey", "slab", "target", "depths", "quantities", "pour", "conformity", "check"];
/** Folders of tests that work with numbers alone, without a browser and without processes of their own. */
const TESTS = [...ROOMS.slice(1), "layout", "numeric", "format", "invariants", "reference", "kept-numbers"];
/** Kept numbers say only that something changed. They come last, so that it is known what nothing else notices. */
const isOfKeptNumbers = ({ file }: TestFile): boolean => file.startsWith("tests/kept-numbers/");

const sourcesOf = (room: string): string[] =>
  room === "units"
    ? ["src/units.ts"]
    : readdirSync(join(root, "src", room))
        .filter((name) => name.endsWith(".ts") && !name.endsWith(".d.ts"))
        .map((name) => `src/${room}/${name}`);

const rooms = values.room === undefined ? ROOMS : [values.room];
const texts = new Map(rooms.flatMap(sourcesOf).map((file) => [file, readFileSync(join(root, file), "utf8")]));
const lineOf = ({ file, line }: Mutant): string => texts.get(file)?.split("\n")[line - 1]?.trim() ?? "";
const all = [...texts].flatMap(([file, text]) => mutantsOf(file, text).mutants);

function drawn(): Mutant[] {
  const { only, again } = values;
  if (again) return all.filter((mutant) => unnoticedBefore.some((one) => sameFault(one, faultOf(mutant))));
  if (only !== undefined) return all.filter((mutant) => lineOf(mutant).includes(only));
  const count = values.share === undefined ? Number(values.sample) : Math.round(Number(values.share) * all.length);
  const random = randomFrom(Number(values.seed));
  const left = [...all];
  return Array.from({ length: Math.min(count, all.length) }, () => left.splice(random.below(left.length), 1)[0]!);
}

const faultOf = (mutant: Mutant): Fault => ({
  file: mutant.file,
  line: lineOf(mutant),
  replacement: mutant.replacement,
});
const unnoticedBefore = JSON.parse(readFileSync(UNNOTICED_FILE, "utf8")) as readonly Fault[];
const sample = drawn();
console.log(`${all.length} possible faults in ${texts.size} files, ${sample.length} drawn, seed ${values.seed}.`);
console.log("First the tests as they are:");
const tests = await firstRun(TESTS, ROOMS.flatMap(sourcesOf));

/**
 * The quickest of the tests that enter the function of the fault, or any of its file where it stands outside of functions:
 * those that say what is right, then those that only say what was.
 */
function testsOf({ file, inFunction }: Mutant): readonly [TestFile[], TestFile[]] {
  const enters = ({ file: test, entered }: TestFile): boolean =>
    // Holds the shape of every packet against its schema, for half a minute, and looks at no number.
    !test.endsWith("json-schema.test.ts") &&
    (inFunction >= 0 ? entered.has(`${file} ${inFunction}`) : [...entered].some((each) => each.startsWith(`${file} `)));
  const home = `tests/${file.split("/")[1]}/`;
  // Its own room's tests are the likeliest to fail: as if they took a quarter of the time.
  const cost = (test: TestFile) => test.cpuS * (test.file.startsWith(home) ? 0.25 : 1);
  const quickest = (of: readonly TestFile[]): TestFile[] => {
    let spentS = 0;
    return of
      .toSorted((a, b) => cost(a) - cost(b))
      .filter(({ cpuS }) => {
        spentS += cpuS;
        return spentS <= Number(values.budget);
      });
  };
  const entering = tests.filter(enters);
  return [
    quickest(entering.filter((test) => !isOfKeptNumbers(test))),
    quickest(entering.filter((test) => isOfKeptNumbers(test))),
  ];
}

type Verdict = "noticed" | "endless" | "survived" | "not entered";

/** A fault and what became of it; `by` names the test that noticed it. */
interface Judged {
  readonly mutant: Mutant;
  readonly verdict: Verdict;
  readonly by?: string;
}

class Lane {
  private child: ChildProcess | undefined;

  private async open(): Promise<ChildProcess> {
    if (this.child) return this.child;
    const child = fork(join(root, "tests/mutation/lane.ts"), { execArgv: ["--import", "tsx"], silent: true });
    await new Promise((resolve) => child.once("message", resolve));
    this.child = child;
    return child;
  }

  async judge(mutant: Mutant): Promise<{ verdict: Verdict; by?: string }> {
    const [asserting, keeping] = testsOf(mutant);
    const first = await this.runAgainst(asserting, mutant);
    const isNoticed = first.verdict === "noticed" || first.verdict === "endless";
    return isNoticed || keeping.length === 0 ? first : await this.runAgainst(keeping, mutant);
  }

  private async runAgainst(against: readonly TestFile[], mutant: Mutant): Promise<{ verdict: Verdict; by?: string }> {
    if (against.length === 0) return { verdict: "not entered" };
    const child = await this.open();
    const task: Task = {
      file: mutant.file,
      text: withFault(texts.get(mutant.file) ?? "", mutant),
      tests: against.map(({ file }) => file),
      // Three times what they took, and what it costs to load them.
      mostCpuS: 30 + 3 * against.reduce((sum, { cpuS }) => sum + cpuS, 0),
    };
    const answer = await new Promise<Answer>((resolve) => {
      const done = (said: Answer) => {
        child.off("message", done).off("exit", onExit);
        resolve(said);
      };
      const onExit = () => done({ failed: "the process ended" });
      child.on("message", done).on("exit", onExit);
      child.send(task);
    });
    if (answer.endless || answer.failed === "the process ended") this.close();
    if (answer.endless) return { verdict: "endless" };
    return answer.failed === undefined ? { verdict: "survived" } : { verdict: "noticed", by: answer.failed };
  }

  close(): void {
    this.child?.kill("SIGKILL");
    this.child = undefined;
  }
}

const equivalents = JSON.parse(readFileSync(EQUIVALENT_FILE, "utf8")) as readonly Equivalent[];
const judged: Judged[] = [];
const queue = [...sample];
const endsAt = performance.now() + 60_000 * Number(values.minutes ?? Number.POSITIVE_INFINITY);
/** In the order in which they were drawn; what was begun is always finished, so slow ones count like others. */
const next = (): Mutant | undefined => (performance.now() < endsAt ? queue.shift() : undefined);
await Promise.all(
  Array.from({ length: Number(values.lanes) }, async () => {
    const lane = new Lane();
    for (let mutant = next(); mutant !== undefined; mutant = next()) {
      const { verdict, by } = await lane.judge(mutant);
      judged.push({ mutant, verdict, ...(by !== undefined && { by }) });
      const told = `${mutant.file}:${mutant.line} ${mutant.kind}`;
      if (verdict === "noticed") console.log(`  noticed  ${told}  by ${by}`);
      else
        console.log(
          `${verdict.toUpperCase()}  ${told}\n           ${lineOf(mutant)}\n           ${mutant.replacement.slice(0, 160)}`,
        );
      if (judged.length % 25 === 0) console.log(`${judged.length} of ${sample.length}`);
    }
    lane.close();
  }),
);

const isEquivalent = (mutant: Mutant): boolean => equivalents.some((one) => sameFault(one, faultOf(mutant)));
const counted = (of: readonly Judged[]) => {
  const unnoticed = of.filter(({ verdict }) => verdict === "survived" || verdict === "not entered");
  const equivalent = unnoticed.filter(({ mutant }) => isEquivalent(mutant)).length;
  const byKeptNumbers = of.filter(({ by }) => by?.startsWith("tests/kept-numbers/")).length;
  return { drawn: of.length, noticed: of.length - unnoticed.length, byKeptNumbers, equivalent };
};
const byRoom = Object.fromEntries(
  rooms.map((room) => [room, counted(judged.filter(({ mutant }) => mutant.file.split(/[/.]/)[1] === room))]),
);
const whole = counted(judged);
const [low, high] = interval(whole.noticed, whole.drawn - whole.equivalent);
const score: Score = {
  date: new Date().toISOString().slice(0, 10),
  seed: Number(values.seed),
  possible: all.length,
  ...whole,
  low,
  high,
  byRoom,
};
console.log("\nNot noticed:");
for (const { mutant, verdict } of judged)
  if (verdict === "survived" || verdict === "not entered")
    console.log(
      `${isEquivalent(mutant) ? "(same) " : ""}${mutant.file}:${mutant.line}  ${mutant.kind}  ${verdict}\n    ${lineOf(mutant)}\n    ${mutant.replacement.slice(0, 300)}`,
    );
console.table(byRoom);
console.log(
  `${whole.noticed} of ${whole.drawn - whole.equivalent} noticed, ${whole.equivalent} more change nothing: ` +
    `${(100 * whole.noticed) / (whole.drawn - whole.equivalent)} %, 95 % interval ${100 * low} to ${100 * high} %`,
);
const unnoticed = judged
  .filter(({ mutant, verdict }) => (verdict === "survived" || verdict === "not entered") && !isEquivalent(mutant))
  .map(({ mutant }) => faultOf(mutant));
/** Of another room, or past the minutes: still not known to be noticed. */
const notGoneThrough = unnoticedBefore.filter((one) => !judged.some(({ mutant }) => sameFault(one, faultOf(mutant))));
if (values.write || values.again)
  writeFileSync(
    UNNOTICED_FILE,
    `${JSON.stringify([...(values.again ? notGoneThrough : []), ...unnoticed], null, 1)}\n`,
  );
if (values.write) {
  const others = (JSON.parse(readFileSync(SCORE_FILE, "utf8")) as Score[]).filter(({ seed }) => seed !== score.seed);
  writeFileSync(SCORE_FILE, `${JSON.stringify([...others, score], null, 2)}\n`);
}
process.exit(0);
