/** The papers of a batch's market, with the evidence noted for each and what is missing. */
import { userError } from '../../core/units/index.ts';
import type { ContentOf } from '../../records/bench/index.ts';
import { nearestWord } from '../../records/index.ts';
import type { Deed } from './act.ts';
import { type AntennaCheck, antennaCheck } from './antenna-check.ts';
import { notePaper } from './batches.ts';
import { batchIn } from './find.ts';
import type { PlanKit } from './kit-of-plan.ts';
import type { MarketRow } from './market-row.ts';
import { MARKET_ROWS, MARKET_ROWS_READ } from './market-rows.ts';
import { type BenchState, type KeptEvidence, planOfBatch } from './state.ts';

type PaperState = ContentOf<'paper-noted'>['state'];
const STATES: readonly PaperState[] = ['there', 'asked for', 'not needed', 'missing'];

export interface PaperRow extends MarketRow {
  readonly state: PaperState;
  /** False before the first day on which it is asked: told, not counted as missing. */
  readonly asked: boolean;
  readonly evidence: string | null;
  readonly by: string | null;
  readonly at: string | null;
  /** Files that are kept for it, those set aside too. */
  readonly files: readonly KeptEvidence[];
}

export interface BatchPapersOutcome {
  readonly command: 'batch papers';
  readonly verdict: string;
  readonly batch: string;
  readonly region: string;
  /** Day on which the table of rules was put together. */
  readonly read: string;
  /** Day that the dates of the rows were held against. */
  readonly day: string;
  readonly papers: readonly PaperRow[];
  /** Keys of those that are missing or asked for. */
  readonly missing: readonly string[];
  readonly antenna: AntennaCheck;
  readonly notes: readonly string[];
}

/** After so many days the table is told to be old (judgement: rules of this kind change about twice a year). */
const OLD_d = 180;

/**
 * @param day of the look, ISO 8601: dates of the rows are held against it
 * @param found kit that the plan of the batch builds, where the workshop holds it
 */
export function batchPapers(
  state: BenchState,
  key: string,
  { day, found }: { readonly day: string; readonly found?: PlanKit | undefined },
): BatchPapersOutcome {
  const batch = batchIn(state, key);
  const papers = MARKET_ROWS[batch.region].map((row): PaperRow => {
    const noted = batch.papers.get(row.paper);
    const { state: now = 'missing', evidence = null, by = null, at = null } = noted ?? {};
    const asked = row.from === undefined || row.from <= day;
    return { ...row, state: now, asked, evidence, by, at, files: batch.evidence.get(row.paper) ?? [] };
  });
  const open = papers.filter((p) => p.asked && (p.state === 'missing' || p.state === 'asked for'));
  const ahead = papers.filter((p) => !p.asked && p.state !== 'there' && p.state !== 'not needed');
  const unproved = papers.filter(
    (p) => p.state === 'there' && p.evidence === null && !p.files.some((file) => file.setAside === null),
  ).length;
  const antenna = antennaCheck(state, planOfBatch(state, batch), batch.region, found?.kit);
  const verdict =
    open.length === 0
      ? `${batch.name}: every paper for ${batch.region} is there or not needed.`
      : `${batch.name}: ${open.length} of ${papers.length} papers for ${batch.region} ${open.length === 1 ? 'is' : 'are'} missing: ${open.map((p) => inSentence(p.name)).join(', ')}.`;
  return {
    command: 'batch papers',
    verdict,
    batch: key,
    region: batch.region,
    read: MARKET_ROWS_READ,
    day,
    papers,
    missing: open.map((p) => p.paper),
    antenna,
    notes: [
      `rules as known on ${MARKET_ROWS_READ}, each row with how far its source was read; they are facts of a list, no advice: ask a test house or your authority what holds for this product`,
      ...ahead.map((p) => `${inSentence(p.name)}: asked from ${p.from}`),
      ...(daysBetween(MARKET_ROWS_READ, day) > OLD_d
        ? [`the list is older than ${OLD_d} days: look each row up again before you rely on it`]
        : []),
      ...(antenna.withinGrant === false || antenna.withinLimits === false ? [antenna.said] : []),
      ...(unproved > 0
        ? [`${unproved} noted as there without evidence: attach a file, or name the number of a report`]
        : []),
    ],
  };
}

/** A name within a sentence: its first letter small, unless it is an abbreviation. */
const inSentence = (name: string) => (/^\p{Lu}\p{Lu}/u.test(name) ? name : name[0]!.toLowerCase() + name.slice(1));

const daysBetween = (from: string, to: string): number => (Date.parse(to) - Date.parse(from)) / 86_400_000;

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

/** Throws UserError where the market of the batch has no such row. */
export function checkRow(state: BenchState, key: string, paper: string): void {
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
