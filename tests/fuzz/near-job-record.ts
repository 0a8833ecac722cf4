/** The rest of a job of the grammar: the pour, the contract, what was tested, submitted, poured and read again. */
import { type Plan, spot } from "./near-job.ts";
import { gap, line, type Sheet, setUp } from "./near-job-survey.ts";
import { type Draw, number, once, pick, type Tree, type Value } from "./written.ts";

const somewhere = (g: Draw, plan: Plan): Value =>
  spot(g, [plan.east * number(g, 0, 1, 2), plan.north * number(g, 0, 1, 2)], plan.unit);

export const pour = (g: Draw, plan: Plan): Value => ({
  ...(once(g, 2) ? { start: pick(g, ["2027-03-04 07:30", "2028-02-29 23:59"]) } : {}),
  ...(once(g, 3) ? { loss: pick(g, ["5 %", "0 %", "0.5"]) } : {}),
  ...(once(g, 3) ? { profile: pick(g, ["0.5 mm", "0 mm", "1/16 in"]) } : {}),
  ...(once(g, 4) ? { pallet: { length: "48 in", width: "40 in", tare: "40 lb", bags: 56 } } : {}),
  ...(once(g, 4) ? { edge_margin: pick(g, ["1 min", "0 min"]) } : {}),
  ...(once(g, 3) ? { station: somewhere(g, plan) } : {}),
  ...(once(g, 4) ? { exits: [{ id: "X1", at: spot(g, [0, 0.3], plan.unit) }] } : {}),
  ...(once(g, 4)
    ? { moving_joints: [{ id: "J1", from: spot(g, [0.3, 0], plan.unit), to: spot(g, [0.3, plan.north], plan.unit) }] }
    : {}),
  ...(once(g, 4)
    ? {
        dams: [
          {
            id: "DAM1",
            from: spot(g, [plan.east / 2, 0], plan.unit),
            to: spot(g, [plan.east / 2, plan.north], plan.unit),
          },
        ],
      }
    : {}),
  ...(once(g, 4) ? { drains: [{ id: "FD1", at: somewhere(g, plan) }] } : {}),
  ...(once(g, 4) ? { pallets_at: [somewhere(g, plan), somewhere(g, plan)] } : {}),
  ...(once(g, 4) ? { slab_temperature: "68 °F" } : {}),
  ...(once(g, 4) ? { bag_check_share: "5 %" } : {}),
});

const source = "Section 03 54 16, 3.4";

export const contract = (g: Draw, plan: Plan): Value => ({
  ...(once(g, 2) ? { tolerance: { text: "3/16 in in 10 ft", source } } : {}),
  ...(once(g, 2)
    ? {
        rules: [
          {
            kind: "straightedge",
            edge: pick(g, ["10 ft", "2 m"]),
            gap: "3/16 in",
            contact: pick(g, ["between-contacts", "whole-edge"]),
            source,
          },
          { kind: "f-numbers", flatness: 35, levelness: 25, within_days: 3, source },
          { kind: "din-18202", row: pick(g, ["finished", "unfinished"]), source },
          { kind: "level", plus_minus: "3 mm", source },
          { kind: "trade-rule", name: "resilient-covering", source },
        ].filter(() => once(g, 2)),
      }
    : {}),
  ...(once(g, 2) ? { allowed_bags: pick(g, [40, 1, 1000]) } : {}),
  ...(once(g, 3) ? { allowed_depth: "3/8 in" } : {}),
  ...(once(g, 3) ? { allowed_dead_load: pick(g, ["15 psf", "0.1 psf"]) } : {}),
  ...(once(g, 3) ? { unit_rate: { amount: 48.5, currency: "USD" } } : {}),
  ...(once(g, 3)
    ? { bid: { rooms: [{ room: pick(g, plan.rooms).id, depth: "1/4 in" }], source: "Bid of 14 January, page 2" } }
    : {}),
});

export const record = (g: Draw, plan: Plan, sheet: Sheet): Tree => ({
  ...(once(g, 2)
    ? {
        readiness: {
          tests: [
            {
              test: "relative-humidity",
              owed_by: "Marrow Lane Builders",
              limits: [{ at_most: "80 %", source }],
              places: 2,
            },
          ],
          results: [
            {
              test: "relative-humidity",
              id: "RH1",
              at: somewhere(g, plan),
              value: pick(g, ["71 %", "95 %"]),
              date: "2027-02-24",
              by: "P. Lindquist",
            },
          ],
        },
      }
    : {}),
  ...(once(g, 2)
    ? {
        joint_survey: {
          date: "2027-02-26",
          measured_by: "T. Okafor",
          signatures: ["general-contractor", "contractor"]
            .filter(() => once(g, 2))
            .map((party) => ({ for: party, by: "R. Amsel", date: "2027-03-01" })),
          ...(once(g, 2) ? { bags: pick(g, [1, 40, 100_000]) } : {}),
        },
      }
    : {}),
  ...(once(g, 3) ? { submittals: [{ number: "03 54 16-01", item: "Product data", submitted: "2027-01-20" }] } : {}),
  ...(once(g, 2)
    ? {
        results: {
          poured: "2027-03-04",
          lots: [{ lot: "L2271-04", bags: 44, use_by: pick(g, ["2027-11-30", "2027-01-01"]) }],
          batches: [1, 2, 3].map((batch) => ({
            batch,
            bags: 2,
            mixed: `07:3${batch}`,
            ...(once(g, 2) ? { placed: `07:3${batch + 3}` } : {}),
            ...(once(g, 2) ? { water: "10 qt", spread: "5 1/4 in" } : {}),
            ...(once(g, 3) ? { density: pick(g, ["1985 kg/m³", "0.4 kg/L"]) } : {}),
            ...(once(g, 3) ? { lot: "L2271-04" } : {}),
          })),
          ...(once(g, 3) ? { burst_bags: 1, returned_bags: 3 } : {}),
        },
      }
    : {}),
  ...(once(g, 2)
    ? {
        finished: {
          poured: "2027-03-04",
          date: "2027-03-09",
          set_ups: [setUp(g, plan, sheet, [], 0)],
          ...(once(g, 2) ? { lines: [line(g, plan, "L1")] } : {}),
          ...(once(g, 2) ? { gaps: [gap(g, plan, "G1")] } : {}),
        },
      }
    : {}),
});
