import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../src/core/math/index.ts';
import { type GridFrame, heightAt, xOfColumn_u, yOfRow_u } from '../../src/core/terrain/index.ts';
import { UserError } from '../../src/core/units/index.ts';
import { bufferSource, openGeotiff } from '../../src/formats/geotiff.ts';
import { writeGeotiff } from '../../src/formats/geotiff-writer.ts';

// The files were written by GDAL 3.6.2 (gdal_translate) from 17 rows of 20 cells: 100.25 row + 3 column as floating point on
// geographic cells of 0.001° from 10° E, 46.017° N; 100 row + 3 column as integers on cells of 30 m from 600000, 5140510 in UTM 32 N;
// the cell in row 5, column 7 is void.
const fixture = (name: string) => new Uint8Array(readFileSync(new URL(`../fixtures/terrain/${name}`, import.meta.url)));
const opened = (name: string, projection?: string) => openGeotiff(bufferSource(fixture(name)), name, projection);

describe('a GeoTIFF of heights', () => {
  it.each([
    ['geographic-float-deflate-tiled.tif', 100.25],
    ['geographic-float-point.tif', 100.25],
    ['geographic-double-deflate.tif', 100.25],
    ['utm-int16-lzw-strips.tif', 100],
    ['utm-int16-big.tif', 100],
  ])('has its values in place: %s', async (name, rowStep) => {
    const grid = await (await opened(name)).read();
    expect([grid.rows, grid.columns]).toEqual([17, 20]);
    for (let r = 0; r < 17; r++)
      for (let c = 0; c < 20; c++) {
        const h = grid.height_m[r * 20 + c]!;
        if (r === 5 && c === 7) expect(h).toBeNaN();
        else expect(h).toBeCloseTo(rowStep * r + 3 * c, 4);
      }
  });

  it('reads packed bytes', async () => {
    // The integer file scaled to tenths by gdal_translate, PackBits.
    const grid = await (await opened('utm-byte-packbits.tif')).read();
    for (let r = 0; r < 17; r++)
      for (let c = 0; c < 20; c++)
        if (r !== 5 || c !== 7)
          expect(Math.abs(grid.height_m[r * 20 + c]! - (100 * r + 3 * c) / 10)).toBeLessThanOrEqual(0.5);
  });

  it('places areas by their corner and points by their centre, which is half a cell further', async () => {
    const area = await opened('geographic-float-deflate-tiled.tif');
    expect(area.frame).toMatchObject({ kind: 'geographic', projection: null, pixelIs: 'area' });
    expect(area.frame.west_u).toBeCloseTo(10.0005, 9);
    expect(area.frame.north_u).toBeCloseTo(46.0165, 9);
    // gdalinfo tells the same corner (10, 46.017) for both: it shifts a point file itself.
    const point = await opened('geographic-float-point.tif');
    expect(point.frame.pixelIs).toBe('point');
    expect(point.frame.west_u).toBeCloseTo(10.0005, 9);
    expect(point.frame.north_u).toBeCloseTo(46.0165, 9);
    const utm = await opened('utm-int16-lzw-strips.tif');
    expect(utm.frame).toMatchObject({ kind: 'projected', projection: 'EPSG:32632', west_u: 600015, north_u: 5140495 });
  });

  it('reads a part alone', async () => {
    const part = await (await opened('geographic-float-deflate-tiled.tif')).read({
      firstRow: 3,
      lastRow: 16,
      firstColumn: 14,
      lastColumn: 17,
    });
    expect([part.rows, part.columns]).toEqual([14, 4]);
    expect(xOfColumn_u(part, 0)).toBeCloseTo(10.0145, 9);
    expect(yOfRow_u(part, 0)).toBeCloseTo(46.0135, 9);
    expect(part.height_m[0]).toBeCloseTo(3 * 100.25 + 42, 4);
    expect(heightAt(part, 10.015, 46.0135)).toBeCloseTo(3 * 100.25 + 43.5, 3);
  });

  it('says how to mend a packing that it does not read', async () => {
    await expect((await opened('geographic-zstd.tif')).read()).rejects.toThrow(/method 50000.*Deflate/);
  });

  it('asks for the projection that it does not know', async () => {
    const file = await opened('unknown-projection.tif');
    expect(file.frame.projection).toBe('EPSG:2056');
    const told = await opened('unknown-projection.tif', '+proj=somerc +lat_0=46.95 +lon_0=7.44 +units=m');
    expect(told.frame.projection).toMatch(/somerc/);
  });
});

