import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import fc from 'fast-check';
import { encode } from 'fast-png';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { elevation } from '../../src/app/elevation.ts';
import { sight } from '../../src/app/sight.ts';
import { type GridFrame, heightAt, xOfColumn_u, yOfRow_u } from '../../src/core/terrain/index.ts';
import { UserError } from '../../src/core/units/index.ts';
import { boxAround, geodesicPoint } from '../../src/formats/geodesic.ts';
import { writeGeotiff } from '../../src/formats/geotiff-writer.ts';
import { hgtCorner, hgtFrame, writeHgt } from '../../src/formats/hgt.ts';
import { projectionOf } from '../../src/formats/projection.ts';
import { tileOf } from '../../src/formats/terrain-png.ts';
import { openTerrain } from '../../src/host/terrain-store.ts';
import { TileCache } from '../../src/host/tile-cache.ts';
import { fromZip } from '../../src/host/zip.ts';
import { crc32Of, zipOf } from './zip-of.ts';

let root: string;
beforeAll(() => {
  root = mkdtempSync(join(tmpdir(), 'sunperch-terrain-'));
});
afterAll(() => rmSync(root, { recursive: true, force: true }));

/** Ground whose height tells where it is: whole metres at the samples of 3 arc-seconds, a plane between them. */
const slope_m = (latitude_deg: number, longitude_deg: number) =>
  1000 + 1200 * (latitude_deg - Math.floor(latitude_deg)) + 600 * ((((longitude_deg % 360) + 360) % 360) % 1);
const planeAround = (latitude0: number, longitude0: number) => (latitude_deg: number, longitude_deg: number) =>
  1000 + 1200 * (latitude_deg - latitude0) + 600 * (longitude_deg - longitude0);

type Ground = (latitude_deg: number, longitude_deg: number) => number;
function hgtBytes(name: string, ground: Ground): Uint8Array {
  const frame = hgtFrame(hgtCorner(name)!, 1201);
  const height_m = Float32Array.from({ length: 1201 * 1201 }, (_, k) =>
    ground(yOfRow_u(frame, Math.floor(k / 1201)), xOfColumn_u(frame, k % 1201)),
  );
  return writeHgt({ ...frame, height_m });
}
function folderOf(files: Readonly<Record<string, Uint8Array>>): string {
  const folder = mkdtempSync(join(root, 'f-'));
  for (const [name, bytes] of Object.entries(files)) {
    mkdirSync(join(folder, name, '..'), { recursive: true });
    writeFileSync(join(folder, name), bytes);
  }
  return folder;
}
const heightIn = async (folder: string, latitude_deg: number, longitude_deg: number) =>
  elevation({ latitude_deg, longitude_deg }, await openTerrain(folder));
const problemsOf = async (work: Promise<unknown>) => {
  const error = await work.then(
    () => new Error('nothing was wrong'),
    (e: unknown) => e,
  );
  expect(error).toBeInstanceOf(UserError);
  return (error as UserError).problems;
};

