import { describe, expect, it } from 'vitest';
import {
  cellTemperature,
  cellTemperatureSeries,
  MOUNTINGS,
  monthlyCleanShare,
  SAPM_INSULATED_BACK,
  SAPM_OPEN_RACK_POLYMER,
  snowCover,
  snowCoverSeries,
  soilingSeries,
  uncoveredShare,
} from '../../../src/core/panel/index.ts';
import { readGolden } from '../../golden.ts';

describe('cell temperature', () => {
  const golden = readGolden('panel-temperature.csv');
  it(`meets the points within ${golden.tolerance} (${golden.source})`, () => {
    expect(golden.rows.length).toBe(6);
    for (const row of golden.rows) {
      const [poa, air, wind] = ['poa_W_m2', 'air_degC', 'wind_m_s'].map((key) => Number(row[key])) as [
        number,
        number,
        number,
      ];
      const at = (model: Parameters<typeof cellTemperature>[0]) => cellTemperature(model, poa, air, wind);
      const near = (found: number, key: string) => expect(Math.abs(found - Number(row[key])), key).toBeLessThan(0.05);
      near(at({ kind: 'faiman' }), 'faiman_degC');
      near(at({ kind: 'noct', noct_degC: 47 }), 'noct47_degC');
      near(at(SAPM_INSULATED_BACK), 'insulated_degC');
      near(at(SAPM_OPEN_RACK_POLYMER), 'open_degC');
    }
  });

  it('is the definition of NOCT at its own conditions, and a constant loss factor is linear', () => {
    // IEC 61215: NOCT holds at 800 W/m², 20 °C, 1 m/s.
    expect(cellTemperature({ kind: 'noct', noct_degC: 46 }, 800, 20, 1)).toBeCloseTo(46, 12);
    // By hand: 10 + 1000·0.9·0.9/27 = 40.
    expect(cellTemperature({ kind: 'constant-u', u_W_m2K: 27 }, 1000, 10, 3)).toBeCloseTo(40, 12);
  });

  it('runs hotter in a lid than free by more than 10 K in full sun and light wind (shared reference set)', () => {
    const lid = cellTemperature(MOUNTINGS.lid, 1000, 20, 1);
    expect(lid - cellTemperature(MOUNTINGS.free, 1000, 20, 1)).toBeGreaterThan(10);
  });

  it('fills a series as the single call does, with the gain of an enclosure on top', () => {
    const poa = Float32Array.of(0, 500, 1000);
    const air = Float32Array.of(-3, 10, 20);
    const wind = Float32Array.of(2, 0, 1);
    const out = new Float32Array(3);
    cellTemperatureSeries({ kind: 'faiman' }, poa, air, wind, out, 8);
    expect(out[0]).toBe(-3);
    expect(out[1]).toBeCloseTo(cellTemperature({ kind: 'faiman' }, 500, 10, 0) + 4, 4);
    expect(out[2]).toBeCloseTo(51.407 + 8, 2);
    expect(() => cellTemperatureSeries({ kind: 'faiman' }, poa, air, wind, new Float32Array(4))).toThrow(RangeError);
  });
});

describe('snow', () => {
  const golden = readGolden('panel-snow.csv');
  it(`slides as in the check series, ${golden.tolerance} (${golden.source})`, () => {
    const hours = golden.rows.length;
    const snowfall = new Float32Array(hours);
    snowfall[0] = 1;
    const warm = new Float32Array(hours).fill(1);
    const cover = new Float32Array(hours);
    const last = snowCoverSeries(snowfall, warm, new Float32Array(hours), 45, cover);
    let step = 0;
    golden.rows.forEach((row, hour) => {
      expect(Math.abs(cover[hour]! - Number(row['cover']))).toBeLessThan(1e-4);
      step = snowCover(step, snowfall[hour]!, 1, 0, 45);
      expect(cover[hour]).toBeCloseTo(step, 6);
    });
    expect(last).toBeCloseTo(step, 12);
  });

  it('lies still in the cold, slides in the cold with sun, and needs a centimetre an hour to cover', () => {
    // Slides only if T > POA/(−80): at −5 °C that is from 400 W/m² on.
    expect(snowCover(1, 0, -5, 399, 60)).toBe(1);
    expect(snowCover(1, 0, -5, 400, 60)).toBe(1);
    expect(snowCover(1, 0, -5, 401, 60)).toBeLessThan(1);
    expect(snowCover(0, 0.99, -5, 0, 60)).toBe(0);
    expect(snowCover(0, 1, -5, 0, 60)).toBe(1);
    expect(snowCover(0.1, 0, 5, 500, 90)).toBe(0);
    expect(snowCover(1, 0, 5, 500, 0)).toBe(1);
  });

  it('takes the uncovered share of the light, or whole strings', () => {
    expect(uncoveredShare(0)).toBe(1);
    expect(uncoveredShare(0.3)).toBeCloseTo(0.7, 12);
    expect(uncoveredShare(1)).toBe(0);
    expect(uncoveredShare(0.01, 1)).toBe(0);
    expect(uncoveredShare(0.3, 2)).toBe(0.5);
    expect(uncoveredShare(0.5, 2)).toBe(0.5);
    expect(uncoveredShare(0, 1)).toBe(1);
  });
});

describe('soiling', () => {
  const golden = readGolden('panel-soiling.csv');
  it(`grows through a dry year, ${golden.tolerance} (${golden.source})`, () => {
    const lost = new Float32Array(365);
    soilingSeries(new Float32Array(365), lost);
    for (const row of golden.rows) {
      expect(Math.abs(lost[Number(row['dry_days']) - 1]! - Number(row['lost']))).toBeLessThan(1e-6);
    }
  });

  it('is washed by 6 mm, not by less, and starts again after 14 damp days', () => {
    const rain = new Float32Array(60);
    rain[10] = 5.9;
    rain[20] = 6;
    const lost = new Float32Array(60);
    const last = soilingSeries(rain, lost);
    expect(lost[10]).toBeCloseTo(0.0165, 6);
    expect(lost[20]).toBe(0);
    expect(lost[34]).toBe(0);
    expect(lost[35]).toBeCloseTo(0.0015, 6);
    expect(last).toBeCloseTo(0.0375, 6);
  });

  it('without rain is a constant share of each month', () => {
    expect([...monthlyCleanShare(3)]).toEqual(Array(12).fill(0.97));
    expect(monthlyCleanShare([...Array(11).fill(0), 50])[11]).toBe(0.5);
    expect(() => monthlyCleanShare([1, 2])).toThrow(RangeError);
    expect(() => monthlyCleanShare(101)).toThrow(RangeError);
  });
});
