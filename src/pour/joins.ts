/** Doors and joints between sections: poured through, or dammed. */
import type { Minutes } from "../units.ts";
import type { AssembledPour, NumberedBay } from "./assemble.ts";
import { edgesOf, lengthOf, sharedStretches } from "./borders.ts";
import type { PartedFloor } from "./floor.ts";
import type { Join, Segment } from "./model.ts";
import type { Portal } from "./sections.ts";
import { edgeAge } from "./slices.ts";

/**
 * One entry for each opening or line between two sections that are both poured. A doorway is poured
 * through where in every lift all edges in it are renewed within the limit; else a dam stands in it. At
 * a joint that moves, and at a planned dam, a dam always does.
 */
export function joinsOf(parted: PartedFloor, { poured }: AssembledPour, limit: Minutes): Join[] {
  return parted.portals.flatMap((portal): Join[] => {
    if (portal.other === undefined || portal.other < portal.section) return [];
    const far = parted.portals.find(
      (other) => other.section === portal.other && other.other === portal.section && other.through === portal.through,
    );
    const pairs = pairsAt(poured, portal, far ?? portal);
    const last = pairs.at(-1);
    if (!last) return [];
    const length = lengthOf(portal.stretches);
    const bays = [last.earlier.number, last.later.number] as const;
    const { through } = portal;
    if (through.kind === "line") return [{ kind: through.line.kind, id: through.line.id, how: "dam", length, bays }];
    const { id, beyond } = through.opening;
    if (beyond.kind === "room" && !beyond.touching)
      return [{ kind: "door", doorId: id, how: "floors-apart", length, bays }];
    const inTime = pairs.every(({ stretches, earlier, later }) => {
      const edge = edgeAge(stretches, earlier.poured, later.poured);
      return edge === undefined || edge.age <= limit + 1e-9;
    });
    return [{ kind: "door", doorId: id, how: inTime ? "poured-through" : "dam", length, bays }];
  });
}

interface Pair {
  readonly earlier: NumberedBay;
  readonly later: NumberedBay;
  readonly stretches: readonly Segment[];
}

/** Bays that face each other there, in the order of pouring. */
function pairsAt(poured: readonly NumberedBay[], near: Portal, far: Portal): Pair[] {
  const touching = (portal: Portal) =>
    poured.flatMap((bay) => {
      if (bay.section !== portal.section) return [];
      const stretches = sharedStretches(edgesOf(bay.poured.bay.cell.floor), portal.stretches);
      return stretches.length === 0 ? [] : [{ bay, stretches }];
    });
  const beyond = touching(far);
  const apart =
    near.through.kind === "opening" &&
    near.through.opening.beyond.kind === "room" &&
    !near.through.opening.beyond.touching;
  return touching(near)
    .flatMap((here) =>
      beyond.flatMap((there): Pair[] => {
        if (here.bay.lift !== there.bay.lift) return [];
        const stretches = apart ? here.stretches : sharedStretches(here.stretches, there.stretches);
        if (stretches.length === 0) return [];
        const [earlier, later] = here.bay.number < there.bay.number ? [here.bay, there.bay] : [there.bay, here.bay];
        return [{ earlier, later, stretches }];
      }),
    )
    .sort((p, q) => p.later.number - q.later.number || p.earlier.number - q.earlier.number);
}
