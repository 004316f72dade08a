import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { UserError } from '../../src/core/units/index.ts';
import { contourFeatures } from '../../src/formats/contours.ts';
import { insidePolygon, readGeoJson } from '../../src/formats/geojson.ts';
import { readPlaces } from '../../src/formats/places.ts';
import { problemsOf } from '../app/real-ports.ts';

const one = { name: 'A', latitude_deg: 46.4, longitude_deg: 10.2, height_m: 5, access: 'road' };

describe('places', () => {
  it.each([
    ['csv', '# comment\nname,lat,lon,height_m,access\nA,46.4,10.2,5,road\n'],
    [
      'csv with semicolons, a byte-order mark and Windows lines',
      '\ufeffname;latitude_deg;longitude_deg;height_m;access\r\nA;46.4;10.2;5;road\r\n',
    ],
    ['yaml', '# list\n- { name: A, latitude_deg: 46.4, longitude_deg: 10.2, height_m: 5, access: road }\n'],
    [
      'geojson',
      '{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"A","height_m":5,"access":"road"},"geometry":{"type":"Point","coordinates":[10.2,46.4]}}]}',
    ],
  ])('are read from %s', (_, text) => {
    expect(readPlaces(text, 'f')).toEqual([one]);
  });

  it('leave height and access open, and number the nameless', () => {
    expect(readPlaces('lat,lon\n46.4,10.2\n', 'f')).toEqual([
      { name: 'place 1', latitude_deg: 46.4, longitude_deg: 10.2, height_m: undefined, access: undefined },
    ]);
    expect(readPlaces('{"type":"Point","coordinates":[190.2,46.4]}', 'f')[0]).toMatchObject({
      longitude_deg: expect.closeTo(-169.8, 9),
    });
  });

  it.each([
    ['name,lat,lon\nA,146,10\n', 'Row 1: latitude_deg is 146: a latitude lies between -90 and 90'],
    ['name,lat,lon\nA,46,NaN\n', 'longitude_deg is NaN'],
    ['name,lat\nA,46\n', 'The first line lacks latitude_deg or longitude_deg'],
    ['name,lat,lon\nA,46,10\nA,47,10\n', 'both called A'],
    ['name,lat,lon\n', 'The file holds no place'],
    ['', 'The file holds no place'],
    ['- 5\n', 'Entry 1 is no mapping'],
    ['- { name: A }\n', 'latitude_deg and longitude_deg are both wanted'],
    ['name,lat,lon,height_m\nA,46,10,0\n', 'an antenna stands 0.1 to 300 m'],
    ['{"type":"Point","coordinates":[46.4,110.2]}', 'off the Earth: GeoJSON wants the longitude first'],
    ['{', 'This is no JSON'],
    ['{"type":"Feature"}', 'Feature 1: it has no geometry'],
    ['{"type":"Blob"}', 'of type Blob, which GeoJSON does not know'],
  ])('tell what is wrong with %j', async (text, sentence) => {
    const [problem] = await problemsOf(() => readPlaces(text, 'f'));
    expect(problem!.message).toContain(sentence);
  });

  it('name each wrong row by its own number', async () => {
    const problems = await problemsOf(() => readPlaces('name,lat,lon\nA,146,10\n\nB,147,10\nC,46,10\n', 'f'));
    expect(problems.map((p) => p.message)).toEqual([
      expect.stringContaining('Row 1: latitude_deg is 146'),
      expect.stringContaining('Row 2: latitude_deg is 147'),
    ]);
  });

  it('never crash on random text', () => {
    const shaped = fc.constantFrom(
      '{',
      '[',
      '- ',
      'lat,lon\n',
      '{"type":"FeatureCollection","features":[',
      'name;lat;lon\n',
    );
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), shaped, (text, head) => {
        for (const candidate of [text, head + text])
          try {
            readPlaces(candidate, 'f');
          } catch (error) {
            if (!(error instanceof UserError)) throw error;
            expect(error.problems.length).toBeGreaterThan(0);
          }
      }),
      { seed: 1, numRuns: 1500 },
    );
    fc.assert(
      fc.property(fc.json({ maxDepth: 6 }), (text) => {
        try {
          readGeoJson(text, 'f');
        } catch (error) {
          if (!(error instanceof UserError)) throw error;
        }
      }),
      { seed: 1, numRuns: 1500 },
    );
  });

  it('do not fall over deep nesting', async () => {
    const deep = `${'{"type":"GeometryCollection","geometries":['.repeat(2000)}${']}'.repeat(2000)}`;
    const [problem] = await problemsOf(() => readGeoJson(deep, 'f'));
    expect(problem!.code).toBe('geojson.geometry');
  });
});

describe('polygons', () => {
  it('hold what lies inside and not in their holes', () => {
    const square = (a: number, b: number): [number, number][] => [
      [a, a],
      [b, a],
      [b, b],
      [a, b],
      [a, a],
    ];
    const rings = [square(0, 10), square(4, 6)];
    expect([1, 5, 7, 11].map((v) => insidePolygon(rings, v, v))).toEqual([true, false, true, false]);
  });
});

describe('contours', () => {
  it('enclose a cone at the radius of their height, outer rings against the clock', () => {
    const size = 101;
    // A cone of slope 1 a cell, 40 high in the middle, with a hole of no value.
    const values = Float32Array.from(
      { length: size * size },
      (_, k) => 40 - Math.hypot((k % size) - 50, Math.floor(k / size) - 50),
    );
    values[50 * size + 50] = Number.NaN;
    const { features } = contourFeatures(values, size, size, [10, 20], 'margin_dB', (column, row) => [
      column / 100,
      -row / 100,
    ]);
    features.forEach((feature, i) => {
      const [outer, ...holes] = feature.geometry.coordinates[0]!;
      const area = (ring: readonly (readonly number[])[]) =>
        ring.slice(1).reduce((s, p, k) => s + ring[k]![0]! * p[1]! - p[0]! * ring[k]![1]!, 0) / 2;
      const radius = [30, 20][i]!;
      expect(area(outer!) / (Math.PI * (radius / 100) ** 2)).toBeCloseTo(1, 2);
      expect(holes).toHaveLength(1);
      expect(area(holes[0]!)).toBeLessThan(0);
      expect(outer![0]).toEqual(outer![outer!.length - 1]);
    });
  });

  it('are empty where nothing is reached', () => {
    const { features } = contourFeatures(new Float32Array(100).fill(-5), 10, 10, [0], 'margin_dB', (c, r) => [c, r]);
    expect(features[0]!.geometry.coordinates).toEqual([]);
  });
});
