/** Link margins between one perch and the ground around it. */
import { stickGain_dBi } from '../core/antenna/index.ts';
import { type ErrorBand, linkBudget, oddsOf, type Profile, type Verdict } from '../core/path/index.ts';
import { type CoverageOut, type GridPlace, profileBetween } from '../core/reach/index.ts';
import { DEG_PER_RAD } from '../core/units/index.ts';
import { type CoverOnPath, coveredLink } from './cover-path.ts';
import type { Ground } from './ground.ts';
import { crossLoss_dB, type LinkKind, linkEnd, MODEL_SPREAD_dB, type Station } from './link.ts';
import { extraLosses, runLink } from './path-link.ts';
import { type Dominant, USUAL_AIR } from './path-loss.ts';

/** What stands at the other end, wherever that is, and what measured links have told. */
export interface LinkMore {
  readonly indoors?: 'traditional' | 'efficient' | undefined;
  readonly woods_m?: number | undefined;
  readonly bands?: Readonly<Record<LinkKind, ErrorBand>> | undefined;
}

/** What turns a path loss into a margin: all that does not depend on the path. */
export interface LinkScale extends LinkMore {
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
export function linkScale(
  from: Station,
  to: Station,
  fadeMargin_dB: number,
  effectiveRadius_km: number,
  more: LinkMore = {},
): LinkScale {
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
    ...more,
  };
}

/** What an antenna loses by looking up or down, dB; 0 along the horizontal. */
function droop_dB(station: Station, elevation_mrad: number): number {
  if (station.pattern !== 'stick') return 0;
  return station.gain_dBi - stickGain_dBi(station.gain_dBi, Math.atan(elevation_mrad / 1000) * DEG_PER_RAD);
}

/** Margins of the weaker way on all cells, dB; NaN where the loss is not known. */
export function marginRaster(scale: LinkScale, out: CoverageOut): Float32Array {
  const { from, to, most_dB, bands } = scale;
  const walls = endTable(scale);
  const { ends_dB } = out;
  return Float32Array.from(out.loss_dB, (loss_dB, i) => {
    if (Number.isNaN(loss_dB)) return Number.NaN;
    const arrives_mrad = out.arrives_mrad[i]!;
    return (
      most_dB -
      loss_dB -
      droop_dB(from, out.leaves_mrad[i]!) -
      droop_dB(to, arrives_mrad) -
      (ends_dB === undefined ? 0 : ends_dB[i]!) -
      (walls === undefined ? 0 : walls.loss_dB(arrives_mrad)) -
      (bands === undefined ? 0 : bands[cellKind(out.sight[i]!)].excess_dB)
    );
  });
}

const cellKind = (sight: number): LinkKind => (sight === 1 ? 'clear' : 'obstructed');

/** Odds that cells are reached, with all that spreads: model or measured links, walls and woods. */
export function oddsOfCells(scale: LinkScale, out: CoverageOut): (index: number, margin_dB: number) => number {
  const walls = endTable(scale);
  const { endsSpread_dB, sight, arrives_mrad } = out;
  return (i, margin_dB) => {
    const kind = cellKind(sight[i]!);
    const model_dB = scale.bands?.[kind].spread_dB ?? MODEL_SPREAD_dB[kind];
    if (walls === undefined && endsSpread_dB === undefined) return oddsOf(margin_dB, model_dB);
    const around_dB = endsSpread_dB === undefined ? 0 : endsSpread_dB[i]!;
    const wall_dB = walls === undefined ? 0 : walls.spread_dB(arrives_mrad[i]!);
    return oddsOf(margin_dB, Math.hypot(model_dB, around_dB, wall_dB));
  };
}

/** Losses at the other end that a request names, as `path` has them. */
const endLosses = (scale: LinkMore, to: Station, profile: Profile, frequency_MHz: number) =>
  extraLosses({ indoors: scale.indoors, woods_m: scale.woods_m, end: 'b' }, to, profile, frequency_MHz);

const TABLE = { step_deg: 0.5, steps: 360 };

/** The same by the elevation from which the wave comes, as a table with straight lines between: walls take more of a steep ray. */
function endTable(scale: LinkScale) {
  if (scale.indoors === undefined && scale.woods_m === undefined) return undefined;
  const bare = { distance_km: Float64Array.of(0, 1), height_m: Float64Array.of(0, 0) };
  const at = endLosses(scale, scale.to, bare, scale.from.frequency_MHz);
  const loss = new Float64Array(TABLE.steps + 2);
  const spread = new Float64Array(TABLE.steps + 2);
  for (let i = 0; i < loss.length; i++) {
    const list = at(Math.min(90, i * TABLE.step_deg - 90));
    loss[i] = list.reduce((sum, e) => sum + e.loss_dB, 0);
    spread[i] = Math.hypot(...list.map((e) => e.spread_dB));
  }
  const read = (table: Float64Array) => (arrives_mrad: number) => {
    const along = (Math.atan(arrives_mrad / 1000) * DEG_PER_RAD + 90) / TABLE.step_deg;
    const i = Math.max(0, Math.min(TABLE.steps, Math.floor(along)));
    return table[i]! + (along - i) * (table[i + 1]! - table[i]!);
  };
  return { loss_dB: read(loss), spread_dB: read(spread) };
}

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
  /** Losses by walls, woods and what else the ends stand in. */
  readonly endsLoss_dB: number;
  /** At the other end's receiver, dB over its noise. */
  readonly snr_dB: number;
}

const bareProfile = ({ distance_km, height_m }: Profile): Profile => ({ distance_km, height_m });

/**
 * The link between two places over the ground between them: delta-Bullington, margin of the weaker way, odds with the usual spread of
 * its kind. Null where the ground between is not wholly known.
 */
export function linkOver(ground: Ground, from: GridPlace, to: GridPlace, scale: LinkScale): LinkOver | null {
  const profile = profileBetween(ground.ground, from, to);
  const { kind, woods, azimuth_deg } = profile;
  const kinds = ground.ground.cover?.kinds;
  const cover = kind && woods && kinds ? { kind, woods, kinds } : undefined;
  return linkAlong(profile, (azimuth_deg + ground.gridNorth_deg(from) + 360) % 360, scale, cover);
}

/** As `linkOver`, over a profile that is known already; `azimuth_deg` from true north. */
export function linkAlong(
  profile: Profile,
  azimuth_deg: number,
  scale: LinkScale,
  cover?: CoverOnPath,
): LinkOver | null {
  const { distance_km, height_m } = profile;
  const last = distance_km.length - 1;
  const d = distance_km[last]!;
  if (height_m.some(Number.isNaN)) return null;
  const { from: a, to: b, effectiveRadius_km } = scale;
  const extras = endLosses(scale, b, cover === undefined ? profile : bareProfile(profile), a.frequency_MHz);
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
    extras: (_, elevationB_deg) => extras(elevationB_deg),
    fade_dB: scale.fadeMargin_dB,
    spread_dB: MODEL_SPREAD_dB,
    bands: scale.bands,
    covered: cover && coveredLink(profile, cover, a.frequency_MHz, effectiveRadius_km),
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
    endsLoss_dB: found.extras.reduce((sum, e) => sum + e.loss_dB, 0),
    snr_dB: found.snrThere_dB,
  };
}
