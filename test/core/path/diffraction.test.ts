import { describe, expect, it } from 'vitest';
import { deltaBullingtonLoss, smoothEarth } from '../../../src/core/path/index.ts';
import { UserError } from '../../../src/core/units/index.ts';
import { readGolden } from '../../golden.ts';
import { readProfiles, readShared } from './shared.ts';

const polarization = (text: string | undefined) => (text === 'vertical' ? 'vertical' : 'horizontal');

describe('delta-Bullington (ITU-R P.526, sec. 4.5.2)', () => {
  const profiles = readProfiles('path-delta-bullington-profiles.csv');
  it.each(readGolden('path-delta-bullington.csv').rows)('$id of Study Group 3', (row) => {
    const profile = profiles.get(row['profile']!)!;
    const result = deltaBullingtonLoss({
      distance_km: profile['distance_km']!,
      height_m: profile['height_m']!,
      frequency_MHz: Number(row['frequency_MHz']),
      fromHeight_m: Number(row['fromHeight_m']),
      toHeight_m: Number(row['toHeight_m']),
      effectiveRadius_km: Number(row['effectiveRadius_km']),
      polarization: polarization(row['polarization']),
    });
    const parts = result.parts;
    for (const [found, wanted] of [
      [result.diffraction_dB, row['L_diffraction_dB']],
      [parts.bullingtonReal_dB, row['L_bullington_actual_dB']],
      [parts.bullingtonSmooth_dB, row['L_bullington_smooth_dB']],
      [parts.spherical_dB, row['L_spherical_dB']],
    ] as const)
      expect(Math.abs(found - Number(wanted))).toBeLessThan(0.1);
    expect(Math.abs(parts.effectiveFrom_m - Number(row['h1_effective_m']))).toBeLessThan(0.001);
    expect(Math.abs(parts.effectiveTo_m - Number(row['h2_effective_m']))).toBeLessThan(0.001);
    expect(result.loss_dB).toBe(result.freeSpace_dB + result.diffraction_dB);
  });

  it.each(readGolden('path-hand-profiles.csv').rows)('$id, a profile for a hand calculation', (row) => {
    const list = (key: string) => Float64Array.from(row[key]!.split(' ').map(Number));
    const distance_km = list('distance_km');
    const height_m = list('height_m');
    const n = height_m.length;
    const fromHeight_m = Number(row['fromHeight_m']);
    const toHeight_m = Number(row['toHeight_m']);
    const fit = smoothEarth(distance_km, height_m, n, height_m[0]! + fromHeight_m, height_m[n - 1]! + toHeight_m);
    const { diffraction_dB, parts } = deltaBullingtonLoss({
      distance_km,
      height_m,
      frequency_MHz: Number(row['frequency_GHz']) * 1000,
      fromHeight_m,
      toHeight_m,
    });
    for (const [found, wanted] of [
      [fit.fitFrom_m, row['hst']],
      [fit.fitTo_m, row['hsr']],
      [fit.from_m, row['hstd']],
      [fit.to_m, row['hsrd']],
      [parts.bullingtonReal_dB, row['L_bullington_actual_dB']],
      [parts.bullingtonSmooth_dB, row['L_bullington_smooth_dB']],
      [parts.spherical_dB, row['L_spherical_dB']],
      [diffraction_dB, row['L_diffraction_dB']],
    ] as const)
      expect(Math.abs(found - Number(wanted))).toBeLessThan(0.01);
  });

  it('refuses what it cannot answer, in a sentence', () => {
    const good = {
      distance_km: Float64Array.of(0, 1, 2),
      height_m: Float64Array.of(10, 20, 10),
      frequency_MHz: 868,
      fromHeight_m: 5,
      toHeight_m: 2,
    };
    const refuses = (change: object, words: RegExp) => {
      expect(() => deltaBullingtonLoss({ ...good, ...change })).toThrow(UserError);
      expect(() => deltaBullingtonLoss({ ...good, ...change })).toThrow(words);
    };
    expect(deltaBullingtonLoss(good).diffraction_dB).toBeGreaterThan(0);
    refuses({ frequency_MHz: 868e6 }, /30 to 6000 MHz/);
    refuses({ frequency_MHz: Number.NaN }, /NaN MHz/);
    refuses({ fromHeight_m: 0 }, /above 0 to 3000 m/);
    refuses({ toHeight_m: 3000.1 }, /3000\.1 m above the ground/);
    refuses({ distance_km: Float64Array.of(0, 2, 1) }, /Point 3: distance_km is 1 after 2/);
    refuses({ distance_km: Float64Array.of(0, 1, 1) }, /must rise/);
    refuses({ distance_km: Float64Array.of(1, 2, 3) }, /starts at 1 km/);
    refuses({ height_m: Float64Array.of(10, Number.NaN, 10) }, /Point 2: height_m is NaN/);
    refuses({ height_m: Float64Array.of(10, 20) }, /3 distances but 2 values of height_m/);
    refuses({ clutter_m: Float64Array.of(0, -1, 0) }, /Point 2: clutter_m is -1/);
    refuses({ zone: Uint8Array.of(4, 2, 4) }, /Point 2: zone is 2/);
    refuses({ effectiveRadius_km: 8.5 }, /effective radius is 8\.5 km/);
    refuses({ distance_km: Float64Array.of(0, 1), height_m: Float64Array.of(1, 1) }, /at least 3/);
  });
});

interface SharedCases {
  profiles: { id: string; distance_km: number[]; height_m_amsl: number[] }[];
  cases: {
    id: string;
    profile: string;
    inputs: {
      frequency_MHz: number;
      tx_height_m_agl: number;
      rx_height_m_agl: number;
      effective_earth_radius_km: number;
      polarization: string;
    };
    expected: { L_diffraction_dB: number };
  }[];
}

describe('delta-Bullington, all cases of the shared reference folder', () => {
  const shared = readShared<SharedCases>('radio/delta_bullington_sg3.json');
  it.skipIf(shared === undefined)(`within 0.1 dB${shared ? '' : ' (skipped: no shared reference folder here)'}`, () => {
    expect(shared!.cases.length).toBeGreaterThan(0);
    for (const { profile, inputs, expected } of shared!.cases) {
      const ground = shared!.profiles.find((p) => p.id === profile)!;
      const { diffraction_dB } = deltaBullingtonLoss({
        distance_km: Float64Array.from(ground.distance_km),
        height_m: Float64Array.from(ground.height_m_amsl),
        frequency_MHz: inputs.frequency_MHz,
        fromHeight_m: inputs.tx_height_m_agl,
        toHeight_m: inputs.rx_height_m_agl,
        effectiveRadius_km: inputs.effective_earth_radius_km,
        polarization: polarization(inputs.polarization),
      });
      expect(Math.abs(diffraction_dB - expected.L_diffraction_dB)).toBeLessThan(0.1);
    }
  });
});
