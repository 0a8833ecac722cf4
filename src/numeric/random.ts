/** Random numbers from a seed: the same seed gives the same numbers on any machine. */
export interface RandomSource {
  /** Uniform in [0, 1), 32 bits. */
  uniform(): number;
  /** Normal with mean 0 and standard deviation 1. */
  normal(): number;
  /** A whole number in [0, below). */
  below(count: number): number;
}

/**
 * Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8 (2003): the 128-bit generator of
 * section 4, its state filled from the seed by the mixing function of MurmurHash3 (public domain).
 */
export function randomFrom(seed: number): RandomSource {
  let filler = seed >>> 0;
  const fill = () => {
    filler = (filler + 0x9e3779b9) >>> 0;
    let mixed = filler;
    mixed = Math.imul(mixed ^ (mixed >>> 16), 0x85ebca6b);
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
    return (mixed ^ (mixed >>> 16)) >>> 0;
  };
  let x = fill();
  let y = fill();
  let z = fill();
  let w = fill() | 1;
  const uniform = () => {
    const t = x ^ (x << 11);
    x = y;
    y = z;
    z = w;
    w = (w ^ (w >>> 19) ^ t ^ (t >>> 8)) >>> 0;
    return w / 2 ** 32;
  };
  return {
    uniform,
    below: (count) => Math.floor(uniform() * count),
    // Box & Muller, "A note on the generation of random normal deviates", Ann. Math. Stat. 29 (1958).
    normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
  };
}
