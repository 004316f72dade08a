import { describe, expect, it } from 'vitest';
import { erbsHourly, sunYear } from '../../../src/core/sun/index.ts';
import {
  daysOf,
  epw,
  expectSame,
  HEAD,
  invent,
  isoTime,
  LENGTHS,
  PLACE,
  plain,
  powerDaily,
  powerHourly,
  readDays,
  readHours,
  tmy3,
} from './make.ts';

/* One test a trap that real files hold; each is harmless, told in a note, and read right. */

const YEAR = invent([2019]);
const ghi = YEAR.map((h) => h.ghi);

const leapless = (month: number, day: number) => LENGTHS.slice(0, month - 1).reduce((a, b) => a + b, 0) + day;

/** Replaces field `field` of the row of hour `hour`. */
function edit(lines: string[], head: number, hour: number, field: number, value: string): void {
  const parts = lines[head + hour]!.split(',');
  parts[field] = value;
  lines[head + hour] = parts.join(',');
}

describe('bytes and lines', () => {
  it('reads CRLF, LF and CR, and tells where they are mixed', () => {
    const lines = epw(YEAR);
    const expected = readHours(lines).hours;
    for (const end of ['\r\n', '\r', '\n']) {
      const file = readHours(lines.join(end));
      expectSame(file.hours.ghi_W_m2, expected.ghi_W_m2);
      expect(file.notes.join()).not.toContain('mixed');
    }
    const mixed = readHours(lines.map((line, i) => line + (i < 8000 ? '\r\n' : '\n')).join(''));
    expectSame(mixed.hours.ghi_W_m2, expected.ghi_W_m2);
    expect(mixed.notes).toContain('Line ends are mixed: 8,000 CRLF, 768 others; all are read.');
  });

  it('takes off a byte-order mark, in every format', () => {
    for (const lines of [
      epw(YEAR),
      tmy3(YEAR),
      plain(YEAR),
      powerHourly(invent([2019], { ...PLACE, utcOffset_h: 0.68 })),
    ]) {
      expect(readHours(`\ufeff${lines.join('\n')}`).hours.length).toBe(8760);
    }
  });

  it('reads text that is not ASCII, blank lines, trailing blanks and a last line without end', () => {
    const lines = epw(YEAR);
    lines[5] = 'COMMENTS 1,Temp\u00e9rature en \u00b0C \u2026';
    lines.splice(100, 0, '', '   ');
    lines.push('', '');
    const file = readHours(lines.join('\n'));
    expectSame(file.hours.ghi_W_m2, ghi);
    expect(Array.from(readHours(lines.map((line) => `${line}  `)).hours.ghi_W_m2)).toEqual(ghi);
  });

  it('keeps a quote that is never closed within its line', () => {
    const lines = epw(YEAR);
    edit(lines, HEAD.epw, 500, 5, '"?9');
    expect(() => readHours(lines)).toThrow(/The row has 6 fields/);
    edit(lines, HEAD.epw, 500, 5, '"?9"');
    expectSame(readHours(lines).hours.ghi_W_m2, ghi);
  });
});

