/** Figures in pictures and sentences as the reader's country writes them. */
import { FIGURES, type Figures } from '../../report/index.ts';
import { formatFor } from './numbers.ts';
import type { Display } from './units.ts';

/** Our month's name, before or after the day as in the reader's country. */
function monthFirst(locale: string | undefined): boolean {
  const parts = new Intl.DateTimeFormat(locale, { day: 'numeric', month: 'short' }).formatToParts(0);
  return parts.findIndex((p) => p.type === 'month') < parts.findIndex((p) => p.type === 'day');
}

export function figuresFor(locale: string | undefined, display: Display): Figures {
  const { fixed, percent } = formatFor(locale);
  // Rounded as in our own figures: a half as the number is held, not as it is written.
  const rounded = (value: number, decimals: number, shown: number) => fixed(Number(value.toFixed(decimals)), shown);
  const first = monthFirst(locale);
  const metric = display.length === 'metric';
  return {
    number: (value, decimals = 0) => rounded(value, decimals, decimals),
    figures(value) {
      const size = Math.abs(value);
      if (!Number.isFinite(value)) return '–';
      if (size > 0 && size < 0.0005) return `${value < 0 ? '>-' : '<'}${fixed(0.001, 3)}`;
      const decimals = size === 0 || size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3;
      // No zeros at the end: as many decimals as the rounded number needs.
      const needed = (String(Number(value.toFixed(decimals))).split('.')[1] ?? '').length;
      return rounded(value, decimals, needed);
    },
    percent,
    day(day) {
      const [date = '', month = ''] = FIGURES.day(day).split(' ');
      return first ? `${month} ${date}` : `${date} ${month}`;
    },
    // Exact by definition: foot 0.3048 m, mile 1.609344 km.
    height: metric ? FIGURES.height : { symbol: 'ft', shown: (v) => v / 0.3048 },
    distance: metric ? FIGURES.distance : { symbol: 'mi', shown: (v) => v / 1.609344 },
  };
}
