/** The area that a net is to serve. */
import { cellSize_km, type GridPlace } from '../core/reach/index.ts';
import { userError } from '../core/units/index.ts';
import { nearLongitude_deg } from '../formats/antimeridian.ts';
import { insidePolygon, type Ring, readGeoJson } from '../formats/geojson.ts';
import type { Ground } from './ground.ts';
import type { Ports } from './ports.ts';
import { roughly_km } from './roughly.ts';

export interface Area {
  readonly text: string;
  /** A circle that holds the area. */
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly radius_km: number;
  contains(longitude_deg: number, latitude_deg: number): boolean;
}

const MOST_km = 60;

/** `LAT,LON,RADIUS_km`, or a GeoJSON file with polygons. */
export async function readArea(ports: Ports, text: string): Promise<Area> {
  const numbers = text.split(',').map((part) => Number(part.trim()));
  if (numbers.length === 3 && numbers.every(Number.isFinite)) {
    const [latitude_deg, longitude_deg, radius_km] = numbers as [number, number, number];
    if (!(Math.abs(latitude_deg) <= 90 && Math.abs(longitude_deg) <= 180 && radius_km >= 0.2 && radius_km <= MOST_km))
      throw userError(
        'area.range',
        `the area is ${text}: wanted are a latitude (-90 to 90), a longitude (-180 to 180) and a radius of 0.2 to ${MOST_km} km`,
        { field: '--area' },
      );
    const centre = { latitude_deg, longitude_deg };
    return {
      text: `${radius_km} km around ${latitude_deg}, ${longitude_deg}`,
      ...centre,
      radius_km,
      contains: (lon, lat) => roughly_km(centre, { latitude_deg: lat, longitude_deg: lon }) <= radius_km,
    };
  }
  if (numbers.length !== 3 && numbers.every(Number.isFinite))
    throw userError(
      'area.numbers',
      `the area is ${text}: wanted are three numbers, LAT,LON,RADIUS in km, such as 46.4,10.2,8, or a GeoJSON file`,
      { field: '--area' },
    );
  const { polygons } = readGeoJson(await ports.readText(text), text);
  if (polygons.length === 0)
    throw userError('area.none', 'the file holds no polygon: the area is one, or LAT,LON,RADIUS in km', { file: text });
  // All beside the first corner, so that an area on the 180th meridian is one.
  const first_deg = polygons[0]![0]?.[0]?.[0] ?? 0;
  const beside = polygons.map((rings) =>
    rings.map((ring) => ring.map(([lon, lat]): [number, number] => [nearLongitude_deg(lon, first_deg), lat])),
  );
  return polygonArea(text, beside);
}

function polygonArea(text: string, polygons: readonly (readonly Ring[])[]): Area {
  const corners = polygons.flatMap((rings) => rings[0] ?? []);
  if (corners.length < 3) throw userError('area.none', 'the polygon has no ring of three positions', { file: text });
  const middle = (k: 0 | 1) => {
    const all = corners.map((p) => p[k]);
    return (Math.min(...all) + Math.max(...all)) / 2;
  };
  const east_deg = middle(0);
  const centre = { longitude_deg: nearLongitude_deg(east_deg, 0), latitude_deg: middle(1) };
  const radius_km = Math.max(
    ...corners.map(([longitude_deg, latitude_deg]) => roughly_km(centre, { latitude_deg, longitude_deg })),
  );
  if (!(radius_km <= MOST_km))
    throw userError(
      'area.range',
      `the area reaches ${radius_km.toFixed(0)} km from its middle: at most ${MOST_km} km`,
      {
        file: text,
      },
    );
  return {
    text,
    ...centre,
    radius_km,
    contains: (lon, lat) => polygons.some((rings) => insidePolygon(rings, nearLongitude_deg(lon, east_deg), lat)),
  };
}

/** Cells of a ground that lie in an area and have a height, with their sizes. */
export interface AreaCells {
  readonly cells: Uint32Array;
  /** km², one a row of the raster. */
  readonly rowArea_km2: Float64Array;
  readonly area_km2: number;
}

export function cellsOf(ground: Ground, area: Area): AreaCells {
  const { rows, columns, frame, height_m } = ground.ground;
  const centre: GridPlace = ground.placeOf(area.latitude_deg, area.longitude_deg);
  const rowArea_km2 = new Float64Array(rows);
  const list: number[] = [];
  let area_km2 = 0;
  for (let row = 0; row < rows; row++) {
    const cell = cellSize_km(frame, { row, column: centre.column });
    rowArea_km2[row] = cell.height_km * cell.width_km;
    if (Math.abs(row - centre.row) * cell.height_km > area.radius_km + 1) continue;
    const reach = (area.radius_km + 1) / cell.width_km;
    const last = Math.min(columns - 1, Math.ceil(centre.column + reach));
    for (let column = Math.max(0, Math.floor(centre.column - reach)); column <= last; column++) {
      const k = row * columns + column;
      if (Number.isNaN(height_m[k]!)) continue;
      const [longitude_deg, latitude_deg] = ground.earthOf(column, row);
      if (!area.contains(longitude_deg, latitude_deg)) continue;
      list.push(k);
      area_km2 += rowArea_km2[row]!;
    }
  }
  if (list.length === 0)
    throw userError('area.terrain', 'the terrain has no heights in the area: add the tiles that cover it', {
      field: '--area',
    });
  return { cells: Uint32Array.from(list), rowArea_km2, area_km2 };
}
