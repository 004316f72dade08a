/** A few letters as dots, for pictures made of pixels: no font is at hand there. Drawn for this program. */

/** Rows of five dots from the top, one base-32 digit each; the seventh row stands on the line, two more hang below it. */
const DOTS: Readonly<Record<string, string>> = {
  '0': 'ehjlphe',
  '1': '4c4444e',
  '2': 'eh1248v',
  '3': 'v2421he',
  '4': '26aiv22',
  '5': 'vgu11he',
  '6': '68guhhe',
  '7': 'v124888',
  '8': 'ehhehhe',
  '9': 'ehhf12c',
  a: '00e1fhf',
  b: 'gguhhhu',
  c: '00egghe',
  d: '11fhhhf',
  e: '00ehvge',
  f: '698s888',
  g: '00fhhf1e',
  h: 'ggmphhh',
  i: '40c444e',
  j: '2062222ic',
  k: 'ggikoki',
  l: 'c44444e',
  m: '00qllhh',
  n: '00mphhh',
  o: '00ehhhe',
  p: '00uhhugg',
  q: '00fhhf11',
  r: '00mpggg',
  s: '00fge1u',
  t: '88s8896',
  u: '00hhhjd',
  v: '00hhha4',
  w: '00hhlla',
  x: '00ha4ah',
  y: '00hhhf1e',
  z: '00v248v',
  A: 'ehhvhhh',
  B: 'uhhuhhu',
  C: 'ehggghe',
  D: 'uhhhhhu',
  E: 'vgguggv',
  F: 'vgguggg',
  G: 'ehgnhhf',
  H: 'hhhvhhh',
  I: 'e44444e',
  J: '72222ic',
  K: 'hikokih',
  L: 'ggggggv',
  M: 'hrllhhh',
  N: 'hpljhhh',
  O: 'ehhhhhe',
  P: 'uhhuggg',
  Q: 'ehhhlid',
  R: 'uhhukih',
  S: 'fgge11u',
  T: 'v444444',
  U: 'hhhhhhe',
  V: 'hhhhha4',
  W: 'hhhllla',
  X: 'hha4ahh',
  Y: 'hhha444',
  Z: 'v1248gv',
  ß: 'ehhmhhm',
  ø: '01ejlpe',
  Ø: 'ejjlppe',
  ł: 'c46c44e',
  Ł: 'ggkoggv',
  ı: '00c444e',
  '-': '000e000',
  '.': '00000cc',
  ',': '00000c48',
  ':': '0cc0cc0',
  '>': '8421248',
  '%': 'op248j3',
  "'": '4400000',
  '"': 'aa00000',
  '(': '2488842',
  ')': '8422248',
  '/': '11248gg',
  '&': 'cik8lid',
  '+': '044v440',
  _: '000000v',
  '!': '4444404',
  '?': 'eh12404',
  ';': '0cc0c48',
  '#': 'aavavaa',
  '°': 'ciic000',
  ' ': '',
};

/** Accents: two rows above the letter with a free one between, three without; or two below it. */
const ABOVE: Readonly<Record<string, string>> = {
  '\u0300': '84',
  '\u0301': '24',
  '\u0302': '4a',
  '\u0303': 'di',
  '\u0304': 'e0',
  '\u0306': 'he',
  '\u0307': '40',
  '\u0308': 'a0',
  '\u030a': '4a4',
  '\u030b': '9i',
  '\u030c': 'a4',
};
const BELOW: Readonly<Record<string, string>> = {
  '\u0323': '04',
  '\u0326': '48',
  '\u0327': '48',
  '\u0328': '42',
};
/** Signs that are written with others. */
const AS: Readonly<Record<string, string>> = {
  æ: 'ae',
  œ: 'oe',
  Æ: 'Ae',
  Œ: 'Oe',
  '’': "'",
  '‘': "'",
  '“': '"',
  '”': '"',
  '–': '-',
  '—': '-',
  '\u00a0': ' ',
  '\u202f': ' ',
};

const ADVANCE = 6;

/** Letters with their accents, in order. */
function lettersOf(text: string): { readonly letter: string; readonly marks: string }[] {
  const spelt = [...text].map((sign) => AS[sign] ?? sign).join('');
  return Array.from(spelt.normalize('NFD').matchAll(/(\P{M})(\p{M}*)/gu), ([, letter, marks]) => ({
    letter: letter!,
    marks: marks!,
  }));
}

/** Whether every letter and accent of a text is drawn here; one accent above and one below are. */
export function isDrawn(text: string): boolean {
  const count = (marks: string, of: Readonly<Record<string, string>>) =>
    [...marks].filter((mark) => Object.hasOwn(of, mark)).length;
  return lettersOf(text).every(({ letter, marks }) => {
    const [above, below] = [count(marks, ABOVE), count(marks, BELOW)];
    return Object.hasOwn(DOTS, letter) && above <= 1 && below <= 1 && above + below === [...marks].length;
  });
}

/** Width of a line of text in dots. */
export function dotWidth(text: string): number {
  return lettersOf(text).length * ADVANCE - 1;
}

/** Rows of dots above the line that a text may need with accents on capitals, and below it. */
export const DOT_ROWS = { above: 10, below: 2 } as const;

/**
 * Sets text on a line at `y`, starting at `x`, dot by dot: `dot` is called with the corner of each square of `size` pixels.
 * A letter that is not drawn here leaves a gap.
 */
export function setDots(text: string, x: number, y: number, size: number, dot: (x: number, y: number) => void): void {
  lettersOf(text).forEach(({ letter, marks }, at) => {
    const above = [...marks].map((mark) => ABOVE[mark] ?? '').join('');
    // An accent stands in place of the dot.
    const rows = DOTS[letter === 'i' && above !== '' ? 'ı' : letter] ?? '';
    const put = (dots: string, from: number) => {
      for (let row = 0; row < dots.length; row++) {
        const bits = Number.parseInt(dots[row]!, 32);
        for (let column = 0; column < 5; column++)
          if (bits & (16 >> column)) dot(x + (at * ADVANCE + column) * size, y + (from + row - 7) * size);
      }
    };
    put(rows, 0);
    const top = Math.max(
      0,
      [...rows].findIndex((row) => row !== '0'),
    );
    put(above, top - 3);
    put([...marks].map((mark) => BELOW[mark] ?? '').join(''), 7);
  });
}
