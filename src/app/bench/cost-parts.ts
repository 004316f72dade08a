/** What the parts of a unit cost: by the lots that units hold, else by what is in the stores or on offer. */
import { type Amount, amount, convertAmount, lotCost } from '../../core/money/index.ts';
import { userError } from '../../core/units/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import type { Offer, Plan } from '../../records/bench/index.ts';
import type { Basis, CostLine } from './cost-types.ts';
import { purchaseOf } from './purchase.ts';
import type { BatchState, BenchState, LotState } from './state.ts';
import { linesOf } from './units.ts';

/** Brings sums into the one currency of an answer, at rates that somebody has told. */
export interface Exchange {
  readonly currency: string;
  into(sum: Amount): Amount;
  /** The rates that were used so far, each with its day. */
  notes(): string[];
}

export function exchangeFor(state: BenchState, plan: Plan, file: CostFile | null): Exchange {
  const first = linesOf(plan)
    .flatMap(({ part }) => [
      ...[...state.lots.values()].filter((lot) => lot.part === part).map((lot) => lot.currency),
      ...(state.parts.get(part)?.offers ?? []).map((offer) => offer.currency),
    ])
    .at(0);
  return exchangeInto(file?.currency ?? plan.labour?.currency ?? first ?? 'EUR', file);
}

export function exchangeInto(currency: string, file: CostFile | null): Exchange {
  const used = new Map<string, string>();
  return {
    currency,
    into(sum) {
      if (sum.currency === currency) return sum;
      const rate = file?.rates[sum.currency];
      if (rate === undefined)
        throw userError(
          'cost-rate',
          `a sum in ${sum.currency} meets ${currency}: give \`rates: { ${sum.currency}: { rate: …, on: 2026-11-25 } }\` in the file of assumptions (--assume)`,
          { field: 'rates' },
        );
      used.set(
        sum.currency,
        `sums in ${sum.currency} are converted at ${rate.rate} ${currency}, the rate of ${rate.on}`,
      );
      return convertAmount(sum, currency, rate.rate);
    },
    notes: () => [...used.values()],
  };
}

export interface PartsCost {
  readonly lines: readonly CostLine[];
  /** What the parts of each unit cost in which every part is fitted. */
  readonly perUnit: readonly number[];
  readonly notes: readonly string[];
}

export function partsCost(
  state: BenchState,
  plan: Plan,
  batch: BatchState | undefined,
  batchSize: number,
  into: Exchange['into'],
): PartsCost {
  const notes: string[] = [];
  const used = batch === undefined ? new Map<string, Used>() : usedIn(state, batch, into);
  const byUnit = new Map<string, { minor: number; lines: number }>();
  const bom = linesOf(plan);
  const lines = bom.map((line): CostLine => {
    const parts = [line.part, ...line.alternates];
    const what = state.parts.get(line.part)?.name ?? line.part;
    const seen = wholeLines(
      parts.map((part) => used.get(part)),
      line.count,
    );
    for (const [serial, { minor }] of seen) {
      const so = byUnit.get(serial) ?? { minor: 0, lines: 0 };
      byUnit.set(serial, { minor: so.minor + minor, lines: so.lines + 1 });
    }
    if (seen.size > 0) {
      const all = [...seen.values()];
      const mean = (of: (u: UsedInUnit) => number) => all.reduce((sum, u) => sum + of(u), 0) / all.length;
      return {
        what,
        kind: 'part',
        cost_minor: mean((u) => u.minor),
        basis: 'measured',
        fromUnits: all.length,
        quantity: mean((u) => u.pieces),
      };
    }
    const quantity = line.count * (1 + line.scrap_pct / 100);
    const { each, basis } = eachOf(state, parts, Math.ceil(quantity * batchSize - 1e-9), into);
    if (basis === 'not known') notes.push(`nobody offers ${line.part} and no lot of it came in: it counts for nothing`);
    return { what, kind: 'part', cost_minor: each * quantity, basis, fromUnits: null, quantity };
  });
  const perUnit = [...byUnit.values()].filter((u) => u.lines === bom.length).map((u) => u.minor);
  return { lines, perUnit, notes };
}

interface UsedInUnit {
  minor: number;
  pieces: number;
}
/** By serial. */
type Used = Map<string, UsedInUnit>;

/** What units hold of a line and its alternates; units that lack a piece of it would make it look cheap. */
function wholeLines(used: readonly (Used | undefined)[], count: number): Used {
  const sums: Used = new Map();
  for (const part of used)
    for (const [serial, { minor, pieces }] of part ?? []) {
      const so = sums.get(serial) ?? { minor: 0, pieces: 0 };
      sums.set(serial, { minor: so.minor + minor, pieces: so.pieces + pieces });
    }
  return new Map([...sums].filter(([, { pieces }]) => pieces >= count));
}

const landedOf = (lot: LotState): Amount =>
  amount(lot.goods_minor + lot.freight_minor + lot.duty_minor + lot.fees_minor, lot.currency);

/** What the units of a batch used up of each part: fitted, less what went back to the stores; scrapped pieces stay in. */
function usedIn(state: BenchState, batch: BatchState, into: Exchange['into']): Map<string, Used> {
  const members = new Set(batch.serials);
  const all = new Map<string, Used>();
  for (const lot of state.lots.values()) {
    const pieces = new Map<string, number>();
    for (const { unit, change } of lot.movements)
      if (unit !== null && members.has(unit)) pieces.set(unit, (pieces.get(unit) ?? 0) - change);
    let taken = 0;
    for (const [serial, n] of pieces) {
      if (n <= 0) continue;
      // One after the other, so that what units take sums to what the lot cost. Taken short, a lot gives more than it had:
      // the pieces beyond it cost what the others did.
      const times = Math.ceil((taken + n) / lot.count);
      const total = amount(landedOf(lot).minor * times, lot.currency);
      const { minor } = into(lotCost(total, lot.count * times, taken, n));
      taken += n;
      const used: Used = all.get(lot.part) ?? new Map();
      const so = used.get(serial) ?? { minor: 0, pieces: 0 };
      used.set(serial, { minor: so.minor + minor, pieces: so.pieces + n });
      all.set(lot.part, used);
    }
  }
  return all;
}

/** Price of a piece that is not fitted yet: newest good lot, else the cheapest offer for the whole batch, landed. */
function eachOf(
  state: BenchState,
  parts: readonly string[],
  need: number,
  into: Exchange['into'],
): { each: number; basis: Basis } {
  for (const part of parts) {
    const lot = [...state.lots.values()].filter((l) => l.part === part && l.quarantined === null).at(-1);
    if (lot !== undefined) return { each: into(landedOf(lot)).minor / lot.count, basis: 'lot in the stores' };
  }
  for (const part of parts) {
    const prices = (state.parts.get(part)?.offers ?? []).map((offer) => offerEach(offer, need, into));
    if (prices.length > 0) return { each: Math.min(...prices), basis: 'offer' };
  }
  return { each: 0, basis: 'not known' };
}

function offerEach(offer: Offer, need: number, into: Exchange['into']): number {
  const { quantity, landed } = purchaseOf(offer, need);
  return into(landed.total).minor / quantity;
}
