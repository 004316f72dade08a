import { quantile, studentQuantile } from '../math/index.ts';
import { userError } from '../units/index.ts';

/** A figure from repeated readings: the mean, with a 95 % interval when there are two or more. */
export interface Measured {
  readonly value: number;
  readonly low: number;
  readonly high: number;
  /** Readings that it rests on. */
  readonly count: number;
}

/**
 * Mean of repeated readings with Student's 95 % interval, never narrower than `resolution` to each side: what a single
 * reading can be off by, because the truth lies somewhere between two samples. One reading has that width alone.
 */
export function repeated(readings: readonly number[], resolution: number): Measured {
  const count = readings.length;
  const value = readings.reduce((sum, r) => sum + r, 0) / count;
  const variance = readings.reduce((sum, r) => sum + (r - value) ** 2, 0) / Math.max(1, count - 1);
  const half = count < 2 ? 0 : studentQuantile(0.975, count - 1) * Math.sqrt(variance / count);
  const width = Math.max(half, resolution);
  return { value, low: value - width, high: value + width, count };
}

/** Value in the middle. */
export function median(values: ArrayLike<number>): number {
  return quantile(values, 0.5);
}

/**
 * Checks the columns of a log: equal lengths, two samples or more, numbers only, time not backwards.
 *
 * @throws UserError with the row (counted from 1, without a title row)
 */
export function checkColumns(time_s: Float64Array, columns: Readonly<Record<string, Float64Array>>): void {
  const n = time_s.length;
  if (n < 2) throw userError('log-short', `the log has ${n} rows: it takes two or more.`);
  for (const [name, values] of Object.entries(columns)) {
    if (values.length !== n) throw new RangeError(`${name} has ${values.length} values, time_s ${n}`);
    const bad = values.findIndex((v) => !Number.isFinite(v));
    if (bad >= 0) throw userError('log-number', `row ${bad + 1}: ${name} is no number.`, { field: name });
  }
  for (let i = 0; i < n; i++) {
    if (!Number.isFinite(time_s[i])) throw userError('log-number', `row ${i + 1}: the time is no number.`);
    if (i > 0 && time_s[i]! < time_s[i - 1]!)
      throw userError(
        'log-order',
        `row ${i + 1}: the time goes back by ${time_s[i - 1]! - time_s[i]!} s; sort the rows by time.`,
      );
  }
  if (!(time_s[n - 1]! > time_s[0]!)) throw userError('log-no-time', 'all rows have the same time.');
}
