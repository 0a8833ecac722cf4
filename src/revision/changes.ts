/** What a packet says otherwise than an issued one: pins to be cut again, and what is ordered or planned by. */
import type { IssuedNumbers } from "./issued-numbers.ts";
import type { Changes, FigureChange, FigureName, PinChange, PinLength } from "./model.ts";

type Pin = Extract<IssuedNumbers["depths"], { kind: "ready" }>["result"]["pins"][number];

/** A pin counts as in another place from here on: half of what it takes to be found again from printed offsets. */
const MOVED_M = 0.005;

/**
 * What differs, as printed: two lengths that print the same are cut the same.
 * @param now the numbers of today's packet
 * @param issued the numbers of the revision that it is held against
 */
export function changesBetween(
  issued: { readonly number: number; readonly date: string; readonly numbers: IssuedNumbers },
  now: IssuedNumbers,
): Changes {
  const { number, date, numbers } = issued;
  return { since: { number, date }, pins: pinChanges(numbers, now), figures: figureChanges(numbers, now) };
}

const pinsOf = ({ depths }: IssuedNumbers): readonly Pin[] => (depths.kind === "ready" ? depths.result.pins : []);

function pinChanges(issued: IssuedNumbers, now: IssuedNumbers): PinChange[] {
  const before = new Map(pinsOf(issued).map((pin) => [pin.id, pin]));
  const after = new Map(pinsOf(now).map((pin) => [pin.id, pin]));
  const roomOf = ({ plan }: IssuedNumbers, id: string) => plan.rooms.find((room) => room.id === id)?.name ?? id;
  const there = [...after.values()]
    .sort((p, q) => p.order - q.order)
    .flatMap((pin): PinChange[] => {
      const room = roomOf(now, pin.room);
      const old = before.get(pin.id);
      if (old === undefined) return [{ id: pin.id, room, kind: "new", now: lengthOf(pin) }];
      const lengths = { before: lengthOf(old), now: lengthOf(pin) };
      if (!sameLength(lengths.before, lengths.now)) return [{ id: pin.id, room, kind: "recut", ...lengths }];
      const moved = Math.hypot(pin.at.eastM - old.at.eastM, pin.at.northM - old.at.northM) > MOVED_M;
      return moved ? [{ id: pin.id, room, kind: "moved", ...lengths }] : [];
    });
  const gone = [...before.values()]
    .filter((pin) => !after.has(pin.id))
    .sort((p, q) => p.order - q.order)
    .map((pin): PinChange => ({ id: pin.id, room: roomOf(issued, pin.room), kind: "gone", before: lengthOf(pin) }));
  return [...there, ...gone];
}

function lengthOf({ cut, cutMm }: Pin): PinLength {
  return cut === "cut" && cutMm !== null ? { cut, printed: cutMm.printed } : { cut: cut === "cut" ? "too-short" : cut };
}

/**
 * A pin is cut by the length in the leading unit: where that prints as before it is not cut again, whatever the other
 * unit rounds to. A job that now leads with the other unit is compared by that one.
 */
function sameLength(p: PinLength, q: PinLength): boolean {
  if (p.cut !== "cut" || q.cut !== "cut") return p.cut === q.cut;
  return p.printed[0] === q.printed[0] || p.printed[0] === q.printed[1] || p.printed[1] === q.printed[0];
}

function figureChanges(issued: IssuedNumbers, now: IssuedNumbers): FigureChange[] {
  const [before, after] = [figuresOf(issued), figuresOf(now)];
  const keys = [...new Set([...after.keys(), ...before.keys()])];
  return keys.flatMap((key): FigureChange[] => {
    const [old, current] = [before.get(key), after.get(key)];
    const { what, of } = (current ?? old) as Figure;
    if (old?.text === current?.text) return [];
    return [
      {
        what,
        ...(of === undefined ? {} : { of }),
        ...(old === undefined ? {} : { before: old.text }),
        ...(current === undefined ? {} : { now: current.text }),
      },
    ];
  });
}

interface Figure {
  readonly what: FigureName;
  readonly of?: string;
  readonly text: string;
}

/** The figures of a packet as text, in the order in which they are read. */
function figuresOf({ job, quantities, schedule }: IssuedNumbers): Map<string, Figure> {
  const figures: Figure[] = [{ what: "material", text: job.material.name }];
  if (job.start !== undefined && job.start !== null) figures.push({ what: "start", text: job.start });
  if (quantities.kind === "ready") {
    const { bags, otherMaterials, pallets } = quantities.result;
    figures.push({ what: "bags", text: String(bags.toOrder) });
    for (const { material, bags: own } of otherMaterials ?? [])
      figures.push({ what: "bags", of: material, text: String(own.toOrder) });
    figures.push({ what: "pallets", text: String(pallets) });
  }
  if (schedule.kind === "ready") {
    const { batches, bays } = schedule.result;
    figures.push({ what: "batches", text: String(batches.length) });
    if (bays !== undefined) figures.push({ what: "bays", text: String(bays.length) });
    const last = batches.at(-1);
    if (last !== undefined) figures.push({ what: "duration", text: last.printed[1] });
  }
  return new Map(figures.map((figure) => [`${figure.what}\0${figure.of ?? ""}`, figure]));
}
