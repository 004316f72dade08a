/** Standing-wave ratio from |S11| (0..1): (1+g)/(1-g); infinite at total reflection. */
export function vswr(gamma: number): number {
  return gamma < 1 ? (1 + gamma) / (1 - gamma) : Number.POSITIVE_INFINITY;
}

/** |S11| from a standing-wave ratio of 1 or more. */
export function gammaOfVswr(ratio: number): number {
  return ratio === Number.POSITIVE_INFINITY ? 1 : (ratio - 1) / (ratio + 1);
}

/** Return loss, dB, positive: how far below the sent wave the reflected one lies; infinite for a perfect match. */
export function returnLoss_dB(gamma: number): number {
  return -20 * Math.log10(gamma);
}

/**
 * Power that does not get into the antenna, dB: -10 log(1 - g²); infinite at total reflection.
 *
 * These four are definitions of transmission-line theory; valid for a passive antenna (|S11| up to 1). Checked against a table
 * of standing-wave ratios in test/golden/antenna-match.csv.
 */
export function mismatchLoss_dB(gamma: number): number {
  return gamma < 1 ? -10 * Math.log10(1 - gamma * gamma) : Number.POSITIVE_INFINITY;
}

/**
 * Limits of the loss between two mismatched ends, dB, beyond the two mismatch losses: 20 log(1 ± g1·g2), as phases fall.
 * The first is the gain at best (negative), the second the loss at worst.
 */
export function mismatchUncertainty_dB(gamma1: number, gamma2: number): { best_dB: number; worst_dB: number } {
  const product = gamma1 * gamma2;
  return { best_dB: -20 * Math.log10(1 + product), worst_dB: -20 * Math.log10(1 - product) };
}

/** Loss that a linear polarization suffers with another turned by an angle, dB: cos². Real antennas stop at `most_dB`. */
export function polarizationLoss_dB(angle_deg: number, most_dB = 20): number {
  // 20 dB of cross-polar loss is usual for real antennas in real surroundings: from memory.
  return Math.min(-20 * Math.log10(Math.abs(Math.cos((angle_deg * Math.PI) / 180))), most_dB) + 0;
}

/** Loss between linear and circular polarization, dB: half of the power. */
export const LINEAR_CIRCULAR_dB = 10 * Math.log10(2);
