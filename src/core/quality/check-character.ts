/** Published schemes. `mod37-36` is the one for serials: letters and digits, one character. */
export const CHECK_SCHEMES = [
  'mod37-36',
  'mod37-2',
  'mod97-10',
  'mod11-2',
  'luhn',
  'damm',
  'verhoeff',
  'gs1',
  'crockford',
] as const;
export type CheckScheme = (typeof CHECK_SCHEMES)[number];

const DIGITS = '0123456789';
const ALPHABET = `${DIGITS}ABCDEFGHIJKLMNOPQRSTUVWXYZ`;
/** Base 32 without I, L, O and U, and the five signs that only its check symbol uses (Crockford; from memory). */
const CROCKFORD = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';
const CROCKFORD_CHECK = `${CROCKFORD}*~$=U`;

const ALPHABETS: Readonly<Record<CheckScheme, string>> = {
  'mod37-36': ALPHABET,
  'mod37-2': ALPHABET,
  'mod97-10': ALPHABET,
  'mod11-2': DIGITS,
  luhn: DIGITS,
  damm: DIGITS,
  verhoeff: DIGITS,
  gs1: DIGITS,
  crockford: CROCKFORD,
};

/** Characters of the text, without the check, that a scheme takes. */
export const schemeAlphabet = (scheme: CheckScheme): string => ALPHABETS[scheme];
/** Characters that the check of a scheme takes up. */
export const checkLength = (scheme: CheckScheme): number => (scheme === 'mod97-10' ? 2 : 1);

/**
 * Check character (two for mod 97-10) to write behind `text`.
 *
 * - `mod37-36`: ISO 7064 hybrid system over 0-9 A-Z. Detects every single wrong character; of two neighbours swapped it
 *   misses those counted in the tests, one in six hundred. `mod37-2`: the pure system over the same, whose check may
 *   be `*`; detects every single wrong character and every swap of neighbours.
 * - `mod97-10`: ISO 7064 pure system, two digits, over digits; letters count as 10 to 35, two digits each (ISO 13616).
 *   `mod11-2`: the same, one digit or X. Over digits both detect every single wrong one and every swap of neighbours.
 * - `luhn`: every single wrong digit; of swaps all but 09 with 90 (Luhn 1960). `damm`: all of both (Damm 2004), and so
 *   `verhoeff` (Verhoeff 1969). `gs1`: weights 3 and 1 from the right (GS1 General Specifications 7.9): every single
 *   wrong digit; of swaps not those of digits that differ by 5.
 * - `crockford`: base 32 without I, L, O, U; check symbol the number modulo 37 (from memory).
 *
 * Checked on published examples; the rates are held by tests. Throws RangeError for a character outside the scheme's
 * alphabet or an empty text: `normaliseSerial` first.
 */
export function checkCharacter(scheme: CheckScheme, text: string): string {
  const values = valuesOf(text, ALPHABETS[scheme]);
  switch (scheme) {
    case 'mod37-36': {
      let product = 36;
      for (const a of values) {
        const sum = (product + a) % 36;
        product = (2 * (sum === 0 ? 36 : sum)) % 37;
      }
      return ALPHABET[(37 - product) % 36]!;
    }
    case 'mod37-2': {
      const product = values.reduce((p, a) => (2 * (p + a)) % 37, 0);
      return `${ALPHABET}*`[(38 - product) % 37]!;
    }
    case 'mod97-10': {
      const rest = values.reduce((r, a) => ((a > 9 ? 100 : 10) * r + a) % 97, 0);
      return String(98 - ((100 * rest) % 97)).padStart(2, '0');
    }
    case 'mod11-2': {
      const product = values.reduce((p, a) => (2 * (p + a)) % 11, 0);
      const check = (12 - product) % 11;
      return check === 10 ? 'X' : String(check);
    }
    case 'luhn': {
      let sum = 0;
      values.forEach((a, i) => {
        const doubled = (values.length - i) % 2 === 1;
        sum += doubled ? (a > 4 ? 2 * a - 9 : 2 * a) : a;
      });
      return String((10 - (sum % 10)) % 10);
    }
    case 'gs1': {
      const sum = values.reduce((s, a, i) => s + ((values.length - i) % 2 === 1 ? 3 * a : a), 0);
      return String((10 - (sum % 10)) % 10);
    }
    case 'damm':
      return String(values.reduce((state, a) => Number(DAMM[state]![a]), 0));
    case 'verhoeff':
      return String(verhoeffCheck(values));
    case 'crockford':
      return CROCKFORD_CHECK[values.reduce((r, a) => (32 * r + a) % 37, 0)]!;
  }
}

