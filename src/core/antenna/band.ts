import { userError } from '../units/index.ts';
import { mismatchLoss_dB, returnLoss_dB, vswr } from './match.ts';
import { gammaAt, gammaAtFrequency, type Sweep } from './sweep.ts';

export interface Marker {
  readonly frequency_MHz: number;
  readonly vswr: number;
  readonly returnLoss_dB: number;
  readonly mismatchLoss_dB: number;
}

/** What the antenna does at one frequency within its sweep (between the points the standing-wave ratio runs straight). */
export function markerAt(sweep: Sweep, frequency_MHz: number): Marker {
  const gamma = gammaAtFrequency(sweep, frequency_MHz);
  if (Number.isNaN(gamma))
    throw userError(
      'antenna.marker',
      `The marker at ${frequency_MHz} MHz lies outside the sweep, which runs from ${sweep.frequency_MHz[0]} to ${sweep.frequency_MHz[sweep.frequency_MHz.length - 1]} MHz.`,
      { field: 'marker' },
    );
  return {
    frequency_MHz,
    vswr: vswr(gamma),
    returnLoss_dB: returnLoss_dB(gamma),
    mismatchLoss_dB: mismatchLoss_dB(gamma),
  };
}

/** The best-matched measured point; the first of equals. */
export function bestMatch(sweep: Sweep): { readonly frequency_MHz: number; readonly vswr: number } {
  let best = 0;
  for (let i = 1; i < sweep.re.length; i++) if (gammaAt(sweep, i) < gammaAt(sweep, best)) best = i;
  return { frequency_MHz: sweep.frequency_MHz[best]!, vswr: vswr(gammaAt(sweep, best)) };
}

/** A range of measured points that all keep a limit. */
export interface Band {
  readonly from_MHz: number;
  readonly to_MHz: number;
  readonly limitVswr: number;
}

/**
 * Ranges in which every measured point keeps the limit, from low to high; their ends are measured points, so a range is never
 * drawn wider than what was measured.
 */
export function usableBands(sweep: Sweep, limitVswr = 2): Band[] {
  if (!(limitVswr > 1))
    throw userError(
      'antenna.limit',
      `The limit of the standing-wave ratio is ${limitVswr}: it lies above 1, often 2.`,
      {
        field: 'limitVswr',
      },
    );
  const bands: Band[] = [];
  let start = -1;
  const n = sweep.re.length;
  for (let i = 0; i <= n; i++) {
    const keeps = i < n && vswr(gammaAt(sweep, i)) <= limitVswr;
    if (keeps && start < 0) start = i;
    if (!keeps && start >= 0) {
      bands.push({ from_MHz: sweep.frequency_MHz[start]!, to_MHz: sweep.frequency_MHz[i - 1]!, limitVswr });
      start = -1;
    }
  }
  return bands;
}

/** The usable range around the best match; undefined where not even that keeps the limit. */
export function usableBand(sweep: Sweep, limitVswr = 2): Band | undefined {
  const best_MHz = bestMatch(sweep).frequency_MHz;
  return usableBands(sweep, limitVswr).find((band) => best_MHz >= band.from_MHz && best_MHz <= band.to_MHz);
}

/** How a sweep does over a band that it must serve. */
export interface BandResult {
  readonly from_MHz: number;
  readonly to_MHz: number;
  /** The highest ratio in the band, at the measured points and the two edges, and where. */
  readonly worstVswr: number;
  readonly worstAt_MHz: number;
  /** Mismatch loss there. */
  readonly worstMismatchLoss_dB: number;
  /** Mean of the lost share of power over the band, as a loss. */
  readonly meanMismatchLoss_dB: number;
}

/**
 * Worst and mean match over a band.
 *
 * @throws UserError where the sweep does not cover the band.
 */
export function overBand(sweep: Sweep, from_MHz: number, to_MHz: number): BandResult {
  const f = sweep.frequency_MHz;
  if (!(from_MHz < to_MHz))
    throw userError('antenna.band', `The band runs from ${from_MHz} to ${to_MHz} MHz: its end lies above its start.`);
  if (!(f[0]! <= from_MHz && f[f.length - 1]! >= to_MHz))
    throw userError(
      'antenna.band',
      `The sweep runs from ${f[0]} to ${f[f.length - 1]} MHz and does not cover the band from ${from_MHz} to ${to_MHz} MHz: measure over all of it.`,
    );
  const at = [from_MHz, ...f.filter((x) => x > from_MHz && x < to_MHz), to_MHz];
  let worst = 0;
  let worstAt_MHz = from_MHz;
  let reflected = 0;
  let before = gammaAtFrequency(sweep, from_MHz);
  for (let i = 0; i < at.length; i++) {
    const gamma = gammaAtFrequency(sweep, at[i]!);
    if (gamma > worst) {
      worst = gamma;
      worstAt_MHz = at[i]!;
    }
    if (i > 0) reflected += 0.5 * (gamma * gamma + before * before) * (at[i]! - at[i - 1]!);
    before = gamma;
  }
  const meanShare = Math.min(reflected / (to_MHz - from_MHz), 1);
  return {
    from_MHz,
    to_MHz,
    worstVswr: vswr(worst),
    worstAt_MHz,
    worstMismatchLoss_dB: mismatchLoss_dB(worst),
    meanMismatchLoss_dB: mismatchLoss_dB(Math.sqrt(meanShare)),
  };
}
