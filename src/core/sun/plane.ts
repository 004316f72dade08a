import { HOURS_PER_YEAR, MONTH_START, RAD_PER_DEG } from '../units/index.ts';
import { kastenYoungAirMass } from './air-mass.ts';
import { horizonAt_deg, skyView } from './horizon.ts';
import { type DiffuseModifiers, diffuseModifiers, physicalModifierOfCos } from './incidence.ts';
import { PEREZ_BINS, PEREZ_COEFFICIENTS, PEREZ_COS_FLOOR, PEREZ_KAPPA } from './perez.ts';
import type { SunYear } from './year.ts';

/** The part of hourly weather that the plane needs; hours of the year from 0 as in the weather's own description. */
export interface IrradianceHours {
  readonly length: number;
  readonly hourOfYear: Uint16Array;
  readonly ghi_W_m2: Float32Array;
  readonly dni_W_m2: Float32Array;
  readonly dhi_W_m2: Float32Array;
}

export type PlaneModel = 'perez' | 'hay-davies' | 'isotropic';

/** How a panel stands and what hides the sun from it. */
export interface PlaneSpec {
  readonly tilt_deg: number;
  /** Where the panel faces, clockwise from north. */
  readonly azimuth_deg: number;
  /** Share of the light that the ground throws back, month by month. */
  readonly albedo: readonly number[];
  /** Skyline by whole degrees of azimuth (`horizonFromPairs`). */
  readonly horizon?: Float32Array;
  /** Share of beam and circumsolar light that passes trees and the like: 12 months x 24 hours, 1 without shade. */
  readonly shade?: Float32Array;
  /** `glass`: reflection and absorption of a pane (De Soto 2006); `none`: every ray counts by its cosine only. */
  readonly cover: 'none' | 'glass';
  readonly model: PlaneModel;
}

/** Tables of a plane by hour of the year; made once, used for any number of years of weather. */
export interface PlaneGeometry {
  readonly model: PlaneModel;
  /** SLOTS values an hour, see the SLOT constants. */
  readonly table: Float32Array;
  /** Even sky: view of the plane, skyline and cover together. */
  readonly sky: number;
  /** Horizon band: sine of the tilt, skyline and cover together. */
  readonly band: number;
  /** Share of the even sky that the skyline leaves. */
  readonly skyView: number;
}

const SLOTS = 8;
/** Cosine of incidence by cover, gate and shade: share of beam normal that enters. */
const BEAM = 0;
/** The same over the floored cosine of the zenith: share of circumsolar light of the horizontal. */
const CIRCUMSOLAR = 1;
/** Albedo times the plane's view of the ground and the cover's share. */
const GROUND = 2;
/** Perez: zenith angle, rad; 1.041 z³; 1 / (1 + 1.041 z³). */
const ZENITH = 3;
const KZ3 = 4;
const INVERSE_KZ3 = 5;
/** Perez: air mass over normal irradiance outside the air; Hay-Davies: one over that irradiance. 0: sun below the horizon. */
const MASS = 6;

const COS_89_deg = Math.cos(89 * RAD_PER_DEG);
const CLEAR: DiffuseModifiers = { sky: 1, horizon: 1, ground: 1 };

/**
 * Tables for `planeOfArray`.
 *
 * The beam is open when the apparent sun at mid-hour is above the horizontal and above the skyline. The skyline also takes
 * its share of the even sky and of the horizon band; light thrown back by the terrain that hides it is left out, which is
 * on the safe side. Throws RangeError on a tilt outside 0..90 or on tables of wrong length.
 */
export function planeGeometry(sun: SunYear, spec: PlaneSpec): PlaneGeometry {
  const { tilt_deg, azimuth_deg, albedo, horizon, shade, cover, model } = spec;
  if (!(tilt_deg >= 0 && tilt_deg <= 90)) throw new RangeError(`tilt_deg ${tilt_deg} is not in 0..90`);
  if (!Number.isFinite(azimuth_deg)) throw new RangeError(`azimuth_deg ${azimuth_deg} is not finite`);
  if (albedo.length !== 12) throw new RangeError(`albedo has ${albedo.length} months, not 12`);
  if (shade !== undefined && shade.length !== 288)
    throw new RangeError(`shade has ${shade.length} values, not 12 x 24`);
  const sinTilt = Math.sin(tilt_deg * RAD_PER_DEG);
  const cosTilt = Math.cos(tilt_deg * RAD_PER_DEG);
  const normalEast = sinTilt * Math.sin(azimuth_deg * RAD_PER_DEG);
  const normalNorth = sinTilt * Math.cos(azimuth_deg * RAD_PER_DEG);
  const glass = cover === 'glass';
  const modifiers = glass ? diffuseModifiers(tilt_deg) : CLEAR;
  const view = skyView(horizon, tilt_deg, azimuth_deg).sky;
  const floor = model === 'perez' ? PEREZ_COS_FLOOR : COS_89_deg;
  const table = new Float32Array(HOURS_PER_YEAR * SLOTS);
  let month = 0;
  for (let i = 0; i < HOURS_PER_YEAR; i++) {
    const day = Math.floor(i / 24);
    if (day >= MONTH_START[month + 1]!) month++;
    const at = i * SLOTS;
    table[at + GROUND] = (albedo[month]! * (1 - cosTilt) * modifiers.ground) / 2;
    const up = sun.up[i]!;
    if (up <= 0) continue;
    const cosine = sun.east[i]! * normalEast + sun.north[i]! * normalNorth + up * cosTilt;
    const open =
      horizon === undefined || Math.asin(Math.min(1, up)) > horizonAt_deg(horizon, sun.azimuth_deg[i]!) * RAD_PER_DEG;
    if (open && cosine > 0) {
      const passed = (glass ? physicalModifierOfCos(cosine) : 1) * (shade?.[month * 24 + (i % 24)] ?? 1);
      table[at + BEAM] = cosine * passed;
      table[at + CIRCUMSOLAR] = (cosine * passed) / Math.max(floor, up);
    }
    const normal_W_m2 = sun.extraterrestrialNormal_W_m2[day]!;
    if (model === 'perez') {
      const zenith = Math.acos(Math.min(1, up));
      const kz3 = PEREZ_KAPPA * zenith ** 3;
      table[at + ZENITH] = zenith;
      table[at + KZ3] = kz3;
      table[at + INVERSE_KZ3] = 1 / (1 + kz3);
      table[at + MASS] = kastenYoungAirMass(zenith / RAD_PER_DEG) / normal_W_m2;
    } else if (model === 'hay-davies') {
      table[at + MASS] = 1 / normal_W_m2;
    }
  }
  return {
    model,
    table,
    sky: ((1 + cosTilt) / 2) * view * modifiers.sky,
    band: sinTilt * view * modifiers.horizon,
    skyView: view,
  };
}

