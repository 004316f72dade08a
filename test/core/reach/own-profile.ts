import { deltaBullington, slantFreeSpaceLoss_dB, type Wave } from '../../../src/core/path/index.ts';
import type { CoveragePlan } from '../../../src/core/reach/index.ts';

/** Loss to one cell of a plane raster over its own profile, as spaced as the radials, by the published method point by point. */
export function ownProfileLoss_dB(plan: CoveragePlan, row: number, column: number, wave: Wave): number {
  const { ground, centre, setting } = plan;
  if (ground.frame.kind !== 'plane') throw new Error('a plane raster is wanted');
  const { columns, height_m } = ground;
  const d = Math.hypot(
    (centre.row - row) * ground.frame.rowStep_km,
    (column - centre.column) * ground.frame.columnStep_km,
  );
  const m = Math.max(2, Math.round(d / setting.step_km));
  const distance_km = new Float64Array(m + 1);
  const profile_m = new Float64Array(m + 1);
  for (let i = 0; i <= m; i++) {
    const r = centre.row + ((row - centre.row) * i) / m;
    const c = centre.column + ((column - centre.column) * i) / m;
    const top = Math.min(ground.rows - 2, Math.floor(r));
    const left = Math.min(columns - 2, Math.floor(c));
    const k = top * columns + left;
    const [y, x] = [r - top, c - left];
    distance_km[i] = (d * i) / m;
    profile_m[i] =
      (1 - y) * ((1 - x) * height_m[k]! + x * height_m[k + 1]!) +
      y * ((1 - x) * height_m[k + columns]! + x * height_m[k + columns + 1]!);
  }
  const from_m = profile_m[0]! + setting.fromHeight_m;
  const to_m = profile_m[m]! + setting.toHeight_m;
  const parts = deltaBullington({
    distance_km,
    height_m: profile_m,
    obstacle_m: profile_m,
    n: m + 1,
    from_m,
    to_m,
    radius_km: setting.radius_km,
    wave,
  });
  return parts.loss_dB + slantFreeSpaceLoss_dB(d, to_m - from_m, wave.frequency_GHz * 1000);
}
