/**
 * Tells of every file that is written, renamed or deleted below a folder. Each folder is watched by itself: Node's own
 * watching of whole trees loses a file on Linux once an editor has saved it by putting another in its place.
 */
import { type FSWatcher, readdirSync, statSync, watch } from "node:fs";
import { join } from "node:path";

export interface FolderWatch {
  close(): void;
}

/**
 * @param told with the path of what changed, below `root`
 * @param failed once, with the error, where a folder cannot be watched, such as that the system allows no more
 */
export function watchFolders(root: string, told: (path: string) => void, failed: (error: Error) => void): FolderWatch {
  const watchers = new Map<string, FSWatcher>();
  let hasFailed = false;
  const forget = (below: string) => {
    watchers.get(below)?.close();
    watchers.delete(below);
  };
  const look = (below: string) => {
    if (hasFailed) return;
    const folder = join(root, below);
    try {
      if (!watchers.has(below)) {
        const watcher = watch(folder, (event, name) => {
          const path = join(below, name ?? "");
          told(path);
          // Another folder may stand there now.
          if (event === "rename") forget(path);
          if (statSync(join(root, path), { throwIfNoEntry: false })?.isDirectory()) look(path);
        });
        // A folder that is gone is told of by the one above it.
        watcher.on("error", () => forget(below));
        watchers.set(below, watcher);
      }
      for (const entry of readdirSync(folder, { withFileTypes: true }))
        if (entry.isDirectory() && !entry.name.startsWith(".")) look(join(below, entry.name));
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === "ENOENT") return;
      hasFailed = true;
      failed(error as Error);
    }
  };
  look("");
  return {
    close() {
      for (const watcher of [...watchers.values()]) watcher.close();
    },
  };
}
