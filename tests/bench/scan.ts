/**
 * A laser scan from its file to the packet: 1,000,000 points over 1,600 m², pins every 2 m. The measure is a ratio in
 * one run, in processor time: against triangulating the same points with bare delaunator and hashing the file. The
 * greatest memory is that of the whole process, as the system has it.
 *
 *     node --import tsx tests/bench/scan.ts [points]
 */
import { createHash } from "node:crypto";
import Delaunator from "delaunator";
import { loadSolver } from "../../src/build/load-solver.ts";
import { makePacket } from "../../src/build.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { tell } from "./tell.ts";

const count = Number(process.argv[2] ?? 1_000_000);
const SIDE_M = 40;

/** Long waves and 0.7 mm of noise, heights to a tenth of a millimetre as instruments give them out. */
function madeScan(): { readonly csv: string; readonly coords: Float64Array } {
  const random = randomFrom(count);
  const coords = new Float64Array(2 * count);
  // Bytes, not strings: the rows of the scan must not count as memory of the program.
  const bytes = Buffer.alloc(40 * count + 100);
  let end = bytes.write("number,north (m),east (m),height (m)\n", "latin1");
  for (let k = 0; k < count; k++) {
    const x = 0.001 + (SIDE_M - 0.002) * random.uniform();
    const y = 0.001 + (SIDE_M - 0.002) * random.uniform();
    coords[2 * k] = x;
    coords[2 * k + 1] = y;
    const height = 99.985 + 0.006 * Math.sin(x / 3) * Math.cos(y / 4) + 0.0007 * random.normal();
    end += bytes.write(`${k + 1},${y.toFixed(4)},${x.toFixed(4)},${height.toFixed(4)}\n`, end, "latin1");
  }
  return { csv: bytes.toString("latin1", 0, end), coords };
}

const JOB = `job: scanned-bay
title: Scanned bay
units: { plan: m, height: mm }
paper: a4
rooms:
  - id: bay
    name: Bay
    vertices: [[0, 0], [${SIDE_M}, 0], [${SIDE_M}, ${SIDE_M}], [0, ${SIDE_M}]]
    doors: [{ id: DR1, wall: 1, from: 3 m, width: 2 m, joins: yard, entrance: true }]
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [1, 1], spacing: 2 m }
  scan: { file: scan.csv, file_zero: 100 m, sd: 0.7 mm }
target: { top: 0 mm }
material: cement-25kg
crew: two-barrel
`;

function timed<T>(run: () => T): { readonly result: T; readonly ms: number } {
  const from = process.cpuUsage();
  const result = run();
  const { user, system } = process.cpuUsage(from);
  return { result, ms: (user + system) / 1000 };
}

const { library } = loadLibrary("jobs");
const solve = await loadSolver();
const { csv, coords } = madeScan();
const hashed = timed(() => createHash("sha256").update(csv).digest("hex"));
const bare = timed(() => new Delaunator(coords).triangles.length / 3);
const beside = [{ name: "scan.csv", file: "jobs/scanned-bay/scan.csv", text: csv }];
const made = timed(() =>
  makePacket({ jobId: "scanned-bay", file: "jobs/scanned-bay.yaml", text: JOB, beside, library }, solve),
);
if (made.result.kind !== "made") throw new Error(JSON.stringify(made.result.problems));
const { packetJson, sheets } = made.result.packet;
const floorMs = hashed.ms + bare.ms;
console.log(`${count} points, file of ${(csv.length / 1e6).toFixed(1)} MB`);
console.log(`hashing the file ${hashed.ms.toFixed(0)} ms, bare delaunator ${bare.ms.toFixed(0)} ms`);
const floor = "× hashing its file and bare delaunator";
tell(`a scan of ${count.toLocaleString("en-US")} points to a checked packet`, made.ms / 1000, "s", {
  ratio: made.ms / floorMs,
  floor: `${floor} (${(floorMs / 1000).toFixed(1)} s)`,
});
tell("  greatest memory", process.resourceUsage().maxRSS / 1024, "MB", { aim: "less than 2,048 MB" });
console.log(`${sheets.length} sheets, packet.json ${(packetJson.length / 1e6).toFixed(2)} MB`);
