import { describe, expect, it } from 'vitest';
import { readCover } from '../../src/app/cover-file.ts';
import { coverAt, coverOfProfile } from '../../src/app/cover-profile.ts';
import { geodesicBetween } from '../../src/formats/geodesic.ts';

const square = (word: string, west: number, east: number, hole?: readonly [number, number]) => {
  const ring = (w: number, e: number, s: number, n: number) => [
    [w, s],
    [e, s],
    [e, n],
    [w, n],
    [w, s],
  ];
  const coordinates = [ring(west, east, 46, 46.1), ...(hole ? [ring(...hole, 46.02, 46.08)] : [])];
  return { type: 'Feature', properties: { class: word }, geometry: { type: 'Polygon', coordinates } };
};
const file = readCover(
  JSON.stringify({
    type: 'FeatureCollection',
    features: [square('woods', 10, 10.2, [10.05, 10.1]), square('water', 10.15, 10.25)],
  }),
  'squares.geojson',
);

describe('ground cover at the points of a profile', () => {
  it('holes are open, later polygons lie over earlier ones', () => {
    const at = (longitude_deg: number, latitude_deg = 46.05) =>
      file.kinds[coverAt(file)({ latitude_deg, longitude_deg })]!.cover;
    expect([9.9, 10.01, 10.07, 10.12, 10.17, 10.22, 10.3].map((x) => at(x))).toEqual([
      'open',
      'woods',
      'open',
      'woods',
      'water',
      'water',
      'open',
    ]);
    expect(at(10.12, 46.2)).toBe('open');
  });

  it('an edge stands at its distance along the way', () => {
    const from = { latitude_deg: 46.05, longitude_deg: 9.95 };
    const to = { latitude_deg: 46.05, longitude_deg: 10.03 };
    const whole_km = geodesicBetween(from, to).distance_m / 1000;
    const distance_km = Float64Array.from({ length: 801 }, (_, i) => (whole_km * i) / 800);
    const { kind, woods } = coverOfProfile(file, from, to, distance_km);
    // The wood begins at 10° E, five eighths of the way: on a parallel, distances go with longitudes.
    expect(kind.indexOf(1)).toBe(500);
    expect([...woods.slice(498, 502)]).toEqual([0, 0, 1, 1]);
  });
});
