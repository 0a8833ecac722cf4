/**
 * The whole command, as a person runs it: jobs one, ten and a hundred, to HTML, JSON and CSV; one and ten with their PDFs
 * (a hundred too where asked: many minutes); and the second run, in which nothing has changed and nothing may be printed.
 * Linear means that a job among many takes no longer than one among few; the start of the command is told by itself.
 *
 *     node --import tsx tests/bench/command.ts [most jobs with PDFs] [most jobs]
 */
import { rmSync } from "node:fs";
import { runCommand } from "../build/run-command.ts";
import { smallJobText, temporaryOffice } from "../build/small-job.ts";
import { tell } from "./tell.ts";

const mostPrinted = Number(process.argv[2] ?? 10);
const most = Number(process.argv[3] ?? 100);

async function timed(words: readonly string[]): Promise<{ seconds: number; out: string }> {
  const from = performance.now();
  const ran = await runCommand(words);
  if (ran.code !== 0) throw new Error(ran.errors);
  return { seconds: (performance.now() - from) / 1000, out: ran.out };
}

/** Each floor has a reading of its own, so that none is printed from another's cache. */
function jobTexts(count: number): Record<string, string> {
  return Object.fromEntries(
    Array.from({ length: count }, (_, index) => {
      const id = `room-${count}-${index}`;
      const readings = [`A  ${9 + index / 100}  10  8`, "B  11 12  9", "C  10 11  10"];
      return [id, smallJobText(id, { title: `Room ${count}-${index}`, readings })];
    }),
  );
}

async function runs(counts: readonly number[], what: string, option: readonly string[]): Promise<void> {
  const taken: { count: number; seconds: number }[] = [];
  for (const count of counts) {
    const office = temporaryOffice(jobTexts(count));
    try {
      const words = [...option, "--jobs", office.jobs, "--output", office.output];
      const first = await timed(["--fresh", ...words]);
      const second = await timed(words);
      const work = second.out.match(/^.*(?:: computing|printed|\d+ sheets).*$/m)?.[0];
      if (work !== undefined) throw new Error(`the second run did work, though nothing had changed: ${work}`);
      const [before] = taken.slice(-1);
      const added = before && (first.seconds - before.seconds) / (count - before.count);
      const [few] = taken;
      tell(`${count} ${count === 1 ? "job" : "jobs"}, ${what}`, first.seconds, "s", {
        ...(added === undefined || few === undefined || taken.length < 2
          ? {}
          : {
              ratio: added / ((taken[1]!.seconds - few.seconds) / (taken[1]!.count - few.count)),
              floor: "× a job added among ten",
              aim: "linear: 1",
            }),
      });
      tell(`  again, nothing computed, nothing printed`, second.seconds, "s");
      taken.push({ count, seconds: first.seconds });
    } finally {
      rmSync(office.folder, { recursive: true, force: true });
    }
  }
}

// The program's bundle is made by the first command after a change of the program: that is told to nobody here.
await timed(["--help"]);
const sizes = [1, 10, 100];
await runs(
  sizes.filter((count) => count <= most),
  "HTML, JSON and CSV",
  ["--no-pdf"],
);
await runs(
  sizes.filter((count) => count <= mostPrinted),
  "PDFs too",
  [],
);
