/** Plans, batches and the serials of their units. */
import { checkCharacter } from '../../core/quality/index.ts';
import { userError } from '../../core/units/index.ts';
import { type ContentOf, hasVariantFor, type Plan, PREFIX, streamOf } from '../../records/bench/index.ts';
import type { Deed } from './act.ts';
import { batchIn, noVariant, planIn, SERIAL_SCHEME } from './find.ts';
import type { BenchState } from './state.ts';

/**
 * Serial of the unit at a position: prefix, number, check character of ISO 7064 mod 37-36 over letters and digits, so that a
 * mistyped sign and nearly every exchanged pair is seen.
 */
export function serialOf(prefix: string, position: number, count: number): string {
  const digits = String(position).padStart(Math.max(3, String(count).length), '0');
  return `${prefix}-${digits}${checkCharacter(SERIAL_SCHEME, `${prefix}${digits}`.replaceAll('-', ''))}`;
}

/** A plan under its key; `from` is the number that it was made from, 0 or absent for the first. */
export function savePlan(state: BenchState, key: string, plan: Omit<Plan, 'kind'>, from?: number): Deed[] {
  const newest = state.plans.get(key)?.length ?? 0;
  if (from !== undefined && from !== newest)
    throw userError(
      'stale',
      newest === 0
        ? `plan ${key} is not there yet: save it without a number to start from`
        : `plan ${key} stands at number ${newest}; yours was made from ${from}: look at what changed, then save again`,
      { field: 'from' },
    );
  return [{ stream: streamOf('plan', key), content: { kind: 'plan-saved', ...plan } }];
}

export interface OpenRequest {
  readonly key: string;
  readonly name?: string | undefined;
  readonly plan: string;
  readonly count: number;
  readonly region?: ContentOf<'batch-opened'>['region'] | undefined;
  readonly prefix?: string | undefined;
  readonly due?: string | undefined;
}

/** A batch and all of its units, by the newest plan; later plans do not change it. */
export function openBatch(state: BenchState, request: OpenRequest): Deed[] {
  const { key, plan, count, region = 'EU', due } = request;
  if (state.batches.has(key))
    throw userError('batch-exists', `batch ${key} is there already: give the new one another key`, { field: 'key' });
  const { number, plan: newest } = planIn(state, plan);
  if (!hasVariantFor(newest, region)) throw noVariant(plan, newest, region, 'open the batch for one of them');
  const prefix =
    request.prefix ??
    key
      .toUpperCase()
      .replace(/[^0-9A-Z]/g, '')
      .slice(0, 8);
  const deeds: Deed[] = [
    {
      stream: streamOf('batch', key),
      content: {
        kind: 'batch-opened',
        name: request.name ?? key.toUpperCase(),
        plan,
        planNumber: number,
        count,
        region,
        prefix,
        ...(due === undefined ? {} : { due }),
      },
    },
  ];
  // A count or a prefix that is none is told by the schema of the entry above.
  if (!Number.isInteger(count) || count < 1 || count > 100_000 || !PREFIX.test(prefix)) return deeds;
  for (let position = 1; position <= count; position++) {
    const serial = serialOf(prefix, position, count);
    if (state.units.has(serial))
      throw userError(
        'serial-exists',
        `serial ${serial} is taken by a unit of batch ${state.units.get(serial)!.batch}: choose another prefix`,
        { field: 'prefix' },
      );
    deeds.push({ stream: streamOf('unit', serial), content: { kind: 'unit-made', batch: key, position } });
  }
  return deeds;
}

export function closeBatch(state: BenchState, key: string, reason?: string): Deed[] {
  const batch = batchIn(state, key);
  if (batch.closedAt !== null)
    throw userError('batch-closed', `batch ${key} was closed on ${batch.closedAt.slice(0, 10)}`);
  const content = { kind: 'batch-closed' as const, ...(reason === undefined ? {} : { reason }) };
  return [{ stream: streamOf('batch', key), content }];
}

/** A paper of the market's checklist with its evidence. */
export function notePaper(state: BenchState, key: string, paper: Omit<ContentOf<'paper-noted'>, 'kind'>): Deed[] {
  batchIn(state, key);
  return [{ stream: streamOf('batch', key), content: { kind: 'paper-noted', ...paper } }];
}
