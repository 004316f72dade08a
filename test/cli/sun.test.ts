import { describe, expect, it } from 'vitest';
import { sunperch } from './run.ts';

const HERE = ['--lat', '39.742476', '--lon', '-105.1786', '--elevation', '1830.14'];

describe('sunperch sun', () => {
  it('answers the worked example of the sun-position report within 0.01 degrees, in the names of the contract', () => {
    // Reda & Andreas 2004, NREL/TP-560-34302, appendix A.5: 39.872046 and 194.340241 without refraction.
    const run = sunperch('sun', ...HERE, '--at', '2003-10-17T12:30:30-07:00', '--json');
    const told = run.json() as { elevation_deg: number; azimuth_deg: number };
    expect(run.code).toBe(0);
    expect(Math.abs(told.elevation_deg - 39.872046)).toBeLessThan(0.01);
    expect(Math.abs(told.azimuth_deg - 194.340241)).toBeLessThan(0.01);
  });

  it('says it in words', () => {
    const run = sunperch('sun', ...HERE, '--at', '2003-10-17T19:30:30Z');
    expect(run.out).toMatch(/^The sun is 39\.9° high at 2003-10-17T19:30:30Z, azimuth 194\.3°/);
    expect(run.err).toBe('');
  });

  it.each([
    ['a time without offset', ['--at', '2003-10-17T12:30:30'], 2, /does not say its offset from UTC: add Z/],
    [
      'a day that does not exist',
      ['--at', '2003-02-29T12:30Z'],
      2,
      /has day 29: month 2 of 2003 has the days 01 to 28/,
    ],
    ['no time', [], 2, /--at <time>/],
    ['a year outside', ['--at', '1900-02-28T12:30Z'], 1, /--at is in 1900: .* 1950 to 2100/],
  ])('%s', (_, args, code, sentence) => {
    const run = sunperch('sun', ...HERE, ...args);
    expect(run).toMatchObject({ code, out: '' });
    expect(run.err).toMatch(sentence);
  });

  it('latitude 95 is wrong input that names its option; a word is wrong usage', () => {
    const wrong = sunperch('sun', '--lat', '95', '--lon', '0', '--at', '2003-10-17T12:30Z', '--json');
    expect(wrong.code).toBe(1);
    expect(wrong.err).toMatch(/^--lat: --lat is 95: a latitude lies between -90 and 90/);
    expect(wrong.json()).toMatchObject({ problems: [{ code: 'out-of-range', place: { field: '--lat' } }] });
    const word = sunperch('sun', '--lat', 'north', '--lon', '0', '--at', '2003-10-17T12:30Z');
    expect(word.code).toBe(2);
    expect(word.err).toMatch(/'north' is not a number/);
  });
});
