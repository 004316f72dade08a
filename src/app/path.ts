import type { Assumption, Caution } from '../core/energy/index.ts';
import { type PointClearance, type Profile, wavelength_m } from '../core/path/index.ts';
import { type Problem, UserError, userError } from '../core/units/index.ts';
import { readProfileCsv } from '../formats/profile-csv.ts';
import type { ProfilePicture } from '../report/index.ts';
import { assumer, NO_KIT } from './link.ts';
import type { EndsRequest } from './path-ends.ts';
import type { ExtraRequest } from './path-link.ts';
import {
  clearanceOf,
  type Dominant,
  dominantOf,
  type LossSettings,
  lossOf,
  type PathMethod,
  radiusOf_km,
  USUAL_AIR,
} from './path-loss.ts';
import { clearanceText, verdictOfLoss } from './path-words.ts';
import type { Ports } from './ports.ts';

export interface PathRequest extends EndsRequest, Omit<ExtraRequest, 'end'> {
  readonly profile?: string | undefined;
  readonly method?: PathMethod | undefined;
  readonly time_pct?: number | undefined;
  readonly locations_pct?: number | undefined;
  readonly latitude_deg?: number | undefined;
  readonly deltaN?: number | undefined;
  readonly n0?: number | undefined;
  readonly polarization?: 'vertical' | 'horizontal' | undefined;
  readonly square_m?: number | undefined;
  readonly effectiveRadius_km?: number | undefined;
}

/** A point of the ground that reaches into the zone. */
export interface ObstacleRow {
  readonly distance_km: number;
  readonly top_m: number;
  readonly above_m: number;
  readonly freeShare: number;
  readonly edgeLoss_dB: number;
  readonly clutter_m: number;
}

/** Result of `sunperch path --profile` without stations: the loss alone. */
export interface PathLossOutcome {
  readonly command: 'path';
  readonly verdict: string;
  readonly method: PathMethod;
  readonly frequency_MHz: number;
  readonly distance_km: number;
  readonly loss_dB: number;
  readonly freeSpace_dB: number;
  readonly diffraction_dB: number;
  readonly locationSpread_dB: number;
  readonly dominant: Dominant;
  readonly clearance: string;
  readonly inTheWay: readonly ObstacleRow[];
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
}

/** What the core calls its arguments, as the command line does. */
const OPTION: Readonly<Record<string, string>> = {
  frequency_MHz: '--frequency',
  fromHeight_m: '--from-height',
  toHeight_m: '--to-height',
  time_pct: '--time',
  locations_pct: '--locations',
  latitude_deg: '--lat',
  deltaN: '--delta-n',
  n0: '--n0',
  square_m: '--square',
  effectiveRadius_km: '--effective-radius',
  payload_bytes: '--payload',
};

/** Runs work of the core; its problems name the option in place of the argument. */
export function withOptionNames<T>(work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    throw new UserError(
      error.problems.map((p): Problem => {
        const option = p.place?.field === undefined ? undefined : OPTION[p.place.field];
        return option === undefined ? p : { ...p, place: { ...p.place, field: option } };
      }),
    );
  }
}

/** Method and air of a path, defaults told. */
export function lossSettings(
  request: PathRequest,
  frequency_MHz: number,
  method: PathMethod,
  latitude_deg: number | undefined,
  assumptions: Assumption[],
): LossSettings {
  const assume = assumer(assumptions);
  const full = method === 'p1812';
  if (!full)
    return {
      method,
      frequency_MHz,
      time_pct: 50,
      locations_pct: 50,
      latitude_deg: latitude_deg ?? 0,
      deltaN: USUAL_AIR.deltaN,
      n0: USUAL_AIR.n0,
      polarization: request.polarization ?? 'vertical',
      square_m: undefined,
      effectiveRadius_km: assume(
        '--effective-radius',
        request.effectiveRadius_km,
        USUAL_AIR.effectiveRadius_km,
        'four thirds of the Earth: the usual air',
        'km',
      ),
    };
  return {
    method,
    frequency_MHz,
    time_pct: assume('--time', request.time_pct, 50, 'half of the time', '%'),
    locations_pct: request.locations_pct ?? 50,
    latitude_deg: assume(
      '--lat',
      latitude_deg,
      46,
      'no position is known; it counts little at 50 % of the time',
      'deg',
    ),
    deltaN: assume('--delta-n', request.deltaN, USUAL_AIR.deltaN, 'usual at middle latitudes', 'N-units'),
    n0: assume('--n0', request.n0, USUAL_AIR.n0, 'usual at middle latitudes', 'N-units'),
    polarization: request.polarization ?? 'vertical',
    square_m: request.square_m,
    effectiveRadius_km: USUAL_AIR.effectiveRadius_km,
  };
}

