import { describe, expect, it } from 'vitest';
import { formatProblem, type Problem, UserError } from '../../../src/core/units/index.ts';
import type { WeatherReadOptions } from '../../../src/formats/weather/index.ts';
import {
  daysOf,
  epw,
  HEAD,
  invent,
  isoTime,
  PLACE,
  plain,
  powerDaily,
  powerHourly,
  powerJson,
  read,
  tmy3,
} from './make.ts';

/* One test a bad input: it is refused with a sentence that names the place, what was found and the mend. */

const YEAR = invent([2019]);

function problems(text: string | readonly string[], options?: WeatherReadOptions): readonly Problem[] {
  try {
    read(text, options);
  } catch (error) {
    if (error instanceof UserError) return error.problems;
    throw error;
  }
  throw new Error('the file was read without a word');
}

const sentences = (text: string | readonly string[], options?: WeatherReadOptions) =>
  problems(text, options).map(formatProblem);

function edit(lines: string[], head: number, hour: number, field: number, value: string): string[] {
  const parts = lines[head + hour]!.split(',');
  parts[field] = value;
  lines[head + hour] = parts.join(',');
  return lines;
}

describe('the file as a whole', () => {
  it.each([[''], ['\n\n'], ['\ufeff'], ['   \r\n']])('%j is empty', (text) => {
    expect(sentences(text)).toEqual(['invented.txt: The file is empty. [weather.empty]']);
  });

  it('refuses what is no weather file, naming how it begins and what is read', () => {
    const [told] = sentences('\u0089PNG\u0000\nmore\n');
    expect(told).toContain(
      'The file begins with "·PNG·", which is none of the formats read: EPW, TMY3 CSV, NASA POWER',
    );
    expect(sentences('PK\u0003\u0004\u0000\u0000\nxx\n')[0]).toContain('is a zip archive: unpack it first');
    expect(sentences('Dear reader,\nthis is a letter\n')[0]).toContain('[weather.format]');
    expect(sentences('one line only')[0]).toContain('[weather.format]');
    expect(sentences(' '.repeat(20_000))[0]).toContain('10,000 blanks');
  });

  it('refuses a header without rows, in every format', () => {
    const heads = [
      epw([]),
      tmy3([]),
      plain([]),
      powerHourly(YEAR).slice(0, HEAD.powerHourly),
      powerDaily(daysOf(YEAR)).slice(0, HEAD.powerDaily),
    ];
    for (const lines of heads)
      expect(sentences(lines).join()).toContain('The file has a header but no rows of data. [weather.noRows]');
    expect(sentences(powerHourly(YEAR).slice(0, 10))[0]).toContain('Nothing follows the header.');
    expect(sentences(powerHourly(YEAR).slice(0, 6))[0]).toContain('-END HEADER- is missing');
    expect(sentences(['LOCATION,a,b', 'x'])[0]).toContain('DATA PERIODS');
    expect(sentences(['# only: comments', '# more'])[0]).toContain('no row of column titles');
  });

  it('refuses a line over 100,000 characters and more rows than 200 years', () => {
    expect(sentences(`LOCATION,a\n${'x'.repeat(100_001)}`)[0]).toContain('Line 2 is longer than 100,000 characters');
    expect(sentences(`${plain([]).join('\n')}\n${'\n'.repeat(1_770_000)}`)[0]).toContain('more than 1,760,000 rows');
  });

  it('spells out twenty problems and counts the rest', () => {
    const lines = epw(YEAR);
    for (let i = 0; i < 60; i++) edit(lines, HEAD.epw, i, 6, 'cold');
    const told = problems(lines);
    expect(told.length).toBe(21);
    expect(told[0]).toEqual({
      code: 'weather.field',
      message: '"cold" stands where a number should.',
      place: { file: 'invented.txt', line: 9, column: 20, field: 'dry bulb temperature' },
    });
    // Those 60, and one more for the gap that they leave.
    expect(told[20]!.message).toBe('and 41 more problems');
  });

  it('tells problems of different kinds at once', () => {
    const lines = epw(YEAR, { ...PLACE, latitude_deg: 95 });
    edit(lines, HEAD.epw, 10, 13, 'x');
    edit(lines, HEAD.epw, 20, 6, '77');
    lines.splice(HEAD.epw + 500, 10);
    const codes = problems(lines).map((p) => p.code);
    expect(codes).toEqual(['weather.field', 'weather.place', 'weather.range', 'weather.gap', 'weather.rows']);
  });
});

