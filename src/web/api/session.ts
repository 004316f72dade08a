import type { LogInRequest, SessionAnswer } from '../../server/api.ts';
import { call } from './client.ts';

/** Whether the workshop may be read now; where it may not, a passphrase is wanted. */
export async function openSession(): Promise<boolean> {
  return (await call<SessionAnswer>('GET', '/session')).open;
}

export async function logIn(passphrase: string): Promise<boolean> {
  const request: LogInRequest = { passphrase };
  return (await call<SessionAnswer>('POST', '/session', request)).open;
}

/** Closes the session, where a passphrase is demanded. */
export const logOut = () => call<SessionAnswer>('DELETE', '/session');
