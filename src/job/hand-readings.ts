/** Sample lines and straightedge gaps, as measured by hand. */
import { distance, type Point, point } from "../geometry/point.ts";
import { ringContains } from "../geometry/polygon.ts";
import type { MeasuredGap, SampleLine } from "./contract-model.ts";
import {
  type JobReader,
  objectAt,
  objectAtPlace,
  refuseClashes,
  toMetres,
  toMillimetres,
  toPoint,
} from "./job-reader.ts";
import { spellPlanLength } from "./lengths.ts";
import type { FloorLine, Room } from "./model.ts";
import { readRun } from "./reading-sheet.ts";
import { LIMITS } from "./schema-limits.ts";
import type { At } from "./schema-parts.ts";
import type { GapText, JointText, LineText } from "./schema-survey.ts";
import { levelOn, placesInBlock, sideAndUnit } from "./set-ups.ts";
import { placeOf } from "./yaml-places.ts";

export function buildLines(reader: JobReader, lines: readonly At<LineText>[], rooms: readonly Room[]): SampleLine[] {
  refuseClashes(
    reader,
    "lines",
    lines.map(({ text, path }) => ({ id: text.id, path: [...path, "id"] })),
  );
  return lines.flatMap((line): SampleLine[] => {
    const { text, path } = line;
    const { side, unit, mmPerUnit } = sideAndUnit(reader, text);
    const run = readRun(text.readings, unit);
    const placeAt = placesInBlock(reader, [...path, "readings"]);
    for (const { offset, span, ...finding } of run.problems) objectAtPlace(reader, placeAt(offset, span), finding);
    if (run.values.length > LIMITS.readingsOfLine || run.values.length < 2) {
      objectAt(reader, [...path, "readings"], {
        code: run.values.length < 2 ? "too-few" : "too-many",
        message: `Line ${text.id} has ${run.values.length} readings.`,
        expected: `2 to ${LIMITS.readingsOfLine} readings, with blanks between them`,
      });
      return [];
    }
    const spacing = toMetres(reader, text.spacing);
    const ends = endsOf(reader, line, spacing, run.values.length);
    const section = text.section ?? sectionOf(reader, line, ends, rooms);
    if (section === undefined) return [];
    return [
      {
        id: text.id,
        section,
        ...(ends === undefined ? {} : { ends }),
        spacing,
        levelsMm: run.values.map((value) => levelOn(side, value * mmPerUnit)),
        ...(text.sd === undefined ? {} : { readingSd: toMillimetres(reader, text.sd) }),
        ...(text.date === undefined ? {} : { date: text.date }),
        place: placeOf(reader.document, [...path, "id"]),
      },
    ];
  });
}

/** The two ends, which have to be as far apart as the readings make the line long, to half a step. */
function endsOf(
  reader: JobReader,
  { text, path }: At<LineText>,
  spacing: number,
  readings: number,
): readonly [Point, Point] | undefined {
  if (text.from === undefined && text.to === undefined) return undefined;
  if (text.from === undefined || text.to === undefined) {
    objectAt(reader, path, {
      code: "line-with-one-end",
      message: `Line ${text.id} gives one of its ends only.`,
      expected: "from and to, or neither where nobody recorded them",
    });
    return undefined;
  }
  const ends: [Point, Point] = [toPoint(reader, text.from), toPoint(reader, text.to)];
  const length = distance(...ends);
  const read = spacing * (readings - 1);
  if (Math.abs(length - read) > spacing / 2) {
    const spell = (value: number) => spellPlanLength(value, reader.units.plan);
    objectAt(reader, [...path, "to"], {
      code: "line-length-disagrees",
      message: `Line ${text.id}: its ends are ${spell(length)} apart, but ${readings} readings ${spell(spacing)} apart make ${spell(read)}.`,
      expected: "ends, spacing and number of readings that agree",
    });
  }
  return ends;
}

function sectionOf(
  reader: JobReader,
  { text, path }: At<LineText>,
  ends: readonly [Point, Point] | undefined,
  rooms: readonly Room[],
): string | undefined {
  if (ends !== undefined) {
    const middle = point((ends[0].x + ends[1].x) / 2, (ends[0].y + ends[1].y) / 2);
    const room = rooms.find(({ outline }) => ringContains(outline, middle));
    if (room !== undefined) return room.id;
  }
  if (rooms.length === 1) return rooms[0]!.id;
  objectAt(reader, path, {
    code: "line-without-section",
    message: `Line ${text.id} does not say which part of the floor it belongs to.`,
    expected: "section: the room or section by its name, or from and to inside a room",
  });
  return undefined;
}

export function buildJoints(reader: JobReader, joints: readonly At<JointText>[]): FloorLine[] {
  refuseClashes(
    reader,
    "joints",
    joints.map(({ text, path }) => ({ id: text.id, path: [...path, "id"] })),
  );
  return joints.map(({ text: { id, from, to }, path }) => {
    const joint = { id, from: toPoint(reader, from), to: toPoint(reader, to) };
    if (distance(joint.from, joint.to) === 0) {
      objectAt(reader, path, {
        code: "line-without-length",
        message: `Joint ${id} ends where it begins.`,
        expected: "from and to at two places",
      });
    }
    return joint;
  });
}

export function buildGaps(reader: JobReader, gaps: readonly At<GapText>[]): MeasuredGap[] {
  refuseClashes(
    reader,
    "gaps",
    gaps.map(({ text, path }) => ({ id: text.id, path: [...path, "id"] })),
  );
  return gaps.map(({ text, path }) => ({
    id: text.id,
    edge: toMetres(reader, text.edge),
    gap: toMillimetres(reader, text.gap),
    ...(text.at === undefined ? {} : { at: toPoint(reader, text.at) }),
    ...(text.sd === undefined ? {} : { sd: toMillimetres(reader, text.sd) }),
    ...(text.date === undefined ? {} : { date: text.date }),
    place: placeOf(reader.document, [...path, "id"]),
  }));
}
