/** The target as typed: one top or several, and what each is taken from. */
import { distance } from "../geometry/point.ts";
import type { KilogramsPerSquareMetre, Millimetres, MillimetresPerMetre, SquareMetres } from "../units.ts";
import { readIdOrEntry } from "./job-entries.ts";
import { type JobReader, objectAt, objectAtKey, toMetres, toMillimetres, toPoint } from "./job-reader.ts";
import type { Library } from "./library.ts";
import { readMaterial } from "./library-material.ts";
import type { BenchMark, Door, Room } from "./model.ts";
import type { DoorHeightText, MeetText, OneTopText, TargetText, ZoneText } from "./schema-target.ts";
import { nearName } from "./suggest.ts";
import type {
  BuildUpLayer,
  Coverings,
  DoorHeight,
  GrindingSpec,
  MeetSpec,
  OneTopSpec,
  SoughtTop,
  TargetSpec,
  ZoneSpec,
} from "./target-model.ts";
import type { Path } from "./yaml-places.ts";

/** What a target may refer to. */
export interface TargetContext {
  readonly library: Library;
  readonly rooms: readonly Room[];
  readonly benchMarks: readonly BenchMark[];
}

const FORMS =
  "top: 0 mm — or bench_mark: BM1 with above: -10 mm — or door: D1 with build_up: [{ name: tile, thickness: 10 mm }] — or seek: level";

/** Builds the target; undefined after objecting to it. */
export function buildTarget(reader: JobReader, text: TargetText, context: TargetContext): TargetSpec | undefined {
  const path: Path = ["target"];
  if (text.zones === undefined) {
    if (text.meets !== undefined) {
      objectAtKey(reader, [...path, "meets"], {
        code: "target-unclear",
        message: '"meets" goes with "zones", which the target does not have.',
        expected: "zones, each with its rooms and its top",
      });
      return undefined;
    }
    return buildTop(reader, text, path, context);
  }
  const alone = Object.keys(text).find((key) => key !== "zones" && key !== "meets");
  if (alone !== undefined) {
    objectAtKey(reader, [...path, alone], {
      code: "target-unclear",
      message: `The target has zones, and "${alone}" besides.`,
      expected: `"${alone}" inside the zone that it is for`,
    });
    return undefined;
  }
  const zones = text.zones.map((zone, k) => buildZone(reader, zone, [...path, "zones", k], context));
  const meets = (text.meets ?? []).map((meet, k) => buildMeet(reader, meet, [...path, "meets", k], context));
  const covered = refuseZonesOfRooms(reader, text.zones, [...path, "zones"], context.rooms);
  if (!covered || zones.includes(undefined) || meets.includes(undefined)) return undefined;
  return {
    kind: "zones",
    zones: zones.filter((zone) => zone !== undefined),
    meets: meets.filter((meet) => meet !== undefined),
  };
}

/** Every room has to be in one zone; true where it is so. */
function refuseZonesOfRooms(
  reader: JobReader,
  zones: readonly ZoneText[],
  path: Path,
  rooms: readonly Room[],
): boolean {
  const zoneOf = new Map<string, number>();
  let right = true;
  for (const [k, zone] of zones.entries()) {
    for (const [j, id] of zone.rooms.entries()) {
      const at = [...path, k, "rooms", j];
      if (
        !isKnown(
          reader,
          id,
          rooms.map((room) => room.id),
          "room",
          at,
        )
      )
        right = false;
      const earlier = zoneOf.get(id);
      if (earlier !== undefined) {
        right = false;
        objectAt(reader, at, {
          code: "room-in-two-zones",
          message: `Room ${id} is in zone ${earlier + 1} and in zone ${k + 1}.`,
          expected: "each room in one zone",
        });
      }
      zoneOf.set(id, k);
    }
  }
  const left = rooms.filter(({ id }) => !zoneOf.has(id)).map(({ id }) => id);
  if (left.length > 0) {
    right = false;
    objectAtKey(reader, path, {
      code: "room-in-no-zone",
      message: `${left.length === 1 ? "Room" : "Rooms"} ${left.join(", ")} ${left.length === 1 ? "is" : "are"} in no zone.`,
      expected: "each room in one zone",
    });
  }
  return right;
}

