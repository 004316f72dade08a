import { logGamma } from './beta.ts';

/**
 * Regularised lower incomplete gamma function P(a, x) for a > 0, x >= 0: power series for x < a + 1 (DLMF 8.11.4),
 * else one minus the continued fraction of the upper one (DLMF 8.9.2, Lentz's method). Absolute error below 1e-12.
 */
export function incompleteGamma(a: number, x: number): number {
  if (!(a > 0 && x >= 0)) throw new RangeError(`incompleteGamma: a=${a} must be positive and x=${x} not negative`);
  if (x === 0) return 0;
  if (x === Number.POSITIVE_INFINITY) return 1;
  const front = Math.exp(a * Math.log(x) - x - logGamma(a));
  if (x < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let k = a + 1; term > 1e-17 * sum; k++) {
      term *= x / k;
      sum += term; // 8.11.4
    }
    return front * sum;
  }
  const tiny = 1e-300;
  let b = x + 1 - a;
  let c = 1 / tiny;
  let d = 1 / b;
  let fraction = d;
  for (let i = 1; i <= 10_000; i++) {
    const an = -i * (i - a);
    b += 2;
    d = an * d + b;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    c = b + an / c;
    c = Math.abs(c) < tiny ? tiny : c;
    const step = d * c;
    fraction *= step; // 8.9.2
    if (Math.abs(step - 1) < 1e-15) break;
  }
  return 1 - front * fraction;
}

/** Value below which a share `p` of the chi-square law with `freedom` degrees lies, by bisection to 1e-13 of itself. */
export function chiSquareQuantile(p: number, freedom: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`chiSquareQuantile: p=${p} must lie between 0 and 1`);
  let low = 0;
  let high = Math.max(1, freedom);
  while (incompleteGamma(freedom / 2, high / 2) < p) high *= 2;
  for (let i = 0; i < 200 && high - low > 1e-13 * high; i++) {
    const middle = 0.5 * (low + high);
    if (incompleteGamma(freedom / 2, middle / 2) < p) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}
