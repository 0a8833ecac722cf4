/** Planted wrong figures beside the volumes and on the tape: each is refused, and the packets as they are pass. */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import type { Evidence } from "../../src/check/evidence.ts";
import { verifyPacket } from "../../src/check/verify-packet.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { toPacket } from "../../src/sheets/packet.ts";

// biome-ignore lint/suspicious/noExplicitAny: faults are planted where the types say read-only
type Any = any;

function writable(value: Any): Any {
  if (ArrayBuffer.isView(value)) return (value as Float64Array).slice();
  if (Array.isArray(value)) return value.map(writable);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, writable(inner)]));
}

/** A bathroom of one room, and a floor of several rooms. */
const sound: Record<string, Evidence> = {};
beforeAll(async () => {
  const solve = await loadSolver();
  for (const id of ["maple-loft-bath", "larch-yard-studio"]) {
    const file = `jobs/${id}.yaml`;
    const jobText = readFileSync(file, "utf8");
    const { job } = readJob(jobText, file, loadLibrary("jobs").library);
    const found = job && findingsOf(job, solve);
    if (found?.kind !== "ready") throw new Error(`${id} does not compute`);
    sound[id] = { file, jobText, findings: found.value, packet: toPacket(found.value, []), sheets: [] };
  }
}, 200_000);

const depths = (f: Any) => f.depths.value;
const quantities = (f: Any) => f.quantities.value;
const offsetsOf = (f: Any) => f.plan.gridLines.find(({ offsets }: Any) => offsets.length > 0).offsets;
const tapedPin = (f: Any) => f.plan.pins.find(({ offsets }: Any) => offsets !== undefined);

const FAULTS: readonly (readonly [string, string, (findings: Any) => void])[] = [
  ["a least depth", "depth-differs", (f) => (depths(f).least += 0.1)],
  ["a greatest depth", "depth-differs", (f) => (depths(f).greatest -= 0.1)],
  ["the greatest depth of a room", "depth-differs", (f) => (depths(f).rooms[0].greatest += 0.1)],
  ["the least depth of a room", "depth-differs", (f) => (depths(f).rooms[0].least -= 0.1)],
  ["a mean depth", "depth-differs", (f) => (depths(f).mean *= 1.001)],
  ["the area of the slab", "area-differs", (f) => (f.slab.value.area += 0.1)],
  ["the number of a band", "bands-differ", (f) => (depths(f).bands[1].number = 1)],
  ["where a band begins", "bands-differ", (f) => (depths(f).bands[1].from += 1)],
  ["where a band ends", "bands-differ", (f) => (depths(f).bands[1].to -= 1)],
  ["floor put into the next band", "bands-differ", (f) => moveArea(depths(f).bands)],
  ["the thickness of a lift", "lift-differs", (f) => (quantities(f).lifts[0].thickness *= 0.9)],
  ["the number of a lift", "lift-differs", (f) => (quantities(f).lifts[0].number = 2)],
  ["the area of a lift", "lift-differs", (f) => (quantities(f).lifts[0].area *= 0.9)],
  ["how far below the top a lift ends", "lift-differs", (f) => (quantities(f).lifts[0].topBelowTarget += 1)],
  ["the area that is primed", "primer-differs", (f) => (quantities(f).primer.area += 1)],
  ["a coat of primer too thin", "primer-differs", (f) => (quantities(f).primer.coats[0].mixed *= 0.9)],
  ["a coat of primer not thinned", "primer-differs", (f) => (quantities(f).primer.coats[0].water = 0)],
  ["a coat left out", "primer-differs", (f) => quantities(f).primer.coats.pop()],
  ["all primer", "primer-differs", (f) => (quantities(f).primer.concentrate *= 2)],
  ["the load under a pallet", "pallet-load-differs", (f) => (quantities(f).palletLoad *= 0.5)],
  ["the volume behind the bags", "bags-differ", (f) => (quantities(f).bags.volume *= 1.01)],
  ["the volume in the profile", "bags-differ", (f) => (quantities(f).bags.profileVolume += 1)],
  ["a grid line a foot off", "line-out-of-place", (f) => (f.plan.gridLines[1].at += 0.3048)],
  ["two grid lines that change their names", "line-out-of-place", (f) => (f.plan.gridLines[0].name = "B")],
  ["an offset from the wall's other face", "offset-differs", (f) => (offsetsOf(f)[0].distance += 0.1)],
  ["an offset from another wall", "offset-differs", (f) => (offsetsOf(f)[0].wallIndex = otherWall(offsetsOf(f)[0]))],
  ["an offset of a pin", "offset-differs", (f) => (tapedPin(f).offsets[0].distance += 0.02)],
  ["a point that is read beside its pin", "pin-out-of-place", (f) => (f.plan.points[0].at.x += 0.05)],
];

function moveArea(bands: Any): void {
  bands[1].area += 0.05;
  bands[2].area -= 0.05;
}

const otherWall = ({ wallIndex }: Any): number => (wallIndex === 0 ? 1 : 0);

it.each(["maple-loft-bath", "larch-yard-studio"])("%s passes as it is", (id) => {
  expect(verifyPacket(sound[id]!).map(({ message }) => message)).toEqual([]);
});

describe("a packet", () => {
  it.each(FAULTS)("with %s wrong is refused as %s", (_, code, plant) => {
    const evidence = sound["maple-loft-bath"]!;
    const findings = { ...evidence.findings, ...(writable({ ...evidence.findings, job: undefined }) as object) };
    const faulty = { ...findings, job: evidence.findings.job };
    plant(faulty);
    expect(verifyPacket({ ...evidence, findings: faulty } as Evidence).map((found) => found.code)).toContain(code);
  });
});

it("bags against those allowed, and the load that a hold says", () => {
  const evidence = sound["maple-loft-bath"]!;
  const plant = (change: (q: Any) => void): string[] => {
    const quantities = writable(evidence.findings.quantities);
    change(quantities.value);
    return verifyPacket({ ...evidence, findings: { ...evidence.findings, quantities } }).map(({ code }) => code);
  };
  expect(plant((q) => (q.againstAllowed.differenceBags += 1))).toContain("allowed-differs");
  expect(plant((q) => (q.againstAllowed.allowedBags += 1))).toContain("allowed-differs");
  expect(plant((q) => (q.holds = [{ kind: "dead-load-past-allowed", valueKgM2: 1 }]))).toContain("hold-differs");
});
