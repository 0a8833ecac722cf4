/** Where a hose goes from room to room. */
import type { Passage } from "../geometry/paths.ts";
import { distance } from "../geometry/point.ts";
import { ON_LINE_M } from "../geometry/polygon.ts";
import type { RoomFloor } from "../layout/model.ts";

/**
 * The line across each door between two rooms, where their floors touch: on the far face of the wall where the doorway
 * belongs to the room that declares the door, else from jamb to jamb.
 */
export function passagesOf(floors: readonly RoomFloor[]): Passage[] {
  return floors.flatMap((floor) =>
    floor.doors.flatMap((door): Passage[] => {
      if (!door.joinsRoom) return [];
      const [first, second] = door.jambs;
      const far = door.doorway?.filter((p) => distance(p, first) > ON_LINE_M && distance(p, second) > ON_LINE_M) ?? [];
      const from = far[0];
      const to = far[far.length - 1];
      return from && to && from !== to ? [{ from, to }] : [{ from: first, to: second }];
    }),
  );
}
