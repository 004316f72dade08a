/** Rings that run over the 180th meridian in two: as RFC 7946 (section 3.1.9) asks of GeoJSON. */

type Position = readonly [longitude_deg: number, latitude_deg: number];

/** The longitude that differs by whole turns and lies within half a turn of another, degrees. */
export function nearLongitude_deg(longitude_deg: number, to_deg: number): number {
  return longitude_deg + 360 * Math.round((to_deg - longitude_deg) / 360);
}

/**
 * A polygon whose longitudes run on beyond ±180 as polygons within it: the part on either side of the meridian, brought back
 * by a turn. One that lies within is given back as it is.
 */
export function withinMeridian(polygon: readonly (readonly Position[])[]): (readonly Position[])[][] {
  const all = (polygon[0] ?? []).map(([longitude_deg]) => longitude_deg);
  const parts: (readonly Position[])[][] = [];
  const [low, high] = [Math.min(...all), Math.max(...all)];
  if (low >= -180 && high <= 180) return [[...polygon]];
  for (let turn = Math.floor((low + 180) / 360); turn <= Math.ceil((high - 180) / 360); turn++) {
    const [west, east] = [-180 + 360 * turn, 180 + 360 * turn];
    const rings = polygon.map((ring) =>
      cut(cut(ring, west, 1), east, -1).map(([x, y]): Position => [x - 360 * turn, y]),
    );
    if (rings[0]!.length > 0) parts.push(rings.filter((ring) => ring.length > 0));
  }
  return parts;
}

/** What of a closed ring lies east (side 1) or west (-1) of a meridian, closed along it (Sutherland and Hodgman 1974). */
function cut(ring: readonly Position[], meridian_deg: number, side: 1 | -1): Position[] {
  const kept: Position[] = [];
  const inside = (p: Position) => side * (p[0] - meridian_deg) >= 0;
  for (let i = 1; i < ring.length; i++) {
    const [a, b] = [ring[i - 1]!, ring[i]!];
    if (inside(a)) kept.push(a);
    if (inside(a) !== inside(b)) {
      const t = (meridian_deg - a[0]) / (b[0] - a[0]);
      kept.push([meridian_deg, a[1] + t * (b[1] - a[1])]);
    }
  }
  const flat = kept.every(([x]) => x === meridian_deg);
  return kept.length < 3 || flat ? [] : [...kept, kept[0]!];
}
