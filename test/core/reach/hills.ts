import { createRandom } from '../../../src/core/math/index.ts';

/** Seeded mountains for tests: value noise in seven octaves, the first three folded into ridges; heights 500 to 3000 m. */
export function hills(rows: number, columns: number, seed: number): Float32Array {
  const size = 256;
  const random = createRandom(seed);
  const lattice = Float32Array.from({ length: size * size }, () => random.next() * 2 - 1);
  const at = (x: number, y: number) => lattice[(y & (size - 1)) * size + (x & (size - 1))]!;
  const ease = (t: number) => t * t * t * (t * (t * 6 - 15) + 10);
  const noise = (x: number, y: number) => {
    const xi = Math.floor(x);
    const yi = Math.floor(y);
    const u = ease(x - xi);
    const v = ease(y - yi);
    return (
      (at(xi, yi) * (1 - u) + at(xi + 1, yi) * u) * (1 - v) + (at(xi, yi + 1) * (1 - u) + at(xi + 1, yi + 1) * u) * v
    );
  };
  const height_m = new Float32Array(rows * columns);
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++) {
      let z = 1500;
      let amplitude = 900;
      let frequency = 1 / 220;
      for (let octave = 0; octave < 7; octave++) {
        const v = noise(c * frequency + octave * 37, r * frequency + octave * 91);
        z += amplitude * (octave < 3 ? 0.96 - 1.6 * Math.abs(v) : v);
        amplitude *= 0.48;
        frequency *= 2.05;
      }
      height_m[r * columns + c] = z;
    }
  return height_m;
}
