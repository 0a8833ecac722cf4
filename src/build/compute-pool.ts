/**
 * Computing runs in a worker thread, so that a job file that keeps the geometry busy for ever can be
 * stopped: after the limit the thread is ended, the job is refused with a message that says so, and
 * the next job gets a fresh thread.
 */
import { Worker } from "node:worker_threads";
import type { FirstLook, MadePacket } from "../build.ts";
import type { Diagnostic } from "../diagnostics.ts";
import type { BesideFile } from "../job/job-reader.ts";
import type { LibraryFiles } from "../job/library.ts";
import { projectFolder } from "../print/cache-folder.ts";
import type { IssuedRevision, Issuing } from "../revision/model.ts";
import { programBundle } from "./program-bundle.mjs";

/** How long one job may be computed, and how much memory it may take. A job of 400 pins takes under a second. */
export const COMPUTE_LIMITS: ComputeLimits = { seconds: 300, megabytes: 3000 };

export interface ComputeLimits {
  readonly seconds: number;
  readonly megabytes: number;
}

export interface ComputeRequest {
  readonly jobId: string;
  /** As the office knows it, such as `jobs/tern-street-clinic.yaml`. */
  readonly file: string;
  readonly text: string;
  /** CSV files beside the job that its text names; absent where it names none. */
  readonly beside?: readonly BesideFile[];
  readonly library: LibraryFiles;
  /** The issued revisions of this job, in order. */
  readonly issued?: readonly IssuedRevision[];
  /** Present where this packet is being issued. */
  readonly issuing?: Issuing;
  /** Of all that the packet is computed from, as records have it. */
  readonly inputHash?: string;
  /** Of that and of what was issued before: two requests with one say the same. */
  readonly sourceHash?: string;
}

export type ComputeAnswer =
  | { readonly kind: "made"; readonly packet: MadePacket; readonly warnings: readonly Diagnostic[] }
  | { readonly kind: "refused"; readonly problems: readonly Diagnostic[] };

export interface ThreadTask {
  readonly ask: "packet" | "first look";
  readonly request: ComputeRequest;
}

/** What the thread posts back: the answer, first looks one by one and their end, or the text of an error that no stage foresaw. */
export type WorkerMessage =
  | { readonly kind: "answer"; readonly answer: ComputeAnswer }
  | { readonly kind: "look"; readonly look: FirstLook }
  | { readonly kind: "looked" }
  | { readonly kind: "broke"; readonly stack: string };

export interface ComputePool {
  /** Starts the thread, which takes a while, before anything is asked of it. */
  getReady(): void;
  /** Computes one job; several asked at once wait for each other. Never rejects for what a job file says. */
  compute(request: ComputeRequest): Promise<ComputeAnswer>;
  /** What can be said of a job at once, each look as soon as it is there; none where the whole packet has to say it. */
  lookFirst(request: ComputeRequest, onLook: (look: FirstLook) => void): Promise<void>;
  /** Ends the thread, so that the next job is computed by the program as it then stands on the disk. */
  restart(): Promise<void>;
  close(): Promise<void>;
}

