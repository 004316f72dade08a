import { describe, expect, it } from 'vitest';
import { fitFromStores, tickAndFit } from '../../../src/app/bench/fitting.ts';
import { quarantineLot } from '../../../src/app/bench/stores.ts';
import { problemsOf } from '../real-ports.ts';
import { emptyTestBench, type TestBench, testBench } from './bench.ts';

const serialsOf = (bench: TestBench) => bench.state.batches.get('a-07')!.serials;
const kinds = (entries: readonly { readonly content: { readonly kind: string } }[]) =>
  entries.map((e) => e.content.kind);

describe('a tick', () => {
  it('takes the parts of its step from the oldest lot, once', async () => {
    const bench = await testBench();
    const [one, two] = serialsOf(bench);
    const written = await bench.do((s) => tickAndFit(s, one!, { step: 'cells' }));
    expect(kinds(written)).toEqual(['part-fitted', 'step-ticked']);
    expect(written[0]!.content).toMatchObject({ part: 'cell', lot: 'cells-1', count: 3 });
    expect(bench.state.lots.get('cells-1')!.left).toBe(7);
    await bench.do((s) => fitFromStores(s, two!, { part: 'cell' }));
    expect(kinds(await bench.do((s) => tickAndFit(s, two!, { step: 'cells' })))).toEqual(['step-ticked']);
    expect(bench.state.lots.get('cells-1')!.left).toBe(4);
  });

  it('is refused where the lots hold too few or are kept back, and says the mend', async () => {
    const bench = await testBench();
    const [one] = serialsOf(bench);
    await bench.do((s) => quarantineLot(s, 'cells-1', 'two leaked'));
    const [problem] = await problemsOf(() => bench.do((s) => tickAndFit(s, one!, { step: 'cells' })));
    expect(problem).toMatchObject({ code: 'no-lot', field: 'step' });
    expect(problem!.message).toContain('no lot of cell or cell-b has 3 left that are not quarantined');
    expect(kinds(await bench.do((s) => tickAndFit(s, one!, { step: 'cells', partsLeft: true })))).toEqual([
      'step-ticked',
    ]);
  });

  it('passes over parts of which no lot was ever received', async () => {
    const stocked = await testBench();
    const bench = await emptyTestBench();
    // The same plan and batch, with nothing in the stores.
    for (const { stream, content } of stocked.entries)
      if (!stream.startsWith('lot:')) await bench.do(() => [{ stream, content }]);
    const [one] = serialsOf(bench);
    expect(kinds(await bench.do((s) => tickAndFit(s, one!, { step: 'cells' })))).toEqual(['step-ticked']);
  });
});
