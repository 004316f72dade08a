import type { Interval } from '../core/math/index.ts';
import { MONTH_NAMES } from '../core/units/index.ts';
import { type State, type Target, yearsNeeded } from './target.ts';

export { MONTH_NAMES as MONTHS };

/** `one in 54` for a small share. */
export function oneIn(share: number): string {
  return share >= 0.5 ? `${Math.round(share * 100)} %` : `one in ${Math.max(2, Math.floor(1 / share + 1e-9))}`;
}

/** Hours or days with sensible digits. */
export function spanText(hours: number): string {
  if (hours < 1) return `${hours.toPrecision(1)} h`;
  return hours < 48 ? `${Math.round(hours)} h` : `${(hours / 24).toFixed(hours < 240 ? 1 : 0)} days`;
}

/** A number with about three digits and a thin thousands separator. */
export function figure(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return '—';
  if (value === 0) return '0';
  const rounded = Number(value.toPrecision(digits));
  return Math.abs(rounded) >= 1000 ? Math.round(value).toLocaleString('en') : String(rounded);
}

/** The verdict in one sentence. */
export function verdictText(v: {
  readonly kit: string;
  readonly perch: string;
  readonly state: State;
  readonly target: Target;
  readonly years: number;
  readonly darkYears: number;
  readonly dark_h: Interval;
  readonly share: Interval;
  readonly worstMonth: number;
  readonly limitedBy?: string | undefined;
}): string {
  const head = `${v.kit} at ${v.perch} ${v.state === 'on the edge' ? 'is on the edge' : v.state}`;
  if (v.darkYears === 0) {
    const more = v.state === 'stays up' ? '' : `; ${yearsNeeded(v.target.share)} years can show ${v.target.text}`;
    return `${head}: no dark winter in ${v.years}; upper bound ${oneIn(v.share.high)} (95 %)${more}.`;
  }
  const winters = `${v.darkYears} dark winter${v.darkYears === 1 ? '' : 's'} in ${v.years}`;
  const hours = `${figure(v.dark_h.mean, 2)} dark hours a year (95 %: ${figure(v.dark_h.low, 2)} to ${figure(v.dark_h.high, 2)})`;
  const cause = v.limitedBy ? `, limited by ${v.limitedBy === 'shade' ? 'shade' : `the ${v.limitedBy}`}` : '';
  const bound = v.state === 'stays up' ? `; upper bound ${oneIn(v.share.high)}, within ${v.target.text}` : '';
  return `${head}: ${winters}, ${hours}, worst in ${MONTH_NAMES[v.worstMonth - 1]}${cause}${bound}.`;
}
