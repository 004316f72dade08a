/** Looks for a QR code in a picture, beside the page, so that the picture of the camera does not stop meanwhile. */
import decodeQR from 'qr/decode.js';
import type { CodeAsk, CodeTold } from './code-messages.ts';

/** Longest that second looks at a hard picture may take, ms; the next picture comes soon enough. */
const MOST_ms = 80;

function textIn({ pixels, width, height }: CodeAsk): string | null {
  try {
    return decodeQR({ data: new Uint8ClampedArray(pixels), width, height }, { timeLimit: MOST_ms });
  } catch {
    // No code in it, or none that can be read: told alike.
    return null;
  }
}

const tell = (told: CodeTold) => self.postMessage(told);
self.addEventListener('message', ({ data }: MessageEvent<CodeAsk>) => tell({ text: textIn(data) }));
