/** The floor by class, depth band and room, and its high spots, for the quantities sheet. */
import type { DepthBand } from "../depths/model.ts";
import { area, type BothUnits, count, height, limit, planLength, smallArea, volume } from "../format.ts";
import type { HeightUnit } from "../job/model.ts";
import type { CutSubject } from "./cut-table.ts";
import type { Block } from "./page/blocks.ts";
import { type CellText, cell, DESK, heading, paragraph, table } from "./page/make-blocks.ts";
import { DESK_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

const text = (content: string): CellText => cell(content, DESK_MM);
const strong = (content: string): CellText => cell(content, DESK_MM, 700);
const pair = ({ large, small }: BothUnits): [CellText, CellText] => [text(large.text), text(small.text)];

/** `10 to 16 mm` in one unit. */
function bandRange(band: DepthBand, unit: HeightUnit, which: "large" | "small", words: Words): string {
  const from = band.from === undefined ? undefined : height(band.from, unit)[which];
  const to = band.to === undefined ? undefined : height(band.to, unit)[which];
  if (from && to) return words.map.bandDepth(from.number, to.text);
  if (to) return band.to === 0 ? words.map.bandProud : words.map.bandBelow(to.text);
  if (from) return words.map.bandAbove(from.text);
  return words.quantities.allFloor;
}

/** The range in both units, or in words that need no unit. */
function bandText(band: DepthBand, unit: HeightUnit, words: Words): string {
  const [large, small] = [bandRange(band, unit, "large", words), bandRange(band, unit, "small", words)];
  return large === small ? large : words.both(large, small);
}

export function floorBlocks({ job, plan, depths, words }: CutSubject, width: number): Block[] {
  const w = words.quantities;
  const unit = job.units.height;
  const planUnit = job.units.plan;
  const both = ({ large, small }: BothUnits): CellText => text(words.both(large.text, small.text));
  // Each material has its own; they stand in the order of the materials.
  const leasts = new Set(
    (depths.parts ?? [depths]).map(({ leastAllowed }) => {
      const { large, small } = limit(leastAllowed, "least", unit);
      return words.both(large.text, small.text);
    }),
  );
  return [
    heading(w.classes, width),
    table(
      w.captionClasses,
      [
        { heading: w.columnsClasses.what, widthMm: width * 0.56, namesRow: true },
        { heading: w.columnsClasses.area, widthMm: width * 0.22, align: "end" },
        { heading: w.columnsClasses.other, widthMm: width * 0.22, align: "end" },
      ],
      [
        { cells: [text(w.proud), ...pair(smallArea(depths.proudArea, planUnit))] },
        {
          cells: [text(w.thin(words.listOf([...leasts]))), ...pair(smallArea(depths.thinArea, planUnit))],
        },
        { cells: [text(w.poured), ...pair(smallArea(depths.pouredArea, planUnit))] },
        { cells: [strong(w.allFloor), ...pair(smallArea(depths.area, planUnit))], sum: true },
      ],
      DESK_MM,
    ),
    heading(w.areasTitle, width),
    table(
      w.captionAreas,
      [
        { heading: w.columnsAreas.band, widthMm: width * 0.12, namesRow: true },
        { heading: w.columnsAreas.depth, widthMm: width * 0.36 },
        { heading: w.columnsAreas.area, widthMm: width * 0.26, align: "end" },
        { heading: w.columnsAreas.volume, widthMm: width * 0.26, align: "end" },
      ],
      depths.bands.map((band) => ({
        cells: [
          text(count(band.number)),
          text(bandText(band, unit, words)),
          both(smallArea(band.area, planUnit)),
          both(volume(band.volume, planUnit)),
        ],
      })),
      DESK_MM,
    ),
    heading(w.roomsTitle, width),
    table(
      w.captionRooms,
      [
        { heading: w.columnsRooms.room, widthMm: width * 0.2, namesRow: true },
        { heading: w.columnsRooms.area, widthMm: width * 0.21, align: "end" },
        { heading: w.columnsRooms.volume, widthMm: width * 0.23, align: "end" },
        { heading: w.columnsRooms.least, widthMm: width * 0.18, align: "end" },
        { heading: w.columnsRooms.greatest, widthMm: width * 0.18, align: "end" },
      ],
      depths.rooms.map((room) => ({
        cells: [
          text(plan.floors[room.roomIndex]!.name),
          both(area(room.area, planUnit)),
          both(volume(room.volumeToOrder, planUnit)),
          both(height(room.least, unit)),
          both(height(room.greatest, unit)),
        ],
      })),
      DESK_MM,
    ),
  ];
}

export function highSpotBlocks({ job, plan, depths, words }: CutSubject, width: number): Block[] {
  const w = words.quantities;
  const both = ({ large, small }: BothUnits): string => words.both(large.text, small.text);
  if (depths.highSpots.length === 0) return [heading(w.highSpotsTitle, width), paragraph(w.noHighSpots, width, DESK)];
  return [
    heading(w.highSpotsTitle, width),
    table(
      w.captionHighSpots,
      [
        { heading: w.columnsHighSpots.id, widthMm: width * 0.1, namesRow: true },
        { heading: w.columnsHighSpots.room, widthMm: width * 0.18 },
        { heading: w.columnsHighSpots.where, widthMm: width * 0.34 },
        { heading: w.columnsHighSpots.grind, widthMm: width * 0.18, align: "end" },
        { heading: w.columnsHighSpots.area, widthMm: width * 0.2, align: "end" },
      ],
      depths.highSpots.map((spot) => ({
        cells: [
          strong(spot.id),
          text(plan.floors[spot.roomIndex]!.name),
          text(w.at(both(planLength(spot.worst.x, job.units.plan)), both(planLength(spot.worst.y, job.units.plan)))),
          strong(both(height(spot.grind, job.units.height))),
          text(both(smallArea(spot.area, job.units.plan))),
        ],
      })),
      DESK_MM,
    ),
  ];
}
