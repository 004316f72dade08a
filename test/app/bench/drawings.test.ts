// source: the issue "The bench", Steps: drawing or photo; its bytes are kept, and shown only as what they are
import { describe, expect, it } from 'vitest';
import { savePlan } from '../../../src/app/bench/batches.ts';
import { drawingIn, takeDrawing } from '../../../src/app/bench/drawings.ts';
import { emptyBench, fold } from '../../../src/app/bench/state.ts';
import { unitLook } from '../../../src/app/bench/unit-look.ts';
import { keptFileOf } from '../../../src/records/bench/index.ts';
import { PLAN, testBench } from './bench.ts';

const SIGNED = { by: 'M. Berg', at: '2030-01-31T12:00:00Z' };
const png = (last: number) => Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, last]);

describe('the drawing of a step', () => {
  it('is kept once, shown at the step of every unit, and gives way to a newer one', async () => {
    const bench = await testBench();
    const serial = bench.state.batches.get('a-07')!.serials[2]!;
    const step = () => unitLook(bench.state, serial).steps[0]!;
    const of = { plan: 'alder-3', step: 'cells', name: '../photos/cells.png' };
    expect(step().picture).toBeNull();
    const { drawing, again } = await takeDrawing(bench, SIGNED, of, png(1));
    expect(again).toBe(false);
    expect(step().picture).toEqual({ name: 'cells.png', type: 'image/png', bytes: 9, sha256: drawing.sha256 });
    expect((await takeDrawing(bench, SIGNED, of, png(1))).again).toBe(true);
    expect(bench.entries.filter((e) => e.content.kind === 'drawing-kept')).toHaveLength(1);
    expect(await bench.store.file(drawing.sha256)).toEqual(png(1));
    // A plan that is saved anew keeps its numbers and its drawings.
    await bench.do((s) => savePlan(s, 'alder-3', { ...PLAN, name: 'Alder 3b' }, 1));
    expect(bench.state.plans.get('alder-3')).toHaveLength(2);
    await takeDrawing(bench, SIGNED, of, png(2));
    expect(step().picture!.sha256).not.toBe(drawing.sha256);
    expect(() => drawingIn(bench.state, 'alder-3', 'cells', drawing.sha256)).toThrow('shows no file');
    const again2 = emptyBench();
    fold(again2, bench.entries);
    expect(again2).toEqual(bench.state);
    // Exports and checks of the workshop know the bytes by this.
    expect(bench.entries.flatMap((e) => keptFileOf(e.content)?.sha256 ?? [])).toHaveLength(2);
  });

  it('is none of what could run in a page, whatever its name says, and of no step that is not there', async () => {
    const bench = await testBench();
    const take = (text: string | Uint8Array, name: string, step = 'cells') =>
      takeDrawing(
        bench,
        SIGNED,
        { plan: 'alder-3', step, name },
        typeof text === 'string' ? new TextEncoder().encode(text) : text,
      );
    await expect(take('<svg onload="alert(1)"/>', 'a.png')).rejects.toThrow('a JPEG, a PNG or a PDF is shown');
    await expect(take('', 'a.png')).rejects.toThrow('empty');
    await expect(take(png(1), 'a.png', 'cels')).rejects.toThrow('did you mean cells');
    expect(await bench.store.files()).toEqual([]);
  });
});
