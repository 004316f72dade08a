/** Preferred-number series of resistors for which dividers are sought. */
export type ResistorSeries = 'E24' | 'E96';

/** E24 by IEC 60063; eight of its values depart from the rounded geometric series, so they are listed. */
const E24: readonly number[] = [
  1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2,
  9.1,
];

/** E96 by IEC 60063: 10^(i/96) rounded to three digits, without exception. */
const E96: readonly number[] = Array.from({ length: 96 }, (_, i) => Math.round(100 * 10 ** (i / 96)) / 100);

/** The values of a series within one decade, 1 ≤ value < 10 (IEC 60063; checked on test/golden/charger-eseries.csv). */
export function seriesDecade(series: ResistorSeries): readonly number[] {
  return series === 'E24' ? E24 : E96;
}

/** All values of a series from `low_Ohm` to `high_Ohm`, rising, in ohms; free of rounding dust. */
export function seriesValues(series: ResistorSeries, low_Ohm: number, high_Ohm: number): number[] {
  if (!(low_Ohm > 0 && high_Ohm >= low_Ohm))
    throw new RangeError(`seriesValues: ${low_Ohm} to ${high_Ohm} Ω is no range`);
  const values: number[] = [];
  for (let decade = Math.floor(Math.log10(low_Ohm)) - 1; decade <= Math.log10(high_Ohm) + 1; decade++) {
    for (const base of seriesDecade(series)) {
      const value = Number(`${base}e${decade}`);
      if (value >= low_Ohm && value <= high_Ohm) values.push(value);
    }
  }
  return values;
}

/** The two values of a rising list that enclose `wanted` (one at its ends). */
export function neighbours(values: readonly number[], wanted: number): number[] {
  let low = 0;
  let high = values.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (values[middle]! < wanted) low = middle + 1;
    else high = middle;
  }
  return [values[low - 1], values[low]].filter((value) => value !== undefined);
}
