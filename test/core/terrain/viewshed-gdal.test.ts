import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  type GridFrame,
  osselHeight_m,
  planeMetric,
  viewshed,
  xOfColumn_u,
  yOfRow_u,
} from '../../../src/core/terrain/index.ts';
import { bufferSource, openGeotiff } from '../../../src/formats/geotiff.ts';
import { writeGeotiff } from '../../../src/formats/geotiff-writer.ts';
import { projectionOf } from '../../../src/formats/projection.ts';

const HAS_GDAL = spawnSync('gdal_viewshed', ['--version']).error === undefined;

/** The invented valley on a UTM grid of 30 m. */
const frame: GridFrame = {
  kind: 'projected',
  projection: 'EPSG:32632',
  rows: 700,
  columns: 700,
  west_u: 582_015,
  north_u: 5_149_985,
  stepEast_u: 30,
  stepNorth_u: 30,
  pixelIs: 'area',
};

// Skipped where Debian's gdal-bin is not installed: there is nothing to compare with.
describe.skipIf(!HAS_GDAL)('line of sight against gdal_viewshed', () => {
  const projection = projectionOf('EPSG:32632');
  const at = new Float64Array(2);
  const height_m = Float32Array.from({ length: 700 * 700 }, (_, k) => {
    projection.toEarth(xOfColumn_u(frame, k % 700), yOfRow_u(frame, Math.floor(k / 700)), at);
    return osselHeight_m(at[1]!, at[0]!, 1);
  });

  it.each([
    ['in the valley', 350, 350, 10, 9000],
    ['on a ridge', 210, 420, 20, 9000],
    ['near the edge', 30, 660, 30, 12_000],
  ])('has 98.5 of 100 cells alike: %s', async (_, row, column, observerHeight_m, range_m) => {
    const folder = mkdtempSync(join(tmpdir(), 'sunperch-'));
    try {
      writeFileSync(join(folder, 'dem.tif'), writeGeotiff(frame, height_m, Number.NaN, 'heights'));
      const args = ['-q', '-b', '1', '-cc', '0.75', '-vv', '1', '-iv', '0', '-ov', '2', '-tz', '2'];
      args.push('-oz', String(observerHeight_m), '-md', String(range_m));
      args.push('-ox', String(xOfColumn_u(frame, column)), '-oy', String(yOfRow_u(frame, row)));
      const run = spawnSync('gdal_viewshed', [...args, 'dem.tif', 'out.tif'], { cwd: folder, encoding: 'utf8' });
      expect([run.status, run.stderr]).toEqual([0, '']);
      const theirs = await (await openGeotiff(bufferSource(readFileSync(join(folder, 'out.tif'))), 'out.tif')).read();
      const ours = new Uint8Array(700 * 700);
      // GDAL's coefficient of 0.75 is a radius of 4/3 of half its diameter of the WGS 84 equator.
      const counts = viewshed(
        { ...frame, height_m },
        { row, column, observerHeight_m, targetHeight_m: 2, range_m, effectiveRadius_m: 6_378_137 / 0.75 },
        planeMetric(frame, row),
        ours,
      );
      const firstRow = Math.round((frame.north_u - theirs.north_u) / 30);
      const firstColumn = Math.round((theirs.west_u - frame.west_u) / 30);
      let [inRange, alike, seen, bothRange] = [0, 0, 0, 0];
      for (let r = 0; r < theirs.rows; r++)
        for (let c = 0; c < theirs.columns; c++) {
          const a = theirs.height_m[r * theirs.columns + c]!;
          const b = ours[(r + firstRow) * 700 + c + firstColumn]!;
          if (a !== 2) inRange++;
          if (a !== 2 && b !== 2) bothRange++;
          if (a !== 2 && a === b) alike++;
          if (a === 1) seen++;
        }
      expect(seen / inRange).toBeGreaterThan(0.01);
      expect(seen / inRange).toBeLessThan(0.8);
      expect(counts.cellsInRange).toBe(inRange);
      expect(bothRange).toBe(inRange);
      expect(alike / inRange).toBeGreaterThan(0.985);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
