/** Coverage as pixels: hill shading, margin by cividis where it is reached, solid in sight and striped over edges. */

import { drawMark, drawNames, type NamedMarks } from './bitmap-names.ts';
import { dotWidth, setDots } from './bitmap-type.ts';
import { paletteColour, parseHex, type Rgb } from './palette.ts';
import { niceStep } from './scale.ts';
import { LIGHT } from './theme.ts';

/** A coverage on the cells of a raster, as its pictures take it. */
export interface ReachField {
  readonly rows: number;
  readonly columns: number;
  readonly cellHeight_km: number;
  readonly cellWidth_km: number;
  /** The perch in rows and columns from the first cell's centre. */
  readonly centre: { readonly row: number; readonly column: number };
  readonly reach_km: number;
  readonly height_m: Float32Array;
  /** NaN where it is not known or out of range. */
  readonly margin_dB: Float32Array;
  /** 1 in sight, 0 not, 255 unknown. */
  readonly sight: Uint8Array;
}

/** Pixels from the top left, three bytes each. */
export interface Pixels {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** Margin at which the scale ends, dB. */
export const FULL_dB = 40;
const STEPS = 256;

/** Colour of a margin of zero or more. */
export function marginColour(margin_dB: number): string {
  return paletteColour('cividis', Math.min(1, Math.max(0, margin_dB / FULL_dB)));
}

const RAMP: readonly Rgb[] = Array.from({ length: STEPS }, (_, i) =>
  parseHex(marginColour((i / (STEPS - 1)) * FULL_dB)),
);
const PAPER = parseHex(LIGHT.paper);
const INK = parseHex(LIGHT.ink);

/** Kilometres from the middle of the picture to its edge. */
export const spanOf = (field: ReachField): number => field.reach_km * 1.02;

/** The map, square, north up, the perch in the middle. */
export function reachImage(field: ReachField, width: number): Pixels {
  const { rows, columns, centre, height_m, margin_dB, sight } = field;
  const data = new Uint8Array(3 * width * width);
  const perPixel_km = (2 * spanOf(field)) / width;
  for (let py = 0; py < width; py++) {
    const row = centre.row + ((py + 0.5 - width / 2) * perPixel_km) / field.cellHeight_km;
    for (let px = 0; px < width; px++) {
      const column = centre.column + ((px + 0.5 - width / 2) * perPixel_km) / field.cellWidth_km;
      const at = 3 * (py * width + px);
      const r = Math.round(row);
      const c = Math.round(column);
      const inside = r >= 0 && r < rows && c >= 0 && c < columns;
      const cell = r * columns + c;
      const shade = inside ? shadeAt(field, row, column) : 1;
      const margin = inside ? margin_dB[cell]! : Number.NaN;
      const away = Math.hypot(px + 0.5 - width / 2, py + 0.5 - width / 2) * perPixel_km > field.reach_km;
      if (margin >= 0 && (sight[cell] === 1 || (px + py) % 6 < 3)) {
        const [red, green, blue] = RAMP[Math.min(STEPS - 1, Math.round((margin / FULL_dB) * (STEPS - 1)))]!;
        const light = 0.62 + 0.38 * shade;
        data[at] = Math.min(255, red * light);
        data[at + 1] = Math.min(255, green * light);
        data[at + 2] = Math.min(255, blue * light);
      } else {
        // Unknown ground inside the circle: paper with dots.
        const unknown = !away && (!inside || Number.isNaN(height_m[cell]!) || Number.isNaN(margin));
        const light = unknown
          ? px % 4 === 0 && py % 4 === 0
            ? 0.55
            : 1
          : away
            ? 0.86 + 0.14 * shade
            : 0.5 + 0.47 * shade;
        for (let k = 0; k < 3; k++) data[at + k] = Math.min(255, PAPER[k]! * light);
      }
    }
  }
  return { width, height: width, data };
}

/** The same picture in steps of four of the 256 of each colour: not told apart by eye, and a smaller file. */
export function inSteps({ width, height, data }: Pixels): Pixels {
  return { width, height, data: data.map((v) => (v & 252) | 2) };
}

/** Light on a slope, 0..1.1, sun in the north-west at 45° as maps have it; flat ground 0.85. Exact to the grid's slopes; 1 beside voids. */
function shadeAt(field: ReachField, row: number, column: number): number {
  const { rows, columns, height_m } = field;
  const r = Math.min(rows - 2, Math.max(1, Math.round(row)));
  const c = Math.min(columns - 2, Math.max(1, Math.round(column)));
  const k = r * columns + c;
  const east = (height_m[k + 1]! - height_m[k - 1]!) / (2000 * field.cellWidth_km);
  const north = (height_m[k - columns]! - height_m[k + columns]!) / (2000 * field.cellHeight_km);
  const light = (0.5 * (east - north) + Math.SQRT1_2) / Math.sqrt(1 + east * east + north * north);
  return Number.isFinite(light) ? Math.min(1.1, Math.max(0, light * 1.2)) : 1;
}

/**
 * The map with its key below: the margin's scale, what solid, striped and grey mean, and the length of a bar; with the names of
 * perch and places where there is room, and how many are left out.
 */
export function reachPicture(field: ReachField, width = 1000, named?: NamedMarks): Pixels {
  const map = reachImage(field, width);
  const marks = named !== undefined && named.places.length > 0;
  const strip = marks ? 136 : 104;
  const height = width + strip;
  const data = new Uint8Array(3 * width * height);
  data.set(map.data);
  for (let i = map.data.length; i < data.length; i += 3) data.set(PAPER, i);
  const set = (x: number, y: number, colour: Rgb) => {
    const px = Math.round(x);
    const py = Math.round(y);
    if (px >= 0 && px < width && py >= 0 && py < height) data.set(colour, 3 * (py * width + px));
  };
  const fill = (x: number, y: number, w: number, h: number, colour: (x: number, y: number) => Rgb) => {
    for (let dy = 0; dy < h; dy++) for (let dx = 0; dx < w; dx++) set(x + dx, y + dy, colour(dx, dy));
  };
  const ink = () => INK;
  const write = (text: string, x: number, y: number) => setDots(text, x, y, 2, (dx, dy) => fill(dx, dy, 2, 2, ink));
  circle(width, field, (x, y) => set(x, y, INK));
  // The perch: a ring of paper around a dot.
  const middle = width / 2;
  fill(middle - 7, middle - 7, 15, 15, (x, y) => {
    const d = Math.hypot(x - 7, y - 7);
    return d < 4 ? INK : d < 7 ? PAPER : pixelAt(data, width, middle - 7 + x, middle - 7 + y);
  });
  const paint = (x: number, y: number, dark: boolean) => set(x, y, dark ? INK : PAPER);
  const out = named === undefined ? 0 : drawNames(named, width, paint);

  const left = 20;
  const top = width + 42;
  const long = 360;
  write('margin, dB', left, top - 14);
  fill(left, top, long, 16, (x) => RAMP[Math.round((x / (long - 1)) * (STEPS - 1))]!);
  for (const tick of [0, 10, 20, 30, 40]) {
    const x = left + (tick / FULL_dB) * (long - 1);
    fill(x, top + 16, 2, 6, ink);
    const text = tick === FULL_dB ? '40 up' : String(tick);
    write(text, tick === 0 ? x : Math.min(x - dotWidth(text), left + long - dotWidth(text)), top + 44);
  }
  const samples: [string, (x: number, y: number) => Rgb][] = [
    ['in sight', () => RAMP[170]!],
    ['over edges', (x, y) => ((x + y) % 6 < 3 ? RAMP[170]! : (PAPER.map((v) => v * 0.85) as unknown as Rgb))],
    ['not reached', () => PAPER.map((v) => v * 0.85) as unknown as Rgb],
  ];
  samples.forEach(([name, colour], i) => {
    const y = width + 12 + i * 28;
    fill(left + long + 50, y, 40, 18, colour);
    write(name, left + long + 102, y + 16);
  });
  if (marks) {
    const y = width + 120;
    let x = left;
    for (const reached of [true, false]) {
      const text = `place ${reached ? '' : 'not '}reached`;
      drawMark(x + 6, y - 7, reached, paint);
      write(text, x + 22, y);
      x += 22 + 2 * dotWidth(text) + 34;
    }
    if (out > 0) write(`${out} ${out === 1 ? 'name' : 'names'} left out`, x, y);
  }
  const bar_km = niceStep(field.reach_km, 3);
  const bar = (bar_km / (2 * spanOf(field))) * width;
  const x0 = width - left - bar;
  fill(x0, top + 8, bar, 3, ink);
  fill(x0, top, 3, 11, ink);
  fill(x0 + bar - 3, top, 3, 11, ink);
  write(`${bar_km} km`, x0 + bar / 2 - dotWidth(`${bar_km} km`), top + 44);
  return { width, height, data };
}

function pixelAt(data: Uint8Array, width: number, x: number, y: number): Rgb {
  const at = 3 * (Math.round(y) * width + Math.round(x));
  return [data[at]!, data[at + 1]!, data[at + 2]!];
}

function circle(width: number, field: ReachField, set: (x: number, y: number) => void): void {
  const radius = (field.reach_km / (2 * spanOf(field))) * width;
  const steps = Math.ceil(8 * radius);
  for (let i = 0; i < steps; i++) {
    const a = (2 * Math.PI * i) / steps;
    set(width / 2 + radius * Math.sin(a), width / 2 - radius * Math.cos(a));
  }
}
