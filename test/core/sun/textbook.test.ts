import { describe, expect, it } from 'vitest';
import {
  beamRatio,
  cooperDeclination_deg,
  cosIncidence,
  cosZenith,
  erbsHourly,
  extraterrestrialBetween_Wh_m2,
  extraterrestrialDay_Wh_m2,
  extraterrestrialMean_Wh_m2,
  hourlyDiffuseShare,
  hourlyGlobalShare,
  profileAngle_deg,
  shortDistanceFactor,
  solarAzimuth_deg,
  solarTime_h,
  spencerEquationOfTime_min,
  sunsetHourAngle_deg,
  transpose,
} from '../../../src/core/sun/index.ts';
import { perezBrightness } from '../../../src/core/sun/perez.ts';
import { DEG_PER_RAD, MONTH_START, RAD_PER_DEG } from '../../../src/core/units/index.ts';
import { readGolden } from '../../golden.ts';

const MJ_PER_Wh = 0.0036;
const cosD = (angle_deg: number) => Math.cos(angle_deg * RAD_PER_DEG);

/** Sun of an example in degrees: declination, zenith, azimuth from north. */
function sunOf(latitude_deg: number, dayOfYear: number, hourAngle_deg: number) {
  const declination_deg = cooperDeclination_deg(dayOfYear);
  const cosZen = cosZenith(latitude_deg, declination_deg, hourAngle_deg);
  const zenith_deg = Math.acos(cosZen) * DEG_PER_RAD;
  return {
    declination_deg,
    cosZen,
    zenith_deg,
    azimuth_deg: solarAzimuth_deg(latitude_deg, declination_deg, hourAngle_deg),
  };
}

/** Examples 2.15.1 to 2.16.2: the hour 9 to 10 on 20 February at 40° N, 1.04 MJ/m², slope 60° to the south, albedo 0.6. */
function slopedHour() {
  const sun = sunOf(40, 51, -37.5);
  const i0 = extraterrestrialBetween_Wh_m2(40, 51, -45, -30) * MJ_PER_Wh;
  const clearness = 1.04 / i0;
  const diffuse = erbsHourly(clearness) * 1.04;
  const beam = 1.04 - diffuse;
  const normal = 1367 * shortDistanceFactor(51) * MJ_PER_Wh;
  const input = {
    zenith_deg: sun.zenith_deg,
    solarAzimuth_deg: sun.azimuth_deg,
    tilt_deg: 60,
    surfaceAzimuth_deg: 180,
    ghi_W_m2: 1.04,
    dni_W_m2: beam / sun.cosZen,
    dhi_W_m2: diffuse,
    extraterrestrialNormal_W_m2: i0 / sun.cosZen, // so that the anisotropy is Ib/I0 as in the book
    albedo: 0.6,
  };
  const cosAoi = cosIncidence(sun.zenith_deg, sun.azimuth_deg, 60, 180);
  return { sun, i0, clearness, diffuse, beam, normal, input, cosAoi };
}

function examples(): Record<string, Record<string, number>> {
  const a = sunOf(43, 44, -22.5);
  const cosA = cosIncidence(a.zenith_deg, a.azimuth_deg, 45, 195);
  const b = sunOf(43, 44, -37.5);
  const c = sunOf(43, 182, 97.5);
  const d = sunOf(43, 75, 60);
  const dSet = sunsetHourAngle_deg(43, d.declination_deg);
  const e = sunOf(40, 47, -37.5);
  const gDeclination = cooperDeclination_deg(105);
  const hSet = sunsetHourAngle_deg(43, cooperDeclination_deg(235));
  const s = slopedHour();
  const isotropic = transpose('isotropic', s.input);
  const perezInput = { ...s.input, extraterrestrialNormal_W_m2: s.normal };
  const perez = transpose('perez', perezInput);
  const airMass = 1 / s.sun.cosZen;
  const sky = perezBrightness(s.input.dni_W_m2, s.diffuse, s.sun.zenith_deg * RAD_PER_DEG, airMass, s.normal);
  return {
    '1.5.1': { equationOfTime_min: spencerEquationOfTime_min(34), solarTime_h: solarTime_h(10.5, 34, -89.4, -6) },
    '1.6.1': { declination_deg: a.declination_deg, incidence_deg: Math.acos(cosA) * DEG_PER_RAD },
    '1.6.2a': { zenith_deg: b.zenith_deg, azimuthFromSouth_deg: b.azimuth_deg - 180 },
    '1.6.2b': { zenith_deg: c.zenith_deg, azimuthFromSouth_deg: c.azimuth_deg - 180 },
    '1.6.3': {
      sunset_deg: dSet,
      dayLength_h: (2 * dSet) / 15,
      elevation_deg: 90 - d.zenith_deg,
      azimuthFromSouth_deg: d.azimuth_deg - 180,
      profile_deg: profileAngle_deg(90 - d.zenith_deg, d.azimuth_deg, 205),
    },
    '1.8.1': { beamRatio: beamRatio(cosA, a.cosZen) },
    '1.8.2': { beamRatio: beamRatio(cosIncidence(e.zenith_deg, e.azimuth_deg, 30, 180), e.cosZen) },
    '1.10.1': {
      declination_deg: gDeclination,
      sunset_deg: sunsetHourAngle_deg(43, gDeclination),
      h0_MJ_m2: extraterrestrialDay_Wh_m2(43, 105) * MJ_PER_Wh,
    },
    '2.13.2': { rt: hourlyGlobalShare(hSet, 22.5), hour_MJ_m2: 31.4 * hourlyGlobalShare(hSet, 22.5) },
    '2.15.1': {
      i0_MJ_m2: s.i0,
      clearness: s.clearness,
      diffuse_MJ_m2: s.diffuse,
      beam_MJ_m2: s.beam,
      beamRatio: beamRatio(s.cosAoi, s.sun.cosZen),
      beamTilted_MJ_m2: isotropic.beam_W_m2,
      diffuseTilted_MJ_m2: isotropic.diffuse_W_m2,
      groundTilted_MJ_m2: isotropic.ground_W_m2,
      tilted_MJ_m2: isotropic.total_W_m2,
    },
    '2.16.1': {
      anisotropy: s.beam / s.i0,
      f: Math.sqrt(s.beam / 1.04),
      reindl_MJ_m2: transpose('reindl', s.input).total_W_m2,
      hayDavies_MJ_m2: transpose('hay-davies', s.input).total_W_m2,
    },
    '2.16.2': {
      zenith_deg: s.sun.zenith_deg,
      cosIncidence: s.cosAoi,
      clearness: sky.clearness,
      brightness: sky.brightness,
      f1: sky.f1,
      f2: sky.f2,
      diffuse_MJ_m2: perez.diffuse_W_m2,
      beamRatio: beamRatio(s.cosAoi, s.sun.cosZen),
      tilted_MJ_m2: perez.total_W_m2,
    },
  };
}

