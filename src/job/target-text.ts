/** The target as typed: one top or several, and how they meet. */
import { readIdOrEntry } from "./job-entries.ts";
import { type JobReader, objectAt, objectAtKey, toMetres } from "./job-reader.ts";
import { readMaterial } from "./library-material.ts";
import type { Room } from "./model.ts";
import { buildTop, findDoor, isKnown, type TargetContext } from "./one-top-text.ts";
import type { MeetText, TargetText, ZoneText } from "./schema-target.ts";
import type { MeetSpec, TargetSpec, ZoneSpec } from "./target-model.ts";
import type { Path } from "./yaml-places.ts";

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
