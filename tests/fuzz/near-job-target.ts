/** Targets of the grammar: given, from a bench mark or a door, falling, sought, by zones. */
import { type Plan, spelledHeight, spot } from "./near-job.ts";
import { type Draw, number, once, pick, type Value } from "./written.ts";

const layers = (g: Draw): Value =>
  pick<Value>(g, [
    [],
    [{ name: "porcelain tile", thickness: "10 mm" }],
    [
      { name: "vinyl", thickness: "2 mm" },
      { name: "glue", thickness: "0.5 mm" },
    ],
  ]);

type Map = { [key: string]: Value };

function sought(g: Draw, plan: Plan): Map {
  return {
    seek: pick(g, ["level", "plane"]),
    ...(once(g, 3) ? { greatest_fall: pick(g, ["1/8 in/ft", "5 mm/m", "0 mm/m"]) } : {}),
    ...(once(g, 3) && plan.doorIds.length > 0
      ? {
          at_doors: [
            { door: plan.doorIds[0]!, ...pick<Map>(g, [{ at_most: "6 mm" }, { top: "3 mm" }, { at_least: "2 mm" }]) },
          ],
        }
      : {}),
    ...(once(g, 3)
      ? {
          grinding: {
            height: pick(g, ["2 mm", "3 mm", "0 mm"]),
            ...(once(g, 2) ? { area: pick(g, ["0.5 m²", "20 ft²"]) } : {}),
            ...(once(g, 3) ? { costs: { fill_per_litre: 2.1, grind_per_litre: 55 } } : {}),
          },
        }
      : {}),
    ...(once(g, 3)
      ? { limits: pick<Map>(g, [{ bags: 40 }, { depth: "1 in" }, { dead_load: "12 psf" }, { bags: 1 }]) }
      : {}),
  };
}

function oneTop(g: Draw, plan: Plan): Map {
  const forms: (() => Map)[] = [
    () => ({ top: spelledHeight(g, number(g, -3, 8, 1)) }),
    () => ({ top: "0 mm" }),
    () => sought(g, plan),
    () => ({
      top: spelledHeight(g, number(g, 0, 10, 1)),
      fall: pick(g, ["1/8 in/ft", "10 mm/m", "2 %"]),
      at: spot(g, [0, 0], plan.unit),
      towards: spot(g, [plan.east, number(g, 0, 1, 1)], plan.unit),
    }),
  ];
  if (plan.benchMarkIds.length > 0)
    forms.push(() => ({ bench_mark: "BM1", above: spelledHeight(g, number(g, -10, 5, 1)) }));
  if (plan.hasFinishLevels) {
    forms.push(() => ({
      door: "DR9",
      build_up: layers(g),
      ...(once(g, 3) ? { neighbour_build_up: layers(g) } : {}),
    }));
  }
  return pick(g, forms)();
}

export function target(g: Draw, plan: Plan): Value {
  if (plan.rooms.length === 1 || !once(g, 3)) return oneTop(g, plan);
  const [first, ...rest] = plan.rooms.map(({ id }) => id);
  return {
    zones: [
      { rooms: [first!], ...oneTop(g, plan) },
      { rooms: rest, ...oneTop(g, plan), ...(once(g, 3) ? { material: "stiff-25kg" } : {}) },
    ],
    ...(once(g, 4)
      ? {}
      : {
          meets: [
            {
              door: "DR1",
              ...pick<Map>(g, [
                { how: "step" },
                { how: "feather", length: "600 mm" },
                { how: "ramp", length: "2 ft", material: "stiff-25kg" },
              ]),
            },
          ],
        }),
  };
}
