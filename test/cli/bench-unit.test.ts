import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { act, openBench } from '../../src/app/bench/act.ts';
import { openBatch, savePlan } from '../../src/app/bench/batches.ts';
import { registerStores } from '../../src/cli/commands/stores.ts';
import { registerUnit } from '../../src/cli/commands/unit.ts';
import { contentSchema } from '../../src/records/bench/index.ts';
import { openStore } from '../../src/store/index.ts';
import { PLAN } from '../app/bench/bench.ts';
import { inProcess } from './in-process.ts';

const folder = mkdtempSync(join(tmpdir(), 'bench-unit-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const workshop = join(folder, 'w.sunperch');
let serials: readonly string[] = [];

beforeAll(async () => {
  const now = () => '2030-01-31T12:00:00.000Z';
  const store = await openStore(workshop, { create: true, now });
  const bench = await openBench(store.bench);
  const signed = { by: 'M. Berg', at: now() };
  await act(bench, signed, (state) => savePlan(state, 'alder-3', PLAN));
  await act(bench, signed, (state) => openBatch(state, { key: 'a-07', plan: 'alder-3', count: 2, prefix: 'A07' }));
  const cell = { name: 'Cell', is: 'cell', measured: 'piece', offers: [], inspection: { level: 'II', aql_pct: 2.5 } };
  await act(bench, signed, () => [
    { stream: 'part:cell', content: contentSchema.parse({ kind: 'part-saved', ...cell }) },
  ]);
  serials = [...bench.state.units.keys()];
  await store.close();
});

const commands = inProcess(registerStores, registerUnit);
const run = async (...args: string[]) => (await commands.run(...args, '--workshop', workshop)).replace(/\s+/g, ' ');

describe('what the bench answers on the command line', () => {
  it('a draw names both letters where an arrow of the table leads to another', async () => {
    await run('stores', 'receive', 'cell', '--count', '42', '--supplier', 'one', '--goods', '100');
    // Source: ISO 2859-1 tables 1 and 2-A (the shared reference folder): 26 to 50 at level II is D; at 2.5 its arrow leads up to C, 5 pieces.
    expect(await run('stores', 'draw', 'cell-1')).toContain('Look at 5 of 42 (letter D, plan of letter C, normal)');
    await run('stores', 'found', 'cell-1');
  });

  it('a tick says what it took, and takes nothing where that is wished', async () => {
    expect(await run('unit', 'tick', serials[0]!, 'cells')).toMatch(/^Taken: 3 cell from cell-1\./);
    expect(await run('unit', 'tick', serials[1]!, 'cells', '--no-parts')).not.toContain('Taken');
  });

  it('a measurement says its verdict, and the mend where it did not pass', async () => {
    const measure = (value: string) => run('unit', 'measure', serials[0]!, 'sleep', value);
    expect(await measure('39')).toMatch(
      /^Sleep current: 39 µA, undecided: too close to the limit for this meter \(passes: at most 38 µA\); measure again/,
    );
    expect(await measure('22,5')).toMatch(/^Sleep current: 22\.5 µA, passed\./);
    expect(await measure('55')).toMatch(/^Sleep current: 55 µA, failed: wanted at most 38 µA\. .* is stopped/);
  });
});
