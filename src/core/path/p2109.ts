import { normalQuantile } from '../math/index.ts';
import { userError } from '../units/index.ts';

/** traditional: no metallised glass, no foil; efficient: thermally efficient, with both. */
export type BuildingKind = 'traditional' | 'efficient';

/** Coefficients of ITU-R P.2109-2, table 1, in the letters of the Recommendation. */
const COEFFICIENTS = {
  traditional: { r: 12.64, s: 3.72, t: 0.96, u: 9.6, v: 2.0, w: 9.1, x: -3.0, y: 4.5, z: -2.0 },
  efficient: { r: 28.19, s: -3.0, t: 8.48, u: 13.5, v: 3.8, w: 27.8, x: -2.9, y: 9.4, z: -2.1 },
} as const;

/**
 * Loss of a wave that enters a building, dB, not exceeded in `share_pct` of cases (place in the building, kind of wall).
 *
 * Source: ITU-R P.2109-2, Annex 1, sec. 3, eq. 1-10. Valid 80 MHz to 100 GHz, 0 < share < 100 %. `elevation_deg` is that of the ray at
 * the front of the building. Below zero near 0 % of cases: a window can help. Checked against the reference workbook of ITU-R
 * Study Group 3 in test/golden/path-p2109.csv (0.01 dB).
 *
 * @throws UserError outside the limits.
 */
export function buildingEntryLoss_dB(
  frequency_MHz: number,
  share_pct: number,
  kind: BuildingKind,
  elevation_deg = 0,
): number {
  if (!(frequency_MHz >= 80 && frequency_MHz <= 100_000))
    throw userError('path.range', `frequency_MHz is ${frequency_MHz}: it lies between 80 and 100,000 MHz.`, {
      field: 'frequency_MHz',
    });
  if (!(share_pct > 0 && share_pct < 100))
    throw userError('path.range', `share_pct is ${share_pct}: it lies above 0 and below 100 %.`, {
      field: 'share_pct',
    });
  if (!(elevation_deg >= -90 && elevation_deg <= 90))
    throw userError('path.range', `elevation_deg is ${elevation_deg}: it lies between -90 and 90 degrees.`, {
      field: 'elevation_deg',
    });
  const c = COEFFICIENTS[kind];
  const log = Math.log10(frequency_MHz / 1000);
  const median_dB = c.r + c.s * log + c.t * log * log; // eq. 9
  const slant_dB = 0.212 * Math.abs(elevation_deg); // eq. 10
  const deviate = normalQuantile(share_pct / 100);
  const a_dB = deviate * (c.u + c.v * log) + median_dB + slant_dB; // eq. 2, 5, 7
  const b_dB = deviate * (c.y + c.z * log) + c.w + c.x * log; // eq. 3, 6, 8
  return 10 * Math.log10(10 ** (0.1 * a_dB) + 10 ** (0.1 * b_dB) + 10 ** (0.1 * -3)); // eq. 1, 4
}
