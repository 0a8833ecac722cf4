/** The nearest places of the same room, by squares over each room that hold a few places each. */
import type { ReadPlace } from "./roughness.ts";

export interface NearPlaces {
  /** Up to so many others, nearest first, of equally near ones the lowest index first; those that do not fit are passed over. */
  search(place: number, count: number, fits?: (other: number) => boolean): number[];
}

/** Places in a square, on the mean. */
const IN_A_SQUARE = 3;

interface RoomSquares {
  readonly minX: number;
  readonly minY: number;
  readonly side: number;
  readonly across: number;
  readonly up: number;
  /** Where the places of each square begin in `members`; one more at the end. */
  readonly starts: Uint32Array;
  readonly members: Uint32Array;
}

export function nearPlaces(places: readonly ReadPlace[]): NearPlaces {
  const byRoom = new Map<number, number[]>();
  places.forEach(({ roomIndex }, place) => {
    const room = byRoom.get(roomIndex);
    if (room) room.push(place);
    else byRoom.set(roomIndex, [place]);
  });
  const squaresOf = new Map([...byRoom].map(([room, members]) => [room, squaresOver(places, members)]));
  return {
    search(place, count, fits) {
      const { at, roomIndex } = places[place]!;
      return nearestIn(places, squaresOf.get(roomIndex)!, place, at.x, at.y, count, fits);
    },
  };
}

function squaresOver(places: readonly ReadPlace[], members: readonly number[]): RoomSquares {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const place of members) {
    const { x, y } = places[place]!.at;
    minX = Math.min(minX, x);
    minY = Math.min(minY, y);
    maxX = Math.max(maxX, x);
    maxY = Math.max(maxY, y);
  }
  const longer = Math.max(maxX - minX, maxY - minY);
  const side = Math.max(
    Math.sqrt(((maxX - minX) * (maxY - minY) * IN_A_SQUARE) / members.length),
    // Places on a line: so many squares along it.
    (longer * IN_A_SQUARE) / members.length,
    Number.MIN_VALUE,
  );
  const across = longer > 0 ? Math.floor((maxX - minX) / side) + 1 : 1;
  const up = longer > 0 ? Math.floor((maxY - minY) / side) + 1 : 1;
  const starts = new Uint32Array(across * up + 1);
  const square = members.map((place) => {
    const { x, y } = places[place]!.at;
    const column = longer > 0 ? Math.floor((x - minX) / side) : 0;
    const row = longer > 0 ? Math.floor((y - minY) / side) : 0;
    return row * across + column;
  });
  for (const one of square) starts[one + 1]!++;
  for (let k = 1; k < starts.length; k++) starts[k]! += starts[k - 1]!;
  const filled = starts.slice();
  const sorted = new Uint32Array(members.length);
  members.forEach((place, k) => {
    sorted[filled[square[k]!]!++] = place;
  });
  return { minX, minY, side, across, up, starts, members: sorted };
}

/** Square by square outward, until no square beyond can hold a nearer place than the farthest that is kept. */
function nearestIn(
  places: readonly ReadPlace[],
  { minX, minY, side, across, up, starts, members }: RoomSquares,
  self: number,
  x: number,
  y: number,
  count: number,
  fits: ((other: number) => boolean) | undefined,
): number[] {
  const found: number[] = [];
  const squared: number[] = [];
  const keep = (other: number): void => {
    const { at } = places[other]!;
    const dx = at.x - x;
    const dy = at.y - y;
    const away = dx * dx + dy * dy;
    let k = found.length;
    if (k === count) {
      const last = squared[k - 1]!;
      if (away > last || (away === last && other > found[k - 1]!)) return;
      k -= 1;
    }
    // Behind those that are nearer.
    while (k > 0 && (squared[k - 1]! > away || (squared[k - 1] === away && found[k - 1]! > other))) {
      squared[k] = squared[k - 1]!;
      found[k] = found[k - 1]!;
      k -= 1;
    }
    squared[k] = away;
    found[k] = other;
  };
  const column = Math.min(across - 1, Math.floor((x - minX) / side));
  const row = Math.min(up - 1, Math.floor((y - minY) / side));
  const most = Math.max(column, across - 1 - column, row, up - 1 - row);
  for (let ring = 0; ring <= most; ring++) {
    // Nothing in this ring is nearer than its inner edge.
    if (found.length === count && ring > 0) {
      const edge = Math.min(
        x - (minX + (column - ring + 1) * side),
        minX + (column + ring) * side - x,
        y - (minY + (row - ring + 1) * side),
        minY + (row + ring) * side - y,
      );
      if (edge > 0 && edge * edge > squared[count - 1]!) break;
    }
    for (let j = Math.max(0, row - ring); j <= Math.min(up - 1, row + ring); j++) {
      const whole = j === row - ring || j === row + ring;
      for (let i = column - ring; i <= column + ring; i += whole || ring === 0 ? 1 : 2 * ring) {
        if (i < 0 || i >= across) continue;
        for (let k = starts[j * across + i]!; k < starts[j * across + i + 1]!; k++) {
          const other = members[k]!;
          if (other !== self && (fits === undefined || fits(other))) keep(other);
        }
      }
    }
  }
  return found;
}
