/**
 * Names in a list that gives places: is P1 the grid point, or the list's own first? By where the points lie. Where
 * most of those that are named like grid points lie there, they are the grid's, and one that lies elsewhere is a slip;
 * else the names are the list's own, and the plan has them behind the name of their set-up.
 */
import { distance, point } from "../geometry/point.ts";
import { gridPosition, isGridPointId } from "./grid-names.ts";
import { type JobReader, warnAt } from "./job-reader.ts";
import type { GridSpec } from "./model.ts";
import type { FileReading, FileReadings } from "./readings-file.ts";
import type { At } from "./schema-parts.ts";
import type { SetUpText } from "./schema-survey.ts";

/** A row that puts a known point further off than this means another point: a hand's breadth (common practice). */
export const SAME_POINT_M = 0.1;

/** The same readings; of a list with names of its own those that read like grid points are called after their set-up too. */
export function withOwnNames(
  reader: JobReader,
  setUps: readonly At<SetUpText>[],
  files: ReadonlyMap<string, FileReadings>,
  grid: GridSpec | undefined,
): ReadonlyMap<string, FileReadings> {
  if (grid === undefined) return files;
  return new Map(
    [...files].map(([setUpId, file]) => {
      const like = file.readings.filter(({ at, pointId }) => at !== undefined && isGridPointId(pointId));
      const onGrid = like.filter((reading) => liesOnGrid(reading, grid));
      if (like.length === 0 || 2 * onGrid.length >= like.length) return [setUpId, file];
      const named = (name: string): string => `${setUpId}-${name}`;
      const { path } = setUps.find(({ text }) => text.id === setUpId)!;
      const first = like[0]!.pointId;
      warnAt(reader, [...path, "readings_file"], {
        code: "names-of-its-own",
        message: `Set-up ${setUpId}: ${like.length === 1 ? `${first} is named like a grid point and lies` : `${like.length} points are named like grid points, such as ${first}, and lie`} elsewhere: on the plan they are the list's own, ${first} as ${named(first)}.`,
        hint: "Where grid points are meant, check the coordinates, or leave them out.",
      });
      const readings = file.readings.map((reading) =>
        reading.at !== undefined && isGridPointId(reading.pointId)
          ? { ...reading, pointId: named(reading.pointId) }
          : reading,
      );
      return [setUpId, { ...file, readings }];
    }),
  );
}

function liesOnGrid({ pointId, at }: FileReading, grid: GridSpec): boolean {
  const position = gridPosition(pointId);
  if (position === undefined || at === undefined) return false;
  const place = point(
    grid.origin.x + position.column * grid.spacingEast,
    grid.origin.y + position.row * grid.spacingNorth,
  );
  return distance(place, at) <= SAME_POINT_M;
}
