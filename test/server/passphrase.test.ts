import { scryptSync } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { UserError } from '../../src/core/units/index.ts';
import { makeLock, opens, readLock } from '../../src/server/passphrase.ts';
import { readGolden } from '../golden.ts';

const WORDS = 'four huts above the lake';

describe('the passphrase', () => {
  it('costs at least what the source advises, and is salted anew each time', async () => {
    const [row] = readGolden('scrypt-cost.csv').rows;
    const [lock, other] = await Promise.all([makeLock(WORDS), makeLock(WORDS)]);
    expect(lock.N).toBeGreaterThanOrEqual(Number(row!['N']));
    expect(lock.r).toBe(Number(row!['r']));
    expect(lock.p).toBe(Number(row!['p']));
    expect(other.salt).not.toBe(lock.salt);
    expect(other.hash).not.toBe(lock.hash);
    expect(JSON.stringify(lock)).not.toContain('huts');
    // The hash is scrypt of the words and the salt, by the published function itself.
    const salt = Buffer.from(lock.salt, 'base64url');
    const cost = { N: lock.N, r: lock.r, p: lock.p, maxmem: 2 ** 29 };
    expect(scryptSync(WORDS, salt, 32, cost).toString('base64url')).toBe(lock.hash);
    expect(await opens(lock, WORDS)).toBe(true);
    expect(await opens(lock, `${WORDS} `)).toBe(false);
    expect(await opens(lock, '')).toBe(false);
  });

  it('the same letters in another coding are the same passphrase', async () => {
    const lock = await makeLock('Hütte über dem See');
    expect(await opens(lock, 'Hütte über dem See'.normalize('NFD'))).toBe(true);
  });

  it('too short or too long is told with the limits', async () => {
    await expect(makeLock('short')).rejects.toThrow(/has 5 characters: between 12 and 200/);
    await expect(makeLock('x'.repeat(201))).rejects.toThrow(UserError);
    await expect(makeLock('😀'.repeat(11))).rejects.toThrow(/has 11 characters/);
  });

  it('a damaged or weakened lock does not open anything: the server does not start', async () => {
    const lock = await makeLock(WORDS);
    expect(readLock(JSON.stringify(lock), 'f')).toEqual(lock);
    const damaged: unknown[] = [
      null,
      [],
      'x',
      {},
      { ...lock, N: 2 },
      { ...lock, N: 2 ** 17 + 1 },
      { ...lock, r: 1 },
      { ...lock, algorithm: 'plain' },
      { ...lock, hash: '' },
      { ...lock, salt: 7 },
      { ...lock, session: 'short' },
    ];
    for (const it of damaged) expect(() => readLock(JSON.stringify(it), 'f'), JSON.stringify(it)).toThrow(/is damaged/);
    expect(() => readLock('{', 'f')).toThrow(UserError);
  });
});
