/** Reading of values that no schema has passed yet: checks over several fields run on what is there, whatever it is. */

export type Path = readonly (string | number)[];
/** A mapping as it comes from a file. */
export type RawMapping = { [key: string]: unknown };

export function isMapping(value: unknown): value is RawMapping {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** The value at `path`, or undefined. */
export function at(value: unknown, ...path: Path): unknown {
  let here = value;
  for (const part of path) {
    if (typeof here !== 'object' || here === null || !Object.hasOwn(here, part)) return undefined;
    here = (here as Record<string | number, unknown>)[part];
  }
  return here;
}

/** The finite number at `path`, or undefined. */
export function numberAt(value: unknown, ...path: Path): number | undefined {
  const found = at(value, ...path);
  return typeof found === 'number' && Number.isFinite(found) ? found : undefined;
}

/** Whether something stands at `path`. */
export const has = (value: unknown, ...path: Path) => at(value, ...path) !== undefined;

/** The mappings of a field that is one mapping or a list of them, each with its path. */
export function mappingsAt(value: unknown, field: string): { item: RawMapping; path: (string | number)[] }[] {
  const found = at(value, field);
  const list = Array.isArray(found) ? found : [found];
  return list.flatMap((item, i) =>
    isMapping(item) ? [{ item, path: Array.isArray(found) ? [field, i] : [field] }] : [],
  );
}

/** A copy that shares nothing with the original. */
export function copyOf(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(copyOf);
  if (!isMapping(value)) return value;
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, copyOf(item)]));
}

/** `panel[0].tilt_deg` for `['panel', 0, 'tilt_deg']`. */
export function pathText(path: Path): string {
  return path.map((part, i) => (typeof part === 'number' ? `[${part}]` : i === 0 ? part : `.${part}`)).join('');
}

/** A found value as it is shown in a message. */
export function show(value: unknown): string {
  if (value === null || value === undefined) return 'empty';
  if (typeof value === 'string') return `the text "${value.length > 40 ? `${value.slice(0, 37)}…` : value}"`;
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === 'object') return 'a group of keys';
  return String(value);
}
