/** Addresses behind the #, so that any server and a file that was kept offline can serve every page. */
import { signal } from '@preact/signals';
import type { RecordKind } from '../server/api.ts';

export type Route =
  | { readonly page: 'start' }
  | { readonly page: 'energy' | 'reach'; readonly kit?: string; readonly perch?: string }
  | { readonly page: RecordKind; readonly id: string }
  | { readonly page: 'new'; readonly kind: RecordKind }
  | { readonly page: 'bench'; readonly batch?: string; readonly part?: BenchPart }
  | { readonly page: 'unit'; readonly serial: string }
  | { readonly page: 'lot'; readonly lot: string }
  | { readonly page: 'order'; readonly order: string }
  | { readonly page: 'cost'; readonly batch?: string }
  | { readonly page: 'display' }
  | { readonly page: 'unknown'; readonly address: string };

/** Parts of the bench's front page, one shown at a time; without one, its units. */
export const BENCH_PARTS = ['units', 'quality', 'orders', 'papers', 'stores'] as const;
export type BenchPart = (typeof BENCH_PARTS)[number];

/** Pages of the bench. */
export type BenchRoute = Extract<Route, { readonly page: 'bench' | 'unit' | 'lot' | 'order' | 'cost' }>;

/** Reads the part of the address after the #. */
export function readRoute(hash: string): Route {
  const [path = '', query = ''] = hash.replace(/^#?\/?/, '').split('?');
  const parts = path.split('/').map(decode);
  const [first = '', second = '', third = ''] = parts;
  if (first === '') return { page: 'start' };
  if (first === 'display') return { page: 'display' };
  if (first === 'energy' || first === 'reach') {
    const asked = new URLSearchParams(query);
    const kit = asked.get('kit');
    const perch = asked.get('perch');
    return { page: first, ...(kit ? { kit } : {}), ...(perch ? { perch } : {}) };
  }
  if (first === 'bench') {
    const asked = new URLSearchParams(query).get('part');
    const part = BENCH_PARTS.find((p) => p === asked);
    if (second === '') return { page: 'bench', ...(part ? { part } : {}) };
    if (second === 'batch' && third !== '') return { page: 'bench', batch: third, ...(part ? { part } : {}) };
    if (second === 'unit' && third !== '') return { page: 'unit', serial: third };
    if (second === 'cost') {
      const batch = new URLSearchParams(query).get('batch');
      return { page: 'cost', ...(batch ? { batch } : {}) };
    }
    if (second === 'lot' && third !== '') return { page: 'lot', lot: third };
    if (second === 'order' && third !== '') return { page: 'order', order: third };
  }
  if (first === 'kit' || first === 'perch' || first === 'net') {
    if (second === 'new') return { page: 'new', kind: first };
    if (second !== '') return { page: first, id: second };
  }
  return { page: 'unknown', address: hash };
}

function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

export const start = '#/';
export const display = '#/display';
export const bench = '#/bench';
export const batchOf = (key: string, part?: BenchPart) =>
  `#/bench/batch/${encodeURIComponent(key)}${part === undefined || part === 'units' ? '' : `?part=${part}`}`;
export const benchOf = (key: string | undefined, part: BenchPart) =>
  key !== undefined ? batchOf(key, part) : part === 'units' ? bench : `${bench}?part=${part}`;
export const unitOf = (serial: string) => `#/bench/unit/${encodeURIComponent(serial)}`;
export const lotOf = (lot: string) => `#/bench/lot/${encodeURIComponent(lot)}`;
export const orderOf = (order: string) => `#/bench/order/${encodeURIComponent(order)}`;
export const costOf = (batch?: string) =>
  batch === undefined ? '#/bench/cost' : `#/bench/cost?batch=${encodeURIComponent(batch)}`;
export const energyOf = (kit?: string, perch?: string) => questionOf('energy', kit, perch);
export const reachOf = (kit?: string, perch?: string) => questionOf('reach', kit, perch);
function questionOf(page: 'energy' | 'reach', kit?: string, perch?: string): string {
  const asked = new URLSearchParams();
  if (kit !== undefined) asked.set('kit', kit);
  if (perch !== undefined) asked.set('perch', perch);
  const query = asked.toString();
  return query === '' ? `#/${page}` : `#/${page}?${query}`;
}
export const editorOf = (kind: RecordKind, id: string) => `#/${kind}/${encodeURIComponent(id)}`;
export const newOf = (kind: RecordKind) => `#/${kind}/new`;

export const route = signal<Route>(readRoute(location.hash));

/** Follows the address from now on; returns what ends it. */
export function followAddress(): () => void {
  const read = () => {
    route.value = readRoute(location.hash);
  };
  window.addEventListener('hashchange', read);
  return () => window.removeEventListener('hashchange', read);
}

/** Another address for what is shown already: no new step of the browser's history. */
export function stay(address: string): void {
  history.replaceState(null, '', address);
  route.value = readRoute(location.hash);
}

export function go(address: string): void {
  location.hash = address.slice(1);
}
