import { createRoute, type OpenAPIHono } from '@hono/zod-openapi';
import type { SessionAnswer } from '../api.ts';
import { answer, body, json, problems } from '../describe.ts';
import type { ServerParts } from '../parts.ts';
import * as s from '../schemas.ts';

const tags = ['Session'];
const path = '/api/session';

/** Logging in and out, where a passphrase is demanded. */
export function sessionRoutes(api: OpenAPIHono, { access }: ServerParts): void {
  api.openapi(
    createRoute({
      method: 'get',
      path,
      tags,
      summary: 'Whether a passphrase is demanded, and whether this session is open',
      responses: { 200: json(s.sessionAnswer, 'The session'), ...problems() },
    }),
    (c) => answer<SessionAnswer>(c, { passphrase: access.locked, open: access.isOpen(c) }),
  );
  api.openapi(
    createRoute({
      method: 'post',
      path,
      tags,
      summary: 'Logs in',
      request: { body: body(s.logInRequest) },
      responses: { 200: json(s.sessionAnswer, 'Open from now on, by a cookie'), ...problems(413, 415, 429) },
    }),
    async (c) => {
      await access.logIn(c, c.req.valid('json').passphrase);
      return answer<SessionAnswer>(c, { passphrase: access.locked, open: true });
    },
  );
  api.openapi(
    createRoute({
      method: 'delete',
      path,
      tags,
      summary: 'Logs out',
      responses: { 200: json(s.sessionAnswer, 'Closed, where a passphrase is demanded'), ...problems() },
    }),
    (c) => {
      access.logOut(c);
      return answer<SessionAnswer>(c, { passphrase: access.locked, open: !access.locked });
    },
  );
}
