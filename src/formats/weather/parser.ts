import type { DailyFile, WeatherFile } from './types.ts';

/** Reads one format from batches of complete lines. */
export interface LineParser {
  /** Takes lines in order; `firstLine` is the number, from 1, of the first of them. */
  lines(lines: string[], firstLine: number): void;
  /** Checks, fills and hands over; throws a UserError with all problems. */
  end(): WeatherFile | DailyFile;
}