describe('a folder of tiles', () => {
  it('joins four tiles without a seam, whether plain, gzipped or zipped', async () => {
    const ground = planeAround(47, 11);
    const name = (f: string) => hgtBytes(f, ground);
    const folder = folderOf({
      'N46E010.hgt': name('N46E010.hgt'),
      'N46E011.hgt.gz': gzipSync(name('N46E011.hgt'), { level: 1 }),
      'sub/N47E010.hgt.zip': zipOf({ 'read.txt': new Uint8Array([1]), 'N47E010.hgt': name('N47E010.hgt') }),
      'N47E011.hgt': name('N47E011.hgt'),
      'notes.txt': new Uint8Array(3),
    });
    const terrain = await openTerrain(folder);
    const at = { latitude_deg: 47.0001, longitude_deg: 10.9999 };
    const patch = await terrain.patch({ area: boxAround(at, 3000), at });
    expect(patch).toMatchObject({ missing: 0, voids: 0, resampled: 0, notes: [] });
    expect(patch.files).toHaveLength(4);
    fc.assert(
      fc.property(
        fc.double({ min: -0.02, max: 0.02, noNaN: true }),
        fc.double({ min: -0.02, max: 0.02, noNaN: true }),
        (dy, dx) => {
          expect(heightAt(patch.grid, 11 + dx, 47 + dy)).toBeCloseTo(ground(47 + dy, 11 + dx), 0);
        },
      ),
      { seed: 1, numRuns: 200 },
    );
    // On the seam and across it: the plane is within the rounding to whole metres.
    for (const d of [-1e-4, -1e-7, 0, 1e-7, 1e-4])
      expect(Math.abs(heightAt(patch.grid, 11 + d, 47 - d) - ground(47 - d, 11 + d))).toBeLessThan(0.51);
  });

  it('goes on across the date line', async () => {
    const ground: Ground = (latitude_deg, longitude_deg) =>
      planeAround(51, 180)(latitude_deg, longitude_deg < 0 ? longitude_deg + 360 : longitude_deg);
    const folder = folderOf({
      'N51E179.hgt': hgtBytes('N51E179.hgt', ground),
      'N51W180.hgt': hgtBytes('N51W180.hgt', ground),
    });
    const terrain = await openTerrain(folder);
    for (const longitude_deg of [179.99, -179.99, 180, -180]) {
      const at = { latitude_deg: 51.5, longitude_deg };
      const patch = await terrain.patch({ area: boxAround(at, 5000), at });
      expect([longitude_deg, patch.missing, patch.voids]).toEqual([longitude_deg, 0, 0]);
      for (const [azimuth, d] of [
        [90, 4000],
        [270, 4000],
        [30, 2500],
      ] as const) {
        const p = geodesicPoint(at, azimuth, d);
        expect(
          Math.abs(heightAt(patch.grid, p.longitude_deg, p.latitude_deg) - ground(p.latitude_deg, p.longitude_deg)),
        ).toBeLessThan(0.51);
      }
    }
  });

  it('reaches to 80° N', async () => {
    const ground = planeAround(80, 20);
    const terrain = await openTerrain(folderOf({ 'N80E020.hgt': hgtBytes('N80E020.hgt', ground) }));
    const at = { latitude_deg: 80.5, longitude_deg: 20.5 };
    const patch = await terrain.patch({ area: boxAround(at, 5000), at });
    expect(patch.missing + patch.voids).toBe(0);
    const p = geodesicPoint(at, 77, 4900);
    expect(
      Math.abs(heightAt(patch.grid, p.longitude_deg, p.latitude_deg) - ground(p.latitude_deg, p.longitude_deg)),
    ).toBeLessThan(0.51);
    const seen = await sight({ ...at, height_m: 10, targetHeight_m: 2, radius_km: 5 }, terrain);
    // An inclined plane hides nothing; a circle of 5 km has 78.5 km².
    expect(seen.visibleShare).toBe(1);
    expect(Math.abs(seen.visibleArea_km2 - 25 * Math.PI)).toBeLessThan(0.3);
  });

  it('tells missing tiles by name, and voids, and fills neither', async () => {
    const tile = hgtBytes('N46E010.hgt', slope_m);
    new DataView(tile.buffer).setInt16(2 * (600 * 1201 + 600), -32768);
    const folder = folderOf({ 'N46E010.hgt': tile });
    const terrain = await openTerrain(folder);
    const at = { latitude_deg: 46.99, longitude_deg: 10.5 };
    const patch = await terrain.patch({ area: boxAround(at, 3000), at });
    expect(patch.missing).toBeGreaterThan(1000);
    expect(patch.notes.join()).toMatch(/No tile covers \d+ of \d+ cells.*N47E010\.hgt not there/);
    expect(heightAt(patch.grid, 10.5, 47.005)).toBeNaN();
    const there = await elevation({ latitude_deg: 46.5, longitude_deg: 10.5 }, terrain);
    expect(there).toMatchObject({ height_m: null, reason: expect.stringMatching(/void/) });
    const beside = await elevation({ latitude_deg: 46.5, longitude_deg: 10.5 + 2 / 1200 }, terrain);
    expect(beside.height_m).toBeCloseTo(slope_m(46.5, 10.5 + 2 / 1200), 0);
    const out = await elevation({ latitude_deg: 47.2, longitude_deg: 10.5 }, terrain);
    expect(out).toMatchObject({
      height_m: null,
      reason: expect.stringMatching(/outside the terrain.*N46E010\.hgt; N47E010\.hgt would hold it/),
    });
    await expect(
      sight({ latitude_deg: 46.5, longitude_deg: 10.5, height_m: 5, targetHeight_m: 2, radius_km: 1 }, terrain),
    ).rejects.toThrow(/no height.*void/);
    await expect(
      sight({ latitude_deg: 47.2, longitude_deg: 10.5, height_m: 5, targetHeight_m: 2, radius_km: 1 }, terrain),
    ).rejects.toThrow(/outside the terrain/);
  });

  it('tells a tile of a wrong size only to who needs it', async () => {
    const good = hgtBytes('N46E010.hgt', slope_m);
    const folder = folderOf({
      'N46E010.hgt': good,
      'N46E011.hgt': good.slice(0, 2_000_000),
      'N44E010.hgt.gz': gzipSync(good).subarray(0, 5000),
    });
    expect((await heightIn(folder, 46.2, 10.2)).height_m).toBeCloseTo(slope_m(46.2, 10.2), 0);
    const problems = await problemsOf(heightIn(folder, 46.2, 11.2));
    expect(problems[0]).toMatchObject({ code: 'hgt.size', message: expect.stringMatching(/2000000 bytes.*cut off/) });
    expect(problems[0]!.place?.file).toMatch(/N46E011\.hgt$/);
    expect((await problemsOf(heightIn(folder, 44.2, 10.2)))[0]!.message).toMatch(/cut off|bytes/);
  });

  it('of wrong names, of nothing, or absent is told', async () => {
    const names = await problemsOf(openTerrain(folderOf({ 'valley.hgt': new Uint8Array(2) })));
    expect(names[0]).toMatchObject({ code: 'hgt.name', message: expect.stringMatching(/N46E010\.hgt/) });
    expect((await problemsOf(openTerrain(folderOf({ 'a.txt': new Uint8Array(2) }))))[0]!.code).toBe('terrain.empty');
    expect((await problemsOf(openTerrain(join(root, 'absent'))))[0]!.message).toMatch(/no such file/);
    expect((await problemsOf(openTerrain(folderOf({ 'x.tif': new Uint8Array(90) }))))[0]!.code).toBe('geotiff.damaged');
    const mixed = folderOf({ 'valley.hgt': new Uint8Array(2), 'N46E010.hgt': hgtBytes('N46E010.hgt', slope_m) });
    expect((await heightIn(mixed, 46.2, 10.2)).notes.join()).toMatch(/valley\.hgt is passed over/);
  });

  it('refuses more cells than it can hold', async () => {
    const terrain = await openTerrain(folderOf({ 'N46E010.hgt': hgtBytes('N46E010.hgt', slope_m) }));
    const at = { latitude_deg: 46.5, longitude_deg: 10.5 };
    await expect(terrain.patch({ area: boxAround(at, 600_000), at })).rejects.toThrow(/million cells/);
  });
});