describe('fields', () => {
  it.each([['NaN'], ['nan'], ['Infinity'], ['0x1F'], ['1.2.3'], ['12 W'], ['--'], ['1e999'], ['-']])(
    'names line, column and field where %j stands for a number',
    (text) => {
      const lines = plain(YEAR);
      edit(lines, HEAD.plain, 12, 1, text);
      expect(sentences(lines)).toEqual([
        `invented.txt:18:18: ghi_W_m2: "${text}" stands where a number should. [weather.field]`,
      ]);
    },
  );

  it('does not take a decimal comma', () => {
    const lines = plain(
      YEAR,
      'time;ghi_W_m2;temperature_degC',
      (h) => `${isoTime(h)};${h.ghi};${String(h.temperature).replace('.', ',')}`,
    );
    expect(sentences(lines)[0]).toMatch(/temperature_degC: "-?\d+,\d" stands where a number should/);
  });

  it('names rows that are too short', () => {
    const lines = tmy3(YEAR);
    lines[50] = '01/03/2019,01:00,0';
    expect(sentences(lines)[0]).toBe(
      'invented.txt:51: The row has 3 fields: the columns in use need 13. [weather.shortRow]',
    );
    expect(sentences(epw(YEAR).map((l, i) => (i === 9 ? '2019,1,1,2' : l)))[0]).toContain('The row has 4 fields');
    expect(sentences(plain(YEAR).map((l, i) => (i === 9 ? '2019-01-01T04:00' : l)))[0]).toContain(
      'The row has 1 fields',
    );
    expect(sentences(powerHourly(YEAR).map((l, i) => (i === 20 ? '2019,1' : l)))[0]).toContain('The row has 2 fields');
  });

  it.each([
    ['2019,13,1,1', 'month 13'],
    ['2019,2,30,1', 'day 30'],
    ['2019,1,1,0', 'hour 0'],
    ['2019,1,1,25', 'hour 25'],
  ])('EPW time %s', (time, found) => {
    const lines = epw(YEAR);
    lines[8] = lines[8]!.replace('2019,1,1,1', time);
    expect(sentences(lines)[0]).toContain(found);
    expect(problems(lines)[0]!.code).toBe('weather.time');
  });

  it.each([
    ['13/01/2019,01:00'],
    ['2019-01-01,01:00'],
    ['01/01/2019,00:00'],
    ['01/01/2019,25:00'],
    ['01/01/2019,noon'],
  ])('TMY3 time %s', (time) => {
    const lines = tmy3(YEAR);
    lines[2] = lines[2]!.replace('01/01/2019,01:00', time);
    expect(sentences(lines)[0]).toContain(`"${time.replace(',', ' ')}" is no hour`);
  });

  it.each([['2019-01-01 24:00'], ['2019-02-29x'], ['01.01.2019 00:00'], ['2019-00-01T00:00'], ['yesterday']])(
    'plain time %s',
    (time) => {
      const lines = plain(YEAR);
      lines[5] = lines[5]!.replace('2019-01-01T00:00', time);
      expect(problems(lines)[0]).toMatchObject({ code: 'weather.time', place: { line: 6 } });
    },
  );

  it('POWER times', () => {
    const csv = powerHourly(YEAR);
    expect(sentences(edit(csv, HEAD.powerHourly, 0, 3, '24'))[0]).toContain('hours run from 0 to 23');
    const json = powerJson(YEAR);
    json.properties.parameter['ALLSKY_SFC_SW_DWN']!['2019023000'] = 1;
    expect(sentences(JSON.stringify(json))[0]).toContain('"2019023000" is no time: YYYYMMDDHH is needed');
    const doy = powerDaily(daysOf(YEAR), undefined, 1, true);
    expect(sentences(edit(doy, HEAD.powerDaily, 364, 1, '366'))[0]).toContain('is no time');
  });
});

