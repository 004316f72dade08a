/** How many to begin so that enough come out good. */
import type { Uncertain } from '../../core/money/index.ts';
import { chanceOfEnough, rolledYield } from '../../core/quality/index.ts';
import { userError } from '../../core/units/index.ts';
import { meanOf, meanOfShare } from './cost-guess.ts';

/** Slices of the yield over which the chance is averaged: known to a thousandth. */
const SLICES = 200;

const bounded = (share: number) => Math.min(1, Math.max(0.01, share));

/** Chance of at least `good` of `starts`, when the share that comes out good is itself only guessed. */
export const enoughChance = (starts: number, good: number, yieldShare: Uncertain): number =>
  meanOfShare(yieldShare, (y) => chanceOfEnough(starts, bounded(y), good), SLICES);

/** Fewest to begin so that `good` come out good with chance `sure`. */
export function surelyEnough(good: number, yieldShare: Uncertain, sure: number): number {
  if (good <= 0) return 0;
  let low = good;
  let high = good;
  while (enoughChance(high, good, yieldShare) < sure) high *= 2;
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (enoughChance(middle, good, yieldShare) >= sure) high = middle;
    else low = middle + 1;
  }
  return low;
}

export interface StartsOutcome {
  readonly command: 'cost starts';
  readonly verdict: string;
  readonly good: number;
  readonly sure: number;
  /** Share that comes out good: the product of the steps, or the mean of what is known. */
  readonly yieldShare: number;
  /** Steps that were told, and the yield of one step if all were alike; 1 and the yield itself otherwise. */
  readonly steps: number;
  readonly yieldOfStep: number;
  /** Begun so that so many come out good on average, and so that one can be sure of it. */
  readonly onAverage: number;
  readonly starts: number;
  /** Chance of enough with `starts`; and with the number asked about, null when none was. */
  readonly chance: number;
  readonly asked: { readonly starts: number; readonly chance: number } | null;
  readonly notes: readonly string[];
}

export interface StartsRequest {
  readonly good: number;
  readonly sure?: number | undefined;
  /** Shares that pass each step at the first try. */
  readonly yields?: readonly number[] | undefined;
  readonly starts?: number | undefined;
}

export function startsOutcome(known: Uncertain, request: StartsRequest): StartsOutcome {
  const { good, sure = 0.95, yields } = request;
  const figure: Uncertain = yields === undefined ? known : rolledYield(yields);
  const yieldShare = meanOf(figure);
  if (yieldShare < 0.01)
    throw userError(
      'starts-few-good',
      `of a hundred that are begun less than one comes out good (${(100 * yieldShare).toPrecision(2)} %): no number to begin follows; mend a step first`,
      { field: 'yields' },
    );
  const steps = yields?.length ?? 1;
  const starts = surelyEnough(good, figure, sure);
  const onAverage = Math.ceil(good / bounded(yieldShare) - 1e-9);
  const percent = (share: number) => `${Number((100 * share).toFixed(1))} %`;
  const asked =
    request.starts === undefined
      ? null
      : { starts: request.starts, chance: enoughChance(request.starts, good, figure) };
  const verdict = `Begin ${starts} to have ${good} good ones with a chance of ${percent(sure)}: ${percent(yieldShare)} come out good${asked === null ? '' : `; with ${asked.starts} the chance is ${percent(asked.chance)}`}.`;
  return {
    command: 'cost starts',
    verdict,
    good,
    sure,
    yieldShare,
    steps,
    yieldOfStep: yieldShare ** (1 / steps),
    onAverage,
    starts,
    chance: enoughChance(starts, good, figure),
    asked,
    notes: [
      'units are taken to fail independently of one another: a bad lot of parts fails many at once',
      ...(steps > 1 ? [`${steps} steps multiply: what fails one of them at the first try is not reworked`] : []),
      ...(typeof figure === 'number'
        ? []
        : ['the share itself is only guessed: the chance is the mean over its spread']),
    ],
  };
}
