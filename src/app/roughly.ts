export interface LatLon {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}

/** Distance on a sphere by the mean parallel, km: right to 0.5 % up to 100 km; for choosing what to load and what is far. */
export function roughly_km(a: LatLon, b: LatLon): number {
  const turn = b.longitude_deg - a.longitude_deg;
  const parallel = Math.cos((((a.latitude_deg + b.latitude_deg) / 2) * Math.PI) / 180);
  return 111.3 * Math.hypot((turn - 360 * Math.round(turn / 360)) * parallel, b.latitude_deg - a.latitude_deg);
}
