import { describe, expect, it } from 'vitest';
import { REFERENCE_CLIMATES } from '../../src/core/weather/index.ts';
import { facingEquator_deg, MONTH_NAMES, winterTilt_deg } from '../../src/records/index.ts';
import { readGolden } from '../golden.ts';
import { perchOf, perchText, toldBy } from './reading.ts';

const told = (changes: Record<string, string>, weather = false) =>
  toldBy(() => perchOf(perchText(changes), [], weather));
const monthly = (ghi: readonly number[], temperature: readonly number[] = Array(12).fill(5)) =>
  `{ monthly: { ghi_kWh_m2_day: [${ghi.join(', ')}], temperature_degC: [${temperature.join(', ')}] } }`;

describe('a perch', () => {
  it('faces the equator, with the winter tilt and the nearest climate, and tells so', () => {
    const north = perchOf(perchText());
    expect(north.value).toMatchObject({
      azimuth_deg: 180,
      tilt_deg: 61,
      climate: 'nearest',
      utcOffset_h: 1,
      horizon: 'none',
    });
    const fields = north.assumptions.map((a) => a.field);
    for (const key of ['azimuth_deg', 'tilt_deg', 'climate', 'horizon', 'albedo', 'snow', 'soiling_pct'])
      expect(fields).toContain(`perch.${key}`);
    expect(perchOf(perchText({ latitude_deg: '-44.3', longitude_deg: '168.9' })).value.azimuth_deg).toBe(0);
    expect([facingEquator_deg(10), facingEquator_deg(-10), winterTilt_deg(-80)]).toEqual([180, 0, 90]);
  });

  it('may leave out its place only with a weather file', () => {
    const none = { name: 'A', latitude_deg: '', longitude_deg: '', elevation_m: '' };
    expect(told(none)).toHaveLength(3);
    expect(told({ ...none, climate: 'weather' })).toEqual([]);
    expect(told({ ...none, climate: '{ weather: place.epw }' })).toEqual([]);
    expect(told({ ...none, tilt_deg: '40' }, true)).toEqual([]);
    expect(perchOf(perchText({ ...none, climate: 'weather' })).value.azimuth_deg).toBeUndefined();
  });

  it('takes twelve values or one, a horizon, snow, shade by month and hour', () => {
    const row = `[${Array(24).fill('1').join(', ')}]`;
    const problems = told({
      albedo: '[0.7, 0.7, 0.6, 0.4, 0.2, 0.2, 0.2, 0.2, 0.2, 0.3, 0.5, 0.7]',
      horizon: '[{azimuth_deg: 0, elevation_deg: 3}, {azimuth_deg: 180, elevation_deg: 12}]',
      snow: `{ snowfall_cm: [${Array(12).fill('10').join(', ')}] }`,
      soiling_pct: '3',
      shade: `[${Array(12).fill(row).join(', ')}]`,
      wind_m_s: '2',
    });
    expect(problems).toEqual([]);
  });

  it.each(REFERENCE_CLIMATES.map((c) => [c.name, c] as const))(
    'accepts the measured months of %s (built-in climate, its own source)',
    (_, climate) => {
      const text = perchText({
        latitude_deg: String(climate.latitude_deg),
        longitude_deg: String(climate.longitude_deg),
        elevation_m: String(climate.elevation_m),
        utcOffset_h: String(climate.utcOffset_h),
        climate: monthly(climate.ghi_kWh_m2_day, climate.temperature_degC),
      });
      expect(toldBy(() => perchOf(text))).toEqual([]);
    },
  );
});

describe('radiation above the extraterrestrial limit', () => {
  const { source, tolerance, rows } = readGolden('records-extraterrestrial.csv');
  const share = Number.parseFloat(tolerance) / 100;

  it.each(rows)(`is told from the textbook's H0 upwards: $latitude_deg, $month (${source.slice(0, 17)})`, (row) => {
    const h0 = Number(row['h0_MJ_m2']) / 3.6;
    const month = MONTH_NAMES.indexOf(row['month'] ?? '');
    expect(month).toBeGreaterThanOrEqual(0);
    const withValue = (value: number) => {
      const ghi = Array.from({ length: 12 }, () => 2);
      ghi[month] = value;
      return told({ latitude_deg: row['latitude_deg'] ?? '', climate: monthly(ghi) });
    };
    expect(withValue(h0 * (1 - share))).toEqual([]);
    const problems = withValue(h0 * (1 + share));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toContain(`ghi_kWh_m2_day of ${row['month']} is`);
    expect(problems[0]).toContain('above-extraterrestrial');
  });

  it('knows the polar night: no sun may come, and none is missed', () => {
    const ghi = [0, 0.3, 1.6, 3.6, 5, 5.2, 4.6, 3, 1.6, 0.5, 0.02, 0];
    expect(told({ latitude_deg: '70', climate: monthly(ghi) })).toEqual([]);
    expect(told({ latitude_deg: '-70', climate: monthly(ghi) }).length).toBeGreaterThan(3);
  });
});

