import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CheckScheme } from '../../../src/core/quality/index.ts';
import {
  CHECK_SCHEMES,
  checkCharacter,
  checkLength,
  hasValidCheck,
  likelySlips,
  normaliseSerial,
  readCrockford,
  schemeAlphabet,
} from '../../../src/core/quality/index.ts';
import { readGolden } from '../../golden.ts';

const ALPHABET = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ';
const DIGITS: CheckScheme[] = ['mod97-10', 'mod11-2', 'luhn', 'damm', 'verhoeff', 'gs1'];
const replace = (text: string, at: number, by: string) => text.slice(0, at) + by + text.slice(at + 1);
const swap = (text: string, at: number) => text.slice(0, at) + text[at + 1]! + text[at]! + text.slice(at + 2);

describe('check characters', () => {
  it('published examples', () => {
    for (const { scheme, text, check } of readGolden('quality-check-characters.csv').rows) {
      if (check !== '') expect(checkCharacter(scheme as CheckScheme, text!), text).toBe(check);
      expect(hasValidCheck(scheme as CheckScheme, text! + check), text).toBe(true);
    }
  });

  it('mod 37-36: every wrong character is seen, at every place of a serial', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 35 }), { minLength: 1, maxLength: 12 }), (list) => {
        const body = list.map((v) => ALPHABET[v]).join('');
        const serial = body + checkCharacter('mod37-36', body);
        expect(hasValidCheck('mod37-36', serial)).toBe(true);
        for (let at = 0; at < serial.length; at++)
          for (const other of ALPHABET)
            if (other !== serial[at] && hasValidCheck('mod37-36', replace(serial, at, other)))
              throw new Error(`${serial} with ${other} at ${at} passes`);
      }),
      { seed: 1, numRuns: 30 },
    );
  });

  it('mod 37-36: swapped neighbours are seen but for one in six hundred', () => {
    // All pairs at all states, through the recursion: a two-character body behind a leading one runs through every
    // state.
    let missed = 0;
    let pairs = 0;
    for (const lead of ALPHABET)
      for (const a of ALPHABET)
        for (const b of ALPHABET)
          if (a < b) {
            pairs++;
            const head = lead + a + b;
            if (checkCharacter('mod37-36', head) === checkCharacter('mod37-36', lead + b + a)) missed++;
          }
    // The doc block must promise no more than this.
    expect(pairs / missed).toBe(630);
  });

  it.each(DIGITS)('%s: every wrong digit is seen, and swaps as promised', (scheme) => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 10 }), (list) => {
        const body = list.join('');
        const full = body + checkCharacter(scheme, body);
        for (let at = 0; at < full.length; at++)
          for (const other of '0123456789')
            if (other !== full[at] && hasValidCheck(scheme, replace(full, at, other)))
              throw new Error(`${full} with ${other} at ${at} passes`);
        for (let at = 0; at + 1 < full.length; at++) {
          const pair = full.slice(at, at + 2);
          const same = pair[0] === pair[1];
          const blind =
            (scheme === 'luhn' && (pair === '09' || pair === '90')) ||
            // Weights 3 and 1 differ by two, and two times five is ten.
            (scheme === 'gs1' && Math.abs(Number(pair[0]) - Number(pair[1])) === 5);
          expect(hasValidCheck(scheme, swap(full, at))).toBe(same || blind);
        }
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  it('mod 37-2: every wrong character and every swap is seen', () => {
    fc.assert(
      fc.property(fc.stringMatching(/^[0-9A-Z]{2,10}$/), fc.nat(9), (body, place) => {
        const full = body + checkCharacter('mod37-2', body);
        const at = place % body.length;
        for (const other of ALPHABET)
          if (other !== full[at]) expect(hasValidCheck('mod37-2', replace(full, at, other))).toBe(false);
        if (full[at] !== full[at + 1]) expect(hasValidCheck('mod37-2', swap(full, at))).toBe(false);
      }),
      { seed: 1, numRuns: 40 },
    );
  });

  it('share of swaps caught over all payloads of four digits', () => {
    // source: computed independently (shared reference folder): Luhn 0.9788, Damm and Verhoeff all; tolerance 0.005
    for (const [scheme, wanted] of [
      ['luhn', 0.9788226151156013],
      ['damm', 1],
      ['verhoeff', 1],
    ] as const) {
      let [swaps, caught] = [0, 0];
      for (let n = 0; n < 10_000; n += 3) {
        const body = String(n).padStart(4, '0');
        const full = body + checkCharacter(scheme, body);
        for (let at = 0; at < 4; at++)
          if (full[at] !== full[at + 1]) {
            swaps++;
            if (!hasValidCheck(scheme, swap(full, at))) caught++;
          }
      }
      expect(Math.abs(caught / swaps - wanted), scheme).toBeLessThanOrEqual(0.005);
    }
  });

  it('base 32 reads what is taken for one another alike', () => {
    // source: public description of the base (from memory): O is 0, I and L are 1; dashes do not count
    expect(readCrockford('oIl-16j')).toBe('01116J');
    expect(checkLength('mod97-10')).toBe(2);
    for (const scheme of CHECK_SCHEMES) {
      const body = schemeAlphabet(scheme).slice(1, 8);
      expect(hasValidCheck(scheme, body + checkCharacter(scheme, body)), scheme).toBe(true);
    }
  });

  it('too short or strange text is not right', () => {
    for (const text of ['', '5', 'Ä5', 'a5']) expect(hasValidCheck('mod37-36', text)).toBe(false);
    expect(() => checkCharacter('luhn', '12A')).toThrow(RangeError);
    expect(() => checkCharacter('damm', '')).toThrow(RangeError);
  });
});

describe('a mistyped serial', () => {
  const serial = 'A07N24B00075'; // its check is not right as it stands
  const right = `A07N24B0007${checkCharacter('mod37-36', 'A07N24B0007')}`;

  it('swaps and look-alikes lead back to what was meant', () => {
    expect(normaliseSerial(' a07-n24 b0007')).toBe('A07N24B0007');
    expect(likelySlips('mod37-36', right)).toEqual([]);
    expect(hasValidCheck('mod37-36', serial)).toBe(serial === right);
    expect(likelySlips('mod37-36', swap(right, 2)).some((s) => s.text === right && s.kind === 'swapped')).toBe(true);
    const oh = replace(right, 7, 'O');
    expect(likelySlips('mod37-36', oh)).toContainEqual({ kind: 'look-alike', at: 7, text: right });
  });

  it('every suggestion is right by its check', () => {
    fc.assert(
      fc.property(fc.stringMatching(/^[0-9A-Z]{2,12}$/), (text) => {
        for (const slip of likelySlips('mod37-36', text)) expect(hasValidCheck('mod37-36', slip.text)).toBe(true);
      }),
      { seed: 1, numRuns: 100 },
    );
  });
});