describe('times', () => {
  it('does not use the minute of an EPW', () => {
    const lines = epw(YEAR).map((line, i) =>
      i < 8 ? line : line.replace(/^(\d+,\d+,\d+,\d+),60,/, (_, t) => `${t},${i % 2 === 0 ? 0 : 30},`),
    );
    expectSame(readHours(lines).hours.ghi_W_m2, ghi);
  });

  it('stays with standard time where the header names daylight saving', () => {
    const lines = epw(YEAR);
    lines[4] = 'HOLIDAYS/DAYLIGHT SAVINGS,No,4/ 1,10/31,0';
    const file = readHours(lines);
    expectSame(file.hours.ghi_W_m2, ghi);
    expect(file.notes.join()).toContain('in local standard time all the same');
  });

  it('takes years that jump from month to month for a typical year', () => {
    const years = [1991, 2003, 1999, 1987, 2001, 2002, 1995, 1994, 1990, 1998, 2004, 1988];
    const file = readHours(epw(YEAR.map((h) => ({ ...h, year: years[h.month - 1]! }))));
    expect(file.firstYear).toBeUndefined();
    expect(file.notes).toContain(
      'A typical year: its months come from 1987 to 2004 (12 years); it may lie 5 to 10 % off the long-term mean in a month.',
    );
  });

  it('tells of a year that changes within a month', () => {
    const file = readHours(epw(YEAR.map((h, i) => ({ ...h, year: i < 400 ? 2003 : 2004 }))));
    expect(file.notes).toContain(
      'The year changes within a month at line 409 (17 January 16:00); the years of the rows are not used.',
    );
  });

  it('drops 29 February, in a calendar file and in a typical year of 8784 rows', () => {
    const hours = invent([2019, 2020, 2021]);
    const file = readHours(plain(hours));
    expect(file).toMatchObject({ years: 3, rows: 26304, firstYear: 2019 });
    expect(file.notes).toContain('29 February is dropped once: years have 365 days here.');
    const kept = hours.filter((h) => !(h.month === 2 && h.day === 29));
    expectSame(
      file.hours.ghi_W_m2,
      kept.map((h) => h.ghi),
    );
    const typical = readHours(epw(invent([2020]).map((h) => ({ ...h, year: 1990 + h.month }))));
    expect(typical).toMatchObject({ years: 1, rows: 8784 });
  });

  it('reads a calendar file whose leap years have 365 days', () => {
    expect(readHours(plain(invent([2020, 2021], PLACE, 0, false)))).toMatchObject({ years: 2, rows: 17520 });
  });

  it('turns a series that begins in summer so that it begins on 1 January', () => {
    const from = (31 + 28 + 31 + 30 + 31 + 30) * 24;
    const hours = invent([2018, 2019]).slice(from, from + 8760);
    const file = readHours(plain(hours));
    const january = hours.findIndex((h) => h.month === 1);
    expectSame(
      file.hours.ghi_W_m2,
      [...hours.slice(january), ...hours.slice(0, january)].map((h) => h.ghi),
    );
    expect(file.notes).toContain(
      'The series begins on 1 July 00:00: its first 4,416 hours, before 1 January, stand at its end.',
    );
  });

  it('tells of a calendar year that is left out', () => {
    const file = readHours(plain([...invent([2017]), ...invent([2019])]));
    expect(file).toMatchObject({ years: 2, firstYear: 2017 });
    expect(file.notes).toContain('Year 2017 is followed by 2019 at line 8766 (1 January 00:00).');
  });

  it('takes a suffix that is the stated offset, and minutes at half past', () => {
    const suffixed = plain(
      YEAR,
      'time,ghi_W_m2,temperature_degC',
      (h) => `${isoTime(h).slice(0, 14)}30+01:00,${h.ghi},${h.temperature}`,
    );
    expectSame(readHours(suffixed).hours.ghi_W_m2, ghi);
  });

  it('takes the offset from the longitude where none is stated', () => {
    const lines = plain(YEAR);
    lines.splice(2, 2);
    const file = readHours(lines);
    expect(file.place.utcOffset_h).toBe(1);
    expect(file.notes).toContain('The UTC offset is not stated: +1 h is taken from the longitude.');
    expect(file.notes).toContain('The elevation is not stated: sea level is taken.');
  });

  it('bears with a UTC offset of +14 h at 157° west', () => {
    const island = { latitude_deg: 1.9, longitude_deg: -157.4, utcOffset_h: 14 };
    expect(readHours(epw(invent([2019], island), island)).place.utcOffset_h).toBe(14);
  });

  it('tells of radiation an hour late, which is an hour counted by its end', () => {
    const file = readHours(epw(invent([2019], PLACE, 1)));
    expect(file.notes.join()).toMatch(
      /Radiation peaks (0\.9|1\.[01]) h after solar noon of the stated place and time zone/,
    );
    expect(readHours(epw(YEAR)).notes.join()).not.toContain('peaks');
  });
});

