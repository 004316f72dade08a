/** The passphrase that opens a server on a network: hashed so that guessing is dear, compared in constant time. */
import { randomBytes, type ScryptOptions, scrypt, timingSafeEqual } from 'node:crypto';
import { promisify } from 'node:util';
import { userError } from '../core/units/index.ts';

const derive = promisify(scrypt) as (text: string, salt: Buffer, length: number, o: ScryptOptions) => Promise<Buffer>;

/**
 * Cost of scrypt (RFC 7914): N = 2^17, r = 8, p = 1, the least that the OWASP Password Storage Cheat Sheet advises (2023); 128 MiB
 * and about a third of a second a try.
 */
const COST = { N: 2 ** 17, r: 8, p: 1 } as const;
const HASH_bytes = 32;
/** Length from which a passphrase is taken, and at most (ASVS asks for at least 8 and advises 15; longer costs only time). */
export const PASSPHRASE_CHARACTERS = { least: 12, most: 200 } as const;

/** What is kept of a passphrase. `session` signs the cookies, so that a new passphrase ends all sessions. */
export interface Lock {
  readonly algorithm: 'scrypt';
  readonly N: number;
  readonly r: number;
  readonly p: number;
  readonly salt: string;
  readonly hash: string;
  readonly session: string;
}

/** Hashes a new passphrase. UserError when it is too short or too long. */
export async function makeLock(passphrase: string): Promise<Lock> {
  const length = [...passphrase].length;
  const { least, most } = PASSPHRASE_CHARACTERS;
  if (length < least || length > most)
    throw userError(
      'passphrase-length',
      `the passphrase has ${length} characters: between ${least} and ${most} are wanted; a few words in a row are easy to keep in mind`,
    );
  const salt = randomBytes(16);
  const hash = await hashOf(passphrase, salt, COST);
  const session = randomBytes(32).toString('base64url');
  return { algorithm: 'scrypt', ...COST, salt: salt.toString('base64url'), hash: hash.toString('base64url'), session };
}

/** Whether a passphrase opens the lock. */
export async function opens(lock: Lock, passphrase: string): Promise<boolean> {
  const hash = await hashOf(passphrase, Buffer.from(lock.salt, 'base64url'), lock);
  const kept = Buffer.from(lock.hash, 'base64url');
  return kept.length === hash.length && timingSafeEqual(kept, hash);
}

function hashOf(passphrase: string, salt: Buffer, { N, r, p }: Pick<Lock, 'N' | 'r' | 'p'>): Promise<Buffer> {
  // The same letters may be coded in two ways: brought to one (NFKC), as RFC 8265 asks for passwords.
  return derive(passphrase.normalize('NFKC'), salt, HASH_bytes, { N, r, p, maxmem: 2 * 128 * N * r });
}

/** Reads a lock as it was kept. UserError when it is damaged: the server then does not start. */
export function readLock(text: string, file: string): Lock {
  const damaged = () =>
    userError('lock-damaged', 'the file with the hashed passphrase is damaged: set it anew with --set-passphrase', {
      file,
    });
  let lock: Partial<Record<keyof Lock, unknown>>;
  try {
    lock = JSON.parse(text) as typeof lock;
  } catch {
    throw damaged();
  }
  if (typeof lock !== 'object' || lock === null) throw damaged();
  const { algorithm, N, r, p, salt, hash, session } = lock;
  const power = typeof N === 'number' && Number.isInteger(Math.log2(N)) && N >= COST.N && N <= 2 ** 20;
  const long = [salt, hash, session].every((part) => typeof part === 'string' && part.length >= 20);
  if (algorithm !== 'scrypt' || !power || r !== COST.r || p !== COST.p || !long) throw damaged();
  return lock as Lock;
}
