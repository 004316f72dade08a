/** Decimal figures taken relative to the first of them, so that nothing is lost where a small spread sits on a large value. */

export interface ShiftedNumbers {
  /** The first value. */
  readonly base: number;
  /** What each value adds to it: the difference of the figures as they are written, rounded once. */
  readonly offsets: Float64Array;
}

const FIGURE = /^([+-]?)(\d*)(?:[.,](\d*))?(?:e([+-]?\d{1,2}))?$/i;

/**
 * Reads figures such as `10000000.2` (decimal point or comma, exponent of two digits at most). As doubles 10000000.2 and 10000000.1
 * differ by 0.09999999962747097; as figures by 0.1. Returns undefined where a text is no figure or has an exponent out of proportion.
 */
export function shiftedNumbers(texts: readonly string[]): ShiftedNumbers | undefined {
  const parts: { digits: bigint; power: number }[] = [];
  for (const text of texts) {
    const found = FIGURE.exec(text.trim());
    if (found === null || `${found[2]}${found[3] ?? ''}` === '') return undefined;
    const [, sign, whole = '', rest = '', exponent = '0'] = found;
    const digits = BigInt(`${whole}${rest}`);
    parts.push({ digits: sign === '-' ? -digits : digits, power: Number(exponent) - rest.length });
  }
  if (parts.length === 0) return undefined;
  const least = Math.min(...parts.map((p) => p.power));
  if (Math.max(...parts.map((p) => p.power)) - least > 200) return undefined;
  const scaled = parts.map((p) => p.digits * 10n ** BigInt(p.power - least));
  const first = scaled[0]!;
  // A text is turned into the nearest double by the language itself, so each difference is rounded once.
  const numberOf = (digits: bigint) => Number(`${digits}e${least}`);
  return { base: numberOf(first), offsets: Float64Array.from(scaled, (digits) => numberOf(digits - first)) };
}