describe('missing codes', () => {
  it('fills radiation gaps up to 3 h and temperature gaps up to 24 h on a straight line', () => {
    const lines = epw(YEAR);
    const noon = 150 * 24 + 10;
    for (let i = 0; i < 3; i++) for (const field of [13, 14, 15]) edit(lines, HEAD.epw, noon + i, field, '9999');
    for (let i = 0; i < 24; i++) edit(lines, HEAD.epw, 3000 + i, 6, '99.9');
    for (let i = 0; i < 5; i++) edit(lines, HEAD.epw, 4000 + i, 21, '999');
    const file = readHours(lines);
    const [a, b] = [ghi[noon - 1]!, ghi[noon + 3]!];
    for (let i = 0; i < 3; i++) expect(file.hours.ghi_W_m2[noon + i]).toBeCloseTo(a + ((b - a) * (i + 1)) / 4, 3);
    const [c, d] = [YEAR[2999]!.temperature, YEAR[3024]!.temperature];
    expect(file.hours.temperature_degC[3011]).toBeCloseTo(c + ((d - c) * 12) / 25, 4);
    expect(file.notes).toContain('ghi_W_m2: 3 missing values are filled on a straight line.');
    expect(file.notes).toContain('temperature_degC: 24 missing values are filled on a straight line.');
    expect(file.notes).toContain('wind_m_s: 5 missing values are filled on a straight line.');
    expect(file.notes).toContain('Beam and diffuse are split from ghi_W_m2 by Erbs (1982) in 3 hours without either.');
  });

  it('closes a gap over the turn of the year', () => {
    const lines = epw(YEAR);
    edit(lines, HEAD.epw, 8759, 6, '99.9');
    edit(lines, HEAD.epw, 0, 6, '99.9');
    const file = readHours(lines);
    const [a, b] = [YEAR[8758]!.temperature, YEAR[1]!.temperature];
    expect(file.hours.temperature_degC[8759]).toBeCloseTo(a + (b - a) / 3, 4);
    expect(file.hours.temperature_degC[0]).toBeCloseTo(a + (2 * (b - a)) / 3, 4);
  });

  it('knows the codes of TMY3 and the fill value of POWER', () => {
    const lines = tmy3(YEAR);
    edit(lines, HEAD.tmy3, 5000, 10, '-9900');
    edit(lines, HEAD.tmy3, 5001, 10, '-9999.0');
    expect(readHours(lines).notes).toContain('temperature_degC: 2 missing values are filled on a straight line.');
    const hours = invent([2019], { ...PLACE, utcOffset_h: PLACE.longitude_deg / 15 });
    const power = powerHourly(hours).map((line) => line.replace('-999 ', '-99.5 '));
    edit(power, HEAD.powerHourly, 12, 4, '-99.5');
    edit(power, HEAD.powerHourly, 36, 4, '-999.0');
    expect(readHours(power).notes).toContain('ghi_W_m2: 2 missing values are filled on a straight line.');
    const daily = powerDaily(daysOf(YEAR));
    edit(daily, HEAD.powerDaily, 40, 3, '-999.0');
    expect(readDays(daily).notes).toContain('ghi_kWh_m2: 1 missing value is filled on a straight line.');
  });

  it('takes night hours without value for dark, however many', () => {
    const blank = (i: number) => [i - 1, i, i + 1].every((k) => (ghi[k] ?? 0) === 0);
    const lines = plain(YEAR, undefined, (h) => {
      const night = blank((leapless(h.month, h.day) - 1) * 24 + h.hour);
      return `${isoTime(h)},${night ? ',,' : `${h.ghi},${h.dni},${h.dhi}`},${h.temperature},1`;
    });
    const file = readHours(lines);
    expectSame(file.hours.ghi_W_m2, ghi);
    expect(file.notes.join()).toMatch(/ghi_W_m2: 3,\d\d\d missing night hours set to 0/);
  });

  it('fills wind with the mean where it is long away, and takes 1.5 m/s where there is none', () => {
    const lines = epw(YEAR);
    for (let i = 0; i < 100; i++) edit(lines, HEAD.epw, 2000 + i, 21, '999');
    expect(readHours(lines).notes.join()).toMatch(
      /wind_m_s: 100 values in long gaps take the mean of the file, 3\.0 m\/s/,
    );
    const none = readHours(
      plain(YEAR, 'time,ghi_W_m2,temperature_degC', (h) => `${isoTime(h)},${h.ghi},${h.temperature}`),
    );
    expect(none.hours.wind_m_s[77]).toBe(1.5);
  });

  it('sums a missing GHI from beam and diffuse', () => {
    const lines = epw(YEAR);
    for (let i = 0; i < 48; i++) edit(lines, HEAD.epw, 4000 + i, 13, '9999');
    const file = readHours(lines);
    expect(file.notes.join()).toMatch(/missing values? summed from beam and diffuse/);
    for (let i = 0; i < 48; i++) expect(Math.abs(file.hours.ghi_W_m2[4000 + i]! - ghi[4000 + i]!)).toBeLessThan(60);
  });
});

