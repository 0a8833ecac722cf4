/** The change sheet against the record that it is held against: the pins on it, their old and their new lengths. */
import type { Disagree, Evidence } from "./evidence.ts";

interface OldPin {
  readonly id: string;
  readonly cut: string;
  readonly cutMm: { readonly printed: readonly string[] } | null;
}

/** Every pin whose printed length is other than the issued one stands on the sheet with both, in every language. */
export function checkChanges({ packet, findings, sheets }: Evidence, disagree: Disagree): void {
  for (const { pages, language } of sheets.filter(({ id }) => id === "changes")) {
    const where = `sheet changes (${language})`;
    const { issued = [], issuing } = findings.revisions ?? {};
    // An issued packet is held against the revision before its own, a draft against the last.
    const standsAsLast = packet.revision.standing === "issued" && issuing === undefined;
    const before = issued[issued.length - (standsAsLast ? 2 : 1)];
    if (before === undefined) {
      disagree("change-sheet-differs", `${where} stands in a packet that follows no revision`);
      continue;
    }
    const { depths } = before.numbers;
    const old = new Map<string, OldPin>(depths.kind === "ready" ? depths.result.pins.map((pin) => [pin.id, pin]) : []);
    const now = new Map<string, OldPin>(
      packet.depths.kind === "ready" ? packet.depths.result.pins.map((pin) => [pin.id, pin]) : [],
    );
    const rows = new Map<string, string[]>();
    for (const block of pages.flatMap(({ blocks }) => blocks))
      if (block.kind === "table" && block.columns.length === 6)
        for (const { cells } of block.rows) {
          const [id = "", ...texts] = cells.map(({ lines }) => lines.map(({ text }) => text).join(" "));
          rows.set(id, texts);
        }
    for (const id of new Set([...old.keys(), ...now.keys(), ...rows.keys()])) {
      const [was, is] = [old.get(id), now.get(id)];
      const row = rows.get(id);
      const leads = (pin: OldPin | undefined) => (pin?.cut === "cut" ? (pin.cutMm?.printed ?? []) : []);
      const same =
        was !== undefined &&
        is !== undefined &&
        was.cut === is.cut &&
        (was.cut !== "cut" || leads(is).includes(leads(was)[0] ?? "") || leads(was).includes(leads(is)[0] ?? ""));
      if (row === undefined) {
        if (!same) disagree("change-sheet-differs", `${where} lacks pin ${id}`);
        continue;
      }
      if (was === undefined && is === undefined) {
        disagree("change-sheet-differs", `${where} has a pin ${id} that neither packet has`);
        continue;
      }
      for (const [pin, at, what] of [
        [was, row[0], "issued"],
        [is, row[1], "now"],
      ] as const)
        if (pin?.cut === "cut" && at !== leads(pin)[0])
          disagree(
            "change-sheet-differs",
            `${where} prints ${at} for pin ${id} as ${what}, the packet has ${leads(pin)[0]}`,
          );
        else if (pin?.cut !== "cut" && /\d/.test(at ?? ""))
          disagree("change-sheet-differs", `${where} prints the length ${at} for pin ${id} as ${what}, which has none`);
    }
  }
}
