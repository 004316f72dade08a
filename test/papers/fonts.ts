/** The fonts that the build puts beside the bundle, from the packages that they come from. */
import { readFileSync } from 'node:fs';
import type { PaperFonts } from '../../src/papers/index.ts';
import { plainFont } from '../../tools/sfnt.mjs';

const read = (family: string, set: string, weight: number) =>
  new Uint8Array(
    plainFont(
      readFileSync(
        new URL(
          `../../node_modules/@fontsource/atkinson-hyperlegible-${family}/files/atkinson-hyperlegible-${family}-${set}-${weight}-normal.woff`,
          import.meta.url,
        ),
      ),
    ),
  );
/** Read once for all papers. */
let fonts: PaperFonts | undefined;

export function testFonts(): PaperFonts {
  fonts ??= {
    regular: read('next', 'latin', 400),
    bold: read('next', 'latin', 700),
    mono: read('mono', 'latin', 400),
    regularExt: read('next', 'latin-ext', 400),
    boldExt: read('next', 'latin-ext', 700),
    monoExt: read('mono', 'latin-ext', 400),
  };
  return fonts;
}
