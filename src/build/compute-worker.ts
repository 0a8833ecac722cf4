/** The thread that computes: gets a job's text, gives back everything that the pages and files of its packet say. */
import { parentPort } from "node:worker_threads";
import { lookFirst, makePacket } from "../build.ts";
import type { LabelMemory } from "../sheets/map/label-memory.ts";
import type { ThreadTask, WorkerMessage } from "./compute-pool.ts";
import { loadSolver } from "./load-solver.ts";

const solve = await loadSolver();
/** Of the job that this thread looked at last: most saves leave nearly every label where it was. */
const labels: LabelMemory = new Map();

parentPort?.on("message", ({ ask, request }: ThreadTask) => {
  const say = (message: WorkerMessage) => parentPort?.postMessage(message);
  try {
    if (ask === "packet") say({ kind: "answer", answer: makePacket(request, solve) });
    else {
      for (const look of lookFirst(request, solve, labels)) say({ kind: "look", look });
      say({ kind: "looked" });
    }
  } catch (error) {
    say({ kind: "broke", stack: error instanceof Error ? (error.stack ?? error.message) : String(error) });
  }
});
