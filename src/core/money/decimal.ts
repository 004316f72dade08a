/** How a half is rounded: away from zero, or to the even neighbour (IEEE 754-2019, 4.3.1-4.3.2). */
export type Rounding = 'half-up' | 'half-even';

/** A decimal number, exactly: `units` / 10^`places`. */
export interface Decimal {
  readonly units: bigint;
  readonly places: number;
}

/** The decimal that a text means (also `1e-7`, as numbers print); undefined when it is none. */
export function decimalOf(text: string): Decimal | undefined {
  const found = /^([+-]?)(\d+)(?:\.(\d+))?(?:e([+-]?\d{1,3}))?$/.exec(text);
  if (found === null) return undefined;
  const [, sign, whole, part = '', power = '0'] = found;
  const units = BigInt(whole! + part) * (sign === '-' ? -1n : 1n);
  const places = part.length - Number(power);
  return places >= 0 ? { units, places } : { units: units * 10n ** BigInt(-places), places: 0 };
}

/** above / below to a whole number. */
export function divideRounded(above: bigint, below: bigint, rounding: Rounding): bigint {
  if (below <= 0n) throw new RangeError('divideRounded: divide by a positive number');
  const size = above < 0n ? -above : above;
  const whole = size / below;
  const twice = 2n * (size % below);
  const up = twice > below || (twice === below && (rounding === 'half-up' || whole % 2n === 1n));
  const rounded = whole + (up ? 1n : 0n);
  return above < 0n ? -rounded : rounded;
}

/** A decimal text rounded to `digits` places, as text. */
export function roundDecimal(text: string, digits: number, rounding: Rounding): string {
  const value = decimalOf(text);
  if (value === undefined) throw new RangeError(`roundDecimal: ${text}`);
  const shift = digits - value.places;
  const units =
    shift >= 0 ? value.units * 10n ** BigInt(shift) : divideRounded(value.units, 10n ** BigInt(-shift), rounding);
  const size = (units < 0n ? -units : units).toString().padStart(digits + 1, '0');
  const body = digits === 0 ? size : `${size.slice(0, -digits)}.${size.slice(-digits)}`;
  return units < 0n ? `-${body}` : body;
}
