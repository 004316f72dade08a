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

// Every third of the 256 entries of the published tables.
// Viridis: van der Walt & Smith 2015, released under CC0. Cividis: Nuñez, Anderton & Renslow 2018, PLOS ONE 13(7)
// e0199239, optimised to look alike with and without a deficiency of colour vision.
const VIRIDIS =
  '440154450559460a5d470e61471365481769481b6d481f70482374482677472a7a472e7c46327e453581443983433d84424086414487' +
  '3f47883e4a893d4e8a3b518b3a548c38588c375b8d355e8d34618d32648e31678e306a8e2e6d8e2d708e2c728e2b758e2a788e297b8e' +
  '277e8e26818e25838e24868e23898e228c8d218f8d20928c1f948c1f978b1f9a8a1e9d891fa0881fa28721a58522a88425ab8227ad81' +
  '2ab07f2eb37c32b67a37b8783bbb7540bd7246c06f4cc26c52c56958c7655ec96265cb5e6ccd5a73d0567ad15181d34d89d54890d743' +
  '98d83ea0da39a8db34b0dd2fb8de29c0df25c8e020d0e11cd8e219dfe318e7e419efe51cf6e620fde725';
const CIVIDIS =
  '00224e00255300275800295d002b62002d68002f6d0031700533710f35701637701c396f213b6e263d6e2a3f6d2e416d32436d35456c' +
  '39486c3c4a6c3f4c6c424e6c45506c48526c4b546c4e566c51586d545a6d565c6d595e6e5c616e5e636f61656f646770666970696b71' +
  '6c6d726e6f737172747374757676767878777b7a787e7c78807f788381798683798985788c88788f8a78928c78948e779791779a9376' +
  '9d9576a09875a39a74a69c74a99f73aca172afa471b3a670b6a96fb9ab6dbcae6cbfb06bc2b369c5b568c8b866ccba64cfbd62d2c060' +
  'd5c25ed9c55cdcc859dfca57e2cd54e6d051e9d34eedd54af0d846f3db42f7de3efbe138fee434fee838';

const table = (packed: string): readonly Rgb[] => (packed.match(/.{6}/g) ?? []).map((hex) => parseHex(`#${hex}`));
const TABLES = { viridis: table(VIRIDIS), cividis: table(CIVIDIS) } as const;

/**
 * Colour of a palette at 0..1 (clamped), linear between the 86 entries kept; within 2/255 per channel of the full table.
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
