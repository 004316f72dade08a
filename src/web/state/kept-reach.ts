/** The last full coverage of each perch, kept on this device so that it can be read where nobody answers. */
import type { ReachAnswer } from '../../server/api.ts';

// The cache of the service worker's answers: closing the session or a refusal takes it away with them.
const CACHE = 'read-1';
const FOLDER = '/kept/reach/';
const MOST = 12;

export interface KeptReach {
  readonly key: string;
  readonly at: string;
  readonly answer: ReachAnswer;
}

const addressOf = (perch: string) => `${FOLDER}${encodeURIComponent(perch)}`;

/** Puts it away; the perches looked at longest ago go. */
export async function keepReach(perch: string, kept: KeptReach): Promise<void> {
  if (!('caches' in globalThis)) return;
  try {
    const cache = await caches.open(CACHE);
    await cache.delete(addressOf(perch));
    await cache.put(addressOf(perch), new Response(JSON.stringify(kept)));
    const old = (await cache.keys()).filter((r) => new URL(r.url).pathname.startsWith(FOLDER));
    for (const request of old.slice(0, Math.max(0, old.length - MOST))) await cache.delete(request);
  } catch {
    // Full or switched off: it is shown all the same.
  }
}

export async function keptReach(perch: string): Promise<KeptReach | undefined> {
  if (!('caches' in globalThis)) return undefined;
  try {
    const found = await (await caches.open(CACHE)).match(addressOf(perch));
    return found === undefined ? undefined : ((await found.json()) as KeptReach);
  } catch {
    return undefined;
  }
}
