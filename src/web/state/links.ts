/** Links from the perch in hand over the terrain: profile from the server, the rest by the same core as `sunperch path`. */
import { signal } from '@preact/signals';
import type { CoverFile } from '../../app/cover-file.ts';
import type { LinkOutcome } from '../../app/path-between.ts';
import type { Problem } from '../../core/units/index.ts';
import type { ProfilePicture } from '../../report/index.ts';
import type { ProfileAnswer } from '../../server/api.ts';
import { getProfile } from '../api/client.ts';
import type { Spot } from './reach.ts';
import { callProblems } from './workshop.ts';

export interface LinkEnds {
  readonly from: Spot;
  readonly to: Spot;
  /** Texts of the files, as `path` reads them: the perch in hand and its kit; the far kit is left out for a hand-held. */
  readonly perch: string;
  readonly kit: string;
  readonly farKit?: string;
  /** The text of the far perch, or a point with the height of its antenna. */
  readonly far: { readonly perch: string } | { readonly name: string; readonly height_m: number };
  readonly indoors?: 'traditional' | 'efficient';
  /** Woods or houses on all the ground between; or cover by polygons. */
  readonly clutter_m: number;
  readonly cover?: CoverFile;
  /** Wood around the far end. */
  readonly woods_m?: number;
}

export interface FoundLink {
  readonly outcome: LinkOutcome;
  readonly picture: ProfilePicture;
  readonly profile: ProfileAnswer;
}

export type LinkState = FoundLink | { readonly problems: readonly Problem[] } | null;

const MOST_PROFILES = 200;
const profiles = new Map<string, Promise<ProfileAnswer>>();

/** The ground between two places; asked once. */
export function profileOf(from: Spot, to: Spot): Promise<ProfileAnswer> {
  const key = [from.latitude_deg, from.longitude_deg, to.latitude_deg, to.longitude_deg]
    .map((v) => v.toFixed(6))
    .join(' ');
  const before = profiles.get(key);
  if (before !== undefined) return before;
  const asked = getProfile({
    from: { latitude_deg: from.latitude_deg, longitude_deg: from.longitude_deg },
    to: { latitude_deg: to.latitude_deg, longitude_deg: to.longitude_deg },
  });
  profiles.set(key, asked);
  asked.catch(() => profiles.delete(key));
  for (const old of profiles.keys()) {
    if (profiles.size <= MOST_PROFILES) break;
    profiles.delete(old);
  }
  return asked;
}

/** A profile as the file that `path --profile` reads; points without height are left out, so that a straight line bridges them. */
export const profileText = ({ distance_km, height_m }: ProfileAnswer, clutter_m = 0): string =>
  [
    'distance_km,height_m,clutter_m',
    ...distance_km.flatMap((d, i) => {
      const between = i > 0 && i < distance_km.length - 1;
      return height_m[i] === null ? [] : [`${d.toFixed(6)},${height_m[i]!.toFixed(2)},${between ? clutter_m : 0}`];
    }),
  ].join('\n');

/** A point of the ground as the text of a perch. */
export const pointText = (name: string, { latitude_deg, longitude_deg }: Spot, elevation_m: number, height_m: number) =>
  `name: ${JSON.stringify(name)}
latitude_deg: ${latitude_deg.toFixed(7)}
longitude_deg: ${longitude_deg.toFixed(7)}
elevation_m: ${elevation_m.toFixed(1)}
height_m: ${height_m}
`;

/** Places without height longer than this on end are told as a gap, km. */
const LONGEST_GAP_km = 0.5;

/** Whether the ground is known well enough: both ends, and no long stretch missing. */
export function hasGap({ distance_km, height_m }: ProfileAnswer): boolean {
  if (height_m[0] === null || height_m[height_m.length - 1] === null) return true;
  let last_km = 0;
  for (let i = 0; i < height_m.length; i++) {
    if (height_m[i] === null) continue;
    if (distance_km[i]! - last_km > LONGEST_GAP_km && i > 0 && height_m[i - 1] === null) return true;
    last_km = distance_km[i]!;
  }
  return false;
}

const GAP: Problem = {
  code: 'terrain-gaps',
  message: 'the terrain has no heights at one end, or over more than 500 m on the way: the link is not judged',
};

/** A link, by delta-Bullington as in the coverage, so that map, table and section agree. */
export async function linkOf(ends: LinkEnds): Promise<FoundLink> {
  const { pathBetween } = await import('../../app/path-between.ts');
  const profile = await profileOf(ends.from, ends.to);
  if (hasGap(profile)) throw new (await import('../../core/units/index.ts')).UserError([GAP]);
  const end_m = profile.height_m[profile.height_m.length - 1] ?? 0;
  const { far } = ends;
  const files: Readonly<Record<string, string | undefined>> = {
    'here.yaml': ends.perch,
    'kit.yaml': ends.kit,
    'far.yaml': 'perch' in far ? far.perch : pointText(far.name, ends.to, end_m, far.height_m),
    'far-kit.yaml': ends.farKit,
    'ground.csv': profileText(profile, ends.clutter_m),
  };
  const { outcome, picture } = await pathBetween(
    {
      readText: (path) => {
        const text = files[path];
        return text === undefined ? Promise.reject(new Error(`${path} is not here`)) : Promise.resolve(text);
      },
      readWeather: () => Promise.reject(new Error('no weather is read for a link')),
      progress: () => undefined,
      runTasks: () => Promise.reject(new Error('a link runs no tasks')),
    },
    {
      a: 'here.yaml',
      kitA: 'kit.yaml',
      b: 'far.yaml',
      ...(ends.farKit === undefined ? {} : { kitB: 'far-kit.yaml' }),
      ...(ends.indoors === undefined ? {} : { indoors: ends.indoors }),
      ...(ends.cover === undefined ? {} : { cover: ends.cover }),
      ...(ends.woods_m === undefined ? {} : { woods_m: ends.woods_m }),
      profile: 'ground.csv',
      method: 'delta-bullington',
    },
  );
  return { profile, outcome: { ...outcome, azimuth_deg: profile.azimuth_deg }, picture };
}

/** Links by key; null while one is computed. */
export const links = signal<ReadonlyMap<string, LinkState>>(new Map());
const MOST_LINKS = 300;
let queue: Promise<unknown> = Promise.resolve();

/** Asks for a link, once; they are computed one after the other. */
export function askLink(key: string, ends: () => Promise<LinkEnds>): void {
  if (links.value.has(key)) return;
  const put = (state: LinkState) => {
    const next = new Map(links.value).set(key, state);
    for (const old of next.keys()) {
      if (next.size <= MOST_LINKS) break;
      next.delete(old);
    }
    links.value = next;
  };
  put(null);
  queue = queue
    .then(ends)
    .then(linkOf)
    .then(put, (error: unknown) => put({ problems: callProblems(error) }));
}
