import { RAD_PER_DEG } from '../units/index.ts';
import type { GridFrame, HeightGrid } from './grid.ts';
import { xOfColumn_u, yOfRow_u } from './grid.ts';

/** Middle of the invented valley. */
export const OSSEL = { latitude_deg: 46.4, longitude_deg: 10.2 } as const;

/** Heights that shape it, m above sea: the valley floor at its middle, the lake on it, and the mean of the mountains around. */
const FLOOR_m = 1180;
const LAKE_m = 1150;
const MOUNTAINS_m = 1750;
/** Kilometres a degree of latitude, and of longitude at the middle: the shape is laid out on a plane. */
const KM_PER_DEG = 111.2;
const KM_PER_DEG_EAST = KM_PER_DEG * Math.cos(OSSEL.latitude_deg * RAD_PER_DEG);
/** The main valley runs up to N 58° E. */
const AXIS_RAD = 58 * RAD_PER_DEG;

/**
 * Height of the invented Ossel valley, m: mountains of ridged noise, into which a main valley with a lake and a side valley that
 * hangs above it are cut. The same for the same seed everywhere; not a real place, and not meant to look eroded.
 */
export function osselHeight_m(latitude_deg: number, longitude_deg: number, seed: number): number {
  const x_km = (longitude_deg - OSSEL.longitude_deg) * KM_PER_DEG_EAST;
  const y_km = (latitude_deg - OSSEL.latitude_deg) * KM_PER_DEG;
  const along_km = x_km * Math.sin(AXIS_RAD) + y_km * Math.cos(AXIS_RAD);
  // To the north-west, with the bends of the valley taken out.
  const bend_km = 2.2 * noise(x_km / 9, y_km / 9, seed) + 0.8 * noise(x_km / 3.5, y_km / 3.5, seed + 1);
  const across_km = -x_km * Math.cos(AXIS_RAD) + y_km * Math.sin(AXIS_RAD) + bend_km;

  const mountains_m = MOUNTAINS_m + 1500 * ridges(x_km / 7.5, y_km / 7.5, seed + 2);
  // The floor rises to 2000 m at the head of the valley, and falls to 900 m at its mouth.
  const floor_m = FLOOR_m + (along_km > 0 ? 820 * smooth(clamp(along_km / 26)) : 280 * Math.max(-1, along_km / 30));
  const main_m = floor_m + flank_m(Math.abs(across_km) - 0.55);
  // The side valley leaves to the north-west at 3 km, hangs 240 m above the floor and ends at 7 km.
  const side_km = Math.abs(along_km - 3 - 0.2 * across_km + 0.6 * noise(x_km / 2.5, y_km / 2.5, seed + 20)) - 0.15;
  const sideFloor_m = floor_m + 240 + 110 * across_km + 900 * smooth(clamp((across_km - 5) / 2));
  const side_m = across_km > 0 ? sideFloor_m + 1.3 * flank_m(side_km) : Number.POSITIVE_INFINITY;
  let height_m = softMin(softMin(mountains_m, main_m), side_m);

  // Smaller relief, quieter on the valley floors.
  const rough = 0.12 + 0.88 * smooth(clamp((height_m - floor_m) / 500));
  height_m +=
    rough * (110 * noise(x_km / 0.9, y_km / 0.9, seed + 30) + 40 * noise(x_km / 0.35, y_km / 0.35, seed + 31));
  // The lake: a level ellipse on the floor, with shores that rise out of it.
  const shore = ((along_km + 2.2) / 1.7) ** 2 + (across_km / 0.36) ** 2;
  if (shore >= 2.5) return height_m;
  return shore < 1 ? LAKE_m : LAKE_m + Math.max(1, height_m - LAKE_m) * smooth((shore - 1) / 1.5);
}

/** Rise of a trough's flank, m, over the distance from the foot: slow at first, about one in three further up. */
const flank_m = (distance_km: number) => (distance_km <= 0 ? 0 : 270 * distance_km ** 1.3);

/** The invented valley on a geographic frame. */
export function osselGrid(frame: GridFrame, seed: number): HeightGrid {
  const height_m = new Float32Array(frame.rows * frame.columns);
  for (let r = 0, k = 0; r < frame.rows; r++) {
    const y_deg = yOfRow_u(frame, r);
    for (let c = 0; c < frame.columns; c++) height_m[k++] = osselHeight_m(y_deg, xOfColumn_u(frame, c), seed);
  }
  return { ...frame, height_m };
}

const clamp = (t: number) => Math.max(0, Math.min(1, t));
const smooth = (t: number) => t * t * (3 - 2 * t);
const softMin = (a: number, b: number) => (b - a > 2000 ? a : -150 * Math.log(Math.exp(-a / 150) + Math.exp(-b / 150)));

/** Five octaves of noise folded at its middle into sharp crests; each octave is quieter where the one before is low. About 0..1. */
function ridges(x: number, y: number, seed: number): number {
  let sum = 0;
  let amplitude = 0.52;
  let weight = 1;
  let scale = 1;
  for (let octave = 0; octave < 5; octave++) {
    const crest = (1 - Math.abs(1.5 * noise(x * scale, y * scale, seed + octave))) ** 2;
    sum += amplitude * crest * weight;
    weight = clamp(1.6 * crest);
    amplitude *= 0.5;
    scale *= 2.07;
  }
  return sum;
}

/** Gradient noise on a square lattice (Perlin 1985, An image synthesizer), about -0.7..0.7. */
function noise(x: number, y: number, seed: number): number {
  const i = Math.floor(x);
  const j = Math.floor(y);
  const fx = x - i;
  const fy = y - j;
  const u = fx * fx * fx * (fx * (fx * 6 - 15) + 10);
  const v = fy * fy * fy * (fy * (fy * 6 - 15) + 10);
  const low = corner(i, j, fx, fy, seed) * (1 - u) + corner(i + 1, j, fx - 1, fy, seed) * u;
  const high = corner(i, j + 1, fx, fy - 1, seed) * (1 - u) + corner(i + 1, j + 1, fx - 1, fy - 1, seed) * u;
  return low * (1 - v) + high * v;
}

/** Part of a lattice corner: the offset along its gradient, one of sixteen directions by hash (32-bit multiplications only). */
function corner(i: number, j: number, dx: number, dy: number, seed: number): number {
  let h = Math.imul(i, 0x27d4eb2f) ^ Math.imul(j, 0x165667b1) ^ Math.imul(seed, 0x9e3779b1);
  h = Math.imul(h ^ (h >>> 15), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  const direction = (h ^ (h >>> 16)) & 15;
  return dx * COMPASS[direction]! + dy * COMPASS[(direction + 4) & 15]!;
}

/** Sines of sixteen even directions. */
const COMPASS: readonly number[] = Array.from({ length: 16 }, (_, k) => Math.sin((k * Math.PI) / 8));
