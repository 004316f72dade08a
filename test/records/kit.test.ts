import { describe, expect, it } from 'vitest';
import { kitSchema, panelsOf } from '../../src/records/index.ts';
import { kitOf, kitText, toldBy } from './reading.ts';

const told = (changes: Record<string, string>) => toldBy(() => kitOf(kitText(changes)));

describe('a kit', () => {
  it('is read, and what it leaves open is told', () => {
    const { value, assumptions } = kitOf(kitText());
    expect(value.mode).toBe('full');
    expect(panelsOf(value)).toHaveLength(1);
    const fields = assumptions.map((a) => a.field);
    expect(fields).toContain('kit.panel.tempVoc_pct_K');
    expect(fields).toContain('kit.charger.chargeMin_degC');
    expect(fields).toContain('kit.charger.efficiency');
    expect(fields).toContain('kit.cells.chemistry');
    expect(fields).not.toContain('kit.charger.ceiling_V');
    expect(fields).not.toContain('kit.cells.voltage_V');
    for (const { why } of assumptions) expect(why.length).toBeGreaterThan(8);
  });

  it('needs only watts with a flat charger, whose temperature coefficient is then told', () => {
    const flat = kitOf(kitText({ panel: '{ power_W: 3 }', charger: '{ type: flat, ceiling_soc: 0.9 }' }));
    expect(flat.assumptions.map((a) => a.field)).toContain('kit.panel.temperatureCoefficient_pct_K');
    expect(kitOf(kitText()).assumptions.map((a) => a.field)).not.toContain('kit.panel.temperatureCoefficient_pct_K');
  });

  it('tells no default for what it states', () => {
    const stated = kitOf(kitText({ cells: '{ count: 2, capacity_mAh: 3350, chemistry: nmc811 }' }));
    expect(stated.assumptions.map((a) => a.field)).not.toContain('kit.cells.chemistry');
  });

  it('takes one panel, or up to six', () => {
    const one = '{ power_W: 1, vmp_V: 6, tilt_deg: 30 }';
    expect(panelsOf(kitOf(kitText({ panel: `[${Array(6).fill(one).join(', ')}]` })).value)).toHaveLength(6);
    expect(told({ panel: `[${Array(7).fill(one).join(', ')}]` })).toEqual([
      'kit.yaml:2:8: kit.panel: panel is a list of 7: a kit has at most 6 panels [out-of-range]',
    ]);
    expect(told({ panel: '[]' })).toEqual([expect.stringContaining('a kit has at least one panel')]);
  });

  it('takes the data-sheet five, efficiency curves, shade by month and hour, tables and boards without cut-off', () => {
    const row = `[${Array(24).fill('0.8').join(', ')}]`;
    const text = kitText({
      panel: `{ voc_V: 7.2, isc_A: 0.63, vmp_V: 6, imp_A: 0.58, shade: [${Array(12).fill(row).join(', ')}] }`,
      charger:
        '{ type: tracking, ceiling_V: 3.5, efficiency: [{power_W: 0.1, efficiency: 0.8}, {power_W: 1, efficiency: 0.9}] }',
      cutoff: '{ none: true, brownout_V: 2.9, restartsByItself: true }',
      cells:
        '{ count: 1, capacity_mAh: 6000, chemistry: table, table: [{soc: 0, voltage_V: 2.5}, {soc: 1, voltage_V: 3.4}] }',
    });
    const { value, assumptions } = kitOf(text);
    expect(value.cutoff.restart_V).toBe(3);
    expect(assumptions.map((a) => a.field)).toContain('kit.cutoff.restart_V');
  });
});

