import { normalQuantile } from '../math/index.ts';
import { userError } from '../units/index.ts';
import { knifeEdgeLoss_dB } from './knife-edge.ts';

/** What stands around an antenna, with the usual height of it, m (ITU-R P.2108-1, table 3; P.1812 gives the same heights). */
export const CLUTTER_HEIGHT_m = {
  water: 10,
  open: 10,
  suburban: 10,
  urban: 15,
  woods: 15,
  'dense urban': 20,
} as const;

export type ClutterKind = keyof typeof CLUTTER_HEIGHT_m;

export interface TerminalClutter {
  readonly frequency_MHz: number;
  /** Antenna above the ground, > 0. */
  readonly height_m: number;
  readonly kind: ClutterKind;
  /** Height of the clutter around it; the usual one if left out. */
  readonly clutterHeight_m?: number;
  /** Width of the street or clearing; 27 m if left out. */
  readonly streetWidth_m?: number;
}

/**
 * Loss by the clutter that an antenna stands in, dB, not below its top: zero from there on.
 *
 * Source: ITU-R P.2108-1, sec. 3.1, eq. 1-2 (height-gain model). Valid 30 MHz to 3 GHz. It stands for clutter at the end of a path
 * and must not be added to clutter heights in the profile near that end, nor to `woodlandLoss_dB`.
 * Checked against published test vectors in test/golden/path-p2108.csv (0.06 dB).
 *
 * @throws UserError outside the limits.
 */
export function terminalClutterLoss_dB(at: TerminalClutter): number {
  const { frequency_MHz, height_m, kind, streetWidth_m = 27 } = at;
  const clutterHeight_m = at.clutterHeight_m ?? CLUTTER_HEIGHT_m[kind];
  demand('frequency_MHz', frequency_MHz, frequency_MHz >= 30 && frequency_MHz <= 3000, 'between 30 and 3000 MHz');
  demand('height_m', height_m, height_m > 0 && height_m <= 3000, 'above 0 and up to 3000 m');
  demand('clutterHeight_m', clutterHeight_m, clutterHeight_m > 0 && clutterHeight_m <= 500, 'above 0 and up to 500 m');
  demand('streetWidth_m', streetWidth_m, streetWidth_m > 0 && streetWidth_m <= 10_000, 'above 0 and up to 10,000 m');
  if (height_m >= clutterHeight_m) return 0;
  const f = frequency_MHz / 1000;
  if (kind === 'water' || kind === 'open')
    return -(21.8 + 6.2 * Math.log10(f)) * Math.log10(height_m / clutterHeight_m); // eq. 2b, 2f
  const rise_m = clutterHeight_m - height_m; // eq. 2d
  const angle_deg = (Math.atan(rise_m / streetWidth_m) * 180) / Math.PI; // eq. 2e
  const nu = 0.342 * Math.sqrt(f) * Math.sqrt(rise_m * angle_deg); // eq. 2c, 2g
  return knifeEdgeLoss_dB(nu) - 6.03; // eq. 2a
}

/**
 * Clutter loss at one end in a town or suburb not known in detail, dB, not exceeded at `locations_pct` of places.
 *
 * Source: ITU-R P.2108-1, sec. 3.2, eq. 3-6 (statistical model). Valid 500 MHz to 67 GHz, paths from 0.25 km; beyond 2 km it stays as
 * at 2 km. It stands for all clutter: never add it to clutter in the profile. Checked against published test vectors in
 * test/golden/path-p2108.csv (0.06 dB).
 *
 * @throws UserError outside the limits.
 */
export function townClutterLoss_dB(frequency_MHz: number, distance_km: number, locations_pct: number): number {
  demand('frequency_MHz', frequency_MHz, frequency_MHz >= 500 && frequency_MHz <= 67_000, 'between 500 and 67,000 MHz');
  demand('distance_km', distance_km, distance_km >= 0.25 && distance_km <= 1e4, 'at 0.25 km or more');
  demand('locations_pct', locations_pct, locations_pct > 0 && locations_pct < 100, 'above 0 and below 100 %');
  const f = frequency_MHz / 1000;
  const at_dB = (d_km: number) => {
    const long = 10 ** (-5 * Math.log10(f) - 12.5) + 10 ** -16.5;
    const long_dB = -2 * Math.log10(long); // eq. 4
    const short_dB = 32.98 + 23.9 * Math.log10(d_km) + 3 * Math.log10(f); // eq. 5
    const a = 10 ** (-0.2 * long_dB);
    const b = 10 ** (-0.2 * short_dB);
    const spread_dB = Math.sqrt((4 * 4 * a + 6 * 6 * b) / (a + b)); // eq. 3b
    return -5 * Math.log10(a + b) + spread_dB * normalQuantile(locations_pct / 100); // eq. 3a
  };
  return Math.min(at_dB(distance_km), at_dB(2)); // eq. 6
}

function demand(field: string, value: number, holds: boolean, range: string): void {
  if (!holds) throw userError('path.range', `${field} is ${value}: it lies ${range}.`, { field });
}
