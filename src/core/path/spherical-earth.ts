import type { Polarization } from './profile.ts';

/** What the wave and the ground are like, for diffraction round the smooth Earth. */
export interface Wave {
  readonly frequency_GHz: number;
  readonly wavelength_m: number;
  readonly polarization: Polarization;
  /** Share of the path over sea, 0..1; the rest is land. */
  readonly seaShare: number;
}

/** Permittivity and conductivity of average land and of sea (ITU-R P.1812 sec. 4.3.3). */
const GROUND = { land: { permittivity: 22, conductivity_S_m: 0.003 }, sea: { permittivity: 80, conductivity_S_m: 5 } };

/** Distance at which the smooth Earth just lets the two antennas see each other, km (ITU-R P.1812 eq. 22). */
export function smoothEarthSight_km(from_m: number, to_m: number, radius_km: number): number {
  return Math.sqrt(2 * radius_km) * (Math.sqrt(0.001 * from_m) + Math.sqrt(0.001 * to_m)); // eq. 22
}

/**
 * Diffraction loss round a smooth spherical Earth for antennas `from_m` and `to_m` above it, dB, never negative.
 *
 * Source: ITU-R P.526-15, sec. 3.2 with 3.1.1 (first term of the residue series), as P.1812-8, sec. 4.3.2-4.3.3, eq. 22-36.
 * Valid above 10 MHz, heights > 0. Checked against worked values in test/golden/path-spherical-earth.csv (0.01 dB), and
 * inside the delta-Bullington and P.1812 examples.
 */
export function sphericalEarthLoss_dB(
  distance_km: number,
  from_m: number,
  to_m: number,
  radius_km: number,
  wave: Wave,
): number {
  if (distance_km >= smoothEarthSight_km(from_m, to_m, radius_km))
    return firstTermLoss_dB(distance_km, from_m, to_m, radius_km, wave);
  const d = distance_km;
  const c = (from_m - to_m) / (from_m + to_m); // eq. 24d
  const m = (250 * d * d) / (radius_km * (from_m + to_m)); // eq. 24e
  const cosine = 1.5 * c * Math.sqrt((3 * m) / (m + 1) ** 3);
  const angle_rad = Math.acos(Math.min(1, Math.max(-1, cosine)));
  const b = 2 * Math.sqrt((m + 1) / (3 * m)) * Math.cos(Math.PI / 3 + angle_rad / 3); // eq. 24c
  const d1_km = 0.5 * d * (1 + b); // eq. 24a
  const d2_km = d - d1_km; // eq. 24b
  const clearance_m =
    ((from_m - (500 * d1_km * d1_km) / radius_km) * d2_km + (to_m - (500 * d2_km * d2_km) / radius_km) * d1_km) / d; // eq. 23
  const needed_m = 17.456 * Math.sqrt((d1_km * d2_km * wave.wavelength_m) / d); // eq. 25
  if (clearance_m > needed_m) return 0;
  const grazing_km = 500 * (d / (Math.sqrt(from_m) + Math.sqrt(to_m))) ** 2; // eq. 26
  const loss_dB = firstTermLoss_dB(d, from_m, to_m, grazing_km, wave);
  return loss_dB > 0 ? (1 - clearance_m / needed_m) * loss_dB : 0; // eq. 27
}

function firstTermLoss_dB(distance_km: number, from_m: number, to_m: number, radius_km: number, wave: Wave): number {
  const w = wave.seaShare;
  const land_dB = w < 1 ? firstTerm_dB(distance_km, from_m, to_m, radius_km, wave, GROUND.land) : 0;
  const sea_dB = w > 0 ? firstTerm_dB(distance_km, from_m, to_m, radius_km, wave, GROUND.sea) : 0;
  return w * sea_dB + (1 - w) * land_dB; // eq. 28
}

function firstTerm_dB(
  distance_km: number,
  from_m: number,
  to_m: number,
  radius_km: number,
  wave: Wave,
  ground: { permittivity: number; conductivity_S_m: number },
): number {
  const f = wave.frequency_GHz;
  const loss2 = ((18 * ground.conductivity_S_m) / f) ** 2;
  const eps = ground.permittivity;
  const horizontal = 0.036 * (radius_km * f) ** (-1 / 3) * ((eps - 1) ** 2 + loss2) ** -0.25; // eq. 29a
  const k = wave.polarization === 'horizontal' ? horizontal : horizontal * Math.sqrt(eps * eps + loss2); // eq. 29b
  const k2 = k * k;
  const beta = (1 + 1.6 * k2 + 0.67 * k2 * k2) / (1 + 4.5 * k2 + 1.53 * k2 * k2); // eq. 30
  const x = 21.88 * beta * Math.cbrt(f / (radius_km * radius_km)) * distance_km; // eq. 31
  const scale = 0.9575 * beta * Math.cbrt((f * f) / radius_km);
  const distance_dB = x >= 1.6 ? 11 + 10 * Math.log10(x) - 17.6 * x : -20 * Math.log10(x) - 5.6488 * x ** 1.425; // eq. 33
  return -distance_dB - heightGain_dB(scale * from_m, beta, k) - heightGain_dB(scale * to_m, beta, k); // eq. 32, 36
}

function heightGain_dB(y: number, beta: number, k: number): number {
  const b = beta * y; // eq. 35: beta enters a second time, after eq. 32
  const gain_dB =
    b > 2 ? 17.6 * Math.sqrt(b - 1.1) - 5 * Math.log10(b - 1.1) - 8 : 20 * Math.log10(b + 0.1 * b * b * b); // eq. 34
  return Math.max(gain_dB, 2 + 20 * Math.log10(k));
}