describe('GeoTIFF terrain', () => {
  const geographic = (over: Partial<GridFrame>): GridFrame => ({
    kind: 'geographic',
    projection: null,
    rows: 300,
    columns: 300,
    west_u: 10 + 0.5 / 3600,
    north_u: 50 - 0.5 / 3600,
    stepEast_u: 1 / 3600,
    stepNorth_u: 1 / 3600,
    pixelIs: 'area',
    ...over,
  });
  const written = (frame: GridFrame, ground: Ground) => {
    const projection = projectionOf(frame.projection);
    const at = new Float64Array(2);
    return writeGeotiff(
      frame,
      Float32Array.from({ length: frame.rows * frame.columns }, (_, k) => {
        projection.toEarth(xOfColumn_u(frame, k % frame.columns), yOfRow_u(frame, Math.floor(k / frame.columns)), at);
        return ground(at[1]!, at[0]!);
      }),
      Number.NaN,
      'heights',
    );
  };
  const ground = planeAround(50, 10);

  it('of areas joins across the half cells of its edges', async () => {
    const folder = folderOf({
      'a.tif': written(geographic({}), ground),
      'b.tif': written(geographic({ west_u: 10 + 300.5 / 3600 }), ground),
    });
    for (const d of [-0.6, -0.4, 0, 0.2, 0.49, 0.7]) {
      const x = 10 + (300 + d) / 3600;
      expect((await heightIn(folder, 49.97, x)).height_m).toBeCloseTo(ground(49.97, x), 3);
    }
  });

  it('of two spacings, as beyond 50° of latitude, is one grid: the finer where it lies, the other resampled and told', async () => {
    // North of 50° the columns are wider (1.5 arc-seconds), the rows go on.
    const north = geographic({
      north_u: 50 + 299.5 / 3600,
      stepEast_u: 1.5 / 3600,
      west_u: 10 + 0.75 / 3600,
      columns: 200,
    });
    const terrain = await openTerrain(
      folderOf({ 'south.tif': written(geographic({}), ground), 'north.tif': written(north, ground) }),
    );
    const at = { latitude_deg: 49.999, longitude_deg: 10.04 };
    const patch = await terrain.patch({ area: boxAround(at, 1000), at });
    expect(patch.grid.stepEast_u).toBeCloseTo(1 / 3600, 12);
    expect(patch.missing).toBe(0);
    expect(patch.resampled).toBeGreaterThan(100);
    expect(patch.notes.join()).toMatch(/another spacing/);
    for (const y of [49.995, 49.9999, 50, 50.0001, 50.0002, 50.005])
      expect(heightAt(patch.grid, 10.041, y)).toBeCloseTo(ground(y, 10.041), 2);
  });

  it('on a projected grid is found by latitude and longitude, in a folder or as a file', async () => {
    const utm: GridFrame = {
      ...geographic({}),
      kind: 'projected',
      projection: 'EPSG:32632',
      west_u: 592_000,
      north_u: 5_140_000,
      stepEast_u: 30,
      stepNorth_u: 30,
    };
    const near = planeAround(46.4, 10.2);
    const folder = folderOf({ 'utm.tif': written(utm, near) });
    for (const path of [folder, join(folder, 'utm.tif')])
      expect((await heightIn(path, 46.38, 10.23)).height_m).toBeCloseTo(near(46.38, 10.23), 1);
    // A result written among the tiles is no terrain.
    writeFileSync(join(folder, 'a.tif'), writeGeotiff(utm, new Float32Array(90_000).fill(7)));
    const terrain = await openTerrain(folder);
    const seen = await sight(
      { latitude_deg: 46.38, longitude_deg: 10.23, height_m: 10, targetHeight_m: 2, radius_km: 1.2 },
      terrain,
    );
    // One tile: its own grid, whole. Gauss's circle problem (OEIS A000328): N(40) = 5025.
    expect([seen.frame.rows, seen.frame.columns, seen.cellsInRange]).toEqual([300, 300, 5025]);
    expect(Math.abs(seen.place.ground_m - near(46.38, 10.23))).toBeLessThan(1);
    expect(seen.notes.join()).toMatch(/a\.tif is passed over.*result/);
    expect(seen.raster).toHaveLength(90_000);
  });
});

