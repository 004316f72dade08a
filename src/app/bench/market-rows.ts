/**
 * What selling a radio with a certified module and lithium cells asks for, by market. Dated facts, no advice: rules change, and
 * whether they hold for a product is for a test house or the authority to say. Each row tells whom it falls on, what shows that
 * it is done, its source, and how far that source was read (`seen`, `where`, `asOf`).
 */
import type { MarketRow, Region } from './market-row.ts';
import { EU_ROWS, UK_ROWS } from './market-rows-europe.ts';
import { AU_ROWS, IN_ROWS, JP_ROWS, NZ_ROWS, US_ROWS } from './market-rows-overseas.ts';

export const MARKET_ROWS: Readonly<Record<Region, readonly MarketRow[]>> = {
  US: US_ROWS,
  EU: EU_ROWS,
  UK: UK_ROWS,
  AU: AU_ROWS,
  NZ: NZ_ROWS,
  JP: JP_ROWS,
  IN: IN_ROWS,
};

/** Day on which the table was last gone through. */
export const MARKET_ROWS_READ = '2026-11-25';
