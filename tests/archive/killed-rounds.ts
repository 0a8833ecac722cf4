/** A process that puts one packet after the other in its place, killed at random moments, and what then lies there. */
import { spawn } from "node:child_process";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { MAKING, mendOutput } from "../../src/archive/packet-folder.ts";
import { randomFrom } from "../../src/numeric/random.ts";

const FILES = ["a", "b/c", "d"];

export interface KilledRounds {
  /** Rounds after which the place was empty until the next run put it right. */
  readonly emptyUntilMended: number;
  /** Rounds in which mending said that it had put the packet right. */
  readonly saidSo: number;
  /** What was wrong after mending, by round; empty where nothing was. */
  readonly wrong: readonly string[];
}

/** Each round starts a process of its own, kills it within a few puts, mends, and looks. */
export async function killedRounds(output: string, rounds: number): Promise<KilledRounds> {
  const require = createRequire(import.meta.url);
  const ofLoader = createRequire(require.resolve("tsx/package.json"));
  // One plain file, so that a round takes the start of a bare process.
  ofLoader("esbuild").buildSync({
    entryPoints: [fileURLToPath(new URL("../../src/archive/packet-folder.ts", import.meta.url))],
    outfile: join(output, "packet-folder.mjs"),
    bundle: true,
    platform: "node",
    format: "esm",
    logLevel: "silent",
  });
  const script = join(output, "put.mjs");
  writeFileSync(
    script,
    `import { putPacket } from "./packet-folder.mjs";
     for (let version = Number(process.argv[2]); ; version += 1) {
       await putPacket(${JSON.stringify(output)}, "clinic", ${JSON.stringify(FILES)}.map((path) => ({ path, content: String(version) + "x".repeat(20000) })));
       process.stdout.write(".");
     }`,
  );
  const random = randomFrom(20270301);
  const wrong: string[] = [];
  let emptyUntilMended = 0;
  let saidSo = 0;
  for (let round = 0; round < rounds; round += 1) {
    const first = (round + 1) * 1000;
    const child = spawn(process.execPath, [script, String(first)], { stdio: ["ignore", "pipe", "inherit"] });
    await new Promise((started) => child.stdout.once("data", started));
    const ended = new Promise((closed) => child.once("close", closed));
    await new Promise((later) => setTimeout(later, random.uniform() * 25));
    child.kill("SIGKILL");
    await ended;
    const isEmpty = !existsSync(join(output, "clinic"));
    const mended = await mendOutput(output);
    if (isEmpty) emptyUntilMended += 1;
    if (mended.includes("clinic")) saidSo += 1;
    if (isEmpty && !mended.includes("clinic")) wrong.push(`round ${round}: the place was empty and nothing was said`);
    const versions = new Set(FILES.map((path) => readFileSync(join(output, "clinic", path), "utf8")));
    const [version = ""] = versions;
    if (versions.size !== 1 || !/^\d+x{20000}$/.test(version))
      wrong.push(`round ${round}: a mixture or a part of a packet`);
    else if (Number.parseInt(version, 10) < first) wrong.push(`round ${round}: a packet from before this round`);
    if (existsSync(join(output, MAKING))) wrong.push(`round ${round}: ${MAKING} was left behind`);
  }
  return { emptyUntilMended, saidSo, wrong };
}
