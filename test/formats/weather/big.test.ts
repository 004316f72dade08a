import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { describe, expect, it } from 'vitest';
import { UserError } from '../../../src/core/units/index.ts';
import { weatherReader } from '../../../src/formats/weather/index.ts';
import { epw, invent, plain } from './make.ts';

/*
 * Files of 300 MB, made piece by piece in memory: what is held must stay far below their size. The limit of 200 MB is the
 * project's own; the numbers of 200 years alone are 56 MB while reading and 42 MB when read.
 */
const SIZE = 300e6;
const MOST_GROWTH = 200e6;

// What earlier tests left behind in this process must not be counted, nor hide what is held here.
setFlagsFromString('--expose_gc');
const collect = runInNewContext('gc') as () => void;
const used = () => process.memoryUsage().heapUsed + process.memoryUsage().arrayBuffers;

/** Growth by what is held; what only waits for the collector is no growth. */
function grown(before: number): number {
  if (used() - before >= MOST_GROWTH) collect();
  return used() - before;
}

/** Feeds pieces until 300 MB are through or the reader refuses; gives the signs fed, the peak growth and the refusal. */
function feed(piece: (n: number) => string) {
  const reader = weatherReader('big');
  collect();
  const before = used();
  let peak = 0;
  let fed = 0;
  try {
    for (let n = 0; fed < SIZE; n++) {
      const text = piece(n);
      reader.push(text);
      fed += text.length;
      peak = Math.max(peak, grown(before));
    }
    const file = reader.end();
    peak = Math.max(peak, grown(before));
    return { fed, peak, file, told: '' };
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    return { fed, peak: Math.max(peak, grown(before)), told: error.problems.map((p) => p.code).join() };
  }
}

describe('a file of 300 MB', () => {
  it('is read as 192 years of good weather', () => {
    const lines = epw(invent([2019]));
    const head = `${lines.slice(0, 8).join('\n')}\n`;
    // Each row is padded in a field that is not used, so that a year is 1.57 MB as in a real file.
    const months = Array.from(
      { length: 12 },
      (_, month) =>
        `${lines
          .slice(8)
          .filter((line) => Number(line.split(',')[1]) === month + 1)
          .map((line) => line.replace('?9?9', '?9'.repeat(45)))
          .join('\n')}\n`,
    );
    const year = months.reduce((sum, text) => sum + text.length, 0);
    const whole = Math.floor(SIZE / year) * 12;
    const { file, peak, fed } = feed((n) =>
      n === 0 ? head + months[0]! : n < whole ? months[n % 12]! : ' '.repeat(10_000) + '\n'.repeat(1),
    );
    expect(fed).toBeGreaterThanOrEqual(SIZE);
    expect(file?.kind === 'hourly' && file.hours.length).toBe((whole / 12) * 8760);
    expect(peak).toBeLessThan(MOST_GROWTH);
  });

  it.each([
    ['one line of noughts', () => '0'.repeat(65_536), 'weather.longLine', 1e6],
    ['noise in lines', (n: number) => `${'\u0007noise'.repeat(1000)}${n}\n`, 'weather.format', 1e6],
    ['blank lines', () => '\n'.repeat(65_536), 'weather.format', 1e6],
    [
      'an EPW header without end',
      (n: number) => (n === 0 ? 'LOCATION,a\n' : 'x,y\n'.repeat(10_000)),
      'weather.header',
      1e6,
    ],
    ['comments without end', () => '# nothing\n'.repeat(6000), 'weather.tooManyRows', 20e6],
    ['an open brace', (n: number) => (n === 0 ? '{' : '"a": 1, '.repeat(8000)), 'weather.tooLong', 121e6],
  ])('that is %s is refused early', (_, piece, code, most) => {
    const { told, fed, peak } = feed(piece as (n: number) => string);
    expect(told).toBe(code);
    expect(fed).toBeLessThan(most as number);
    expect(peak).toBeLessThan(MOST_GROWTH);
  });

  it('that holds more than 200 years is refused while it is read', () => {
    const head = plain([], 'time,ghi_W_m2,temperature_degC').join('\n');
    const { told, peak } = feed((n) => (n === 0 ? `${head}\n` : '2019-01-01T00:00,0,0\n'.repeat(3000)));
    expect(told).toBe('weather.tooManyRows');
    expect(peak).toBeLessThan(MOST_GROWTH);
  });
});
