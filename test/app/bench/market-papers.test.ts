import { expect, it } from 'vitest';
import { batchPapers, notePaperText } from '../../../src/app/bench/market-papers.ts';
import { MARKET_ROWS } from '../../../src/app/bench/market-rows.ts';
import { REGIONS } from '../../../src/records/bench/index.ts';
import { testBench } from './bench.ts';

it('every market has rows under keys of their own, each with its source', () => {
  for (const region of REGIONS) {
    const rows = MARKET_ROWS[region];
    expect(new Set(rows.map((r) => r.paper)).size).toBe(rows.length);
    expect(rows.every((r) => r.source !== '' && r.wants !== '')).toBe(true);
  }
});

it('a batch lists what is missing until evidence is noted', async () => {
  const bench = await testBench();
  const before = batchPapers(bench.state, 'a-07');
  expect(before.missing).toHaveLength(before.papers.length);
  await bench.do((s) => notePaperText(s, 'a-07', 'declaration=there:DoC-3.pdf: signed'));
  const after = batchPapers(bench.state, 'a-07');
  expect(after.missing).not.toContain('declaration');
  expect(after.papers.find((p) => p.paper === 'declaration')).toMatchObject({
    state: 'there',
    evidence: 'DoC-3.pdf: signed',
  });
  await bench.do((s) => notePaperText(s, 'a-07', 'declaration=asked for'));
  expect(batchPapers(bench.state, 'a-07').missing).toContain('declaration');
  expect(() => notePaperText(bench.state, 'a-07', 'declaraton=there')).toThrow(/did you mean declaration/);
  expect(() => notePaperText(bench.state, 'a-07', 'declaration=done')).toThrow(/no state/);
});