export const obstacleRow = (p: PointClearance): ObstacleRow => ({
  distance_km: p.distance_km,
  top_m: p.top_m,
  above_m: p.above_m,
  freeShare: p.freeShare,
  edgeLoss_dB: p.edgeLoss_dB,
  clutter_m: p.clutter_m,
});

/** The side view of a path. */
export function pictureOf(
  profile: Profile,
  from: ProfilePicture['from'],
  to: ProfilePicture['to'],
  settings: LossSettings,
  obstacles: readonly PointClearance[],
  sentence: string,
): ProfilePicture {
  return {
    from,
    to,
    distance_km: profile.distance_km,
    height_m: profile.height_m,
    clutter_m: profile.clutter_m?.some((h) => h > 0) ? profile.clutter_m : undefined,
    effectiveRadius_km: radiusOf_km(settings),
    wavelength_m: wavelength_m(settings.frequency_MHz),
    obstacles: obstacles.map((p) => ({
      distance_km: p.distance_km,
      above_m: p.above_m,
      clutter: p.clutter_m > 0,
    })),
    sentence,
  };
}

/** The caution that stands beside every computed loss. */
export const MODEL_CAUTION: Caution = {
  code: 'path-model',
  text: 'A computed loss is an estimate: expect a standard deviation of 6 dB on clear paths and 10 dB on obstructed ones (judgement); a measurement on the spot is worth more.',
};

/**
 * `sunperch path --profile FILE` without stations: the loss of a profile by P.1812 in full or by free space with delta-Bullington.
 *
 * Throws UserError for a profile or a value outside the method's limits; a time above 50 % is refused.
 */
export async function pathLoss(
  ports: Ports,
  request: PathRequest,
): Promise<{ readonly outcome: PathLossOutcome; readonly picture: ProfilePicture }> {
  if (request.profile === undefined)
    throw userError(
      'path.ground',
      'the ground between the two ends is not given: --profile FILE.csv (distance_km,height_m[,clutter_m[,zone]]), or two places with --terrain DIR',
      { field: '--profile' },
    );
  const assumptions: Assumption[] = [];
  const assume = assumer(assumptions);
  const frequency_MHz = assume(
    '--frequency',
    request.frequency_MHz,
    NO_KIT.frequency_MHz,
    'in the 868 MHz band for short-range devices',
    'MHz',
  );
  const fromHeight_m = assume('--from-height', request.fromHeight_m, 10, 'above the ground at the first point', 'm');
  const toHeight_m = assume('--to-height', request.toHeight_m, 1.5, 'above the ground at the last point', 'm');
  const { profile, notes } = readProfileCsv(await ports.readText(request.profile), request.profile);
  const settings = lossSettings(request, frequency_MHz, request.method ?? 'p1812', request.latitude_deg, assumptions);
  const { loss, clearance } = withOptionNames(() => ({
    loss: lossOf(profile, fromHeight_m, toHeight_m, settings),
    clearance: clearanceOf(profile, fromHeight_m, toHeight_m, settings),
  }));
  const distance_km = profile.distance_km[profile.distance_km.length - 1]!;
  const dominant = dominantOf(loss, clearance);
  const verdict = verdictOfLoss(frequency_MHz, distance_km, loss, dominant);
  return {
    outcome: {
      command: 'path',
      verdict,
      method: settings.method,
      frequency_MHz,
      distance_km,
      loss_dB: loss.loss_dB,
      freeSpace_dB: loss.freeSpace_dB,
      diffraction_dB: loss.diffraction_dB,
      locationSpread_dB: loss.locationSpread_dB,
      dominant,
      clearance: clearanceText(clearance, 'the first end'),
      inTheWay: clearance.obstacles.map(obstacleRow),
      notes,
      assumptions,
      cautions: [MODEL_CAUTION],
    },
    picture: pictureOf(
      profile,
      { name: 'first end', height_m: fromHeight_m },
      { name: 'last end', height_m: toHeight_m },
      settings,
      clearance.obstacles,
      verdict,
    ),
  };
}
