/** Service worker: the pages and what was read last are there without a network. */

// Filled in by the build: an edition that changes with any file, and the files as JSON.
const EDITION = '__EDITION__';
const FILES = JSON.parse('__FILES__') as readonly string[];
const PAGES = `pages-${EDITION}`;
const READ = 'read-1';
const TILES = 'read-tiles-1';

interface Waiting extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface Asking extends Waiting {
  readonly request: Request;
  respondWith(answer: Promise<Response> | Response): void;
}
interface Scope {
  addEventListener(name: string, hear: (event: never) => void): void;
  skipWaiting(): Promise<void>;
  readonly clients: { claim(): Promise<void> };
}
const scope = self as unknown as Scope;

scope.addEventListener('install', (event: Waiting) => {
  event.waitUntil(
    caches
      .open(PAGES)
      .then((cache) => cache.addAll([...FILES, '/']))
      .then(() => scope.skipWaiting()),
  );
});

scope.addEventListener('activate', (event: Waiting) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(names.filter((n) => ![PAGES, READ, TILES].includes(n)).map((n) => caches.delete(n))))
      .then(() => scope.clients.claim()),
  );
});

/** What may be read again without the server: the list, the records, results, what the terrain is, the bench. */
const READABLE =
  /^\/api\/(workshop|session|terrain|records\/[^/]+|results\/[^/]+|bench|bench\/(batches|units|lots|quality)\/[^/]+|bench\/stores|bench\/drawings\/[^/]+\/[^/]+\/[^/]+)$/;
/** Tiles of the map; the browser's own cache asks for them no oftener than the server says. */
const TILE = /^\/api\/terrain\/shade\//;
const MOST_TILES = 1500;

scope.addEventListener('fetch', (event: Asking) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== 'GET' || address.origin !== location.origin) return;
  if (address.pathname.startsWith('/api/')) {
    if (TILE.test(address.pathname)) event.respondWith(newest(request, TILES));
    // A passing result, as while something is dragged, is not worth keeping.
    else if (READABLE.test(address.pathname) && address.search !== '?passing') event.respondWith(newest(request));
    return;
  }
  event.respondWith(request.mode === 'navigate' ? page(request) : kept(request));
});

/** The server's answer, kept; without it the one kept last. */
async function newest(request: Request, name = READ): Promise<Response> {
  const cache = await caches.open(name);
  try {
    const answer = await fetch(request);
    if (answer.ok) await cache.put(request, answer.clone());
    // Whoever has been locked out may not read what was kept before.
    else if (answer.status === 401) await Promise.all([READ, TILES].map((n) => caches.delete(n)));
    if (name === TILES && ++tiles % 200 === 0) await thin(cache);
    return answer;
  } catch {
    const before = await cache.match(request);
    if (before) return marked(before);
    return new Response('{"problems":[]}', {
      status: 503,
      headers: { 'content-type': 'application/json', 'x-sunperch-offline': '1' },
    });
  }
}

/** Tiles put away since this worker began. */
let tiles = 0;

/** Lets the tiles go that were put away first. */
async function thin(cache: Cache): Promise<void> {
  const keys = await cache.keys();
  for (const old of keys.slice(0, Math.max(0, keys.length - MOST_TILES))) await cache.delete(old);
}

/** The same answer with a mark that it was kept. */
function marked(answer: Response): Response {
  const headers = new Headers(answer.headers);
  headers.set('x-sunperch-kept', '1');
  return new Response(answer.body, { status: answer.status, headers });
}

async function kept(request: Request): Promise<Response> {
  return (await caches.match(request, { ignoreSearch: true })) ?? fetch(request);
}

/** Pages come fresh when they can, so that a new edition is seen at once. */
async function page(request: Request): Promise<Response> {
  try {
    return await fetch(request);
  } catch {
    return (await caches.match('/index.html')) ?? (await caches.match('/')) ?? Response.error();
  }
}