// Each of these stands in the issue's list of bad input, or is the same slip in another unit.
describe('what does not fit together is told with its place and mend', () => {
  const cases: [string, Record<string, string>, string][] = [
    [
      'capacity 0',
      { cells: '{ count: 2, capacity_mAh: 0 }' },
      'capacity_mAh is 0: the capacity of one cell lies between 20 and 200000',
    ],
    ['amperes-hours', { cells: '{ count: 2, capacity_mAh: 3.4 }' }, '3.4 Ah is 3400 mAh'],
    [
      'reconnect below cut-off',
      { cutoff: '{ cutoff_V: 3.5, reconnect_V: 3.2 }' },
      'reconnect_V is 3.2, below cutoff_V 3.5',
    ],
    ['reconnect at the cut-off', { cutoff: '{ cutoff_V: 3.5, reconnect_V: 3.5 }' }, 'the same as cutoff_V 3.5'],
    [
      'in states of charge',
      { cutoff: '{ cutoff_soc: 0.3, reconnect_soc: 0.2 }' },
      'reconnect_soc is 0.2, below cutoff_soc 0.3',
    ],
    [
      'ceiling below reconnect',
      { charger: '{ type: tracking, ceiling_V: 3.5 }' },
      'ceiling_V is 3.5, not above reconnect_V 3.6',
    ],
    [
      'ceiling below reconnect in soc',
      { charger: '{ type: tracking, ceiling_soc: 0.2 }', cutoff: '{ cutoff_soc: 0.1, reconnect_soc: 0.2 }' },
      'ceiling_soc is 0.2, not above reconnect_soc 0.2',
    ],
    [
      'ceiling in soc below reconnect in volts',
      { charger: '{ type: tracking, ceiling_soc: 0.2 }' },
      'ceiling_soc is 0.2, not above reconnect_V 3.6',
    ],
    ['ceiling above full', { charger: '{ type: tracking, ceiling_V: 4.5 }' }, 'these cells are full at 4.18 V'],
    ['both ceilings', { charger: '{ type: tracking, ceiling_V: 4.1, ceiling_soc: 0.9 }' }, 'keep one'],
    [
      'panel below the cells',
      { panel: '{ power_W: 2, vmp_V: 4 }', charger: '{ type: linear, ceiling_V: 4.2 }' },
      'vmp_V is 4: a linear charger needs at least 4.4 V',
    ],
    [
      'panel below the cells with its diode',
      { panel: '{ power_W: 2, vmp_V: 4.6, blockingDiode_V: 0.3 }', charger: '{ type: linear, ceiling_V: 4.2 }' },
      'needs at least 4.7 V (cells at the ceiling 4.2 V + dropout 0.2 V + diode 0.3 V)',
    ],
    ['input above open circuit', { charger: '{ type: fixed-input, inputVoltage_V: 7.2 }' }, 'gives at most 7.2 V'],
    ['input voltage missing', { charger: '{ type: fixed-input }' }, 'inputVoltage_V is missing'],
    [
      'field of another charger',
      { charger: '{ type: tracking, vocFraction: 0.8 }' },
      'vocFraction has no effect with type tracking: it belongs to voc-fraction',
    ],
    [
      'charge window',
      { charger: '{ type: tracking, chargeMin_degC: 25, chargeMax_degC: 20 }' },
      'not above chargeMin_degC 25',
    ],
    ['half a derating', { charger: '{ type: tracking, derateFrom_degC: 40 }' }, 'without derateTo_degC'],
    [
      'curve out of order',
      { charger: '{ type: tracking, efficiency: [{power_W: 1, efficiency: 0.9}, {power_W: 1, efficiency: 0.8}] }' },
      'must rise from point to point',
    ],
    ['watts alone', { panel: '{ power_W: 3 }' }, 'vmp_V is missing: give power_W and vmp_V'],
    ['half a data sheet', { panel: '{ voc_V: 7.2, vmp_V: 6 }' }, 'isc_A and imp_A are missing'],
    [
      'Vmp above Voc',
      { panel: '{ voc_V: 6, isc_A: 0.63, vmp_V: 7.2, imp_A: 0.58 }' },
      'vmp_V is 7.2, not below voc_V 6: are the two exchanged?',
    ],
    [
      'Imp above Isc',
      { panel: '{ voc_V: 7.2, isc_A: 0.58, vmp_V: 6, imp_A: 0.63 }' },
      'imp_A is 0.63, not below isc_A 0.58',
    ],
    [
      'power against its product',
      { panel: '{ power_W: 5, voc_V: 7.2, isc_A: 0.63, vmp_V: 6, imp_A: 0.58 }' },
      'vmp_V x imp_A is 3.48',
    ],
    [
      'two tilts',
      { panel: '{ power_W: 3, vmp_V: 6, tilt_deg: 60, tiltOffset_deg: 5 }' },
      'both tilt_deg and tiltOffset_deg',
    ],
    [
      'tilt 200',
      { panel: '{ power_W: 3, vmp_V: 6, tilt_deg: 200 }' },
      'tilt_deg is 200: a tilt lies between 0 and 90; did you mean azimuth_deg?',
    ],
    ['no threshold', { cutoff: '{}' }, 'no threshold is given'],
    ['one threshold', { cutoff: '{ cutoff_V: 3.2 }' }, 'cutoff_V is given without reconnect_V'],
    ['mixed thresholds', { cutoff: '{ cutoff_V: 3.2, reconnect_soc: 0.3 }' }, 'cutoff_V is given without reconnect_V'],
    [
      'threshold beside none',
      { cutoff: '{ none: true, brownout_V: 3, restartsByItself: true, cutoff_V: 3.2 }' },
      'cutoff_V stands beside none',
    ],
    ['brown-out missing', { cutoff: '{ none: true }' }, 'brownout_V is missing'],
    [
      'restart below brown-out',
      { cutoff: '{ none: true, brownout_V: 3, restartsByItself: true, restart_V: 2.9 }' },
      'restart_V is 2.9, below brownout_V 3',
    ],
    ['table missing', { cells: '{ count: 1, capacity_mAh: 3000, chemistry: table }' }, 'table is missing'],
    [
      'table for another chemistry',
      { cells: '{ count: 1, capacity_mAh: 3000, table: [{soc: 0, voltage_V: 3}, {soc: 1, voltage_V: 4}] }' },
      'table has no effect without chemistry: table',
    ],
    [
      'table that does not rise',
      {
        cells:
          '{ count: 1, capacity_mAh: 3000, chemistry: table, table: [{soc: 0, voltage_V: 3.3}, {soc: 1, voltage_V: 3.3}] }',
      },
      'it must rise',
    ],
    ['no load', { load: '{}' }, 'average_mA is missing'],
    ['two loads', { load: '{ average_mA: 9, parts: [{current_mA: 3}] }' }, 'give the average, or compose the load'],
    [
      'two duties',
      { load: '{ parts: [{current_mA: 3, duty: 0.1, seconds_per_h: 360}] }' },
      'both duty and seconds_per_h',
    ],
    ['duty in per cent', { load: '{ parts: [{current_mA: 3, duty: 25}] }' }, 'write 25 % as 0.25'],
    [
      'transmission through an amplifier',
      { load: '{ transmit: { power_dBm: 30, airtime_s_per_h: 60 } }' },
      'above 22 dBm an amplifier decides the current',
    ],
    [
      'plain mode without watts',
      { mode: 'plain', panel: '{ vmp_V: 6 }' },
      'power_W is missing: the watts of the panel',
    ],
    ['transmission without current', { load: '{ transmit: { airtime_s_per_h: 60 } }' }, 'current_mA is missing'],
    ['pulse below the average', { load: '{ average_mA: 9, transmitPeak_mA: 5 }' }, 'below average_mA 9'],
    ['plain mode with volts', { mode: 'plain' }, 'give ceiling_soc'],
    ['group missing', { cells: '' }, 'cells is missing: the cells, all in parallel (keys: part, count'],
  ];
  it.each(cases)('%s', (_, changes, expected) => {
    const problems = told(changes);
    expect(problems.join('\n')).toContain(expected);
    for (const line of problems) expect(line).toMatch(/^kit\.yaml:\d+:\d+: kit(\.[\w.[\]$]+)?: .* \[[a-z-]+\]$/);
  });

  it('limits hold just inside and at the edge, and break just outside (capacity)', () => {
    const at = (capacity: number) => told({ cells: `{ count: 1, capacity_mAh: ${capacity} }` }).length;
    expect([19.99, 20, 20.01, 199999, 200000, 200000.1].map(at)).toEqual([1, 0, 0, 0, 0, 1]);
  });

  it('a linear charger is accepted from the voltage that it needs upwards', () => {
    const at = (vmp: number) =>
      told({ panel: `{ power_W: 2, vmp_V: ${vmp} }`, charger: '{ type: linear, ceiling_V: 4.2 }' }).length;
    expect([4.39, 4.4, 4.41].map(at)).toEqual([1, 0, 0]);
  });

  it('the schema alone says the same, for server and browser', () => {
    const result = kitSchema.safeParse({
      name: 'a',
      panel: { power_W: 3, vmp_V: 6 },
      charger: { type: 'tracking', ceiling_V: 4.1 },
      cutoff: { cutoff_V: 3.5, reconnect_V: 3.2 },
      cells: { count: 1, capacity_mAh: 3000 },
      load: { average_mA: 5 },
    });
    expect(result.error?.issues.map((issue) => issue.path.join('.'))).toEqual(['cutoff.reconnect_V']);
  });
});
