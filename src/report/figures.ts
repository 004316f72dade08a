/** How numbers, days and measures are written in pictures and sentences: our way by default, the reader's own in the pages. */

import { MONTH_START } from '../core/units/index.ts';
import { dayName, formatFigures, formatNumber, percent } from './words.ts';

/** A measure as it is shown; values come in SI. */
export interface Measure {
  readonly symbol: string;
  shown(value: number): number;
}

export interface Figures {
  /** A fixed number of decimals, none when left out. */
  number(value: number, decimals?: number): string;
  /** About three figures, without zeros at the end. */
  figures(value: number): string;
  /** A share 0..1 in per cent. */
  percent(share: number, decimals?: number): string;
  /** Day of a year without leap day, counted from zero. */
  day(day: number): string;
  /** Heights, from m. */
  readonly height: Measure;
  /** Distances, from km. */
  readonly distance: Measure;
}

/** Our own way: point and comma, `21 Jun`, SI. Command-line pictures use it, so that they are the same everywhere. */
export const FIGURES: Figures = {
  number: formatNumber,
  figures: formatFigures,
  percent,
  day: (day) => dayName(day, MONTH_START),
  height: { symbol: 'm', shown: (v) => v },
  distance: { symbol: 'km', shown: (v) => v },
};
