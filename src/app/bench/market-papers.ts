/** The papers of a batch's market, with the evidence noted for each and what is missing. */
import { userError } from '../../core/units/index.ts';
import type { ContentOf } from '../../records/bench/index.ts';
import { nearestWord } from '../../records/index.ts';
import type { Deed } from './act.ts';
import { notePaper } from './batches.ts';
import { batchIn } from './find.ts';
import { MARKET_ROWS, MARKET_ROWS_READ, type MarketRow } from './market-rows.ts';
import type { BenchState } from './state.ts';

type PaperState = ContentOf<'paper-noted'>['state'];
const STATES: readonly PaperState[] = ['there', 'asked for', 'not needed', 'missing'];

export interface PaperRow extends MarketRow {
  readonly state: PaperState;
  readonly evidence: string | null;
  readonly by: string | null;
  readonly at: string | null;
}

export interface BatchPapersOutcome {
  readonly command: 'batch papers';
  readonly verdict: string;
  readonly batch: string;
  readonly region: string;
  /** Day on which the table of rules was put together. */
  readonly read: string;
  readonly papers: readonly PaperRow[];
  /** Keys of those that are missing or asked for. */
  readonly missing: readonly string[];
  readonly notes: readonly string[];
}

export function batchPapers(state: BenchState, key: string): BatchPapersOutcome {
  const batch = batchIn(state, key);
  const papers = MARKET_ROWS[batch.region].map((row): PaperRow => {
    const noted = batch.papers.get(row.paper);
    const { state: now = 'missing', evidence = null, by = null, at = null } = noted ?? {};
    return { ...row, state: now, evidence, by, at };
  });
  const open = papers.filter((p) => p.state === 'missing' || p.state === 'asked for');
  const unproved = papers.filter((p) => p.state === 'there' && p.evidence === null).length;
  const verdict =
    open.length === 0
      ? `${batch.name}: every paper for ${batch.region} is there or not needed.`
      : `${batch.name}: ${open.length} of ${papers.length} papers for ${batch.region} ${open.length === 1 ? 'is' : 'are'} missing: ${open.map((p) => p.name.toLowerCase()).join(', ')}.`;
  return {
    command: 'batch papers',
    verdict,
    batch: key,
    region: batch.region,
    read: MARKET_ROWS_READ,
    papers,
    missing: open.map((p) => p.paper),
    notes: [
      `rules as known on ${MARKET_ROWS_READ}; rows from memory were not looked up: ask a test house what holds for this product`,
      ...(unproved > 0 ? [`${unproved} noted as there without evidence: name a file or the number of a report`] : []),
    ],
  };
}

/** Notes evidence for a row of the batch's market. */
export function noteMarketPaper(
  state: BenchState,
  key: string,
  {
    paper,
    state: now,
    evidence,
  }: { readonly paper: string; readonly state: PaperState; readonly evidence?: string | undefined },
): Deed[] {
  checkRow(state, key, paper);
  const proof = evidence?.trim();
  return notePaper(state, key, { paper, state: now, ...(proof ? { evidence: proof } : {}) });
}

function checkRow(state: BenchState, key: string, paper: string): void {
  const known = MARKET_ROWS[batchIn(state, key).region].map((row) => row.paper);
  if (known.includes(paper)) return;
  const near = nearestWord(paper, known);
  throw userError(
    'no-such-paper',
    `there is no paper ${paper} for this market: ${near === undefined ? `there are ${known.join(', ')}` : `did you mean ${near}?`}`,
    { field: 'note' },
  );
}

/** Notes evidence for a row; `text` is ROW=STATE or ROW=STATE:EVIDENCE. */
export function notePaperText(state: BenchState, key: string, text: string): Deed[] {
  const [, paper = '', word = '', evidence] = /^([^=]+)=([^:]+)(?::(.*))?$/s.exec(text) ?? [];
  checkRow(state, key, paper.trim() || text);
  const found = STATES.find((s) => s === word.trim());
  if (found === undefined)
    throw userError(
      'paper-state',
      `${word.trim()} is no state of a paper: write ${STATES.join(', ')}, such as ${paper.trim()}=there:report-17.pdf`,
      { field: 'note' },
    );
  return noteMarketPaper(state, key, { paper: paper.trim(), state: found, evidence });
}
