import { existsSync, readFileSync } from 'node:fs';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { tilt } from '../../src/app/tilt.ts';
import { weather } from '../../src/app/weather.ts';
import { DAYS_IN_MONTH } from '../../src/core/units/index.ts';
import { daysOf, epw, invent, LENGTHS, powerDaily } from '../formats/weather/make.ts';
import { PORTS, problemsOf } from './real-ports.ts';

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'weather-'));
});
afterAll(() => rm(folder, { recursive: true, force: true }));
async function file(name: string, lines: readonly string[]): Promise<string> {
  await writeFile(join(folder, name), `${lines.join('\n')}\n`);
  return join(folder, name);
}

const HOURS = invent([2019]);
const monthly = (pick: (h: (typeof HOURS)[number]) => number) =>
  LENGTHS.map((days, m) => HOURS.filter((h) => h.month === m + 1).reduce((sum, h) => sum + pick(h), 0) / days / 24);
const yearly = (values: readonly number[]) => values.reduce((sum, v, m) => sum + v * DAYS_IN_MONTH[m]!, 0) / 365;

describe('weather', () => {
  it('sums an hourly file by month', async () => {
    const told = await weather(PORTS, { file: await file('a.epw', epw(HOURS)), tilt_deg: 0 });
    expect(told).toMatchObject({ rows: 8760, years: 1, firstYear: 2019, format: 'EPW', resolution: 'hourly' });
    expect(told.place).toMatchObject({
      name: expect.stringContaining('Ossel, hut'),
      latitude_deg: 46.4,
      utcOffset_h: 1,
      elevation_m: 1800,
    });
    const ghi = monthly((h) => h.ghi).map((mean) => (mean * 24) / 1000);
    const temperature = monthly((h) => h.temperature);
    for (let m = 0; m < 12; m++) {
      expect(told.ghi_kWh_m2_day[m]).toBeCloseTo(ghi[m]!, 4);
      // One tenth of a degree is what the file keeps.
      expect(Math.abs(told.temperature_degC[m]! - temperature[m]!)).toBeLessThan(0.05);
    }
  });

  it('leaves a flat plane its light, whatever part of the sky it comes from', async () => {
    // Wholly diffuse, so that the invented sun need not be ours; Perez only trims what is below 5 degrees of elevation.
    const dull = HOURS.map((h) => ({ ...h, dni: 0, dhi: h.ghi }));
    const told = await weather(PORTS, { file: await file('dull.epw', epw(dull)), tilt_deg: 0 });
    told.poa_kWh_m2_day.forEach((value, m) => {
      expect(Math.abs(value / told.ghi_kWh_m2_day[m]! - 1)).toBeLessThan(0.005);
    });
    expect(told.dhi_kWh_m2_day).toEqual(told.ghi_kWh_m2_day);
  });

  it('makes hours of days, keeps their sums, and says so', async () => {
    const told = await weather(PORTS, { file: await file('days.csv', powerDaily(daysOf(HOURS))), tilt_deg: 60 });
    expect(told).toMatchObject({ resolution: 'daily', rows: 365, years: 1 });
    expect(told.notes.join(' ')).toMatch(/days only: hours are made/);
    const ghi = monthly((h) => h.ghi).map((mean) => (mean * 24) / 1000);
    for (let m = 0; m < 12; m++) expect(Math.abs(told.ghi_kWh_m2_day[m]! / ghi[m]! - 1)).toBeLessThan(0.01);
    for (const value of told.poa_kWh_m2_day) expect(value).toBeGreaterThan(0);
  });

  it('says what it took for granted, and nothing that was given', async () => {
    const path = await file('b.epw', epw(HOURS));
    const guessed = await weather(PORTS, { file: path });
    expect(guessed).toMatchObject({ tilt_deg: 61, azimuth_deg: 180, albedo: 0.2 });
    expect(guessed.assumptions.map((a) => a.field)).toEqual(['--tilt', '--azimuth', '--albedo']);
    const given = await weather(PORTS, { file: path, tilt_deg: 30, azimuth_deg: -90, albedo: 0.5 });
    expect(given).toMatchObject({ tilt_deg: 30, azimuth_deg: 270, albedo: 0.5, assumptions: [] });
  });

  it('tells values outside before it reads, and a file that is not there', async () => {
    const wrong = await problemsOf(() => weather(PORTS, { file: 'absent.epw', tilt_deg: -200, albedo: 2 }));
    expect(wrong.map(({ field }) => field)).toEqual(['--tilt', '--albedo']);
    const absent = await problemsOf(() => weather(PORTS, { file: join(folder, 'absent.epw') }));
    expect(absent).toMatchObject([{ code: 'file.absent' }]);
  });
});

const reference = fileURLToPath(new URL('../../../shared/reference/', import.meta.url));
const runsFile = `${reference}energy/reference-runs.json`;
const there = existsSync(runsFile) && existsSync(`${reference}weather`);
const FILES = ['epw_AddisAbaba_SWERA.epw', 'tmy3_703165TY_SandPoint.csv'];
const reason = there ? '' : ' (skipped: the shared reference folder with the real files is not beside this clone)';

interface Run {
  readonly file: string;
  readonly tilt: number;
  readonly poa_kwh_m2_day: { readonly perez: readonly number[] };
}

describe.skipIf(!there)(`weather, two real files against an independent program${reason}`, () => {
  const runs: Run[] = there ? JSON.parse(readFileSync(runsFile, 'utf8')).runs : [];

  it.each(FILES)(
    '%s: Perez over the year within 0.5 %, and `tilt` from its means within 6 % of every month',
    async (name) => {
      const run = runs.find((r) => r.file === name)!;
      const told = await weather(PORTS, { file: `${reference}weather/${run.file}.gz`, tilt_deg: run.tilt });
      expect(told.rows).toBe(8760);
      expect(told.notes.every((note) => note.startsWith('A typical year'))).toBe(true);
      // Tolerance of the reference: 0.5 % over the year.
      expect(Math.abs(yearly(told.poa_kWh_m2_day) / yearly(run.poa_kwh_m2_day.perez) - 1)).toBeLessThan(0.005);
      const { latitude_deg, longitude_deg, elevation_m } = told.place;
      const { ghi_kWh_m2_day, dhi_kWh_m2_day, temperature_degC, tilt_deg } = told;
      const means = { ghi_kWh_m2_day, dhi_kWh_m2_day, temperature_degC, tilt_deg };
      const chain = tilt({ latitude_deg, longitude_deg, elevation_m, ...means });
      chain.poa_kWh_m2_day.forEach((value, m) => {
        expect(Math.abs(value / told.poa_kWh_m2_day[m]! - 1), `month ${m + 1}`).toBeLessThan(0.06);
      });
    },
  );
});
