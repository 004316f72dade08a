import { describe, expect, it } from 'vitest';
import { tilt } from '../../src/app/tilt.ts';
import { DAYS_IN_MONTH } from '../../src/core/units/index.ts';
import { readGolden } from '../golden.ts';
import { problemsOf } from './real-ports.ts';

const twelve = (row: Record<string, string>, key: string) =>
  Array.from({ length: 12 }, (_, m) => Number(row[`${key}${m + 1}`]));
const golden = readGolden('weather-plane.csv');
const PLACES = golden.rows.map((row) => ({
  name: row.name!,
  dhi: twelve(row, 'dhi'),
  poa: twelve(row, 'poa'),
  request: {
    latitude_deg: Number(row.latitude_deg),
    longitude_deg: Number(row.longitude_deg),
    elevation_m: Number(row.elevation_m),
    tilt_deg: Number(row.tilt_deg),
    ghi_kWh_m2_day: twelve(row, 'ghi'),
    temperature_degC: twelve(row, 'temperature'),
  },
}));
const addis = PLACES.find(({ name }) => name === 'Addis Ababa')!;
const yearly = (values: readonly number[]) => values.reduce((sum, v, m) => sum + v * DAYS_IN_MONTH[m]!, 0) / 365;

/** An Alpine place of invented means, used for laws only. */
const ALP = {
  latitude_deg: 46.4,
  longitude_deg: 10.2,
  elevation_m: 1900,
  tilt_deg: 60,
  ghi_kWh_m2_day: [1.7, 2.6, 3.9, 4.9, 5.4, 5.9, 5.9, 5, 4.1, 2.8, 1.8, 1.4],
  temperature_degC: [-6, -5, -2, 1, 6, 10, 12, 12, 8, 4, -2, -5],
};

describe('tilt, against hourly files transposed by Perez', () => {
  it('where the diffuse is known: the year within 2.5 %, 95 % of the months within 6 %', () => {
    const months: number[] = [];
    for (const { request, dhi, poa } of PLACES) {
      const told = tilt({ ...request, dhi_kWh_m2_day: dhi });
      expect(Math.abs(told.year.poa_kWh_m2_day / yearly(poa) - 1)).toBeLessThan(0.025);
      months.push(...told.poa_kWh_m2_day.map((value, m) => Math.abs(value / poa[m]! - 1)));
    }
    expect(months.length).toBe(24);
    expect(months.filter((error) => error > 0.06).length).toBeLessThanOrEqual(0.05 * months.length);
  });

  it('Addis Ababa from global radiation alone: the year within 2.5 %, every month within 6 %', () => {
    const told = tilt(addis.request);
    expect(Math.abs(told.year.poa_kWh_m2_day / yearly(addis.poa) - 1)).toBeLessThan(0.025);
    told.poa_kWh_m2_day.forEach((value, m) => {
      expect(Math.abs(value / addis.poa[m]! - 1), `month ${m + 1}`).toBeLessThan(0.06);
    });
  });
});

