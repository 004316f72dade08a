/** Ground cover on one link: the profile as it is computed, and the losses of what its ends stand in. */
import type { Profile } from '../core/path/index.ts';
import { coverPath, type StandsIn, standingLoss_dB } from '../core/reach/index.ts';
import type { CoverKind } from '../core/terrain/index.ts';
import { UserError } from '../core/units/index.ts';
import type { CoveredLink, End, ExtraLoss } from './path-link.ts';

/** Kinds and wooded shares at the points of a profile. */
export interface CoverOnPath {
  readonly kind: Uint8Array;
  readonly woods: Float32Array;
  readonly kinds: readonly CoverKind[];
}

/** By the heights of the antennas; `radius_km` is the Earth's effective radius of the method. */
export function coveredLink(
  profile: Profile,
  cover: CoverOnPath,
  frequency_MHz: number,
  radius_km: number,
): (heightA_m: number, heightB_m: number) => CoveredLink {
  const { kind, woods, kinds } = cover;
  const ground = { distance_km: profile.distance_km, ground_m: profile.height_m, kind, woods };
  return (heightA_m, heightB_m) => {
    const { clutter_m, cover_m, from, to } = coverPath(ground, kinds, heightA_m, heightB_m, radius_km);
    return {
      profile: { ...profile, clutter_m },
      cover_m,
      extras: [...standing(from, 'a', heightA_m, frequency_MHz), ...standing(to, 'b', heightB_m, frequency_MHz)],
    };
  };
}

function standing(stands: StandsIn | null, end: End, height_m: number, frequency_MHz: number): ExtraLoss[] {
  if (stands === null) return [];
  const { kind, depth_m } = stands;
  const what =
    kind.loss_dB !== undefined
      ? `${kind.cover} around it, the loss as told`
      : depth_m !== null
        ? `${Math.round(depth_m)} m of wood`
        : `${kind.cover} around it, ${kind.height_m} m high`;
  const dominant = kind.cover === 'woods' ? 'woods at one end' : 'clutter at one end';
  return [{ what, dominant, end, ...lossNamed(stands, height_m, frequency_MHz) }];
}

/** As `standingLoss_dB`; the core's limits of frequency by the option that brings them in. */
export function lossNamed(stands: StandsIn, height_m: number, frequency_MHz: number) {
  try {
    return standingLoss_dB(stands, height_m, frequency_MHz);
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    throw new UserError(error.problems.map((p) => ({ ...p, place: { field: '--cover' } })));
  }
}
