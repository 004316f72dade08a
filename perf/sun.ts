import * as Astronomy from 'astronomy-engine';
import { getSpa, SPA_ZA } from 'nrel-spa';
import { createRandom } from '../src/core/math/index.ts';
import { planeGeometry, planeOfArray, sunSeries, sunYear, unix_msOfJulianDay } from '../src/core/sun/index.ts';

export interface Measure {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  /** How many times faster than `against`, measured in the same run. */
  readonly ratio?: number;
  readonly against?: string;
}

/** Least time of some rounds, ns an item: the least disturbed one. */
function time_ns(rounds: number, items: number, work: () => void): number {
  work();
  let best = Number.POSITIVE_INFINITY;
  for (let k = 0; k < rounds; k++) {
    const from = performance.now();
    work();
    best = Math.min(best, performance.now() - from);
  }
  return (best * 1e6) / items;
}

/** Positions against two general packages, and the tilted plane over 20 years of hours. */
export async function benchSun(): Promise<Measure[]> {
  const [latitude_deg, longitude_deg, start] = [46.4, 10.2, 2458849.5];
  const few = 8000;
  const many = 175200;
  const out = { elevation_deg: new Float64Array(many), azimuth_deg: new Float64Array(many) };
  const dates = Array.from({ length: few }, (_, i) => new Date(Math.round(unix_msOfJulianDay(start + i / 24))));
  const observer = new Astronomy.Observer(latitude_deg, longitude_deg, 0);
  let sink = 0;
  const spa = time_ns(3, few, () => {
    for (const date of dates)
      sink += getSpa(date, latitude_deg, longitude_deg, 0, { function: SPA_ZA, pressure: 0 }).zenith;
  });
  const engine = time_ns(3, few, () => {
    for (const date of dates) {
      const place = Astronomy.Equator(Astronomy.Body.Sun, date, observer, true, true);
      sink += Astronomy.Horizon(date, observer, place.ra, place.dec).altitude;
    }
  });
  const series = time_ns(5, many, () => sunSeries(start, 1, latitude_deg, longitude_deg, 0, out));
  let worst_deg = 0;
  for (let i = 0; i < few; i += 7) {
    const zenith = getSpa(dates[i]!, latitude_deg, longitude_deg, 0, {
      function: SPA_ZA,
      pressure: 0,
      delta_t: 69,
    }).zenith;
    worst_deg = Math.max(worst_deg, Math.abs(90 - zenith - out.elevation_deg[i]!));
  }

  const place = { latitude_deg, longitude_deg, elevation_m: 1800, utcOffset_h: 1 };
  const sun = sunYear(place);
  const random = createRandom(1);
  const hours = {
    length: many,
    hourOfYear: Uint16Array.from({ length: many }, (_, i) => i % 8760),
    ghi_W_m2: new Float32Array(many),
    dni_W_m2: new Float32Array(many),
    dhi_W_m2: new Float32Array(many),
  };
  for (let i = 0; i < many; i++) {
    const top = sun.extraterrestrialHorizontal_Wh_m2[i % 8760]!;
    hours.dhi_W_m2[i] = top * 0.3 * random.next();
    hours.dni_W_m2[i] = top > 0 ? 800 * random.next() : 0;
    hours.ghi_W_m2[i] = hours.dhi_W_m2[i]! + hours.dni_W_m2[i]! * Math.max(0, sun.up[i % 8760]!);
  }
  const albedo = Array<number>(12).fill(0.2);
  const poa = new Float32Array(many);
  const plane = (model: 'perez' | 'hay-davies') => {
    const geometry = planeGeometry(sun, { tilt_deg: 60, azimuth_deg: 180, albedo, cover: 'glass', model });
    return time_ns(7, many, () => planeOfArray(hours, geometry, poa));
  };
  const perez = plane('perez');
  const hayDavies = plane('hay-davies');
  const year_ms = time_ns(5, 1, () => void sunYear(place)) / 1e6;
  const geometry_ms =
    time_ns(5, 1, () => {
      sink += planeGeometry(sun, { tilt_deg: 60, azimuth_deg: 180, albedo, cover: 'glass', model: 'perez' }).sky;
    }) / 1e6;
  if (!Number.isFinite(sink)) throw new Error('a reference gave no number');
  return [
    { name: 'sun position, series', value: series, unit: 'ns', ratio: spa / series, against: 'nrel-spa' },
    { name: 'sun position, series', value: series, unit: 'ns', ratio: engine / series, against: 'astronomy-engine' },
    { name: 'sun position, worst elevation error', value: worst_deg, unit: 'deg', against: 'nrel-spa' },
    { name: 'tilted plane, Perez, an hour of day or night', value: perez, unit: 'ns' },
    { name: 'tilted plane, Hay-Davies, an hour of day or night', value: hayDavies, unit: 'ns' },
    { name: 'sun tables of a year', value: year_ms, unit: 'ms' },
    { name: 'tables of a plane', value: geometry_ms, unit: 'ms' },
  ];
}