describe('what is wrong is told', () => {
  const cases: [string, Record<string, string>, string][] = [
    [
      'latitude 95',
      { latitude_deg: '95' },
      'latitude_deg is 95: a latitude lies between -90 and 90; is it the longitude?',
    ],
    ['longitude 200', { longitude_deg: '200' }, '200 east is -160'],
    ['tilt -200', { tilt_deg: '-200' }, 'tilt_deg is -200: a tilt lies between 0 and 90'],
    ['tilt 200', { tilt_deg: '200' }, 'did you mean azimuth_deg?'],
    ['azimuth -90', { azimuth_deg: '-90' }, '-90 is the same as 270'],
    ['albedo in per cent', { albedo: '20' }, 'write 20 % as 0.2'],
    [
      'eleven months',
      { albedo: '[0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2]' },
      'albedo is a list of 11: wanted 12 values, January to December',
    ],
    ['a month that is text', { wind_m_s: '[1, 1, 1, 1, 1, calm, 1, 1, 1, 1, 1, 1]' }, 'wind_m_s[5] is the text "calm"'],
    ['monthly sums', { climate: monthly(Array(12).fill(62)) }, 'is it a monthly sum?'],
    [
      'hours of light',
      { climate: monthly([2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 0.05]) },
      'ghi_kWh_m2_day of December is 0.05: less than 5 %',
    ],
    ['an unknown climate', { climate: '{ nearest: Salzbrug }' }, 'did you mean Salzburg?'],
    ['two climates', { climate: '{ nearest: Salzburg, weather: a.epw }' }, 'climate has nearest and weather'],
    ['no climate', { climate: '{}' }, 'climate has nothing in it'],
    ['a climate misspelt', { climate: 'nearst' }, 'did you mean nearest?'],
    ['a foreign time zone', { utcOffset_h: '-7' }, "the sun's own time at longitude 10.2"],
    [
      'an edge twice',
      { horizon: '[{azimuth_deg: 0, elevation_deg: 3}, {azimuth_deg: 360, elevation_deg: 12}]' },
      'stands twice in the horizon',
    ],
    ['snow from no file', { snow: 'from-weather' }, 'no weather file is named'],
    ['a unit missing', { tilt: '40' }, 'tilt is no key of this record: did you mean tilt_deg?'],
    ['a foreign unit', { height_ft: '40' }, 'did you mean height_m?'],
    ['a short form', { lat: '40' }, 'did you mean latitude_deg?'],
    ['a key of the kit', { frobnicate: '40' }, 'known are name, latitude_deg'],
    ['no number', { elevation_m: '.nan' }, 'elevation_m is NaN: wanted a number'],
    ['infinity', { elevation_m: '.inf' }, 'elevation_m is infinite: wanted a number'],
    [
      'a unit in the value',
      { elevation_m: '1,500 m' },
      "wanted a number alone, in the unit of the key's name, elevation_m: 1500",
    ],
    ['a comma', { latitude_deg: '46,4' }, 'latitude_deg: 46.4'],
    ['nothing', { latitude_deg: '~' }, 'latitude_deg is empty'],
  ];
  it.each(cases)('%s', (_, changes, expected) => {
    const problems = told(changes);
    expect(problems.join('\n')).toContain(expected);
    for (const line of problems) expect(line).toMatch(/^perch\.yaml:\d+:\d+: perch(\.[\w.[\]$]+)?: .* \[[a-z-]+\]$/);
  });

  it('all at once, in the order of the lines', () => {
    const problems = told({ latitude_deg: '95', tilt_deg: '-200', horizon: 'hills', albdeo: '0.2' });
    expect(problems.map((line) => line.slice(0, 14))).toEqual([
      'perch.yaml:1:1',
      'perch.yaml:4:1',
      'perch.yaml:5:1',
      'perch.yaml:6:1',
    ]);
  });
});
