import { describe, expect, it } from 'vitest';
import { elevationCaution, groundOf } from '../../src/app/ground.ts';
import { skylineOf } from '../../src/app/skyline.ts';
import { heightAtPlace, polarOf } from '../../src/core/reach/index.ts';
import { type HeightGrid, osselHeight_m } from '../../src/core/terrain/index.ts';
import { geodesicBetween, geodesicPoint } from '../../src/formats/geodesic.ts';
import { projectionOf } from '../../src/formats/projection.ts';

const HERE = { latitude_deg: 46.425, longitude_deg: 10.195 };

/** The invented valley on a projected grid of 60 m around a place. */
function projected(name: string, step_m: number) {
  const projection = projectionOf(name);
  const at = new Float64Array(2);
  projection.toGrid(HERE.longitude_deg, HERE.latitude_deg, at);
  const size = 221;
  const grid: HeightGrid = {
    kind: 'projected',
    projection: name,
    rows: size,
    columns: size,
    west_u: at[0]! - 110 * step_m,
    north_u: at[1]! + 110 * step_m,
    stepEast_u: step_m,
    stepNorth_u: step_m,
    pixelIs: 'point',
    height_m: new Float32Array(size * size),
  };
  const earth = new Float64Array(2);
  for (let k = 0; k < size * size; k++) {
    projection.toEarth(grid.west_u + (k % size) * step_m, grid.north_u - Math.floor(k / size) * step_m, earth);
    grid.height_m[k] = osselHeight_m(earth[1]!, earth[0]!, 1);
  }
  return groundOf({ grid, projection }, HERE);
}

// Distances and azimuths against geodesics of a general library. UTM leans by 0.9° here; web Mercator stretches by 1.45.
describe.each([
  ['EPSG:32632', 60],
  ['EPSG:3857', 85],
])('ground on %s', (name, step_m) => {
  const ground = projected(name, step_m);
  const place = ground.placeOf(HERE.latitude_deg, HERE.longitude_deg);

  it.each([
    [46.45, 10.2],
    [46.425, 10.25],
    [46.39, 10.15],
  ])('knows how far and where %d, %d lies', (latitude_deg, longitude_deg) => {
    const way = geodesicBetween(HERE, { latitude_deg, longitude_deg });
    const { distance_km, azimuth_rad } = polarOf(
      ground.ground.frame,
      place,
      ground.placeOf(latitude_deg, longitude_deg),
    );
    expect(Math.abs(1000 * distance_km - way.distance_m) / way.distance_m).toBeLessThan(0.001);
    const azimuth_deg = (azimuth_rad * 180) / Math.PI + ground.gridNorth_deg(place);
    expect(Math.abs(((azimuth_deg - way.azimuth_deg + 540) % 360) - 180)).toBeLessThan(0.05);
  });

  it('has the heights of the valley, and a skyline from true north', () => {
    expect(heightAtPlace(ground.ground, place)).toBeCloseTo(osselHeight_m(HERE.latitude_deg, HERE.longitude_deg, 1), 0);
    const seen = skylineOf(ground, place, 5, 3, 360);
    for (const k of [45, 200, 290]) {
      // The ridge stands where a geodesic of that azimuth and length ends.
      const end = geodesicPoint(HERE, k, 1000 * seen.ridge_km[k]!);
      expect(Math.abs(osselHeight_m(end.latitude_deg, end.longitude_deg, 1) - seen.ridge_m[k]!)).toBeLessThan(12);
    }
  });
});

describe('the height of a perch file', () => {
  it('is told when the terrain says otherwise', () => {
    expect(elevationCaution('Hut', 2140, 2148)).toEqual([]);
    expect(elevationCaution('Hut', undefined, 2148)).toEqual([]);
    expect(elevationCaution('Hut', 2140, 1163)[0]!.text).toContain('2140 m above the sea, the terrain 1163 m');
  });
});