export function openComputePool(limits: ComputeLimits): ComputePool {
  let worker: Worker | undefined;
  let queue: Promise<unknown> = Promise.resolve();
  /** Serving asks for the same again when it prints what it has shown. */
  let last: { readonly jobId: string; readonly sourceHash: string; readonly answer: ComputeAnswer } | undefined;

  const end = async () => {
    const old = worker;
    worker = undefined;
    last = undefined;
    await old?.terminate();
  };
  let isClosed = false;
  const start = async (): Promise<Worker> => {
    if (worker !== undefined) return worker;
    const bundle = await programBundle(projectFolder, "compute-worker");
    if (worker !== undefined) return worker;
    const started = new Worker(bundle ?? new URL("./compute-worker.mjs", import.meta.url), {
      execArgv: [],
      resourceLimits: { maxOldGenerationSizeMb: limits.megabytes },
    });
    worker = started;
    // One that ends before anything was asked of it is started again by whoever asks, and tells why then.
    started.on("error", () => undefined);
    started.once("exit", () => {
      if (worker === started) worker = undefined;
    });
    if (isClosed) await end();
    return started;
  };
  const ask = async (task: ThreadTask, onLook: (look: FirstLook) => void): Promise<ComputeAnswer> => {
    const { request } = task;
    const thread = await start();
    return new Promise((resolve) => {
      const listen = (turn: "on" | "off") => {
        thread[turn]("message", onMessage);
        thread[turn]("error", onError);
        thread[turn]("exit", onExit);
      };
      const settle = (answer: ComputeAnswer) => {
        clearTimeout(timer);
        listen("off");
        resolve(answer);
      };
      const stop = (problem: Diagnostic) => {
        listen("off");
        // A thread that is being ended may still complain; nobody is waiting for it any more.
        thread.on("error", () => undefined);
        void end().then(() => settle({ kind: "refused", problems: [problem] }));
      };
      const timer = setTimeout(() => stop(tookTooLong(request, limits.seconds)), limits.seconds * 1000);
      const onMessage = (message: WorkerMessage) => {
        if (message.kind === "answer") settle(message.answer);
        else if (message.kind === "look") onLook(message.look);
        else if (message.kind === "looked") settle({ kind: "refused", problems: [] });
        else stop(brokeDown(request, message.stack));
      };
      const onError = (error: Error & { code?: string }) => {
        const full = error.code === "ERR_WORKER_OUT_OF_MEMORY";
        stop(full ? tooMuchMemory(request, limits.megabytes) : brokeDown(request, error.stack ?? error.message));
      };
      const onExit = () => stop(brokeDown(request, "the computing thread ended without an answer"));
      listen("on");
      thread.postMessage(task);
    });
  };

  const computeOrRecall = async (request: ComputeRequest): Promise<ComputeAnswer> => {
    const { jobId, sourceHash } = request;
    if (sourceHash !== undefined && last?.jobId === jobId && last.sourceHash === sourceHash) return last.answer;
    const answer = await ask({ ask: "packet", request }, () => undefined);
    if (sourceHash !== undefined && answer.kind === "made") last = { jobId, sourceHash, answer };
    return answer;
  };

  return {
    getReady() {
      void start().catch(() => undefined);
    },
    compute(request) {
      const answer = queue.then(() => computeOrRecall(request));
      queue = answer.catch(() => undefined);
      return answer;
    },
    async lookFirst(request, onLook) {
      const looked = queue.then(() => ask({ ask: "first look", request }, onLook));
      queue = looked.catch(() => undefined);
      await looked;
    },
    async restart() {
      const ended = queue.then(end);
      queue = ended;
      await ended;
    },
    async close() {
      isClosed = true;
      await end();
    },
  };
}

const tookTooLong = ({ file }: ComputeRequest, seconds: number): Diagnostic => ({
  code: "computing-took-too-long",
  severity: "error",
  message: `${file} was still being computed after ${seconds} s and was stopped.`,
  expected: "a floor whose surface, bands and sheets come out within this limit",
  hint: "Look for readings or walls that were pasted in many times over; build a large floor in parts.",
});

const tooMuchMemory = ({ file }: ComputeRequest, megabytes: number): Diagnostic => ({
  code: "computing-took-too-much-memory",
  severity: "error",
  message: `${file} took more than ${megabytes} MB of memory to compute and was stopped.`,
  expected: "a floor within the stated limits of readings and walls",
  hint: "Look for readings or walls that were pasted in many times over; build a large floor in parts.",
});

const brokeDown = ({ file }: ComputeRequest, stack: string): Diagnostic => ({
  code: "computing-broke-down",
  severity: "error",
  message: `${file} could not be computed: a fault of this program, not of the file. ${stack}`,
  expected: "a packet, or a message that names a line of the file",
  hint: "Send the job file and this message to whoever looks after the program.",
});
