/**
 * Code 128 (ISO/IEC 15417): printable ASCII in code set B, runs of digits in pairs in code set C. Checked by reading printed codes
 * back with a general decoder, and the check symbol against published examples.
 */

import { userError } from '../core/units/index.ts';

/** Widths of bar, space, bar, space, bar, space of each symbol value 0..105 (ISO/IEC 15417, table 1), then the stop pattern. */
const WIDTHS =
  '212222 222122 222221 121223 121322 131222 122213 122312 132212 221213 221312 231212 112232 122132 122231 113222 123122 123221 ' +
  '223211 221132 221231 213212 223112 312131 311222 321122 321221 312212 322112 322211 212123 212321 232121 111323 131123 131321 ' +
  '112313 132113 132311 211313 231113 231311 112133 112331 132131 113123 113321 133121 313121 211331 231131 213113 213311 213131 ' +
  '311123 311321 331121 312113 312311 332111 314111 221411 431111 111224 111422 121124 121421 141122 141221 112214 112412 122114 ' +
  '122411 142112 142211 241211 221114 413111 241112 134111 111242 121142 121241 114212 124112 124211 411212 421112 421211 212141 ' +
  '214121 412121 111143 111341 131141 114113 114311 411113 411311 113141 114131 311141 411131 211412 211214 211232 2331112';
const SYMBOLS = WIDTHS.split(' ');

export const START_A = 103;
export const START_B = 104;
export const START_C = 105;
const TO_C = 99;
const TO_B = 100;
const TO_A = 101;
const STOP = 106;
/** Light modules on either side. */
export const QUIET_128 = 10;

/** (start + sum of place x value) mod 103 (ISO/IEC 15417, annex A). */
export function checkSymbol(start: number, values: readonly number[]): number {
  return values.reduce((sum, value, i) => sum + (i + 1) * value, start) % 103;
}

/**
 * Symbol values of a text: start, data, check, stop; letters and signs in code set B, or in A, which has no small letters. Throws
 * UserError on a character outside printable ASCII, or outside the set.
 */
export function code128(text: string, letters: 'A' | 'B' = 'B'): number[] {
  const small = letters === 'A' ? [...text].find((c) => c > '_' && c <= '~') : undefined;
  if (small !== undefined)
    throw userError('code128-set', `'${small}' is not in code set A: write capital letters, or take set B`, {
      field: 'set',
    });
  const bad = [...text].find((c) => c < ' ' || c > '~');
  if (text === '' || bad !== undefined)
    throw userError(
      'code128-text',
      bad === undefined
        ? 'the bar code would say nothing: give its text'
        : `'${bad}' cannot stand in a bar code: letters without accents, digits and signs of a keyboard can`,
      { field: 'serial' },
    );
  const out: number[] = [];
  const [START_L, TO_L] = letters === 'A' ? [START_A, TO_A] : [START_B, TO_B];
  let set: 'A' | 'B' | 'C' | undefined;
  for (let i = 0; i < text.length; ) {
    const digits = /^\d+/.exec(text.slice(i))?.[0].length ?? 0;
    const atEdge = i === 0 || i + digits === text.length;
    // Pairs of digits pay off from four at an edge and from six within (ISO/IEC 15417, annex E).
    const pairs = digits >= (atEdge ? 4 : 6) || (digits >= 2 && set === 'C');
    const wanted = pairs ? 'C' : letters;
    if (pairs && digits % 2 === 1 && set !== 'C') {
      // An odd digit goes before the pairs.
      if (set !== letters) out.push(START_L);
      set = letters;
      out.push(text.charCodeAt(i++) - 32);
      continue;
    }
    if (set !== wanted)
      out.push(set === undefined ? (wanted === 'C' ? START_C : START_L) : wanted === 'C' ? TO_C : TO_L);
    set = wanted;
    if (set === 'C') {
      out.push(Number(text.slice(i, i + 2)));
      i += 2;
    } else out.push(text.charCodeAt(i++) - 32);
  }
  return [...out, checkSymbol(out[0]!, out.slice(1)), STOP];
}

/** Dark stretches in modules from the left, and the whole width, without quiet zones. */
export function bars(values: readonly number[]): {
  readonly bars: readonly (readonly [number, number])[];
  readonly modules: number;
} {
  const out: [number, number][] = [];
  let at = 0;
  for (const value of values)
    [...SYMBOLS[value]!].forEach((digit, i) => {
      const wide = Number(digit);
      if (i % 2 === 0) out.push([at, wide]);
      at += wide;
    });
  return { bars: out, modules: at };
}
