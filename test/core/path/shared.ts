import { readFileSync } from 'node:fs';
import { readGolden } from '../../golden.ts';

/** Rows of a profile table, one profile's name to its columns. */
export function readProfiles(name: string): Map<string, Record<string, Float64Array>> {
  const lists = new Map<string, Record<string, number[]>>();
  for (const { profile, ...columns } of readGolden(name).rows) {
    const lists1 = lists.get(profile!) ?? Object.fromEntries(Object.keys(columns).map((key) => [key, [] as number[]]));
    for (const [key, value] of Object.entries(columns)) lists1[key]!.push(Number(value));
    lists.set(profile!, lists1);
  }
  return new Map(
    [...lists].map(([profile, columns]) => [
      profile,
      Object.fromEntries(Object.entries(columns).map(([key, list]) => [key, Float64Array.from(list)])),
    ]),
  );
}

/** A file of the shared reference folder beside the clone, or undefined where there is none. */
export function readShared<T>(name: string): T | undefined {
  try {
    return JSON.parse(readFileSync(new URL(`../../../../shared/reference/${name}`, import.meta.url), 'utf8')) as T;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}
