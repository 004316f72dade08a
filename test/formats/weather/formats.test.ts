import { describe, expect, it } from 'vitest';
import type { WeatherFile } from '../../../src/formats/weather/index.ts';
import {
  daysOf,
  epw,
  expectSame,
  type Hour,
  invent,
  isoTime,
  PLACE,
  plain,
  powerDaily,
  powerHourly,
  powerJson,
  read,
  readDays,
  readHours,
  tmy3,
} from './make.ts';

/*
 * The layouts written by make.ts are those of the formats' own descriptions (EPW data dictionary; TMY3 manual
 * NREL/TP-581-43156; NASA POWER responses), from memory and from samples; real files are read in real-files.test.ts.
 */
const YEAR = invent([2019]);

function expectHours(file: WeatherFile, hours: readonly Hour[], withBeam = true): void {
  expect(file.hours.length).toBe(hours.length);
  expectSame(
    file.hours.ghi_W_m2,
    hours.map((h) => h.ghi),
  );
  expectSame(
    file.hours.temperature_degC,
    hours.map((h) => Math.fround(h.temperature)),
  );
  expectSame(
    file.hours.hourOfYear,
    hours.map((_, i) => i % 8760),
  );
  if (!withBeam) return;
  expectSame(
    file.hours.dni_W_m2,
    hours.map((h) => h.dni),
  );
  expectSame(
    file.hours.dhi_W_m2,
    hours.map((h) => h.dhi),
  );
  expectSame(
    file.hours.wind_m_s,
    hours.map((h) => Math.fround(h.wind)),
  );
}

describe('hourly formats', () => {
  it('reads EPW: hour-ending 1..24, place from LOCATION with a quoted comma', () => {
    const file = readHours(epw(YEAR));
    expectHours(file, YEAR);
    expect(file).toMatchObject({ format: 'EPW', years: 1, rows: 8760, firstYear: 2019 });
    expect(file.place).toEqual({ name: 'Ossel, hut, XXX', ...PLACE });
  });

  it('reads TMY3: hour-ending 01:00 to 24:00, columns by title', () => {
    const file = readHours(tmy3(YEAR));
    expectHours(file, YEAR);
    expect(file).toMatchObject({ format: 'TMY3', years: 1, firstYear: 2019 });
    expect(file.place).toEqual({ name: 'OSSEL HUT, XX', ...PLACE });
  });

  it('finds TMY3 columns wherever and however they are titled', () => {
    const lines = tmy3(YEAR);
    lines[1] = 'Date (MM/DD/YYYY),Time (HH:MM),Wind speed (m/s),Dry bulb (C),DHI (W/m^2),DNI (W/m^2),GHI (W/m^2)';
    for (let i = 2; i < lines.length; i++) {
      const f = lines[i]!.split(',');
      lines[i] = [f[0], f[1], f[12], f[10], f[8], f[6], f[3]].join(',');
    }
    expectHours(readHours(lines), YEAR);
  });

  it('reads plain CSV with time, time_end, and month/day/hour alike', () => {
    expectHours(readHours(plain(YEAR)), YEAR);
    const ending = plain(
      YEAR,
      'time_end;ghi_W_m2;dni_W_m2;dhi_W_m2;temperature_degC;wind_m_s',
      (h) => `${isoTime(h, 1)};${h.ghi};${h.dni};${h.dhi};${h.temperature};${h.wind}`,
    );
    expectHours(readHours(ending), YEAR);
    const parts = plain(
      YEAR,
      'month,day,hour_end,wind_m_s,ghi_W_m2,dni_W_m2,dhi_W_m2,temperature_degC',
      (h) => `${h.month},${h.day},${h.hour + 1},${h.wind},${h.ghi},${h.dni},${h.dhi},${h.temperature}`,
    );
    const file = readHours(parts);
    expectHours(file, YEAR);
    expect(file.firstYear).toBeUndefined();
  });

  it('takes midnight as time_end for the day before', () => {
    const next = new Date(0);
    const midnight = plain(YEAR, 'time_end,ghi_W_m2,dni_W_m2,dhi_W_m2,temperature_degC,wind_m_s', (h) => {
      next.setTime(Date.UTC(h.year, h.month - 1, h.day, h.hour + 1));
      return `${next.toISOString().slice(0, 16)},${h.ghi},${h.dni},${h.dhi},${h.temperature},${h.wind}`;
    });
    expect(midnight.at(-1)).toContain('2020-01-01T00:00');
    expectHours(readHours(midnight), YEAR);
  });

  it('takes the place of a plain CSV from what is stated beside it', () => {
    const lines = plain(YEAR).slice(4);
    const file = readHours(lines, { place: { ...PLACE, name: 'stated' } });
    expect(file.place).toEqual({ name: 'stated', ...PLACE });
    expect(readHours(plain(YEAR), { place: { latitude_deg: 46 } }).notes).toContain(
      'latitude_deg is 46 as stated, not 46.4 as in the file.',
    );
  });

  it('reads fresh snow from a column, and the rise of the snow depth of an EPW', () => {
    const snowy = plain(YEAR, 'time,ghi_W_m2,temperature_degC,snowfall_cm', (h) => {
      return `${isoTime(h)},${h.ghi},${h.temperature},${h.month === 1 && h.hour === 3 ? 2 : ''}`;
    });
    const file = readHours(snowy);
    expect(file.hours.snowfall_cm?.reduce((a, b) => a + b)).toBe(62);
    const lines = epw(YEAR);
    const depth = (i: number, cm: number) => {
      const f = lines[8 + i]!.split(',');
      f[30] = String(cm);
      lines[8 + i] = f.join(',');
    };
    for (let i = 0; i < 8760; i++) depth(i, i < 100 || i >= 300 ? 0 : i < 200 ? 12 : 30);
    depth(150, 999);
    const fromDepth = readHours(lines);
    expect(fromDepth.hours.snowfall_cm?.[100]).toBe(12);
    expect(fromDepth.hours.snowfall_cm?.[200]).toBe(18);
    expect(fromDepth.hours.snowfall_cm?.reduce((a, b) => a + b)).toBe(30);
    for (let i = 0; i < 8760; i++) depth(i, i % 2 === 0 ? 999 : 899);
    expect(readHours(lines).hours.snowfall_cm).toBeUndefined();
  });
});

