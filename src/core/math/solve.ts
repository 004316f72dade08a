/**
 * Root of a continuous function whose values at `low` and `high` differ in sign, by Brent's method (Brent 1973, ch. 4):
 * bisection's certainty with the speed of inverse quadratic interpolation. Throws RangeError when there is no change of sign.
 */
export function findRoot(f: (x: number) => number, low: number, high: number, tolerance = 1e-12): number {
  let a = low;
  let b = high;
  let fa = f(a);
  let fb = f(b);
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (fa > 0 === fb > 0) throw new RangeError(`findRoot: no change of sign between ${low} and ${high}`);
  let c = a;
  let fc = fa;
  let d = b - a;
  let e = d;
  for (let i = 0; i < 200; i++) {
    if (fb > 0 === fc > 0) {
      c = a;
      fc = fa;
      d = b - a;
      e = d;
    }
    if (Math.abs(fc) < Math.abs(fb)) {
      [a, b, c] = [b, c, b];
      [fa, fb, fc] = [fb, fc, fb];
    }
    const limit = 2 * Number.EPSILON * Math.abs(b) + 0.5 * tolerance;
    const half = 0.5 * (c - b);
    if (Math.abs(half) <= limit || fb === 0) return b;
    if (Math.abs(e) >= limit && Math.abs(fa) > Math.abs(fb)) {
      const s = fb / fa;
      let p: number;
      let q: number;
      if (a === c) {
        p = 2 * half * s;
        q = 1 - s;
      } else {
        const u = fa / fc;
        const r = fb / fc;
        p = s * (2 * half * u * (u - r) - (b - a) * (r - 1));
        q = (u - 1) * (r - 1) * (s - 1);
      }
      if (p > 0) q = -q;
      p = Math.abs(p);
      if (2 * p < Math.min(3 * half * q - Math.abs(limit * q), Math.abs(e * q))) {
        e = d;
        d = p / q;
      } else {
        d = half;
        e = half;
      }
    } else {
      d = half;
      e = half;
    }
    a = b;
    fa = fb;
    b += Math.abs(d) > limit ? d : half > 0 ? limit : -limit;
    fb = f(b);
  }
  return b;
}

/** Where a unimodal function is largest between `low` and `high`, by golden-section search (Kiefer 1953). */
export function findMaximum(f: (x: number) => number, low: number, high: number, tolerance = 1e-6): number {
  const ratio = (Math.sqrt(5) - 1) / 2;
  let a = low;
  let b = high;
  let x1 = b - ratio * (b - a);
  let x2 = a + ratio * (b - a);
  let f1 = f(x1);
  let f2 = f(x2);
  while (b - a > tolerance) {
    if (f1 < f2) {
      a = x1;
      x1 = x2;
      f1 = f2;
      x2 = a + ratio * (b - a);
      f2 = f(x2);
    } else {
      b = x2;
      x2 = x1;
      f2 = f1;
      x1 = b - ratio * (b - a);
      f1 = f(x1);
    }
  }
  return 0.5 * (a + b);
}
