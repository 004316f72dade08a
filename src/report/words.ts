/** Numbers and states in words. A number that is missing is told as a dash, never as `NaN`. */

import { MONTH_NAMES } from '../core/units/index.ts';

export { MONTH_NAMES };

/** Name of month 1..12, or a dash. */
export function monthName(month: number): string {
  return MONTH_NAMES[month - 1] ?? '–';
}

export function shortMonth(month: number): string {
  return monthName(month).slice(0, 3);
}

/** `day` counted from zero in a year without leap day, as `21 Jun`. */
export function dayName(day: number, monthStart: readonly number[]): string {
  const d = ((Math.round(day) % 365) + 365) % 365;
  let m = 0;
  while (m < 11 && d >= monthStart[m + 1]!) m++;
  return `${d - monthStart[m]! + 1} ${shortMonth(m + 1)}`;
}

/** Decimal number with a comma between thousands; a dash when it is not finite, a true minus sign. */
export function formatNumber(value: number, decimals = 0): string {
  if (!Number.isFinite(value)) return '–';
  if (Math.abs(value) >= 1e15) return value.toExponential(2).replace('-', '−');
  const [whole = '0', part] = Math.abs(value).toFixed(decimals).split('.');
  const text = whole.replace(/\B(?=(\d{3})+$)/g, ',') + (part === undefined ? '' : `.${part}`);
  return value < 0 && Number(`${whole}.${part ?? 0}`) !== 0 ? `−${text}` : text;
}

/** Number with about three figures, without zeros at its end: 1,234 / 56.8 / 7.7 / 0.123 / 0. */
export function formatFigures(value: number): string {
  const size = Math.abs(value);
  if (size > 0 && size < 0.0005) return value < 0 ? '>−0.001' : '<0.001';
  const text = formatNumber(value, size === 0 || size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/** A share 0..1 as per cent, with `<1 %` and `>99 %` so that rare is not told as never. */
export function percent(share: number, decimals = 0): string {
  if (!Number.isFinite(share)) return '–';
  const unit = 10 ** -decimals;
  if (share > 0 && share * 100 < unit / 2) return `<${formatNumber(unit, decimals)} %`;
  if (share < 1 && share * 100 > 100 - unit / 2) return `>${formatNumber(100 - unit, decimals)} %`;
  return `${formatNumber(share * 100, decimals)} %`;
}

/** Hours told as days when there are many. */
export function formatHours(hours: number): string {
  if (!Number.isFinite(hours)) return '–';
  if (hours < 72) return `${formatNumber(hours, hours < 10 && !Number.isInteger(hours) ? 1 : 0)} h`;
  return `${formatNumber(hours / 24, hours < 240 ? 1 : 0)} days`;
}

export interface Position {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}

/** `46.40° N 10.20° E`. */
export function formatPosition(
  { latitude_deg, longitude_deg }: Position,
  decimals = 2,
  figures: { number(value: number, decimals?: number): string } = { number: formatNumber },
): string {
  const part = (v: number, plus: string, minus: string) =>
    `${figures.number(Math.abs(v), decimals)}° ${v < 0 ? minus : plus}`;
  return `${part(latitude_deg, 'N', 'S')} ${part(longitude_deg, 'E', 'W')}`;
}
