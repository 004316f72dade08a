import { describe, expect, it } from 'vitest';
import {
  bullingtonLoss_dB,
  freeSpaceLoss_dB,
  fresnelRadius_m,
  knifeEdgeLoss_dB,
  knifeEdgeNu,
  nuOfKnifeEdgeLoss,
  smoothEarthSight_km,
  sphericalEarthLoss_dB,
  wavelength_m,
} from '../../../src/core/path/index.ts';
import { readGolden } from '../../golden.ts';

describe('free space (ITU-R P.525)', () => {
  const golden = readGolden('path-free-space.csv');
  it.each(golden.rows)('$id', ({ frequency_MHz, distance_km, rounded_dB, exact_dB }) => {
    const loss_dB = freeSpaceLoss_dB(Number(distance_km), Number(frequency_MHz));
    expect(Math.abs(loss_dB - Number(rounded_dB))).toBeLessThan(0.001);
    expect(Math.abs(loss_dB - Number(exact_dB))).toBeLessThan(0.06);
  });
});

describe('one knife edge (ITU-R P.526, sec. 4.1)', () => {
  it.each(readGolden('path-knife-edge.csv').rows)('nu = $nu', ({ nu, approximate_dB, exact_dB }) => {
    const loss_dB = knifeEdgeLoss_dB(Number(nu));
    expect(Math.abs(loss_dB - Number(approximate_dB))).toBeLessThan(0.001);
    // The Recommendation's approximation against the Fresnel integrals, in the range where it is meant to hold.
    if (Number(nu) > -0.78) expect(Math.abs(loss_dB - Number(exact_dB))).toBeLessThan(0.15);
  });

  it.each(readGolden('path-edges.csv').rows)('$id', (row) => {
    const from_km = Number(row['from_m']) / 1000;
    const to_km = Number(row['to_m']) / 1000;
    const lambda_m = wavelength_m(Number(row['frequency_MHz']));
    const nu = knifeEdgeNu(Number(row['above_m']), from_km, to_km, lambda_m);
    expect(Math.abs(nu - Number(row['nu']))).toBeLessThan(0.001);
    expect(Math.abs(knifeEdgeLoss_dB(nu) - Number(row['loss_dB']))).toBeLessThan(0.001);
    expect(Math.abs(fresnelRadius_m(from_km, to_km, lambda_m) - Number(row['fresnelRadius_m']))).toBeLessThan(0.001);
  });

  it('is undone by its inverse', () => {
    for (const nu of [-0.5, 0, 0.7, 3, 20]) expect(nuOfKnifeEdgeLoss(knifeEdgeLoss_dB(nu))).toBeCloseTo(nu, 9);
  });
});

describe('smooth spherical Earth (ITU-R P.526, sec. 3)', () => {
  it.each(readGolden('path-spherical-earth.csv').rows)('$id', (row) => {
    const [d, h1, h2, f] = [row['distance_km'], row['from_m'], row['to_m'], row['frequency_GHz']].map(Number);
    expect(Math.abs(smoothEarthSight_km(h1!, h2!, 8500) - Number(row['sight_km']))).toBeLessThan(0.001);
    const loss_dB = sphericalEarthLoss_dB(d!, h1!, h2!, 8500, {
      frequency_GHz: f!,
      wavelength_m: wavelength_m(f! * 1000),
      polarization: row['polarization'] === 'vertical' ? 'vertical' : 'horizontal',
      seaShare: 0,
    });
    expect(Math.abs(loss_dB - Number(row['loss_dB']))).toBeLessThan(0.01);
  });
});

it('a ray that just touches an edge loses 6 dB there, not nothing (knife edge at nu = 0, ITU-R P.526)', () => {
  // Three points in a line over a flat Earth of next to no curvature: Bullington's two rays are the direct one.
  const distance_km = Float64Array.of(0, 1, 2);
  const ends = { from_m: 10, to_m: 10, radius_km: 1e12, wavelength_m: 0.345 };
  const touching_dB = bullingtonLoss_dB(distance_km, Float64Array.of(0, 10, 0), 3, ends);
  const higher_dB = bullingtonLoss_dB(distance_km, Float64Array.of(0, 10.001, 0), 3, ends);
  expect(touching_dB).toBeGreaterThan(6);
  expect(Math.abs(touching_dB - higher_dB)).toBeLessThan(0.01);
});
