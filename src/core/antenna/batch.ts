import { quantile } from '../math/index.ts';
import { userError } from '../units/index.ts';
import { bestMatch, overBand } from './band.ts';
import { vswr } from './match.ts';
import { gammaAtFrequency, type Sweep } from './sweep.ts';

/** One antenna of a batch, summed up over the band. */
export interface SweepSummary {
  /** Place in the list that was given. */
  readonly index: number;
  readonly worstVswr: number;
  readonly worstAt_MHz: number;
  readonly meanMismatchLoss_dB: number;
  readonly bestAt_MHz: number;
  /** Modified z-scores: distance from the median of the batch over its robust spread; undefined with fewer than five sweeps. */
  readonly resonanceScore: number | undefined;
  readonly lossScore: number | undefined;
  readonly outlier: boolean;
}

/** Spread of the batch at one frequency. */
export interface SpreadPoint {
  readonly frequency_MHz: number;
  readonly lowVswr: number;
  readonly medianVswr: number;
  readonly highVswr: number;
}

export interface BatchComparison {
  readonly sweeps: readonly SweepSummary[];
  /** Index of the antenna with the highest standing-wave ratio in the band. */
  readonly worst: number;
  readonly outliers: readonly number[];
  readonly spread: readonly SpreadPoint[];
}

/** Above this a modified z-score marks an outlier (Iglewicz & Hoaglin 1993, How to Detect and Handle Outliers). */
export const OUTLIER_SCORE = 3.5;

/** Fewer sweeps than this have no robust spread worth the name (our choice). */
const FEWEST = 5;

/** Spreads below these are those of the measurement itself and make no outlier: 0.5 MHz, 0.02 dB (judgement). */
const LEAST_SPREAD = { resonance_MHz: 0.5, loss_dB: 0.02 };

/**
 * Compares the sweeps of a batch over one band: spread, worst and outliers.
 *
 * Outliers by the modified z-score 0.6745·(x - median)/MAD of the frequency of best match and of the mean mismatch loss, the
 * median absolute deviation held at the repeatability of the measurement. Each sweep must cover the band.
 *
 * @throws UserError with no sweep, or one that does not cover the band.
 */
export function compareSweeps(
  sweeps: readonly Sweep[],
  from_MHz: number,
  to_MHz: number,
  points = 41,
): BatchComparison {
  if (sweeps.length === 0) throw userError('antenna.batch', 'There is no sweep to compare: give at least one.');
  const bands = sweeps.map((sweep) => overBand(sweep, from_MHz, to_MHz));
  const resonance_MHz = sweeps.map((sweep) => bestMatch(sweep).frequency_MHz);
  const loss_dB = bands.map((band) => band.meanMismatchLoss_dB);
  const resonanceScores = robustScores(resonance_MHz, LEAST_SPREAD.resonance_MHz);
  const lossScores = robustScores(loss_dB, LEAST_SPREAD.loss_dB);
  const list = bands.map((band, index): SweepSummary => {
    const resonanceScore = resonanceScores?.[index];
    const lossScore = lossScores?.[index];
    return {
      index,
      worstVswr: band.worstVswr,
      worstAt_MHz: band.worstAt_MHz,
      meanMismatchLoss_dB: band.meanMismatchLoss_dB,
      bestAt_MHz: resonance_MHz[index]!,
      resonanceScore,
      lossScore,
      // An antenna that is better matched than the rest is none; one tuned elsewhere is, whatever its match.
      outlier: Math.abs(resonanceScore ?? 0) > OUTLIER_SCORE || (lossScore ?? 0) > OUTLIER_SCORE,
    };
  });
  let worst = 0;
  for (const one of list) if (one.worstVswr > list[worst]!.worstVswr) worst = one.index;
  const spread = Array.from({ length: points }, (_, i): SpreadPoint => {
    const frequency_MHz = i === points - 1 ? to_MHz : from_MHz + ((to_MHz - from_MHz) * i) / (points - 1);
    const ratios = sweeps.map((sweep) => gammaAtFrequency(sweep, frequency_MHz)).sort((a, b) => a - b);
    return {
      frequency_MHz,
      lowVswr: vswr(ratios[0]!),
      medianVswr: vswr(quantile(ratios, 0.5)),
      highVswr: vswr(ratios[ratios.length - 1]!),
    };
  });
  return { sweeps: list, worst, outliers: list.filter((one) => one.outlier).map((one) => one.index), spread };
}

/** Modified z-scores; undefined for a list too short for them. Values that are not finite score infinity. */
export function robustScores(values: readonly number[], leastSpread: number): number[] | undefined {
  if (values.length < FEWEST) return undefined;
  const median = quantile(values, 0.5);
  const mad = quantile(
    values.map((x) => Math.abs(x - median)),
    0.5,
  );
  return values.map((x) => (Number.isFinite(x) ? (0.6745 * (x - median)) / Math.max(mad, leastSpread) : x));
}