function buildZone(reader: JobReader, zone: ZoneText, path: Path, context: TargetContext): ZoneSpec | undefined {
  const { rooms, material, ...text } = zone;
  const top = buildTop(reader, text, path, context);
  const own =
    material === undefined
      ? undefined
      : readIdOrEntry(reader, context.library.materials, "material", [...path, "material"], readMaterial);
  if (top === undefined || (material !== undefined && own === undefined)) return undefined;
  return { roomIds: rooms, top, ...(own === undefined ? {} : { material: own }) };
}

function buildMeet(reader: JobReader, text: MeetText, path: Path, context: TargetContext): MeetSpec | undefined {
  const { door: doorId, how, length } = text;
  if (findDoor(reader, doorId, [...path, "door"], context) === undefined) return undefined;
  const unused = how === "step" ? (["length", "material"] as const) : how === "feather" ? (["material"] as const) : [];
  for (const key of unused) {
    if (text[key] === undefined) continue;
    objectAtKey(reader, [...path, key], {
      code: "target-unclear",
      message: `A ${how} at door ${doorId} takes no ${key}.`,
      expected: how === "step" ? "how: step alone" : "how: feather with its length",
    });
    return undefined;
  }
  if (how === "step") return { doorId, how: { kind: "step" } };
  if (length === undefined) {
    objectAt(reader, path, {
      code: "missing-key",
      message: `The ${how} at door ${doorId} has no length.`,
      expected: "length: 4'",
    });
    return undefined;
  }
  if (how === "feather") return { doorId, how: { kind: "feather", length: toMetres(reader, length) } };
  if (text.material === undefined) {
    objectAt(reader, path, {
      code: "missing-key",
      message: `The ramp at door ${doorId} has no material.`,
      expected: "material: a stiff, trowelled material that its data sheet allows a fall",
    });
    return undefined;
  }
  const at = [...path, "material"];
  const material = readIdOrEntry(reader, context.library.materials, "material", at, readMaterial);
  return material && { doorId, how: { kind: "ramp", length: toMetres(reader, length), material } };
}

/** The form to which a key belongs that says nothing by itself. */
const OWNERS = {
  above: ["bench_mark"],
  build_up: ["door"],
  neighbour_build_up: ["door"],
  fall: ["top"],
  at: ["top"],
  towards: ["top"],
  greatest_fall: ["seek"],
  at_doors: ["seek"],
  grinding: ["seek"],
  limits: ["seek"],
} as const;

/** One top; exactly one of its forms has to be there, and what it names. */
function buildTop(reader: JobReader, text: OneTopText, path: Path, context: TargetContext): OneTopSpec | undefined {
  const forms = (["top", "bench_mark", "door", "seek"] as const).filter((key) => text[key] !== undefined);
  if (forms.length !== 1) {
    objectAt(reader, path, {
      code: "target-unclear",
      message:
        forms.length === 0
          ? "The target does not say where the top of the pour goes."
          : `The target says where the top of the pour goes in ${forms.length} ways: ${forms.join(", ")}.`,
      expected: FORMS,
    });
    return undefined;
  }
  for (const [key, owners] of Object.entries(OWNERS) as [keyof typeof OWNERS, readonly string[]][]) {
    if (text[key] === undefined || owners.includes(forms[0]!)) continue;
    objectAtKey(reader, [...path, key], {
      code: "target-unclear",
      message: `"${key}" goes with "${owners.join('" or "')}", which the target does not have.`,
      expected: FORMS,
    });
    return undefined;
  }
  switch (forms[0]!) {
    case "top": {
      const top = toMillimetres(reader, text.top!);
      const slope = [text.fall, text.at, text.towards].filter((value) => value !== undefined).length;
      if (slope === 0) return { kind: "level", top, zeroIsTop: top === 0 };
      return slopedTop(reader, text, top, path);
    }
    case "bench_mark":
      return topFromBenchMark(reader, text, path, context);
    case "door":
      return topFromDoor(reader, text, path, context);
    case "seek":
      return soughtTop(reader, text, path, context);
  }
}

