/** Role of a node from what it sees: leaf, relay or backbone, with the reason. */
import type { Verdict } from '../core/path/index.ts';

export type Role = 'leaf' | 'relay' | 'backbone';

/** What a link between two perches is good for. */
export interface SeenLink {
  readonly sight: Verdict;
  readonly margin_dB: number;
}

export interface RoleAdvice {
  readonly role: Role;
  readonly reason: string;
  /** Other perches in clear sight, and heard at all. */
  readonly clear: number;
  readonly heard: number;
  /** Pairs of others that it hears and that do not hear each other; and those in clear sight of it that have no clear sight of each other. */
  readonly bridged: number;
  readonly bridgedClear: number;
}

/**
 * What makes a node stand out (judgement): others in clear sight, their share of all, times what the others see, and the share of its
 * pairs that it alone joins.
 */
const BACKBONE = { least: 3, share: 0.5, advantage: 1.5, joins: 1 / 3 };

const hears = (link: SeenLink | null) => link !== null && link.margin_dB >= 0;
const sees = (link: SeenLink | null) => link !== null && link.sight === 'clear';

/**
 * Role of one node among others.
 *
 * A leaf hears one other at most: there is nobody to forward to. A backbone node sees at least three and at least half of the others
 * clearly, half again as many as they see at the median, and a third of the pairs that it sees have no clear sight of each other. Every
 * other node is an ordinary relay, as most should be (common practice, no source): where it is not needed the counter rule keeps it quiet.
 *
 * @param own links to the others, null where not known
 * @param between links among the others, `between(i, j)`
 */
export function adviseRole(
  own: readonly (SeenLink | null)[],
  between: (i: number, j: number) => SeenLink | null,
): RoleAdvice {
  const n = own.length;
  const clear = own.filter(sees).length;
  const heard = own.filter(hears).length;
  let bridged = 0;
  let bridgedClear = 0;
  const seenBy = new Array<number>(n).fill(0);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < i; j++) {
      const link = between(i, j);
      if (sees(link)) {
        seenBy[i]!++;
        seenBy[j]!++;
      }
      if (hears(own[i]!) && hears(own[j]!) && !hears(link)) bridged++;
      if (sees(own[i]!) && sees(own[j]!) && !sees(link)) bridgedClear++;
    }
  const typical = median(seenBy);
  const figures = { clear, heard, bridged, bridgedClear };
  if (n < 2)
    return { role: 'relay', reason: 'fewer than two other perches are known: nothing tells it apart', ...figures };
  if (heard <= 1)
    return {
      role: 'leaf',
      reason:
        heard === 0
          ? `it hears none of the ${n} others`
          : `it hears only one of the ${n} others: there is nobody to forward to`,
      ...figures,
    };
  const stands =
    clear >= BACKBONE.least &&
    clear >= BACKBONE.share * n &&
    clear >= BACKBONE.advantage * typical &&
    bridgedClear >= (BACKBONE.joins * (clear * (clear - 1))) / 2;
  if (stands)
    return {
      role: 'backbone',
      reason: `it sees ${clear} of ${n} others clearly, where they see ${typical} at the median, and joins ${bridgedClear} ${bridgedClear === 1 ? 'pair' : 'pairs'} that have no clear sight of each other`,
      ...figures,
    };
  if (bridged === 0)
    return {
      role: 'relay',
      reason: `the ${heard} others that it hears hear each other too: it is one way among several, and mostly keeps quiet`,
      ...figures,
    };
  return {
    role: 'relay',
    reason: `it joins ${bridged} ${bridged === 1 ? 'pair' : 'pairs'} that do not hear each other, but sees ${clear} of ${n} others clearly (they see ${typical} at the median): no advantage that earns more`,
    ...figures,
  };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : ((sorted[half - 1] ?? 0) + (sorted[half] ?? 0)) / 2;
}

/** Indexes of the rows that no other row beats: as good in every value and better in one. Larger is better; NaN counts as worst. */
export function paretoFront(rows: readonly (readonly number[])[]): number[] {
  const clean = rows.map((row) => row.map((v) => (Number.isNaN(v) ? Number.NEGATIVE_INFINITY : v)));
  return clean.flatMap((row, i) =>
    clean.some((other, j) => j !== i && other.every((v, k) => v >= row[k]!) && other.some((v, k) => v > row[k]!))
      ? []
      : [i],
  );
}
