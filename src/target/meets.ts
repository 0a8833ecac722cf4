/** Where two zones meet at a door: a step with its dam, a ramp, or a feathered edge. */
import type { Diagnostic } from "../diagnostics.ts";
import { cutMesh, valuesOnCut } from "../geometry/cut-mesh.ts";
import { vertexAt } from "../geometry/mesh.ts";
import { distance } from "../geometry/point.ts";
import type { Material } from "../job/library-model.ts";
import type { Door, Job } from "../job/model.ts";
import type { MeetSpec } from "../job/target-model.ts";
import type { Plan } from "../layout/model.ts";
import { levelAt } from "../slab/level-at.ts";
import type { Slab } from "../slab/model.ts";
import type { Millimetres } from "../units.ts";
import { findDoor, unknownDoor } from "./given-level.ts";
import { inFall, inHeight, inLength, problemAt } from "./in-words.ts";
import type { Meet, MeetForm, TargetZone, UnderWedge } from "./model.ts";
import { topOfZone } from "./top-at.ts";
import { onWedge, riseAt, type Wedge, wedgeOf } from "./wedge.ts";
import { zoneFloor } from "./zone-floor.ts";

/** Tops that agree to this meet level: a tenth of what anyone reads or pours to. */
const LEVEL_MEET_MM = 0.01;

export interface Meets {
  readonly meets: readonly Meet[];
  readonly problems: readonly Diagnostic[];
}

/**
 * One for each door that joins two zones. Refused are a door whose zones differ in height without a word on how they
 * meet, a word on a door that joins no two zones, a ramp too short for its fall, a ramp or feathered edge that runs off
 * the lower room, and a feathered edge in a material whose data sheet does not allow it.
 */
export function meetsOf(
  job: Job,
  plan: Plan,
  slab: Slab,
  zones: readonly TargetZone[],
  specs: readonly MeetSpec[],
): Meets {
  const meets: Meet[] = [];
  const problems: Diagnostic[] = [];
  for (const [index, { doorId }] of specs.entries()) {
    const found = findDoor(plan, doorId);
    if (!found) problems.push(unknownDoor(job, plan, doorId, ["meets", index, "door"]).problem);
    else if (!zonesAt(plan, zones, found.door, found.roomIndex)) {
      problems.push(
        problemAt(job, ["meets", index, "door"], {
          code: "door-within-a-zone",
          message: `the target says how zones meet at door ${doorId}, but the door joins no two zones`,
          hint: "take the line out, or put the rooms into zones of their own",
        }),
      );
    }
  }
  for (const [roomIndex, { doors }] of plan.floors.entries()) {
    for (const door of doors) {
      const sides = zonesAt(plan, zones, door, roomIndex);
      // A door that both rooms declare is looked at once, for the first.
      if (!sides || meets.some(({ doorId }) => doorId === door.id)) continue;
      const meet = meetAt(job, plan, slab, zones, door, sides, specs, problems);
      if (meet) meets.push(meet);
    }
  }
  return { meets, problems };
}

interface Side {
  readonly zone: number;
  readonly room: number;
}

function zonesAt(
  plan: Plan,
  zones: readonly TargetZone[],
  door: Door,
  roomIndex: number,
): readonly [Side, Side] | undefined {
  if (!door.joinsRoom) return undefined;
  const other = plan.floors.findIndex(({ roomId }) => roomId === door.joins);
  const side = (room: number): Side => ({
    room,
    zone: zones.findIndex(({ roomIndices }) => roomIndices.includes(room)),
  });
  const [here, there] = [side(roomIndex), side(other)];
  return here.zone === there.zone ? undefined : [here, there];
}

function meetAt(
  job: Job,
  plan: Plan,
  slab: Slab,
  zones: readonly TargetZone[],
  door: Door,
  [here, there]: readonly [Side, Side],
  specs: readonly MeetSpec[],
  problems: Diagnostic[],
): Meet | undefined {
  const steps = door.jambs.map((jamb) => topOfZone(zones[here.zone]!, jamb) - topOfZone(zones[there.zone]!, jamb));
  const [first, second] = steps as [number, number];
  const greater = Math.abs(second) > Math.abs(first) ? second : first;
  const [higher, lower] = greater >= 0 ? [here, there] : [there, here];
  const step = Math.abs(greater);
  const meet = { doorId: door.id, higherZone: higher.zone, lowerZone: lower.zone, lowerRoom: lower.room, step };
  if (step <= LEVEL_MEET_MM) return { ...meet, how: { kind: "level" } };
  const index = specs.findIndex(({ doorId }) => doorId === door.id);
  const spec = specs[index];
  if (!spec) {
    problems.push(
      problemAt(job, ["zones"], {
        code: "door-between-two-heights",
        message: `door ${door.id} joins ${plan.floors[here.room]!.name} and ${plan.floors[there.room]!.name}, whose tops differ by ${inHeight(step, job.units)} there, and the target does not say how they meet`,
        expected: "under meets: a step, a ramp or a feathered edge at this door, or one zone for both rooms",
      }),
    );
    return undefined;
  }
  if (spec.how.kind === "step") return { ...meet, how: { kind: "step", dam: step, length: door.width } };
  const wedge = wedgeAt(
    job,
    plan,
    slab,
    zones,
    door,
    spec,
    index,
    { ...meet, intoDoorRoom: lower.room === here.room },
    problems,
  );
  return wedge && { ...meet, how: wedge };
}

