/** Cases of the published check sets, as CSV files and requests of `sunperch path`. */
import { readFileSync } from 'node:fs';
import type { PathRequest } from '../../src/app/path.ts';
import { readGolden } from '../golden.ts';

export interface PathCase {
  readonly id: string;
  readonly csv: string;
  readonly request: PathRequest;
  readonly expected: { readonly loss_dB?: number; readonly freeSpace_dB?: number; readonly diffraction_dB: number };
}

const ZONES: Readonly<Record<number, string>> = { 1: 'sea', 3: 'coast', 4: 'inland' };

export function profileCsv(
  distance_km: readonly number[],
  height_m: readonly number[],
  clutter_m?: readonly number[],
  zone?: readonly number[],
): string {
  const head = ['distance_km', 'height_m', ...(clutter_m || zone ? ['clutter_m'] : []), ...(zone ? ['zone'] : [])];
  const rows = distance_km.map((d, i) =>
    [d, height_m[i], ...(clutter_m || zone ? [clutter_m?.[i] ?? 0] : []), ...(zone ? [ZONES[zone[i]!]] : [])].join(','),
  );
  return `${[head.join(','), ...rows].join('\n')}\n`;
}

function profilesOf(name: string): Map<string, Record<string, number[]>> {
  const lists = new Map<string, Record<string, number[]>>();
  for (const { profile, ...columns } of readGolden(name).rows) {
    const mine = lists.get(profile!) ?? Object.fromEntries(Object.keys(columns).map((key) => [key, [] as number[]]));
    for (const [key, value] of Object.entries(columns)) mine[key]!.push(Number(value));
    lists.set(profile!, mine);
  }
  return lists;
}

const polarization = (text: string | undefined) => (text === 'vertical' ? 'vertical' : 'horizontal');

/** The golden rows of ITU-R P.1812-8 (0.01 dB). */
export function p1812Golden(): PathCase[] {
  const profiles = profilesOf('path-p1812-profiles.csv');
  return readGolden('path-p1812.csv').rows.map((row) => {
    const ground = profiles.get(row['profile']!)!;
    const value = (key: string) => Number(row[key]);
    return {
      id: row['id']!,
      csv: profileCsv(
        ground['distance_km']!,
        ground['height_m']!,
        row['bare'] === 'yes' ? undefined : ground['clutter_m'],
      ),
      request: {
        method: 'p1812',
        frequency_MHz: value('frequency_MHz'),
        fromHeight_m: value('fromHeight_m'),
        toHeight_m: value('toHeight_m'),
        time_pct: value('time_pct'),
        locations_pct: 50,
        latitude_deg: value('latitude_deg'),
        deltaN: value('deltaN'),
        n0: value('n0'),
        polarization: polarization(row['polarization']),
      },
      expected: { loss_dB: value('Lb_dB'), freeSpace_dB: value('Lbfs_dB'), diffraction_dB: value('Ldp_dB') },
    };
  });
}

/** The golden rows of the delta-Bullington examples (0.1 dB). */
export function deltaBullingtonGolden(): PathCase[] {
  const profiles = profilesOf('path-delta-bullington-profiles.csv');
  return readGolden('path-delta-bullington.csv').rows.map((row) => {
    const ground = profiles.get(row['profile']!)!;
    return {
      id: row['id']!,
      csv: profileCsv(ground['distance_km']!, ground['height_m']!),
      request: {
        method: 'delta-bullington',
        frequency_MHz: Number(row['frequency_MHz']),
        fromHeight_m: Number(row['fromHeight_m']),
        toHeight_m: Number(row['toHeight_m']),
        effectiveRadius_km: Number(row['effectiveRadius_km']),
        polarization: polarization(row['polarization']),
      },
      expected: { diffraction_dB: Number(row['L_diffraction_dB']) },
    };
  });
}

interface SharedSet {
  readonly profiles: {
    readonly id: string;
    readonly distance_km: number[];
    readonly height_m_amsl: number[];
    readonly clutter_m: number[] | number;
  }[];
  readonly cases: {
    readonly id: string;
    readonly profile: string;
    readonly inputs: Record<string, number | string>;
    readonly expected: Record<string, number>;
  }[];
}

/** All cases of a file of the shared reference folder beside the clone; undefined where there is none. */
export function sharedCases(name: 'p1812_sg3.json' | 'delta_bullington_sg3.json'): PathCase[] | undefined {
  let set: SharedSet;
  try {
    const file = new URL(`../../../shared/reference/radio/${name}`, import.meta.url);
    set = JSON.parse(readFileSync(file, 'utf8')) as SharedSet;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
  const full = name === 'p1812_sg3.json';
  return set.cases.map(({ id, profile, inputs, expected }) => {
    const ground = set.profiles.find((p) => p.id === profile)!;
    const value = (key: string) => inputs[key] as number;
    const clutter_m = Array.isArray(ground.clutter_m) ? ground.clutter_m : undefined;
    const ends = {
      fromHeight_m: value('tx_height_m_agl'),
      toHeight_m: value('rx_height_m_agl'),
      polarization: polarization(inputs['polarization'] as string),
    } as const;
    return {
      id,
      csv: profileCsv(ground.distance_km, ground.height_m_amsl, clutter_m),
      request: full
        ? {
            ...ends,
            method: 'p1812',
            frequency_MHz: value('frequency_GHz') * 1000,
            time_pct: value('time_percent'),
            locations_pct: value('location_percent'),
            latitude_deg: value('path_centre_latitude_deg'),
            deltaN: value('delta_N'),
            n0: value('N0'),
          }
        : {
            ...ends,
            method: 'delta-bullington',
            frequency_MHz: value('frequency_MHz'),
            effectiveRadius_km: value('effective_earth_radius_km'),
          },
      expected: full
        ? { loss_dB: expected['Lb_dB']!, freeSpace_dB: expected['Lbfs_dB']!, diffraction_dB: expected['Ldp_dB']! }
        : { diffraction_dB: expected['L_diffraction_dB']! },
    };
  });
}
