/** Ground around a place and on the way to others: asked for once, kept in the browser so that it is there without the server. */
import { heightsOfQuarters } from '../../core/terrain/index.ts';
import type { PlaceInput, ProfileAnswer, ProfileRequest, RaysAnswer, RaysRequest } from '../../server/api.ts';
import { call, Unreachable } from '../api/client.ts';
import type { PanoramaPlace, PanoramaWay } from './panorama-messages.ts';

/** What the service worker keeps besides the pages; it empties it when the session is closed. */
const CACHE = 'read-1';
const KEPT = '/kept/terrain/';
/** Answers of rays weigh a megabyte. */
const MOST = { rays: 12, profile: 120 } as const;

const open = async (): Promise<Cache | undefined> => {
  try {
    return await caches.open(CACHE);
  } catch {
    // No such store over plain http from another machine.
    return undefined;
  }
};

/** The server's answer, or without a server the one it gave last. */
async function asked<T>(what: keyof typeof MOST, request: object): Promise<T> {
  const address = `${KEPT}${what}?${encodeURIComponent(JSON.stringify(request))}`;
  try {
    const answer = await call<T>('POST', `/terrain/${what}`, request);
    void keep(what, address, JSON.stringify(answer));
    return answer;
  } catch (error) {
    if (!(error instanceof Unreachable)) throw error;
    const before = await (await open())?.match(address);
    if (before === undefined) throw error;
    return (await before.json()) as T;
  }
}

async function keep(what: keyof typeof MOST, address: string, text: string): Promise<void> {
  const cache = await open();
  if (cache === undefined) return;
  try {
    await cache.put(address, new Response(text, { headers: { 'content-type': 'application/json' } }));
    const mine = (await cache.keys()).filter((r) => new URL(r.url).pathname === `${KEPT}${what}`);
    for (const old of mine.slice(0, Math.max(0, mine.length - MOST[what]))) await cache.delete(old);
  } catch {
    // A full store: the answer is shown all the same.
  }
}

/** Positions are told apart to a tenth of a metre. */
const rounded = ({ latitude_deg, longitude_deg }: Pick<PlaceInput, 'latitude_deg' | 'longitude_deg'>) => ({
  latitude_deg: Math.round(latitude_deg * 1e6) / 1e6,
  longitude_deg: Math.round(longitude_deg * 1e6) / 1e6,
});

export const placeKey = (at: Pick<PlaceInput, 'latitude_deg' | 'longitude_deg'>): string => {
  const { latitude_deg, longitude_deg } = rounded(at);
  return `${latitude_deg} ${longitude_deg}`;
};

export async function fetchPlace({ name, ...at }: PlaceInput): Promise<PanoramaPlace> {
  const request: RaysRequest = rounded(at);
  return placeOfRays(name, at, await asked<RaysAnswer>('rays', request));
}

/** The server's answer as the computing takes it. */
export function placeOfRays(name: string, at: Omit<PlaceInput, 'name'>, answer: RaysAnswer): PanoramaPlace {
  const bytes = Uint8Array.from(atob(answer.height_qm), (c) => c.charCodeAt(0));
  const { azimuths, ground_m, distance_m } = answer;
  const { latitude_deg, longitude_deg } = rounded(at);
  return {
    key: placeKey(at),
    name,
    latitude_deg,
    longitude_deg,
    rays: { azimuths, ground_m, distance_m: Float64Array.from(distance_m), height_m: heightsOfQuarters(bytes) },
  };
}

export type OtherPerch = PlaceInput & Pick<PanoramaWay, 'environment'>;

export async function fetchWay(from: PlaceInput, other: OtherPerch): Promise<PanoramaWay> {
  const request: ProfileRequest = { from: rounded(from), to: rounded(other) };
  return wayOfProfile(other, await asked<ProfileAnswer>('profile', request));
}

/** The server's answer as the computing takes it. */
export function wayOfProfile({ name, height_m, environment }: OtherPerch, answer: ProfileAnswer): PanoramaWay {
  const { azimuth_deg, distance_km } = answer;
  return {
    name,
    height_m,
    environment,
    azimuth_deg,
    distance_km: Float64Array.from(distance_km),
    ground_m: Float64Array.from(answer.height_m, (h) => h ?? Number.NaN),
  };
}