describe('NASA POWER', () => {
  // Local solar time at 10.2° E is 0.68 h ahead of UTC; the invented sun is asked for that clock.
  const solar = { ...PLACE, utcOffset_h: PLACE.longitude_deg / 15 };
  const LST = invent([2019], solar);

  it('reads hourly CSV in local solar time: the stamp is the beginning, the offset longitude / 15', () => {
    const file = readHours(powerHourly(LST));
    expectHours(file, LST, false);
    expect(file.place).toEqual({ ...solar, elevation_m: 1805.5 });
    expect(file.notes).toContain('Times are local solar time: the UTC offset is longitude / 15 = 0.68 h.');
    expect(file.notes.join()).toContain('no wind: 1.5 m/s');
  });

  it('reads the same from JSON', () => {
    const file = readHours(JSON.stringify(powerJson(LST)));
    expect(file.format).toBe('POWER hourly JSON');
    expectHours(file, LST, false);
    expectSame(file.hours.ghi_W_m2, readHours(powerHourly(LST)).hours.ghi_W_m2);
    expect(file.place).toEqual({ ...solar, elevation_m: 1805.5 });
  });

  it.each([
    ['Wh/m^2', 1],
    ['W/m^2', 1],
    ['kW-hr/m^2', 1e-3],
    ['MJ/m^2', 3.6e-3],
    ['MJ/hr', 3.6e-3],
  ])('converts hourly %s', (unit, scale) => {
    // 1 Wh = 3600 J by definition.
    const csv = readHours(powerHourly(LST, 'LST', unit, scale)).hours.ghi_W_m2;
    const json = readHours(JSON.stringify(powerJson(LST, 'LST', unit, scale))).hours.ghi_W_m2;
    for (let i = 0; i < 8760; i += 7) {
      expect(csv[i]).toBeCloseTo(LST[i]!.ghi, 3);
      expect(json[i]).toBeCloseTo(LST[i]!.ghi, 3);
    }
  });

  it('moves hourly UTC to local standard time and closes the year on itself', () => {
    const UTC = invent([2019], { ...PLACE, utcOffset_h: 0 });
    for (const text of [`${powerHourly(UTC, 'UTC').join('\r\n')}\r\n`, JSON.stringify(powerJson(UTC, 'UTC'))]) {
      const file = readHours(text);
      expect(file.place.utcOffset_h).toBe(1);
      expect(file).toMatchObject({ years: 1, firstYear: 2019 });
      // 12:00 UTC is 13:00 at UTC+1; the last hour of the year stands first.
      expectSame(
        file.hours.ghi_W_m2,
        [UTC.at(-1)!, ...UTC.slice(0, -1)].map((h) => h.ghi),
      );
      expect(file.hours.temperature_degC[0]).toBe(Math.fround(UTC.at(-1)!.temperature));
      expect(file.notes.join()).toContain('Times are UTC: moved by 1 h');
    }
  });

  it('moves UTC west of Greenwich too, over a leap year', () => {
    const west = { latitude_deg: 46.4, longitude_deg: -70, utcOffset_h: 0 };
    const UTC = invent([2019, 2020, 2021], west);
    const lines = powerHourly(UTC, 'UTC');
    lines[3] = 'Location: Latitude  46.4   Longitude -70 ';
    const file = readHours(lines);
    expect(file.place.utcOffset_h).toBe(-5);
    expect(file).toMatchObject({ years: 3, rows: 26304, firstYear: 2019 });
    const noLeap = UTC.map((h) => h.ghi);
    // 29 February of local time: 5 h later in UTC.
    const from = (365 + 59) * 24 + 5;
    noLeap.splice(from, 24);
    const turned = [...noLeap.slice(5), ...noLeap.slice(0, 5)];
    expectSame(file.hours.ghi_W_m2, turned);
  });

  it('reads daily CSV by date and by day of the year, and daily JSON', () => {
    const days = daysOf(invent([2019, 2020]));
    const kept = days.filter((d) => !(d.month === 2 && d.day === 29));
    for (const text of [powerDaily(days), powerDaily(days, undefined, 1, true), [JSON.stringify(powerJson(days))]]) {
      const file = readDays(text);
      expect(file).toMatchObject({ kind: 'daily', years: 2, rows: 731, firstYear: 2019 });
      expectSame(
        file.days.ghi_kWh_m2,
        kept.map((d) => Math.fround(d.ghi)),
      );
      expectSame(
        file.days.temperature_degC,
        kept.map((d) => Math.fround(d.temperature)),
      );
      expectSame(
        file.days.dayOfYear,
        kept.map((_, i) => i % 365),
      );
      expectSame(
        file.days.year,
        kept.map((d) => d.year),
      );
      expect(file.notes.join()).toContain('29 February is dropped once');
    }
  });

  it.each([
    ['MJ/m^2/day', 3.6],
    ['W/m^2', 1000 / 24],
    ['kWh/m2/day', 1],
  ])('converts daily %s', (unit, scale) => {
    const days = daysOf(YEAR);
    const csv = readDays(powerDaily(days, unit, scale)).days.ghi_kWh_m2;
    const json = readDays([JSON.stringify(powerJson(days, 'LST', unit, scale))]).days.ghi_kWh_m2;
    for (let i = 0; i < 365; i++) {
      expect(csv[i]).toBeCloseTo(days[i]!.ghi, 5);
      expect(json[i]).toBeCloseTo(days[i]!.ghi, 5);
    }
  });

  it('reads kelvin, wind at 10 m before 2 m, extremes and diffuse of daily JSON', () => {
    const days = daysOf(YEAR);
    const json = powerJson(days);
    const p = json.properties.parameter;
    const like = (value: (v: number) => unknown) =>
      Object.fromEntries(Object.entries(p['T2M']!).map(([key, v]) => [key, value(v as number)]));
    json.properties.parameter = {
      ALLSKY_SFC_SW_DWN: p['ALLSKY_SFC_SW_DWN']!,
      ALLSKY_SFC_SW_DIFF: like(() => 0.5),
      T2M: like((v) => v + 273.15),
      T2M_MIN: like((v) => v - 5),
      T2M_MAX: like((v) => v + 5),
      WS2M: like(() => 2),
      WS10M: like(() => 3),
    };
    json.parameters = {
      ...json.parameters,
      ALLSKY_SFC_SW_DIFF: { units: 'kW-hr/m^2/day' },
      T2M: { units: 'K' },
      T2M_MIN: { units: 'C' },
      T2M_MAX: { units: 'C' },
      WS2M: { units: 'm/s' },
      WS10M: { units: 'm/s' },
    };
    const { days: out } = readDays([JSON.stringify(json)]);
    expect(out.temperature_degC[100]).toBeCloseTo(days[100]!.temperature, 4);
    expect(out.temperatureMin_degC?.[100]).toBeCloseTo(days[100]!.temperature - 5, 4);
    expect(out.temperatureMax_degC?.[100]).toBeCloseTo(days[100]!.temperature + 5, 4);
    expect(out.wind_m_s?.[100]).toBe(3);
    expect(out.dhi_kWh_m2?.[100]).toBe(0.5);
  });
});

describe('the same weather in every hourly format', () => {
  it('gives the same numbers', () => {
    const first = readHours(epw(YEAR)).hours;
    expect(readHours(tmy3(YEAR)).hours).toMatchObject({ ghi_W_m2: first.ghi_W_m2, dni_W_m2: first.dni_W_m2 });
    expect(readHours(plain(YEAR)).hours.dhi_W_m2).toEqual(first.dhi_W_m2);
  });

  it('does not depend on how the text is cut into pieces', () => {
    const text = epw(YEAR).join('\r\n');
    const whole = read(text, {}, 10_000_000);
    for (const piece of [1, 7, 1000, 65_537]) expect(read(text, {}, piece)).toEqual(whole);
  });
});
