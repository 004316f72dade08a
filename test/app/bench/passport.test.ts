// source: the issue "The bench": the passport page holds only what the maker chose; keys never reach it
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { openBatch, savePlan } from '../../../src/app/bench/batches.ts';
import { placeOrder, shipUnit } from '../../../src/app/bench/leaving.ts';
import { passportOf, publishPassport } from '../../../src/app/bench/passport.ts';
import { savePart } from '../../../src/app/bench/stores.ts';
import { fitPart, keepSecret, measureGate, noteMeasured, overrideGate } from '../../../src/app/bench/units.ts';
import { PASSPORT_PARTS } from '../../../src/records/bench/index.ts';
import { passportPage } from '../../../src/report/index.ts';
import { checkPage } from '../../report/check-page.ts';
import { PLAN, testBench } from './bench.ts';

/** Words that stand nowhere else: each in a place that must not be published. */
const HIDDEN = {
  key: 'Zq4-key-value',
  keyName: 'zz-key-name',
  customer: 'Zz Customer <b>& Co</b>',
  person: 'M. at the bench',
  named: 'Zz Answerer',
  reason: 'zz-reason',
  instrument: 'zz-meter of Zz Person',
  note: 'zz-note',
  settings: 'psk=zz-settings-key',
  how: 'zz-how',
  order: 'zz-order',
  carrier: 'zz-carrier',
};

const HOSTILE = '"><script>alert(1)</script><img src=x onerror=alert(2)>';

async function shippedUnit() {
  const bench = await testBench();
  const settings = { key: 'set', name: 'Settings <i>', measures: 'settings' as const, required: true };
  await bench.do((state) =>
    savePlan(state, 'alder-4', { ...PLAN, name: 'Alder <4>', gates: [...PLAN.gates, settings] }),
  );
  await bench.do((state) => openBatch(state, { key: 'a-08', plan: 'alder-4', count: 2, prefix: 'A08' }));
  const serial = bench.state.batches.get('a-08')!.serials[0]!;
  const { instrument, note, how } = HIDDEN;
  const { kind: _, key: _k, number: _n, savedAt: _s, ...cell } = bench.state.parts.get('cell')!;
  await bench.do((state) => savePart(state, 'cell', { ...cell, name: HOSTILE }));
  await bench.do((state) => fitPart(state, serial, { part: 'cell', lot: 'cells-1' }));
  await bench.do((state) => measureGate(state, serial, { gate: 'sleep', value: 22.5, instrument, note }));
  await bench.do((state) => measureGate(state, serial, { gate: 'spray', value: true, instrument, note }));
  await bench.do((state) => measureGate(state, serial, { gate: 'set', value: HIDDEN.settings }));
  await bench.do((state) =>
    overrideGate(state, serial, { gate: 'ceiling', name: HIDDEN.named, reason: HIDDEN.reason }),
  );
  await bench.do((state) => noteMeasured(state, serial, { field: 'sleepCurrent_uA', value: 22.5, how }));
  await bench.do((state) => keepSecret(state, serial, HIDDEN.keyName, HIDDEN.key));
  await bench.do((state) =>
    placeOrder(state, HIDDEN.order, { customer: HIDDEN.customer, plan: 'alder-4', count: 1, region: 'EU' }),
  );
  await bench.do((state) => shipUnit(state, serial, { order: HIDDEN.order, carrier: HIDDEN.carrier }));
  return { bench, serial };
}

describe('the passport of a unit', () => {
  it('holds no key, customer, person or remark, whatever is chosen, and only what is chosen', async () => {
    const { bench, serial } = await shippedUnit();
    // Each hidden word must be in the records, or its absence from the page would say nothing.
    const kept = JSON.stringify(bench.entries);
    for (const word of Object.values(HIDDEN)) expect(kept).toContain(word);
    fc.assert(
      fc.property(fc.subarray([...PASSPORT_PARTS]), (show) => {
        const page = passportPage(passportOf(bench.state, serial, show, '2030-02-01'));
        for (const word of Object.values(HIDDEN)) expect(page.includes(word)).toBe(false);
        for (const word of ['Zz Customer', 'zz-']) expect(page.includes(word)).toBe(false);
        expect(PASSPORT_PARTS.filter((part) => page.includes(`<h2 id="${part}">`)).sort()).toEqual([...show].sort());
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  it('says what was tested, escapes every text, and fetches nothing', async () => {
    const { bench, serial } = await shippedUnit();
    const page = passportPage(passportOf(bench.state, serial, PASSPORT_PARTS, '2030-02-01'));
    expect(page).toContain(`Alder &lt;4&gt;, unit ${serial}, passed 3 of 4 gates and left its maker on 2030-01-31.`);
    expect(page).toContain('22.5 µA');
    expect(page).toContain('let past by its maker');
    expect(page).toContain('Settings &lt;i&gt;');
    expect(page).toContain('cells-1');
    expect(page).not.toMatch(/<script|<link|<img|https?:|url\(/i);
    expect(page).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
    checkPage(page);
  });

  it('keeps what was chosen last', async () => {
    const { bench, serial } = await shippedUnit();
    await bench.do((state) => publishPassport(state, serial, ['kit', 'gates', 'kit']));
    expect(bench.state.units.get(serial)!.shows).toEqual(['kit', 'gates']);
    await bench.do((state) => publishPassport(state, serial.toLowerCase(), []));
    expect(bench.state.units.get(serial)!.shows).toEqual([]);
  });
});
