import { userError } from '../units/index.ts';
import { currencyDigits } from './currencies.ts';
import type { Rounding } from './decimal.ts';
import { decimalOf, divideRounded } from './decimal.ts';

/**
 * A sum of money: a whole number of the currency's smallest unit (cents). Within ±2^53: ninety thousand billion of
 * anything.
 */
export interface Amount {
  readonly minor: number;
  /** ISO 4217 code. */
  readonly currency: string;
}

/**
 * @throws UserError for a code that is not three capital letters, RangeError for a number that is not whole or too
 * large
 */
export function amount(minor: number, currency: string): Amount {
  if (!/^[A-Z]{3}$/.test(currency))
    throw userError(
      'money-currency',
      `currency is "${currency}": write its code of three capital letters, such as EUR.`,
      {
        field: 'currency',
      },
    );
  if (!Number.isSafeInteger(minor)) throw new RangeError(`amount: ${minor} is not a whole number of minor units`);
  // No minus nought: it would print as -0.00.
  return { minor: minor === 0 ? 0 : minor, currency };
}

/**
 * Amount of a decimal text such as `12.34` (a point, no thousands).
 *
 * @throws UserError when the text is no number, or has more places than the currency
 */
export function parseAmount(text: string, currency: string): Amount {
  const digits = currencyDigits(currency);
  const value = decimalOf(text.trim());
  if (value === undefined)
    throw userError('money-number', `"${text}" is no sum: write digits with a point, such as 12.34.`);
  if (value.places > digits)
    throw userError(
      'money-places',
      `"${text}" has ${value.places} decimal places: ${currency} has ${digits}; for parts of a cent give the price of 100 or 1,000 pieces.`,
    );
  const minor = value.units * 10n ** BigInt(digits - value.places);
  if (minor > BigInt(Number.MAX_SAFE_INTEGER) || minor < -BigInt(Number.MAX_SAFE_INTEGER))
    throw userError('money-large', `"${text}" is more than can be counted.`);
  return amount(Number(minor), currency);
}

/** `12.34`, without the currency. */
export function amountText({ minor, currency }: Amount): string {
  const digits = currencyDigits(currency);
  if (digits === 0) return String(minor);
  const text = String(Math.abs(minor)).padStart(digits + 1, '0');
  return `${minor < 0 ? '-' : ''}${text.slice(0, -digits)}.${text.slice(-digits)}`;
}

/** Sum of amounts of one currency; `currency` is that of an empty sum. */
export function sumAmounts(amounts: readonly Amount[], currency: string): Amount {
  let minor = 0;
  for (const a of amounts) {
    sameCurrency(a.currency, currency);
    minor += a.minor;
    if (!Number.isSafeInteger(minor)) throw new RangeError('sumAmounts: the sum is too large to be exact');
  }
  return amount(minor, currency);
}

export function addAmounts(a: Amount, b: Amount): Amount {
  return sumAmounts([a, b], a.currency);
}

export function subtractAmounts(a: Amount, b: Amount): Amount {
  return sumAmounts([a, { ...b, minor: -b.minor }], a.currency);
}

/**
 * An amount times a factor, rounded once. The factor is taken as the decimal that it prints as, so that 1.005 is 1.005
 * and not the binary number below it; the product is exact.
 */
export function scaleAmount({ minor, currency }: Amount, factor: number, rounding: Rounding = 'half-up'): Amount {
  const f = decimalOf(String(factor));
  if (f === undefined) throw new RangeError(`scaleAmount: factor ${factor}`);
  return amount(Number(divideRounded(BigInt(minor) * f.units, 10n ** BigInt(f.places), rounding)), currency);
}

/** So many per cent of an amount, rounded once; the percentage is taken as the decimal that it prints as. */
export function percentOf({ minor, currency }: Amount, pct: number, rounding: Rounding = 'half-up'): Amount {
  const p = decimalOf(String(pct));
  if (p === undefined) throw new RangeError(`percentOf: ${pct} %`);
  return amount(Number(divideRounded(BigInt(minor) * p.units, 100n * 10n ** BigInt(p.places), rounding)), currency);
}

/** An amount in another currency, at `rate` of the new one for one of the old. */
export function convertAmount(from: Amount, currency: string, rate: number, rounding: Rounding = 'half-up'): Amount {
  const f = decimalOf(String(rate));
  if (f === undefined || f.units <= 0n) throw new RangeError(`convertAmount: rate ${rate}`);
  const shift = currencyDigits(currency) - currencyDigits(from.currency);
  const above = BigInt(from.minor) * f.units * 10n ** BigInt(Math.max(0, shift));
  const below = 10n ** BigInt(f.places + Math.max(0, -shift));
  return amount(Number(divideRounded(above, below, rounding)), currency);
}

/**
 * Splits an amount by weights into parts that sum to it exactly: each part rounded down, and what is left given, one
 * unit each, to the largest remainders (Hamilton's method), the earlier part first among equals. Weights that are all
 * nought count as equal.
 */
export function spreadAmount({ minor, currency }: Amount, weights: readonly number[]): Amount[] {
  if (weights.length === 0) throw new RangeError('spreadAmount: nobody to give it to');
  if (weights.some((w) => !(w >= 0 && Number.isFinite(w)))) throw new RangeError(`spreadAmount: weights ${weights}`);
  const even = weights.every((w) => w === 0);
  const decimals = weights.map((w) => decimalOf(String(even ? 1 : w))!);
  const places = Math.max(...decimals.map((d) => d.places));
  const units = decimals.map((d) => d.units * 10n ** BigInt(places - d.places));
  const whole = units.reduce((sum, u) => sum + u, 0n);
  const size = BigInt(Math.abs(minor));
  const sign = minor < 0 ? -1 : 1;
  const parts = units.map((u) => (size * u) / whole);
  const rests = units.map((u, i) => ({ i, rest: (size * u) % whole }));
  let left = Number(size - parts.reduce((sum, p) => sum + p, 0n));
  rests.sort((a, b) => (a.rest === b.rest ? a.i - b.i : a.rest > b.rest ? -1 : 1));
  for (const { i } of rests) {
    if (left === 0) break;
    parts[i]! += 1n;
    left--;
  }
  return parts.map((p) => amount(sign * Number(p), currency));
}

function sameCurrency(found: string, wanted: string): void {
  if (found !== wanted)
    throw userError('money-mixed', `a sum in ${found} meets one in ${wanted}: convert it at a rate first.`);
}
