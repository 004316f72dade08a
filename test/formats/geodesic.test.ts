import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fanOnGrid, type GridFrame, viewshed } from '../../src/core/terrain/index.ts';
import {
  boxAround,
  boxOfPath,
  cellSize_m,
  evenAzimuths_deg,
  geodesicBetween,
  geodesicFan,
  geodesicPath,
  geodesicPoint,
  metricOf,
} from '../../src/formats/geodesic.ts';
import { projectionOf } from '../../src/formats/projection.ts';
import { readGolden } from '../golden.ts';

const at = (latitude_deg: number, longitude_deg: number) => ({ latitude_deg, longitude_deg });

describe('the shortest way', () => {
  it('has the published lengths and ends', () => {
    for (const row of readGolden('terrain-geodesic.csv').rows) {
      const n = (key: string) => Number(row[key]);
      const from = at(n('fromLatitude_deg'), n('fromLongitude_deg'));
      const to = at(n('toLatitude_deg'), n('toLongitude_deg'));
      if (row['kind'] === 'inverse') {
        const way = geodesicBetween(from, to);
        expect(Math.abs(way.distance_m - n('distance_m'))).toBeLessThan(0.001);
        if (row['azimuth_deg'] !== '') expect(Math.abs(way.azimuth_deg - n('azimuth_deg'))).toBeLessThan(1e-5);
      } else {
        const end = geodesicPoint(from, n('azimuth_deg'), n('distance_m'));
        expect(Math.abs(end.latitude_deg - to.latitude_deg)).toBeLessThan(1e-7);
        expect(Math.abs(end.longitude_deg - to.longitude_deg)).toBeLessThan(1e-7);
      }
    }
  });

  it('has even points, ends included, and runs on across the date line', () => {
    const path = geodesicPath(at(51.5, 179.9), at(51.6, -179.8), 100);
    const n = path.distance_km.length;
    expect(path.longitude_deg[n - 1]).toBeCloseTo(180.2, 9);
    expect(path.latitude_deg[n - 1]).toBeCloseTo(51.6, 9);
    expect(path.distance_km[1]).toBeLessThanOrEqual(0.1);
    expect(path.distance_km[n - 1]! * 1000).toBeCloseTo(
      geodesicBetween(at(51.5, 179.9), at(51.6, -179.8)).distance_m,
      6,
    );
    expect(boxOfPath(path)).toMatchObject({ west_deg: 179.9, south_deg: 51.5 });
    expect(boxOfPath(path).east_deg).toBeCloseTo(180.2, 9);
    expect(() => geodesicPath(at(1, 2), at(1, 2), 100)).toThrow(/same place/);
    expect(geodesicPath(at(1, 2), at(1.0001, 2), 1000).distance_km).toHaveLength(5);
  });

  it('goes there and back by the same way', () => {
    const place = fc.record({
      latitude_deg: fc.double({ min: -85, max: 85, noNaN: true }),
      longitude_deg: fc.double({ min: -180, max: 180, noNaN: true }),
    });
    fc.assert(
      fc.property(
        place,
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.double({ min: 10, max: 2e5, noNaN: true }),
        (from, azimuth_deg, distance_m) => {
          const to = geodesicPoint(from, azimuth_deg, distance_m);
          const way = geodesicBetween(from, to);
          expect(Math.abs(way.distance_m - distance_m)).toBeLessThan(1e-6);
          const home = geodesicPoint(to, way.backAzimuth_deg, way.distance_m);
          expect(geodesicBetween(from, home).distance_m).toBeLessThan(1e-6);
        },
      ),
      { seed: 1, numRuns: 200 },
    );
  });
});

describe('a box around a place', () => {
  it.each([
    [46.4, 10.2, 30_000],
    [80, 20, 60_000],
    [-44.3, 179.9, 30_000],
    [88, 0, 100_000],
  ])('holds every point of the circle (%d, %d)', (latitude_deg, longitude_deg, range_m) => {
    const box = boxAround(at(latitude_deg, longitude_deg), range_m);
    let [west, east, south, north] = [999, -999, 999, -999];
    for (let a = 0; a < 360; a += 0.5) {
      const p = geodesicPoint(at(latitude_deg, longitude_deg), a, range_m);
      const turned = p.longitude_deg - 360 * Math.round((p.longitude_deg - longitude_deg) / 360);
      [west, east] = [Math.min(west, turned), Math.max(east, turned)];
      [south, north] = [Math.min(south, p.latitude_deg), Math.max(north, p.latitude_deg)];
    }
    expect(box.west_deg).toBeLessThanOrEqual(west);
    expect(box.east_deg).toBeGreaterThanOrEqual(east);
    expect(box.south_deg).toBeLessThanOrEqual(south + 1e-9);
    expect(box.north_deg).toBeGreaterThanOrEqual(north - 1e-9);
    // No more than a hundredth wider than it must be.
    expect(box.east_deg - box.west_deg).toBeLessThan((east - west) * 1.01);
  });

  it('takes in all longitudes around a pole', () => {
    expect(boxAround(at(89.9, 10), 30_000)).toMatchObject({ west_deg: -180, east_deg: 180, north_deg: 90 });
  });
});