describe('columns', () => {
  it('names a missing column and lists those found', () => {
    const lines = plain(YEAR, 'time,ghi,temperature_degC', (h) => `${isoTime(h)},${h.ghi},${h.temperature}`);
    expect(sentences(lines)).toEqual([
      'invented.txt:5: The column ghi_W_m2 is missing; found: "time", "ghi", "temperature_degC". [weather.column]',
    ]);
    const both = plain(YEAR, 'when,ghi_W_m2,temp', (h) => `${isoTime(h)},${h.ghi},${h.temperature}`);
    expect(sentences(both).map((s) => s.split(';')[0])).toEqual([
      'invented.txt:5: The column temperature_degC is missing',
      'invented.txt:5: The column time (or time_end, or month, day and hour) is missing',
    ]);
    const parts = plain(
      YEAR,
      'month,hour,ghi_W_m2,temperature_degC',
      (h) => `${h.month},${h.hour},${h.ghi},${h.temperature}`,
    );
    expect(sentences(parts)[0]).toContain('The column day is missing');
    expect(sentences(plain(YEAR, 'time,ghi_W_m2,ghi_W_m2,temperature_degC'))[0]).toContain('ghi_W_m2 stands twice');
  });

  it('names missing TMY3 columns', () => {
    const lines = tmy3(YEAR);
    lines[1] = lines[1]!.replace('Dry-bulb (C)', 'Wet-bulb (C)').replace('DNI (W', 'DNX (W');
    expect(sentences(lines)[0]).toContain(
      'The columns DNI, DRY-BULB are missing; found: "Date (MM/DD/YYYY)", "Time (HH:MM)"',
    );
    expect(sentences(tmy3(YEAR).slice(1))[0]).toContain('The line with the place');
  });

  it('names missing POWER parameters, units and headers', () => {
    const noTemperature = powerHourly(YEAR).map((line) => line.replace('T2M', 'T10M'));
    expect(sentences(noTemperature)[0]).toContain('The parameter T2M is missing; found: "YEAR"');
    expect(sentences(powerHourly(YEAR, 'LST', 'furlong'))[0]).toContain(
      'ALLSKY_SFC_SW_DWN is in "furlong": the units read are w/m2',
    );
    const noUnit = powerHourly(YEAR).filter((line) => !line.startsWith('T2M '));
    expect(sentences(noUnit)[0]).toContain('does not state the unit of T2M');
    expect(sentences(powerHourly(YEAR).slice(10))[0]).toContain('fetch the file with its header');
    const monthly = [...powerHourly(YEAR).slice(0, 10), 'PARAMETER,YEAR,JAN,FEB', 'T2M,2019,1,2'];
    expect(sentences(monthly)[0]).toContain('monthly means');
    expect(sentences([...powerHourly(YEAR).slice(0, 10), 'LAT,LON,T2M', '1,2,3'])[0]).toContain(
      'The titles give no date',
    );
  });

  it('refuses JSON that is something else, cut off, monthly or of the wrong types', () => {
    expect(sentences('{"a": 1}')[0]).toContain('has no properties.parameter');
    expect(sentences('[1, 2]')[0]).toContain('has no properties.parameter');
    expect(sentences(JSON.stringify(powerJson(YEAR)).slice(0, 50_000))[0]).toContain('cut off at its end');
    expect(sentences('{\n  "a": x}')[0]).toContain('The JSON cannot be read: fetch the file again.');
    expect(sentences('['.repeat(1_000_000))[0]).toContain('more than 20,000 objects');
    const monthly = powerJson(YEAR);
    monthly.properties.parameter = { ALLSKY_SFC_SW_DWN: { JAN: 1 }, T2M: { JAN: 1 } };
    expect(sentences(JSON.stringify(monthly))[0]).toContain('monthly means');
    const text = powerJson(invent([2019], { ...PLACE, utcOffset_h: 0.68 }));
    text.properties.parameter['T2M']!['2019030512'] = 'warm';
    expect(sentences(JSON.stringify(text))).toEqual([
      'invented.txt: T2M.2019030512: "\\"warm\\"" stands where a number should at 2019030512. [weather.field]'.replace(
        '\\"warm\\"',
        '"warm"',
      ),
    ]);
    const placeless = powerJson(YEAR);
    placeless.geometry.coordinates = [];
    expect(sentences(JSON.stringify(placeless))[0]).toContain('does not say its latitude_deg');
    expect(sentences(JSON.stringify({ ...powerJson(YEAR), parameters: {} }))[0]).toContain('does not state the unit');
  });
});

