/** Calls of the bench that take files or give them. */
import type { BenchImport, BenchMeasured, BenchPassport, BenchTables } from '../../server/api.ts';
import { call } from './client.ts';

export const measureLog = (body: Readonly<Record<string, unknown>>) =>
  call<BenchMeasured>('POST', '/bench/measure', body);
export const getPassport = (serial: string) =>
  call<BenchPassport>('GET', `/bench/passports/${encodeURIComponent(serial)}`);
export const getTables = () => call<BenchTables>('GET', '/bench/tables');
/** @param signal stops waiting; the server then keeps nothing that it has not kept yet */
export const sendTable = (body: Readonly<Record<string, unknown>>, signal?: AbortSignal) =>
  call<BenchImport>('POST', '/bench/import', body, signal);
