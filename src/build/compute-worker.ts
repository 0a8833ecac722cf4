/** The thread that computes: gets a job's text, gives back everything that the pages and files of its packet say. */
import { parentPort } from "node:worker_threads";
import { makePacket } from "../build.ts";
import type { ComputeRequest, WorkerMessage } from "./compute-pool.ts";
import { loadSolver } from "./load-solver.ts";

const solve = await loadSolver();

parentPort?.on("message", (request: ComputeRequest) => {
  const say = (message: WorkerMessage) => parentPort?.postMessage(message);
  try {
    say({ kind: "answer", answer: makePacket(request, solve) });
  } catch (error) {
    say({ kind: "broke", stack: error instanceof Error ? (error.stack ?? error.message) : String(error) });
  }
});
