/**
 * Runs before anything else, with nothing installed: puts the locked packages in place when they
 * are missing or are not those of the lock file, then hands over to the command.
 * Plain JavaScript, since nothing that reads TypeScript may be there yet.
 */
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, lstatSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const LEAST_NODE = [20, 19];
const [major, minor] = process.versions.node.split(".").map(Number);
if (major < LEAST_NODE[0] || (major === LEAST_NODE[0] && minor < LEAST_NODE[1])) {
  console.error(`This needs Node ${LEAST_NODE.join(".")} or newer; this is Node ${process.versions.node}.`);
  process.exit(4);
}

const root = fileURLToPath(new URL("..", import.meta.url));
const stamp = `${root}node_modules/.installed-from`;
const lockHash = createHash("sha256")
  .update(readFileSync(`${root}package-lock.json`))
  .digest("hex");

if (!existsSync(stamp) || readFileSync(stamp, "utf8") !== lockHash) {
  // Installing empties the folder first; through a link that would be another checkout's.
  if (lstatSync(`${root}node_modules`, { throwIfNoEntry: false })?.isSymbolicLink()) {
    console.error("node_modules is a link to a folder whose packages are not those of package-lock.json.");
    console.error("Run the command once where that folder lies, or delete the link and run this again.");
    process.exit(4);
  }
  console.log("Installing what is missing (once) …");
  // Node on Windows starts npm through a shell; elsewhere a shell is not needed.
  const result = spawnSync("npm", ["ci", "--no-fund", "--no-audit"], {
    cwd: root,
    stdio: "inherit",
    shell: process.platform === "win32",
  });
  if (result.status !== 0) {
    console.error("Installing failed. Look at the lines above; with the network back, run the same command again.");
    process.exit(4);
  }
  writeFileSync(stamp, lockHash);
}
