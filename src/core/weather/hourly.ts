/**
 * Hours of a day of known clearness: the TAG model of Aguiar & Collares-Pereira, Solar Energy 49(3) 167-174 (1992), scaled
 * so that the day keeps its total, then split into beam and diffuse.
 */
import type { Random } from '../math/index.ts';
import type { SunYear } from '../sun/index.ts';
import { DAYS_PER_YEAR, HOURS_PER_YEAR } from '../units/index.ts';
import { monthOfDays } from './monthly-curve.ts';
import { quickNormal, quickNormalTable } from './normal.ts';
import { rescaleCapped } from './rescale.ts';
import { lowSunFactor, SPLIT_LAST, SPLIT_STEPS, splitTable } from './split-low-sun.ts';

export interface TagDay {
  readonly lambda: number;
  readonly eta: number;
  readonly kappa: number;
  readonly spreadA: number;
  readonly spreadB: number;
  readonly phi: number;
}

/** The coefficients of one day of clearness `kt` (daily, 0..0.85). */
export function tagDay(kt: number): TagDay {
  return {
    lambda: -0.19 + 1.12 * kt + 0.24 * Math.exp(-8 * kt),
    eta: 0.32 - 1.6 * (kt - 0.5) ** 2,
    kappa: 0.19 + 2.27 * kt ** 2 - 2.51 * kt ** 3,
    spreadA: 0.14 * Math.exp(-20 * (kt - 0.35) ** 2),
    spreadB: 3 * (kt - 0.45) ** 2 + 16 * kt ** 5,
    phi: 0.38 + 0.06 * Math.cos(7.4 * kt - 2.5),
  };
}

/** Mean hourly clearness at a sine of solar elevation. */
export function tagMean(day: TagDay, sinElevation: number): number {
  return day.lambda + day.eta * Math.exp(-day.kappa / sinElevation);
}

/** Standard deviation of hourly clearness about that mean. */
export function tagSpread(day: TagDay, sinElevation: number): number {
  return day.spreadA * Math.exp(day.spreadB * (1 - sinElevation));
}

export interface IrradianceArrays {
  readonly ghi_W_m2: Float32Array;
  readonly dni_W_m2: Float32Array;
  readonly dhi_W_m2: Float32Array;
}

export interface HourlyShape {
  /** Clearness of a cloudless day (365). */
  readonly clearDay_kt: Float64Array;
  /** Most beam on the horizontal in each hour of the year (8760). */
  readonly beamLimit_W_m2: Float64Array;
  /**
   * Writes the 24 hours of day `dayOfYear` (0..364) whose global radiation is `kt` times the extraterrestrial, from index
   * `offset` of the arrays. The hours sum to kt H0 exactly (float32 rounding apart).
   */
  fillDay(dayOfYear: number, kt: number, random: Random, out: IrradianceArrays, offset: number): void;
}

/** Below this sine of elevation at mid-hour (1°) an hour's light is taken as wholly diffuse. */
const MIN_BEAM_SINE = 0.0175;

/**
 * Tables of one place for turning daily clearness into hours.
 *
 * Cap of an hour: the smaller of TAG's clear-sky clearness 0.88 cos(pi t / 30), t hours from solar noon, and 1.15 times the
 * cloudless global irradiance of Haurwitz 1945 (1098 sin h exp(-0.057 / sin h) W/m²) with 2 % more per km of height. A
 * cloudless day has 1.1 times Haurwitz. Margins and height term are judgement, held against the clearest days of two hourly
 * files. Beam is held below I0n 0.77^(m^0.678), m the air mass at the station's pressure: the form of Meinel & Meinel 1976
 * (from memory), whose 0.7 is for common air and is raised here to that of clear mountain air. What is cut goes to
 * diffuse, so GHI = DHI + DNI sin(h) holds in every hour. `limitBeam` false leaves that limit out (for fitting).
 *
 * `diffuseExponent`: twelve exponents on the diffuse share of the split (split-low-sun.ts).
 * Validated: monthly planes of two hourly files within 6 % in 23 of 24 months once their diffuse share is met.
 */