function slopedTop(
  reader: JobReader,
  { fall, at, towards }: OneTopText,
  top: Millimetres,
  path: Path,
): OneTopSpec | undefined {
  const from = at && toPoint(reader, at);
  const to = towards && toPoint(reader, towards);
  if (fall === undefined || from === undefined || to === undefined || distance(from, to) === 0) {
    objectAt(reader, path, {
      code: "target-unclear",
      message:
        from !== undefined && to !== undefined && distance(from, to) === 0
          ? "The top falls from a place towards the same place."
          : "A top with a fall says where it has its height, how steeply it falls, and towards which place.",
      expected: "top: 0 mm, at: [2', 2'], fall: 1/8 in/ft, towards: [12', 2']",
    });
    return undefined;
  }
  return { kind: "sloped", at: from, top, fall: fall as MillimetresPerMetre, towards: to };
}

function topFromBenchMark(
  reader: JobReader,
  { bench_mark, above }: OneTopText,
  path: Path,
  { benchMarks }: TargetContext,
): OneTopSpec | undefined {
  const id = bench_mark!;
  if (above === undefined) {
    objectAtKey(reader, [...path, "bench_mark"], {
      code: "missing-key",
      message: `The target does not say how far above bench mark ${id} the top of the pour is.`,
      expected: "above: 0 mm where it is at the bench mark, or a length, with a minus where it is below",
    });
    return undefined;
  }
  const ids = benchMarks.map((benchMark) => benchMark.id);
  if (!isKnown(reader, id, ids, "bench mark", [...path, "bench_mark"])) return undefined;
  return { kind: "bench-mark", benchMarkId: id, above: toMillimetres(reader, above) };
}

function topFromDoor(reader: JobReader, text: OneTopText, path: Path, context: TargetContext): OneTopSpec | undefined {
  const doorId = text.door!;
  if (text.build_up === undefined) {
    objectAtKey(reader, [...path, "door"], {
      code: "missing-key",
      message: `The target does not say what is laid on the pour at door ${doorId}.`,
      expected: "build_up: [{ name: tile, thickness: 10 mm }], or build_up: [] where nothing is laid on it",
    });
    return undefined;
  }
  const door = findDoor(reader, doorId, [...path, "door"], context);
  if (door === undefined || !hasFinish(reader, door, [...path, "door"])) return undefined;
  return { kind: "door", doorId, ...coveringsOf(reader, text) };
}

const layersOf = (reader: JobReader, layers: NonNullable<OneTopText["build_up"]>): BuildUpLayer[] =>
  layers.map(({ name, thickness }) => ({ name, thickness: toMillimetres(reader, thickness) }));

function coveringsOf(
  reader: JobReader,
  { build_up, neighbour_build_up }: Pick<OneTopText, "build_up" | "neighbour_build_up">,
): Coverings {
  return {
    buildUp: layersOf(reader, build_up ?? []),
    ...(neighbour_build_up === undefined ? {} : { neighbourBuildUp: layersOf(reader, neighbour_build_up) }),
  };
}

function soughtTop(reader: JobReader, text: OneTopText, path: Path, context: TargetContext): SoughtTop | undefined {
  const doors = (text.at_doors ?? []).map((door, k) => doorHeight(reader, door, [...path, "at_doors", k], context));
  const grinding = text.grinding && buildGrinding(reader, text, path, context);
  if (doors.includes(undefined) || (text.grinding !== undefined && grinding === undefined)) return undefined;
  const { bags, depth, dead_load, room_dead_load } = text.limits ?? {};
  return {
    kind: "sought",
    shape: text.seek!,
    ...(text.greatest_fall === undefined ? {} : { greatestFall: text.greatest_fall as MillimetresPerMetre }),
    atDoors: doors.filter((door) => door !== undefined),
    ...(grinding === undefined ? {} : { grinding }),
    limits: {
      ...(bags === undefined ? {} : { bags }),
      ...(depth === undefined ? {} : { greatestDepth: toMillimetres(reader, depth) }),
      ...(dead_load === undefined ? {} : { deadLoad: dead_load as KilogramsPerSquareMetre }),
      ...(room_dead_load === undefined ? {} : { roomDeadLoad: room_dead_load as KilogramsPerSquareMetre }),
    },
  };
}

