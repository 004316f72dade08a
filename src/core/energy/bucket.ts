/** A node reduced to a bucket of energy at constant voltage, for design runs over many sizes. */
export interface BucketModel {
  readonly ceiling_Wh: number;
  readonly cutoff_Wh: number;
  readonly reconnect_Wh: number;
  readonly load_W: number;
  /** Share of the surplus that reaches the store. */
  readonly chargeShare: number;
  /** Share of the store lost per hour. */
  readonly selfDischarge_per_h: number;
  /** While charging is blocked, may the panel feed the load? */
  readonly powerPath: boolean;
}

/** What a bucket run counts, in a Float64Array of `BUCKET.size` that the caller owns. */
export const BUCKET = { dark_h: 0, darkSpells: 1, lowest_Wh: 2, energy_Wh: 3, on: 4, size: 5 } as const;

/**
 * Design run: hourly balance of a bucket over hours `from`..`to`, panel output `perWatt_W[i] · panel_W`, charging
 * blocked where `blocked[i]` is 1. Same order of an hour as `runBalance`, with constant voltage, no taper and no
 * temperature tables; agrees with it exactly under plain rules (a law in test/core/energy). State is read from and
 * left in `out[energy_Wh]` and `out[on]`; dark hours and spells are added, `lowest_Wh` is a minimum.
 */
export function runBucket(
  model: BucketModel,
  perWatt_W: Float32Array,
  blocked: Uint8Array,
  panel_W: number,
  from: number,
  to: number,
  out: Float64Array,
): void {
  const { ceiling_Wh, cutoff_Wh, reconnect_Wh, load_W, chargeShare, powerPath } = model;
  const kept = 1 - model.selfDischarge_per_h;
  let energy = out[BUCKET.energy_Wh]!;
  let on = out[BUCKET.on] === 1;
  let lowest = out[BUCKET.lowest_Wh]!;
  let dark = 0;
  let spells = 0;
  for (let i = from; i < to; i++) {
    const panel = perWatt_W[i]! * panel_W;
    const demand = on ? load_W : 0;
    let net = panel - demand;
    if (net > 0) {
      if (blocked[i] === 0) {
        net *= chargeShare;
        const room = ceiling_Wh - energy;
        energy += Math.min(net, Math.max(room, 0));
      } else if (!powerPath) energy -= demand;
    } else energy += blocked[i] !== 0 && !powerPath ? -demand : net;
    energy *= kept;
    if (energy < 0) energy = 0;
    if (energy < lowest) lowest = energy;
    if (on) {
      if (energy <= cutoff_Wh) {
        on = false;
        spells++;
      }
    } else {
      dark++;
      if (energy >= reconnect_Wh) on = true;
    }
  }
  out[BUCKET.energy_Wh] = energy;
  out[BUCKET.on] = on ? 1 : 0;
  out[BUCKET.lowest_Wh] = lowest;
  out[BUCKET.dark_h]! += dark;
  out[BUCKET.darkSpells]! += spells;
}
