/** The built pages. They are in memory by name: no path of a request ever reaches the disk, and no folder can be listed. */
import type { Context } from 'hono';
import type { PageFile } from './parts.ts';
import { Refusal } from './problems.ts';

/** Where the pages are not built, one that says so. */
const MISSING = `<!doctype html><html lang="en"><meta charset="utf-8"><title>sunperch</title>
<p>The server runs, but its pages are not built in this checkout: run <code>npm run build</code> and start it again.</p>`;

/** The file of a path, else the start page: the pages find their way by themselves. */
export function pageHandler(pages: ReadonlyMap<string, PageFile>) {
  return (c: Context): Response => {
    if (c.req.path === '/api' || c.req.path.startsWith('/api/'))
      throw new Refusal(404, 'no-such-route', 'the server has no such route; /api/openapi.json lists them');
    if (c.req.method !== 'GET' && c.req.method !== 'HEAD') throw new Refusal(405, 'only-get', 'pages can only be read');
    const named = pages.get(c.req.path);
    // What looks like a file and is none is told as missing: a script that came back as a page would only puzzle.
    if (named === undefined && /\.[A-Za-z0-9]{1,12}$/.test(c.req.path))
      throw new Refusal(404, 'no-such-page', 'there is no such file');
    const file = named ?? pages.get('/index.html');
    if (file === undefined) return c.html(MISSING, 503);
    const tag = `"${file.tag}"`;
    // A name with the hash of its content never changes what it means.
    const fixed = named !== undefined && /^\/assets\/.*-[A-Za-z0-9_-]{8,}\.[a-z0-9]+$/.test(c.req.path);
    c.header('cache-control', fixed ? 'public, max-age=31536000, immutable' : 'no-cache');
    c.header('etag', tag);
    if (c.req.header('if-none-match') === tag) return c.body(null, 304);
    return c.body(file.bytes, 200, { 'content-type': file.type });
  };
}
