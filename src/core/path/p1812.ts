import { userError } from '../units/index.ts';
import {
  checkAntennaHeight,
  checkFrequency,
  type DiffractionParts,
  deltaBullington,
  obstacleHeights,
} from './diffraction.ts';
import { slantFreeSpaceLoss_dB, wavelength_m } from './free-space.ts';
import { inverseComplementaryNormal } from './normal.ts';
import {
  DUCTING_RADIUS_km,
  ductingHeights,
  ductingTime,
  findHorizons,
  type Horizons,
  medianRadius_km,
} from './p1812-geometry.ts';
import { ductingLoss_dB, scatterLoss_dB } from './p1812-layers.ts';
import { checkProfile, type Polarization, type Profile, ZONE, zoneShare } from './profile.ts';
import { smoothEarth } from './smooth-earth.ts';

export interface P1812Request extends Profile {
  readonly frequency_MHz: number;
  /** Share of time for which the loss is not exceeded, 1..50 %. */
  readonly time_pct: number;
  /** Share of places in the square for which the loss is not exceeded, 1..99 %; counts only with `square_m`. */
  readonly locations_pct: number;
  /** Latitude of the middle of the path. */
  readonly latitude_deg: number;
  /** Fall of the refractive index over the lowest kilometre, N-units; 45 is usual at middle latitudes. */
  readonly deltaN: number;
  /** Refractivity at sea level, N-units; 325 is usual at middle latitudes. */
  readonly n0: number;
  /** Antennas above the ground at the first and the last point. */
  readonly fromHeight_m: number;
  readonly toHeight_m: number;
  readonly polarization?: Polarization;
  /** Distance from either antenna to the coast along the path; 500 km if left out. */
  readonly coastDistances_km?: { readonly from: number; readonly to: number };
  /** Side of the square over which the far end varies; left out means no spread. */
  readonly square_m?: number;
}

/** The basic transmission loss and what leads to it; names in brackets are those of the Recommendation. */
export interface P1812Result {
  /** Basic transmission loss outdoors (Lb). */
  readonly loss_dB: number;
  /** Free space (Lbfs). */
  readonly freeSpace_dB: number;
  /** Diffraction at the given time (Ldp). */
  readonly diffraction_dB: number;
  /** Field at the far end for 1 kW effective radiated power (Ep), dB(µV/m). */
  readonly field_dBuV_m: number;
  /** Standard deviation from place to place (σL); zero with no square. */
  readonly locationSpread_dB: number;
  readonly steps: P1812Steps;
}

export interface P1812Steps {
  /** Line of sight with the fading or enhancement of the time (Lb0p) and of β0 (Lb0β). */
  readonly sight_dB: number;
  readonly sightDucting_dB: number;
  /** Diffraction at the median radius (Ld50) and at three radii (Ldβ). */
  readonly medianDiffraction: DiffractionParts;
  readonly ductingDiffraction: DiffractionParts;
  readonly scatter_dB: number;
  readonly ducting_dB: number;
  /** Lminb0p, Lminbap, Lbda, Lbam, Lbc. */
  readonly leastSight_dB: number;
  readonly leastDucting_dB: number;
  readonly blended_dB: number;
  readonly clear_dB: number;
  readonly withScatter_dB: number;
  readonly beta0_pct: number;
  readonly radius_km: number;
  readonly seaShare: number;
  readonly horizons: Horizons;
  readonly smoothFrom_m: number;
  readonly smoothTo_m: number;
  readonly ductingFrom_m: number;
  readonly ductingTo_m: number;
  readonly roughness_m: number;
}

/**
 * Basic transmission loss from one point to one area, after ITU-R P.1812-8 in full: free space, diffraction, ducting, scatter,
 * their change with time, and the spread from place to place. Outdoors: for a hand-held indoors add P.2109.
 *
 * Valid: 30-6000 MHz, 1-50 % of time, 1-99 % of places, 0.25-3000 km, antennas 1-3000 m above ground, five points or more.
 * Clutter is the height of trees or houses between the ends; at the ends themselves it counts only for the spread.
 * Accuracy against measurement: not published for this method alone; expect a standard deviation of 6 dB (clear) to 10 dB
 * (obstructed), a judgement. Checked against validation results of the reference implementation of P.1812-8 (0.01 dB asked, see
 * test/core/path/p1812.test.ts); paths with sea only through the equations.
 *
 * @throws UserError outside the limits, above all for a time above 50 %: the Recommendation gives no figure there.
 */
