/** Starts the thread that fuzzes: a thread does not inherit the loader that reads TypeScript on every Node version. */
import { register } from "tsx/esm/api";

register();
await import("./run-worker.ts");
