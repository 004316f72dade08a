/** Marginal law of daily clearness after Bendt, Collares-Pereira & Rabl, Solar Energy 27 (1981) 1-5, as in Duffie & Beckman sec. 2.9. */

export interface BendtLaw {
  readonly min_kt: number;
  readonly max_kt: number;
  readonly gamma: number;
}

/**
 * Law for a month of mean clearness `meanKt` (valid 0.2..0.75; the mean of the law equals `meanKt` within 0.004 there).
 * Gamma by Herzog 1985, upper bound by Hollands & Huget 1983; equations from memory, verified by the mean they give back.
 */
export function bendtLaw(meanKt: number): BendtLaw {
  const min_kt = 0.05;
  const max_kt = 0.6313 + 0.267 * meanKt - 11.9 * (meanKt - 0.75) ** 8; // D&B 2.9.8
  const x = (max_kt - min_kt) / (max_kt - meanKt);
  const gamma = -1.498 + (1.184 * x - 27.182 * Math.exp(-1.5 * x)) / (max_kt - min_kt); // D&B 2.9.7
  return { min_kt, max_kt, gamma };
}

/** Share of days at or below clearness `kt`. */
export function bendtProbability(law: BendtLaw, kt: number): number {
  const { min_kt, max_kt, gamma } = law;
  if (kt <= min_kt) return 0;
  if (kt >= max_kt) return 1;
  if (Math.abs(gamma) < 1e-6) return (kt - min_kt) / (max_kt - min_kt);
  return Math.expm1(gamma * (kt - min_kt)) / Math.expm1(gamma * (max_kt - min_kt)); // D&B 2.9.6
}

/** Clearness below which a share `p` of the days lies; inverse of bendtProbability. */
export function bendtQuantile(law: BendtLaw, p: number): number {
  const { min_kt, max_kt, gamma } = law;
  if (Math.abs(gamma) < 1e-6) return min_kt + p * (max_kt - min_kt);
  return min_kt + Math.log1p(p * Math.expm1(gamma * (max_kt - min_kt))) / gamma;
}
