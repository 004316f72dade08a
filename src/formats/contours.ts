import { contours } from 'd3-contour';
import { withinMeridian } from './antimeridian.ts';

/** A multipolygon of GeoJSON (RFC 7946) with the value from which on its ground counts. */
export interface ContourFeature {
  readonly type: 'Feature';
  readonly properties: Readonly<Record<string, number>>;
  readonly geometry: {
    readonly type: 'MultiPolygon';
    readonly coordinates: readonly (readonly [number, number][])[][];
  };
}

/** Below any margin: what is not known counts as not reached. */
const NOTHING = -1e3;

/**
 * Areas in which a raster reaches each of some values, as GeoJSON, by marching squares with straight interpolation (a general library).
 *
 * `locate` turns column and row (cell centres at whole numbers) into longitude and latitude. Positions are rounded to 1e-6 degrees (0.1 m).
 * Outer rings run against the clock, holes with it, and none crosses the 180th meridian, as RFC 7946 asks.
 */
export function contourFeatures(
  values: Float32Array,
  rows: number,
  columns: number,
  thresholds: readonly number[],
  property: string,
  locate: (column: number, row: number) => readonly [number, number],
): { readonly type: 'FeatureCollection'; readonly features: ContourFeature[] } {
  const known = Array.from(values, (v) => (Number.isNaN(v) ? NOTHING : v));
  const places = contours()
    .size([columns, rows])
    .smooth(true)
    .thresholds([...thresholds])(known);
  const round = (v: number) => Math.round(v * 1e6) / 1e6;
  const features = places.map(
    (place): ContourFeature => ({
      type: 'Feature',
      properties: { [property]: place.value },
      geometry: {
        type: 'MultiPolygon',
        coordinates: place.coordinates.flatMap((polygon) =>
          withinMeridian(polygon.map((ring) => ring.map(([x, y]) => locate(x! - 0.5, y! - 0.5)))).map((part) =>
            part.map((ring, k) => {
              const turned = ring.map((at): [number, number] => [round(at[0]), round(at[1])]);
              return area2(turned) > 0 === (k === 0) ? turned : turned.reverse();
            }),
          ),
        ),
      },
    }),
  );
  return { type: 'FeatureCollection', features };
}

/** Twice the signed area: positive against the clock. */
function area2(ring: readonly [number, number][]): number {
  let sum = 0;
  for (let i = 1; i < ring.length; i++) sum += ring[i - 1]![0] * ring[i]![1] - ring[i]![0] * ring[i - 1]![1];
  return sum;
}