describe('radiation', () => {
  it('splits GHI by Erbs where there is no beam and diffuse, and keeps the sum', () => {
    const file = readHours(
      plain(YEAR, 'time,ghi_W_m2,temperature_degC', (h) => `${isoTime(h)},${h.ghi},${h.temperature}`),
    );
    expect(file.notes).toContain(
      'The file has neither beam nor diffuse radiation: both are split from ghi_W_m2 by Erbs (1982).',
    );
    const sun = sunYear(PLACE);
    for (let i = 0; i < 8760; i++) {
      const top = sun.extraterrestrialHorizontal_Wh_m2[i]!;
      const dhi = file.hours.dhi_W_m2[i]!;
      if (top <= 0) continue;
      expect(dhi).toBeCloseTo(ghi[i]! * erbsHourly(ghi[i]! / top), 2);
      const sine = top / sun.extraterrestrialNormal_W_m2[Math.floor(i / 24)]!;
      const dni = file.hours.dni_W_m2[i]!;
      if (dni < 1200) expect(dhi + dni * sine).toBeCloseTo(ghi[i]!, 2);
    }
  });

  it('derives the third of three', () => {
    const noDni = readHours(
      plain(YEAR, 'time,ghi_W_m2,dhi_W_m2,temperature_degC', (h) => `${isoTime(h)},${h.ghi},${h.dhi},${h.temperature}`),
    );
    const noDhi = readHours(
      plain(YEAR, 'time,ghi_W_m2,dni_W_m2,temperature_degC', (h) => `${isoTime(h)},${h.ghi},${h.dni},${h.temperature}`),
    );
    expect(noDni.notes.join()).toMatch(/dni_W_m2 follows from the other two in 4,\d\d\d hours/);
    expect(noDhi.notes.join()).toMatch(/dhi_W_m2 follows from the other two in 4,\d\d\d hours/);
    const sum = (values: ArrayLike<number>) => Array.from(values).reduce((a, b) => a + b, 0);
    // The invented sun is up to 0.3 h off the true one.
    expect(sum(noDni.hours.dni_W_m2) / sum(YEAR.map((h) => h.dni))).toBeCloseTo(1, 1);
    expect(sum(noDhi.hours.dhi_W_m2) / sum(YEAR.map((h) => h.dhi))).toBeCloseTo(1, 1);
  });

  it('tells where beam and diffuse do not close', () => {
    const { up } = sunYear(PLACE);
    const closing = YEAR.map((h, i) =>
      up[i]! > 0.05 ? { ...h, dni: (h.ghi - h.dhi) / up[i]! } : { ...h, dni: 0, dhi: h.ghi },
    );
    expect(readHours(plain(closing)).notes.join()).not.toContain('fit together');
    const file = readHours(plain(closing.map((h) => ({ ...h, dni: h.dni * 1.18 }))));
    expect(file.notes.join()).toContain('Beam times the sine of the elevation sums to 1.18 of global less diffuse');
    expect(readHours(plain(closing.map((h) => ({ ...h, dni: h.dni * 1.049 })))).notes.join()).not.toContain(
      'fit together',
    );
    expect(readHours(plain(closing.map((h) => ({ ...h, dni: h.dni * 0.94 })))).notes.join()).toContain('0.94');
  });

  it('sets slightly negative radiation to 0 and tells', () => {
    const file = readHours(epw(YEAR.map((h) => ({ ...h, ghi: h.ghi === 0 ? -2 : h.ghi }))));
    expect(Math.min(...file.hours.ghi_W_m2)).toBe(0);
    expect(file.notes.join()).toMatch(/ghi_W_m2: 4,\d\d\d slightly negative values are set to 0/);
  });

  it('tells of columns that it does not use', () => {
    const file = readHours(
      plain(YEAR, 'time,ghi_W_m2,humidity,temperature_degC', (h) => `${isoTime(h)},${h.ghi},50,${h.temperature}`),
    );
    expect(file.notes).toContain('Columns not used: "humidity".');
  });
});
