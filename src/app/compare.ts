import type { YearOutcome } from '../core/energy/index.ts';
import { UserError, userError } from '../core/units/index.ts';
import type { Kit } from '../records/index.ts';
import { readInputs } from './inputs.ts';
import type { Ports } from './ports.ts';
import { yearOf } from './year.ts';

export const DEFAULT_COMPARE_YEARS = 100;

/** A value of a record, or `null` where a kit does not have that field. */
export type FieldValue = string | number | boolean | null;

/** A field in which the kits differ, with the value of each, in the order of the kits. */
export interface Difference {
  /** Dotted path as for `--set`, e.g. `kit.panel.power_W`. */
  readonly field: string;
  readonly values: readonly FieldValue[];
}

export interface CompareOutcome {
  readonly command: 'compare';
  readonly perch: string;
  readonly verdict: string;
  readonly years: number;
  readonly seed: number;
  readonly weather: string;
  /** In the order given; names of kits are told apart by a number where two are alike. */
  readonly kits: readonly YearOutcome[];
  readonly differences: readonly Difference[];
  /** Fields that are the same in all kits. */
  readonly alike: readonly { readonly field: string; readonly value: FieldValue }[];
}

export interface CompareRequest {
  readonly kits: readonly string[];
  readonly perch: string;
  readonly years?: number | undefined;
  readonly seed?: number | undefined;
  readonly weather?: string | undefined;
  readonly set?: readonly string[] | undefined;
  readonly target?: string | undefined;
}

/** `sunperch compare`: several kits at one perch in the same weather, and the inputs in which they differ. */
export async function compare(ports: Ports, request: CompareRequest): Promise<CompareOutcome> {
  const { kits: paths, perch, weather, set } = request;
  if (paths.length < 2)
    throw userError(
      'compare-one-kit',
      'one kit is given: compare needs two or more; for a single one use `sunperch year`',
    );
  const read = await Promise.allSettled(paths.map((kit) => readInputs(ports, { kit, perch, weather, set })));
  throwAll(read);
  const inputs = read.map((r) => (r as PromiseFulfilledResult<Awaited<ReturnType<typeof readInputs>>>).value);
  const names = distinct(inputs.map((i) => i.kit.name));
  const years = request.years ?? DEFAULT_COMPARE_YEARS;
  const kits = inputs.map((input, i) => {
    const kit = { ...input.kit, name: names[i]! };
    return yearOf({ ...input, kit }, { years, seed: request.seed, target: request.target }, (done, total, what) =>
      ports.progress(i * total + done, paths.length * total, `${names[i]}: ${what}`),
    ).outcome;
  });
  const { differences, alike } = differencesOf(inputs.map((i) => i.kit));
  const first = kits[0]!;
  return {
    command: 'compare',
    perch: first.perch,
    verdict: verdictOf(first.perch, kits),
    years,
    seed: first.seed,
    weather: first.weather,
    kits,
    differences,
    alike,
  };
}

/** The problems of all files at once, each told once. */
function throwAll(read: readonly PromiseSettledResult<unknown>[]): void {
  const wrong = read.flatMap((r) => (r.status === 'rejected' ? [r.reason as unknown] : []));
  if (wrong.length === 0) return;
  const unexpected = wrong.find((reason) => !(reason instanceof UserError));
  if (unexpected !== undefined) throw unexpected;
  const seen = new Map(
    (wrong as UserError[]).flatMap((e) => e.problems).map((problem) => [JSON.stringify(problem), problem] as const),
  );
  throw new UserError([...seen.values()]);
}

/** Names with a number behind those that occur twice. */
function distinct(names: readonly string[]): string[] {
  return names.map((name, i) =>
    names.indexOf(name) === names.lastIndexOf(name)
      ? name
      : `${name} (${names.slice(0, i + 1).filter((n) => n === name).length})`,
  );
}

/** A record as dotted paths and plain values; lists by position, `kit.panel[0].power_W`. */
export function flatten(value: unknown, path: string): Map<string, FieldValue> {
  const flat = new Map<string, FieldValue>();
  const walk = (item: unknown, at: string) => {
    if (Array.isArray(item)) for (const [i, entry] of item.entries()) walk(entry, `${at}[${i}]`);
    else if (typeof item === 'object' && item !== null)
      for (const [key, entry] of Object.entries(item)) walk(entry, at === '' ? key : `${at}.${key}`);
    else if (item !== undefined) flat.set(at, item as FieldValue);
  };
  walk(value, path);
  return flat;
}

/** Fields in which kits differ, and those that are alike, in the order of the records; names and revisions do not count. */
export function differencesOf(kits: readonly Kit[]): Pick<CompareOutcome, 'differences' | 'alike'> {
  const flat = kits.map(({ $schema: _, ...kit }) => flatten(kit, 'kit'));
  const fields = [...new Set(flat.flatMap((f) => [...f.keys()]))].filter(
    (f) => f !== 'kit.name' && f !== 'kit.revision',
  );
  const rows = fields.map((field) => ({ field, values: flat.map((f) => f.get(field) ?? null) }));
  const same = ({ values }: Difference) => values.every((v) => v === values[0]);
  return {
    differences: rows.filter((row) => !same(row)),
    alike: rows.filter(same).map(({ field, values }) => ({ field, value: values[0]! })),
  };
}

/** Which holds, in a sentence; of several the one with the smallest upper bound, then the longest life, is named first. */
function verdictOf(perch: string, kits: readonly YearOutcome[]): string {
  const list = (names: readonly string[]) =>
    names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
  const named = (state: YearOutcome['state']) => kits.filter((k) => k.state === state).map((k) => k.kit);
  const parts = [
    [named('stays up'), 'stays up', 'stay up'],
    [named('on the edge'), 'is on the edge', 'are on the edge'],
    [named('goes dark'), 'goes dark', 'go dark'],
  ] as const;
  const told = parts
    .filter(([names]) => names.length > 0)
    .map(([names, one, many]) => `${list(names)} ${names.length === 1 ? one : many}`);
  const best = [...kits].sort(
    (a, b) =>
      a.dark_h_per_year.mean - b.dark_h_per_year.mean ||
      (b.ageing.yearsTo80?.low ?? 0) - (a.ageing.yearsTo80?.low ?? 0) ||
      b.autonomy_d - a.autonomy_d,
  )[0]!;
  return `At ${perch} ${told.join('; ')}. Fewest dark hours: ${best.kit}.`;
}
