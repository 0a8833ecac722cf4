/** Readings against the plan: every one must have a place to belong to. */
import type { Diagnostic } from "../diagnostics.ts";
import { planLength } from "../format.ts";
import { ringContains } from "../geometry/polygon.ts";
import { rowIndex, rowLetters } from "../job/grid-names.ts";
import type { Job, Reading, SetUp } from "../job/model.ts";
import { nearName } from "../job/suggest.ts";
import { type FloorFinder, type GridSize, gridPlace } from "./grid.ts";
import type { PlanPoint, RoomFloor } from "./model.ts";

/** Problems, in the order of the readings; one for a whole row that runs past the grid. */
export function checkReadings(
  job: Job,
  floors: readonly RoomFloor[],
  points: readonly PlanPoint[],
  size: GridSize,
  finder: FloorFinder,
): Diagnostic[] {
  const known = new Set([...points.map(({ id }) => id), ...job.benchMarks.map(({ id }) => id)]);
  return job.survey.setUps.flatMap((setUp) => {
    const rowsPastGrid = new Set<string>();
    const problems: Diagnostic[] = fromAnotherPlan(setUp, known);
    for (const reading of setUp.readings) {
      if (known.has(reading.pointId)) continue;
      const gridName = /^([A-Z]+)([1-9]\d*)$/.exec(reading.pointId);
      const letter = gridName ? rowIndex(gridName[1] as string) : undefined;
      if (!gridName || letter === undefined) {
        problems.push(unknownPoint(reading, setUp, known));
        continue;
      }
      const number = Number(gridName[2]) - 1;
      if (letter < size.lettered && number < size.numbered) {
        problems.push(outsideRooms(job, floors, reading, setUp, letter, number, finder));
        continue;
      }
      const row = gridName[1] as string;
      if (!rowsPastGrid.has(row)) problems.push(pastTheGrid(reading, setUp, row, letter, size));
      rowsPastGrid.add(row);
    }
    return problems;
  });
}

/** So many readings, and this share of a set-up, without a point on the plan are no slip of one row. */
const FEWEST_STRANGERS = 4;
const STRANGERS_SHARE = 0.25;

/** A set-up much of which names points that the plan does not have was read on another plan, or on another grid. */
function fromAnotherPlan({ id, readings }: SetUp, known: ReadonlySet<string>): Diagnostic[] {
  const strangers = readings.filter(({ pointId }) => !known.has(pointId));
  const [first] = strangers;
  if (first === undefined || strangers.length < FEWEST_STRANGERS) return [];
  if (strangers.length < STRANGERS_SHARE * readings.length) return [];
  return [
    {
      code: "readings-of-another-plan",
      severity: "error",
      message: `${strangers.length} of the ${readings.length} readings of set-up ${id} are of points that this plan does not have, such as ${strangers
        .slice(0, 3)
        .map(({ pointId }) => pointId)
        .join(", ")}: it looks read on another plan`,
      expected: "readings of this job's rooms, on the grid that the job gives",
      hint: "check that the sheet belongs to this job; where its grid was laid out anew, give the origin and spacing of that grid",
      place: first.place,
    },
  ];
}

function pastTheGrid(reading: Reading, setUp: SetUp, row: string, letter: number, size: GridSize): Diagnostic {
  const lastLetter = rowLetters(size.lettered - 1);
  if (letter >= size.lettered) {
    return {
      code: "row-beyond-grid",
      severity: "error",
      message: `set-up ${setUp.id} has a row ${row}, but the rooms end at lettered line ${lastLetter}`,
      expected: `rows A to ${lastLetter}`,
      hint: "check the row's letter, the grid's origin and its spacing",
      place: reading.place,
    };
  }
  const last = Math.max(...numbersInRow(setUp, row));
  return {
    code: "row-longer-than-grid",
    severity: "error",
    message: `row ${row} of set-up ${setUp.id} has readings up to ${row}${last}, but the rooms end at numbered line ${size.numbered}`,
    expected: `at most ${size.numbered} readings in a row, "-" for a point that was not read`,
    hint: "a reading may have been typed twice, or the grid's spacing or origin is not the one on the floor",
    place: reading.place,
  };
}

const numbersInRow = (setUp: SetUp, row: string): number[] =>
  setUp.readings.flatMap(({ pointId }) =>
    pointId.startsWith(row) && /^\d+$/.test(pointId.slice(row.length)) ? [Number(pointId.slice(row.length))] : [],
  );

function outsideRooms(
  job: Job,
  floors: readonly RoomFloor[],
  reading: Reading,
  setUp: SetUp,
  letter: number,
  number: number,
  finder: FloorFinder,
): Diagnostic {
  const at = gridPlace(job.survey.grid, letter, number);
  const obstacle = floors.flatMap(({ obstacles }) => obstacles).find(({ ring }) => ringContains(ring, at));
  const nearest = finder.nearest(at);
  const room = floors[nearest.roomIndex] as RoomFloor;
  const off = planLength(nearest.distance, job.units.plan).large.text;
  return {
    code: obstacle ? "reading-in-column" : "reading-outside-rooms",
    severity: "error",
    message: obstacle
      ? `set-up ${setUp.id} has a reading at ${reading.pointId}, which lies in ${obstacle.kind} ${obstacle.id}, ${off} from its edge`
      : `set-up ${setUp.id} has a reading at ${reading.pointId}, which lies outside every room, ${off} from room ${room.roomId}`,
    expected: 'readings at points of a floor, "-" for a grid point that is not on one',
    hint: "check the grid's origin and spacing, and that no reading was left out before this one in its row",
    place: reading.place,
  };
}

function unknownPoint(reading: Reading, setUp: SetUp, known: ReadonlySet<string>): Diagnostic {
  const near = nearName(reading.pointId, [...known]);
  const hasUnusedLetter = /^[A-Z]*[IO][A-Z]*\d+$/.test(reading.pointId);
  return {
    code: "unknown-point",
    severity: "error",
    message: `set-up ${setUp.id} has a reading of ${reading.pointId}, which is no point of the plan`,
    expected: "a grid point such as A3, a point beside a door such as D1a, an extra point or a bench mark of the job",
    hint: hasUnusedLetter
      ? "grid letters leave out I and O: after H comes J, after N comes P"
      : near === undefined
        ? "add it to the extra points of the survey, or correct the name"
        : `did you mean ${near}?`,
    place: reading.place,
  };
}
