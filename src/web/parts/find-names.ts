/** Finding in lists by name. */

interface Named {
  readonly id: string;
  readonly name: string;
  readonly saved: string;
}

/** Names in small letters, made once a list. */
const small = new WeakMap<readonly Named[], readonly string[]>();

function smallNames(list: readonly Named[]): readonly string[] {
  const known = small.get(list);
  if (known !== undefined) return known;
  const made = list.map((r) => r.name.toLocaleLowerCase());
  small.set(list, made);
  return made;
}

/** Those whose name holds every word that is asked for, in the order of the list. */
export function findNames<T extends Named>(list: readonly T[], wanted: string): readonly T[] {
  const words = wanted.toLocaleLowerCase().split(/\s+/).filter(Boolean);
  if (words.length === 0) return list;
  const names = smallNames(list);
  return list.filter((_, i) => words.every((word) => names[i]!.includes(word)));
}

export type Order = 'name' | 'saved';

/** By name, `Hut 2` before `Hut 10`, or the last saved first. */
export function inOrder<T extends Named>(list: readonly T[], order: Order, locale: string | undefined): readonly T[] {
  if (order === 'saved') return [...list].sort((a, b) => (a.saved < b.saved ? 1 : a.saved > b.saved ? -1 : 0));
  const { compare } = new Intl.Collator(locale, { numeric: true });
  return [...list].sort((a, b) => compare(a.name, b.name));
}
