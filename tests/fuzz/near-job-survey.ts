/** Set-ups of the grammar: sheets of readings, repeats, zero checks, what was struck. */
import fc from "fast-check";
import { type Plan, spot } from "./near-job.ts";
import { type Draw, number, once, pick, type Value } from "./written.ts";

/** A row to each lettered line: whether the points of it lie in a room. */
export type Sheet = readonly { readonly letters: string; readonly inRoom: readonly boolean[] }[];

/** A reading as it stands on a sheet. */
function reading(g: Draw, unit: "mm" | "in", sign: "below" | "above", around: number): string {
  const mm = around + number(g, -4, 4, 1);
  const typed = sign === "below" ? mm : -mm;
  if (unit === "mm") return pick(g, [typed.toFixed(1), String(Math.round(typed))]);
  const eighths = Math.round(typed / 3.175);
  return eighths > 0 && once(g, 2) ? `${eighths}/8` : (typed / 25.4).toFixed(2);
}

function rows(
  g: Draw,
  sheet: Sheet,
  unit: "mm" | "in",
  sign: "below" | "above",
  around: number,
  everySo: number,
): string {
  return sheet
    .filter(() => everySo === 1 || g(fc.nat, everySo - 1) === 0)
    .map(({ letters, inRoom }) => {
      const cells = inRoom.map((inside) => (inside && !once(g, 15) ? reading(g, unit, sign, around) : "-"));
      return [letters, ...cells].join(pick(g, ["  ", " ", ", "]));
    })
    .join("\n");
}

export function setUp(g: Draw, plan: Plan, sheet: Sheet, labels: readonly string[], k: number): Value {
  const unit = pick(g, [plan.heightUnit, plan.heightUnit, "mm", "in"] as const);
  const sign = pick(g, ["below", "below", "above"] as const);
  const around = pick(g, [12, 12, 6, 20, 40, 1, -2]) + 3 * k;
  const body = [
    rows(g, sheet, unit, sign, around, k === 0 ? 1 : 2),
    ...labels.filter(() => once(g, 2)).map((label) => `${label} ${reading(g, unit, sign, around)}`),
    ...plan.benchMarkIds.filter(() => once(g, 3)).map((label) => `${label} ${reading(g, unit, sign, 0)}`),
    ...plan.doorIds.filter(() => once(g, 4)).map((id) => `${id}a ${reading(g, unit, sign, around)}`),
  ].filter((line) => line !== "");
  const first = sheet[0]?.letters ?? "A";
  return {
    id: `S${k + 1}`,
    instrument: pick(g, ["hose-level", "optical-level", "total-station", "hose-level-50"]),
    ...(once(g, 3) ? { reservoir: spot(g, [plan.east / 2, plan.north / 2], plan.unit) } : {}),
    ...(once(g, 3) ? { date: pick(g, ["2027-02-26", "2027-02-27"]) } : {}),
    numbers_are: `${sign} zero${once(g, 2) ? `, minus is ${sign === "below" ? "above" : "below"}` : ""}`,
    ...(unit === plan.heightUnit ? {} : { unit }),
    readings: `${body.join("\n")}\n`,
    ...(once(g, 4) ? { repeats: `${first}1 ${reading(g, unit, sign, around)}\n` } : {}),
    ...(once(g, 5)
      ? {
          times: [
            { of: first, at: "9:40" },
            { of: `${first}2`, at: "9:41" },
          ],
        }
      : {}),
    ...(once(g, 4)
      ? { zero_checks: [0, 3].map((after, n) => ({ after, reading: number(g, -1, 1, 1), at: `10:1${n}` })) }
      : {}),
    ...(once(g, 6)
      ? { struck: [{ point: `${first}1`, which: pick(g, ["first", "repeat", "both"]), reason: "hose was kicked" }] }
      : {}),
    ...(once(g, 6) ? { stood_on: [{ points: [first], thickness: "3 mm", what: "vinyl tile" }] } : {}),
    ...(once(g, 6) ? { temperature: { coolest: "16 C", warmest: "61 °F", vertical_leg: "1.2 m" } } : {}),
    ...(k > 0 && once(g, 6) ? { after_work: { work: "ground high spot H1", ties: [`${first}1`, `${first}2`] } } : {}),
  };
}

export const adjustment = (g: Draw): Value => ({
  alpha: pick(g, ["0.1 %", "5 %"]),
  power: "80 %",
  sigma: pick(g, ["instrument", "residuals"]),
  drift: pick(g, ["linear", "none"]),
  ...(once(g, 2) ? { closing: { k: "5 mm", per: pick(g, ["root-set-up", "root-km"]), source: "Clause 6" } } : {}),
});

/** A line of readings by hand. */
export const line = (g: Draw, plan: Plan, id: string): Value => ({
  id,
  from: spot(g, [0.2, 0.3], plan.unit),
  to: spot(g, [Math.max(0.5, plan.east - 0.2), 0.3], plan.unit),
  spacing: pick(g, ["300 mm", "12 in", "1 ft"]),
  numbers_are: "above zero, minus is below",
  unit: "mm",
  readings: Array.from({ length: 3 + g(fc.nat, 20) }, () => number(g, -2, 2, 1)).join(" "),
  ...(once(g, 2) ? { sd: "0.1 mm" } : {}),
});

export const gap = (g: Draw, plan: Plan, id: string): Value => ({
  id,
  edge: pick(g, ["10 ft", "2 m", "3 m"]),
  gap: pick(g, ["1/8 in", "3 mm", "0 mm", "7 mm"]),
  ...(once(g, 2) ? { at: spot(g, [plan.east / 2, plan.north / 2], plan.unit) } : {}),
});
