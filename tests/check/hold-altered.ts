/**
 * Every kind of number of a packet made wrong in turn, where the rooms left it, so that sheets, page and packet.json all
 * say the same wrong thing: the check before printing refuses it, but for the kinds that are named.
 */
import { expect, test } from "vitest";
import { verifyPacket } from "../../src/check/verify-packet.ts";
import { alterInTurn, evidenceOf, type Room } from "./altered-numbers.ts";

export interface Altered {
  readonly jobId: string;
  /** Of these rooms alone, and by packet.json alone; else all that sheets and page say too. */
  readonly rooms?: readonly Room[];
  /** Kinds of printed numbers that are altered at least. */
  readonly kinds: number;
  /** Kinds of which an altered number passes when it alone is wrong. */
  readonly pass: readonly string[];
}

export function holdAltered({ jobId, rooms, kinds, pass }: Altered): void {
  test(`the packet of ${jobId} is refused for a wrong number of any kind but those named`, {
    timeout: 240_000,
  }, async () => {
    const sound = await evidenceOf(jobId);
    expect(verifyPacket(sound)).toEqual([]);
    const { printed, missed } = alterInTurn(sound, {
      placesOfAKind: 1,
      ...(rooms ? { rooms, packetAlone: true } : {}),
    });
    expect(printed.size).toBeGreaterThan(kinds);
    expect([...new Set(missed.map(({ pattern }) => pattern))].sort()).toEqual([...pass].sort());
    // All of them were put right again.
    expect(verifyPacket(sound)).toEqual([]);
  });
}