function doorHeight(
  reader: JobReader,
  text: DoorHeightText,
  path: Path,
  context: TargetContext,
): DoorHeight | undefined {
  const doorId = text.door;
  const door = findDoor(reader, doorId, [...path, "door"], context);
  if (door === undefined) return undefined;
  const bounded = text.at_least !== undefined || text.at_most !== undefined;
  const ways = [text.top !== undefined, text.build_up !== undefined, bounded].filter(Boolean).length;
  if (ways !== 1 || (text.neighbour_build_up !== undefined && text.build_up === undefined)) {
    objectAt(reader, path, {
      code: "target-unclear",
      message: `The height of the top at door ${doorId} is ${ways === 0 ? "not given" : "not given one way"}.`,
      expected: "top: 3 mm — or build_up: [{ name: tile, thickness: 10 mm }] — or at_least and at_most",
    });
    return undefined;
  }
  if (text.top !== undefined) return { kind: "held", doorId, top: toMillimetres(reader, text.top) };
  if (text.build_up !== undefined) {
    return hasFinish(reader, door, [...path, "door"])
      ? { kind: "flush", doorId, ...coveringsOf(reader, text) }
      : undefined;
  }
  const atLeast = text.at_least === undefined ? undefined : toMillimetres(reader, text.at_least);
  const atMost = text.at_most === undefined ? undefined : toMillimetres(reader, text.at_most);
  if (atLeast !== undefined && atMost !== undefined && atLeast > atMost) {
    objectAt(reader, [...path, "at_least"], {
      code: "bounds-turned-round",
      message: `At door ${doorId} the least height is above the greatest.`,
      expected: "at_least no more than at_most",
    });
    return undefined;
  }
  return {
    kind: "bounded",
    doorId,
    ...(atLeast === undefined ? {} : { atLeast }),
    ...(atMost === undefined ? {} : { atMost }),
  };
}

function buildGrinding(
  reader: JobReader,
  text: OneTopText,
  path: Path,
  { rooms }: TargetContext,
): GrindingSpec | undefined {
  const { height, area, rooms: roomIds, costs } = text.grinding!;
  if (area !== undefined && text.seek === "plane") {
    objectAtKey(reader, [...path, "grinding", "area"], {
      code: "grinding-area-with-plane",
      message: "The area that may be ground is limited with a level top only.",
      expected: "seek: level, or grinding by its height alone",
    });
    return undefined;
  }
  const ids = rooms.map(({ id }) => id);
  const known = (roomIds ?? []).map((id, k) => isKnown(reader, id, ids, "room", [...path, "grinding", "rooms", k]));
  if (known.includes(false)) return undefined;
  return {
    height: toMillimetres(reader, height),
    ...(area === undefined ? {} : { area: area as SquareMetres }),
    ...(roomIds === undefined ? {} : { roomIds }),
    ...(costs === undefined
      ? {}
      : { costs: { fillPerLitre: costs.fill_per_litre, grindPerLitre: costs.grind_per_litre } }),
  };
}

function findDoor(reader: JobReader, id: string, path: Path, { rooms }: TargetContext): Door | undefined {
  const doors = rooms.flatMap((room) => room.doors);
  const ids = doors.map((door) => door.id);
  return isKnown(reader, id, ids, "door", path) ? doors.find((door) => door.id === id) : undefined;
}

function hasFinish(reader: JobReader, door: Door, path: Path): boolean {
  if (door.neighbourFinish !== undefined) return true;
  objectAt(reader, path, {
    code: "door-without-finish-level",
    message: `The target comes from door ${door.id}, but no finished level on its other side is given.`,
    expected: `finish_level with door ${door.id}`,
    hint: "Read the finished floor beyond the door and give its level above the job's zero.",
  });
  return false;
}

function isKnown(
  reader: JobReader,
  id: string,
  ids: readonly string[],
  what: "bench mark" | "door" | "room",
  path: Path,
): boolean {
  if (ids.includes(id)) return true;
  const near = nearName(id, ids);
  objectAt(reader, path, {
    code: `no-such-${what.replace(" ", "-")}`,
    message: `The job has no ${what} ${id}.`,
    expected: ids.length === 0 ? `a ${what} that the job gives` : `one of ${ids.join(", ")}`,
    hint: near === undefined ? undefined : `Did you mean "${near}"?`,
  });
  return false;
}