describe('tiles by zoom, column and row', () => {
  const ZOOM = 13;
  const ground = planeAround(46.4, 10.2);
  const here = tileOf(46.4, 10.2, ZOOM);
  const [x0, y0] = [Math.floor(here.x), Math.floor(here.y)];
  function picture(x: number, y: number, encoding: 'tenths' | 'offset'): Uint8Array {
    const data = new Uint8Array(256 * 256 * 3);
    for (let k = 0; k < 256 * 256; k++) {
      const longitude_deg = ((x + ((k % 256) + 0.5) / 256) / 2 ** ZOOM) * 360 - 180;
      const t = Math.PI * (1 - (2 * (y + (Math.floor(k / 256) + 0.5) / 256)) / 2 ** ZOOM);
      const latitude_deg = (Math.atan(Math.sinh(t)) * 180) / Math.PI;
      const h = ground(latitude_deg, longitude_deg);
      const n = encoding === 'tenths' ? Math.round((h + 10000) * 10) : Math.round((h + 32768) * 256);
      data.set([(n >> 16) & 255, (n >> 8) & 255, n & 255], 3 * k);
    }
    return encode({ width: 256, height: 256, data, channels: 3, depth: 8 });
  }
  const around = [-1, 0, 1].flatMap((dx) => [-1, 0, 1].map((dy) => [x0 + dx, y0 + dy] as const));

  it.each(['tenths', 'offset'] as const)('in a folder, encoded in %s, join without a seam', async (encoding) => {
    const folder = folderOf(
      Object.fromEntries(around.map(([x, y]) => [`${ZOOM}/${x}/${y}.png`, picture(x, y, encoding)])),
    );
    const terrain = await openTerrain(folder);
    // The corner between four tiles.
    const latitude_deg = (Math.atan(Math.sinh(Math.PI * (1 - (2 * y0) / 2 ** ZOOM))) * 180) / Math.PI;
    const longitude_deg = (x0 / 2 ** ZOOM) * 360 - 180;
    for (const d of [-2e-4, -1e-5, 0, 1e-5, 2e-4]) {
      const told = await elevation({ latitude_deg: latitude_deg + d, longitude_deg: longitude_deg - d }, terrain);
      expect(Math.abs(told.height_m! - ground(latitude_deg + d, longitude_deg - d))).toBeLessThan(0.06);
    }
    const at = { latitude_deg: 46.4, longitude_deg: 10.2 };
    const seen = await sight({ ...at, height_m: 20, targetHeight_m: 2, radius_km: 1 }, terrain);
    expect(Math.abs(seen.visibleArea_km2 / seen.visibleShare - Math.PI)).toBeLessThan(0.03);
    const wide = await terrain.patch({ area: boxAround(at, 8000), at });
    expect(wide.notes.join()).toMatch(/No tile covers/);
  });

  describe('from a server', () => {
    let server: Server;
    let base: string;
    const asked: string[] = [];
    let broken: number | 'page' | null = null;
    beforeAll(async () => {
      server = createServer((request, response) => {
        asked.push(request.url!);
        if (typeof broken === 'number') {
          response.writeHead(broken).end();
          return;
        }
        if (broken === 'page') {
          response.end('<html>please log in</html>');
          return;
        }
        const [z, x, y] = /(\d+)\/(\d+)\/(\d+)/.exec(request.url!)!.slice(1).map(Number);
        if (z === ZOOM && around.some(([a, b]) => a === x && b === y)) response.end(picture(x!, y!, 'tenths'));
        else response.writeHead(404).end();
      });
      await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
      base = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
    });
    afterAll(() => new Promise((done) => server.close(done)));

    it('are fetched once, kept, and served from the disk when the server is gone', async () => {
      const cache = mkdtempSync(join(root, 'cache-'));
      const template = `${base}/t/{z}/{x}/{y}.png`;
      const at = { latitude_deg: 46.4, longitude_deg: 10.2 };
      const ask = async () => elevation(at, await openTerrain(template, { zoom: ZOOM, cache }));
      expect((await ask()).height_m).toBeCloseTo(ground(46.4, 10.2), 0);
      const first = asked.length;
      expect(first).toBeLessThanOrEqual(4);
      expect(new Set(asked).size).toBe(first);
      broken = 503;
      expect((await ask()).height_m).toBeCloseTo(ground(46.4, 10.2), 0);
      expect(asked).toHaveLength(first);
      broken = null;
    });

    it('that it does not have are missing, and its failures are told', async () => {
      const cache = mkdtempSync(join(root, 'cache-'));
      const terrain = await openTerrain(`${base}/{z}/{x}/{y}.png`, { zoom: ZOOM, cache });
      const far = await elevation({ latitude_deg: 10, longitude_deg: 10 }, terrain);
      expect(far).toMatchObject({ height_m: null, reason: expect.stringMatching(/outside the terrain/) });
      broken = 500;
      expect((await problemsOf(elevation({ latitude_deg: 46.4, longitude_deg: 10.2 }, terrain)))[0]!.message).toMatch(
        /answers 500/,
      );
      broken = 'page';
      expect((await problemsOf(elevation({ latitude_deg: 46.4, longitude_deg: 10.2 }, terrain)))[0]!.message).toMatch(
        /no PNG picture/,
      );
      broken = null;
      expect((await elevation({ latitude_deg: 46.4, longitude_deg: 10.2 }, terrain)).height_m).toBeCloseTo(
        ground(46.4, 10.2),
        0,
      );
      const at = { latitude_deg: 46.4, longitude_deg: 10.2 };
      await expect(terrain.patch({ area: boxAround(at, 80_000), at })).rejects.toThrow(/tiles at zoom 13.*lower zoom/);
    });

    it('are not asked for without an address that names them', async () => {
      const before = asked.length;
      expect((await problemsOf(openTerrain(`${base}/{z}/{x}.png`)))[0]!.message).toMatch(/\{y\} missing/);
      expect((await problemsOf(openTerrain('ftp://x/{z}/{x}/{y}')))[0]!.code).toBe('terrain.url');
      expect(asked).toHaveLength(before);
    });

    it('that cannot be reached are told', async () => {
      const cache = mkdtempSync(join(root, 'cache-'));
      const terrain = await openTerrain('http://127.0.0.1:9/{z}/{x}/{y}.png', { zoom: 10, cache });
      expect((await problemsOf(elevation({ latitude_deg: 46.4, longitude_deg: 10.2 }, terrain)))[0]!).toMatchObject({
        code: 'terrain.fetch',
        message: expect.stringMatching(/cannot be fetched/),
      });
    });
  });
});

