/** Who may ask: everyone on the machine itself; on a network whoever knows the passphrase. */
import type { Context, MiddlewareHandler } from 'hono';
import { deleteCookie, getCookie, setCookie } from 'hono/cookie';
import { type Exposure, encrypted } from './exposure.ts';
import { createLogInLimit } from './log-in-limit.ts';
import { type Lock, opens } from './passphrase.ts';
import { Refusal } from './problems.ts';
import { COOKIE, createSessions, SESSION_s } from './sessions.ts';

export interface Access {
  /** Whether a passphrase is demanded at all. */
  readonly locked: boolean;
  isOpen(c: Context): boolean;
  /** Sets the cookie, or throws the refusal. */
  logIn(c: Context, passphrase: string): Promise<void>;
  logOut(c: Context): void;
}

/** Without a lock everyone may ask; `exposure` then has to be this machine only. */
export function createAccess(lock: Lock | undefined, exposure: Exposure, now_ms: () => number): Access {
  if (lock === undefined) {
    if (exposure.network) throw new RangeError('createAccess: a server on a network needs a passphrase');
    return { locked: false, isOpen: () => true, logIn: async () => undefined, logOut: () => undefined };
  }
  const limit = createLogInLimit(now_ms);
  const sessions = createSessions(lock.session, now_ms);
  // One try at a time: each takes 128 MiB, and many at once would be an attack of their own.
  let before: Promise<unknown> = Promise.resolve();
  const cookie = { path: '/', httpOnly: true, sameSite: 'Strict', secure: encrypted(exposure) } as const;
  return {
    locked: true,
    isOpen: (c) => sessions.stands(getCookie(c, COOKIE)),
    async logIn(c, passphrase) {
      const address = addressOf(c);
      const wait_s = limit.take(address);
      if (wait_s > 0)
        throw new Refusal(429, 'too-many-tries', `too many tries: wait ${wait_s} s before the next one`, wait_s);
      const mine = before.then(() => opens(lock, passphrase));
      before = mine.catch(() => undefined);
      if (!(await mine)) throw new Refusal(401, 'wrong-passphrase', 'this is not the passphrase of the workshop');
      limit.forgive(address);
      setCookie(c, COOKIE, sessions.open(), { ...cookie, maxAge: SESSION_s });
    },
    logOut(c) {
      sessions.close(getCookie(c, COOKIE));
      deleteCookie(c, COOKIE, cookie);
    },
  };
}

/** Refuses whoever has not logged in; only the log-in itself stands outside. */
export function demandSession(access: Access): MiddlewareHandler {
  return async (c, next) => {
    if (c.req.path === '/api/session' || access.isOpen(c)) return next();
    throw new Refusal(401, 'log-in', 'this workshop asks for its passphrase: log in first');
  };
}

/** Address of the other end as the socket knows it; no header is believed. */
function addressOf(c: Context): string {
  const env = c.env as { incoming?: { socket?: { remoteAddress?: string } } } | undefined;
  return env?.incoming?.socket?.remoteAddress ?? 'unknown';
}
