/** Guesses of a file as what the simulation draws from, and their middle values. */

import { createRandom, normalQuantile, quantileOfSorted } from '../../core/math/index.ts';
import type { Uncertain } from '../../core/money/index.ts';
import { drawUncertain } from '../../core/money/index.ts';
import { userError } from '../../core/units/index.ts';
import type { CostFile, Guess } from '../../records/bench/cost.ts';

export function uncertainOf(guess: Guess): Uncertain {
  if (typeof guess === 'number') return guess;
  if ('low' in guess) return { kind: 'triangle', low: guess.low, mode: guess.likely, high: guess.high };
  if ('mean' in guess) return { kind: 'normal', ...guess };
  return { kind: 'values', values: guess.values };
}

/** Mean of a guess; of a triangle (low + likely + high)/3. */
export function meanOf(figure: Uncertain): number {
  if (typeof figure === 'number') return figure;
  switch (figure.kind) {
    case 'triangle':
      return (figure.low + figure.mode + figure.high) / 3;
    case 'values':
      return figure.values.reduce((sum, v) => sum + v, 0) / figure.values.length;
    default:
      return figure.mean;
  }
}

/** Mean of a function of a guess, over slices of equal chance: 2,000 are off by less than 1e-4 of it for smooth functions. */
export function meanOfShare(figure: Uncertain, of: (value: number) => number, slices = 2000): number {
  if (typeof figure === 'number') return of(figure);
  if (figure.kind === 'values') return figure.values.reduce((sum, v) => sum + of(v), 0) / figure.values.length;
  let sum = 0;
  for (let i = 0; i < slices; i++) sum += of(quantileOf(figure, (i + 0.5) / slices));
  return sum / slices;
}

function quantileOf(figure: Exclude<Uncertain, number>, chance: number): number {
  if (figure.kind === 'normal') return figure.mean + figure.sd * normalQuantile(chance);
  if (figure.kind !== 'triangle') throw new RangeError(`quantileOf: ${figure.kind}`);
  const { low, mode, high } = figure;
  if (high === low) return low;
  return chance < (mode - low) / (high - low)
    ? low + Math.sqrt(chance * (high - low) * (mode - low))
    : high - Math.sqrt((1 - chance) * (high - low) * (high - mode));
}

export interface Span {
  readonly low: number;
  readonly middle: number;
  readonly high: number;
}

/** The same guess of `by` times as much. */
export function scaled(figure: Uncertain, by: number): Uncertain {
  if (typeof figure === 'number') return figure * by;
  switch (figure.kind) {
    case 'triangle':
      return { kind: 'triangle', low: figure.low * by, mode: figure.mode * by, high: figure.high * by };
    case 'values':
      return { kind: 'values', values: figure.values.map((v) => v * by) };
    case 'normal':
      return { kind: 'normal', mean: figure.mean * by, sd: figure.sd * by };
    case 'poisson':
      return { kind: 'poisson', mean: figure.mean * by };
  }
}

/**
 * A sum that can be counted exactly, in whole minor units.
 *
 * @throws UserError beyond 2^53
 */
export function countable(minor: number): number {
  const whole = Math.round(minor);
  if (!Number.isSafeInteger(whole))
    throw userError(
      'money-large',
      'a sum of these assumptions is more than can be counted exactly: give smaller prices, quantities or fees',
    );
  return whole;
}

/** A seed made of what is asked (FNV-1a of its text, 31 bits): the same question draws the same, on every machine. */
export function seedOf(what: string | undefined, file: CostFile | null): number {
  let hash = 0x811c9dc5;
  for (const character of JSON.stringify([what ?? null, file]))
    hash = Math.imul(hash ^ character.codePointAt(0)!, 0x01000193);
  return hash >>> 1;
}

/** How often a figure is drawn. */
export const RUNS = 4000;

/** 5 %, 50 % and 95 % of what `of` makes of draws of the figures. */
export function spanOf(
  figures: readonly Uncertain[],
  of: (drawn: readonly number[]) => number,
  seed: number,
  runs: number = RUNS,
): Span {
  const random = createRandom(seed);
  const all = Float64Array.from({ length: runs }, () => of(figures.map((f) => drawUncertain(f, random)))).sort();
  const at = (p: number) => Math.round(quantileOfSorted(all, p));
  return { low: at(0.05), middle: at(0.5), high: at(0.95) };
}
