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
  B: 'uhhuhhu',
  N: 'hpljhhh',
  M: 'hrllhhh',
  H: 'hhhvhhh',
  '-': '000e000',
  '.': '00000cc',
  ',': '00000c48',
  ':': '0cc0cc0',
  '>': '8421248',
  '%': 'op248j3',
};

const ADVANCE = 6;

/** Width of a line of text in dots. */
export function dotWidth(text: string): number {
  return text.length * ADVANCE - 1;
}

/**
 * Sets text on a line at `y`, starting at `x`, dot by dot: `dot` is called with the corner of each square of `size` pixels.
 * A letter that is not drawn here leaves a gap.
 */
export function setDots(text: string, x: number, y: number, size: number, dot: (x: number, y: number) => void): void {
  [...text].forEach((letter, at) => {
    const rows = DOTS[letter] ?? '';
    for (let row = 0; row < rows.length; row++) {
      const bits = Number.parseInt(rows[row]!, 32);
      for (let column = 0; column < 5; column++)
        if (bits & (16 >> column)) dot(x + (at * ADVANCE + column) * size, y + (row - 7) * size);
    }
  });
}
