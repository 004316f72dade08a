import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createLogInLimit } from '../../src/server/log-in-limit.ts';
import { createSessions, SESSION_s } from '../../src/server/sessions.ts';

describe('sessions', () => {
  const at = { ms: 1e12 };
  const sessions = createSessions('key of this test', () => at.ms);

  it('stand until they run out or are logged out', () => {
    const token = sessions.open();
    expect(sessions.stands(token)).toBe(true);
    at.ms += SESSION_s * 1000 - 1;
    expect(sessions.stands(token)).toBe(true);
    at.ms += 1;
    expect(sessions.stands(token)).toBe(false);
    const other = sessions.open();
    const third = sessions.open();
    sessions.close(other);
    expect([sessions.stands(other), sessions.stands(third)]).toEqual([false, true]);
  });

  it('no two are alike, and each has 128 random bits (ASVS V7.2.3)', () => {
    const ids = Array.from({ length: 1000 }, () => sessions.open().split('.')[0]!);
    expect(new Set(ids).size).toBe(1000);
    expect(Buffer.from(ids[0]!, 'base64url').length).toBe(16);
  });

  it('a token of another key, or with any sign changed, does not stand', () => {
    const token = sessions.open();
    expect(createSessions('another key', () => at.ms).stands(token)).toBe(false);
    const signs = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.';
    for (let i = 0; i < token.length; i++)
      for (const sign of signs) {
        if (sign === token[i]) continue;
        const changed = token.slice(0, i) + sign + token.slice(i + 1);
        expect(sessions.stands(changed), changed).toBe(false);
      }
    const [id, until, mac] = token.split('.');
    expect(sessions.stands(`${id}.${Number(until) + 9e9}.${mac}`)).toBe(false);
    for (const bad of [undefined, '', 'a.b.c', `${token}.`, ` ${token}`]) expect(sessions.stands(bad)).toBe(false);
  });

  it('random text never stands', () => {
    fc.assert(
      fc.property(fc.string(), (text) => !sessions.stands(text)),
      { seed: 1, numRuns: 500 },
    );
  });
});

describe('tries of the passphrase', () => {
  const tries = (limit: ReturnType<typeof createLogInLimit>, address: string, n: number) =>
    Array.from({ length: n }, () => limit.take(address) === 0).filter(Boolean).length;

  it('five at once, then one each half minute', () => {
    const at = { ms: 0 };
    const limit = createLogInLimit(() => at.ms);
    expect(tries(limit, '10.0.0.1', 100)).toBe(5);
    expect(limit.take('10.0.0.1')).toBe(30);
    at.ms += 29_000;
    expect(limit.take('10.0.0.1')).toBe(1);
    at.ms += 1_000;
    expect(tries(limit, '10.0.0.1', 10)).toBe(1);
    // A day of steady guessing: 2 a minute.
    let passed = 0;
    for (let s = 0; s < 86_400; s++) {
      at.ms += 1000;
      if (limit.take('10.0.0.1') === 0) passed++;
    }
    expect(passed).toBe(2 * 60 * 24);
  });

  it('one address does not shut out another; many addresses together have a limit too', () => {
    const limit = createLogInLimit(() => 0);
    expect(tries(limit, '10.0.0.1', 100)).toBe(5);
    expect(limit.take('10.0.0.2')).toBe(0);
    let passed = 6;
    for (let i = 0; i < 20_000; i++) if (limit.take(`10.1.${i >> 8}.${i & 255}`) === 0) passed++;
    expect(passed).toBe(30);
  });

  it('the right passphrase gives the tries back', () => {
    const limit = createLogInLimit(() => 0);
    tries(limit, '10.0.0.1', 5);
    limit.forgive('10.0.0.1');
    expect(limit.take('10.0.0.1')).toBe(0);
  });

  it('the addresses of one household count as one (RFC 4291 section 2.5.4: interface identifiers have 64 bits)', () => {
    const limit = createLogInLimit(() => 0);
    const addresses = [
      '2001:db8:1:2::1',
      '2001:db8:1:2:3:4:5:6',
      '2001:db8:1:2::ffff',
      '2001:db8:1:2:0:0:0:9',
      '2001:db8:1:2::%eth0',
    ];
    for (const address of addresses) expect(limit.take(address)).toBe(0);
    expect(limit.take('2001:db8:1:2::2')).toBeGreaterThan(0);
    expect(limit.take('2001:db8:1:3::2')).toBe(0);
    expect(limit.take('2001:db8::2')).toBe(0);
  });
});
