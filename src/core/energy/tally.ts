/**
 * What one stretch of hours adds up to. The kernel adds into a Float64Array of `TALLY.size` fields that the caller owns,
 * so that months, years and passes are sums of the same rows.
 */
export const TALLY = {
  /** What the charger could deliver before curtailment, Wh. */
  harvest_Wh: 0,
  /** What the load took, Wh. */
  load_Wh: 1,
  /** What the load would have taken in its dark hours, Wh. */
  unserved_Wh: 2,
  /** Harvest that nothing could take: full, blocked, or above the charge limit, Wh. */
  curtailed_Wh: 3,
  /** Of the curtailed energy, that lost while charging was blocked by cold or heat, Wh. */
  blockedLoss_Wh: 4,
  /** Resistance, charge inefficiency, self-discharge and the charger's own use, Wh. */
  losses_Wh: 5,
  /** Of the losses, the charger's own use, Wh. */
  ownUse_Wh: 6,
  /** Stored energy at the end less that at the begin, Wh. */
  stored_Wh: 7,
  /** Hours in which the load is off for want of energy. */
  dark_h: 8,
  /** Times the load went dark. */
  darkSpells: 9,
  /** Hours of the longest dark spell that ended or was still open within the stretch (a maximum, not a sum). */
  longestDark_h: 10,
  /** Lowest state of charge (a minimum). */
  minStateOfCharge: 11,
  /** Hours below the charge window in which the panel gives at least the load, on or off. */
  coldBlocked_h: 12,
  /** Hours above the charge window in which the panel gives at least the load. */
  heatBlocked_h: 13,
  /** Hours in which charging stopped at the ceiling. */
  ceiling_h: 14,
  /** Hours in which the cells were charged below the charge window (plating). */
  plating_h: 15,
  /** Reconnects that the inrush or the first pulse threw back. */
  falseRestarts: 16,
  /** Brown-outs of a board without cut-off: each may need hands. */
  lockUps: 17,
  /** Charge put into the cells, Ah. */
  charged_Ah: 18,
  /** Charge taken out of the cells, Ah. */
  discharged_Ah: 19,
  /** Sum over hours of stored energy as a share of full, for means. */
  sumEnergyShare: 20,
  /** Hours summed. */
  hours: 21,
  size: 22,
} as const;

/** An empty tally. */
export function newTally(): Float64Array {
  const tally = new Float64Array(TALLY.size);
  tally[TALLY.minStateOfCharge] = 1;
  return tally;
}

/** Adds one tally into another: sums, but the longest spell is a maximum and the lowest charge a minimum. */
export function addTally(into: Float64Array, from: Float64Array): void {
  for (let i = 0; i < TALLY.size; i++) {
    if (i === TALLY.longestDark_h) into[i] = Math.max(into[i]!, from[i]!);
    else if (i === TALLY.minStateOfCharge) into[i] = Math.min(into[i]!, from[i]!);
    else into[i]! += from[i]!;
  }
}

/** harvest − load − curtailed − losses − stored: zero but for rounding, in Wh. */
export function balanceError_Wh(t: Float64Array): number {
  return t[TALLY.harvest_Wh]! - t[TALLY.load_Wh]! - t[TALLY.curtailed_Wh]! - t[TALLY.losses_Wh]! - t[TALLY.stored_Wh]!;
}
