/** Shipped jobs whose bytes are damaged: as a disk, an editor with another encoding or a bad paste damages them. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { projectFolder } from "../build/small-job.ts";
import { JOB_ID } from "./judge.ts";
import { type Draw, pick } from "./written.ts";

const folder = join(projectFolder, "jobs");
const SHIPPED: readonly Buffer[] = readdirSync(folder)
  .filter((name) => name.endsWith(".yaml"))
  .sort()
  .map((name) => Buffer.from(readFileSync(join(folder, name), "utf8").replace(/^job: .*$/m, `job: ${JOB_ID}`)));

const PIECES = [
  "\0",
  "\ufeff",
  "\r",
  "\r\n",
  "\t",
  "\u2028",
  "\u0085",
  "\u202e",
  "{{ 1 }}",
  "{% raw %}",
  "<b>",
  "&a ",
  "*a",
  "<<: *a\n",
  "!!js/function ",
  "|",
  ">-\n",
  "---\n",
  "...\n",
  "? ",
  "%YAML 9.9\n",
  "[",
  "{",
  "}",
  '"',
  "'",
  "#",
  ": ",
  "- ",
  ",",
  "__proto__: ",
  "constructor: ",
  ".nan",
  ".inf",
  "-0",
  "1e400",
  "0x1F",
  "1_000",
  "12:30:45",
  "~",
  "null",
  "yes",
] as const;

/** The bytes of a shipped job with a few runs cut out, doubled, flipped or put in. */
export function damagedBytes(g: Draw): Buffer {
  let bytes = pick(g, SHIPPED);
  const count = 1 + g(fc.nat, 2);
  for (let k = 0; k < count; k++) {
    const at = g(fc.nat, bytes.length);
    const length = g(fc.nat, pick(g, [1, 4, 40, 400]));
    const [head, run, tail] = [bytes.subarray(0, at), bytes.subarray(at, at + length), bytes.subarray(at + length)];
    switch (g(fc.nat, 5)) {
      case 0:
        bytes = Buffer.concat([head, tail]);
        break;
      case 1:
        bytes = Buffer.concat([head, run, run, tail]);
        break;
      case 2:
        bytes = Buffer.concat([head, Buffer.from(pick(g, PIECES)), tail]);
        break;
      case 3:
        bytes = Buffer.concat([head, Buffer.from(pick(g, PIECES)), run, tail]);
        break;
      case 4:
        bytes = Buffer.concat([head, Buffer.from([g(fc.nat, 255)]), bytes.subarray(at + 1)]);
        break;
      default: {
        const from = g(fc.nat, bytes.length);
        bytes = Buffer.concat([head, bytes.subarray(from, from + length), tail]);
      }
    }
  }
  return bytes;
}