describe('rays on a grid', () => {
  const frame: GridFrame = {
    kind: 'geographic',
    projection: null,
    rows: 3601,
    columns: 3601,
    west_u: 10,
    north_u: 47,
    stepEast_u: 1 / 3600,
    stepNorth_u: 1 / 3600,
    pixelIs: 'point',
  };

  it('between nodes are straight to 6 mm', () => {
    const from = at(46.4, 10.2);
    const fan = geodesicFan(from, evenAzimuths_deg(30), 20_000, projectionOf(null));
    expect(fan.azimuth_deg).toHaveLength(12);
    for (let ray = 0; ray < 12; ray++)
      for (const k of [0, 7, 38]) {
        const i = ray * fan.nodes + k;
        const middle = at((fan.y_u[i]! + fan.y_u[i + 1]!) / 2, (fan.x_u[i]! + fan.x_u[i + 1]!) / 2);
        const exact = geodesicPoint(from, fan.azimuth_deg[ray]!, (k + 0.5) * 500);
        // Sagitta of 500 m: 250² (tan(latitude)/R + what the meridians converge)/2; at 46° both are 1/R, so 4.9 mm each way, skew at most √1.5.
        expect(geodesicBetween(middle, exact).distance_m).toBeLessThan(0.0049 * Math.sqrt(1.5));
      }
    const onGrid = fanOnGrid(frame, fan);
    expect(onGrid.row[0]).toBeCloseTo(0.6 * 3600, 6);
    expect(onGrid.column[0]).toBeCloseTo(0.2 * 3600, 6);
  });

  it.each([
    ['geographic at 46°', frame, null, 2160, 720, 30_000],
    ['geographic at 80°', { ...frame, north_u: 81 }, null, 3000, 1800, 15_000],
    [
      'the web Mercator at 46°',
      {
        ...frame,
        kind: 'projected' as const,
        projection: 'EPSG:3857',
        west_u: 1_130_000,
        north_u: 5_900_000,
        stepEast_u: 38,
        stepNorth_u: 38,
        rows: 1500,
        columns: 1500,
      },
      'EPSG:3857',
      700,
      700,
      15_000,
    ],
  ])('distances over the cells are geodesic: %s', (_, f, name, row, column, range_m) => {
    const projection = projectionOf(name);
    const metric = metricOf(f, row, column, range_m, projection);
    const place = new Float64Array(2);
    const earth = (r: number, c: number) => {
      projection.toEarth(f.west_u + c * f.stepEast_u, f.north_u - r * f.stepNorth_u, place);
      return at(place[1]!, place[0]!);
    };
    const size = cellSize_m(f, row, column, projection);
    for (const [x, y] of [
      [0.6, 0.6],
      [-0.9, 0.3],
      [0.2, -0.9],
      [-0.7, -0.7],
      [1, 0],
    ] as const) {
      const r = Math.max(0, Math.min(f.rows - 1, row - Math.round((y * range_m) / size.north_m)));
      const c = column + Math.round((x * range_m) / size.east_m);
      const exact = geodesicBetween(earth(row, column), earth(r, c)).distance_m;
      const told = Math.hypot(metric.north_m[r]!, (c - column) * metric.east_m[r]!);
      expect(Math.abs(told / exact - 1)).toBeLessThan(2e-4);
    }
  });

  it('on UTM are the grid’s own metres', () => {
    const utm: GridFrame = {
      ...frame,
      kind: 'projected',
      projection: 'EPSG:32632',
      west_u: 590_000,
      north_u: 5_140_000,
      stepEast_u: 30,
      stepNorth_u: 30,
      rows: 50,
      columns: 50,
    };
    const metric = metricOf(utm, 10, 10, 1000, projectionOf('EPSG:32632'));
    expect(metric.north_m[0]).toBe(-300);
    expect(metric.east_m[5]).toBe(30);
    const out = new Uint8Array(2500);
    const flat = { ...utm, height_m: new Float32Array(2500) };
    const setting = {
      row: 10,
      column: 10,
      observerHeight_m: 10,
      targetHeight_m: 2,
      range_m: 300,
      effectiveRadius_m: 8.5e6,
    };
    // Gauss's circle problem again (OEIS A000328): N(10) = 317.
    expect(viewshed(flat, setting, metric, out).cellsInRange).toBe(317);
  });
});

describe('a projection', () => {
  it('is alike with another general tool', () => {
    const out = new Float64Array(2);
    for (const row of readGolden('terrain-projection.csv').rows) {
      const projection = projectionOf(row['projection']!);
      projection.toGrid(Number(row['longitude_deg']), Number(row['latitude_deg']), out);
      expect(Math.abs(out[0]! - Number(row['x_m']))).toBeLessThan(0.002);
      expect(Math.abs(out[1]! - Number(row['y_m']))).toBeLessThan(0.002);
      projection.toEarth(out[0]!, out[1]!, out);
      expect(out[0]).toBeCloseTo(Number(row['longitude_deg']), 8);
      expect(out[1]).toBeCloseTo(Number(row['latitude_deg']), 8);
    }
  });

  it('is refused with the mend', () => {
    expect(() => projectionOf('EPSG:2056')).toThrow(/give its definition, \+proj=…/);
    expect(() => projectionOf('Lambert')).toThrow(/begins with \+proj=/);
    expect(() => projectionOf('+proj=lcc +lat_1=30 +lat_2=60 +units=us-ft')).toThrow(/in metres/);
    expect(() => projectionOf('+proj=nothing +units=m')).toThrow(/not understood|no projection/);
    expect(projectionOf('+proj=lcc +lat_0=47 +lon_0=10 +lat_1=46 +lat_2=48 +datum=WGS84 +units=m').name).toMatch(/lcc/);
    expect(projectionOf('EPSG:4326').name).toBeNull();
  });
});
