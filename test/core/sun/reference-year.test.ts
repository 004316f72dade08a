import { existsSync, readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { type IrradianceHours, planeGeometry, planeOfArray, sunYear } from '../../../src/core/sun/index.ts';
import { MONTH_START } from '../../../src/core/units/index.ts';

const FOLDER = new URL('../../../../shared/reference/', import.meta.url);
const present = existsSync(new URL('weather/', FOLDER)) && existsSync(new URL('energy/reference-runs.json', FOLDER));

interface Run {
  file: string;
  lat: number;
  lon: number;
  utc_offset: number;
  elevation: number;
  tilt: number;
  ghi_kwh_m2_day: number[];
  poa_kwh_m2_day: Record<'perez' | 'haydavies' | 'isotropic', number[]>;
}

/** Only what this test needs of the two layouts: month, day, hour-ending, global, beam, diffuse. */
function read(file: string): IrradianceHours {
  const text = gunzipSync(readFileSync(new URL(`weather/${file}.gz`, FOLDER))).toString('latin1');
  const epw = file.endsWith('.epw');
  const lines = text.split(/\r?\n/).filter((line) => line.trim() !== '');
  const rows = lines.slice(epw ? 8 : 2).map((line) => line.split(','));
  const column = (index: number) => Float32Array.from(rows, (f) => Number(f[index]));
  return {
    length: rows.length,
    hourOfYear: Uint16Array.from(rows, (f) => {
      const [month, day, ending] = epw
        ? [Number(f[1]), Number(f[2]), Number(f[3])]
        : [...f[0]!.split('/').slice(0, 2).map(Number), Number.parseInt(f[1]!, 10)];
      return (MONTH_START[month! - 1]! + day! - 1) * 24 + ending! - 1;
    }),
    ghi_W_m2: column(epw ? 13 : 4),
    dni_W_m2: column(epw ? 14 : 7),
    dhi_W_m2: column(epw ? 15 : 10),
  };
}

/** Monthly sums, kWh/m². */
function byMonth(hours: IrradianceHours, value_W_m2: (i: number) => number): number[] {
  const sums = Array<number>(12).fill(0);
  for (let i = 0; i < hours.length; i++) {
    const month = MONTH_START.findIndex((start) => Math.floor(hours.hourOfYear[i]! / 24) < start) - 1;
    sums[month]! += value_W_m2(i) / 1000;
  }
  return sums;
}
const total = (values: number[]) => values.reduce((a, b) => a + b, 0);

describe.skipIf(!present)(
  'two real years on a tilted plane (skipped unless the shared reference folder lies beside the clone)',
  () => {
    const runs: Run[] = present
      ? JSON.parse(readFileSync(new URL('energy/reference-runs.json', FOLDER), 'utf8')).runs
      : [];
    it.each(runs)('$file', (r) => {
      // Source: the shared reference folder's runs, made with a general solar library (full position algorithm).
      const hours = read(r.file);
      expect(hours.length).toBe(8760);
      const sun = sunYear({
        latitude_deg: r.lat,
        longitude_deg: r.lon,
        elevation_m: r.elevation,
        utcOffset_h: r.utc_offset,
      });
      const days = (m: number) => MONTH_START[m + 1]! - MONTH_START[m]!;
      const ghi = byMonth(hours, (i) => hours.ghi_W_m2[i]!);
      for (let m = 0; m < 12; m++) expect(ghi[m]! / days(m)).toBeCloseTo(r.ghi_kwh_m2_day[m]!, 3);
      // The runs give a beam also while the sun is below the horizontal at mid-hour; here it is closed. What that takes away:
      const tilt = (r.tilt * Math.PI) / 180;
      const closed = byMonth(hours, (i) => {
        const h = hours.hourOfYear[i]!;
        if (sun.up[h]! > 0 || !(hours.ghi_W_m2[i]! > 0)) return 0;
        return hours.dni_W_m2[i]! * Math.max(0, -sun.north[h]! * Math.sin(tilt) + sun.up[h]! * Math.cos(tilt));
      });
      for (const [model, key] of [
        ['perez', 'perez'],
        ['hay-davies', 'haydavies'],
        ['isotropic', 'isotropic'],
      ] as const) {
        const spec = {
          tilt_deg: r.tilt,
          azimuth_deg: 180,
          albedo: Array<number>(12).fill(0.2),
          cover: 'none',
          model,
        } as const;
        const out = new Float32Array(hours.length);
        planeOfArray(hours, planeGeometry(sun, spec), out);
        const got = byMonth(hours, (i) => out[i]!);
        const want = r.poa_kwh_m2_day[key].map((v, m) => v * days(m));
        expect(Math.abs(total(got) / total(want) - 1), `${model} year`).toBeLessThan(0.005);
        for (let m = 0; m < 12; m++) {
          expect(Math.abs((got[m]! + closed[m]!) / want[m]! - 1), `${model} month ${m + 1}`).toBeLessThan(0.005);
        }
      }
    });
  },
);
