/** The server as one function from request to answer: guards first, then the routes, then the pages. */
import { OpenAPIHono } from '@hono/zod-openapi';
import type { MiddlewareHandler } from 'hono';
import { emptyBench } from '../app/bench/state.ts';
import { jsonSchemas } from '../records/index.ts';
import { demandSession } from './access.ts';
import { createPlaces } from './bench-places.ts';
import { checkBody } from './body.ts';
import { type Exposure, hostAllowed, ownPage } from './exposure.ts';
import { securityHeaders } from './headers.ts';
import { pageHandler } from './pages.ts';
import type { ServerParts } from './parts.ts';
import { answerError, problemAnswer, Refusal } from './problems.ts';
import { benchRoutes } from './routes/bench.ts';
import { benchCostRoutes } from './routes/bench-cost.ts';
import { benchDrawingRoutes } from './routes/bench-drawings.ts';
import { benchEvidenceRoutes } from './routes/bench-evidence.ts';
import { benchFileRoutes } from './routes/bench-files.ts';
import { benchForecastRoutes } from './routes/bench-forecast.ts';
import { benchPaperRoutes } from './routes/bench-papers.ts';
import { benchPlaceRoutes } from './routes/bench-places.ts';
import { jobRoutes } from './routes/jobs.ts';
import { recordRoutes } from './routes/records.ts';
import { referenceRoutes } from './routes/reference.ts';
import { sessionRoutes } from './routes/session.ts';
import { terrainRoutes } from './routes/terrain.ts';

export type ServerApp = OpenAPIHono;

export function createApp(parts: ServerParts): ServerApp {
  const app = new OpenAPIHono({
    // A request that does not fit its schema: where, and what is wanted.
    defaultHook: (result, c) => {
      if (result.success) return undefined;
      const problems = result.error.issues.slice(0, 20).map((issue) => {
        const field = issue.path.map(String).join('.');
        const message = `${field === '' ? 'the request' : field}: ${issue.message}`;
        return { code: 'bad-request', message, ...(field === '' ? {} : { place: { field } }) };
      });
      return problemAnswer(c, 400, problems);
    },
  });
  app.onError(answerError(parts.log));
  app.use(securityHeaders);
  app.use(guard(parts.exposure));
  app.use('/api/*', demandSession(parts.access), checkBody);
  sessionRoutes(app, parts);
  recordRoutes(app, parts);
  referenceRoutes(app);
  jobRoutes(app, parts);
  terrainRoutes(app, parts);
  // One bench in memory for as long as the server runs; each request first takes in what others have written.
  const bench = { store: parts.store.bench, state: emptyBench() };
  const places = createPlaces(parts, bench);
  benchRoutes(app, parts, bench, places);
  benchPlaceRoutes(app, parts, bench, places);
  benchCostRoutes(app, parts, bench);
  benchPaperRoutes(app, parts, bench);
  benchFileRoutes(app, parts, bench);
  benchEvidenceRoutes(app, parts, bench);
  benchForecastRoutes(app, parts, bench);
  benchDrawingRoutes(app, parts, bench);
  // Made when it is first asked for: most who start a server never do.
  let document: object | undefined;
  app.get('/api/openapi.json', (c) => {
    document ??= describeApi(app, parts.version);
    return c.json(document);
  });
  app.all('*', pageHandler(parts.pages));
  return app;
}

/** Refuses foreign names (DNS rebinding) and foreign pages (forged requests). */
function guard(exposure: Exposure): MiddlewareHandler {
  return async (c, next) => {
    // Both the Host header and the address of the request line, which goes before it (RFC 9112 section 3.2.2).
    const address = new URL(c.req.url).host;
    const host = c.req.header('host') ?? address;
    if (!hostAllowed(host, exposure) || !hostAllowed(address, exposure))
      throw new Refusal(
        403,
        'foreign-host',
        'this server does not answer under that name; `sunperch serve --origin` allows one',
      );
    const reads = c.req.method === 'GET' || c.req.method === 'HEAD';
    // A link from elsewhere may open the pages; everything else has to come from them.
    if (reads && !c.req.path.startsWith('/api')) return next();
    if (!ownPage(c.req.header('origin'), c.req.header('sec-fetch-site'), host, exposure))
      throw new Refusal(403, 'foreign-page', 'the request came from a page of another site');
    return next();
  };
}

function describeApi(app: OpenAPIHono, version: string): object {
  for (const [name, { $schema: _, ...schema }] of Object.entries(jsonSchemas()))
    app.openAPIRegistry.registerComponent('schemas', `${name[0]!.toUpperCase()}${name.slice(1)}`, schema);
  app.openAPIRegistry.registerPath({
    method: 'get',
    path: '/api/openapi.json',
    tags: ['Reference'],
    summary: 'This document',
    responses: { 200: { description: 'OpenAPI 3.1' } },
  });
  return app.getOpenAPI31Document({
    openapi: '3.1.0',
    info: {
      title: 'sunperch',
      version,
      description:
        'The workshop of kits, perches and nets on this machine, and what is computed from them. Bodies are JSON of at most 1 MB; a change names the revision that it was made from.',
      license: { name: 'MIT' },
    },
    servers: [{ url: '/' }],
  });
}
