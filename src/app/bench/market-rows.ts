/**
 * What selling a radio with a certified module and lithium cells asks for, by market. Dated facts, no advice: rules change, and
 * whether they hold for a product is for a test house or the authority to say. Each row tells whom it falls on, what shows that
 * it is done, its source, and how far that source was read (`seen`, `where`, `asOf`).
 */
import type { REGIONS } from '../../records/bench/index.ts';
import { EU_ROWS, UK_ROWS } from './market-rows-europe.ts';
import { AU_ROWS, IN_ROWS, JP_ROWS, NZ_ROWS, US_ROWS } from './market-rows-overseas.ts';

export type Region = (typeof REGIONS)[number];

/** How far the source of a row was read: it or a page that cites it; a part of what the row says; not at all. */
export type Seen = 'read' | 'partly read' | 'from memory';

export interface MarketRow {
  /** Key under which evidence is noted. */
  readonly paper: string;
  readonly name: string;
  /** What is to be had or done. */
  readonly wants: string;
  /** Whom it falls on. */
  readonly of: string;
  /** What shows that it is done. */
  readonly proof: string;
  /** Law and article. */
  readonly source: string;
  readonly seen: Seen;
  /** Public addresses where it was read; empty for a row from memory. */
  readonly where: readonly string[];
  /** Day on which it was read or written down. */
  readonly asOf: string;
  /** What was not read, or where sources disagree. */
  readonly doubt?: string;
  /** First day on which it is asked, where that is known; before it the row is told and not counted. */
  readonly from?: string;
}

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
