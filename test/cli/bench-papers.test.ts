import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { act, openBench } from '../../src/app/bench/act.ts';
import { openBatch, savePlan } from '../../src/app/bench/batches.ts';
import { placeOrder, reserveUnits } from '../../src/app/bench/leaving.ts';
import { saveRecords } from '../../src/app/workshop-save.ts';
import { registerBatch } from '../../src/cli/commands/batch.ts';
import { registerLabel } from '../../src/cli/commands/label.ts';
import { openStore } from '../../src/store/index.ts';
import { PLAN } from '../app/bench/bench.ts';
import { problemsOf } from '../app/real-ports.ts';
import { hasPoppler, textIn } from '../papers/tools.ts';
import { inProcess } from './in-process.ts';

/* The papers of the bench through the commands, in this process: what the market asks for with its evidence, and every PDF. */

const folder = mkdtempSync(join(tmpdir(), 'bench-papers-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const at = (name: string) => join(folder, name);
const workshop = at('w.sunperch');
let serial = '';

beforeAll(async () => {
  const now = () => '2030-01-31T12:00:00.000Z';
  const store = await openStore(workshop, { create: true, now });
  const text = readFileSync(new URL('../../examples/alder-3.yaml', import.meta.url), 'utf8');
  await saveRecords(store, { now }, [{ text, file: 'alder-3.yaml' }]);
  const bench = await openBench(store.bench);
  const signed = { by: 'M. Öz', at: now() };
  const maker = { name: 'Werkstatt Überholz', address: ['Große Straße 1'], contact: 'die Hüttenwarte' };
  await act(bench, signed, (state) => savePlan(state, 'alder-3', { ...PLAN, maker }));
  await act(bench, signed, (state) => openBatch(state, { key: 'a-07', plan: 'alder-3', count: 2, prefix: 'A07' }));
  [serial = ''] = bench.state.units.keys();
  await act(bench, signed, (state) =>
    placeOrder(state, 'hut', { customer: 'Hüttenwirtin', plan: 'alder-3', count: 1, region: 'EU' }),
  );
  await act(bench, signed, (state) => reserveUnits(state, 'hut', [serial]));
  await store.close();
});

const commands = inProcess(registerBatch, registerLabel);
const run = (...args: string[]) => commands.run(...args, '--workshop', workshop);
const json = (...args: string[]) => commands.json(...args, '--workshop', workshop);

describe('batch papers', () => {
  it('keeps a file for a row and gives it back years later, byte for byte', async () => {
    const report = Uint8Array.from({ length: 999 }, (_, i) => (i < 5 ? '%PDF-'.charCodeAt(i) : i % 256));
    writeFileSync(at('Prüfbericht 17.pdf'), report);
    const kept = await json(
      'batch',
      'papers',
      'a-07',
      '--row',
      'test-reports',
      '--evidence',
      at('Prüfbericht 17.pdf'),
      '--by',
      'K. Varn',
    );
    expect(kept.missing).not.toContain('test-reports');
    const row = kept.papers.find((p: { paper: string }) => p.paper === 'test-reports');
    expect(row).toMatchObject({ state: 'there', files: [{ name: 'Prüfbericht 17.pdf', by: 'K. Varn', bytes: 999 }] });
    expect(await run('batch', 'papers', 'a-07')).toMatch(
      new RegExp(`test-reports +there +Prüfbericht 17.pdf \\(${row.files[0].sha256.slice(0, 8)}\\)`),
    );
    const { written } = await json('batch', 'papers', 'a-07', '--out', at('evidence'));
    expect(written).toEqual([`${at('evidence')}/test-reports-Prüfbericht 17.pdf`]);
    expect(new Uint8Array(readFileSync(written[0]))).toEqual(report);
    const aside = await json(
      'batch',
      'papers',
      'a-07',
      '--row',
      'test-reports',
      '--set-aside',
      row.files[0].sha256.slice(0, 8),
      '--reason',
      'of another batch',
    );
    expect(aside.missing).toContain('test-reports');
  });

  it('tells the antenna against the limits, whom a row falls on and that a test house decides', async () => {
    const text = await run('batch', 'papers', 'a-07');
    expect(text).toMatch(/This batch: [\d.]+ dBi, as the kit tells/);
    expect(text.replace(/\s+/g, ' ')).toMatch(/Falls on: maker.* Shown by: /);
    expect(text.replace(/\s+/g, ' ')).toMatch(/ask a test house or your authority/);
  });

  it('tells options that want each other, and files that are none', async () => {
    const told = (...args: string[]) => problemsOf(() => run('batch', 'papers', 'a-07', ...args));
    expect(await told('--evidence', at('Prüfbericht 17.pdf'))).toMatchObject([{ code: 'option-alone' }]);
    expect(await told('--row', 'test-reports', '--set-aside', '12345678')).toMatchObject([{ code: 'option-alone' }]);
    expect(await told('--row', 'test-report', '--evidence', at('Prüfbericht 17.pdf'))).toMatchObject([
      { code: 'no-such-paper', message: expect.stringMatching(/did you mean test-reports/) },
    ]);
    expect(await told('--row', 'test-reports', '--evidence', at('none.pdf'))).toMatchObject([
      { code: 'file-unreadable' },
    ]);
    expect(await told('--row', 'test-reports', '--evidence', workshop)).toMatchObject([{ code: 'evidence-kind' }]);
  });
});

describe('label', () => {
  const layout = new URL('../../examples/bench/labels-a4-3x8.yaml', import.meta.url).pathname;
  const cases: readonly (readonly [string, readonly string[], RegExp])[] = [
    ['sheet', ['sheet', 'a-07', '--layout', layout], /A07-/],
    ['certificate', ['certificate', 'a-07'], /3 of 3 gates open: it must not be shipped/],
    ['card', ['card', 'alder-3', '--region', 'EU', '--paper', 'letter'], /Radio limits, EU.*Help: die Hüttenwarte/],
    [
      'carton',
      ['carton', 'alder-3', '--units', '6', '--charge', '45'],
      /UN3481.*above the 30 % that air transport recommends/,
    ],
    ['packing', ['packing', 'hut'], /1 piece for Hüttenwirtin/],
  ];
  it.each(cases)('%s writes a PDF that says what it is for', async (name, args, said) => {
    const out = at(`${name}.pdf`);
    const outcome = await json('label', ...args, '--out', out);
    expect(outcome).toMatchObject({ command: `label ${name}`, file: out });
    const bytes = new Uint8Array(readFileSync(out));
    expect(outcome.bytes).toBe(bytes.length);
    expect(new TextDecoder('latin1').decode(bytes.slice(0, 5))).toBe('%PDF-');
    if (hasPoppler) expect(textIn(bytes)).toMatch(said);
  });

  it('says where it was written, and writes nothing where it cannot', async () => {
    expect(await run('label', 'packing', 'hut', '--out', at('p.pdf'))).toContain(`Written: ${at('p.pdf')}`);
    expect(await problemsOf(() => run('label', 'packing', 'none', '--out', at('q.pdf')))).toMatchObject([
      { code: 'no-such-order' },
    ]);
    expect(existsSync(at('q.pdf'))).toBe(false);
    expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([]);
  });
});