/**
 * Verhoeff's scheme: digits, turned by a permutation that depends on their place, are multiplied in the dihedral group
 * of order ten; the check is the inverse of the product (Verhoeff 1969, Error Detecting Decimal Codes).
 */
function verhoeffCheck(values: readonly number[]): number {
  let product = 0;
  for (let i = values.length - 1, place = 1; i >= 0; i--, place++) {
    let digit = values[i]!;
    for (let turn = place % 8; turn > 0; turn--) digit = TURN[digit]!;
    product = dihedral(product, digit);
  }
  // Rotations 1 to 4 have another rotation as inverse, reflections themselves.
  return product < 5 ? (5 - product) % 5 : product;
}
/** The permutation of order eight that is applied once more at each place to the left. */
const TURN = [1, 5, 7, 6, 2, 8, 3, 0, 9, 4];
/** Product in the symmetries of the pentagon: 0..4 rotations, 5..9 reflections. */
function dihedral(a: number, b: number): number {
  if (a < 5) return b < 5 ? (a + b) % 5 : 5 + ((a + b) % 5);
  return b < 5 ? 5 + ((a - b) % 5) : (a - b + 5) % 5;
}

/**
 * Damm's quasigroup of order 10 (Damm 2004, dissertation, p. 111; from memory; totally anti-symmetric: held by a test).
 */
const DAMM = [
  '0317598642',
  '7092154863',
  '4206871359',
  '1750983426',
  '6123045978',
  '3674209581',
  '5869720134',
  '8945362017',
  '9438617205',
  '2581436790',
];

/** Whether the text ends in its own check character. Text that is not of the alphabet, or too short, does not. */
export function hasValidCheck(scheme: CheckScheme, text: string): boolean {
  const length = checkLength(scheme);
  const body = text.slice(0, -length);
  if (body === '' || [...body].some((c) => !ALPHABETS[scheme].includes(c))) return false;
  return checkCharacter(scheme, body) === text.slice(-length);
}

/** Serial as it is compared: upper case, without blanks and dashes. */
export function normaliseSerial(text: string): string {
  return text.toUpperCase().replace(/[\s\-‐-―_./]/g, '');
}

/** A text as Crockford's base 32 reads it: O is 0, I and L are 1, small letters count as large ones. */
export function readCrockford(text: string): string {
  return normaliseSerial(text).replaceAll('O', '0').replace(/[IL]/g, '1');
}

/** One way in which a text that fails its check may have gone wrong. */
export interface Slip {
  readonly kind: 'swapped' | 'look-alike';
  /** Place of the first character concerned, from 0, in the normalised text. */
  readonly at: number;
  /** What would be right. */
  readonly text: string;
}

/** Characters that are taken for one another on labels and by hand (common practice, no source). */
const LOOK_ALIKES = ['0OQD', '1IL', '2Z', '5S', '6G', '8B', 'UV', 'VY', 'CG', 'EF', 'MN', '17', '38', '49'];

/**
 * What a mistyped serial may have been: swaps of neighbours and characters that look alike, each mended alone, that
 * give a right check. An empty list: more than one slip, or a serial of somebody else. A right serial gives an empty
 * list too.
 */
export function likelySlips(scheme: CheckScheme, text: string): Slip[] {
  const serial = normaliseSerial(text);
  if (hasValidCheck(scheme, serial)) return [];
  const slips: Slip[] = [];
  const consider = (kind: Slip['kind'], at: number, changed: string) => {
    if (hasValidCheck(scheme, changed) && !slips.some((s) => s.text === changed))
      slips.push({ kind, at, text: changed });
  };
  for (let i = 0; i + 1 < serial.length; i++)
    if (serial[i] !== serial[i + 1])
      consider('swapped', i, serial.slice(0, i) + serial[i + 1] + serial[i] + serial.slice(i + 2));
  for (let i = 0; i < serial.length; i++)
    for (const group of LOOK_ALIKES)
      if (group.includes(serial[i]!))
        for (const other of group)
          if (other !== serial[i]) consider('look-alike', i, serial.slice(0, i) + other + serial.slice(i + 1));
  return slips;
}

function valuesOf(text: string, alphabet: string): number[] {
  if (text === '') throw new RangeError('checkCharacter: no text');
  return [...text].map((c) => {
    const value = alphabet.indexOf(c);
    if (value < 0) throw new RangeError(`checkCharacter: ${c} is not of the alphabet`);
    return value;
  });
}