describe('order and number of rows', () => {
  it('8,700 rows: names the first gap', () => {
    const lines = epw(YEAR);
    lines.splice(HEAD.epw + 1000, 60);
    const told = sentences(lines);
    expect(told[0]).toBe(
      'invented.txt:1008: 60 hours are missing between line 1008 (11 February 15:00) and line 1009 (14 February 04:00). [weather.gap]',
    );
    expect(told[1]).toBe(
      'invented.txt: 8,700 rows: a year has 8,760 (8,784 with 29 February), and whole years are needed; first gap after line 1008 (11 February 15:00), 60 hours long. [weather.rows]',
    );
  });

  it('8,700 rows cut at the end: names first and last', () => {
    expect(sentences(epw(YEAR.slice(0, 8700)))).toEqual([
      'invented.txt: 8,700 rows: a year has 8,760 (8,784 with 29 February), and whole years are needed; the rows run from line 9 (1 January 00:00) to line 8708 (29 December 11:00). [weather.rows]',
    ]);
    expect(sentences(powerDaily(daysOf(YEAR).slice(0, 300))).join()).toContain(
      '300 rows: a year has 365 (366 with 29 February)',
    );
  });

  it('names doubled and backward times', () => {
    const doubled = epw(YEAR);
    doubled.splice(HEAD.epw + 100, 0, doubled[HEAD.epw + 99]!);
    expect(sentences(doubled)[0]).toBe(
      'invented.txt:109: The time of line 108 (5 January 03:00) comes again in line 109 (5 January 03:00): one row an hour is needed. [weather.repeat]',
    );
    const swapped = epw(YEAR);
    [swapped[200], swapped[201]] = [swapped[201]!, swapped[200]!];
    const told = sentences(swapped);
    expect(told.map((s) => s.slice(s.indexOf('[')))).toEqual(['[weather.gap]', '[weather.backwards]', '[weather.gap]']);
    expect(told[1]).toContain('The time steps back from line 201');
    expect(sentences(epw([...YEAR].reverse())).length).toBe(21);
  });

  it('refuses two rows an hour', () => {
    const halves = plain(YEAR.slice(0, 100).flatMap((h) => [h, h]));
    expect(sentences(halves)[0]).toContain('one row an hour is needed');
  });

  it('suspects daylight saving where an hour is missing and another doubled', () => {
    const hours = [...YEAR];
    const spring = hours.findIndex((h) => h.month === 3 && h.day === 31 && h.hour === 2);
    const autumn = hours.findIndex((h) => h.month === 10 && h.day === 27 && h.hour === 2);
    const clock = [
      ...hours.slice(0, spring),
      ...hours.slice(spring + 1, autumn + 1),
      hours[autumn]!,
      ...hours.slice(autumn + 1),
    ];
    expect(sentences(plain(clock)).at(-1)).toContain('the times follow daylight saving');
  });

  it('refuses sub-hourly EPW and a time suffix that is not the stated offset', () => {
    const lines = epw(YEAR);
    lines[7] = 'DATA PERIODS,1,4,Data,Sunday, 1/ 1,12/31';
    expect(sentences(lines)[0]).toContain('The file has "4" rows an hour');
    const utc = plain(YEAR, 'time,ghi_W_m2,temperature_degC', (h) => `${isoTime(h)}Z,${h.ghi},${h.temperature}`);
    expect(sentences(utc)[0]).toContain('The times carry "Z" and the UTC offset of the place is +1');
  });
});

