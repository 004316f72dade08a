import geodesic from 'geographiclib-geodesic';
import { describe, expect, it } from 'vitest';
import { courseOf, offsetFrom, stepAlong } from '../../../src/core/reach/index.ts';

// Against a general geodesic library (Karney 2013), exact to nanometres.
const { WGS84 } = geodesic.Geodesic;
// Asked: a small part of a cell of 30 m; at 60 km 1 m, near the pole a third of a cell.
const places = [0.3, 46.4, -44.3, 60, 80].flatMap((latitude_deg) => [
  { latitude_deg, distance_km: 0.5, limit_m: 0.01 },
  { latitude_deg, distance_km: 15, limit_m: latitude_deg === 80 ? 0.2 : 0.02 },
  { latitude_deg, distance_km: 60, limit_m: latitude_deg === 80 ? 10 : 1 },
]);

describe('offsets in a geographic frame', () => {
  it.each(places)(
    'agree with geodesics of $distance_km km at latitude $latitude_deg',
    ({ latitude_deg, distance_km, limit_m }) => {
      let worst_m = 0;
      for (let azimuth_deg = 0; azimuth_deg < 360; azimuth_deg += 7) {
        const end = WGS84.Direct(latitude_deg, 10.2, azimuth_deg, 1000 * distance_km);
        const step = stepAlong(latitude_deg, (azimuth_deg * Math.PI) / 180, distance_km);
        worst_m = Math.max(
          worst_m,
          WGS84.Inverse(end.lat2!, end.lon2!, latitude_deg + step.latitudeStep_deg, 10.2 + step.longitudeStep_deg).s12!,
        );
        const back = offsetFrom(latitude_deg, end.lat2!, end.lon2! - 10.2);
        worst_m = Math.max(worst_m, 1000 * Math.abs(Math.hypot(back.east_km, back.north_km) - distance_km));
        const turn_rad = Math.atan2(back.east_km, back.north_km) - back.halfTurn_rad - (azimuth_deg * Math.PI) / 180;
        worst_m = Math.max(worst_m, 1000 * distance_km * Math.abs(Math.sin(turn_rad)));
      }
      expect(worst_m).toBeLessThan(limit_m);
    },
  );

  it('lie on a cubic along each way', () => {
    const frame = {
      kind: 'geographic' as const,
      north_deg: 47,
      west_deg: 10,
      rowStep_deg: 1 / 3600,
      columnStep_deg: 1 / 3600,
    };
    const centre = { row: 2000, column: 800 };
    const latitude_deg = 47 - 2000 / 3600;
    let worst = 0;
    for (let azimuth_deg = 0; azimuth_deg < 360; azimuth_deg += 11) {
      const [r0, r1, r2, r3, c0, c1, c2, c3] = courseOf(frame, centre, (azimuth_deg * Math.PI) / 180, 60);
      for (let r = 0; r <= 60; r += 4) {
        const end = WGS84.Direct(latitude_deg, 10 + 800 / 3600, azimuth_deg, 1000 * r);
        const row = r0! + (r1! + (r2! + r3! * r) * r) * r;
        const column = c0! + (c1! + (c2! + c3! * r) * r) * r;
        worst = Math.max(worst, Math.abs(row - (47 - end.lat2!) * 3600), Math.abs(column - (end.lon2! - 10) * 3600));
      }
    }
    // 1 m of a cell of 30 m.
    expect(worst).toBeLessThan(1 / 30);
  });
});
