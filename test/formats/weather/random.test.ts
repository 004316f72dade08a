import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatProblem, UserError } from '../../../src/core/units/index.ts';
import { weatherReader } from '../../../src/formats/weather/index.ts';
import { daysOf, epw, invent, plain, powerDaily, powerHourly, powerJson, tmy3 } from './make.ts';

/* Whatever the bytes are: the weather, or sentences; never another error, never a value that is no number. */

const YEAR = invent([2019]);
const WHOLE = [
  epw(YEAR),
  tmy3(YEAR),
  plain(YEAR),
  powerHourly(YEAR),
  powerDaily(daysOf(YEAR)),
  [JSON.stringify(powerJson(YEAR))],
].map((lines) => lines.join('\n'));
const FEW = YEAR.slice(0, 48);
const SHORT = [
  epw(FEW),
  tmy3(FEW),
  plain(FEW),
  powerHourly(FEW),
  powerDaily(daysOf(FEW)),
  [JSON.stringify(powerJson(FEW))],
].map((lines) => lines.join('\n'));

function outcome(pieces: readonly string[]): 'read' | 'told' {
  const reader = weatherReader('random');
  try {
    for (const piece of pieces) reader.push(piece);
    const file = reader.end();
    const columns = Object.values(file.kind === 'hourly' ? file.hours : file.days).filter((v) => typeof v !== 'number');
    for (const column of columns)
      for (const value of column as ArrayLike<number> & Iterable<number>)
        if (!Number.isFinite(value)) throw new Error('a value is no number');
    return 'read';
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    expect(error.problems.length).toBeGreaterThan(0);
    expect(error.problems.length).toBeLessThanOrEqual(21);
    for (const problem of error.problems) {
      const text = formatProblem(problem);
      expect(text).not.toMatch(/undefined|\[object|\$\{/);
      expect(text).toMatch(/^random.*\S.* \[weather\.\w+\]$/s);
      expect(text.length).toBeLessThan(1000);
    }
    return 'told';
  }
}

const scrap = fc.oneof(
  fc.string({ maxLength: 12, unit: 'binary' }),
  fc.constantFrom(
    '"',
    ',',
    '\n',
    '\r',
    '\r\n',
    '\u0000',
    '\ufeff',
    ';',
    '#',
    '-',
    'NaN',
    '9999',
    '-9900',
    '1e400',
    '{',
    '}',
    '99.9',
    ' ',
    '-END HEADER-',
  ),
);
/** What befalls a file: a place in it (as a share), how much is cut there, and what is put in instead. */
const harm = fc.record({ at: fc.double({ min: 0, max: 1, noNaN: true }), cut: fc.nat(60), scrap });

function harmed(text: string, harms: readonly { at: number; cut: number; scrap: string }[]): string {
  let out = text;
  for (const { at, cut, scrap } of harms) {
    const from = Math.floor(at * out.length);
    out = out.slice(0, from) + scrap + out.slice(from + cut);
  }
  return out;
}

describe('random text', () => {
  it('random strings', () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: 'binary', maxLength: 200 }), { maxLength: 6 }), (pieces) => {
        expect(outcome(pieces)).toBe('told');
      }),
      { seed: 1, numRuns: 1000 },
    );
  });

  it('random bytes read as Latin-1', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 2000 }), (bytes) => {
        expect(outcome([String.fromCharCode(...bytes)])).toBe('told');
      }),
      { seed: 1, numRuns: 500 },
    );
  });

  it('random text behind the head of each format', () => {
    fc.assert(
      fc.property(fc.constantFrom(...SHORT), fc.nat(1200), fc.array(scrap, { maxLength: 60 }), (text, keep, scraps) => {
        outcome([text.slice(0, keep), ...scraps]);
      }),
      { seed: 1, numRuns: 1000 },
    );
  });

  it('short files that were harmed', () => {
    fc.assert(
      fc.property(fc.constantFrom(...SHORT), fc.array(harm, { minLength: 1, maxLength: 5 }), (text, harms) => {
        expect(outcome([harmed(text, harms)])).toBe('told');
      }),
      { seed: 1, numRuns: 1000 },
    );
  });

  it('whole years that were harmed once or twice', () => {
    const seen = { read: 0, told: 0 };
    fc.assert(
      fc.property(fc.constantFrom(...WHOLE), fc.array(harm, { minLength: 1, maxLength: 2 }), (text, harms) => {
        seen[outcome([harmed(text, harms)])]++;
      }),
      { seed: 1, numRuns: 60 },
    );
    expect(seen.told).toBeGreaterThan(10);
  });

  it('whole years with one field made anything', () => {
    fc.assert(
      fc.property(fc.nat(3), fc.nat(8000), fc.nat(12), scrap, (which, row, field, scrap) => {
        const lines = WHOLE[which]!.split('\n');
        const fields = lines[row]!.split(',');
        fields[field % fields.length] = scrap;
        lines[row] = fields.join(',');
        outcome([lines.join('\n')]);
      }),
      { seed: 2, numRuns: 60 },
    );
  });

  it('gives the same for any cutting into pieces', () => {
    fc.assert(
      fc.property(fc.constantFrom(...SHORT), fc.array(fc.nat(3000), { maxLength: 20 }), (text, cuts) => {
        const at = [0, ...cuts.map((c) => c % text.length).sort((a, b) => a - b), text.length];
        const told = (pieces: readonly string[]) => {
          try {
            const reader = weatherReader('random');
            for (const piece of pieces) reader.push(piece);
            return reader.end();
          } catch (error) {
            return (error as UserError).problems;
          }
        };
        expect(told(at.slice(1).map((end, i) => text.slice(at[i], end)))).toEqual(told([text]));
      }),
      { seed: 1, numRuns: 200 },
    );
  });
});
