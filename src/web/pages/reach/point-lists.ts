/** Lists of points as they are set on the map, pasted or dropped as files. */
import type { ListedPlace } from '../../../formats/places.ts';
import type { CandidateInput } from '../../../server/api.ts';

/** The name, or the name with the least number that nobody on the list has. */
export function freshName(name: string, list: readonly { readonly name: string }[]): string {
  const taken = new Set(list.map((p) => p.name));
  if (!taken.has(name)) return name;
  for (let n = 2; ; n++) if (!taken.has(`${name} ${n}`)) return `${name} ${n}`;
}

/** Adds places that were read; a name that stands already is replaced, since the newer file knows better. */
export function joined(
  list: readonly CandidateInput[],
  read: readonly ListedPlace[],
  most: number,
): { readonly list: readonly CandidateInput[]; readonly left: number } {
  const next = new Map(list.map((p) => [p.name, p]));
  for (const p of read)
    next.set(p.name, {
      name: p.name,
      latitude_deg: p.latitude_deg,
      longitude_deg: p.longitude_deg,
      ...(p.height_m === undefined ? {} : { height_m: p.height_m }),
      ...(p.access === undefined ? {} : { access: p.access }),
    });
  const all = [...next.values()];
  return { list: all.slice(0, most), left: Math.max(0, all.length - most) };
}
