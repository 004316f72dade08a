import { signal } from '@preact/signals';
import type { LogInRequest, SessionAnswer } from '../../server/api.ts';
import { call } from './client.ts';

/** Is the workshop behind a passphrase? */
export const locked = signal(false);

/** Whether the workshop may be read now; where it may not, a passphrase is wanted. */
export async function openSession(): Promise<boolean> {
  const session = await call<SessionAnswer>('GET', '/session');
  locked.value = session.passphrase;
  return session.open;
}

export async function logIn(passphrase: string): Promise<boolean> {
  const request: LogInRequest = { passphrase };
  return (await call<SessionAnswer>('POST', '/session', request)).open;
}

/** Closes the session and forgets what was kept of the workshop on this device. */
export async function logOut(): Promise<void> {
  await call<SessionAnswer>('DELETE', '/session');
  for (const name of await caches.keys()) if (name.startsWith('read-')) await caches.delete(name);
  for (const key of Object.keys(localStorage)) if (key.startsWith('sunperch.result.')) localStorage.removeItem(key);
  location.reload();
}
