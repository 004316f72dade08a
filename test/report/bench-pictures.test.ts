import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  batchGrid,
  batchGridLayout,
  batchGridSentence,
  type GridUnit,
  UNIT_STANDINGS,
} from '../../src/report/batch-grid.ts';
import { controlChart, controlChartFrame, controlChartSentence } from '../../src/report/control-chart.ts';
import { checkPicture, descendants } from './xml.ts';

const steps = [
  { key: 'cells', name: 'Fit the cells' },
  { key: 'close', name: 'Close the lid' },
];
const unit = fc.record({
  serial: fc.string({ minLength: 1, maxLength: 20 }),
  standing: fc.constantFrom(...UNIT_STANDINGS),
  nextStep: fc.constantFrom('cells', 'close', null),
});

describe('a batch at a glance', () => {
  it('draws each unit once, no two on one spot, inside the picture, at any width', () => {
    fc.assert(
      fc.property(fc.array(unit, { maxLength: 200 }), fc.integer({ min: 280, max: 900 }), (units, width) => {
        const input = { name: 'A-07', units, steps };
        const { cells, height } = batchGridLayout(input, width);
        expect(cells.map((c) => c.serial).sort()).toEqual(units.map((u) => u.serial).sort());
        expect(new Set(cells.map(({ x, y }) => `${x} ${y}`)).size).toBe(units.length);
        for (const { x, y } of cells) expect(x > 0 && x < width && y > 0 && y < height).toBe(true);
        const { root } = checkPicture(batchGrid(input, { width }));
        expect(descendants(root).filter((e) => e.name === 'g')).toHaveLength(units.length);
      }),
      { seed: 1, numRuns: 40 },
    );
  });

  it('puts a unit in the row of the step that it waits at, and counts the rows in words', () => {
    const units: GridUnit[] = [
      { serial: 'A1', standing: 'stopped', nextStep: 'cells' },
      { serial: 'A2', standing: 'at the bench', nextStep: null },
      { serial: 'A3', standing: 'ready', nextStep: null },
      { serial: 'A4', standing: 'shipped', nextStep: null },
      { serial: 'A5', standing: 'scrapped', nextStep: 'close' },
    ];
    const input = { name: 'A-07', units, steps };
    expect(batchGridLayout(input, 700).cells.map((c) => c.row)).toEqual([
      'Fit the cells',
      'assembled, gates open',
      'through every gate',
      'through every gate',
      'came back or scrapped',
    ]);
    expect(batchGridSentence(input)).toBe(
      'Units by the step that they wait at: Fit the cells 1, assembled, gates open 1, through every gate 2, came back or scrapped 1.',
    );
  });
});

describe('a control chart', () => {
  const finite = fc.double({ min: -1e6, max: 1e6, noNaN: true });
  it('is well-formed for any values and limits, and holds all of them in its frame', () => {
    fc.assert(
      fc.property(
        fc.array(finite, { minLength: 2, maxLength: 60 }),
        finite,
        fc.option(finite),
        (values, centre, high) => {
          const input = {
            ...{ name: 'Sleep current', unit: 'µA', names: values.map((_, i) => `A${i}`), values, centre },
            ...{ lower: centre - 3, upper: centre + 3, low: null, high, signals: [{ index: 1 }] },
            movingRange: { values: values.slice(1).map((v, i) => Math.abs(v - values[i]!)), centre: 1, upper: 3 },
          };
          const { root } = checkPicture(controlChart(input, { width: 600 }));
          const { left, right, top } = controlChartFrame(600);
          const dots = descendants(root).filter((e) => e.name === 'circle');
          for (const dot of dots) {
            const [x, y] = ['cx', 'cy'].map((key) => Number(dot.attributes.get(key)));
            expect(x! >= left && x! <= right && y! >= top).toBe(true);
          }
        },
      ),
      { seed: 1, numRuns: 40 },
    );
  });

  it('says at which unit a run stands out', () => {
    const input = {
      ...{ name: 'Ceiling', unit: 'V', names: ['A1', 'A2', 'A3'], values: [4.1, 4.11, 4.3], centre: 4.1 },
      ...{ lower: 4.05, upper: 4.15, low: 4.05, high: 4.2, signals: [{ index: 2 }] },
      movingRange: { values: [0.01, 0.19], centre: 0.02, upper: 0.06 },
    };
    expect(controlChartSentence(input)).toBe(
      'Ceiling, 3 values: centre 4.1, limits 4.05 to 4.15 V; a run stands out at A3.',
    );
  });
});