export function createHourlyShape(
  sun: SunYear,
  elevation_m: number,
  diffuseExponent: ArrayLike<number>,
  limitBeam = true,
): HourlyShape {
  const e0 = Float64Array.from(sun.extraterrestrialHorizontal_Wh_m2);
  const sine = new Float64Array(HOURS_PER_YEAR);
  const cap_kt = new Float64Array(HOURS_PER_YEAR);
  const inverseUp = new Float64Array(HOURS_PER_YEAR);
  const beamLimit_W_m2 = new Float64Array(HOURS_PER_YEAR);
  const lowSun = new Float64Array(HOURS_PER_YEAR);
  const months = monthOfDays();
  const tables = Array.from(diffuseExponent, splitTable);
  const clearDay_kt = new Float64Array(DAYS_PER_YEAR);
  const firstHour = new Uint8Array(DAYS_PER_YEAR);
  const endHour = new Uint8Array(DAYS_PER_YEAR);
  const height_km = Math.max(0, elevation_m) / 1000;
  const clearer = 1 + 0.02 * height_km;
  for (let d = 0; d < DAYS_PER_YEAR; d++) {
    const normal = sun.extraterrestrialNormal_W_m2[d]!;
    let sum = 0;
    let moment = 0;
    let first = 24;
    let end = 0;
    for (let h = 0; h < 24; h++) {
      const energy = e0[d * 24 + h]!;
      if (energy <= 0.5) {
        e0[d * 24 + h] = 0;
        continue;
      }
      if (first === 24) first = h;
      end = h + 1;
      sum += energy;
      moment += energy * (h + 0.5);
    }
    firstHour[d] = first === 24 ? 0 : first;
    endHour[d] = end;
    const noon = sum > 0 ? moment / sum : 12;
    let clear = 0;
    for (let h = first; h < end; h++) {
      const i = d * 24 + h;
      const s = Math.max(0.02, e0[i]! / normal);
      sine[i] = s;
      const tag = 0.88 * Math.cos((Math.PI * (h + 0.5 - noon)) / 30);
      const haurwitz = (1098 / 1367) * Math.exp(-0.057 / s);
      cap_kt[i] = Math.max(0.1, Math.min(tag, 1.15 * clearer * haurwitz));
      lowSun[i] = SPLIT_STEPS * lowSunFactor(s);
      clear += e0[i]! * Math.min(0.86, 1.1 * clearer * haurwitz);
      const up = sun.up[i]!;
      if (up >= MIN_BEAM_SINE) {
        inverseUp[i] = 1 / up;
        const airMass = Math.min(30, 1 / up) * Math.exp(-height_km / 8.4);
        beamLimit_W_m2[i] = normal * up * 0.77 ** (airMass ** 0.678);
      }
    }
    clearDay_kt[d] = sum > 0 ? clear / sum : 0.7;
  }
  const normals = quickNormalTable();
  const kt_hour = new Float64Array(HOURS_PER_YEAR);

  return {
    clearDay_kt,
    beamLimit_W_m2,
    fillDay(dayOfYear, kt, random, out, offset) {
      const { ghi_W_m2, dni_W_m2, dhi_W_m2 } = out;
      ghi_W_m2.fill(0, offset, offset + 24);
      dni_W_m2.fill(0, offset, offset + 24);
      dhi_W_m2.fill(0, offset, offset + 24);
      const base = dayOfYear * 24;
      const from = base + firstHour[dayOfYear]!;
      const to = base + endHour[dayOfYear]!;
      if (from >= to || !(kt > 0)) return;
      const day = tagDay(Math.min(0.85, kt));
      const innovation = Math.sqrt(1 - day.phi * day.phi);
      let y = quickNormal(normals, random.next());
      let target = 0;
      for (let i = from; i < to; i++) {
        const mean = tagMean(day, sine[i]!);
        const spread = tagSpread(day, sine[i]!);
        const cap = cap_kt[i]!;
        let value = 0;
        let next = 0;
        for (let tries = 0; ; tries++) {
          next = day.phi * y + innovation * quickNormal(normals, random.next());
          value = mean + spread * next;
          if (value > 0 && value <= cap) break;
          if (tries === 6) {
            value = Math.min(cap, Math.max(0.02, mean));
            next = 0;
            break;
          }
        }
        y = next;
        kt_hour[i] = value;
        target += e0[i]!;
      }
      const table = tables[months[dayOfYear]!]!;
      rescaleCapped(kt_hour, e0, cap_kt, from, to, kt * target);
      for (let i = from; i < to; i++) {
        const clearness = kt_hour[i]!;
        const global = clearness * e0[i]!;
        const at = offset + i - base;
        const entry = Math.min(SPLIT_LAST, clearness * lowSun[i]!);
        const low = entry | 0;
        const diffuseShare = table[low]! + (table[low + 1]! - table[low]!) * (entry - low);
        let beam = inverseUp[i]! > 0 ? global * (1 - diffuseShare) : 0; // on the horizontal
        if (limitBeam && beam > beamLimit_W_m2[i]!) beam = beamLimit_W_m2[i]!;
        ghi_W_m2[at] = global;
        dni_W_m2[at] = beam * inverseUp[i]!;
        dhi_W_m2[at] = global - beam;
      }
    },
  };
}