describe('textbook', () => {
  it('reproduces the worked examples', () => {
    const got = examples();
    const { rows } = readGolden('radiation-textbook.csv');
    expect(rows.length).toBeGreaterThan(35);
    for (const row of rows) {
      const value = got[row.example!]?.[row.quantity!];
      expect(value, `${row.example} ${row.quantity}`).toBeTypeOf('number');
      for (const want of [row.recomputed, row.printed]) {
        if (want === '') continue;
        const off = Math.abs(value! - Number(want));
        expect(off, `${row.example} ${row.quantity}: ${value} for ${want}`).toBeLessThanOrEqual(Number(row.tolerance));
      }
    }
  });

  it('gives the monthly means behind the clearness of the reference climates', () => {
    const { rows } = readGolden('radiation-h0-months.csv');
    expect(rows.length).toBe(60);
    for (const row of rows) {
      const m = Number(row.month) - 1;
      const h0 = extraterrestrialMean_Wh_m2(Number(row.latitude_deg), MONTH_START[m]! + 1, MONTH_START[m + 1]!) / 1000;
      expect(Math.abs(h0 / Number(row.h0_kWh_m2_day) - 1), `${row.latitude_deg} ${row.month}`).toBeLessThan(0.01);
    }
  });

  it('gives the hourly shares of global and diffuse radiation', () => {
    for (const row of readGolden('radiation-hourly-shares.csv').rows) {
      const [sunset, angle] = [Number(row.sunset_deg), Number(row.hourAngle_deg)];
      expect(Math.abs(hourlyGlobalShare(sunset, angle) - Number(row.rt))).toBeLessThanOrEqual(1e-5);
      expect(Math.abs(hourlyDiffuseShare(sunset, angle) - Number(row.rd))).toBeLessThanOrEqual(1e-5);
    }
    expect(hourlyGlobalShare(70, 75)).toBe(0);
  });

  it('splits the day into hours that make up the day', () => {
    // Law: the diffuse shares integrate to one; the extraterrestrial hours to the day.
    for (const latitude_deg of [-60, -20, 0, 35, 62]) {
      for (const day of [1, 80, 172, 300]) {
        const sunset = sunsetHourAngle_deg(latitude_deg, cooperDeclination_deg(day));
        const whole = extraterrestrialBetween_Wh_m2(latitude_deg, day, -sunset, sunset);
        expect(whole / extraterrestrialDay_Wh_m2(latitude_deg, day)).toBeCloseTo(1, 10);
        let sum = 0;
        const steps = 2000;
        for (let k = 0; k < steps; k++) sum += hourlyDiffuseShare(sunset, -sunset + ((k + 0.5) * 2 * sunset) / steps);
        expect((sum * (2 * sunset)) / steps / 15).toBeCloseTo(1, 5);
      }
    }
  });

  it('knows polar day and night', () => {
    expect(sunsetHourAngle_deg(80, 23)).toBe(180);
    expect(sunsetHourAngle_deg(80, -23)).toBe(0);
    expect(extraterrestrialDay_Wh_m2(80, 355)).toBe(0);
    // At the pole the sun circles at its declination: 24 h of I0n sin δ (closed form).
    const expected = 24 * 1367 * shortDistanceFactor(172) * cosD(90 - cooperDeclination_deg(172));
    expect(extraterrestrialDay_Wh_m2(90, 172)).toBeCloseTo(expected, 3);
  });
});
