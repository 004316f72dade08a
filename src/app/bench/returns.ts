/** Units that came back: how many of those that left, and what for. */
import { clopperPearson, type Interval } from '../../core/math/index.ts';
import type { UnitState } from '../../records/bench/index.ts';

export interface Returns {
  /** Units that have left at least once. */
  readonly shipped: number;
  /** Those of them that came back at least once. */
  readonly returned: number;
  /** Returns, a unit that came back twice counted twice. */
  readonly times: number;
  /** Share of `returned` with its exact interval of 95 %; null before any has left. */
  readonly share: Pick<Interval, 'mean' | 'low' | 'high'> | null;
  /** The most frequent first: what it was in the end, or what the customer told where nobody has looked yet. */
  readonly causes: readonly { readonly cause: string; readonly count: number }[];
}

export function returnsOf(units: readonly UnitState[]): Returns {
  const shipped = units.filter((unit) => unit.shipped !== null);
  const returned = shipped.filter((unit) => unit.returns > 0).length;
  const causes = new Map<string, number>();
  for (const { cause } of shipped.flatMap((unit) => unit.returned))
    causes.set(cause ?? 'not told', (causes.get(cause ?? 'not told') ?? 0) + 1);
  return {
    shipped: shipped.length,
    returned,
    times: shipped.reduce((sum, unit) => sum + unit.returns, 0),
    share: shipped.length === 0 ? null : clopperPearson(returned, shipped.length),
    causes: [...causes].map(([cause, count]) => ({ cause, count })).sort((a, b) => b.count - a.count),
  };
}
