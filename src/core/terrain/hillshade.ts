import { RAD_PER_DEG } from '../units/index.ts';

/** Heights on even points, row by row from the north, with a rim of `rim` points on every side that only lends its slopes. */
export interface ShadeGround {
  /** Rows and columns that are shaded, the rim not among them. */
  readonly rows: number;
  readonly columns: number;
  readonly rim: number;
  /** (rows + 2 rim) x (columns + 2 rim); NaN where there is no height. */
  readonly height_m: Float32Array;
  /** Distance between points, alike to the east and to the south; one value a shaded row. */
  readonly step_m: Float64Array;
}

export interface ShadeSetting {
  /** Points between which slopes are taken; the rim is at least as wide. More than 1 where points lie closer than the terrain's own cells. */
  readonly stride: number;
  /** Heights are multiplied by it. */
  readonly exaggeration: number;
  /** Where the light comes from. */
  readonly azimuth_deg: number;
  readonly altitude_deg: number;
}

/** Light as maps have it: from the north-west, half way up (common practice, no source). */
export const MAP_LIGHT = { azimuth_deg: 315, altitude_deg: 45 } as const;

/**
 * Brightness of the ground as a matt surface under one light, 0 (dark) to 1, into `out`; NaN where there is no height.
 *
 * Slopes by Horn (1981), Hill shading and the reflectance map, Proc. IEEE 69(1), p. 14 ff.: weighted differences of the eight
 * neighbours. Brightness by Lambert's cosine law; what faces away is 0. A neighbour without a height is continued from the one
 * opposite, or from the point itself, so that the edge of the terrain throws no line.
 *
 * Checked against an inclined plane, and against an independent program on rough ground to half a step of 254.
 *
 * @throws RangeError when sizes do not fit, or the stride is wider than the rim
 */
export function hillshade(ground: ShadeGround, setting: ShadeSetting, out: Float32Array): void {
  const { rows, columns, rim, height_m, step_m } = ground;
  const { stride, exaggeration } = setting;
  const width = columns + 2 * rim;
  if (out.length !== rows * columns || step_m.length !== rows || height_m.length !== width * (rows + 2 * rim))
    throw new RangeError('hillshade: sizes do not fit');
  if (!(stride >= 1 && stride <= rim)) throw new RangeError(`hillshade: stride ${stride} with a rim of ${rim}`);
  const azimuth = setting.azimuth_deg * RAD_PER_DEG;
  const altitude = setting.altitude_deg * RAD_PER_DEG;
  // Direction to the light.
  const lightEast = Math.sin(azimuth) * Math.cos(altitude);
  const lightNorth = Math.cos(azimuth) * Math.cos(altitude);
  const lightUp = Math.sin(altitude);
  const down = stride * width;
  for (let r = 0, k = 0; r < rows; r++) {
    const scale = exaggeration / (8 * stride * step_m[r]!);
    for (let c = 0; c < columns; c++, k++) {
      const i = (r + rim) * width + c + rim;
      const e = height_m[i]!;
      if (Number.isNaN(e)) {
        out[k] = Number.NaN;
        continue;
      }
      let [nw, n, ne] = [height_m[i - down - stride]!, height_m[i - down]!, height_m[i - down + stride]!];
      let [w, o] = [height_m[i - stride]!, height_m[i + stride]!];
      let [sw, s, se] = [height_m[i + down - stride]!, height_m[i + down]!, height_m[i + down + stride]!];
      if (Number.isNaN(nw + n + ne + w + o + sw + s + se)) {
        [nw, se] = bothSides(nw, e, se);
        [n, s] = bothSides(n, e, s);
        [ne, sw] = bothSides(ne, e, sw);
        [w, o] = bothSides(w, e, o);
      }
      // Horn 1981: slopes to the east and to the north.
      const east = (ne + 2 * o + se - nw - 2 * w - sw) * scale;
      const north = (nw + 2 * n + ne - sw - 2 * s - se) * scale;
      // Lambert: the cosine between the normal (-east, -north, 1) and the light.
      const light = (lightUp - lightEast * east - lightNorth * north) / Math.sqrt(1 + east * east + north * north);
      out[k] = Math.max(light, 0);
    }
  }
}

function bothSides(a: number, middle: number, b: number): [number, number] {
  if (Number.isNaN(a)) return Number.isNaN(b) ? [middle, middle] : [2 * middle - b, b];
  return [a, Number.isNaN(b) ? 2 * middle - a : b];
}