export function p1812(request: P1812Request): P1812Result {
  checkRequest(request);
  const { distance_km, height_m, frequency_MHz, time_pct, fromHeight_m, toHeight_m } = request;
  const n = distance_km.length;
  const d = distance_km[n - 1]!;
  const f = frequency_MHz / 1000;
  const lambda_m = wavelength_m(frequency_MHz);
  const from_m = height_m[0]! + fromHeight_m;
  const to_m = height_m[n - 1]! + toHeight_m;
  const seaShare = zoneShare(request, (zone) => zone === ZONE.sea);
  const radius_km = medianRadius_km(request.deltaN);
  const { beta0_pct, tau } = ductingTime(request, request.latitude_deg);
  const horizons = findHorizons(request, from_m, to_m, radius_km, lambda_m);
  const smooth = smoothEarth(distance_km, height_m, n, from_m, to_m);

  // Free space with multipath and focusing (sec. 4.2).
  const freeSpace_dB = slantFreeSpaceLoss_dB(d, to_m - from_m, frequency_MHz); // eq. 8
  const focusing = 2.6 * (1 - Math.exp(-0.1 * (horizons.from_km + horizons.to_km)));
  const sight_dB = freeSpace_dB + focusing * Math.log10(time_pct / 50); // eq. 9a, 10
  const sightDucting_dB = freeSpace_dB + focusing * Math.log10(beta0_pct / 50); // eq. 9b, 11

  // Diffraction at the median and at three Earth radii (sec. 4.3).
  const wave = {
    frequency_GHz: f,
    wavelength_m: lambda_m,
    polarization: request.polarization ?? 'vertical',
    seaShare,
  } as const;
  const ground = { distance_km, height_m, obstacle_m: obstacleHeights(request), n, from_m, to_m, wave };
  const medianDiffraction = deltaBullington({ ...ground, radius_km });
  const ductingDiffraction = deltaBullington({ ...ground, radius_km: DUCTING_RADIUS_km });
  const median_dB = medianDiffraction.loss_dB;
  const towardsDucting =
    time_pct <= beta0_pct
      ? 1 // eq. 41b
      : inverseComplementaryNormal(time_pct / 100) / inverseComplementaryNormal(beta0_pct / 100); // eq. 41a
  const diffraction_dB = median_dB + towardsDucting * (ductingDiffraction.loss_dB - median_dB); // eq. 40, 42
  const medianTotal_dB = freeSpace_dB + median_dB; // eq. 43
  const total_dB = sight_dB + diffraction_dB; // eq. 43a

  // Other ways through the air (sec. 4.4, 4.5).
  const scatter_dB = scatterLoss_dB(d, f, horizons.path_mrad, request.n0, time_pct);
  const heights = ductingHeights(request, smooth, fromHeight_m, toHeight_m, horizons);
  const ducting_dB = ductingLoss_dB({
    distance_km: d,
    frequency_GHz: f,
    radius_km,
    time_pct,
    beta0_pct,
    tau,
    horizons,
    heights,
    from_m,
    to_m,
    fromCoast_km: request.coastDistances_km?.from ?? 500,
    toCoast_km: request.coastDistances_km?.to ?? 500,
    seaShare,
  });

  // All of them together (sec. 4.6).
  const byAngle = 1 - 0.5 * (1 + Math.tanh((3 * 0.8 * (horizons.path_mrad - 0.3)) / 0.3)); // eq. 57
  const byDistance = 1 - 0.5 * (1 + Math.tanh((3 * 0.5 * (d - 20)) / 20)); // eq. 58
  const overLand_dB = (1 - seaShare) * diffraction_dB;
  const leastSight_dB =
    time_pct < beta0_pct
      ? sight_dB + overLand_dB // eq. 59a
      : medianTotal_dB + (sightDucting_dB + overLand_dB - medianTotal_dB) * towardsDucting; // eq. 59b
  const leastDucting_dB = softMaximum_dB(ducting_dB, sight_dB); // eq. 60
  const blended_dB =
    leastDucting_dB > total_dB ? total_dB : leastDucting_dB + (total_dB - leastDucting_dB) * byDistance; // eq. 61
  const clear_dB = blended_dB + (leastSight_dB - blended_dB) * byAngle; // eq. 62
  const withScatter_dB = -5 * Math.log10(10 ** (-0.2 * scatter_dB) + 10 ** (-0.2 * clear_dB)); // eq. 63

  // From place to place (sec. 4.7-4.9).
  const locationSpread_dB = spread_dB(request);
  const location_dB =
    locationSpread_dB === 0 ? 0 : -inverseComplementaryNormal(request.locations_pct / 100) * locationSpread_dB; // eq. 68
  const loss_dB = Math.max(sight_dB, withScatter_dB + location_dB); // eq. 69

  return {
    loss_dB,
    freeSpace_dB,
    diffraction_dB,
    field_dBuV_m: 199.36 + 20 * Math.log10(f) - loss_dB, // eq. 70
    locationSpread_dB,
    steps: {
      sight_dB,
      sightDucting_dB,
      medianDiffraction,
      ductingDiffraction,
      scatter_dB,
      ducting_dB,
      leastSight_dB,
      leastDucting_dB,
      blended_dB,
      clear_dB,
      withScatter_dB,
      beta0_pct,
      radius_km,
      seaShare,
      horizons,
      smoothFrom_m: smooth.from_m,
      smoothTo_m: smooth.to_m,
      ductingFrom_m: heights.effectiveFrom_m,
      ductingTo_m: heights.effectiveTo_m,
      roughness_m: heights.roughness_m,
    },
  };
}

