import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type GridFrame, hillshade, MAP_LIGHT, osselHeight_m } from '../../../src/core/terrain/index.ts';
import { bufferSource, openGeotiff } from '../../../src/formats/geotiff.ts';
import { writeGeotiff } from '../../../src/formats/geotiff-writer.ts';

const HAS_GDAL = spawnSync('gdaldem', ['--version']).error === undefined;

function shaded(side: number, rim: number, stride: number, exaggeration: number, step_m: number, height: Float32Array) {
  const out = new Float32Array(side * side);
  const ground = { rows: side, columns: side, rim, height_m: height, step_m: new Float64Array(side).fill(step_m) };
  hillshade(ground, { ...MAP_LIGHT, stride, exaggeration }, out);
  return out;
}
const field = (side: number, height: (east: number, north: number) => number) =>
  Float32Array.from({ length: side * side }, (_, k) => height(k % side, -Math.floor(k / side)));

describe('hillshade', () => {
  // source: Lambert's cosine law by hand: the light's direction is (-1/2, 1/2, 1/√2) east, north, up.
  it.each([
    ['level ground', () => 7, Math.SQRT1_2],
    ['45° to the west', (e: number) => 30 * e, (0.5 + Math.SQRT1_2) / Math.SQRT2],
    ['45° to the south', (_: number, n: number) => 30 * n, (-0.5 + Math.SQRT1_2) / Math.SQRT2],
    ['facing the light', (e: number, n: number) => (30 * (e - n)) / Math.SQRT2, 1],
    ['turned away, steep', (e: number, n: number) => 90 * (n - e), 0],
  ])('a plane: %s', (_, height, light) => {
    for (const stride of [1, 3]) {
      const out = shaded(4, 3, stride, 1, 30, field(10, height));
      for (const value of out) expect(value).toBeCloseTo(light, 6);
    }
    // Twice as steep by exaggeration is twice as far apart the other way.
    expect(shaded(4, 1, 1, 2, 60, field(6, height))[5]).toBeCloseTo(light, 6);
  });

  it('voids stay open, and the ground beside them keeps its slope', () => {
    const height = field(10, (e) => 30 * e);
    height[5 * 10 + 5] = Number.NaN;
    const out = shaded(8, 1, 1, 1, 30, height);
    out.forEach((value, k) => {
      if (k === 4 * 8 + 4) expect(value).toBeNaN();
      else expect(value).toBeCloseTo((0.5 + Math.SQRT1_2) / Math.SQRT2, 6);
    });
  });

  it('sizes that do not fit are a mistake of ours', () => {
    expect(() =>
      shaded(
        4,
        1,
        2,
        1,
        30,
        field(6, () => 0),
      ),
    ).toThrow(RangeError);
    expect(() =>
      shaded(
        4,
        1,
        1,
        1,
        30,
        field(7, () => 0),
      ),
    ).toThrow(RangeError);
  });

  // source: gdaldem of GDAL (Debian's gdal-bin), run here on the same heights; skipped where it is not installed.
  it.skipIf(!HAS_GDAL)('as gdaldem on rough ground, to half a step of 254', async () => {
    const side = 120;
    const frame: GridFrame = {
      kind: 'projected',
      projection: 'EPSG:32632',
      rows: side,
      columns: side,
      west_u: 582_015,
      north_u: 5_149_985,
      stepEast_u: 30,
      stepNorth_u: 30,
      pixelIs: 'area',
    };
    const height_m = field(side, (e, n) => osselHeight_m(46.42 + n / 3700, 10.2 + e / 2560, 1));
    const folder = mkdtempSync(join(tmpdir(), 'sunperch-'));
    try {
      writeFileSync(join(folder, 'dem.tif'), writeGeotiff(frame, height_m, Number.NaN, 'heights'));
      const run = spawnSync('gdaldem', ['hillshade', '-q', '-z', '1.5', 'dem.tif', 'out.tif'], { cwd: folder });
      expect(run.status).toBe(0);
      const theirs = await (await openGeotiff(bufferSource(readFileSync(join(folder, 'out.tif'))), 'out.tif')).read();
      const ours = shaded(side - 2, 1, 1, 1.5, 30, height_m);
      let most = 0;
      // Theirs are whole numbers, 1 for what faces away.
      ours.forEach((light, k) => {
        const at = (Math.floor(k / (side - 2)) + 1) * side + (k % (side - 2)) + 1;
        most = Math.max(most, Math.abs(1 + 254 * light - theirs.height_m[at]!));
      });
      expect(most).toBeLessThan(0.51);
      expect(new Set(theirs.height_m).size).toBeGreaterThan(100);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
