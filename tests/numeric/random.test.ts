import { describe, expect, it } from "vitest";
import { normalCdf } from "../../src/numeric/distributions.ts";
import { randomFrom } from "../../src/numeric/random.ts";

describe("random numbers from a seed", () => {
  it("come again with the seed, and differ between seeds", () => {
    const [one, again, other] = [randomFrom(7), randomFrom(7), randomFrom(8)];
    const draw = (source: typeof one) => Array.from({ length: 5 }, () => source.uniform());
    const first = draw(one);
    expect(draw(again)).toEqual(first);
    expect(draw(other)).not.toEqual(first);
  });

  it("are uniform: mean ½, variance 1/12, and every tenth as full as the others", () => {
    const source = randomFrom(1);
    const n = 100_000;
    const tenths = new Array<number>(10).fill(0);
    let sum = 0;
    let squares = 0;
    for (let k = 0; k < n; k++) {
      const value = source.uniform();
      if (!(value >= 0 && value < 1)) throw new Error(`${value}`);
      tenths[Math.floor(10 * value)]!++;
      sum += value;
      squares += value * value;
    }
    // Four standard deviations of each.
    expect(Math.abs(sum / n - 0.5)).toBeLessThan(4 / Math.sqrt(12 * n));
    expect(Math.abs(squares / n - 1 / 3)).toBeLessThan(4 * Math.sqrt(4 / 45 / n));
    for (const count of tenths) expect(Math.abs(count - n / 10)).toBeLessThan(4 * Math.sqrt(0.09 * n));
  });

  it("are normal: the share below z is Φ(z)", () => {
    const source = randomFrom(2);
    const n = 50_000;
    const values = Array.from({ length: n }, () => source.normal());
    for (const z of [-2, -1, -0.3, 0, 0.7, 1.5, 2.5]) {
      const share = values.filter((value) => value <= z).length / n;
      const due = normalCdf(z);
      expect(Math.abs(share - due)).toBeLessThan(4 * Math.sqrt((due * (1 - due)) / n));
    }
  });

  it("below a count are whole and reach all of it", () => {
    const source = randomFrom(3);
    expect(new Set(Array.from({ length: 200 }, () => source.below(6)))).toEqual(new Set([0, 1, 2, 3, 4, 5]));
  });
});
