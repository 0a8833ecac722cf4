/** One top as typed: given, with a fall, falling to a drain, or to be found. */
import { distance } from "../geometry/point.ts";
import type { KilogramsPerSquareMetre, Millimetres, MillimetresPerMetre, SquareMetres } from "../units.ts";
import { type JobReader, objectAt, objectAtKey, toMillimetres, toPoint } from "./job-reader.ts";
import type { Library } from "./library.ts";
import type { BenchMark, Door, Room } from "./model.ts";
import type { DoorHeightText, OneTopText } from "./schema-target.ts";
import { nearName } from "./suggest.ts";
import type {
  BuildUpLayer,
  Coverings,
  DoorHeight,
  DrainTop,
  GrindingSpec,
  LevelSpec,
  OneTopSpec,
  SoughtTop,
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

/** The form to which a key belongs that says nothing by itself. */
const OWNERS: Readonly<Partial<Record<keyof OneTopText, readonly (keyof OneTopText)[]>>> = {
  above: ["bench_mark"],
  build_up: ["door"],
  neighbour_build_up: ["door"],
  fall: ["top", "drain"],
  drain: ["top", "bench_mark", "door"],
  drain_top: ["drain"],
  at: ["top"],
  towards: ["top"],
  greatest_fall: ["seek"],
  at_doors: ["seek"],
  grinding: ["seek"],
  limits: ["seek"],
};

/** One top; exactly one of its forms has to be there, and what it names. */
export function buildTop(
  reader: JobReader,
  text: OneTopText,
  path: Path,
  context: TargetContext,
): OneTopSpec | undefined {
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
  for (const [key, owners] of Object.entries(OWNERS) as [keyof OneTopText, readonly (keyof OneTopText)[]][]) {
    if (text[key] === undefined || owners.some((owner) => text[owner] !== undefined)) continue;
    objectAtKey(reader, [...path, key], {
      code: "target-unclear",
      message: `"${key}" goes with "${owners.join('" or "')}", which the target does not have.`,
      expected: FORMS,
    });
    return undefined;
  }
  const form = forms[0]!;
  if (form === "seek") return soughtTop(reader, text, path, context);
  if (text.drain !== undefined) return drainTop(reader, text, form, path, context);
  const slope = [text.fall, text.at, text.towards].some((value) => value !== undefined);
  return slope
    ? slopedTop(reader, text, toMillimetres(reader, text.top!), path)
    : levelTop(reader, text, form, path, context);
}

function levelTop(
  reader: JobReader,
  text: OneTopText,
  form: "top" | "bench_mark" | "door",
  path: Path,
  context: TargetContext,
): LevelSpec | undefined {
  switch (form) {
    case "top": {
      const top = toMillimetres(reader, text.top!);
      return { kind: "level", top, zeroIsTop: top === 0 };
    }
    case "bench_mark":
      return topFromBenchMark(reader, text, path, context);
    case "door":
      return topFromDoor(reader, text, path, context);
  }
}

/** Level along the walls by one of the forms of a level; down to the drain by a height there, by a least fall, or both. */
function drainTop(
  reader: JobReader,
  text: OneTopText,
  form: "top" | "bench_mark" | "door",
  path: Path,
  context: TargetContext,
): DrainTop | undefined {
  const { drain, drain_top, fall, at, towards } = text;
  if (at !== undefined || towards !== undefined || (drain_top === undefined && fall === undefined)) {
    objectAtKey(reader, [...path, "drain"], {
      code: "target-unclear",
      message:
        at !== undefined || towards !== undefined
          ? "The top falls to a drain from all walls, and one way besides."
          : "A top that falls to a drain says how steeply it falls at least, or how high it is at the drain.",
      expected:
        "top: 0 mm, drain: [5', 4'], fall: 1/4 in/ft — with drain_top: -1/2 in in place of the fall, or besides",
    });
    return undefined;
  }
  const walls = levelTop(reader, text, form, path, context);
  return (
    walls && {
      kind: "falls-to-drain",
      walls,
      drain: toPoint(reader, drain!),
      ...(drain_top === undefined ? {} : { drainTop: toMillimetres(reader, drain_top) }),
      ...(fall === undefined ? {} : { leastFall: fall as MillimetresPerMetre }),
    }
  );
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
): LevelSpec | undefined {
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

function topFromDoor(reader: JobReader, text: OneTopText, path: Path, context: TargetContext): LevelSpec | undefined {
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
      message:
        "The area that may be ground is limited with a level top only: under a plane that may tilt, less ground at one end is more at another, and no search could prove that its answer is the least.",
      expected: "seek: level — or grinding by its height, in the rooms that are named, with its costs",
      hint: "name the rooms where grinding is allowed, and give costs: the cheapest split of grinding and filling is proven then",
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

export function findDoor(reader: JobReader, id: string, path: Path, { rooms }: TargetContext): Door | undefined {
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

export function isKnown(
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