describe('place and time zone', () => {
  it.each([
    [{ latitude_deg: 95 }, 'latitude_deg is 95: it lies between -90 and 90'],
    [{ longitude_deg: 190 }, 'longitude_deg is 190: it lies between -180 and 180'],
    [{ elevation_m: 99_999 }, 'elevation_m is 99999: it lies between -500 and 9000'],
    [{ utcOffset_h: -13 }, 'utcOffset_h is -13: it lies between -12 and 14'],
    [{ utcOffset_h: 8 }, 'A UTC offset of +8 h does not fit longitude 10.2°'],
    [{ longitude_deg: -100 }, 'is the sign of the longitude right (east is positive)?'],
  ])('%j', (wrong, told) => {
    expect(sentences(epw(YEAR, { ...PLACE, ...wrong }))[0]).toContain(told);
    expect(sentences(tmy3(YEAR, { ...PLACE, ...wrong }))[0]).toContain(told);
  });

  it('names a header field that is blank or no number', () => {
    const lines = epw(YEAR);
    lines[0] = lines[0]!.replace(',46.4,10.2,', ',north,,');
    expect(sentences(lines)).toEqual([
      'invented.txt:1: LOCATION latitude_deg: latitude_deg is no number: it lies between -90 and 90, north positive. [weather.place]',
      'invented.txt:1: LOCATION longitude_deg: longitude_deg is blank: it lies between -180 and 180, east positive. [weather.place]',
    ]);
    expect(sentences(plain(YEAR).slice(4)).join()).toContain('does not say its latitude_deg');
  });

  it.each([
    [3, 'after'],
    [-2, 'before'],
    [2, 'after'],
  ])('refuses radiation %d h off solar noon', (lag_h, side) => {
    const [told] = sentences(epw(invent([2019], PLACE, lag_h)));
    const size = Number(/Radiation peaks ([\d.]+) h/.exec(told!)?.[1]);
    expect(Math.abs(size - Math.abs(lag_h))).toBeLessThanOrEqual(0.15);
    expect(told).toContain(
      `h ${side} solar noon of the stated place and time zone: is the UTC offset +1 right for longitude 10.2°`,
    );
  });

  it('refuses UTC rows where the header says local time', () => {
    const far = { latitude_deg: 40, longitude_deg: -105, utcOffset_h: -7, elevation_m: 1600 };
    expect(sentences(epw(invent([2019], { ...far, utcOffset_h: 0 }), far))[0]).toContain(
      'Radiation peaks 7.0 h after solar noon',
    );
  });

  it('refuses the wrong hemisphere', () => {
    expect(sentences(epw(YEAR, { ...PLACE, latitude_deg: -46.4 })).join()).toMatch(
      /top of the atmosphere|above the atmosphere/,
    );
    const south = { latitude_deg: -30, longitude_deg: 25, utcOffset_h: 2 };
    expect(sentences(plain(invent([2019], south)), { place: { ...south, latitude_deg: 30 } }).join()).toMatch(
      /atmosphere/,
    );
    expect(sentences(powerDaily(daysOf(invent([2019], { ...PLACE, latitude_deg: -46.4 })))).join()).toContain(
      'top of the atmosphere',
    );
  });
});

