/** Rows that several markets share. */
import type { MarketRow } from './market-row.ts';

const READ_ON = '2026-11-25';

type Facts = Omit<MarketRow, 'paper' | 'name' | 'asOf' | 'where' | 'seen'> & Partial<Pick<MarketRow, 'where' | 'seen'>>;

/** A row as of the day on which all were gone through; one without addresses is from memory. */
export const row = (paper: string, name: string, { where = [], seen, ...facts }: Facts): MarketRow => ({
  ...{ paper, name, ...facts },
  seen: seen ?? (where.length > 0 ? 'read' : 'from memory'),
  where,
  asOf: READ_ON,
});

/** Addresses of pages that were read, by what they tell. */
export const PAGES = {
  module15: 'https://www.manualshelf.com/manual/raffel-systems/mdlnrf24l0101/user-s-guide-english/page-2.html',
  hostGuide: 'https://www.manualshelf.com/manual/use/bta3x/specifications-english-french/page-33.html',
  testSummary: 'https://mol-logistics.de/en/transport-cells-or-batteries/',
} as const;

/** What the cells bring along wherever they go. */
export const CELLS = row('cell-transport-test', 'Test summary of the cells', {
  wants:
    'The summary of the transport tests (UN 38.3) of the cells, from their maker; passed on to whoever asks in the chain',
  of: 'maker of the cells, and each who sells them on',
  proof: 'the summary, with the number of the test report and the type printed on the cells',
  source: 'UN Manual of Tests and Criteria, 38.3.5; since 1 January 2020, for cells made after 30 June 2003',
  where: [PAGES.testSummary],
});

/** The approval of the module for a market. */
export const moduleRow = (facts: Partial<Facts> = {}): MarketRow =>
  row('module-grant', 'Approval of the module', {
    wants:
      'The certificate of the radio module for this market, and its integration guide: host, power, antennas, firmware',
    of: 'maker of the unit, from the maker of the module',
    proof: 'certificate and guide of the very type and hardware version that is fitted',
    source: 'common practice, no source',
    ...facts,
  });