describe('tilt, laws', () => {
  it('gives the global radiation back on a flat plane', () => {
    const told = tilt({ ...ALP, tilt_deg: 0 });
    told.poa_kWh_m2_day.forEach((value, m) => {
      expect(Math.abs(value / ALP.ghi_kWh_m2_day[m]! - 1)).toBeLessThan(0.002);
    });
  });

  it('is deterministic, and moves between seeds by no more than its standard errors say', () => {
    const first = tilt(ALP);
    expect(tilt(ALP)).toEqual(first);
    const other = tilt({ ...ALP, seed: 2 });
    expect(other.poa_kWh_m2_day).not.toEqual(first.poa_kWh_m2_day);
    first.poa_kWh_m2_day.forEach((value, m) => {
      const spread = Math.hypot(first.poaStandardError_kWh_m2_day[m]!, other.poaStandardError_kWh_m2_day[m]!);
      expect(Math.abs(value - other.poa_kWh_m2_day[m]!)).toBeLessThan(4.5 * spread);
      expect(spread / value).toBeLessThan(0.02);
    });
  });

  it('faces the equator by default in both hemispheres, and no other side gives more', () => {
    const turned = (list: readonly number[]) => list.map((_, m) => list[(m + 6) % 12]!);
    const south = {
      ...ALP,
      latitude_deg: -46.4,
      ghi_kWh_m2_day: turned(ALP.ghi_kWh_m2_day),
      temperature_degC: turned(ALP.temperature_degC),
    };
    for (const [place, equator_deg] of [
      [ALP, 180],
      [south, 0],
    ] as const) {
      const best = tilt({ ...place, years: 8 });
      expect(best.azimuth_deg).toBe(equator_deg);
      const sides = [90, 180, 270].map((turn) => tilt({ ...place, azimuth_deg: (equator_deg + turn) % 360, years: 8 }));
      const [east, away, west] = sides.map(({ year }) => year.poa_kWh_m2_day) as [number, number, number];
      expect(best.year.poa_kWh_m2_day).toBeGreaterThan(Math.max(east, west));
      expect(away).toBeLessThan(Math.min(east, west));
    }
  });

  it('takes azimuths from -180 to 360 for the same directions', () => {
    const west = tilt({ ...ALP, azimuth_deg: 270, years: 8 });
    expect(tilt({ ...ALP, azimuth_deg: -90, years: 8 })).toEqual(west);
    expect(west.azimuth_deg).toBe(270);
    const poleward = tilt({ ...ALP, azimuth_deg: 0, years: 8 });
    expect(poleward.year.poa_kWh_m2_day).toBeLessThan(west.year.poa_kWh_m2_day);
  });

  it('adds what the ground throws back: albedo times the view of the ground times the global radiation', () => {
    const bare = tilt({ ...ALP, albedo: 0, years: 8 });
    const snow = tilt({ ...ALP, albedo: 0.7, years: 8 });
    snow.poa_kWh_m2_day.forEach((value, m) => {
      // Isotropic ground reflection (Liu & Jordan 1963): albedo (1 - cos tilt) / 2 of the global radiation.
      const added = (0.7 * (1 - Math.cos((60 * Math.PI) / 180)) * ALP.ghi_kWh_m2_day[m]!) / 2;
      expect(value - bare.poa_kWh_m2_day[m]!).toBeCloseTo(added, 3);
    });
  });

  it('survives months without sun', () => {
    const ghi_kWh_m2_day = [0, 0.1, 1.2, 3.2, 5, 5.4, 4.4, 2.9, 1.4, 0.3, 0, 0];
    const told = tilt({ ...ALP, latitude_deg: 74, ghi_kWh_m2_day });
    expect(told.poa_kWh_m2_day[0]).toBe(0);
    for (const value of told.poa_kWh_m2_day) expect(Number.isFinite(value)).toBe(true);
  });
});

describe('tilt, bad input', () => {
  const told = (change: object) => problemsOf(() => tilt({ ...ALP, ...change }));
  const month = (list: readonly number[], m: number, value: number) => list.map((v, i) => (i === m ? value : v));

  it.each([
    [{ latitude_deg: 95 }, '--lat', /--lat is 95: a latitude lies between -90 and 90/],
    [{ tilt_deg: -200 }, '--tilt', /--tilt is -200: a tilt lies between 0 and 90$/],
    [{ tilt_deg: 180 }, '--tilt', /did you mean --azimuth\?/],
    [{ azimuth_deg: -181 }, '--azimuth', /between -180 and 360/],
    [{ albedo: 20 }, '--albedo', /write 20 % as 0.2/],
    [{ years: 7 }, '--years', /between 8 and 200/],
    [{ ghi_kWh_m2_day: month(ALP.ghi_kWh_m2_day, 2, 120) }, '--ghi', /--ghi is 120 for March: .*monthly sum/],
    [{ ghi_kWh_m2_day: month(ALP.ghi_kWh_m2_day, 0, -1) }, '--ghi', /--ghi is -1 for January/],
    [{ ghi_kWh_m2_day: month(ALP.ghi_kWh_m2_day, 0, 6.7) }, '--ghi', /--ghi of January is 6.7, but no more than 3\.2/],
    [{ temperature_degC: month(ALP.temperature_degC, 6, 285) }, '--temperature', /--temperature is 285 for July/],
    [{ dhi_kWh_m2_day: month(ALP.ghi_kWh_m2_day, 3, 5.5) }, '--dhi', /diffuse light is a part of the global/],
  ])('%o', async (change, field, sentence) => {
    const found = await told(change);
    expect(found.map((problem) => problem.field)).toEqual([field]);
    expect(found[0]!.message).toMatch(sentence);
  });
});
