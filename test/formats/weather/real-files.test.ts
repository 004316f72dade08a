import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { gunzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { sunYear } from '../../../src/core/sun/index.ts';
import { DAYS_IN_MONTH, MONTH_START } from '../../../src/core/units/index.ts';
import { weatherReader } from '../../../src/formats/weather/index.ts';
import { readGolden } from '../../golden.ts';
import { readHours } from './make.ts';

const folder = fileURLToPath(new URL('../../../../shared/reference/weather/', import.meta.url));
const there = existsSync(folder);
const golden = readGolden('weather-files-ghi.csv');
/** Shown where the real files are not beside the clone; the golden numbers alone cannot be checked without them. */
const reason = there ? '' : ' (skipped: the shared reference folder with the real files is not beside this clone)';

const FILES = [...new Set(golden.rows.map((row) => row['file']!))];
const text = (file: string) => gunzipSync(readFileSync(`${folder}${file}.gz`)).toString('latin1');

describe.skipIf(!there)(`two real files${reason}`, () => {
  it.each(FILES)('%s: 8760 rows, and the monthly global radiation of the reference', (file) => {
    const { hours, rows, years, notes } = readHours(text(file));
    expect({ rows, years, length: hours.length }).toEqual({ rows: 8760, years: 1, length: 8760 });
    const tolerance = Number(golden.tolerance.split(' ')[0]);
    for (let month = 0; month < 12; month++) {
      let sum = 0;
      for (let i = MONTH_START[month]! * 24; i < MONTH_START[month + 1]! * 24; i++) sum += hours.ghi_W_m2[i]!;
      const expected = Number(
        golden.rows.find((r) => r['file'] === file && r['month'] === `${month + 1}`)!['ghi_kWh_m2_day'],
      );
      expect(Math.abs(sum / 1000 / DAYS_IN_MONTH[month]! / expected - 1)).toBeLessThan(tolerance);
    }
    expect(notes.every((note) => note.startsWith('A typical year'))).toBe(true);
  });

  it('reads the hours of the day at their place: radiation is centred on solar noon within 0.3 h', () => {
    for (const file of FILES) {
      const { hours, place } = readHours(text(file));
      const sun = sunYear({ ...place, elevation_m: place.elevation_m! });
      const centre = (values: ArrayLike<number>) => {
        let moment = 0;
        let sum = 0;
        for (let i = 0; i < 8760; i++) {
          moment += values[i]! * ((i % 24) + 0.5);
          sum += values[i]!;
        }
        return moment / sum;
      };
      expect(Math.abs(centre(hours.ghi_W_m2) - centre(sun.extraterrestrialHorizontal_Wh_m2))).toBeLessThan(0.3);
    }
  });

  it('refuses them with another offset, shifted by hours or in the other hemisphere', () => {
    for (const file of FILES) {
      for (const off of [-3, -2, 2, 3]) {
        const { place } = readHours(text(file));
        const reader = weatherReader(file, { place: { utcOffset_h: place.utcOffset_h + off } });
        reader.push(text(file));
        expect(() => reader.end()).toThrow(/Radiation peaks|does not fit longitude/);
      }
    }
    const north = weatherReader(FILES[1]!, { place: { latitude_deg: -55.3 } });
    north.push(text(FILES[1]!));
    expect(() => north.end()).toThrow(/atmosphere/);
  });
});
