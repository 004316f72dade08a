import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatInstant, parseInstant } from '../../src/app/instant.ts';
import { UserError } from '../../src/core/units/index.ts';

const codeOf = (text: string) => {
  try {
    parseInstant(text);
  } catch (error) {
    if (error instanceof UserError) return error.problems[0]!.code;
    throw error;
  }
  return 'fine';
};

describe('moments in ISO 8601', () => {
  // The unix time of the sun-position report's example is that of `date -u -d`, a program outside the project.
  it.each([
    ['2003-10-17T12:30:30-07:00', 1066419030000],
    ['2003-10-17T12:30:30-0700', 1066419030000],
    ['2003-10-17T19:30:30Z', 1066419030000],
    ['2003-10-17T19:30:30.25Z', 1066419030250],
    ['2003-10-17T19:30:30,25+00:00', 1066419030250],
    ['2003-10-17T12:30:30\u221207', 1066419030000],
    ['2003-10-18T01:00:30+05:30', 1066419030000],
    ['1970-01-01T00:00Z', 0],
    ['2000-02-29T00:00:00Z', 951782400000],
  ])('%s', (text, unix_ms) => {
    expect(parseInstant(text).unix_ms).toBe(unix_ms);
  });

  it.each([
    ['2003-10-17T12:30:30', 'time-offset-missing'],
    ['2003-10-17', 'time-form'],
    ['17.10.2003 12:30', 'time-form'],
    ['now', 'time-form'],
    ['', 'time-form'],
    ['2003-13-01T00:00Z', 'time-month'],
    ['2003-00-01T00:00Z', 'time-month'],
    ['2003-02-29T00:00Z', 'time-day'],
    ['1900-02-29T00:00Z', 'time-day'],
    ['2004-02-30T00:00Z', 'time-day'],
    ['2003-04-31T00:00Z', 'time-day'],
    ['2003-04-00T00:00Z', 'time-day'],
    ['2003-04-01T24:00Z', 'time-clock'],
    ['2003-04-01T12:60Z', 'time-clock'],
    ['2003-04-01T12:30:60Z', 'time-clock'],
    ['2003-04-01T12:30+15:00', 'time-offset'],
    ['2003-04-01T12:30+05:75', 'time-offset'],
    ['2003-04-01T12:30+5', 'time-form'],
  ])('tells %s', (text, code) => {
    expect(codeOf(text)).toBe(code);
  });

  it('knows the leap years of the calendar: 97 in 400 years (Gregorian reform, 1582)', () => {
    const leaps = Array.from({ length: 400 }, (_, i) => codeOf(`${1800 + i}-02-29T00:00Z`)).filter((c) => c === 'fine');
    expect(leaps.length).toBe(97);
  });

  it('writes what it reads, for any moment and offset', () => {
    const moment = fc.record({
      seconds: fc.integer({ min: -2_000_000_000, max: 4_100_000_000 }),
      utcOffset_min: fc.integer({ min: -840, max: 840 }),
    });
    fc.assert(
      fc.property(moment, ({ seconds, utcOffset_min }) => {
        const instant = { unix_ms: seconds * 1000, utcOffset_min };
        expect(parseInstant(formatInstant(instant))).toEqual(instant);
      }),
      { seed: 1, numRuns: 2000 },
    );
  });

  it('tells the years 0 to 99 apart from those of the last century', () => {
    expect(formatInstant(parseInstant('0033-04-03T12:00:00Z'))).toBe('0033-04-03T12:00:00Z');
  });

  it('answers any text with a moment or a sentence', () => {
    const bits = fc.constantFrom('2003', '-', ':', 'T', 'Z', '+', '07', '99', '.', '0', ' ', '\u0000');
    const text = fc.oneof(
      fc.string(),
      fc.array(bits, { maxLength: 24 }).map((parts) => parts.join('')),
    );
    fc.assert(
      fc.property(text, (t) => {
        expect(codeOf(t)).toMatch(/^(fine|time-[a-z-]+)$/);
      }),
      { seed: 1, numRuns: 3000 },
    );
  });
});
