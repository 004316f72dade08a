import { spawnSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, readFileSync, readSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { build } from 'esbuild';
import {
  effectiveRadius_m,
  fanOnGrid,
  type GridFrame,
  type HeightGrid,
  horizonOf,
  OSSEL,
  osselHeight_m,
  planeMetric,
  RADIUS_FACTOR,
  SIGHT,
  type SightSetting,
  sweepSector,
  viewshed,
} from '../src/core/terrain/index.ts';
import { earthAt, evenAzimuths_deg, geodesicFan } from '../src/formats/geodesic.ts';
import { bufferSource, openGeotiff } from '../src/formats/geotiff.ts';
import { writeGeotiff } from '../src/formats/geotiff-writer.ts';
import { hgtFrame, readHgt, writeHgt } from '../src/formats/hgt.ts';
import { projectionOf } from '../src/formats/projection.ts';
import type { BenchRow } from './rows.ts';
import type { SightShare } from './sight-worker.ts';

const SIDE = 3601;
const RANGE_m = 30_000;
const OBSERVER = { row: 1850, column: 1780 };
const FRAME: GridFrame = {
  kind: 'projected',
  projection: 'EPSG:32632',
  rows: SIDE,
  columns: SIDE,
  west_u: 540_015,
  north_u: 5_193_985,
  stepEast_u: 30,
  stepNorth_u: 30,
  pixelIs: 'area',
};

/** The invented valley, laid flat on the grid without the turn of its projection: 13 million cells in shared memory. */
function ground(): HeightGrid {
  const height_m = new Float32Array(new SharedArrayBuffer(4 * SIDE * SIDE));
  const perRow = 30 / 111_200;
  const perColumn = perRow / Math.cos((OSSEL.latitude_deg * Math.PI) / 180);
  for (let r = 0, k = 0; r < SIDE; r++)
    for (let c = 0; c < SIDE; c++)
      height_m[k++] = osselHeight_m(
        OSSEL.latitude_deg - (r - OBSERVER.row) * perRow,
        OSSEL.longitude_deg + (c - OBSERVER.column) * perColumn,
        1,
      );
  return { ...FRAME, height_m };
}

/** Least time of some runs, ms: the least disturbed one. */
function least_ms(runs: number, work: () => void): number {
  let best = Number.POSITIVE_INFINITY;
  for (let k = 0; k < runs; k++) {
    const from = performance.now();
    work();
    best = Math.min(best, performance.now() - from);
  }
  return best;
}

/** Line of sight over a tile of 3601 x 3601 cells, 30 km around, against GDAL's tool on the same file; horizon; reading. */
export async function benchTerrain(): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), 'sunperch-bench-'));
  try {
    const grid = ground();
    const tif = join(folder, 'dem.tif');
    writeFileSync(tif, writeGeotiff(FRAME, grid.height_m, Number.NaN, 'heights'));
    const setting: SightSetting = {
      ...OBSERVER,
      observerHeight_m: 10,
      targetHeight_m: 2,
      range_m: RANGE_m,
      effectiveRadius_m: effectiveRadius_m(RADIUS_FACTOR.radio),
    };
    const metric = planeMetric(FRAME, OBSERVER.row);
    const out = new Uint8Array(new SharedArrayBuffer(SIDE * SIDE));
    let cells = 0;
    const one_ms = least_ms(25, () => {
      cells = viewshed(grid, setting, metric, out).cellsInRange;
    });
    const alone = out.slice();
    const two_ms = await onTwoCores(folder, grid, setting, metric, out);
    const differing = alone.reduce((sum, v, k) => sum + (v === out[k] ? 0 : 1), 0);
    if (differing > 0) throw new Error(`${differing} cells differ between one core and two`);
    const rows = await againstGdal(folder, tif, out, cells, one_ms, two_ms);
    rows.push(...ownProcess(tif));
    rows.push(...(await otherFigures(grid)));
    return rows;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Two sectors here and two in a worker that waits in shared memory. */
async function onTwoCores(
  folder: string,
  grid: HeightGrid,
  setting: SightSetting,
  metric: ReturnType<typeof planeMetric>,
  out: Uint8Array,
): Promise<number> {
  const eye_m = grid.height_m[setting.row * SIDE + setting.column]! + setting.observerHeight_m;
  const work = { grid, setting, metric, eye_m, out };
  const turns = new Int32Array(new SharedArrayBuffer(8));
  // Node does not strip types in a thread: the worker is bundled first.
  const script = join(folder, 'sight-worker.mjs');
  const entry = fileURLToPath(new URL('./sight-worker.ts', import.meta.url));
  await build({ entryPoints: [entry], outfile: script, bundle: true, format: 'esm', platform: 'node' });
  const worker = new Worker(script, { workerData: { work, turns } satisfies SightShare });
  await new Promise((done, fail) => {
    worker.once('message', done);
    worker.once('error', fail);
  });
  let turn = 0;
  const best = least_ms(25, () => {
    out.fill(SIGHT.outOfRange);
    out[setting.row * SIDE + setting.column] = SIGHT.visible;
    Atomics.store(turns, 0, ++turn);
    Atomics.notify(turns, 0);
    sweepSector(work, true, -1);
    sweepSector(work, false, 1);
    for (let done = Atomics.load(turns, 1); done < turn; done = Atomics.load(turns, 1)) Atomics.wait(turns, 1, done);
  });
  Atomics.store(turns, 0, -1);
  Atomics.notify(turns, 0);
  await worker.terminate();
  return best;
}

/** GDAL's tool on the same file: whole process, and what is left of it without start and reading. */
async function againstGdal(
  folder: string,
  tif: string,
  ours: Uint8Array,
  cells: number,
  one_ms: number,
  two_ms: number,
): Promise<BenchRow[]> {
  if (spawnSync('gdal_viewshed', ['--version']).error !== undefined) {
    console.log('  gdal_viewshed is not installed (Debian: gdal-bin): no comparison');
    return [
      { name: 'line of sight, 3.1 million cells, one core', value: one_ms, unit: 'ms' },
      { name: 'line of sight, two cores', value: two_ms, unit: 'ms' },
    ];
  }
  const x = FRAME.west_u + 30 * OBSERVER.column;
  const y = FRAME.north_u - 30 * OBSERVER.row;
  const file = join(folder, 'gdal.tif');
  const run = (range_m: number) => () => {
    const args = `-q -cc 0.75 -vv 1 -iv 0 -ov 2 -oz 10 -tz 2 -md ${range_m} -ox ${x} -oy ${y}`.split(' ');
    const { status, stderr } = spawnSync('gdal_viewshed', [...args, tif, file], { encoding: 'utf8' });
    if (status !== 0) throw new Error(stderr);
  };
  // Turn by turn, so that both meet the machine in the same moods.
  let start_ms = Number.POSITIVE_INFINITY;
  let whole_ms = Number.POSITIVE_INFINITY;
  for (let k = 0; k < 20; k++) {
    start_ms = Math.min(start_ms, least_ms(1, run(90)));
    whole_ms = Math.min(whole_ms, least_ms(1, run(RANGE_m)));
  }
  const theirs = await (await openGeotiff(bufferSource(readFileSync(file)), file)).read();
  const firstRow = Math.round((FRAME.north_u - theirs.north_u) / 30);
  const firstColumn = Math.round((theirs.west_u - FRAME.west_u) / 30);
  let alike = 0;
  for (let r = 0; r < theirs.rows; r++)
    for (let c = 0; c < theirs.columns; c++) {
      const their = theirs.height_m[r * theirs.columns + c]!;
      if (their !== 2 && their === ours[(r + firstRow) * SIDE + c + firstColumn]) alike++;
    }
  // It reads whole rows of the window.
  const read_ms = least_ms(5, () => {
    const handle = openSync(tif, 'r');
    const size = theirs.rows * SIDE * 4;
    readSync(handle, new Uint8Array(size), 0, size, statSync(tif).size - size);
    closeSync(handle);
  });
  const left_ms = whole_ms - start_ms - read_ms;
  return [
    {
      name: 'line of sight, one core',
      value: one_ms,
      unit: 'ms',
      ratio: left_ms / one_ms,
      against: 'GDAL without start and read',
    },
    {
      name: 'line of sight, two cores',
      value: two_ms,
      unit: 'ms',
      ratio: left_ms / two_ms,
      against: 'GDAL without start and read',
    },
    { name: 'gdal_viewshed, whole process', value: whole_ms, unit: 'ms' },
    { name: 'gdal_viewshed, start', value: start_ms, unit: 'ms' },
    { name: 'cells alike with gdal_viewshed', value: (100 * alike) / cells, unit: '%' },
  ];
}

function ownProcess(tif: string): BenchRow[] {
  const program = fileURLToPath(new URL('../bin/sunperch', import.meta.url));
  const place = earthAt(FRAME, OBSERVER.row, OBSERVER.column, projectionOf('EPSG:32632'));
  const args = ['reach', '--lat', String(place.latitude_deg), '--lon', String(place.longitude_deg), '--sight-only'];
  args.push('--height', '10', '--target-height', '2', '--radius', '30', '--terrain', tif, '--out', `${tif}.out.tif`);
  const whole_ms = least_ms(3, () => {
    const { status, stderr } = spawnSync(process.execPath, [program, ...args, '--json'], { encoding: 'utf8' });
    if (status !== 0) throw new Error(stderr);
  });
  return [
    { name: 'reach --sight-only, whole process, 13 million cells read and written', value: whole_ms, unit: 'ms' },
  ];
}

async function otherFigures(grid: HeightGrid): Promise<BenchRow[]> {
  const projection = projectionOf('EPSG:32632');
  const place = earthAt(FRAME, OBSERVER.row, OBSERVER.column, projection);
  let fan = fanOnGrid(FRAME, geodesicFan(place, evenAzimuths_deg(0.5), RANGE_m, projection));
  const fan_ms = least_ms(3, () => {
    fan = fanOnGrid(FRAME, geodesicFan(place, evenAzimuths_deg(0.5), RANGE_m, projection));
  });
  const horizon_ms = least_ms(5, () => {
    horizonOf(grid, fan, {
      eyeHeight_m: 3,
      step_m: 30,
      range_m: RANGE_m,
      effectiveRadius_m: effectiveRadius_m(RADIUS_FACTOR.light),
    });
  });
  const frame = hgtFrame({ south_deg: 46, west_deg: 10 }, SIDE);
  const tile = writeHgt({ ...frame, height_m: grid.height_m });
  const hgt_ms = least_ms(3, () => {
    readHgt(tile, 'N46E010.hgt');
  });
  return [
    { name: 'horizon, 720 azimuths to 30 km', value: horizon_ms, unit: 'ms' },
    { name: 'its rays on the ellipsoid', value: fan_ms, unit: 'ms' },
    { name: 'tile of 3601 x 3601 samples, .hgt', value: hgt_ms, unit: 'ms' },
    { name: 'memory of this process', value: process.memoryUsage.rss() / 1e6, unit: 'MB' },
  ];
}