describe('what the store stands on', () => {
  it('keeps what was used last within its bytes', async () => {
    const cache = new TileCache<number[]>(100);
    const loads: string[] = [];
    const get = (key: string) =>
      cache.get(
        key,
        (list) => list.length,
        async () => {
          loads.push(key);
          return Array<number>(40).fill(0);
        },
      );
    for (const key of ['a', 'b', 'a', 'c', 'a', 'b']) await get(key);
    // c pushed b out, for a had been used since; then b pushed out c.
    expect(loads).toEqual(['a', 'b', 'c', 'b']);
    expect(
      await cache.get(
        'big',
        () => 1000,
        async () => [1],
      ),
    ).toEqual([1]);
  });

  it('takes files out of zip archives, and tells damaged ones', () => {
    const content = new Uint8Array(5000).map((_, k) => k % 7);
    const archive = zipOf({ 'a.txt': new Uint8Array([1, 2]), 'N46E010.hgt': content });
    const isHgt = (name: string) => name.endsWith('.hgt');
    expect(new Uint8Array(fromZip(archive, isHgt, 10_000, 'z'))).toEqual(content);
    expect(() => fromZip(archive, (n) => n === 'other', 10_000, 'z')).toThrow(/no file that ends in \.hgt/);
    expect(() => fromZip(archive, isHgt, 100, 'z')).toThrow(/damaged or cut off/);
    // Check value of CRC-32 (ISO 3309): "123456789" gives cbf43926.
    expect(crc32Of(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(archive.length - 1), fc.integer({ min: 0, max: 255 })), {
          minLength: 1,
          maxLength: 4,
        }),
        fc.nat(archive.length),
        (changes, length) => {
          const bytes = archive.slice(0, length);
          for (const [k, value] of changes) if (k < bytes.length) bytes[k] = value;
          try {
            fromZip(bytes, isHgt, 10_000, 'z');
          } catch (error) {
            expect(error).toBeInstanceOf(UserError);
          }
        },
      ),
      { seed: 1, numRuns: 500 },
    );
  });
});
