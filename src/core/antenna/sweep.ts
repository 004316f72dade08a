import { type Problem, UserError } from '../units/index.ts';
import { gammaOfVswr, vswr } from './match.ts';

/**
 * Reflection of a one-port against frequency: the complex S11, relative to a real reference resistance.
 * Frequencies rise; all arrays have one length.
 */
export interface Sweep {
  readonly frequency_MHz: Float64Array;
  readonly re: Float64Array;
  readonly im: Float64Array;
  readonly reference_Ohm: number;
}

/**
 * Checks a sweep built by hand; a reader has checked its own already.
 *
 * @throws UserError `antenna.sweep…`.
 */
export function checkSweep(sweep: Sweep): void {
  const { frequency_MHz, re, im, reference_Ohm } = sweep;
  const n = frequency_MHz.length;
  const problems: Problem[] = [];
  const tell = (code: string, message: string) => problems.push({ code: `antenna.sweep.${code}`, message });
  if (n === 0) tell('empty', 'The sweep has no points.');
  if (re.length !== n || im.length !== n)
    tell('length', `The sweep has ${n} frequencies but ${re.length} real and ${im.length} imaginary parts.`);
  if (!(reference_Ohm > 0 && reference_Ohm < 1e6))
    tell('reference', `The reference resistance is ${reference_Ohm} Ω: it is positive, most often 50 Ω.`);
  for (let i = 0; i < n && problems.length === 0; i++) {
    const f = frequency_MHz[i]!;
    if (!(f >= 0 && f < 1e7)) tell('frequency', `Point ${i + 1}: the frequency is ${f} MHz.`);
    else if (i > 0 && !(f > frequency_MHz[i - 1]!))
      tell('order', `Point ${i + 1}: ${f} MHz follows ${frequency_MHz[i - 1]} MHz: frequencies must rise.`);
    else if (!(Number.isFinite(re[i]!) && Number.isFinite(im[i]!))) tell('value', `Point ${i + 1}: no number.`);
  }
  if (problems.length > 0) throw new UserError(problems);
}

/** |S11| at the i-th point. */
export function gammaAt(sweep: Sweep, i: number): number {
  return Math.hypot(sweep.re[i]!, sweep.im[i]!);
}

/**
 * |S11| at any frequency within the sweep; NaN outside. Between the points the standing-wave ratio runs in a straight line, as on
 * the plot that a user reads.
 *
 * That is a little on the safe side: a chord of S11 itself cuts its arc and comes out too well matched. Checked at a marker between
 * the points of a synthetic antenna (shared reference folder): 0.0005 of the ratio.
 */
export function gammaAtFrequency(sweep: Sweep, frequency_MHz: number): number {
  const f = sweep.frequency_MHz;
  const last = f.length - 1;
  if (!(frequency_MHz >= f[0]! && frequency_MHz <= f[last]!)) return Number.NaN;
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (f[middle]! <= frequency_MHz) low = middle;
    else high = middle;
  }
  if (frequency_MHz === f[low]) return gammaAt(sweep, low);
  if (frequency_MHz === f[high]) return gammaAt(sweep, high);
  const share = (frequency_MHz - f[low]!) / (f[high]! - f[low]!);
  return gammaOfVswr((1 - share) * vswr(gammaAt(sweep, low)) + share * vswr(gammaAt(sweep, high)));
}

/**
 * The same antenna as seen from a line of another resistance: Z = R(1+S)/(1-S), then S' = (Z-R')/(Z+R').
 * Exact; a perfect open stays one. Done without Z itself, so that S = 1 needs no infinity.
 */
export function renormalise(sweep: Sweep, reference_Ohm: number): Sweep {
  if (!(reference_Ohm > 0)) throw new RangeError(`renormalise: ${reference_Ohm} Ω`);
  const n = sweep.re.length;
  const re = new Float64Array(n);
  const im = new Float64Array(n);
  const old = sweep.reference_Ohm;
  for (let i = 0; i < n; i++) {
    const a = sweep.re[i]!;
    const b = sweep.im[i]!;
    // S' = (R(1+S) - R'(1-S)) / (R(1+S) + R'(1-S))
    const topRe = old * (1 + a) - reference_Ohm * (1 - a);
    const topIm = (old + reference_Ohm) * b;
    const lowRe = old * (1 + a) + reference_Ohm * (1 - a);
    const lowIm = (old - reference_Ohm) * b;
    const size = lowRe * lowRe + lowIm * lowIm;
    re[i] = (topRe * lowRe + topIm * lowIm) / size;
    im[i] = (topIm * lowRe - topRe * lowIm) / size;
  }
  return { frequency_MHz: sweep.frequency_MHz, re, im, reference_Ohm };
}
