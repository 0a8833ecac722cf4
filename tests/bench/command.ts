/**
 * The whole command, as a person runs it, for 1, 10 and 100 jobs: seconds in all and a job, and the second run, in
 * which nothing has changed and nothing may be printed. Linear means that the time a job stays the same.
 *
 *     node --import tsx tests/bench/command.ts [most jobs]
 */
import { rmSync } from "node:fs";
import { join } from "node:path";
import { runCommand } from "../build/run-command.ts";
import { smallJobText, temporaryOffice } from "../build/small-job.ts";

const most = Number(process.argv[2] ?? 100);
const perJob: number[] = [];
for (const count of [1, 10, 100].filter((each) => each <= most)) {
  // Each floor has a reading of its own, so that none is printed from another's cache.
  const jobs = Object.fromEntries(
    Array.from({ length: count }, (_, index) => {
      const id = `room-${count}-${index}`;
      return [
        id,
        smallJobText(id, {
          title: `Room ${count}-${index}`,
          readings: [`A  ${9 + index / 100}  10  8`, "B  11 12  9", "C  10 11  10"],
        }),
      ];
    }),
  );
  const office = temporaryOffice(jobs);
  const words = ["--fresh", "--jobs", office.jobs, "--output", join(office.folder, "output")];
  const timed = async (more: readonly string[]) => {
    const from = performance.now();
    const ran = await runCommand(more);
    if (ran.code !== 0) throw new Error(ran.errors);
    return { seconds: (performance.now() - from) / 1000, out: ran.out };
  };
  const first = await timed(words);
  const second = await timed(words.slice(1));
  const printedAgain = /[1-9]\d* PDFs? printed/.test(second.out);
  perJob.push(first.seconds / count);
  console.log(
    `${String(count).padStart(3)} jobs: ${first.seconds.toFixed(1)} s, ${(first.seconds / count).toFixed(2)} s a job; ` +
      `second run ${second.seconds.toFixed(1)} s, ${printedAgain ? "PRINTED AGAIN" : "nothing printed"}`,
  );
  rmSync(office.folder, { recursive: true, force: true });
}
const [, ten, hundred] = perJob;
if (ten !== undefined && hundred !== undefined)
  console.log(`a job among 100 against a job among 10: ${(hundred / ten).toFixed(2)} times`);
