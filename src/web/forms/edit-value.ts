/** Changes of single fields in a plain record. */
import { copyOf, isMapping, type Path } from '../../records/loose.ts';

type Step = string | number;
type Group = Record<Step, unknown>;

const isGroup = (value: unknown): value is Group => isMapping(value) || Array.isArray(value);

/**
 * A copy of a record with one field put to a value, or taken away with undefined. Groups on the way are made where they are
 * missing, also in place of a plain value such as `climate: nearest`; a group that becomes empty goes too.
 */
export function withField(record: unknown, path: Path, value: unknown): unknown {
  const root = isGroup(record) ? (copyOf(record) as Group) : {};
  const last = path.at(-1);
  if (last === undefined) return value;
  const groups: { readonly group: Group; readonly step: Step }[] = [];
  let here = root;
  for (const [i, step] of path.slice(0, -1).entries()) {
    groups.push({ group: here, step });
    const next = here[step];
    if (isGroup(next)) here = next;
    else {
      if (value === undefined) return root;
      const fresh: Group = typeof path[i + 1] === 'number' ? ([] as unknown as Group) : {};
      here[step] = fresh;
      here = fresh;
    }
  }
  if (value !== undefined) {
    here[last] = value;
    return root;
  }
  delete here[last];
  for (const { group, step } of groups.reverse()) {
    if (Object.keys(group[step] as Group).length > 0) break;
    delete group[step];
  }
  return root;
}