/**
 * Irradiance that enters the cell, W/m², hour by hour: `out[i]` for hours start ≤ i < end of the weather.
 *
 * Perez et al. 1990 (eq. 1, 2, 6, 7, 9; all-sites composite), Hay & Davies 1980, or an even sky, with what `planeGeometry`
 * was told about cover, skyline and shade; the same as `transpose` for a bare plane to 0.01 W/m². Zero where the global
 * irradiance is not above zero; never negative. With the sun below the horizon at mid-hour there is no beam and the
 * diffuse light comes from an even sky. Allocates nothing.
 */
export function planeOfArray(
  hours: IrradianceHours,
  geometry: PlaneGeometry,
  out: Float32Array,
  start = 0,
  end = hours.length,
): void {
  if (geometry.model === 'perez') perezHours(hours, geometry, out, start, end);
  else simpleHours(hours, geometry, out, start, end);
}

const F = Float64Array.from(PEREZ_COEFFICIENTS);
const [B1, B2, B3, B4, B5, B6, B7] = PEREZ_BINS as [number, number, number, number, number, number, number];

function perezHours(hours: IrradianceHours, g: PlaneGeometry, out: Float32Array, start: number, end: number): void {
  const { hourOfYear, ghi_W_m2, dni_W_m2, dhi_W_m2 } = hours;
  const { table, sky, band } = g;
  for (let i = start; i < end; i++) {
    const ghi = ghi_W_m2[i]!;
    if (!(ghi > 0)) {
      out[i] = 0;
      continue;
    }
    const at = hourOfYear[i]! * SLOTS;
    const dni = dni_W_m2[i]!;
    const dhi = dhi_W_m2[i]!;
    let total = dni * table[at + BEAM]! + ghi * table[at + GROUND]!;
    if (dhi > 0) {
      const mass = table[at + MASS]!;
      if (mass === 0) total += dhi * sky;
      else {
        const clearness = (1 + dni / dhi + table[at + KZ3]!) * table[at + INVERSE_KZ3]!; // eq. 1
        const bin =
          clearness < B4
            ? clearness < B2
              ? clearness < B1
                ? 0
                : 6
              : clearness < B3
                ? 12
                : 18
            : clearness < B6
              ? clearness < B5
                ? 24
                : 30
              : clearness < B7
                ? 36
                : 42;
        const brightness = dhi * mass; // eq. 2
        const z = table[at + ZENITH]!;
        const sum = F[bin]! + F[bin + 1]! * brightness + F[bin + 2]! * z; // eq. 6
        const f1 = Math.max(sum, 0);
        const f2 = F[bin + 3]! + F[bin + 4]! * brightness + F[bin + 5]! * z; // eq. 7
        const share = (1 - f1) * sky + f1 * table[at + CIRCUMSOLAR]! + f2 * band; // eq. 9
        if (share > 0) total += dhi * share;
      }
    }
    out[i] = total;
  }
}

function simpleHours(hours: IrradianceHours, g: PlaneGeometry, out: Float32Array, start: number, end: number): void {
  const { hourOfYear, ghi_W_m2, dni_W_m2, dhi_W_m2 } = hours;
  const { table, sky } = g;
  for (let i = start; i < end; i++) {
    const ghi = ghi_W_m2[i]!;
    if (!(ghi > 0)) {
      out[i] = 0;
      continue;
    }
    const at = hourOfYear[i]! * SLOTS;
    const dni = dni_W_m2[i]!;
    // Share of the diffuse light that comes from the sun's direction: none for the even sky, whose MASS is 0.
    const anisotropy = dni * table[at + MASS]!;
    const share = anisotropy * table[at + CIRCUMSOLAR]! + (1 - anisotropy) * sky;
    const total = dni * table[at + BEAM]! + dhi_W_m2[i]! * share + ghi * table[at + GROUND]!;
    out[i] = Math.max(total, 0);
  }
}
