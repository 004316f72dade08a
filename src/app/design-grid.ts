import { BUCKET, type BucketModel, runBucket } from '../core/energy/index.ts';
import { seasonHour } from '../core/energy/seasons.ts';

/** Input of the task `design-rows`: some numbers of cells, each with its bucket, against all panel sizes. */
export interface DesignRows {
  /** Charger output of one watt of panel, W; in shared memory where several workers read it. */
  readonly perWatt_W: Float32Array;
  /** 1 where charging is blocked. */
  readonly blocked: Uint8Array;
  readonly startMonth: number;
  readonly seasons: number;
  readonly panels_W: readonly number[];
  readonly buckets: readonly BucketModel[];
}

/** Number of seasons with a dark hour, one list a bucket, one entry a panel size. */
export function designRows(input: DesignRows): number[][] {
  const { perWatt_W, blocked, startMonth, seasons, panels_W, buckets } = input;
  const out = new Float64Array(BUCKET.size);
  return buckets.map((bucket) =>
    panels_W.map((panel_W) => {
      out[BUCKET.energy_Wh] = bucket.ceiling_Wh;
      out[BUCKET.on] = 1;
      let darkSeasons = 0;
      for (let s = 0; s < seasons; s++) {
        out[BUCKET.dark_h] = 0;
        const from = seasonHour(startMonth, s, 0);
        runBucket(bucket, perWatt_W, blocked, panel_W, from, seasonHour(startMonth, s, 12), out);
        if (out[BUCKET.dark_h]! > 0) darkSeasons++;
      }
      return darkSeasons;
    }),
  );
}
