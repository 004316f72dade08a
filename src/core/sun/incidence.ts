import { RAD_PER_DEG } from '../units/index.ts';

/** Cover glass of the physical modifier: refractive index, extinction (1/m) and thickness (m) of De Soto et al. 2006, sec. 5. */
const GLASS = { index: 1.526, extinction_per_m: 4, thickness_m: 0.002 };

/**
 * Share of the light that passes the cover at an angle of incidence, against light from straight ahead; 0 from 90° on.
 * Source: Souka & Safwat 1966; ASHRAE 93-77. b0 is 0.05 for one pane.
 */
export function ashraeModifier(incidence_deg: number, b0 = 0.05): number {
  const cosine = Math.cos(incidence_deg * RAD_PER_DEG);
  return cosine > 1e-9 ? Math.max(0, 1 - b0 * (1 / cosine - 1)) : 0;
}

/**
 * The same from Snell, Fresnel and Bouguer for a pane of glass: an air gap's single reflection and the path in the pane.
 * Source: De Soto, Klein & Beckman 2006, Solar Energy 80, 78-88, eq. 13-15 (numbers from memory).
 */
export function physicalModifier(incidence_deg: number): number {
  return physicalModifierOfCos(Math.cos(incidence_deg * RAD_PER_DEG));
}

/** `physicalModifier` by the cosine of the angle, for kernels. */
export function physicalModifierOfCos(cosine: number): number {
  const n = GLASS.index;
  const path = GLASS.extinction_per_m * GLASS.thickness_m;
  if (!(cosine > 0)) return 0;
  const c = Math.min(1, cosine);
  const inside = Math.sqrt(1 - (1 - c * c) / (n * n)); // Snell, eq. 14
  // Fresnel's two polarisations, the same as the sine and tangent forms of eq. 15 and sound at normal incidence too.
  const across = (c - n * inside) / (c + n * inside);
  const along = (inside - n * c) / (inside + n * c);
  const passed = Math.exp(-path / inside) * (1 - (across * across + along * along) / 2); // eq. 15
  const straight = Math.exp(-path) * (1 - ((1 - n) / (1 + n)) ** 2); // eq. 15 at zero angle
  return passed / straight; // eq. 13
}

/** Share of diffuse light that passes the cover, by where it comes from. */
export interface DiffuseModifiers {
  readonly sky: number;
  /** Band of half a degree above the horizon. */
  readonly horizon: number;
  readonly ground: number;
}

function regionShare(
  modifierOfCos: (cosine: number) => number,
  tilt_deg: number,
  from_deg: number,
  to_deg: number,
): number {
  const sinTilt = Math.sin(tilt_deg * RAD_PER_DEG);
  const cosTilt = Math.cos(tilt_deg * RAD_PER_DEG);
  const rings = Math.max(8, Math.ceil(to_deg - from_deg));
  const step_rad = ((to_deg - from_deg) / rings) * RAD_PER_DEG;
  let passed = 0;
  let all = 0;
  for (let i = 0; i < rings; i++) {
    const zenith = from_deg * RAD_PER_DEG + (i + 0.5) * step_rad;
    const sinZen = Math.sin(zenith);
    const cosZen = Math.cos(zenith);
    for (let j = 0; j < AZIMUTHS; j++) {
      // Half of the turn will do: the plane is even about its own azimuth.
      const cosine = cosZen * cosTilt + sinZen * sinTilt * Math.cos(((j + 0.5) / AZIMUTHS) * Math.PI);
      if (cosine <= 0) continue;
      all += cosine * sinZen;
      passed += modifierOfCos(cosine) * cosine * sinZen;
    }
  }
  return all > 0 ? passed / all : 0;
}

const AZIMUTHS = 90;

/**
 * Modifiers for diffuse light: the beam's modifier averaged over the part of the sky or ground that the plane sees, by
 * the cosine of incidence.
 * Source: Marion 2017, Solar Energy 147, 344-348. Summed on rings of 1° by steps of 2°: within 0.0003 of finer sums.
 * A plane that sees none of a part gets 0 for it. Tilts of 0..90°.
 */
export function diffuseModifiers(tilt_deg: number, modifierOfCos = physicalModifierOfCos): DiffuseModifiers {
  return {
    sky: regionShare(modifierOfCos, tilt_deg, 0, 90),
    horizon: regionShare(modifierOfCos, tilt_deg, 89.5, 90),
    ground: regionShare(modifierOfCos, tilt_deg, 90, 180),
  };
}
