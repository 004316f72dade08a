import fc from 'fast-check';
import { expect, it } from 'vitest';
import { crossoverChart, crossoverSentence } from '../../src/report/crossover-chart.ts';
import { checkPicture, descendants } from './xml.ts';

const row = fc
  .tuple(
    fc.integer({ min: 1, max: 1_000_000 }),
    fc.array(fc.double({ min: -1e9, max: 1e9, noNaN: true }), { minLength: 3, maxLength: 3 }),
  )
  .map(([quantity, all]) => {
    const [low, middle, high] = all.sort((a, b) => a - b);
    return { quantity, low: low!, middle: middle!, high: high! };
  });
const rows = fc
  .uniqueArray(row, { minLength: 1, maxLength: 4, selector: (r) => r.quantity })
  .map((list) => list.sort((a, b) => a.quantity - b.quantity));
const units = fc.option(fc.integer({ min: 0, max: 2_000_000 }));

it('draws every quantity with its spread, inside the picture, whatever the spread of the crossover', () => {
  fc.assert(
    fc.property(rows, fc.tuple(units, units, units), fc.integer({ min: 300, max: 900 }), (savings, from, width) => {
      const [low, middle, high] = [...from].sort((a, b) => (a ?? Infinity) - (b ?? Infinity));
      const input = { currency: 'EUR', savings, from: { low: low!, middle: middle!, high: high! } };
      const { root } = checkPicture(crossoverChart(input, { width }));
      const circles = descendants(root).filter((e) => e.name === 'circle');
      const marked = low !== null && middle !== null && middle! <= 1.08 * savings.at(-1)!.quantity;
      expect(circles).toHaveLength(savings.length + (marked ? 1 : 0));
    }),
    { seed: 1, numRuns: 60 },
  );
});

it('says the spread of each quantity in words', () => {
  const savings = [{ quantity: 100, low: -900, middle: -400, high: 50 }];
  expect(crossoverSentence({ currency: 'EUR', savings, from: { low: null, middle: null, high: null } })).toContain(
    '100: −400 (−900 to 50)',
  );
});
