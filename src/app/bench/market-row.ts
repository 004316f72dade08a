/** What a row of a market's checklist says. */
import type { REGIONS } from '../../records/bench/index.ts';

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
