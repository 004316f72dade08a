/** Sessions without a table: the cookie says until when, and its signature that it was given out here. */
import { createHmac, randomBytes, timingSafeEqual } from 'node:crypto';

/** A week: long enough for a job on a mountain, short enough for a lost phone (common practice, no source). */
export const SESSION_s = 7 * 24 * 3600;
export const COOKIE = 'sunperch_session';

export interface Sessions {
  /** Value of a new cookie. */
  open(): string;
  /** Whether a cookie's value stands: signed here, not run out, not logged out. */
  stands(token: string | undefined): boolean;
  /** Ends a session before its time. */
  close(token: string | undefined): void;
}

/** `key` signs; `now_ms` is the clock. Log-outs are remembered until the token would have run out anyway. */
export function createSessions(key: string, now_ms: () => number): Sessions {
  const ended = new Map<string, number>();
  const sign = (body: string) => createHmac('sha256', key).update(`session ${body}`).digest('base64url');
  const untilOf = (token: string | undefined): { id: string; until_s: number } | undefined => {
    const match = /^([A-Za-z0-9_-]{22})\.(\d{1,12})\.([A-Za-z0-9_-]{43})$/.exec(token ?? '');
    if (match === null) return undefined;
    const [, id = '', until = '', mac = ''] = match;
    const right = Buffer.from(sign(`${id}.${until}`));
    const given = Buffer.from(mac);
    if (right.length !== given.length || !timingSafeEqual(right, given)) return undefined;
    return { id, until_s: Number(until) };
  };
  return {
    open() {
      const body = `${randomBytes(16).toString('base64url')}.${Math.floor(now_ms() / 1000) + SESSION_s}`;
      return `${body}.${sign(body)}`;
    },
    stands(token) {
      const found = untilOf(token);
      return found !== undefined && found.until_s * 1000 > now_ms() && !ended.has(found.id);
    },
    close(token) {
      const found = untilOf(token);
      if (found === undefined) return;
      for (const [id, until_s] of ended) if (until_s * 1000 <= now_ms()) ended.delete(id);
      ended.set(found.id, found.until_s);
    },
  };
}
