/**
 * Every way to pour a small rectangular room of one depth: lanes both ways, every number of them, every
 * order, each bay from either end. Kept to a grid of squares and places along edges, so that it shares
 * nothing with the planner but the rules: no one shut in, no late edge, fewest bays, shortest way.
 */
export interface SmallRoom {
  readonly east: number;
  readonly north: number;
  readonly depthMm: number;
  /** Doors as stretches of wall, from west to east or south to north. */
  readonly doors: readonly {
    readonly wall: "south" | "east" | "north" | "west";
    readonly from: number;
    readonly to: number;
  }[];
  readonly batchL: number;
  readonly interval: number;
  readonly mixTime: number;
  readonly limit: number;
  readonly widest: number;
  readonly narrowest: number;
  readonly mostBays: number;
}

interface Bay {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
  readonly alongX: boolean;
}

export interface Best {
  readonly bays: number;
  readonly way: number;
}

/** The fewest bays with an order that keeps the rules, and the shortest way among those; undefined where none does. */
export function bestByTrying(room: SmallRoom): Best | undefined {
  let best: Best | undefined;
  for (const bays of layouts(room)) {
    if (best && bays.length > best.bays) continue;
    for (const order of permutations(bays.length)) {
      const way = wayOf(room, bays, order);
      if (best && bays.length === best.bays && way >= best.way - 1e-9) continue;
      if (!someEndsWork(room, bays, order)) continue;
      if (!best || bays.length < best.bays || way < best.way) best = { bays: bays.length, way };
    }
  }
  return best;
}

function layouts(room: SmallRoom): Bay[][] {
  const { east, north, doors, widest, narrowest, mostBays } = room;
  const found: Bay[][] = [];
  for (const alongX of [true, false]) {
    const across = alongX ? north : east;
    for (let n = 1; n <= mostBays; n++) {
      const width = across / n;
      if (width > widest + 1e-9 || width < narrowest - 1e-9) continue;
      const lanes = Array.from(
        { length: n },
        (_, k): Bay =>
          alongX
            ? { x0: 0, x1: east, y0: k * width, y1: (k + 1) * width, alongX }
            : { y0: 0, y1: north, x0: k * width, x1: (k + 1) * width, alongX },
      );
      found.push(lanes);
      // Cut beside a door in a lane's side, at either jamb.
      for (const { wall, from, to } of doors) {
        if (alongX !== (wall === "south" || wall === "north")) continue;
        const k = wall === "south" || wall === "west" ? 0 : n - 1;
        for (const jamb of [from, to]) {
          if (jamb < 0.3 || jamb > (alongX ? east : north) - 0.3) continue;
          const lane = lanes[k]!;
          const parts = alongX
            ? [
                { ...lane, x1: jamb },
                { ...lane, x0: jamb },
              ]
            : [
                { ...lane, y1: jamb },
                { ...lane, y0: jamb },
              ];
          found.push(lanes.toSpliced(k, 1, ...parts));
        }
      }
    }
  }
  return found.filter((bays) => bays.length <= mostBays).sort((p, q) => p.length - q.length);
}

function permutations(n: number): number[][] {
  if (n === 0) return [[]];
  return permutations(n - 1).flatMap((shorter) => Array.from({ length: n }, (_, k) => shorter.toSpliced(k, 0, n - 1)));
}

const middle = ({ x0, x1, y0, y1 }: Bay): [number, number] => [(x0 + x1) / 2, (y0 + y1) / 2];

function wayOf(room: SmallRoom, bays: readonly Bay[], order: readonly number[]): number {
  let way = 0;
  for (let k = 0; k + 1 < order.length; k++) {
    const [p, q] = [middle(bays[order[k]!]!), middle(bays[order[k + 1]!]!)];
    way += Math.hypot(p[0] - q[0], p[1] - q[1]);
  }
  const [x, y] = middle(bays[order.at(-1)!]!);
  return (
    way +
    Math.min(...room.doors.map((door) => Math.hypot(x - doorMiddle(room, door)[0], y - doorMiddle(room, door)[1])))
  );
}

function doorMiddle({ east, north }: SmallRoom, { wall, from, to }: SmallRoom["doors"][number]): [number, number] {
  const at = (from + to) / 2;
  if (wall === "south") return [at, 0];
  if (wall === "north") return [at, north];
  return wall === "west" ? [0, at] : [east, at];
}

function someEndsWork(room: SmallRoom, bays: readonly Bay[], order: readonly number[]): boolean {
  for (let ends = 0; ends < 2 ** order.length; ends++) {
    const backward = order.map((_, k) => (ends & (1 << k)) !== 0);
    if (waysStayOpen(room, bays, order, backward) && edgesInTime(room, bays, order, backward)) return true;
  }
  return false;
}

const SQUARE = 0.1;

/** Floods the floor from the doors over squares that are not poured, as the front moves through each bay. */
function waysStayOpen(
  room: SmallRoom,
  bays: readonly Bay[],
  order: readonly number[],
  backward: readonly boolean[],
): boolean {
  const poured = new Set<number>();
  for (const [place, bay] of order.entries()) {
    const here = bays[bay]!;
    const open = (k: number): boolean => k !== bay && !poured.has(k);
    const reached = floodOverBays(room, bays, open);
    for (const other of order) if (open(other) && !reached.has(other)) return false;
    // Towards its end there must be a door, or open floor that someone reaches, wide enough within a rake's reach.
    const [low, high] = here.alongX ? [here.x0, here.x1] : [here.y0, here.y1];
    const zone: [number, number] = backward[place]
      ? [low, Math.min(high, low + 1.5)]
      : [Math.max(low, high - 1.5), high];
    const byDoor = room.doors.some((door) => touching(room, here, door, zone) >= 0.6 - 1e-6);
    const byFloor = [...reached].some((other) => shared(here, bays[other]!, zone) >= 0.6 - 1e-6);
    if (!byDoor && !byFloor) return false;
    poured.add(bay);
  }
  return true;
}

