/**
 * The packet's move into its place, killed at 200 random moments.
 *
 *     npm run study:kills [-- rounds]
 */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { killedRounds } from "./killed-rounds.ts";

const rounds = Number(process.argv[2] ?? 200);
const output = mkdtempSync(join(tmpdir(), "killed-"));
try {
  const { emptyUntilMended, saidSo, wrong } = await killedRounds(output, rounds);
  console.log(
    `${rounds} kills: ${emptyUntilMended} left the place empty until the next run, which said so; ` +
      `${saidSo} times the next run put a packet right; ${wrong.length} times it was not the old or the new packet whole.`,
  );
  for (const line of wrong) console.error(line);
  process.exitCode = wrong.length === 0 ? 0 : 1;
} finally {
  rmSync(output, { recursive: true, force: true });
}
