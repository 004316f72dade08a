/** Link margins between one perch and the ground around it. */
import { stickGain_dBi } from '../core/antenna/index.ts';
import { linkBudget, oddsOf, type Profile, type Verdict } from '../core/path/index.ts';
import { type CoverageOut, type GridPlace, profileBetween } from '../core/reach/index.ts';
import { DEG_PER_RAD } from '../core/units/index.ts';
import type { Ground } from './ground.ts';
import { crossLoss_dB, linkEnd, MODEL_SPREAD_dB, type Station } from './link.ts';
import { runLink } from './path-link.ts';
import { type Dominant, USUAL_AIR } from './path-loss.ts';

/** What turns a path loss into a margin: all that does not depend on the path. */
export interface LinkScale {
  readonly from: Station;
  readonly to: Station;
  readonly fadeMargin_dB: number;
  readonly effectiveRadius_km: number;
  /** Largest path loss at which the perch is heard, and at which it hears, both antennas along the horizontal. */
  readonly there_dB: number;
  readonly back_dB: number;
  /** The lesser of the two: a link needs both ways. */
  readonly most_dB: number;
}

/** `fadeMargin_dB` is set aside for fading. */
export function linkScale(from: Station, to: Station, fadeMargin_dB: number, effectiveRadius_km: number): LinkScale {
  const { there, back } = linkBudget(linkEnd(from, 0), linkEnd(to, 0), {
    pathLoss_dB: 0,
    polarizationLoss_dB: crossLoss_dB(from.polarization, to.polarization),
    fadeMargin_dB,
    modelSpread_dB: 0,
  });
  return {
    from,
    to,
    fadeMargin_dB,
    effectiveRadius_km,
    there_dB: there.margin_dB,
    back_dB: back.margin_dB,
    most_dB: Math.min(there.margin_dB, back.margin_dB),
  };
}

/** What an antenna loses by looking up or down, dB; 0 along the horizontal. */
function droop_dB(station: Station, elevation_mrad: number): number {
  if (station.pattern !== 'stick') return 0;
  return station.gain_dBi - stickGain_dBi(station.gain_dBi, Math.atan(elevation_mrad / 1000) * DEG_PER_RAD);
}

/** Margins of the weaker way on all cells, dB; NaN where the loss is not known. */
export function marginRaster(scale: LinkScale, out: CoverageOut): Float32Array {
  const { from, to, most_dB } = scale;
  return Float32Array.from(out.loss_dB, (loss_dB, i) =>
    Number.isNaN(loss_dB)
      ? Number.NaN
      : most_dB - loss_dB - droop_dB(from, out.leaves_mrad[i]!) - droop_dB(to, out.arrives_mrad[i]!),
  );
}

/** Odds that a cell is reached, from its margin and whether it lies in sight. */
export const cellOdds = (margin_dB: number, sight: number): number =>
  oddsOf(margin_dB, sight === 1 ? MODEL_SPREAD_dB.clear : MODEL_SPREAD_dB.obstructed);

/** P.526 knows horizontal and vertical only; a circular wave is counted as vertical. */
export const waveOf = (station: Station): 'horizontal' | 'vertical' =>
  station.polarization === 'horizontal' ? 'horizontal' : 'vertical';

/** One link over its own profile. */
export interface LinkOver {
  readonly distance_km: number;
  /** From true north. */
  readonly azimuth_deg: number;
  /** Elevation of the other antenna above the horizontal here, curvature counted, whether or not something stands before it. */
  readonly elevation_deg: number;
  readonly loss_dB: number;
  readonly diffraction_dB: number;
  readonly margin_dB: number;
  readonly odds: number;
  readonly sight: Verdict;
  readonly dominant: Dominant;
}

/**
 * The link between two places over the ground between them: delta-Bullington, margin of the weaker way, odds with the usual spread of
 * its kind. Null where the ground between is not wholly known.
 */
export function linkOver(ground: Ground, from: GridPlace, to: GridPlace, scale: LinkScale): LinkOver | null {
  const profile = profileBetween(ground.ground, from, to);
  return linkAlong(profile, (profile.azimuth_deg + ground.gridNorth_deg(from) + 360) % 360, scale);
}

/** As `linkOver`, over a profile that is known already; `azimuth_deg` from true north. */
export function linkAlong(profile: Profile, azimuth_deg: number, scale: LinkScale): LinkOver | null {
  const { distance_km, height_m } = profile;
  const last = distance_km.length - 1;
  const d = distance_km[last]!;
  if (height_m.some(Number.isNaN)) return null;
  const { from: a, to: b, effectiveRadius_km } = scale;
  const found = runLink({
    a,
    b,
    profile,
    settings: {
      ...USUAL_AIR,
      method: 'delta-bullington',
      frequency_MHz: a.frequency_MHz,
      time_pct: 50,
      locations_pct: 50,
      latitude_deg: 45,
      polarization: waveOf(a),
      square_m: undefined,
      effectiveRadius_km,
    },
    extras: () => [],
    fade_dB: scale.fadeMargin_dB,
    spread_dB: MODEL_SPREAD_dB,
  });
  const rise_m = height_m[last]! + b.height_m - height_m[0]! - a.height_m;
  return {
    distance_km: d,
    azimuth_deg,
    elevation_deg: Math.atan(rise_m / (1000 * d) - d / (2 * effectiveRadius_km)) * DEG_PER_RAD,
    loss_dB: found.loss.loss_dB,
    diffraction_dB: found.loss.diffraction_dB,
    margin_dB: found.budget.margin_dB,
    odds: found.budget.odds,
    sight: found.clearance.verdict,
    dominant: found.dominant,
  };
}