function floodOverBays(room: SmallRoom, bays: readonly Bay[], open: (k: number) => boolean): Set<number> {
  const reached = new Set<number>();
  const stack = bays.flatMap((bay, k) =>
    open(k) && room.doors.some((door) => touching(room, bay, door, undefined) >= 0.6 - 1e-6) ? [k] : [],
  );
  for (let k = stack.pop(); k !== undefined; k = stack.pop()) {
    if (reached.has(k)) continue;
    reached.add(k);
    for (const [other] of bays.entries())
      if (open(other) && !reached.has(other) && shared(bays[k]!, bays[other]!, undefined) >= 0.6 - 1e-6)
        stack.push(other);
  }
  return reached;
}

/** How much of a door opens onto a bay, inside a zone along its lane. */
function touching(
  { east, north }: SmallRoom,
  bay: Bay,
  { wall, from, to }: SmallRoom["doors"][number],
  zone: [number, number] | undefined,
): number {
  const atWall =
    (wall === "south" && bay.y0 === 0) ||
    (wall === "west" && bay.x0 === 0) ||
    (wall === "north" && Math.abs(bay.y1 - north) < 1e-9) ||
    (wall === "east" && Math.abs(bay.x1 - east) < 1e-9);
  if (!atWall) return 0;
  const alongX = wall === "south" || wall === "north";
  let [low, high] = alongX
    ? [Math.max(from, bay.x0), Math.min(to, bay.x1)]
    : [Math.max(from, bay.y0), Math.min(to, bay.y1)];
  if (zone) {
    if (alongX === bay.alongX) [low, high] = [Math.max(low, zone[0]), Math.min(high, zone[1])];
    else {
      const end = wall === "south" || wall === "west" ? 0 : alongX ? north : east;
      if (end < zone[0] - 1e-9 || end > zone[1] + 1e-9) return 0;
    }
  }
  return Math.max(0, high - low);
}

/** How much of an edge two bays share, inside a zone along the first one's lane. */
function shared(a: Bay, b: Bay, zone: [number, number] | undefined): number {
  const inX = [Math.max(a.x0, b.x0), Math.min(a.x1, b.x1)] as const;
  const inY = [Math.max(a.y0, b.y0), Math.min(a.y1, b.y1)] as const;
  const besideInX = inX[1] - inX[0] > 1e-9 && Math.abs(inY[1] - inY[0]) < 1e-9;
  const besideInY = inY[1] - inY[0] > 1e-9 && Math.abs(inX[1] - inX[0]) < 1e-9;
  if (!besideInX && !besideInY) return 0;
  let [low, high] = besideInX ? inX : inY;
  if (zone) {
    if (besideInX === a.alongX) [low, high] = [Math.max(low, zone[0]), Math.min(high, zone[1])];
    else {
      const at = besideInX ? inY[0] : inX[0];
      if (at < zone[0] - 1e-9 || at > zone[1] + 1e-9) return 0;
    }
  }
  return Math.max(0, high - low);
}

/** Places every few centimetres on the edge of every two bays: powder of the older batch to placing of the newer. */
function edgesInTime(
  room: SmallRoom,
  bays: readonly Bay[],
  order: readonly number[],
  backward: readonly boolean[],
): boolean {
  const before: number[] = [];
  let volume = 0;
  for (const bay of order) {
    before.push(volume);
    const { x0, x1, y0, y1 } = bays[bay]!;
    volume += (x1 - x0) * (y1 - y0) * room.depthMm;
  }
  const batchAt = (place: number, x: number, y: number): number => {
    const { x0, x1, y0, y1, alongX } = bays[order[place]!]!;
    const share = alongX ? (x - x0) / (x1 - x0) : (y - y0) / (y1 - y0);
    const whole = (x1 - x0) * (y1 - y0) * room.depthMm;
    return Math.floor((before[place]! + whole * (backward[place] ? 1 - share : share)) / room.batchL);
  };
  for (let p = 0; p < order.length; p++) {
    for (let q = p + 1; q < order.length; q++) {
      const [a, b] = [bays[order[p]!]!, bays[order[q]!]!];
      if (shared(a, b, undefined) === 0) continue;
      const [x0, x1] = [Math.max(a.x0, b.x0), Math.min(a.x1, b.x1)];
      const [y0, y1] = [Math.max(a.y0, b.y0), Math.min(a.y1, b.y1)];
      const steps = Math.ceil(Math.max(x1 - x0, y1 - y0) / (SQUARE / 2));
      for (let k = 0; k < steps; k++) {
        const x = x0 + ((k + 0.5) / steps) * (x1 - x0);
        const y = y0 + ((k + 0.5) / steps) * (y1 - y0);
        const age = (batchAt(q, x, y) - batchAt(p, x, y)) * room.interval + room.mixTime;
        if (age > room.limit + 1e-6) return false;
      }
    }
  }
  return true;
}