/** The larger of two losses with a rounded corner of 2.5 dB, k ln(e^(a/k) + e^(b/k)); the larger is taken out against overflow. */
function softMaximum_dB(a_dB: number, b_dB: number): number {
  const larger = Math.max(a_dB, b_dB);
  return larger + 2.5 * Math.log(Math.exp((a_dB - larger) / 2.5) + Math.exp((b_dB - larger) / 2.5));
}

/**
 * Standard deviation over the square around the far end, dB (P.1812-8, sec. 4.8, eq. 64-66): less for an antenna above the
 * clutter around it, none from 10 m above it, none at sea.
 */
function spread_dB(request: P1812Request): number {
  const { square_m, zone, clutter_m, toHeight_m } = request;
  const last = request.distance_km.length - 1;
  if (square_m === undefined || (zone !== undefined && zone[last] === ZONE.sea)) return 0;
  const over_m = toHeight_m - (clutter_m === undefined ? 0 : clutter_m[last]!);
  const exposed = over_m < 0 ? 1 : over_m >= 10 ? 0 : 1 - over_m / 10; // eq. 66
  return (0.52 + 0.024 * (request.frequency_MHz / 1000)) * square_m ** 0.28 * exposed; // eq. 64, 65
}

function checkRequest(request: P1812Request): void {
  checkProfile(request, 5);
  checkFrequency(request.frequency_MHz);
  const { time_pct, locations_pct, latitude_deg, deltaN, n0, square_m, coastDistances_km } = request;
  if (time_pct > 50)
    throw userError(
      'path.time',
      `The loss is asked for ${time_pct} % of time: ITU-R P.1812 gives no figure above 50 %. Ask for 50 % and add a fade margin.`,
      { field: 'time_pct' },
    );
  inRange('time_pct', time_pct, 1, 50, '% of time');
  inRange('locations_pct', locations_pct, 1, 99, '% of places');
  inRange('latitude_deg', latitude_deg, -90, 90, 'degrees');
  inRange('deltaN', deltaN, 0, 150, 'N-units');
  inRange('n0', n0, 200, 500, 'N-units');
  if (square_m !== undefined) inRange('square_m', square_m, 1, 10_000, 'm');
  if (coastDistances_km !== undefined) {
    inRange('coastDistances_km.from', coastDistances_km.from, 0, 1e5, 'km');
    inRange('coastDistances_km.to', coastDistances_km.to, 0, 1e5, 'km');
  }
  checkAntennaHeight('fromHeight_m', request.fromHeight_m, 1);
  checkAntennaHeight('toHeight_m', request.toHeight_m, 1);
  const d = request.distance_km[request.distance_km.length - 1]!;
  if (!(d >= 0.25 && d <= 3000))
    throw userError(
      'path.distance',
      `The path is ${d} km long: ITU-R P.1812 holds from 0.25 to 3000 km. ${d < 0.25 ? 'Use free space with delta-Bullington diffraction for it.' : 'Such a link has no use here.'}`,
      { field: 'distance_km' },
    );
}

function inRange(field: string, value: number, low: number, high: number, unit: string): void {
  if (!(value >= low && value <= high))
    throw userError('path.range', `${field} is ${value}: it lies between ${low} and ${high} ${unit}.`, { field });
}
