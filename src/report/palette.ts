/** Colour scales for fields and chances, and the contrast of two colours. */

export type Rgb = readonly [red: number, green: number, blue: number];

export function parseHex(hex: string): Rgb {
  const value = Number.parseInt(hex.slice(1), 16);
  if (!/^#[0-9a-fA-F]{6}$/.test(hex)) throw new RangeError(`'${hex}' is not a colour of the form #rrggbb`);
  return [value >> 16, (value >> 8) & 255, value & 255];
}

export function toHex([red, green, blue]: Rgb): string {
  const part = (v: number) => Math.round(v).toString(16).padStart(2, '0');
  return `#${part(red)}${part(green)}${part(blue)}`;
}

// 33 entries, evenly spread over the 256 of the published tables.
// Viridis: van der Walt & Smith 2015, released under CC0. Cividis: Nuñez, Anderton & Renslow 2018, PLOS ONE 13(7)
// e0199239, optimised to look alike with and without a deficiency of colour vision.
const VIRIDIS =
  '440154470d6048186a482374472d7b4537814240863e49893b528b375b8d33638d2f6b8e2c728e297a8e26828e23898e21918c1f978b' +
  '1f9f8821a68527ad8131b57b3dbc744cc26c5cc8636ece5881d34d95d840aadc32c0df25d5e21aeae51afde725';
const CIVIDIS =
  '00224e00285b002e6a0533711a386f273e6e32436d3b496c434e6c4b546c535a6d5a5f6e61656f686a716f70737676767d7c78838179' +
  '8b8778928d789a9376a29975aaa073b3a670bbad6dc3b369ccba64d4c15fddc858e6d051efd748f8df3cfee838';

const table = (packed: string): readonly Rgb[] => (packed.match(/.{6}/g) ?? []).map((hex) => parseHex(`#${hex}`));
const TABLES = { viridis: table(VIRIDIS), cividis: table(CIVIDIS) } as const;

/**
 * Colour of a palette at 0..1 (clamped), linear between the 33 entries kept; within 3/255 per channel of the full table.
 * Throws RangeError on a position that is not a number.
 */
export function paletteColour(name: 'viridis' | 'cividis', position: number): string {
  if (Number.isNaN(position)) throw new RangeError('palette position is not a number');
  const entries = TABLES[name];
  const at = Math.min(Math.max(position, 0), 1) * (entries.length - 1);
  const i = Math.min(Math.floor(at), entries.length - 2);
  const t = at - i;
  const a = entries[i]!;
  const b = entries[i + 1]!;
  return toHex([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2])]);
}

/**
 * Colour of a chance of being dark: viridis turned round, so that a sunny node is bright and a dark one dark, also in
 * black and white. The square root spreads the small chances that decide (5 % lies at 0.22).
 */
export function chanceColour(chance: number): string {
  return paletteColour('viridis', 1 - Math.sqrt(Math.min(Math.max(chance, 0), 1)));
}

/** Colour of a state of charge: cividis, empty dark, full bright. */
export function chargeColour(stateOfCharge: number): string {
  return paletteColour('cividis', stateOfCharge);
}

/** Relative luminance 0..1 of a colour (WCAG 2.2, definition of relative luminance; sRGB transfer of IEC 61966-2-1). */
export function luminance(hex: string): number {
  const [r, g, b] = parseHex(hex).map((v) => {
    const c = v / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

/** Contrast ratio 1..21 of two colours (WCAG 2.2, definition of contrast ratio). */
export function contrastRatio(a: string, b: string): number {
  const la = luminance(a);
  const lb = luminance(b);
  return (Math.max(la, lb) + 0.05) / (Math.min(la, lb) + 0.05);
}

/** Black or white, whichever reads better on a colour. At least 4.58:1 on any background. */
export function inkOn(background: string): '#000000' | '#ffffff' {
  return contrastRatio(background, '#000000') >= contrastRatio(background, '#ffffff') ? '#000000' : '#ffffff';
}
