import { chiSquareQuantile, normalQuantile, normalShareBelow } from '../math/index.ts';

/** Limits of a measurement; one of them may be missing. */
export interface SpecLimits {
  readonly lower?: number | undefined;
  readonly upper?: number | undefined;
  /** Value aimed at; the middle of the limits when absent. */
  readonly target?: number | undefined;
}

export interface Capability {
  /** Width of the limits over six sigma; undefined with one limit. */
  readonly cp: number | undefined;
  /** Distance from the mean to the nearer limit over three sigma. */
  readonly cpk: number;
  /** To the upper, to the lower limit. */
  readonly cpu: number | undefined;
  readonly cpl: number | undefined;
  /** How far off centre: |middle - mean| over half the width. */
  readonly offCentre: number | undefined;
  /** Width over six times the spread about the target. */
  readonly cpm: number | undefined;
  /** Expected share outside the limits if the values follow the normal law. */
  readonly shareOutside: number;
}

/**
 * Capability of a process with a mean and a standard deviation (NIST/SEMATECH e-Handbook 6.1.6). With the short-term
 * sigma of a control chart these are Cp and Cpk; with the standard deviation of all values they are Pp and Ppk, what
 * was in fact delivered. They mean something only for a steady process near the normal law.
 */
export function capability(mean: number, sigma: number, limits: SpecLimits): Capability {
  const { lower, upper } = limits;
  if (!(sigma > 0)) throw new RangeError(`capability: sigma ${sigma}`);
  if (lower === undefined && upper === undefined) throw new RangeError('capability: no limit');
  if (lower !== undefined && upper !== undefined && !(upper > lower))
    throw new RangeError('capability: limits swapped');
  const cpu = upper === undefined ? undefined : (upper - mean) / (3 * sigma);
  const cpl = lower === undefined ? undefined : (mean - lower) / (3 * sigma);
  const both = lower !== undefined && upper !== undefined;
  const width = both ? upper - lower : Number.NaN;
  const middle = both ? 0.5 * (upper + lower) : Number.NaN;
  const target = limits.target ?? middle;
  return {
    cp: both ? width / (6 * sigma) : undefined,
    cpk: Math.min(cpu ?? Number.POSITIVE_INFINITY, cpl ?? Number.POSITIVE_INFINITY),
    cpu,
    cpl,
    offCentre: both ? Math.abs(middle - mean) / (width / 2) : undefined,
    cpm: both ? width / (6 * Math.hypot(sigma, mean - target)) : undefined,
    shareOutside:
      (cpl === undefined ? 0 : normalShareBelow(-3 * cpl)) + (cpu === undefined ? 0 : normalShareBelow(-3 * cpu)),
  };
}

/**
 * Two-sided interval on Cp or Pp from `count` values: chi-square with n - 1 degrees (e-Handbook 6.1.6); exact for the
 * normal law.
 */
export function cpInterval(cp: number, count: number, confidence = 0.95): { low: number; high: number } {
  if (!(count >= 2)) throw new RangeError(`cpInterval: ${count} values`);
  const tail = (1 - confidence) / 2;
  return {
    low: cp * Math.sqrt(chiSquareQuantile(tail, count - 1) / (count - 1)),
    high: cp * Math.sqrt(chiSquareQuantile(1 - tail, count - 1) / (count - 1)),
  };
}

/**
 * Two-sided interval on Cpk or Ppk: Cpk +- z sqrt(1/9n + Cpk²/(2(n-1))) (Bissell 1990; e-Handbook 6.1.6 after Zhang,
 * Stenback & Wardrop 1990). An approximation that wants some 25 values (judgement).
 */
export function cpkInterval(cpk: number, count: number, confidence = 0.95): { low: number; high: number } {
  const half = normalQuantile(0.5 + confidence / 2) * cpkError(cpk, count);
  return { low: cpk - half, high: cpk + half };
}

/** One-sided lower limit on Cpk: at least this with `confidence`. */
export function cpkLower(cpk: number, count: number, confidence = 0.95): number {
  return cpk - normalQuantile(confidence) * cpkError(cpk, count);
}

function cpkError(cpk: number, count: number): number {
  if (!(count >= 2)) throw new RangeError(`cpkInterval: ${count} values`);
  return Math.sqrt(1 / (9 * count) + (cpk * cpk) / (2 * (count - 1)));
}

/**
 * Limits drawn in by the expanded uncertainty of the measurement, so that what is accepted is surely inside (guard band
 * of ISO 14253-1; from memory). Undefined when nothing is left between them: such a meter cannot judge such limits.
 */
export function guardedLimits(limits: SpecLimits, uncertainty: number): SpecLimits | undefined {
  const lower = limits.lower === undefined ? undefined : limits.lower + uncertainty;
  const upper = limits.upper === undefined ? undefined : limits.upper - uncertainty;
  return lower !== undefined && upper !== undefined && lower > upper ? undefined : { ...limits, lower, upper };
}