describe('values', () => {
  it('refuses radiation, temperature and wind out of range, with count and first line', () => {
    const lines = epw(YEAR);
    for (let i = 0; i < 12; i++) edit(lines, HEAD.epw, 300 + i, 13, '-55');
    edit(lines, HEAD.epw, 400, 14, '2000');
    edit(lines, HEAD.epw, 500, 6, '-95');
    edit(lines, HEAD.epw, 501, 6, '61');
    edit(lines, HEAD.epw, 502, 21, '-1');
    expect(sentences(lines)).toEqual([
      'invented.txt:309: ghi_W_m2: ghi_W_m2 is below -10 W/m² in 12 rows, first -55 in line 309 (13 January 12:00): is the unit right, or is it a code for a missing value? [weather.range]',
      'invented.txt:409: dni_W_m2: dni_W_m2 is above 1800 W/m² in 1 row, first 2000 in line 409 (17 January 16:00): is the unit right, or is it a code for a missing value? [weather.range]',
      'invented.txt:509: temperature_degC: temperature_degC is below -90 °C in 1 row, first -95 in line 509 (21 January 20:00): is the unit right, or is it a code for a missing value? [weather.range]',
      'invented.txt:510: temperature_degC: temperature_degC is above 60 °C in 1 row, first 61 in line 510 (21 January 21:00): is the unit right, or is it a code for a missing value? [weather.range]',
      'invented.txt:511: wind_m_s: wind_m_s is below 0 m/s in 1 row, first -1 in line 511 (21 January 22:00): is the unit right, or is it a code for a missing value? [weather.range]',
    ]);
  });

  it.each([
    [-90.1, false],
    [-90, true],
    [60, true],
    [60.1, false],
  ])('temperature limit: %d is taken: %s', (temperature, good) => {
    const lines = plain(YEAR);
    edit(lines, HEAD.plain, 5, 4, String(temperature));
    if (good) expect(read(lines).kind).toBe('hourly');
    else expect(problems(lines)[0]!.code).toBe('weather.range');
  });

  it('refuses radiation at night that no atmosphere explains', () => {
    const lines = plain(YEAR);
    edit(lines, HEAD.plain, 24 * 10 + 1, 1, '900');
    expect(sentences(lines)[0]).toContain(
      'ghi_W_m2 is more than 1.5 times what reaches the top of the atmosphere in 1 hour, first 900 W/m² in line 247 (11 January 01:00)',
    );
    const daily = powerDaily(daysOf(YEAR).map((d, i) => (i === 3 ? { ...d, ghi: 9 } : d)));
    expect(sentences(daily)[0]).toContain('on 1 day, first 9.00 kWh/m² in line 15 (4 January)');
  });

  it('refuses a year without sunlight', () => {
    expect(sentences(plain(YEAR.map((h) => ({ ...h, ghi: 0, dni: 0, dhi: 0 }))))[0]).toContain('is 0 in every row');
    expect(sentences(powerDaily(daysOf(YEAR).map((d) => ({ ...d, ghi: 0 }))))[0]).toContain('is 0 on every day');
  });

  it('refuses gaps of missing codes that are too long, naming line and length', () => {
    const lines = epw(YEAR);
    const noon = 100 * 24 + 10;
    for (let i = 0; i < 4; i++) for (const field of [13, 14, 15]) edit(lines, HEAD.epw, noon + i, field, '9999');
    for (let i = 0; i < 25; i++) edit(lines, HEAD.epw, 3000 + i, 6, '99.9');
    expect(sentences(lines)).toEqual([
      'invented.txt:2419: ghi_W_m2: ghi_W_m2 is missing for 4 hours from line 2419 (11 April 10:00): at most 3 hours in a row can be filled. [weather.missing]',
      'invented.txt:3009: temperature_degC: temperature_degC is missing for 25 hours from line 3009 (6 May 00:00): at most 24 hours in a row can be filled. [weather.missing]',
    ]);
    expect(
      sentences(epw(YEAR).map((l, i) => (i < 8 ? l : l.replace(/,-?[\d.]+,0\.0,60,/, ',99.9,0.0,60,')))).join(),
    ).toContain('temperature_degC is missing in every row');
    // A long gap is told once and whole, not by its days.
    const recent = powerHourly(invent([2019], { ...PLACE, utcOffset_h: PLACE.longitude_deg / 15 }));
    for (let i = 8000; i < 8760; i++) edit(recent, HEAD.powerHourly, i, 4, '-999.0');
    expect(sentences(recent)).toEqual([
      'invented.txt:8012: ghi_W_m2: ghi_W_m2 is missing for 760 hours from line 8012 (30 November 08:00): at most 3 hours in a row can be filled. [weather.missing]',
    ]);
    const daily = powerDaily(daysOf(YEAR));
    for (let i = 0; i < 4; i++) edit(daily, HEAD.powerDaily, 50 + i, 4, '-999');
    expect(sentences(daily)).toEqual([
      'invented.txt:62: temperature_degC: temperature_degC is missing for 4 days from line 62 (20 February): at most 3 days in a row can be filled. [weather.missing]',
    ]);
  });
});
