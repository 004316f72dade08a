import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { heightAt, osselGrid, xOfColumn_u, yOfRow_u } from '../../src/core/terrain/index.ts';
import { UserError } from '../../src/core/units/index.ts';
import { hgtCorner, hgtFrame, hgtName, readHgt, writeHgt } from '../../src/formats/hgt.ts';
import { readGolden } from '../golden.ts';

const put = (bytes: Uint8Array, index: number, value: number) => new DataView(bytes.buffer).setInt16(2 * index, value);

describe('a tile of elevation', () => {
  it('has its samples where a published example says', () => {
    for (const row of readGolden('terrain-tile-sample.csv').rows) {
      const bytes = new Uint8Array(3601 * 3601 * 2);
      const height_m = Number(row['height_m']);
      put(bytes, Number(row['index']), height_m);
      const grid = readHgt(bytes, row['tile']!);
      const r = Number(row['row']);
      const c = Number(row['column']);
      expect(grid.height_m[r * 3601 + c]).toBe(height_m);
      expect(yOfRow_u(grid, r)).toBeCloseTo(39 - r / 3600, 9);
      expect(xOfColumn_u(grid, c)).toBeCloseTo(-105 + c / 3600, 9);
      expect(heightAt(grid, -105 + c / 3600, 39 - r / 3600)).toBeCloseTo(height_m, 3);
      expect(heightAt(grid, -105 + (c + 0.5) / 3600, 39 - r / 3600)).toBeCloseTo(height_m / 2, 3);
    }
  });

  it('is signed, big-endian, with voids', () => {
    const bytes = new Uint8Array(1201 * 1201 * 2);
    bytes.set([0xff, 0xfe, 0x80, 0x00, 0x22, 0x98]);
    const grid = readHgt(bytes, 'folder/n46e010.HGT');
    expect(Array.from(grid.height_m.subarray(0, 3))).toEqual([-2, Number.NaN, 8856]);
    // Corners of the name mean the centres of the corner samples (GRASS manual of the import of such tiles).
    expect([grid.west_u, grid.north_u]).toEqual([10, 47]);
    expect(xOfColumn_u(grid, 1200)).toBeCloseTo(11, 12);
    expect(yOfRow_u(grid, 1200)).toBeCloseTo(46, 12);
  });

  it.each([
    ['N46E010.hgt', 46, 10],
    ['S45W179.hgt', -45, -179],
    ['x/y\\s01e000.hgt.gz', -1, 0],
    ['N51W180.SRTMGL1.hgt.zip', 51, -180],
  ])('is placed by its name: %s', (name, south_deg, west_deg) => {
    expect(hgtCorner(name)).toEqual({ south_deg, west_deg });
  });

  it.each(['46N010E.hgt', 'N46E10.hgt', 'N95E010.hgt', 'N46E190.hgt', 'E010N46.hgt', 'N46E010.tif', 'N46E010', ''])(
    'is not placed by %s',
    (name) => {
      expect(hgtCorner(name)).toBeNull();
    },
  );

  it('has the name of the degree that holds a place', () => {
    expect(hgtName(46.4, 10.2)).toBe('N46E010.hgt');
    expect(hgtName(-0.1, -0.1)).toBe('S01W001.hgt');
    expect(hgtName(51.5, 180.3)).toBe('N51W180.hgt');
    expect(hgtName(-44.3, 179.9)).toBe('S45E179.hgt');
    expect(hgtName(90, 0)).toBe('N89E000.hgt');
  });

  it('of a wrong size or name is refused in a sentence', () => {
    const fail = (bytes: number, name: string) => {
      try {
        readHgt(new Uint8Array(bytes), name);
      } catch (error) {
        expect(error).toBeInstanceOf(UserError);
        return (error as UserError).problems[0]!;
      }
      throw new Error('was read');
    };
    expect(fail(2_884_800, 'N46E010.hgt')).toMatchObject({
      code: 'hgt.size',
      message: expect.stringMatching(/2884800 bytes.*2884802.*cut off after 99 %/),
      place: { file: 'N46E010.hgt' },
    });
    expect(fail(13_000_000, 'N46E010.hgt').message).toMatch(/cut off after 50 %/);
    expect(fail(0, 'N46E010.hgt').message).toMatch(/empty/);
    expect(fail(40_000_000, 'N46E010.hgt').message).toMatch(/is no such tile/);
    expect(fail(2_884_802, 'valley.hgt')).toMatchObject({
      code: 'hgt.name',
      message: expect.stringMatching(/N46E010/),
    });
  });

  it('comes back as it was written', () => {
    const grid = osselGrid(hgtFrame({ south_deg: 46, west_deg: 10 }, 1201), 1);
    grid.height_m[77] = Number.NaN;
    const back = readHgt(writeHgt(grid), 'N46E010.hgt');
    for (let k = 0; k < grid.height_m.length; k += 37)
      if (k !== 77) expect(back.height_m[k]).toBe(Math.round(grid.height_m[k]!));
    expect(back.height_m[77]).toBeNaN();
    const { height_m: _, ...frame } = back;
    expect(frame).toEqual(hgtFrame({ south_deg: 46, west_deg: 10 }, 1201));
    expect(() => writeHgt({ ...grid, rows: 1200 })).toThrow(RangeError);
  });

  it('survives any bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 4000 }), fc.string({ maxLength: 20 }), (bytes, name) => {
        expect(() => readHgt(bytes, name)).toThrow(UserError);
      }),
      { seed: 1, numRuns: 200 },
    );
  });
});

describe('the invented valley', () => {
  it('has a lake, a floor that rises, mountains, and is the same for the same seed', () => {
    const frame = {
      ...hgtFrame({ south_deg: 46, west_deg: 10 }, 1201),
      rows: 301,
      columns: 301,
      stepEast_u: 1 / 300,
      stepNorth_u: 1 / 300,
    };
    const one = osselGrid(frame, 1);
    const lake = one.height_m.reduce((sum, h) => sum + (h === 1150 ? 1 : 0), 0);
    expect(lake).toBeGreaterThan(5);
    const highest = one.height_m.reduce((a, b) => Math.max(a, b));
    const lowest = one.height_m.reduce((a, b) => Math.min(a, b));
    expect(highest).toBeGreaterThan(2600);
    expect(highest).toBeLessThan(4000);
    expect(lowest).toBeGreaterThan(600);
    expect(osselGrid(frame, 1).height_m).toEqual(one.height_m);
    expect(osselGrid(frame, 2).height_m).not.toEqual(one.height_m);
  });
});
