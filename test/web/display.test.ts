import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatFor, parseNumber } from '../../src/web/display/numbers.ts';
import { unitOf } from '../../src/web/display/units.ts';

const SI = { length: 'metric', temperature: 'degC' } as const;
const US = { length: 'imperial', temperature: 'degF' } as const;
const FIELDS = [
  'elevation_m',
  'snowfall_cm',
  'area_cm2',
  'wind_m_s',
  'chargeMin_degC',
  'solarGain_K',
  'power_W',
  'count',
];

describe('units as they are shown', () => {
  // source: International yard and pound agreement 1959: 1 ft = 0.3048 m, 1 in = 2.54 cm, 1 mile = 1609.344 m, all exact
  it.each([
    ['elevation_m', 0.3048, 1, 'ft'],
    ['elevation_m', 8848.86, 29031.6929133858, 'ft'],
    ['snowfall_cm', 2.54, 1, 'in'],
    ['area_cm2', 6.4516, 1, 'in²'],
    ['wind_m_s', 0.44704, 1, 'mph'],
    ['chargeMin_degC', -40, -40, '°F'],
    ['chargeMin_degC', 100, 212, '°F'],
    ['solarGain_K', 5, 9, '°F'],
    ['power_W', 3.2, 3.2, 'W'],
  ])('%s %d', (field, stored, shown, symbol) => {
    const unit = unitOf(field, US);
    expect(unit.symbol).toBe(symbol);
    // Shown values carry twelve digits.
    expect(unit.toShown(stored)).toBe(Number(shown.toPrecision(12)));
  });

  it('comes back to what was stored', () => {
    const values = fc.double({ min: -9000, max: 9000, noNaN: true }).map((v) => Number(v.toPrecision(9)));
    fc.assert(
      fc.property(fc.constantFrom(...FIELDS), fc.constantFrom(SI, US), values, (field, display, value) => {
        const unit = unitOf(field, display);
        expect(Math.abs(unit.toStored(unit.toShown(value)) - value)).toBeLessThanOrEqual(
          1e-8 * Math.max(1, Math.abs(value)),
        );
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  it('takes the longest ending', () => {
    expect(unitOf('climate.monthly.ghi_kWh_m2_day', US).symbol).toBe('kWh/m² a day');
    expect(unitOf('load.transmit.airtime_s_per_h', SI).symbol).toBe('s an hour');
    expect(unitOf('capacity_mAh', SI).symbol).toBe('mAh');
    expect(unitOf('cells.count', SI).symbol).toBe('');
  });
});

describe('numbers as they are typed', () => {
  it.each([
    ['3.2', '.', 3.2],
    ['3,2', '.', 3.2],
    ['3,350', '.', 3350],
    ['3,350', ',', 3.35],
    ['3.350', ',', 3350],
    ['3.350', '.', 3.35],
    ['1,234.5', '.', 1234.5],
    ['1.234,5', ',', 1234.5],
    ['1.234,5', '.', 1234.5],
    ['1 234', '.', 1234],
    ["1'234.5", '.', 1234.5],
    ['\u22126.5', '.', -6.5],
    ['.5', '.', 0.5],
    [',5', ',', 0.5],
    ['2e3', '.', 2000],
    ['7.', '.', 7],
  ] as const)('%s with %s', (text, decimal, value) => expect(parseNumber(text, decimal)).toBe(value));

  it.each(['', 'three', '3 W', '1.2.3,4,5', '--3', '3-', '1,23.4,5', 'NaN', 'Infinity', '0x10'])('refuses %s', (text) =>
    expect(parseNumber(text)).toBeUndefined(),
  );

  it('reads back what any country writes', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('en-GB', 'de-DE', 'fr-FR', 'de-CH', 'sv-SE'),
        fc.double({ min: -1e6, max: 1e6, noNaN: true }).map((v) => Number(v.toPrecision(6))),
        (locale, value) => {
          const decimal = new Intl.NumberFormat(locale).format(1.5).includes(',') ? ',' : '.';
          expect(parseNumber(formatFor(locale).editable(value), decimal)).toBeCloseTo(value, 6);
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });

  it('does not tell rare as never', () => {
    const { percent } = formatFor('en-GB');
    expect([percent(0), percent(0.001), percent(0.5), percent(0.999), percent(1)]).toEqual([
      '0 %',
      '<1 %',
      '50 %',
      '>99 %',
      '100 %',
    ]);
    expect(formatFor('de-DE').figure(1234.5, 5)).toBe('1.234,5');
    expect(formatFor('en-GB').figure(Number.NaN)).toBe('–');
  });
});
