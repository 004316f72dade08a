/** QR codes as vectors. */

import QRCode from 'qrcode';
import { userError } from '../core/units/index.ts';
import type { QrLevel } from './types.ts';

export interface QrCode {
  readonly version: number;
  /** Modules along a side, without the quiet zone. */
  readonly side: number;
  /** Row by row, 1 dark. */
  readonly modules: Uint8Array;
}

/** Light modules around a code (ISO/IEC 18004). */
export const QUIET_MODULES = 4;
/** Narrower modules are hard for scanners held in the hand (common practice). */
export const LEAST_MODULE_mm = 0.33;

/** The smallest code that holds a text at a level. Throws UserError when none does. */
export function qrCode(text: string, level: QrLevel): QrCode {
  if (text === '') throw userError('code-empty', 'the code would say nothing: give its text', { field: 'code' });
  try {
    const { version, modules } = QRCode.create(text, { errorCorrectionLevel: level });
    return { version, side: modules.size, modules: Uint8Array.from(modules.data, (m) => (m ? 1 : 0)) };
  } catch (error) {
    if (!/too big|too much/i.test((error as Error).message)) throw error;
    throw userError(
      'code-too-long',
      `the code's text has ${[...text].length} characters, more than any code holds at level ${level}: shorten it`,
      { field: 'code' },
    );
  }
}

/** Stretches of dark modules in each row: column, row, length. */
export function* darkRuns({ side, modules }: QrCode): Generator<readonly [number, number, number]> {
  for (let row = 0; row < side; row++)
    for (let column = 0; column < side; column++) {
      if (modules[row * side + column] === 0) continue;
      const start = column;
      while (column < side && modules[row * side + column] === 1) column++;
      yield [start, row, column - start];
    }
}

/** Draws a code with its quiet zone into a square; upper left corner and side in pt. */
export function drawQr(doc: PDFKit.PDFDocument, code: QrCode, x: number, y: number, size: number): void {
  const module = size / (code.side + 2 * QUIET_MODULES);
  const x0 = x + QUIET_MODULES * module;
  const y0 = y + QUIET_MODULES * module;
  doc.rect(x, y, size, size).fill('#FFFFFF');
  // Rows overlap by a hair, so that no light line shows between them on screens.
  for (const [column, row, length] of darkRuns(code))
    doc.rect(x0 + column * module, y0 + row * module, length * module, module * 1.01);
  doc.fill('#000000');
}
