/** Reading a code off the camera's picture: by the browser's own detector where it has one, else by a worker (decision 021). */
import type { CodeAsk, CodeTold } from './code-messages.ts';

export interface CodeReader {
  /** Whether bar codes are read as well as QR codes. */
  readonly bars: boolean;
  /** Text of the code in the picture as it is now; undefined when none can be read. */
  look(video: HTMLVideoElement): Promise<string | undefined>;
  close(): void;
}

interface Detector {
  detect(source: HTMLVideoElement): Promise<readonly { readonly rawValue: string }[]>;
}
declare global {
  interface Window {
    BarcodeDetector?: {
      new (options: { formats: string[] }): Detector;
      getSupportedFormats(): Promise<readonly string[]>;
    };
  }
}

const WANTED = ['qr_code', 'code_128'];

export async function codeReader(): Promise<CodeReader> {
  return (await ownReader()) ?? workerReader();
}

/** The browser's own; undefined where it has none, or one that reads no QR codes: on some desktops it is an empty shell. */
async function ownReader(): Promise<CodeReader | undefined> {
  if (window.BarcodeDetector === undefined) return undefined;
  try {
    const all = await window.BarcodeDetector.getSupportedFormats();
    if (!all.includes('qr_code')) return undefined;
    const formats = WANTED.filter((format) => all.includes(format));
    const detector = new window.BarcodeDetector({ formats });
    return {
      bars: formats.includes('code_128'),
      async look(video) {
        const [code] = await detector.detect(video).catch(() => []);
        return code?.rawValue;
      },
      close: () => undefined,
    };
  } catch {
    return undefined;
  }
}

/** Longest side of a picture that is looked at, px. */
const SIDE_px = 640;

function workerReader(): CodeReader {
  const worker = new Worker(new URL('./code-worker.ts', import.meta.url), { type: 'module' });
  const canvas = document.createElement('canvas');
  const drawing = canvas.getContext('2d', { willReadFrequently: true })!;
  let near = true;
  return {
    bars: false,
    async look(video) {
      const { videoWidth: w, videoHeight: h } = video;
      if (w === 0 || h === 0) return undefined;
      // The whole picture made smaller, and its middle as it is, in turn: for codes that are near, and for small ones.
      near = !near || Math.max(w, h) <= SIDE_px;
      const side = near ? Math.max(w, h) : SIDE_px;
      const from = { w: Math.min(w, side), h: Math.min(h, side) };
      const scale = Math.min(1, SIDE_px / side);
      const width = Math.round(from.w * scale);
      const height = Math.round(from.h * scale);
      canvas.width = width;
      canvas.height = height;
      drawing.drawImage(video, (w - from.w) / 2, (h - from.h) / 2, from.w, from.h, 0, 0, width, height);
      const pixels = drawing.getImageData(0, 0, width, height).data.buffer;
      return ask(worker, { pixels, width, height });
    },
    close: () => worker.terminate(),
  };
}

function ask(worker: Worker, question: CodeAsk): Promise<string | undefined> {
  return new Promise((resolve, reject) => {
    worker.onmessage = ({ data }: MessageEvent<CodeTold>) => resolve(data.text ?? undefined);
    worker.onerror = () => reject(new Error('the reader of codes did not load'));
    worker.postMessage(question, [question.pixels]);
  });
}
