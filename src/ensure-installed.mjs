/**
 * Runs before anything else, with nothing installed: puts the locked packages in place when they
 * are missing or are not those of the lock file, then hands over to the command.
 * Plain JavaScript, since nothing that reads TypeScript may be there yet.
 */
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));
const stamp = `${root}node_modules/.installed-from`;
const lockHash = createHash("sha256")
  .update(readFileSync(`${root}package-lock.json`))
  .digest("hex");

if (!existsSync(stamp) || readFileSync(stamp, "utf8") !== lockHash) {
  console.log("Installing what is missing (once) …");
  // Node on Windows starts npm through a shell; elsewhere a shell is not needed.
  const result = spawnSync("npm", ["ci", "--no-fund", "--no-audit"], {
    cwd: root,
    stdio: "inherit",
    shell: process.platform === "win32",
  });
  if (result.status !== 0) {
    console.error("Installing failed. Look at the lines above; with the network back, run the same command again.");
    process.exit(1);
  }
  writeFileSync(stamp, lockHash);
}
