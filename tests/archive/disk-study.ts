/**
 * A disk that is full and one that cannot be written, under a whole build: the packet from before must stay whole, the
 * command must say so and end with its own code, and the next build must mend it. Linux only: the disk is a small one in
 * memory, mounted where only this process sees it.
 *
 *     npm run study:disk
 */
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statfsSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { BUILT_FROM } from "../../src/archive/built-packets.ts";
import { EXIT } from "../../src/cli/usage.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { runCommand } from "../build/run-command.ts";
import { smallJobText, temporaryOffice } from "../build/small-job.ts";

const INSIDE = "inside";
const DISK = "40m";

if (process.argv[2] === INSIDE) await study(Number(process.argv[3] ?? 12));
else {
  const words = ["--import", "tsx", fileURLToPath(import.meta.url), INSIDE, ...process.argv.slice(2)];
  const { status, error } = spawnSync("unshare", ["--user", "--map-root-user", "--mount", process.execPath, ...words], {
    stdio: "inherit",
  });
  if (error) console.error(`A disk of its own needs unshare, which is on Linux: ${error.message}`);
  process.exitCode = status ?? 1;
}

async function study(rounds: number): Promise<void> {
  const office = temporaryOffice({ "small-room": smallJobText("small-room", { title: "Version 0" }) });
  const disk = join(office.folder, "disk");
  mkdirSync(disk);
  execFileSync("mount", ["-t", "tmpfs", "-o", `size=${DISK}`, "tmpfs", disk]);
  const output = join(disk, "output");
  const words = ["--no-pdf", "--jobs", office.jobs, "--output", output];
  const save = (version: number) =>
    writeFileSync(join(office.jobs, "small-room.yaml"), smallJobText("small-room", { title: `Version ${version}` }));
  /** The version that page, numbers and sheets speak of; throws where they do not agree. */
  const version = (): string => {
    const folder = join(output, "small-room");
    const packet = JSON.parse(readFileSync(join(folder, "packet.json"), "utf8")) as {
      job: { title: string };
      sheets: { id: string }[];
    };
    const { title } = packet.job;
    const pages = readdirSync(join(folder, "en")).filter((name) => name.endsWith(".html"));
    const paths = [join(folder, "index.html"), ...pages.map((name) => join(folder, "en", name))];
    if (pages.length !== packet.sheets.length) throw new Error(`${pages.length} of ${packet.sheets.length} sheets`);
    for (const path of paths)
      if (!readFileSync(path, "utf8").includes(title)) throw new Error(`${path} is not of ${title}`);
    if (statSync(join(folder, BUILT_FROM)).size === 0) throw new Error("it does not say what it was made from");
    return title;
  };
  let wrong = 0;
  const expect = (what: string, isSo: boolean, otherwise: string) => {
    if (isSo) return;
    wrong += 1;
    console.error(`WRONG: ${what}: ${otherwise}`);
  };
  try {
    const first = await runCommand(words);
    expect("the first build", first.code === EXIT.done, first.errors);
    const filler = join(disk, "filler");
    const { bavail: roomLeft, blocks, bsize: blockBytes } = statfsSync(disk);
    const taken = (blocks - roomLeft) * blockBytes;
    const random = randomFrom(20270302);
    let refused = 0;
    let atLast = "Version 0";
    for (let round = 1; round <= rounds; round += 1) {
      save(round);
      // So much is left, in bytes: from nothing to somewhat more than a packet takes beside the one before.
      const { bavail, bsize } = statfsSync(disk);
      const left = Math.floor(random.uniform() * 1.3 * taken);
      writeFileSync(filler, Buffer.alloc(Math.max(0, bavail * bsize - left)));
      const ran = await runCommand(words);
      const found = version();
      if (ran.code === EXIT.done) atLast = `Version ${round}`;
      else refused += 1;
      expect(`round ${round}`, found === atLast || found === `Version ${round}`, `${found}, not ${atLast}`);
      if (ran.code !== EXIT.done)
        expect(`round ${round}`, /no space left/i.test(ran.errors), `it does not say why: ${ran.errors}`);
      atLast = found;
      rmSync(filler);
    }
    const after = await runCommand(words);
    expect("the build once there is room", after.code === EXIT.done, after.errors);
    expect("the packet once there is room", version() === `Version ${rounds}`, version());
    expect("what was left behind", !existsSync(join(output, ".making")), "unfinished packets");

    save(rounds + 1);
    execFileSync("mount", ["-o", "remount,ro", disk]);
    const barred = await runCommand(words);
    expect("a disk that cannot be written", barred.code === EXIT.machine, `code ${barred.code}: ${barred.errors}`);
    expect("its message", /read-only/i.test(barred.errors), barred.errors);
    expect("its packet", version() === `Version ${rounds}`, version());
    execFileSync("mount", ["-o", "remount,rw", disk]);
    const writable = await runCommand(words);
    expect("once it can be written", writable.code === EXIT.done, writable.errors);
    expect("the packet then", version() === `Version ${rounds + 1}`, version());
    console.log(
      `${rounds} builds on a disk with too little room: ${refused} ended for want of it and said so, the others fitted; ` +
        `one on a disk that cannot be written; ${wrong} times the packet was not the old or the new one whole, or nothing was said.`,
    );
    if (wrong > 0) process.exitCode = 1;
  } finally {
    execFileSync("umount", [disk]);
    rmSync(office.folder, { recursive: true, force: true });
  }
}
