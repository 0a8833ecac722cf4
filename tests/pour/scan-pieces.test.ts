/** The pour of a scanned floor is laid out on the points that are shown, and takes what all points make. */
import { expect, test } from "vitest";
import { measureDepths } from "../../src/depths/measure-depths.ts";
import type { Outcome } from "../../src/diagnostics.ts";
import { readJob } from "../../src/job/read-job.ts";
import { layOut } from "../../src/layout/lay-out.ts";
import { fillPieces, pieceMeasures, piecesToPour } from "../../src/pour/fill.ts";
import { countQuantities } from "../../src/quantities/count-quantities.ts";
import { surfaceOf } from "../../src/slab/surface-of.ts";
import { adjustLevels } from "../../src/survey/adjust-levels.ts";
import { placeTarget } from "../../src/target/place-target.ts";
import { library } from "../job/job-text.ts";
import { besideScan, SCAN_FILE, scanCsv, scanJob } from "../survey/made-scan.ts";

function readyOf<T>(outcome: Outcome<T>): T {
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return outcome.value;
}

test("room by room and lift by lift the pieces hold the order, to a millionth", () => {
  // Ripples of 0.4 m are lost on squares of a quarter metre: what is shown holds another volume.
  const rippled = (x: number, y: number) =>
    14 + 6 * Math.sin(x / 2) + 2 * Math.abs(Math.sin(16 * x) * Math.sin(15 * y));
  const { job } = readJob(scanJob(), SCAN_FILE, library, besideScan(scanCsv(15_000, rippled)));
  const plan = readyOf(layOut(job!));
  const levels = readyOf(adjustLevels(job!, plan));
  const slab = readyOf(surfaceOf(plan, levels));
  const target = readyOf(placeTarget(job!, plan, levels, slab));
  const depths = readyOf(measureDepths(job!, plan, levels, slab, target));
  const thinner = { ...job!, material: { ...job!.material, greatestLift: 12 } };
  const { lifts } = readyOf(countQuantities(thinner, depths));
  expect(lifts.length).toBe(2);
  const profile = 0.5;
  const volumeOf = (pieces: ReturnType<typeof piecesToPour>[number][number]) =>
    pieces.reduce((sum, piece) => sum + pieceMeasures(piece).volume, 0);
  const volumes = piecesToPour(depths, lifts, profile, 2).map((rooms) => rooms.map(volumeOf));
  for (const { roomIndex, volumeToOrder, area } of depths.rooms) {
    const poured = volumes.reduce((sum, rooms) => sum + rooms[roomIndex]!, 0);
    expect(poured / (volumeToOrder + profile * area)).toBeCloseTo(1, 6);
  }
  // The first lift wets the deep places, which take their profile with it; the last one wets the rest.
  for (const [k, { volume, area }] of lifts.entries()) {
    const wets = k === 0 ? area : area - lifts[0]!.area;
    expect(volumes[k]!.reduce((sum, one) => sum + one, 0) / (volume + profile * wets)).toBeCloseTo(1, 6);
  }
  const asShown = fillPieces({ ...depths.drawn!, leastAllowed: depths.leastAllowed }, lifts, profile, 2);
  const shown = asShown.flat().reduce((sum, pieces) => sum + volumeOf(pieces), 0);
  expect(Math.abs(shown / volumes.flat().reduce((sum, one) => sum + one, 0) - 1)).toBeGreaterThan(1e-5);
}, 60_000);
