/** Ground cover in a coverage: along the radials, and around both antennas. */
import { woodland } from '../path/index.ts';
import type { CoverRaster } from '../terrain/index.ts';
import { standingLoss_dB, WOOD_SPREAD } from './end-cover.ts';
import type { GridPlace } from './frame.ts';
import { type CoverageGround, kindAt } from './ground.ts';
import type { RadialCover, RadialSetting } from './radial.ts';
import { shelters, WOODS_AROUND } from './wood.ts';

interface EndsOut {
  readonly ends_dB?: Float32Array | undefined;
  readonly endsSpread_dB?: Float32Array | undefined;
}

/** Losses of both antennas by what they stand in, from tables by kind. */
export function createStanding(ground: CoverageGround, cover: CoverRaster, centre: GridPlace, setting: RadialSetting) {
  const { fromHeight_m, toHeight_m, wave } = setting;
  const { kinds } = cover;
  const frequency_MHz = wave.frequency_GHz * 1000;
  const around = shelters(kinds, toHeight_m);
  const aroundFrom = shelters(kinds, fromHeight_m);
  const own = kindAt(ground.rows, ground.columns, cover, centre.row, centre.column);
  const isWood = (table: Uint8Array, k: number) => table[k] === WOODS_AROUND && kinds[k]!.loss_dB === undefined;
  const fixed = (table: Uint8Array, k: number, height_m: number) =>
    table[k] === 0 || isWood(table, k)
      ? 0
      : standingLoss_dB({ kind: kinds[k]!, depth_m: null }, height_m, frequency_MHz).loss_dB;
  const to_dB = Float64Array.from(kinds, (_, k) => fixed(around, k, toHeight_m));
  const from_dB = fixed(aroundFrom, own, fromHeight_m);
  const fromWood = isWood(aroundFrom, own);
  const wood = cover.woods === undefined ? undefined : woodland(frequency_MHz);
  const woodLoss_dB = (depth_m: number) =>
    depth_m > 0 && wood !== undefined ? -wood.most_dB * Math.expm1((-depth_m * wood.specific_dB_m) / wood.most_dB) : 0;
  return {
    around,
    put(index: number, fromDepth_m: number, toDepth_m: number, out: EndsOut): void {
      const k = cover.kind[index]!;
      const near_dB = fromWood ? woodLoss_dB(fromDepth_m) : 0;
      const far_dB = isWood(around, k) ? woodLoss_dB(toDepth_m) : 0;
      out.ends_dB![index] = from_dB + to_dB[k]! + near_dB + far_dB;
      out.endsSpread_dB![index] = WOOD_SPREAD * Math.sqrt(near_dB * near_dB + far_dB * far_dB);
    },
  };
}

/** Work space and tables for the cover along radials. */
export function coverOnWay(
  { step_km, fromHeight_m, toHeight_m }: RadialSetting,
  { kinds }: CoverRaster,
  ground_m: Float64Array,
): Omit<RadialCover, 'fromDepth_m' | 'toDepth_m'> {
  const points = ground_m.length;
  return {
    profile: {
      distance_km: Float64Array.from(ground_m, (_, i) => i * step_km),
      ground_m,
      kind: new Uint8Array(points),
      woods: new Float32Array(points),
    },
    top_m: Float64Array.from(kinds, (k) => k.height_m),
    aroundFrom: shelters(kinds, fromHeight_m),
    aroundTo: shelters(kinds, toHeight_m),
  };
}
