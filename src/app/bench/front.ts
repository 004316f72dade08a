/** The bench at a glance: what the first page says, and what wants somebody's hand. */
import { batchIn } from './find.ts';
import { type BenchOverview, batchLook, overview, type Standing } from './looks.ts';
import { freeOf, spokenFor } from './ordering.ts';
import { type BenchState, planOfBatch } from './state.ts';
import { storesList } from './stores.ts';
import { linesOf } from './units.ts';

/** Something at the bench or in the stores that wants a hand, most pressing first. */
export interface BenchMatter {
  readonly text: string;
  readonly lot?: string;
  readonly unit?: string;
  readonly batch?: string;
  readonly part?: string;
}

export interface BenchFront extends BenchOverview {
  readonly attention: readonly BenchMatter[];
  /** Plans that can be built, with their newest number. */
  readonly plans: readonly {
    readonly plan: string;
    readonly name: string;
    readonly number: number;
    /** Regions that it has a variant for; none: it is the same for all. */
    readonly regions: readonly string[];
  }[];
}

export function benchFront(state: BenchState): BenchFront {
  return { ...overview(state), attention: attentionOf(state), plans: plansOf(state) };
}

const plansOf = (state: BenchState) =>
  [...state.plans].map(([plan, all]) => {
    const { name, variants } = all.at(-1)!.plan;
    return { plan, name, number: all.length, regions: variants.map((v) => v.region) };
  });

function attentionOf(state: BenchState): BenchMatter[] {
  const matters: BenchMatter[] = [];
  const stores = storesList(state);
  for (const lot of stores.short)
    matters.push({ text: `lot ${lot} shows less than none (${state.lots.get(lot)!.left}): count it`, lot });
  for (const part of stores.parts)
    for (const lot of part.lots) {
      if (lot.quarantined !== null) {
        const held =
          lot.unitsWith === 0
            ? ''
            : `; ${lot.unitsWith} ${lot.unitsWith === 1 ? 'unit holds' : 'units hold'} parts of it`;
        matters.push({
          text: `lot ${lot.key} of ${part.name} is quarantined (${lot.quarantined})${held}`,
          lot: lot.key,
        });
      } else if (lot.inspection === 'due')
        matters.push({ text: `lot ${lot.key} of ${part.name} waits for its incoming inspection`, lot: lot.key });
      else if (lot.inspection === 'drawn')
        matters.push({ text: `lot ${lot.key} of ${part.name} is drawn: tell what was found`, lot: lot.key });
    }
  for (const [part, wanted] of spokenFor(state)) {
    const free = freeOf(state, part);
    if (free < wanted)
      matters.push({
        text: `${state.parts.get(part)?.name ?? part}: running batches want ${wanted}, ${free} are free`,
        part,
      });
  }
  for (const unit of state.units.values())
    if (unit.stage === 'returned')
      matters.push({ text: `${unit.serial} has come back and waits for repair`, unit: unit.serial });
  return matters;
}

/** What units of a batch wait for, in words that end a sentence about it; empty when for nothing. */
export function waitsInBatch(state: BenchState, key: string): string {
  const batch = batchIn(state, key);
  const plan = planOfBatch(state, batch);
  const waits = new Map<string, number>();
  for (const line of linesOf(plan)) {
    const parts = [line.part, ...line.alternates];
    const free = parts.reduce((sum, part) => sum + freeOf(state, part), 0);
    let want = 0;
    let units = 0;
    for (const serial of batch.serials) {
      const unit = state.units.get(serial)!;
      if (unit.stage !== 'at the bench' && unit.stage !== 'stopped') continue;
      const held = unit.fitted.reduce((sum, f) => sum + (parts.includes(f.part) ? f.count : 0), 0);
      if (held >= line.count) continue;
      want += line.count - held;
      // Units that what is free does not reach, in the order of their numbers.
      if (want > free) units++;
    }
    if (units > 0) waits.set(state.parts.get(line.part)?.name ?? line.part, units);
  }
  const [most] = [...waits].sort((a, b) => b[1] - a[1]);
  if (most === undefined) return '';
  const more = waits.size > 1 ? ` and ${waits.size - 1} other ${waits.size === 2 ? 'part' : 'parts'}` : '';
  return `${most[1]} ${most[1] === 1 ? 'waits' : 'wait'} for ${most[0]}${more}`;
}

export interface BatchPage {
  /** The sentence that the page opens with. */
  readonly said: string;
  readonly counts: Readonly<Record<Standing, number>>;
  readonly look: ReturnType<typeof batchLook>;
}

/** A batch as its page shows it. */
export function batchPage(state: BenchState, key: string): BatchPage {
  const look = batchLook(state, key);
  const waits = waitsInBatch(state, key);
  return {
    said: waits === '' ? look.verdict : `${look.verdict.replace(/\.$/, '')}; ${waits}.`,
    counts: look.counts,
    look,
  };
}
