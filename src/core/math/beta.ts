/** Natural logarithm of the gamma function for x > 0 (Lanczos 1964, g = 7, nine terms); relative error below 1e-14. */
export function logGamma(x: number): number {
  const c = [
    0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
    12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
  ];
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - logGamma(1 - x);
  const z = x - 1;
  let sum = c[0]!;
  for (let i = 1; i < 9; i++) sum += c[i]! / (z + i);
  const t = z + 7.5;
  return 0.5 * Math.log(2 * Math.PI) + (z + 0.5) * Math.log(t) - t + Math.log(sum);
}

/**
 * Regularised incomplete beta function I_x(a, b) for a, b > 0 and x in 0..1, by the continued fraction of
 * DLMF 8.17.22 (Lentz's method), with the symmetry I_x(a,b) = 1 - I_{1-x}(b,a). Absolute error below 1e-12.
 */
export function incompleteBeta(x: number, a: number, b: number): number {
  if (!(a > 0 && b > 0)) throw new RangeError(`incompleteBeta: a=${a}, b=${b} must be positive`);
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a);
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x)) / a;
  const tiny = 1e-300;
  let c = 1;
  let d = 1 - ((a + b) * x) / (a + 1);
  d = 1 / (Math.abs(d) < tiny ? tiny : d);
  let fraction = d;
  for (let m = 1; m <= 500; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 + even * d;
    c = 1 + even / c;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    c = Math.abs(c) < tiny ? tiny : c;
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 + odd * d;
    c = 1 + odd / c;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    c = Math.abs(c) < tiny ? tiny : c;
    const step = d * c;
    fraction *= step;
    if (Math.abs(step - 1) < 1e-15) break;
  }
  return front * fraction;
}

/** x for which I_x(a, b) = p, by bisection to 1e-14 (slow and sure: it is called a few times a run). */
export function inverseIncompleteBeta(p: number, a: number, b: number): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`inverseIncompleteBeta: p=${p} must lie in 0..1`);
  let low = 0;
  let high = 1;
  for (let i = 0; i < 200 && high - low > 1e-15 * high; i++) {
    const middle = 0.5 * (low + high);
    if (incompleteBeta(middle, a, b) < p) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}
