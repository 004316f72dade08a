import { describe, expect, it } from 'vitest';
import { parseInstant } from '../../src/app/instant.ts';
import { sun } from '../../src/app/sun.ts';
import { readGolden } from '../golden.ts';
import { problemsOf } from './real-ports.ts';

const HERE = { latitude_deg: 39.742476, longitude_deg: -105.1786, elevation_m: 1830.14 };

describe('sun', () => {
  it("gives the worked example of the sun-position report within 0.01 degrees (the contract's tolerance)", () => {
    const { rows } = readGolden('sun-spa-example.csv');
    const told = sun({ ...HERE, at: '2003-10-17T12:30:30-07:00' });
    const published: Record<string, number> = {
      elevation_deg: told.elevation_deg,
      azimuth_deg: told.azimuth_deg,
      declination_deg: told.declination_deg,
      equationOfTime_min: told.equationOfTime_min,
    };
    const found = Object.entries(published).map(([quantity, value]) => {
      const row = rows.find((r) => r.quantity === quantity);
      expect(row, quantity).toBeDefined();
      return Math.abs(value - Number(row!.value));
    });
    for (const error of found) expect(error).toBeLessThan(0.01);
  });

  it('gives rise, transit and set by the clock of the moment asked for, within 2 s of the report', () => {
    // Reda & Andreas 2004, A.5: 06:12:43, 11:46:05 and 17:20:19; the last is that of the UTC day, one evening earlier here.
    const seconds = (a: string, b: string) => Math.abs(parseInstant(a).unix_ms - parseInstant(b).unix_ms) / 1000;
    const today = sun({ ...HERE, at: '2003-10-17T12:30:30-07:00' });
    const before = sun({ ...HERE, at: '2003-10-16T00:00:00-07:00' });
    expect(seconds(today.sunrise!, '2003-10-17T06:12:43-07:00')).toBeLessThanOrEqual(2);
    expect(seconds(today.transit, '2003-10-17T11:46:05-07:00')).toBeLessThanOrEqual(2);
    expect(seconds(before.sunset!, '2003-10-16T17:20:19-07:00')).toBeLessThanOrEqual(2);
    expect(today.sunrise).toMatch(/-07:00$/);
  });

  it('agrees with points from two general programs within 0.01 degrees', () => {
    const { rows } = readGolden('sun-points.csv');
    for (const row of rows) {
      const told = sun({
        latitude_deg: Number(row.latitude_deg),
        longitude_deg: Number(row.longitude_deg),
        elevation_m: Number(row.elevation_m),
        at: row.utc!,
      });
      expect(Math.abs(told.elevation_deg - Number(row.true_elevation_deg))).toBeLessThan(0.01);
      const width = Math.cos((told.elevation_deg * Math.PI) / 180);
      const off = ((told.azimuth_deg - Number(row.true_azimuth_deg) + 540) % 360) - 180;
      expect(Math.abs(off) * width).toBeLessThan(0.01);
    }
    expect(rows.length).toBeGreaterThan(20);
  });

  it('says when the sun stays up or down, in the far north', () => {
    const at = (day: string) => sun({ latitude_deg: 78, longitude_deg: 16, at: `${day}T12:00+01:00` });
    expect(at('2024-06-21')).toMatchObject({ sunrise: null, sunset: null, allDay: 'up', dayLength_h: 24 });
    expect(at('2024-12-21')).toMatchObject({ sunrise: null, sunset: null, allDay: 'down', dayLength_h: 0 });
  });

  it('tells every value outside its range at once, by its option', async () => {
    const found = await problemsOf(() => sun({ latitude_deg: 95, longitude_deg: -200, at: '2003-10-17T12:30:30Z' }));
    expect(found.map(({ field }) => field)).toEqual(['--lat', '--lon']);
    expect(found[0]!.message).toBe('--lat is 95: a latitude lies between -90 and 90; is it the longitude?');
    const year = await problemsOf(() => sun({ ...HERE, at: '1949-12-31T23:59:59Z' }));
    expect(year).toMatchObject([{ code: 'time-year', field: '--at' }]);
    expect(sun({ ...HERE, at: '1950-01-01T00:00:00Z' }).command).toBe('sun');
    expect(sun({ latitude_deg: 90, longitude_deg: 180, at: '2024-06-21T00:00Z' }).elevation_deg).toBeCloseTo(23.44, 1);
  });

  it('says that the height was taken as 0', () => {
    const { elevation_m: _, ...place } = HERE;
    expect(sun({ ...place, at: '2003-10-17T12:30:30Z' }).assumptions).toMatchObject([{ field: '--elevation' }]);
  });
});
