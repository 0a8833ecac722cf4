/** A ramp or a feathered edge at a door: where it lies, and how high it stands on the lower top. */
import { distance, type Point, point } from "../geometry/point.ts";
import type { Door } from "../job/model.ts";
import type { Metres, Millimetres } from "../units.ts";

/** A wedge with its head along a line and its foot `length` metres from it. */
export interface Wedge {
  /** The line of the head, from jamb to jamb, on the face of the wall that looks into the lower room. */
  readonly head: readonly [Point, Point];
  /** Of length 1, square to the head, into the lower room. */
  readonly into: { readonly x: number; readonly y: number };
  readonly length: Metres;
  /** Heights at the two ends of the head, above the lower top. */
  readonly rises: readonly [Millimetres, Millimetres];
}

export function wedgeOf(
  door: Door,
  intoDoorRoom: boolean,
  length: Metres,
  rises: readonly [Millimetres, Millimetres],
): Wedge {
  const [a, b] = door.jambs;
  const width = distance(a, b);
  // Jambs follow the counter-clockwise outline, so the room of the door lies to their left.
  const sign = intoDoorRoom ? 1 : -1;
  const into = { x: (-(b.y - a.y) / width) * sign, y: ((b.x - a.x) / width) * sign };
  // The other room begins on the far face of the wall.
  const start = intoDoorRoom ? 0 : door.wallThickness;
  const onFace = (jamb: Point): Point => point(jamb.x + into.x * start, jamb.y + into.y * start);
  return { head: [onFace(a), onFace(b)], into, length, rises };
}

/** The place that lies `along` metres from the first jamb and `down` metres from the head. */
export function onWedge({ head: [a, b], into }: Wedge, along: Metres, down: Metres): Point {
  const share = along / distance(a, b);
  return point(a.x + (b.x - a.x) * share + into.x * down, a.y + (b.y - a.y) * share + into.y * down);
}

/** A place beside the wedge by this share of its width or length lies on its edge: rounding. */
const ON_EDGE = 1e-9;

/** How high the wedge stands on the lower top at a place: straight from its head to nothing. 0 beside it. */
export function riseAt({ head: [a, b], into, length, rises }: Wedge, at: Point): Millimetres {
  const width = distance(a, b);
  const along = ((at.x - a.x) * (b.x - a.x) + (at.y - a.y) * (b.y - a.y)) / width / width;
  const down = ((at.x - a.x) * into.x + (at.y - a.y) * into.y) / length;
  if (Math.max(-along, along - 1, -down, down - 1) > ON_EDGE) return 0;
  return Math.max(0, (rises[0] + (rises[1] - rises[0]) * along) * (1 - down));
}
