import { logGamma } from '../math/index.ts';

/**
 * Mean (d2) and standard deviation (d3) of the range of n = 2..25 standard normal values: Tippett 1925, computed anew
 * to ten digits by integrating his formulas; ISO 7870-2 and ASTM print them to three.
 */
const D2 = [
  1.1283791671, 1.6925687506, 2.058750746, 2.3259289473, 2.5344127212, 2.7043567512, 2.8472006121, 2.9700263244,
  3.0775054617, 3.1728727038, 3.2584552797, 3.3359803541, 3.4067631082, 3.4718268899, 3.5319827861, 3.5878839618,
  3.6400637579, 3.6889630232, 3.7349501196, 3.7783358298, 3.8193846434, 3.8583234233, 3.8953481485, 3.9306292195,
];
const D3 = [
  0.8525024664, 0.888368004, 0.8798082028, 0.8640819411, 0.8480396861, 0.8332053356, 0.8198314898, 0.8078342746,
  0.7970506735, 0.7873146206, 0.7784783412, 0.7704162021, 0.7630230956, 0.7562114297, 0.7499080894, 0.744051784,
  0.7385908534, 0.7334814955, 0.7286863457, 0.7241733407, 0.7199148084, 0.7158867355, 0.7120681751, 0.7084407659,
];

/** Sizes of a sample for which the factors are held. */
export const CHART_SAMPLE = [2, 25] as const;

export interface ChartFactors {
  readonly d2: number;
  readonly d3: number;
  /** Mean of the standard deviation over the true one. */
  readonly c4: number;
  /** Limits of means, in mean ranges: 3/(d2 sqrt n). */
  readonly A2: number;
  /** Limits of means, in mean standard deviations: 3/(c4 sqrt n). */
  readonly A3: number;
  /** Lower and upper limit of ranges, in mean ranges: 1 -+ 3 d3/d2. */
  readonly D3: number;
  readonly D4: number;
  /** Root mean square of the range: what one range is divided by (the d2* of a single sample in gauge studies). */
  readonly rmsRange: number;
}

/**
 * Control chart factors for samples of n = 2..25 (ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.1). Checked to the printed
 * digits.
 */
export function chartFactors(n: number): ChartFactors {
  if (!(Number.isInteger(n) && n >= CHART_SAMPLE[0] && n <= CHART_SAMPLE[1]))
    throw new RangeError(`chartFactors: samples of ${n}`);
  const d2 = D2[n - 2]!;
  const d3 = D3[n - 2]!;
  const c4 = Math.sqrt(2 / (n - 1)) * Math.exp(logGamma(n / 2) - logGamma((n - 1) / 2));
  return {
    d2,
    d3,
    c4,
    A2: 3 / (d2 * Math.sqrt(n)),
    A3: 3 / (c4 * Math.sqrt(n)),
    D3: Math.max(0, 1 - (3 * d3) / d2),
    D4: 1 + (3 * d3) / d2,
    rmsRange: Math.hypot(d2, d3),
  };
}
