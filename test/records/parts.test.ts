import { describe, expect, it } from 'vitest';
import type { OcvPoint } from '../../src/core/cells/index.ts';
import { userTable } from '../../src/core/cells/index.ts';
import { fitDiode, maximumPoint, translate } from '../../src/core/panel/index.ts';
import { CELLS, CHARGERS, LOAD_STATES, PANELS, panelsOf, TRANSMIT_STATES } from '../../src/records/index.ts';
import { readGolden } from '../golden.ts';
import { kitOf, kitText, toldBy } from './reading.ts';

const number = (fields: Readonly<Record<string, unknown>>, key: string) => {
  const value = fields[key];
  if (typeof value !== 'number') throw new Error(`${key} is no number`);
  return value;
};

describe('the library of generic parts', () => {
  it('has at least the number of parts that was asked for, each with its source and a name of its own', () => {
    expect(PANELS.length).toBeGreaterThanOrEqual(12);
    expect(CELLS.length).toBeGreaterThanOrEqual(6);
    expect(CHARGERS.length).toBeGreaterThanOrEqual(8);
    expect(LOAD_STATES.length).toBeGreaterThanOrEqual(10);
    const all = [...PANELS, ...CELLS, ...CHARGERS, ...LOAD_STATES, ...TRANSMIT_STATES];
    expect(new Set(all.map((part) => part.id)).size).toBe(all.length);
    for (const { source, title } of all) expect(Math.min(source.length, title.length)).toBeGreaterThan(5);
  });

  it.each(PANELS)(
    '$id makes a valid kit, and its data-sheet five a diode model that gives its power back',
    ({ id, fields }) => {
      const [panel] = panelsOf(kitOf(kitText({ panel: `{ part: "${id}" }`, charger: '{ type: tracking }' })).value);
      expect(panel?.vmp_V).toBe(fields['vmp_V']);
      const five = {
        voc_V: number(fields, 'voc_V'),
        isc_A: number(fields, 'isc_A'),
        vmp_V: number(fields, 'vmp_V'),
        imp_A: number(fields, 'imp_A'),
        tempVoc_pct_K: number(fields, 'tempVoc_pct_K'),
        tempIsc_pct_K: number(fields, 'tempIsc_pct_K'),
      };
      const point = maximumPoint(translate(fitDiode(five), 1000, 25));
      expect(point.voltage_V * point.current_A).toBeCloseTo(five.vmp_V * five.imp_A, 2);
      const watts = Number(/^panel-([\d.]+)W/.exec(id)?.[1]);
      expect(Math.abs(five.vmp_V * five.imp_A - watts)).toBeLessThan(0.01 * watts); // the name says the watts: arithmetic
    },
  );

  it.each(CELLS)('$id makes a valid kit', ({ id, fields }) => {
    const iron = id.includes('iron');
    const charger = iron ? '{ part: charger-tracking-1A-iron-phosphate }' : '{ type: tracking }';
    const cutoff = iron ? '{ cutoff_V: 2.9, reconnect_V: 3.2 }' : '{ cutoff_V: 3.4, reconnect_V: 3.6 }';
    const { value } = kitOf(kitText({ cells: `{ part: ${id}, count: 2 }`, charger, cutoff }));
    expect(value.cells.capacity_mAh).toBe(fields['capacity_mAh']);
    if (iron) expect(userTable(fields['table'] as OcvPoint[]).soc.at(-1)).toBe(1);
  });

  it.each(CHARGERS)('$id makes a valid kit', ({ id, fields }) => {
    const panel = id.includes('17V') ? '{ part: panel-10W-18V-glass }' : '{ part: panel-2W-6V-etfe }';
    const iron = id.includes('iron');
    const text = kitText({
      panel,
      charger: `{ part: ${id} }`,
      cells: iron ? '{ part: cell-32700-6000-iron-phosphate, count: 1 }' : '{ count: 2, capacity_mAh: 3350 }',
      cutoff: iron ? '{ cutoff_V: 2.9, reconnect_V: 3.2 }' : '{ cutoff_V: 3.2, reconnect_V: 3.6 }',
    });
    expect(kitOf(text).value.charger).toMatchObject(fields);
  });

  it.each([...LOAD_STATES, ...TRANSMIT_STATES])('$id makes a valid kit', ({ id, fields }) => {
    const load = id.includes('transmit')
      ? `{ transmit: { part: ${id}, airtime_s_per_h: 60 } }`
      : `{ parts: [{ part: ${id} }] }`;
    const { value } = kitOf(kitText({ load }));
    const part = value.load.transmit ?? value.load.parts?.[0];
    expect(part?.current_mA).toBe(fields['current_mA']);
    expect(value.load.regulator === undefined).toBe(fields['supply'] === 'battery');
  });

  it('own fields override the part, and a generic part is told as an assumption', () => {
    const { value, assumptions } = kitOf(
      kitText({ panel: '{ part: panel-3.5W-6V-etfe, cover: glass, tilt_deg: 60 }' }),
    );
    expect(panelsOf(value)[0]).toMatchObject({ cover: 'glass', tilt_deg: 60, voc_V: 7.2 });
    expect(assumptions[0]).toMatchObject({ field: 'kit.panel.part', value: 'panel-3.5W-6V-etfe' });
    const soc = kitOf(kitText({ charger: '{ part: charger-linear-500mA, ceiling_soc: 0.9 }' })).value.charger;
    expect([soc.ceiling_soc, soc.ceiling_V]).toEqual([0.9, undefined]);
  });

  it('own watts scale the currents of the part (arithmetic)', () => {
    const [panel] = panelsOf(kitOf(kitText({ panel: '{ part: panel-2W-6V-etfe, power_W: 4 }' })).value);
    expect(panel?.isc_A).toBeCloseTo((0.36 * 4) / (6 * 0.333), 4);
    expect(panel?.vmp_V).toBe(6);
  });

  it('an unknown part is told with the nearest, and its missing fields are not told again', () => {
    const told = toldBy(() =>
      kitOf(kitText({ cells: '{ part: cell-18650-3360, count: 2 }', panel: '{ part: panel-3W }' })),
    );
    expect(told).toHaveLength(2);
    expect(told[1]).toContain('did you mean cell-18650-3350?');
    expect(told[0]).toContain('no generic part has that name');
  });
});

describe('figures of the parts against their sources', () => {
  const currents = readGolden('records-supply-currents.csv');
  it.each(currents.rows)('$part draws $current_mA mA', (row) => {
    const part = [...LOAD_STATES, ...TRANSMIT_STATES].find(({ id }) => id === row['part']);
    expect(Math.abs(number(part?.fields ?? {}, 'current_mA') - Number(row['current_mA']))).toBeLessThanOrEqual(
      Number.parseFloat(currents.tolerance),
    );
    expect(part?.source.includes('from memory')).toBe(row['confirmed'] === 'no');
  });

  const market = readGolden('records-panels.csv');
  it.each(market.rows)('$power_W W', (row) => {
    const parts = PANELS.filter(({ id }) => id.startsWith(`panel-${row['power_W']}W-6V`));
    expect(parts.length).toBeGreaterThan(0);
    for (const { fields } of parts)
      for (const key of ['vmp_V', 'imp_A', 'voc_V', 'isc_A', 'area_cm2']) {
        const expected = Number(row[key]);
        const allowed = (Number.parseFloat(market.tolerance) / 100) * expected;
        expect(Math.abs(number(fields, key) - expected)).toBeLessThanOrEqual(allowed);
      }
  });
});