function wedgeAt(
  job: Job,
  plan: Plan,
  slab: Slab,
  zones: readonly TargetZone[],
  door: Door,
  { how }: MeetSpec,
  index: number,
  meet: Omit<Meet, "how"> & { readonly intoDoorRoom: boolean },
  problems: Diagnostic[],
): MeetForm | undefined {
  if (how.kind === "step") throw new Error(`a step at door ${door.id} has no wedge`);
  const path = ["meets", index];
  const { step, lowerRoom } = meet;
  const material = how.kind === "ramp" ? how.material : (zones[meet.higherZone]!.material ?? job.material);
  const fall = step / how.length;
  if (how.kind === "ramp" && fall > material.greatestFall) {
    problems.push(
      problemAt(job, path, {
        code: "ramp-too-short",
        message: `the ramp at door ${door.id} gets over ${inHeight(step, job.units)} in ${inLength(how.length, job.units)}: it falls ${inFall(fall, job.units)}, and the data sheet of ${material.name} allows ${inFall(material.greatestFall, job.units)}`,
        expected:
          material.greatestFall > 0
            ? `a ramp of ${inLength(step / material.greatestFall, job.units)} at least`
            : "a stiff, trowelled material whose data sheet allows a fall",
      }),
    );
    return undefined;
  }
  if (how.kind === "feather" && material.feathers !== true) {
    problems.push(
      problemAt(job, path, {
        code: "material-does-not-feather",
        message: `the edge at door ${door.id} is to be feathered, but the data sheet of ${material.name} does not allow it to run out to nothing`,
        hint: "make it a step with its dam, or a ramp in a stiff, trowelled material",
      }),
    );
    return undefined;
  }
  const rises = door.jambs.map(
    (jamb): Millimetres =>
      Math.max(0, topOfZone(zones[meet.higherZone]!, jamb) - topOfZone(zones[meet.lowerZone]!, jamb)),
  ) as [Millimetres, Millimetres];
  const wedge = wedgeOf(door, meet.intoDoorRoom, how.length, rises);
  if (!fitsRoom(slab, wedge, lowerRoom)) {
    problems.push(
      problemAt(job, path, {
        code: "ramp-leaves-room",
        message: `the ${how.kind === "ramp" ? "ramp" : "feathered edge"} at door ${door.id} is ${inLength(how.length, job.units)} long and runs off the floor of ${plan.floors[lowerRoom]!.name}`,
        expected: "a length that the lower room has straight in from the door",
      }),
    );
    return undefined;
  }
  // Half the step over the length and width: 1 mm over 1 m² is 1 L.
  const volume = ((rises[0] + rises[1]) / 2 / 2) * how.length * door.width;
  const lower = zones[meet.lowerZone]!;
  const onto = heaviestUnder(slab, lower, lowerRoom, wedge, material, lower.material ?? job.material);
  return { kind: how.kind, length: how.length, fall, volume, material, wedge, onto };
}

/**
 * Pour and wedge are both straight over the parts of the slab's triangles that lie under the wedge, so together they weigh
 * most at a corner of one.
 */
function heaviestUnder(
  slab: Slab,
  lower: TargetZone,
  lowerRoom: number,
  wedge: Wedge,
  above: Material,
  below: Material,
): UnderWedge {
  const floor = zoneFloor(slab, [lowerRoom], lower.drain);
  const width = distance(...wedge.head);
  const [a, b] = wedge.head;
  const [c, d] = [onWedge(wedge, width, wedge.length), onWedge(wedge, 0, wedge.length)];
  const cut = cutMesh(floor.mesh, lowerRoom, [
    [a, b],
    [b, c],
    [c, d],
    [d, a],
  ]);
  const levelMm = valuesOnCut(floor.levelMm, cut);
  let most = { depth: 0, rise: Math.max(...wedge.rises) };
  let weight = 0;
  for (let vertex = 0; vertex < levelMm.length; vertex++) {
    const at = vertexAt(cut.mesh, vertex);
    const rise = riseAt(wedge, at);
    const depth = topOfZone(lower, at) - levelMm[vertex]!;
    const here = Math.max(0, depth) * below.wetDensity + rise * above.wetDensity;
    if (rise <= 0 || here <= weight) continue;
    weight = here;
    most = { depth: Math.max(0, depth), rise };
  }
  return { material: below, ...most };
}

/** How far inside the corners of the wedge are looked up: they may lie on a wall's face to within rounding. */
const INSIDE_M = 1e-3;

/** True where the far corners of the wedge lie on the lower room's floor. */
const fitsRoom = (slab: Slab, wedge: Wedge, lowerRoom: number): boolean =>
  [INSIDE_M, distance(...wedge.head) - INSIDE_M].every(
    (along) => levelAt(slab, onWedge(wedge, along, wedge.length - INSIDE_M), lowerRoom) !== undefined,
  );
