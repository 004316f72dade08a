import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dataMessage, readDataMessage } from '../../src/formats/data-message.ts';
import { shiftedNumbers } from '../../src/formats/decimals.ts';

describe('figures taken relative to the first', () => {
  it('differences are those of the figures as they are written', () => {
    // As doubles the difference is 0.09999999962747097.
    expect([...shiftedNumbers(['10000000.2', '10000000.1', '10000000,3'])!.offsets]).toEqual([0, -0.1, 0.1]);
    expect(shiftedNumbers(['-1.5', '2e-3', '+.25', '3.'])).toEqual({
      base: -1.5,
      offsets: Float64Array.of(0, 1.502, 1.75, 4.5),
    });
    for (const bad of ['', 'x', '1e999', '1.2.3', '.', '-']) expect(shiftedNumbers(['1', bad]), bad).toBeUndefined();
    expect(shiftedNumbers([])).toBeUndefined();
  });

  it('agree with subtraction where doubles are exact', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -1e9, max: 1e9 }), { minLength: 1, maxLength: 20 }), (list) => {
        const found = shiftedNumbers(list.map((n) => String(n / 4)))!;
        expect([...found.offsets]).toEqual(list.map((n) => (n - list[0]!) / 4));
        expect(found.base).toBe(list[0]! / 4);
      }),
      { seed: 1, numRuns: 50 },
    );
  });
});

describe('messages of ISO/IEC 15434', () => {
  it('are read back', () => {
    const fields = { part: 'RPT-1', serial: 'A0001', quantity: '60' };
    expect(readDataMessage(dataMessage(fields))).toEqual(fields);
    expect(readDataMessage('A0001')).toBeUndefined();
    expect(() => dataMessage({ lot: 'a\u001db' })).toThrow(/lot is/);
  });
});
