/** A film for the browser's invented camera: a code of our own labels, held a little askew, on a bench, with the noise of a small lens. */
import { createRandom } from '../../src/core/math/index.ts';
import { QUIET_MODULES, qrCode } from '../../src/papers/qr.ts';

const WIDTH = 640;
const HEIGHT = 480;

/** Brightness of a code's label and of the bench around it, 0 to 255. */
const LIGHT = { ink: 48, label: 196, bench: 112 } as const;

/**
 * A still film in the YUV4MPEG2 format (as `man yuv4mpeg` describes it), one picture a second.
 *
 * @param module_px width of a module in the picture
 */
export function filmOf(text: string, { module_px = 5.3, turn_deg = 11, noise = 9 } = {}): Buffer {
  const random = createRandom(5);
  const { side, modules } = qrCode(text, 'M');
  const [cos, sin] = [Math.cos((turn_deg * Math.PI) / 180), Math.sin((turn_deg * Math.PI) / 180)];
  const at = (x: number, y: number): number => {
    const column = Math.floor((cos * x + sin * y) / module_px + side / 2);
    const row = Math.floor((cos * y - sin * x) / module_px + side / 2);
    const within = (edge: number) => Math.min(column, row) >= -edge && Math.max(column, row) < side + edge;
    if (!within(QUIET_MODULES)) return LIGHT.bench;
    return within(0) && modules[row * side + column] === 1 ? LIGHT.ink : LIGHT.label;
  };
  const bright = Buffer.alloc(WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++)
    for (let x = 0; x < WIDTH; x++) {
      // Two looks into each pixel: edges are soft, as through a lens.
      const [across, down] = [x - WIDTH / 2, y - HEIGHT / 2];
      const mean = (at(across + 0.25, down + 0.25) + at(across + 0.75, down + 0.75)) / 2;
      bright[y * WIDTH + x] = Math.max(0, Math.min(255, Math.round(mean + noise * random.normal())));
    }
  const grey = Buffer.alloc((WIDTH * HEIGHT) / 2, 128);
  const frame = [Buffer.from('FRAME\n'), bright, grey];
  return Buffer.concat([
    Buffer.from(`YUV4MPEG2 W${WIDTH} H${HEIGHT} F10:1 Ip A1:1 C420jpeg\n`),
    ...Array.from({ length: 2 }, () => frame).flat(),
  ]);
}