describe('a written raster', () => {
  const frame: GridFrame = {
    kind: 'projected',
    projection: 'EPSG:32759',
    rows: 150,
    columns: 333,
    west_u: 460_015,
    north_u: 5_094_985,
    stepEast_u: 30,
    stepNorth_u: 30,
    pixelIs: 'area',
  };
  const random = createRandom(4);
  const values = (n: number, f: (k: number) => number) => Float32Array.from({ length: n }, (_, k) => f(k));

  it('comes back from a general reader, floats and packed bytes, on the same cells', async () => {
    const heights = values(150 * 333, (k) => (k === 5 ? Number.NaN : 3000 * random.next()));
    const back = await openGeotiff(bufferSource(writeGeotiff(frame, heights, Number.NaN)), 'f.tif');
    expect(back.frame).toEqual(frame);
    expect((await back.read()).height_m).toEqual(heights);
    const geographic: GridFrame = {
      ...frame,
      kind: 'geographic',
      projection: null,
      west_u: 10,
      north_u: 47,
      stepEast_u: 1 / 1200,
      stepNorth_u: 1 / 1200,
      pixelIs: 'point',
    };
    const again = await openGeotiff(bufferSource(writeGeotiff(geographic, heights)), 'g.tif');
    expect(again.frame).toEqual(geographic);
  });

  it('packs bytes of every kind', async () => {
    const byte = fc.oneof(fc.constant(0), fc.constant(1), fc.constant(2), fc.integer({ min: 0, max: 255 }));
    const runs = fc.array(fc.tuple(byte, fc.integer({ min: 1, max: 300 })), { minLength: 1, maxLength: 60 });
    await fc.assert(
      fc.asyncProperty(runs, fc.integer({ min: 2, max: 400 }), async (list, columns) => {
        const flat = list.flatMap(([value, n]) => Array<number>(n).fill(value));
        const rows = Math.max(2, Math.ceil(flat.length / columns));
        const bytes = Uint8Array.from({ length: rows * columns }, (_, k) => flat[k] ?? k % 7);
        const tif = writeGeotiff({ ...frame, rows, columns }, bytes);
        const back = await (await openGeotiff(bufferSource(tif), 'b.tif')).read();
        expect(Uint8Array.from(back.height_m)).toEqual(bytes);
        expect(tif.length).toBeLessThan(rows * columns * 1.02 + rows * 2 + 1000);
      }),
      { seed: 2, numRuns: 60 },
    );
  });

  it('has the projection’s definition where there is no number', async () => {
    const own = { ...frame, projection: '+proj=lcc +lat_0=47 +lon_0=10 +lat_1=46 +lat_2=48 +units=m' };
    const tif = writeGeotiff(own, new Uint8Array(150 * 333));
    await expect(openGeotiff(bufferSource(tif), 'o.tif')).rejects.toThrow(/--terrain-projection/);
    expect((await openGeotiff(bufferSource(tif), 'o.tif', own.projection)).frame).toEqual(own);
    expect(Buffer.from(tif).includes('+proj=lcc')).toBe(true);
  });
});

describe('a damaged GeoTIFF', () => {
  const tryIt = async (bytes: Uint8Array) => {
    try {
      const file = await openGeotiff(bufferSource(bytes), 'x.tif');
      // Whatever it reads, it is a grid of the size that it tells.
      if (file.frame.rows * file.frame.columns < 1e6) {
        const grid = await file.read();
        expect(grid.height_m).toHaveLength(file.frame.rows * file.frame.columns);
      }
    } catch (error) {
      expect(error).toBeInstanceOf(UserError);
      expect((error as UserError).problems[0]!.place?.file).toBe('x.tif');
    }
  };

  it('is told as such: random bytes', async () => {
    await fc.assert(
      fc.asyncProperty(fc.uint8Array({ maxLength: 3000 }), async (bytes) => {
        await expect(openGeotiff(bufferSource(bytes), 'x.tif')).rejects.toThrow(UserError);
      }),
      { seed: 3, numRuns: 150 },
    );
    await fc.assert(
      fc.asyncProperty(fc.uint8Array({ maxLength: 500 }), async (bytes) => {
        await tryIt(Uint8Array.from([0x49, 0x49, 42, 0, 8, 0, 0, 0, ...bytes]));
      }),
      { seed: 4, numRuns: 150 },
    );
  });

  it.each(['geographic-float-deflate-tiled.tif', 'utm-int16-lzw-strips.tif', 'geographic-double-deflate.tif'])(
    'is told as such: %s with wrong bytes, or cut off',
    async (name) => {
      const whole = fixture(name);
      await fc.assert(
        fc.asyncProperty(
          fc.array(fc.tuple(fc.nat(whole.length - 1), fc.integer({ min: 0, max: 255 })), {
            minLength: 1,
            maxLength: 6,
          }),
          fc.nat(whole.length),
          fc.boolean(),
          async (changes, length, cut) => {
            const bytes = whole.slice(0, cut ? length : whole.length);
            for (const [k, value] of changes) if (k < bytes.length) bytes[k] = value;
            await tryIt(bytes);
          },
        ),
        { seed: 5, numRuns: 150 },
      );
    },
  );

  it('names what is wrong', async () => {
    const big = fixture('geographic-float-point.tif');
    await expect(openGeotiff(bufferSource(big.slice(0, 60)), 'x.tif')).rejects.toThrow(/damaged or cut off/);
    const cut = await openGeotiff(bufferSource(big.slice(0, 900)), 'x.tif')
      .then(
        (file) => file.read(),
        (error) => Promise.reject(error),
      )
      .catch((error: unknown) => error);
    expect(cut).toBeInstanceOf(UserError);
  });
});
