/**
 * Seeded random numbers: xoshiro128** (Blackman & Vigna 2021) seeded through splitmix32; normals by Marsaglia's polar
 * method (1964). The same seed gives the same stream in every engine, since only 32-bit integer arithmetic is used.
 * Not for secrets.
 */
export interface Random {
  /** Uniform in [0, 1) with 32 random bits. */
  next(): number;
  /** Standard normal. */
  normal(): number;
  /** Uniform integer in 0..n-1. */
  below(n: number): number;
  /** An independent stream that depends on the seed of this one and on `label` only, not on what was drawn before. */
  fork(label: number): Random;
}

/** A generator for a seed; any finite number is a seed, integers are told apart up to 2^53. */
export function createRandom(seed: number): Random {
  let mixer = (seed | 0) ^ Math.imul(Math.floor(seed / 4294967296) | 0, 0x9e3779b1);
  const splitmix = () => {
    mixer = (mixer + 0x9e3779b9) | 0;
    let z = mixer;
    z = Math.imul(z ^ (z >>> 16), 0x21f0aaad);
    z = Math.imul(z ^ (z >>> 15), 0x735a2d97);
    return z ^ (z >>> 15);
  };
  let a = splitmix();
  let b = splitmix();
  let c = splitmix();
  let d = splitmix();
  let spare = 0;
  let hasSpare = false;
  const next = () => {
    const t = Math.imul(b, 5);
    const result = Math.imul((t << 7) | (t >>> 25), 9) >>> 0;
    const shifted = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= shifted;
    d = (d << 11) | (d >>> 21);
    return result / 4294967296;
  };
  const normal = () => {
    if (hasSpare) {
      hasSpare = false;
      return spare;
    }
    let u = 0;
    let v = 0;
    let s = 0;
    do {
      u = 2 * next() - 1;
      v = 2 * next() - 1;
      s = u * u + v * v;
    } while (s >= 1 || s === 0);
    const factor = Math.sqrt((-2 * Math.log(s)) / s);
    spare = v * factor;
    hasSpare = true;
    return u * factor;
  };
  return {
    next,
    normal,
    below: (n) => Math.floor(next() * n),
    fork: (label) =>
      createRandom((Math.imul(seed | 0, 0x85ebca6b) ^ Math.imul((label | 0) + 0x165667b1, 0xc2b2ae35)) | 0),
  };
}
